//! A register or front matter that does not have the form it should have.
//!
//! ## What is found
//! A field is missing, misspelt, of the wrong kind, or holds a word that is not among those it may hold.
//!
//! ## On the floor
//! What stands under a misspelt field would be passed over without a word.
//!
//! ## How to mend it
//! Look at the place named and at the hint. `matchmark schema NAME` prints the whole form; an editor with a YAML
//! server shows it while you type.

use crate::base::finding::Severity;
use crate::base::rule::SCHEMA_VIOLATION;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: SCHEMA_VIOLATION,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("schema_violation.rs"),
};
