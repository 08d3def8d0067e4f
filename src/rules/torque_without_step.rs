//! A torque that no step tightens to.
//!
//! ## What is found
//! The front matter lists a joint under `torques`, and no step names its torque.
//!
//! ## On the floor
//! The torque stands in the table and the wrench in the kit, but no step says when to use it.
//!
//! ## How to mend it
//! Name the torque in the step that tightens the joint (`Tighten the nut to {nut torque}.`), or take the joint out
//! of the list.

use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::TORQUE_WITHOUT_STEP;
use crate::model::binder::Binder;
use crate::model::prose::Part;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TORQUE_WITHOUT_STEP,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("torque_without_step.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in &binder.procedures {
        let Some(family) = binder.family(&procedure.family.value) else { continue };
        let named: Vec<&Name> =
            procedure.steps().flat_map(crate::model::procedure::Step::values).map(|name| &name.value).collect();
        for draw in &procedure.torques {
            let [Part::Words(words)] = draw.what.parts.as_slice() else { continue };
            let Some(joint) = family.joint(&Name::new(words)) else { continue };
            if !named.contains(&&joint.torque.value) {
                findings.push(
                    Finding::warning(TORQUE_WITHOUT_STEP, format!("no step tightens `{}`", joint.name.value))
                        .at(draw.what.span)
                        .document(&procedure.document.value)
                        .floor("the wrench is in the kit, but nothing says when to use it")
                        .help(format!(
                            "name `{{{}}}` in the step that tightens it, or take the joint out",
                            joint.torque.value
                        )),
                );
            }
        }
    }
    findings
}
