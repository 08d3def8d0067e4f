//! A part that comes off, or an item that is taken out, and is not there.
//!
//! ## What is found
//! A step takes off a part that is off already, or takes out a temporary item that no step put in.
//!
//! ## On the floor
//! The fitter looks for something to remove, and wonders which step was left out.
//!
//! ## How to mend it
//! Take the second step out, or write the step that puts it there first.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::OFF_ALREADY;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: OFF_ALREADY,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("off_already.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("{} is taken off or out here, and is not there", named(&fact.things));
        told(run, fact, Finding::warning(OFF_ALREADY, message))
            .floor("the fitter would look for something that is not there")
            .help("take this out, or write the step that puts it there first")
    };
    run.story.of(Offence::NotThere).map(finding).collect()
}
