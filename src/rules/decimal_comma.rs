//! A number with a comma in it.
//!
//! ## What is found
//! `0,5` or `1,250` in a sentence of an English procedure. A list of whole numbers is written with spaces (`2, 3`).
//!
//! ## On the floor
//! `1,250` is one and a quarter to one reader and a thousand two hundred and fifty to the next.
//!
//! ## How to mend it
//! Write a decimal point, and leave the thousands without a mark: `0.5`, `1250`. It is a warning because the same
//! characters are two different figures.

use crate::analysis::wording::Writing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::DECIMAL_COMMA;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DECIMAL_COMMA,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("decimal_comma.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        let with_comma = |at: &usize| saying.number(*at).is_some_and(|number| number.contains(','));
        for at in (0..saying.words.len()).filter(with_comma) {
            let number = saying.shown(at..at + 1);
            let finding = Finding::warning(DECIMAL_COMMA, format!("`{number}` has a comma, and two readings"))
                .at(saying.span(at..at + 1))
                .floor("one reader takes the comma for a decimal mark, the next for thousands")
                .help("write a decimal point, and thousands without a mark");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}
