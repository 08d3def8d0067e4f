//! A file that cannot be read or is too large.
//!
//! ## What is found
//! A text file of the binder is larger than 1 MiB, or its permissions forbid reading it.
//!
//! ## On the floor
//! What was not read was not checked.
//!
//! ## How to mend it
//! Put pictures into `figures/`, split long texts, and look at the permissions.

use crate::base::finding::Severity;
use crate::base::rule::UNREADABLE_FILE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNREADABLE_FILE,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("unreadable_file.rs"),
};
