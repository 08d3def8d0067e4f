//! A value of another kind than is needed where it stands.
//!
//! ## What is found
//! A torque is needed and the table holds a length; a limit is needed and the text is none; a count is no whole
//! number.
//!
//! ## On the floor
//! A wrong column was named, and a fitter would set a wrench to a length.
//!
//! ## How to mend it
//! Look at the table the finding points to, and name the right value.

use crate::base::finding::Severity;
use crate::base::rule::WRONG_KIND;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: WRONG_KIND, severity: Severity::Error, found: Found::Compiling, source: include_str!("wrong_kind.rs") };
