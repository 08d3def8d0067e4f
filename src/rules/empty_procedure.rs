//! A procedure without steps.
//!
//! ## What is found
//! The file has a front matter but no numbered sentences under a `##` heading, or its front matter is not closed by
//! a line `---`. Or a line `document:` stands near the top of a Markdown file that does not begin with `---`: an empty
//! line or a heading has slipped in before the front matter, and it is no procedure any more.
//!
//! ## On the floor
//! The packet would be a cover sheet.
//!
//! ## How to mend it
//! Write `## Strip` as a heading and numbered sentences under it.

use crate::base::finding::Severity;
use crate::base::rule::EMPTY_PROCEDURE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: EMPTY_PROCEDURE,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("empty_procedure.rs"),
};
