//! A reading that is never taken at one of its moments.
//!
//! ## What is found
//! A reading declares its moments (`as found`, `as left`). On a machine whose steps record it at all, no step records it at
//! one of them.
//!
//! ## On the floor
//! The record sheet has a blank that no step fills; the reading that matters, mostly `as left`, is forgotten.
//!
//! ## How to mend it
//! Write `{record gap as left}` into the step that measures it, or take the moment out of the reading.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::MOMENT_WITHOUT_STEP;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MOMENT_WITHOUT_STEP,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("moment_without_step.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    // A record of something that is not declared is told where its packet is compiled.
    let taken: Vec<_> =
        job.numbered_steps().into_iter().flat_map(|(_, step)| job.records(step).unwrap_or_default()).collect();
    let mut findings = Vec::new();
    for reading in job.procedure.readings.iter().filter(|reading| job.applies(reading.only.as_ref())) {
        let moments: Vec<&str> =
            taken.iter().filter(|(own, _)| std::ptr::eq(*own, reading)).map(|(_, moment)| *moment).collect();
        let missing = reading.moments.iter().filter(|_| !moments.is_empty());
        for moment in missing.filter(|moment| !moments.contains(&moment.value.as_str())) {
            findings.push(
                Finding::error(
                    MOMENT_WITHOUT_STEP,
                    format!("no step records `{}` {}", reading.name.value, moment.value),
                )
                .at(moment.span)
                .document(&job.procedure.document.value)
                .floor("the record sheet has a blank that no step fills")
                .help(format!("write `{{record {} {}}}` into its step", reading.name.value, moment.value)),
            );
        }
    }
    findings
}
