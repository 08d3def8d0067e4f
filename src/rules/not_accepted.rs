//! Sentences whose reading the author has not accepted.
//!
//! ## What is found
//! The program has read sentences of a procedure, and nobody has confirmed that it read them rightly; or it is not sure of
//! a sentence, which `cannot-prove` tells with the things it might touch.
//!
//! ## On the floor
//! The check followed what the program took the sentences for. Where it took one wrongly, a part may be left off and nothing
//! would say so. A procedure with such sentences can be checked and built as a draft; it is not released.
//!
//! ## How to mend it
//! `matchmark accept DOCUMENT` shows each sentence beside its reading and asks once. What is accepted is kept beside the
//! procedure, in a file that ends in `.actions`.

use crate::analysis::run::{Run, Standing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::NOT_ACCEPTED;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NOT_ACCEPTED,
    severity: Severity::Note,
    found: Found::Run(check),
    source: include_str!("not_accepted.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let document = &run.job.procedure.document;
    let is_new = run.steps.iter().flat_map(|step| &step.sentences).any(|here| here.standing == Standing::New);
    let finding = || {
        Finding::note(NOT_ACCEPTED, "nobody has accepted yet what some of its sentences were read as")
            .at(document.span)
            .document(&document.value)
            .floor("where the program took a sentence wrongly, what the check says may be wrong too")
            .help(format!("`matchmark accept {}` shows them and asks once", document.value))
    };
    is_new.then(finding).into_iter().collect()
}
