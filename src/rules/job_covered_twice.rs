//! Two procedures for the same job on the same machine.
//!
//! ## What is found
//! Two procedures of one family have the same `job` (the title, where it is not given), compared without regard to case
//! and spacing, and a machine is in both.
//!
//! ## On the floor
//! Two cards for one job hang on the wall, and nobody can say which of the two is the right one.
//!
//! ## How to mend it
//! Narrow `applies-to` of one of them, give them different `job`s, or withdraw one.

use crate::analysis::effectivity;
use crate::base::finding::{Finding, Severity};
use crate::base::name::{Name, Tag};
use crate::base::rule::JOB_COVERED_TWICE;
use crate::model::binder::Binder;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};
use std::collections::{BTreeMap, BTreeSet};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: JOB_COVERED_TWICE,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("job_covered_twice.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut jobs: BTreeMap<(&str, Name), Vec<&Procedure>> = BTreeMap::new();
    for procedure in &binder.procedures {
        let job = if procedure.job.trim().is_empty() { &procedure.title.value } else { &procedure.job };
        jobs.entry((procedure.family.value.as_str(), Name::new(job))).or_default().push(procedure);
    }
    let mut findings = Vec::new();
    for ((_, job), procedures) in jobs.iter().filter(|(_, procedures)| procedures.len() > 1) {
        let tags: Vec<BTreeSet<&Tag>> = procedures.iter().map(|procedure| tags(binder, procedure)).collect();
        for (at, procedure) in procedures.iter().enumerate() {
            for (other, twin) in procedures.iter().enumerate().filter(|(other, _)| *other != at) {
                let both: Vec<Tag> = tags[at].intersection(&tags[other]).map(|tag| (*tag).clone()).collect();
                if !both.is_empty() {
                    findings.push(told(procedure, twin, job).tags(both));
                }
            }
        }
    }
    findings
}

fn tags<'b>(binder: &'b Binder, procedure: &Procedure) -> BTreeSet<&'b Tag> {
    effectivity::scope(binder, procedure).into_iter().map(|machine| &machine.tag.value).collect()
}

/// Each of the two documents keeps its own finding, or a check of one would not tell what it has in common with the other.
fn told(procedure: &Procedure, twin: &Procedure, job: &Name) -> Finding {
    let message = format!("the job `{job}` is also that of {} for these machines", twin.document.value);
    Finding::error(JOB_COVERED_TWICE, message)
        .at(procedure.document.span)
        .also(twin.document.span, "this is the other one")
        .document(&procedure.document.value)
        .floor("two cards for one job hang on the wall, and nobody can say which is right")
        .help("narrow `applies-to` of one of them, give them different jobs with `job:`, or withdraw one")
}
