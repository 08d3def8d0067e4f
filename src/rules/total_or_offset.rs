//! A limit of which nobody knows whether it is the total that a dial shows, or the offset.
//!
//! ## What is found
//! The crib says of an instrument that it `shows: total`, a reading with a limit is taken on it, and the reading does not say
//! under `measures:` which of the two its limit is. Or it says `measures: total`, and its instrument shows no total. Or the
//! limit of an offset is open below zero, so that no total follows from it.
//!
//! A dial on a rim goes through twice the offset in one turn (geometry: from one side of it to the other). With
//! `measures: offset` the packet, the card and the record sheet ask for twice of the limit, once, and say so.
//!
//! ## On the floor
//! Shafts are aligned to half of what is allowed, or to twice of it: most alignment mistakes on paper are this factor of two
//! (common practice, no source).
//!
//! ## How to mend it
//! Ask where the limit is from. `measures: total` where it is what the pointer goes through; `measures: offset` where it is
//! how far one axis lies beside the other.

use crate::analysis::job::{Job, in_every_job};
use crate::analysis::reading::{ReadingHere, shows_total};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::TOTAL_OR_OFFSET;
use crate::model::binder::Binder;
use crate::model::crib::Item;
use crate::model::procedure::Measures;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TOTAL_OR_OFFSET,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("total_or_offset.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (readings, _) = job.readings_here();
    readings.iter().filter_map(|here| of_reading(job, here)).collect()
}

fn of_reading(job: &Job<'_>, here: &ReadingHere<'_>) -> Option<Finding> {
    let (Some(limit), Some(item)) = (here.limit, here.instrument.as_ref()) else { return None };
    let (message, help) = wrong(here, item, &limit.to_string().replace('\u{a0}', " "))?;
    let finding = Finding::error(TOTAL_OR_OFFSET, message)
        .at(here.reading.limit.as_ref().map_or(here.reading.name.span, |limit| limit.span))
        .also(item.id.span, "the instrument")
        .document(&job.procedure.document.value)
        .floor("a factor of two: what is good is rejected, or what is twice too much is accepted");
    Some(finding.help(help))
}

fn wrong(here: &ReadingHere<'_>, item: &Item, limit: &str) -> Option<(String, &'static str)> {
    let (id, name) = (&item.id.value, &here.reading.name.value);
    match (here.reading.measures, shows_total(item)) {
        (None, true) => Some((
            format!(
                "`{id}` shows the total of a turn, and `{name}` does not say whether `{limit}` is that or the offset"
            ),
            "write `measures: total` or `measures: offset` beside the limit; ask where it is from",
        )),
        (Some(Measures::Total), false) => Some((
            format!("`{limit}` of `{name}` is the total of a turn, and `{id}` shows no total"),
            "name a dial, or ask for the offset that belongs to this limit",
        )),
        _ => None,
    }
}
