//! An order that stands under a heading and is no step.
//!
//! ## What is found
//! A sentence between a heading and its first step, or an item of a list there, begins with an order that moves, opens or locks
//! something (`- Remove the guard screws.`).
//!
//! ## On the floor
//! It is printed without number and box, so it is done or not. It is not executed on paper either: nothing is proved about what
//! it does.
//!
//! ## How to mend it
//! Write it as a step: `1. Remove the guard screws.` A note says what is so, not what to do.

use crate::analysis::imperative::{Opening, STEPS, forbids, opening};
use crate::analysis::wording::{Place, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::ORDER_OUTSIDE_A_STEP;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ORDER_OUTSIDE_A_STEP,
    severity: Severity::Error,
    found: Found::Wording(check),
    source: include_str!("order_outside_a_step.rs"),
};

/// Orders that are steps as well, and never stand in a caution.
const ALSO: [&str; 5] = ["run", "start", "stop", "discard", "undo"];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let notes = writing.sayings.iter().filter(|saying| saying.step.is_none());
    for saying in notes.filter(|saying| matches!(saying.place, Place::Note | Place::Item | Place::Cell)) {
        let Opening::Verb(at) = opening(saying) else { continue };
        let verb = saying.word(at);
        if !(STEPS.contains(&verb) || ALSO.contains(&verb)) || forbids(saying) {
            continue;
        }
        let finding = Finding::error(ORDER_OUTSIDE_A_STEP, format!("`{verb}` is an order, and stands in no step"))
            .at(saying.span(at..at + 1))
            .floor("it has no number and no box, and what it does to the machine is not executed on paper")
            .help("write it as a numbered step; a note says what is so, not what to do");
        findings.push(writing.told(saying, finding));
    }
    findings
}
