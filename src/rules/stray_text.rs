//! Text that belongs to no stage or step.
//!
//! ## What is found
//! A paragraph stands before the first `##` heading or after a step without being indented under it, or a numbered
//! step stands before any heading.
//!
//! ## On the floor
//! It would not be printed where the author meant it.
//!
//! ## How to mend it
//! Indent it under its step by three or four spaces, move it up under the heading, or into the front matter.

use crate::base::finding::Severity;
use crate::base::rule::STRAY_TEXT;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: STRAY_TEXT, severity: Severity::Error, found: Found::Reading, source: include_str!("stray_text.rs") };
