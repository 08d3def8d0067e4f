//! An option that never makes a difference in a procedure.
//!
//! ## What is found
//! No step, table, part, limit or caution of the procedure depends on the option, whichever of its machines it is
//! for.
//!
//! ## On the floor
//! Nothing, if it is so. If the option should matter, a value is the same for all where it should not be.
//!
//! ## How to mend it
//! Read it as a question: is it right that this option does not matter here?

use crate::analysis::{coverage, effectivity};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::IDLE_OPTION;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: IDLE_OPTION,
    severity: Severity::Note,
    found: Found::Check(check),
    source: include_str!("idle_option.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in binder.procedures.iter().filter(|procedure| !effectivity::scope(binder, procedure).is_empty()) {
        let idle: Vec<String> =
            coverage::idle_options(binder, procedure).iter().map(|name| format!("`{name}`")).collect();
        if !idle.is_empty() {
            let verb = if idle.len() == 1 { "makes" } else { "make" };
            let message = format!("{} never {verb} a difference in this procedure", idle.join(", "));
            findings.push(
                Finding::note(IDLE_OPTION, message).at(procedure.document.span).document(&procedure.document.value),
            );
        }
    }
    findings
}
