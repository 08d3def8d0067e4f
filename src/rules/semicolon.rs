//! A semicolon where a full stop belongs.
//!
//! ## What is found
//! An instruction holds a semicolon (ASD-STE100, section 8, has none).
//!
//! ## On the floor
//! Two instructions stand in one line, and the second is read over.
//!
//! ## How to mend it
//! Write a full stop and begin a new sentence.

use crate::analysis::wording::Writing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::SEMICOLON;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: SEMICOLON,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("semicolon.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.instructs()) {
        if let Some(at) = saying.words.iter().position(|word| word == ";") {
            let finding = Finding::note(SEMICOLON, "a semicolon joins two instructions")
                .at(saying.span(at..at + 1))
                .floor("the second of two instructions in one line is read over")
                .help("write a full stop and begin a new sentence");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}
