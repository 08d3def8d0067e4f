//! A reference to a step that is not in the packet.
//!
//! ## What is found
//! `{see NAME}` names a label that no step carries, or whose step does not apply to the machine.
//!
//! ## On the floor
//! The fitter would be sent to a step that is not there.
//!
//! ## How to mend it
//! Label the step that is meant with `{as NAME}`, or give the sentence that refers to it the same `{only ...}`.

use crate::base::finding::Severity;
use crate::base::rule::REFERENCE_TO_ABSENT_STEP;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: REFERENCE_TO_ABSENT_STEP,
    severity: Severity::Error,
    found: Found::Compiling,
    source: include_str!("reference_to_absent_step.rs"),
};
