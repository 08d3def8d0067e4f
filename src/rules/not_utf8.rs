//! A text that is not UTF-8.
//!
//! ## What is found
//! A file of the binder was saved in another encoding.
//!
//! ## On the floor
//! A µ, ° or · would be printed as something else, and a unit could be misread.
//!
//! ## How to mend it
//! Save the file as UTF-8. Old editors call their own encoding ANSI or Latin-1.

use crate::base::finding::Severity;
use crate::base::rule::NOT_UTF8;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: NOT_UTF8, severity: Severity::Error, found: Found::Reading, source: include_str!("not_utf8.rs") };
