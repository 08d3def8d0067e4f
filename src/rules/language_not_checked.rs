//! A procedure whose wording is not checked.
//!
//! ## What is found
//! A procedure is written in another language than English. Its values, registers, references and everything else are
//! checked; the rules of wording are not, because they know English words only.
//!
//! ## On the floor
//! Nothing follows from it. But no finding about the wording does not mean that there is nothing to find.
//!
//! ## How to mend it
//! Have somebody who reads the language look at the wording: vague limits, two instructions in a sentence, conditions
//! behind their action.

use crate::analysis::wording;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LANGUAGE_NOT_CHECKED;
use crate::model::binder::Binder;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LANGUAGE_NOT_CHECKED,
    severity: Severity::Note,
    found: Found::Check(check),
    source: include_str!("language_not_checked.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let others = binder.procedures.iter().filter(|procedure| !wording::is_english(binder, procedure));
    let told = |procedure: &Procedure| {
        let language = wording::language(binder, procedure);
        Finding::note(LANGUAGE_NOT_CHECKED, format!("the wording is not checked: its language is `{language}`"))
            .at(procedure.document.span)
            .document(&procedure.document.value)
            .help("have somebody who reads the language look at the wording")
    };
    others.map(told).collect()
}
