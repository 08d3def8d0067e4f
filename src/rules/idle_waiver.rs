//! A waiver that accepts nothing.
//!
//! ## What is found
//! A waiver in `waivers.yaml` names a finding that is not found, or not for a machine it names; or it would accept more or
//! fewer findings than it says; or its rule does not exist or can never be accepted: what keeps a packet from being whole
//! or safe (a missing value, a register or procedure that cannot be read, a boundary that nothing isolates, two things of
//! one name, a waiver).
//!
//! ## On the floor
//! Somebody believes that a fault is known and answered for. It is not: it is mended, or it is found and not accepted.
//!
//! ## How to mend it
//! Take the waiver out if the fault is mended. Else correct its rule, document, tags or words; `matchmark check --format
//! json` shows them with the fingerprint of each finding.

use crate::base::finding::Severity;
use crate::base::rule::IDLE_WAIVER;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: IDLE_WAIVER,
    severity: Severity::Warning,
    found: Found::Waiving,
    source: include_str!("idle_waiver.rs"),
};
