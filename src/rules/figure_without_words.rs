//! A figure that says nothing to a reader who cannot see it.
//!
//! ## What is found
//! The square brackets of a figure are empty: there are no words that tell what it shows.
//!
//! ## On the floor
//! On a bad copy, or read aloud, the figure is a hole. A tagged PDF must carry the words.
//!
//! ## How to mend it
//! Write what the figure shows between the brackets: `![Section through the pump, parts numbered
//! ...](../figures/pump.svg)`.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::FIGURE_WITHOUT_WORDS;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FIGURE_WITHOUT_WORDS,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("figure_without_words.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in &binder.procedures {
        for figure in procedure.figures().filter(|figure| figure.alt.trim().is_empty()) {
            findings.push(
                Finding::warning(FIGURE_WITHOUT_WORDS, format!("no words say what `{}` shows", figure.path.value))
                    .at(figure.path.span)
                    .document(&procedure.document.value)
                    .help("write them between the square brackets"),
            );
        }
    }
    findings
}
