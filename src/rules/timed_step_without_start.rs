//! A wait or run of some minutes without a place for its start time.
//!
//! ## What is found
//! A step waits or runs for 2 minutes or more, and neither it nor a step since the last timed one records a reading of `kind:
//! time`. Common practice in procedure writing; public writer's guides ask for a place to write the start time of a timed step
//! (DOE-STD-1029-92 on time-dependent steps, from memory).
//!
//! ## On the floor
//! Nobody remembers when it started, so it is over when somebody is tired of waiting.
//!
//! ## How to mend it
//! Declare `{reading: leak-test start, kind: time}` and write `Record the start time.` with `{record leak-test start}`.

use crate::analysis::reading::declared;
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::quantity::{Dimension, Quantity};
use crate::base::rule::TIMED_STEP_WITHOUT_START;
use crate::base::text::{Placed, Span};
use crate::language::action::Act;
use crate::language::sentence::{Sentence, TokenKind};
use crate::model::procedure::ReadingKind;
use crate::model::value::Value;
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TIMED_STEP_WITHOUT_START,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("timed_step_without_start.rs"),
};

/// From how many seconds on a start time is asked for.
const SECONDS: u32 = 120;

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    // The first step whose start time is not yet used up by a timed step.
    let mut since = 0;
    for step in 0..run.steps.len() {
        let Some(span) = timed(run, step) else { continue };
        if !(since..=step).any(|earlier| records_time(run, earlier)) {
            findings.push(
                Finding::error(TIMED_STEP_WITHOUT_START, "this takes some minutes, and no start time is recorded")
                    .at(span)
                    .floor("nobody would know when it is over")
                    .help("declare a reading of `kind: time` and record it in this step"),
            );
        }
        since = step + 1;
    }
    findings
}

/// Returns the place of a sentence of a step that waits or runs for long.
fn timed(run: &Run<'_, '_>, step: usize) -> Option<Span> {
    let is_long = |(_, deed): &(usize, &crate::analysis::run::Deed)| {
        let takes_time = matches!(deed.action.act, Act::Wait | Act::Run) && !deed.action.conditional;
        takes_time && seconds(run, &run.sentence(deed).read.sentence).is_some_and(|long| long >= Decimal::from(SECONDS))
    };
    run.deeds_of(step).find(is_long).map(|(_, deed)| deed.span)
}

/// Returns the longest time a sentence names.
fn seconds(run: &Run<'_, '_>, sentence: &Sentence) -> Option<Decimal> {
    let named = sentence.tokens.iter().filter_map(|token| match &token.kind {
        TokenKind::Value(name) => match run.job.value(&Placed::new(Name::clone(name), token.span)) {
            Ok(Value::Quantity(quantity)) => in_seconds(quantity),
            _ => None,
        },
        _ => None,
    });
    let typed = sentence.tokens.windows(2).filter_map(|pair| match (&pair[0].kind, &pair[1].kind) {
        (TokenKind::Number(number), TokenKind::Word(unit)) => {
            Quantity::parse(&format!("{number} {unit}")).ok().and_then(in_seconds)
        }
        _ => None,
    });
    named.chain(typed).max()
}

fn in_seconds(quantity: Quantity) -> Option<Decimal> {
    if quantity.unit.dimension() != Dimension::Time {
        return None;
    }
    let seconds: u32 = match quantity.unit.symbol() {
        "s" => 1,
        "min" => 60,
        "h" => 3600,
        // Days and longer.
        _ => 86_400,
    };
    Some(quantity.number * Decimal::from(seconds))
}

fn records_time(run: &Run<'_, '_>, step: usize) -> bool {
    let readings = &run.job.procedure.readings;
    run.steps[step]
        .step
        .records
        .iter()
        .any(|record| declared(readings, &record.value).is_some_and(|(reading, _)| reading.kind == ReadingKind::Time))
}
