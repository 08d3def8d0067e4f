//! A fastener of a joint that is not tight at the end.
//!
//! ## What is found
//! A fastener that the register lists under a joint was off, loosened or fitted, and at the end not all of them are tightened to
//! the last stage: no step tightens them, or the last one tightens by hand, to a share, or to less than the torque of the joint.
//!
//! ## On the floor
//! The nuts are finger tight when the machine starts, and work loose.
//!
//! ## How to mend it
//! Write the step that tightens them, with the torque of the joint: `Tighten the casing nuts to {closure torque}.`

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::NOT_TIGHTENED;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NOT_TIGHTENED,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("not_tightened.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let joint = if fact.by.is_empty() { String::new() } else { format!(": joint {}", named(&fact.by)) };
        let message = format!("{} is not tight at the end{joint}", named(&fact.things));
        told(run, fact, Finding::error(NOT_TIGHTENED, message))
            .label("this is the last that is done to it")
            .floor("it would work loose when the machine runs")
            .help("write the step that tightens it to the torque of the joint")
    };
    run.story.of(Offence::NotTight).map(finding).collect()
}
