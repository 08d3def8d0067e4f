//! A drain, vent or cover that is closed, and that no step opens.
//!
//! ## What is found
//! A step closes an opening of the register, and no step before it opens it, not even under a condition. Mostly the step that
//! opens it was lost.
//!
//! ## On the floor
//! The fitter finds it closed already, and whatever should have run out is still inside.
//!
//! ## How to mend it
//! Write the step that opens it, or `Confirm that the drain is closed.` where that is what is meant.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::CLOSED_NOT_OPENED;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CLOSED_NOT_OPENED,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("closed_not_opened.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("{} is closed here, and no step opens it", named(&fact.things));
        told(run, fact, Finding::warning(CLOSED_NOT_OPENED, message))
            .floor("what should have run out may still be inside")
            .help("write the step that opens it, or say `confirm that it is closed`")
    };
    run.story.of(Offence::NotOpen).map(finding).collect()
}
