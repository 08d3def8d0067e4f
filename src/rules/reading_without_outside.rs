//! A reading with a limit that does not say what to do outside it.
//!
//! ## What is found
//! A step records a reading with a limit, the reading has no `outside:`, and no sentence of `precautions:` says what to do when
//! a reading is outside its limit.
//!
//! ## On the floor
//! The reading is bad, it is night, and the fitter decides alone.
//!
//! ## How to mend it
//! Write `outside:`, or the precaution `If a reading is outside its limit, stop and tell the supervisor.`

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::READING_WITHOUT_OUTSIDE;
use crate::model::binder::Binder;
use crate::model::procedure::Reading;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: READING_WITHOUT_OUTSIDE,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("reading_without_outside.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let says = |words: &str| {
        let words = words.to_lowercase();
        (words.contains("outside") || words.contains("out of")) && words.contains("limit")
    };
    if job.procedure.precautions.iter().any(|precaution| says(&precaution.plain(""))) {
        return Vec::new();
    }
    let open = |reading: &&Reading| reading.limit.is_some() && reading.outside.is_none();
    let readings = job.readings_taken().into_iter().filter(open);
    readings
        .map(|reading| {
            let message = format!("nothing says what to do when `{}` is outside its limit", reading.name.value);
            Finding::warning(READING_WITHOUT_OUTSIDE, message)
                .at(reading.name.span)
                .document(&job.procedure.document.value)
                .floor("the fitter would decide alone whether to go on")
                .help("write its `outside:`, or the precaution `If a reading is outside its limit, stop ...`")
        })
        .collect()
}
