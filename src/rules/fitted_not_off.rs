//! A part that is fitted into a place that is taken.
//!
//! ## What is found
//! A step fits a part, and the old one is still on: no step took it off. Or the part takes the place of another (`succeeds:` in
//! the register) that is still on.
//!
//! ## On the floor
//! The fitter holds the new part in his hand and the old one is still in the machine; if it can be forced, it will be.
//!
//! ## How to mend it
//! Write the step that takes the old one off, before this one.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::FITTED_NOT_OFF;
use crate::rules::{Found, Rule, are, named, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FITTED_NOT_OFF,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("fitted_not_off.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let part = named(&fact.things);
        let message = if fact.by.is_empty() {
            format!(
                "{part} {} fitted, and {} still on",
                are(&fact.things),
                if fact.things.len() == 1 { "the old one is" } else { "the old ones are" }
            )
        } else {
            format!("{part} is fitted into the place of {}, which is still on", named(&fact.by))
        };
        told(run, fact, Finding::error(FITTED_NOT_OFF, message))
            .label("nothing was taken off to make room for it")
            .floor("the old part would still be in the machine when the new one is to go in")
            .help("write the step that takes the old one off, or take this one out")
    };
    run.story.of(Offence::PlaceTaken).map(finding).collect()
}
