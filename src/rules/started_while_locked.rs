//! A machine that is started while a lock is on.
//!
//! ## What is found
//! A step starts or runs the machine, and a lock that a later step removes is still on.
//!
//! ## On the floor
//! Nothing starts, and the fitter removes a lock that may be somebody else's to see why.
//!
//! ## How to mend it
//! Move the step that removes the locks in front of the run.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::STARTED_WHILE_LOCKED;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: STARTED_WHILE_LOCKED,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("started_while_locked.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        told(run, fact, Finding::error(STARTED_WHILE_LOCKED, "the machine is started while a lock is on"))
            .label("it is started here")
            .floor("it would not start, or somebody would take off a lock that is not his")
            .help("move the step that removes the locks in front of this one")
    };
    run.story.of(Offence::StartedWhileLocked).map(finding).collect()
}
