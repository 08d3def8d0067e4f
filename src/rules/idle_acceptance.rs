//! An accepted reading that no sentence asks for any more.
//!
//! ## What is found
//! A line of the file that keeps what was accepted of a procedure, whose sentence is no longer there, or stands after other
//! words of its step than it did; or a sentence that was changed by hand in that file.
//!
//! ## On the floor
//! Nothing: the line has no effect. But whoever reviews the file would approve what the procedure does not say.
//!
//! ## How to mend it
//! `matchmark accept DOCUMENT` writes the file anew, without such lines.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::IDLE_ACCEPTANCE;
use crate::language::reader::keyed;
use crate::model::accepted::AcceptedLine;
use crate::model::binder::Binder;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: IDLE_ACCEPTANCE,
    severity: Severity::Note,
    found: Found::Check(check),
    source: include_str!("idle_acceptance.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    binder.procedures.iter().flat_map(|procedure| in_procedure(binder, procedure)).collect()
}

fn in_procedure(binder: &Binder, procedure: &Procedure) -> Vec<Finding> {
    let Some(accepted) = binder.accepted.get(&procedure.file) else { return Vec::new() };
    let sentences: BTreeMap<String, String> =
        procedure.steps().flat_map(keyed).map(|(key, sentence)| (key, sentence.text)).collect();
    let is_idle = |line: &&AcceptedLine| sentences.get(&line.key).is_none_or(|sentence| *sentence != line.sentence);
    let told = |line: &AcceptedLine| {
        Finding::note(IDLE_ACCEPTANCE, "no sentence of the procedure asks for this reading any more")
            .at(line.span)
            .document(&procedure.document.value)
            .floor("whoever reviews this file would approve what the procedure does not say")
            .help(format!("`matchmark accept {}` writes the file anew", procedure.document.value))
    };
    accepted.lines.iter().filter(is_idle).map(told).collect()
}
