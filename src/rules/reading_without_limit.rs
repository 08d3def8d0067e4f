//! A measurement without a limit or an instrument.
//!
//! ## What is found
//! A step records a reading of the kind `measurement` that has no `limit:`, or whose limit has a unit and that names no
//! `instrument:`. A count needs none.
//!
//! ## On the floor
//! The fitter writes a number, and nobody can say whether it is good; or he measures it with what is in his pocket.
//!
//! ## How to mend it
//! Give the limit and the instrument. If it is only noted down, make it `kind: note`.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::READING_WITHOUT_LIMIT;
use crate::model::binder::Binder;
use crate::model::procedure::{Reading, ReadingKind};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: READING_WITHOUT_LIMIT,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("reading_without_limit.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    job.readings_taken().into_iter().filter_map(|reading| of_reading(job, reading)).collect()
}

fn of_reading(job: &Job<'_>, reading: &Reading) -> Option<Finding> {
    if reading.kind != ReadingKind::Measurement {
        return None;
    }
    // A limit that cannot be told is found where its packet is compiled.
    let needs_instrument = || {
        let limit = reading.limit.as_ref().and_then(|limit| job.limit(limit).ok());
        reading.instrument.is_none() && limit.is_some_and(|limit| !limit.symbol().is_empty())
    };
    let (message, help) = if reading.limit.is_none() {
        (
            format!("`{}` is measured and has no limit", reading.name.value),
            "write its `limit:`, or make it `kind: note`",
        )
    } else if needs_instrument() {
        (format!("`{}` does not say what it is measured with", reading.name.value), "name its `instrument:`")
    } else {
        return None;
    };
    let finding = Finding::warning(READING_WITHOUT_LIMIT, message)
        .at(reading.name.span)
        .document(&job.procedure.document.value)
        .floor("a number would be written that nobody can judge")
        .help(help);
    Some(finding)
}
