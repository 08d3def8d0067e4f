//! A sentence that is not sure, so that nothing can be proved about what it might touch.
//!
//! ## What is found
//! A sentence was not read, or can be read in more than one way, and nobody has accepted what it does. From there on nothing is
//! said about the parts, openings and locks it might touch, neither that they are wrong nor that they are right. Where it names
//! nothing that is known, that is everything.
//!
//! ## On the floor
//! What only this sentence would show stays unseen: a part left off, an opening left open.
//!
//! ## How to mend it
//! `matchmark accept` shows what the sentence was taken for; accept it, or write it more plainly, add the name to the register,
//! or say what it does with `{do off casing nut all}`.

use crate::analysis::run::{Run, SentenceHere, stranger};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::CANNOT_PROVE;
use crate::language::action::parse_line;
use crate::language::reading::Class;
use crate::rules::named;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CANNOT_PROVE,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("cannot_prove.rs"),
};

/// Returns why a sentence is not sure, in the words of `matchmark read`.
fn why(run: &Run<'_, '_>, own: &SentenceHere<'_>) -> String {
    let accepted = own.accepted.and_then(|line| parse_line(&line.actions).ok()).unwrap_or_default();
    let stranger = accepted.iter().find_map(|action| stranger(&run.things, action));
    match stranger {
        Some(name) => format!("`{name}` was accepted for it, and no register knows that any more"),
        None => own.read.class.why().join("; "),
    }
}

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |open: &crate::analysis::story::OpenSentence| {
        let read = &run.steps[open.step].sentences[open.sentence].read;
        let how = if matches!(read.class, Class::NotRead(_)) { "not read" } else { "not sure" };
        let touched = if open.touches.is_empty() { "anything".to_owned() } else { named(&open.touches) };
        let why = why(run, &run.steps[open.step].sentences[open.sentence]);
        let why = if why.is_empty() { why } else { format!(": {why}") };
        Finding::warning(CANNOT_PROVE, format!("this sentence is {how}, and might move {touched}"))
            .at(read.sentence.span)
            .label(format!("from here on nothing is proved about it{why}"))
            .floor("a fault that only this sentence would show stays unseen")
            .help("accept what it does with `matchmark accept`, write it more plainly, or say it with `{do ...}`")
    };
    run.story.open.iter().map(finding).collect()
}
