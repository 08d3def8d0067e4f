//! A procedure without steps.
//!
//! ## What is found
//! The file has a front matter but no numbered sentences under a `##` heading, or its front matter is not closed by
//! a line `---`.
//!
//! ## On the floor
//! The packet would be a cover sheet.
//!
//! ## How to mend it
//! Write `## Strip` as a heading and numbered sentences under it.

use crate::base::finding::Severity;
use crate::base::rule::EMPTY_PROCEDURE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: EMPTY_PROCEDURE,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("empty_procedure.rs"),
};
