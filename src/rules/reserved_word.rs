//! A name that begins with a word the braces keep for themselves.
//!
//! ## What is found
//! `only`, `caution`, `hold`, `record`, `see`, `as` and `do` order something in a brace, so no part, value or
//! option may begin with one of them.
//!
//! ## On the floor
//! `{record sheet}` would be read as an order to record something called sheet.
//!
//! ## How to mend it
//! Choose another first word (`sheet of records`).

use crate::base::finding::Severity;
use crate::base::rule::RESERVED_WORD;
use crate::rules::{Found, Rule};

/// This rule.
pub const RULE: Rule = Rule {
    id: RESERVED_WORD,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("reserved_word.rs"),
};
