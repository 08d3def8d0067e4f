//! A machine that runs empty although a later step fills it.
//!
//! ## What is found
//! A drain or vent was opened, the machine runs, and the first step that fills it comes after the run.
//!
//! ## On the floor
//! A seal or bearing that needs its fluid runs dry for the length of the trial run.
//!
//! ## How to mend it
//! Fill it before it runs. Where a short dry start is meant, accept the finding with its reason.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::RUNS_DRY;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: RUNS_DRY, severity: Severity::Warning, found: Found::Run(check), source: include_str!("runs_dry.rs") };

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        told(run, fact, Finding::warning(RUNS_DRY, "the machine runs before it is filled"))
            .label("it runs here")
            .floor("what needs its fluid would run dry")
            .help("move the step that fills it in front of the run")
    };
    run.story.of(Offence::RunsDry).map(finding).collect()
}
