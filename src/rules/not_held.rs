//! A tool, instrument or fluid that the crib does not hold.
//!
//! ## What is found
//! A procedure or table names an identifier that is not in `crib.yaml`.
//!
//! ## On the floor
//! The fitter would walk back for a tool that is not there, or take one that is nearly right.
//!
//! ## How to mend it
//! Enter it in `crib.yaml` if the plant has it; else name what it has.

use crate::base::finding::Severity;
use crate::base::rule::NOT_HELD;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: NOT_HELD, severity: Severity::Error, found: Found::Compiling, source: include_str!("not_held.rs") };
