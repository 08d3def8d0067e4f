//! A figure that is not in the binder.
//!
//! ## What is found
//! A step shows a figure whose file is not there, is larger than 4 MiB, or is written with other capitals than the
//! file has.
//!
//! ## On the floor
//! The card would show an empty box.
//!
//! ## How to mend it
//! Put the file where the path says. The path starts at the folder of the procedure, with `/` between folders;
//! capitals count on every platform.

use crate::base::finding::Severity;
use crate::base::rule::MISSING_FIGURE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MISSING_FIGURE,
    severity: Severity::Error,
    found: Found::Compiling,
    source: include_str!("missing_figure.rs"),
};
