//! A measurement that no step records.
//!
//! ## What is found
//! A step measures something, and neither it nor the next step has `{record ...}`.
//!
//! ## On the floor
//! The number is read, nodded at, and gone.
//!
//! ## How to mend it
//! Declare the reading in the front matter and write `{record NAME}` into the step.

use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::MEASURED_NOT_RECORDED;
use crate::language::action::Act;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MEASURED_NOT_RECORDED,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("measured_not_recorded.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let records = |step: usize| run.steps.get(step).is_some_and(|here| !here.step.records.is_empty());
    let mut findings: Vec<Finding> = Vec::new();
    for step in 0..run.steps.len() {
        let measured = run.deeds_of(step).find(|(_, deed)| deed.action.act == Act::Measure && !deed.action.conditional);
        let Some((_, deed)) = measured.filter(|_| !records(step) && !records(step + 1)) else { continue };
        findings.push(
            Finding::warning(MEASURED_NOT_RECORDED, "what is measured here is not recorded")
                .at(deed.span)
                .floor("the reading would be forgotten, and no trend could be seen")
                .help("declare it under `readings:` and write `{record ...}` into the step"),
        );
    }
    findings
}
