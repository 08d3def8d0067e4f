//! Markdown that a procedure does not use.
//!
//! ## What is found
//! A block quote, a code block, a ruled line, a heading of another level than `##`, or another form that says
//! nothing to a fitter.
//!
//! ## On the floor
//! It would be lost, or look different on every output.
//!
//! ## How to mend it
//! Write plain sentences, lists and tables. A caution is declared in the front matter and named by `{caution
//! NAME}`.

use crate::base::finding::Severity;
use crate::base::rule::MARKDOWN_FORM;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MARKDOWN_FORM,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("markdown_form.rs"),
};
