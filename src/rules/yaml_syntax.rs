//! YAML that cannot be read.
//!
//! ## What is found
//! A quote, bracket or colon is missing, a tab stands in the indentation, or a line is indented differently from
//! its neighbours. The mistake may stand a line above the place named.
//!
//! ## On the floor
//! Nothing that stands in the file could be checked.
//!
//! ## How to mend it
//! Compare the line with its neighbours. Text that holds `: ` or begins with `{` stands in quotes.

use crate::base::finding::Severity;
use crate::base::rule::YAML_SYNTAX;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: YAML_SYNTAX, severity: Severity::Error, found: Found::Reading, source: include_str!("yaml_syntax.rs") };
