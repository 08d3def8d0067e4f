//! An effectivity that cannot be read.
//!
//! ## What is found
//! `only` or `applies-to` does not consist of an option and its values.
//!
//! ## On the floor
//! A step could stand on the wrong machine's card.
//!
//! ## How to mend it
//! Write `size 2, 3`, `size not 1`, `size 2 to 4`, `tag P-121`, and join several with `and`.

use crate::base::finding::Severity;
use crate::base::rule::EFFECTIVITY_SYNTAX;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: EFFECTIVITY_SYNTAX,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("effectivity_syntax.rs"),
};
