//! More steps than anybody can follow.
//!
//! ## What is found
//! A procedure has more than 2,000 steps.
//!
//! ## On the floor
//! Nobody keeps place in such a list.
//!
//! ## How to mend it
//! Split it into several procedures.

use crate::base::finding::Severity;
use crate::base::rule::TOO_MANY_STEPS;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TOO_MANY_STEPS,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("too_many_steps.rs"),
};
