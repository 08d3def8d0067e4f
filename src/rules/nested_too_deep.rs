//! Lists, quotes or brackets nested deeper than anybody can read.
//!
//! ## What is found
//! A register or text nests more than 32 levels.
//!
//! ## On the floor
//! Such a file comes from a broken program or from somebody who wants to break this one.
//!
//! ## How to mend it
//! Write plain numbered steps and flat tables.

use crate::base::finding::Severity;
use crate::base::rule::NESTED_TOO_DEEP;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NESTED_TOO_DEEP,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("nested_too_deep.rs"),
};
