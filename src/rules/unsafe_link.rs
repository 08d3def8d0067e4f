//! A link that no packet may carry.
//!
//! ## What is found
//! A link leads to something else than `https:`, `mailto:` or a file inside the binder.
//!
//! ## On the floor
//! A tap on it could start something on the tablet or show a page from anywhere.
//!
//! ## How to mend it
//! Link to https, to a mail address, or to a file of the binder; or write the words without a link.

use crate::base::finding::Severity;
use crate::base::rule::UNSAFE_LINK;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: UNSAFE_LINK, severity: Severity::Error, found: Found::Reading, source: include_str!("unsafe_link.rs") };
