//! A step that is for no machine.
//!
//! ## What is found
//! `{only ...}` of a step holds for none of the machines the procedure is for.
//!
//! ## On the floor
//! The step is printed nowhere; if it was meant for somebody, he does not have it.
//!
//! ## How to mend it
//! Look at the choices after `only`, and at `applies-to` of the procedure.

use crate::analysis::coverage;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::DEAD_STEP;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DEAD_STEP,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("dead_step.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in &binder.procedures {
        let scope = crate::analysis::effectivity::scope(binder, procedure);
        for step in coverage::dead_steps(binder, procedure).into_iter().filter(|_| !scope.is_empty()) {
            let span = step.only.as_ref().map_or(step.span, |only| only.span);
            findings.push(
                Finding::warning(DEAD_STEP, "this step is for no machine of the procedure")
                    .at(span)
                    .document(&procedure.document.value)
                    .floor("it is printed nowhere")
                    .help("look at the choices after `only` and at `applies-to`"),
            );
        }
    }
    findings
}
