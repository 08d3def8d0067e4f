//! A number that can be read in more than one way.
//!
//! ## What is found
//! A cell or field begins like a quantity but has a decimal comma, a naked point (`.5`), a ± or a dash between two
//! numbers, ends the wrong way round, or no unit.
//!
//! ## On the floor
//! A lost point is ten times too much. A ± leaves arithmetic to somebody with wet hands.
//!
//! ## How to mend it
//! Write `0.5 mm`, `24.7 to 25.3 mm`, `40 °C or less`. The unit stands after a space; it is the unit the tool
//! shows.

use crate::base::finding::Severity;
use crate::base::rule::BAD_QUANTITY;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: BAD_QUANTITY,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("bad_quantity.rs"),
};
