//! An instrument that cannot show the limit of a reading.
//!
//! ## What is found
//! An end of a reading's limit lies outside what its instrument spans, or the instrument shows another unit (an error); or
//! its steps are coarser than the last digit of the limit and do not hit it (a warning: that an instrument should show at
//! least the last digit of what it decides is common practice, no source).
//!
//! ## On the floor
//! The reading cannot be taken, or is estimated between two marks; whether it is good is then a guess with a signature.
//!
//! ## How to mend it
//! Name another instrument for the reading, by options where it depends on the machine. Never widen a limit to suit an
//! instrument.

use crate::analysis::job::{Job, in_every_job};
use crate::analysis::reading::ReadingHere;
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::{Limit, Quantity, Range};
use crate::base::rule::INSTRUMENT_OUT_OF_RANGE;
use crate::model::binder::Binder;
use crate::model::crib::{Item, Kind};
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: INSTRUMENT_OUT_OF_RANGE,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("instrument_out_of_range.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (readings, _) = job.readings_here();
    readings.iter().flat_map(|here| of_reading(job, here)).collect()
}

fn of_reading(job: &Job<'_>, here: &ReadingHere<'_>) -> Vec<Finding> {
    let (Some(limit), Some(item)) = (here.limit, here.instrument.as_ref()) else { return Vec::new() };
    let Kind::Instrument { range, resolution, .. } = &item.kind else { return vec![no_instrument(job, here, item)] };
    let ends = ends(limit);
    let outside: Vec<Finding> =
        range.iter().filter_map(|range| out_of_range(job, here, item, (range, &ends))).collect();
    if !outside.is_empty() {
        return outside;
    }
    let coarse = |step: &Quantity| ends.iter().any(|end| is_too_coarse(*end, *step));
    resolution.iter().filter(|step| coarse(step)).map(|step| too_coarse(job, here, item, *step)).collect()
}

/// Returns the ends that a limit has.
fn ends(limit: Limit) -> Vec<Quantity> {
    match limit {
        Limit::AtMost(end) | Limit::AtLeast(end) | Limit::Exactly(end) => vec![end],
        Limit::Within(range) => {
            vec![Quantity { number: range.low, unit: range.unit }, Quantity { number: range.high, unit: range.unit }]
        }
        Limit::Count(_) => Vec::new(),
    }
}

/// Returns whether an instrument's step is coarser than the last digit of a number, and does not hit it either.
fn is_too_coarse(end: Quantity, step: Quantity) -> bool {
    let last_digit = Decimal::new(1, end.number.scale());
    let hits = !step.number.is_zero() && (end.number % step.number).is_zero();
    step.unit == end.unit && step.number > last_digit && !hits
}

fn out_of_range(
    job: &Job<'_>,
    here: &ReadingHere<'_>,
    item: &Item,
    (range, ends): (&Range, &[Quantity]),
) -> Option<Finding> {
    if ends.iter().all(|end| range.holds(*end)) {
        return None;
    }
    let message = format!("`{}` cannot measure `{}`", item.id.value, here.reading.name.value);
    let limit = here.limit.map(|limit| plain(&limit.to_string())).unwrap_or_default();
    let finding = about(job, here, Finding::error(INSTRUMENT_OUT_OF_RANGE, message));
    let finding = finding.also(item.id.span, format!("it shows {}, the limit is {limit}", plain(&range.to_string())));
    Some(finding.floor("the reading cannot be taken, and what is written down would be a guess"))
}

fn too_coarse(job: &Job<'_>, here: &ReadingHere<'_>, item: &Item, step: Quantity) -> Finding {
    let message = format!("`{}` is too coarse for `{}`", item.id.value, here.reading.name.value);
    let limit = here.limit.map(|limit| plain(&limit.to_string())).unwrap_or_default();
    let finding = about(job, here, Finding::warning(INSTRUMENT_OUT_OF_RANGE, message));
    let finding = finding.also(item.id.span, format!("it reads {}, the limit is {limit}", plain(&step.to_string())));
    finding.floor("the reading is estimated between two marks, and whether it is good is a guess")
}

fn no_instrument(job: &Job<'_>, here: &ReadingHere<'_>, item: &Item) -> Finding {
    let message =
        format!("`{}` is no instrument, and `{}` is measured with it", item.id.value, here.reading.name.value);
    about(job, here, Finding::error(INSTRUMENT_OUT_OF_RANGE, message))
        .floor("the reading cannot be taken, and what is written down would be a guess")
}

fn about(job: &Job<'_>, here: &ReadingHere<'_>, finding: Finding) -> Finding {
    let instrument = here.reading.instrument.as_ref().map_or(here.reading.name.span, |instrument| instrument.span);
    finding
        .at(instrument)
        .document(&job.procedure.document.value)
        .help("name an instrument of the crib that spans both ends of the limit; never widen a limit to suit one")
}

fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}
