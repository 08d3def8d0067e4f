//! A machine that is filled while a part of its product side is off.
//!
//! ## What is found
//! A step lets fluid or pressure into the machine, and a part with `contact: product` is still off, which only a later step
//! fits.
//!
//! ## On the floor
//! It runs out of the open side, hot or under pressure.
//!
//! ## How to mend it
//! Move the step that fills behind the last one that closes the product side.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::FILLED_TOO_EARLY;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FILLED_TOO_EARLY,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("filled_too_early.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("it is filled while {} is off", named(&fact.things));
        told(run, fact, Finding::error(FILLED_TOO_EARLY, message))
            .label("it is filled here")
            .floor("it would run out of the open side")
            .help("move this behind the step that closes the product side")
    };
    run.story.of(Offence::FilledTooEarly).map(finding).collect()
}
