//! A temporary item that is in at the end.
//!
//! ## What is found
//! A step puts in something that the register lists under `temporary:` (a blank, a block, a cap), and no later step takes it
//! out, or not all of them.
//!
//! ## On the floor
//! A blank or a rag stays in the line, and the machine runs against it.
//!
//! ## How to mend it
//! Write the step that takes it out, and count it.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LEFT_IN;
use crate::rules::{Found, Rule, are, named, told};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: LEFT_IN, severity: Severity::Error, found: Found::Run(check), source: include_str!("left_in.rs") };

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message = format!("{} {} still in at the end", named(&fact.things), are(&fact.things));
        told(run, fact, Finding::error(LEFT_IN, message))
            .label("it is put in here")
            .floor("it would stay in the machine when it runs")
            .help("write the step that takes it out")
    };
    run.story.of(Offence::LeftIn).map(finding).collect()
}
