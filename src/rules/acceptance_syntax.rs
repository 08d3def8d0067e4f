//! A line of accepted readings that cannot be read.
//!
//! ## What is found
//! A line in the file that keeps what was accepted of a procedure has not the form `KEY | ACTIONS | SENTENCE`, its actions
//! are none, or the file does not begin with the line that says what it is.
//!
//! ## On the floor
//! The sentence counts as not accepted; if the program is not sure of it, nothing can be proved about what it might touch.
//!
//! ## How to mend it
//! `matchmark accept DOCUMENT` writes the file anew. It is not meant to be written by hand; a reading that must be given by
//! hand stands in the procedure, as `{do ...}` behind its sentence.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::ACCEPTANCE_SYNTAX;
use crate::base::text::Span;
use crate::language::action::parse_line;
use crate::model::accepted::{Accepted, AcceptedLine, HEAD};
use crate::model::binder::Binder;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ACCEPTANCE_SYNTAX,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("acceptance_syntax.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    binder.procedures.iter().flat_map(|procedure| in_procedure(binder, procedure)).collect()
}

/// Returns the lines that no machine would ever follow, wholly or in part, since one above them comes first.
fn contradictions(accepted: &Accepted) -> Vec<Span> {
    let mut seen: BTreeMap<&str, Vec<&AcceptedLine>> = BTreeMap::new();
    let mut twice = Vec::new();
    for line in &accepted.lines {
        let above = seen.entry(line.key.as_str()).or_default();
        let hides = |own: &&AcceptedLine| {
            own.tags.is_empty() || line.tags.is_empty() || own.tags.iter().any(|tag| line.tags.contains(tag))
        };
        if above.iter().any(hides) {
            twice.push(line.span);
        }
        above.push(line);
    }
    twice
}

fn in_procedure(binder: &Binder, procedure: &Procedure) -> Vec<Finding> {
    let Some(accepted) = binder.accepted.get(&procedure.file) else { return Vec::new() };
    let told = |span: Span, why: String| {
        Finding::error(ACCEPTANCE_SYNTAX, why)
            .at(span)
            .document(&procedure.document.value)
            .floor("the sentence counts as not accepted, and nobody would know why")
            .help(format!("`matchmark accept {}` writes the file anew", procedure.document.value))
    };
    let form = format!("this is not `KEY | ACTIONS | SENTENCE` under a first line `{HEAD}`");
    let broken = accepted.broken.iter().map(|span| told(*span, form.clone()));
    let actions = accepted.lines.iter();
    let actions = actions.filter_map(|line| Some(told(line.span, parse_line(&line.actions).err()?.to_string())));
    let twice = contradictions(accepted).into_iter();
    let twice = twice.map(|span| told(span, "a line above answers this sentence for the same machine".to_owned()));
    broken.chain(actions).chain(twice).collect()
}
