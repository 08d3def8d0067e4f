//! A machine that runs before its guards are on.
//!
//! ## What is found
//! A step starts or runs the machine, and a part that the register marks `guard: yes` is still off, or a temporary item still
//! in, and only a later step mends it.
//!
//! ## On the floor
//! The trial run is done with a turning shaft within reach, or against a blank that is still in the line.
//!
//! ## How to mend it
//! Move the run behind the step that fits the guards and takes out what was put in.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::analysis::thing::Thing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::RUN_BEFORE_GUARDS;
use crate::rules::{Found, Rule, are, named, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: RUN_BEFORE_GUARDS,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("run_before_guards.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let is_item = |name: &&String| matches!(run.things.get(name), Thing::Temporary(..));
        let (items, guards): (Vec<String>, Vec<String>) = fact.things.iter().cloned().partition(|name| is_item(&name));
        let mut what = Vec::new();
        if !guards.is_empty() {
            what.push(format!("{} {} on", named(&guards), are(&guards)));
        }
        if !items.is_empty() {
            what.push(format!("{} {} out", named(&items), are(&items)));
        }
        let message = format!("the machine runs before {}", what.join(" and "));
        told(run, fact, Finding::error(RUN_BEFORE_GUARDS, message))
            .label("it runs here")
            .floor("somebody would stand beside a running machine without its guard")
            .help("move the run behind the step that fits the guards and takes out what was put in")
    };
    run.story.of(Offence::RunBeforeGuards).map(finding).collect()
}
