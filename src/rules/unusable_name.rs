//! A file or folder that was passed over because of its name or kind.
//!
//! ## What is found
//! A link, a device, a name that Windows refuses, two names that differ only in capitals, or a folder too deep.
//! Or a YAML file at the root, or in a folder called nearly `families`, that is none of the registers.
//!
//! ## On the floor
//! On another computer of the plant the file would be missing or be another one; a register that nothing reads changes
//! no packet.
//!
//! ## How to mend it
//! Rename it, or move it out of the binder.

use crate::base::finding::Severity;
use crate::base::rule::UNUSABLE_NAME;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNUSABLE_NAME,
    severity: Severity::Warning,
    found: Found::Reading,
    source: include_str!("unusable_name.rs"),
};
