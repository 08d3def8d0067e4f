//! A finding that was accepted until a day that is over.
//!
//! ## What is found
//! The day behind `until:` of a waiver in `waivers.yaml` is over. The waiver accepts nothing any longer, and what it accepted
//! is found again with its own weight. Days are those of universal time (UTC); the day itself still counts. This finding
//! keeps no packet from being made, what it accepted may.
//!
//! ## On the floor
//! Nobody answers any longer for the fault that the machine or the procedure still has.
//!
//! ## How to mend it
//! Mend what was accepted and take the waiver out; or let whoever answers for it accept it anew, with a reason that is true
//! today and a new day. A waiver cannot be waived.

use crate::base::finding::Severity;
use crate::base::rule::EXPIRED_WAIVER;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: EXPIRED_WAIVER,
    severity: Severity::Error,
    found: Found::Waiving,
    source: include_str!("expired_waiver.rs"),
};
