//! A drain, vent or cover that is open at the end.
//!
//! ## What is found
//! A step opens an opening of the register, and when the last step is done it is not closed, or not all of them are.
//!
//! ## On the floor
//! The line is filled, and product or hot caustic runs onto the floor, or onto somebody.
//!
//! ## How to mend it
//! Write the step that closes it, before the locks come off.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LEFT_OPEN;
use crate::rules::{Found, Rule, are, named, told};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: LEFT_OPEN, severity: Severity::Error, found: Found::Run(check), source: include_str!("left_open.rs") };

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("{} {} open at the end", named(&fact.things), are(&fact.things));
        told(run, fact, Finding::error(LEFT_OPEN, message))
            .label("it is opened here")
            .floor("what is let in at the hand back would run out here")
            .help("write the step that closes it")
    };
    run.story.of(Offence::LeftOpen).map(finding).collect()
}
