//! Several cautions of one level before one step.
//!
//! ## What is found
//! Two or more cautions of the same level stand before one step of a machine's packet.
//!
//! ## On the floor
//! The second box is not read. Where one step has so many hazards, it is more than one step, or they are one hazard.
//!
//! ## How to mend it
//! Split the step, so that each caution stands before what it is about; or join the cautions into one.

use crate::analysis::job::{Job, joined};
use crate::analysis::wording::Writing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::CROWDED_CAUTIONS;
use crate::model::procedure::{Caution, Step};
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CROWDED_CAUTIONS,
    severity: Severity::Note,
    found: Found::Sentences(check),
    source: include_str!("crowded_cautions.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let steps: Vec<&Step> = writing.procedure.steps().filter(|step| step.cautions.len() > 1).collect();
    let jobs = writing.machines.iter().filter(|_| !steps.is_empty());
    let jobs = jobs.filter_map(|machine| Job::new(writing.binder, writing.procedure, machine));
    joined(jobs.flat_map(|job| {
        let here = steps.iter().filter(|step| job.applies(step.only.as_ref()));
        here.flat_map(|step| crowded(&job, step)).map(|finding| (job.tag().clone(), finding)).collect::<Vec<_>>()
    }))
}

fn crowded(job: &Job<'_>, step: &Step) -> Vec<Finding> {
    let mut levels: BTreeMap<&str, Vec<&Caution>> = BTreeMap::new();
    for name in &step.cautions {
        let declared = job.procedure.cautions.iter().find(|own| own.name.value == name.value);
        if let Some(caution) = declared.filter(|caution| job.applies(caution.only.as_ref())) {
            levels.entry(caution.level.value.as_str()).or_default().push(caution);
        }
    }
    let several = levels.into_iter().filter(|(_, cautions)| cautions.len() > 1);
    let told = |(level, cautions): (&str, Vec<&Caution>)| {
        let message = format!("{} cautions of the level `{level}` stand before this step", cautions.len());
        Finding::note(CROWDED_CAUTIONS, message)
            .at(step.span)
            .document(&job.procedure.document.value)
            .floor("the second box is not read")
            .help("split the step, or join the cautions into one")
    };
    several.map(told).collect()
}
