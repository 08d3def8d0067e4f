//! A lock that is on at the end.
//!
//! ## What is found
//! A step locks isolation points, and no later step takes the locks off.
//!
//! ## On the floor
//! The machine is handed back and cannot be started; the lock is cut off by somebody who does not know why it is there.
//!
//! ## How to mend it
//! Write the step in which those who set the locks take them off, after everything is closed and back on.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LEFT_LOCKED;
use crate::rules::{Found, Rule, told};
use crate::rules::{are, named};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LEFT_LOCKED,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("left_locked.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = if fact.things.is_empty() {
            "the locks are still on at the end".to_owned()
        } else {
            format!("{} {} still locked at the end", named(&fact.things), are(&fact.things))
        };
        told(run, fact, Finding::error(LEFT_LOCKED, message))
            .label("locked here")
            .floor("the machine would be handed back locked, and somebody else would cut the locks off")
            .help("write the step in which their owners remove the locks")
    };
    run.story.of(Offence::LeftLocked).map(finding).collect()
}
