//! A character that is not shown but changes what is read.
//!
//! ## What is found
//! A zero-width character, a mark that turns the direction of text, or a control character stands in a file. They
//! come in with text pasted from a web page or a chat.
//!
//! ## On the floor
//! What is printed would not be what was read and approved: `25` can be shown as `52`.
//!
//! ## How to mend it
//! Delete the character at the place named and type the words anew.

use crate::base::finding::Severity;
use crate::base::rule::HIDDEN_CHARACTER;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: HIDDEN_CHARACTER,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("hidden_character.rs"),
};
