//! A brace that is not closed, is empty, or has no place where it stands.
//!
//! ## What is found
//! `{` and `}` name values and orders. One of them is missing, nothing stands between them, a brace stands inside a
//! brace, or an order (`{only ...}`, `{hold ...}`) stands outside a step.
//!
//! ## On the floor
//! The words would be printed with their braces, and what they order would not happen.
//!
//! ## How to mend it
//! Write `{name}` in one run of plain text. For a brace as a character write `\{`.

use crate::base::finding::Severity;
use crate::base::rule::BRACE_SYNTAX;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: BRACE_SYNTAX,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("brace_syntax.rs"),
};
