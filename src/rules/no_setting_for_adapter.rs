//! An adapter whose setting cannot be computed.
//!
//! ## What is found
//! A joint names an `adapter:`, and what its wrench must be set to does not follow: the crib does not say how far the adapter
//! reaches (`reach:`), or how long the lever of the wrench is (`lever:`), or the fastener would lie at the hand. No packet is
//! made that prints the torque where the setting should stand.
//!
//! ## On the floor
//! An adapter in line lengthens the lever: set to the torque, the wrench clicks when the bolt has long been overloaded.
//!
//! ## How to mend it
//! Measure both lengths and enter them in the crib: from the middle of the grip to the middle of the drive, and from there to
//! the middle of the fastener. A straight extension on the axis of the drive is no adapter.

use crate::base::finding::Severity;
use crate::base::rule::NO_SETTING_FOR_ADAPTER;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NO_SETTING_FOR_ADAPTER,
    severity: Severity::Error,
    found: Found::Compiling,
    source: include_str!("no_setting_for_adapter.rs"),
};
