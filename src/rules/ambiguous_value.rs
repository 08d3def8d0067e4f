//! A value that one machine has twice.
//!
//! ## What is found
//! Two or more rows of a table are for the same installed machine. The finding names the rows and the tags.
//!
//! ## On the floor
//! Nobody could say which of the numbers is meant, and the fitter would take the first one he sees.
//!
//! ## How to mend it
//! Exactly one row may be for a machine. Narrow a row (`[2, 3]` to `2`), replace `any`, or take the row out that is
//! wrong.

use crate::base::finding::Severity;
use crate::base::rule::AMBIGUOUS_VALUE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: AMBIGUOUS_VALUE,
    severity: Severity::Error,
    found: Found::Compiling,
    source: include_str!("ambiguous_value.rs"),
};
