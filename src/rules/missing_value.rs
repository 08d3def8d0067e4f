//! A value that a machine does not have.
//!
//! ## What is found
//! A sentence, limit, torque or part number names a value, and no row of its table is for this machine, or the cell
//! is empty, or the fleet does not give it. Or something is `only` for machines with a certain option, and the fleet does
//! not say which this machine has. The finding names the tags.
//!
//! ## On the floor
//! The fitter would stand at the machine without the number. The packets and cards of these tags are not written;
//! the others are.
//!
//! ## How to mend it
//! Fill the cell from the maker's data or from a measurement, and name the source. Never copy a neighbour's number.

use crate::base::finding::Severity;
use crate::base::rule::MISSING_VALUE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MISSING_VALUE,
    severity: Severity::Error,
    found: Found::Compiling,
    source: include_str!("missing_value.rs"),
};
