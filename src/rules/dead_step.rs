//! A step, caution, hold, tool, part or torque that is for no machine.
//!
//! ## What is found
//! `{only ...}` of a step, or `only:` of something in the front matter, holds for none of the machines the procedure is
//! for. A part or joint of a family that is for no installed machine is a note.
//!
//! ## On the floor
//! It is printed nowhere; if it was meant for somebody, he does not have it.
//!
//! ## How to mend it
//! Look at the choices after `only`, and at `applies-to` of the procedure.

use crate::analysis::{coverage, effectivity};
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
    for family in &binder.families {
        let machines = coverage::installed(binder, family);
        for (what, only) in coverage::dead(family.limited_things(), family, &machines) {
            findings.push(
                Finding::note(DEAD_STEP, format!("this {what} is for no installed machine"))
                    .at(only.span)
                    .help("leave it for a machine to come, or look at the choices after `only`"),
            );
        }
    }
    for procedure in &binder.procedures {
        let Some(family) = binder.family(&procedure.family.value) else { continue };
        let scope = effectivity::scope(binder, procedure);
        for (what, only) in coverage::dead(procedure.limited_things(), family, &scope) {
            findings.push(
                Finding::warning(DEAD_STEP, format!("this {what} is for no machine of the procedure"))
                    .at(only.span)
                    .document(&procedure.document.value)
                    .floor("it is printed nowhere")
                    .help("look at the choices after `only` and at `applies-to`"),
            );
        }
    }
    findings
}
