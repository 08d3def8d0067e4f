//! A boundary of the machine that no step locks.
//!
//! ## What is found
//! The job takes something off, loosens it, opens it or locks something, and at least one isolation point of this machine is
//! locked by no step. Words that could mean one of several points (`the product valve`, where there are two) lock none.
//!
//! ## On the floor
//! The fitter locks what the card says, and the line that it forgot is still live.
//!
//! ## How to mend it
//! Write the step that locks it: `Close and lock each valve on the isolation sheet.` Name points by their boundary and kind
//! (`product in valve`), or by `each` and their kind.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::ISOLATION_INCOMPLETE;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ISOLATION_INCOMPLETE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("isolation_incomplete.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("no step locks the isolation points of {}", named(&fact.things));
        told(run, fact, Finding::error(ISOLATION_INCOMPLETE, message))
            .label("the machine is opened or locked here")
            .floor("somebody would work on it with this energy still connected")
            .help("write the step that locks them, by boundary and kind, or `each valve`")
    };
    run.story.of(Offence::NotIsolated).map(finding).collect()
}
