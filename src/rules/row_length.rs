//! A row with more or fewer cells than its table.
//!
//! ## What is found
//! A row of a table does not have one cell for each option of `by` and each name in `columns`.
//!
//! ## On the floor
//! Every number after the missing cell would stand under the wrong heading.
//!
//! ## How to mend it
//! Write `unknown` where a cell is still to be found out; it is then told as a missing value for the machines it is for.

use crate::base::finding::Severity;
use crate::base::rule::ROW_LENGTH;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: ROW_LENGTH, severity: Severity::Error, found: Found::Reading, source: include_str!("row_length.rs") };
