//! A torque that no step tightens to.
//!
//! ## What is found
//! The front matter lists a joint under `torques`, and on some machine no step names its torque; or a step names the torque
//! of a joint that is not listed.
//!
//! ## On the floor
//! The torque stands in the table and the wrench in the kit, but no step says when to use it.
//!
//! ## How to mend it
//! Name the torque in the step that tightens the joint (`Tighten the nut to {nut torque}.`), or take the joint out
//! of the list.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::TORQUE_WITHOUT_STEP;
use crate::model::binder::Binder;
use crate::model::draw::Draw;
use crate::model::family::Joint;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TORQUE_WITHOUT_STEP,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("torque_without_step.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let steps = job.numbered_steps();
    let named: Vec<&Name> = steps.iter().flat_map(|(_, step)| step.values()).map(|name| &name.value).collect();
    let (joints, _) = job.joints();
    let idle = joints.iter().filter(|here| !named.contains(&&here.joint.torque.value));
    let told = idle.map(|here| {
        Finding::warning(TORQUE_WITHOUT_STEP, format!("no step names the torque of `{}`", here.joint.name.value))
            .at(here.joint.name.span)
            .document(&job.procedure.document.value)
            .floor("the wrench is in the kit, but nothing says when to use it")
            .help(format!("name `{{{}}}` in the step that tightens it, or take the joint out", here.joint.torque.value))
    });
    // The reverse: a torque in a sentence whose joint is not listed has neither wrench nor lubrication beside it.
    // One that is listed and cannot be told is told by itself.
    let listed = |torque: &Name| joints.iter().any(|here| here.joint.torque.value == *torque);
    let names =
        |draw: &Draw, joint: &Name| job.reference(&draw.what).is_ok_and(|name| Name::new(&name.value) == *joint);
    let is_listed = |joint: &Joint| job.procedure.torques.iter().any(|draw| names(draw, &joint.name.value));
    let mut alone = Vec::new();
    for name in steps.iter().flat_map(|(_, step)| step.values()).filter(|name| !listed(&name.value)) {
        let own =
            job.family.joints.iter().find(|joint| joint.torque.value == name.value && job.applies(joint.only.as_ref()));
        if let Some(joint) = own.filter(|joint| !is_listed(joint)) {
            alone.push(
                Finding::warning(
                    TORQUE_WITHOUT_STEP,
                    format!("the joint `{}` is tightened here but not listed", joint.name.value),
                )
                .at(name.span)
                .document(&job.procedure.document.value)
                .floor("the torque would stand without its wrench, lubrication and pattern")
                .help(format!("add `{}` under `torques:`", joint.name.value)),
            );
        }
    }
    told.chain(alone).collect()
}
