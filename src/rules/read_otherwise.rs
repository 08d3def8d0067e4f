//! An accepted sentence that would be read otherwise now.
//!
//! ## What is found
//! The author accepted what a sentence does; the program, with the registers and verbs of today, would read it in another
//! way, and with certainty; or it was sure when he accepted it, and is not sure now. Nothing is changed by itself: what was
//! accepted stays in force.
//!
//! ## On the floor
//! Either the acceptance was wrong, or a name or verb has come to mean something else. One of the two would send the fitter
//! to the wrong part, and only the author can say which.
//!
//! ## How to mend it
//! `matchmark accept DOCUMENT` shows both readings. Accept the new one, or keep the old one by writing it with `{do ...}`
//! behind the sentence.

use crate::analysis::run::{Run, SentenceHere, Standing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::READ_OTHERWISE;
use crate::language::action::line;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: READ_OTHERWISE,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("read_otherwise.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let sentences = run.steps.iter().flat_map(|step| &step.sentences);
    sentences.filter(|here| here.standing == Standing::AcceptedOtherwise).map(|here| told(run, here)).collect()
}

fn told(run: &Run<'_, '_>, here: &SentenceHere<'_>) -> Finding {
    let document = &run.job.procedure.document.value;
    let accepted = line(&here.actions);
    let message = if here.read.class.is_open() {
        format!("accepted as `{accepted}` when it was sure, it is not sure now: {}", here.read.class.why().join("; "))
    } else {
        format!("accepted as `{accepted}`, it would be read as `{}` now", line(&here.read.actions))
    };
    let finding = Finding::warning(READ_OTHERWISE, message)
        .at(here.read.sentence.span)
        .document(document)
        .floor("one of the two readings would send the fitter to the wrong part")
        .help(format!("`matchmark accept {document}` shows both and asks which it is"));
    match here.accepted {
        Some(accepted) => finding.also(accepted.span, "accepted here"),
        None => finding,
    }
}
