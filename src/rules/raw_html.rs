//! Raw HTML in a procedure.
//!
//! ## What is found
//! A procedure holds `<...>` tags or comments.
//!
//! ## On the floor
//! HTML would look different, or do something, on one output and vanish on another.
//!
//! ## How to mend it
//! Write plain sentences. Remove the tags and the comments.

use crate::base::finding::Severity;
use crate::base::rule::RAW_HTML;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: RAW_HTML, severity: Severity::Error, found: Found::Reading, source: include_str!("raw_html.rs") };
