//! A key that stands twice.
//!
//! ## What is found
//! The same key stands twice in one group of `key: value` lines.
//!
//! ## On the floor
//! Most programs would silently take the last one; the person who wrote the first would never know.
//!
//! ## How to mend it
//! Keep one of them.

use crate::base::finding::Severity;
use crate::base::rule::DUPLICATE_KEY;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DUPLICATE_KEY,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("duplicate_key.rs"),
};
