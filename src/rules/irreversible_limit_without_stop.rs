//! A limit that cannot be undone once it is passed, without a step of its own that stops.
//!
//! ## What is found
//! A reading is marked `irreversible: yes`, and between the step that first records it and the next step that moves anything no
//! sentence begins with `IF` or `WHEN`, names the reading or a value of its limit, and says `stop`. The precaution for all
//! readings is not enough here.
//!
//! ## On the floor
//! The pack is shorter than its least length, the fitter goes on because the card says tighten, and the plates are crushed for
//! good.
//!
//! ## How to mend it
//! Write the step behind the reading: `IF any reading is less than {A-min}, THEN stop. Do not tighten.`

use crate::analysis::reading::declared;
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::IRREVERSIBLE_LIMIT_WITHOUT_STOP;
use crate::language::action::Act;
use crate::language::sentence::{Sentence, TokenKind};
use crate::model::procedure::Reading;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: IRREVERSIBLE_LIMIT_WITHOUT_STOP,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("irreversible_limit_without_stop.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let taken = |reading: &&Reading| reading.irreversible && run.job.applies(reading.only.as_ref());
    run.job.procedure.readings.iter().filter(taken).filter_map(|reading| unguarded(run, reading)).collect()
}

fn unguarded(run: &Run<'_, '_>, reading: &Reading) -> Option<Finding> {
    let readings = &run.job.procedure.readings;
    let is = |record: &crate::base::name::Name| {
        declared(readings, record).is_some_and(|(own, _)| std::ptr::eq(own, reading))
    };
    let first = run.steps.iter().position(|here| here.step.records.iter().any(|record| is(&record.value)))?;
    let moves = |act: Act| act.moves() && !matches!(act, Act::Apply | Act::Wipe | Act::Halt);
    let next = run.deeds.iter().find(|deed| deed.step > first && moves(deed.action.act) && !deed.action.conditional);
    let last = next.map_or(run.steps.len(), |deed| deed.step);
    let steps = run.steps.iter().enumerate().filter(|(step, _)| (first..=last).contains(step));
    let mut sentences = steps.flat_map(|(_, here)| &here.sentences);
    if sentences.any(|own| stops(&own.read.sentence, reading)) {
        return None;
    }
    let record = run.steps[first].step.records.iter().find(|record| is(&record.value))?;
    let message = format!("`{}` cannot be undone, and no step of its own stops the job", reading.name.value);
    let finding = Finding::error(IRREVERSIBLE_LIMIT_WITHOUT_STOP, message)
        .at(record.span)
        .label("it is read here")
        .also(reading.name.span, "it is marked `irreversible: yes`")
        .floor("the job would go on past a limit that cannot be undone")
        .help("write the next step: `IF ... THEN stop.`, with the limit");
    Some(finding)
}

/// Returns whether a sentence stops the job on a condition about this reading.
fn stops(sentence: &Sentence, reading: &Reading) -> bool {
    let word = |kind: &TokenKind| match kind {
        TokenKind::Word(word) => word.to_lowercase(),
        _ => String::new(),
    };
    let words: Vec<String> = sentence.tokens.iter().map(|token| word(&token.kind)).collect();
    let begins = words.first().is_some_and(|first| matches!(first.as_str(), "if" | "when"));
    let limit = reading.limit.iter().flat_map(crate::model::prose::Prose::values);
    let names_value = limit.into_iter().any(|value| {
        sentence.tokens.iter().any(|token| matches!(&token.kind, TokenKind::Value(name) if *name == value.value))
    });
    let names_reading = sentence.text.to_lowercase().contains(reading.name.value.folded());
    begins && words.iter().any(|word| word == "stop") && (names_value || names_reading)
}
