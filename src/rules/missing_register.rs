//! A register that is not there.
//!
//! ## What is found
//! A binder has `binder.yaml`, `crib.yaml`, `fleet.yaml` and at least one file in `families/`.
//!
//! ## On the floor
//! Nothing can be held against a register that is missing.
//!
//! ## How to mend it
//! Copy the register from a new binder (`matchmark init`) and fill it in.

use crate::base::finding::Severity;
use crate::base::rule::MISSING_REGISTER;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MISSING_REGISTER,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("missing_register.rs"),
};
