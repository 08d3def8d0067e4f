//! A step that does something to a part this machine does not have.
//!
//! ## What is found
//! On some machines of its effectivity a step names a part, opening or temporary item that the register gives only to others.
//!
//! ## On the floor
//! The fitter searches for a key on a shaft that has flats, and loses trust in the card.
//!
//! ## How to mend it
//! Limit the step (`{only size 2 to 4}`), or correct `only:` in the register.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::NOT_ON_THIS_MACHINE;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NOT_ON_THIS_MACHINE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("not_on_this_machine.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("this machine has no {}", named(&fact.things));
        told(run, fact, Finding::error(NOT_ON_THIS_MACHINE, message))
            .floor("the fitter would look for a part that is not there")
            .help("limit the step with `{only ...}`, or correct `only:` of the part")
    };
    run.story.of(Offence::Absent).map(finding).collect()
}
