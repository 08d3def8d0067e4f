//! Two cautions of one level before one step.
//!
//! ## What is found
//! A step carries more than one caution of the same level on some machine.
//!
//! ## On the floor
//! Of two warnings in a row the second is not read.
//!
//! ## How to mend it
//! Split the step so that each caution stands before what it is about, or make one caution of the two.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::CROWDED_CAUTIONS;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CROWDED_CAUTIONS,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("crowded_cautions.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, step) in job.numbered_steps() {
        let mut levels: Vec<(&str, crate::base::text::Span)> = Vec::new();
        for name in &step.cautions {
            let is = |caution: &&crate::model::procedure::Caution| {
                caution.name.value == name.value && job.applies(caution.only.as_ref())
            };
            let Some(caution) = job.procedure.cautions.iter().find(is) else { continue };
            let level = caution.level.value.as_str();
            if let Some((_, first)) = levels.iter().find(|(own, _)| *own == level) {
                let message = format!("this step carries more than one caution of the level `{level}`");
                findings.push(
                    Finding::warning(CROWDED_CAUTIONS, message)
                        .at(name.span)
                        .also(*first, "the first stands here")
                        .document(&job.procedure.document.value)
                        .floor("of two in a row the second is not read")
                        .help("split the step, or make one caution of the two"),
                );
            } else {
                levels.push((level, name.span));
            }
        }
    }
    findings
}
