//! Hold points that are not met in the order of their numbers.
//!
//! ## What is found
//! On some machine a step with H2 comes before the step with H1.
//!
//! ## On the floor
//! Somebody who looks for the next signature sees H1 still open behind him, and wonders what was skipped.
//!
//! ## How to mend it
//! Number the hold points in the order of the steps.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::HOLD_OUT_OF_ORDER;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: HOLD_OUT_OF_ORDER,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("hold_out_of_order.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let number = |name: &str| name.get(1..).and_then(|digits| digits.parse::<u32>().ok());
    let mut findings = Vec::new();
    let mut highest: Option<(u32, &crate::base::text::Placed<crate::base::name::Name>)> = None;
    for hold in job.numbered_steps().into_iter().flat_map(|(_, step)| &step.holds) {
        let Some(own) = number(hold.value.as_str()) else { continue };
        match highest {
            Some((above, earlier)) if above > own => findings.push(
                Finding::warning(HOLD_OUT_OF_ORDER, format!("{} comes after {}", hold.value, earlier.value))
                    .at(hold.span)
                    .also(earlier.span, "the higher number stands here")
                    .document(&job.procedure.document.value)
                    .floor("a signature would seem to be missing")
                    .help("number the hold points in the order of the steps"),
            ),
            _ => highest = Some((own, hold)),
        }
    }
    findings
}
