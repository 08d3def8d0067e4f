//! A torque without a wrench that shows it.
//!
//! ## What is found
//! A joint that the procedure tightens names, under `wrench:`, a tool that shows no torque. (A wrench that is not named is
//! told by `schema-violation`, one that is not held by `not-held`.)
//!
//! ## On the floor
//! The torque stands at the step, and the kit holds nothing to reach it with. The fitter takes what lies nearest.
//!
//! ## How to mend it
//! Name the wrench under `wrench:` of the joint: a value by options, or the crib's number.

use crate::analysis::job::{Job, in_every_job};
use crate::analysis::joint::JointHere;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::NO_WRENCH_FOR_TORQUE;
use crate::model::binder::Binder;
use crate::model::crib::Kind;
use crate::rules::wrench_out_of_range::covering;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NO_WRENCH_FOR_TORQUE,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("no_wrench_for_torque.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    joints.iter().filter_map(|here| of_joint(job, here)).collect()
}

fn of_joint(job: &Job<'_>, here: &JointHere<'_>) -> Option<Finding> {
    let name = &here.joint.name.value;
    // A joint that is only made hand tight needs no wrench.
    if here.stages.iter().all(|(_, torque)| torque.is_none()) {
        return None;
    }
    let (Some(named), Some(item)) = (&here.joint.wrench, &here.wrench) else { return None };
    if matches!(item.kind, Kind::TorqueTool { .. }) {
        return None;
    }
    let message = format!("`{}` shows no torque, and `{name}` is tightened with it", item.id.value);
    let finding = Finding::error(NO_WRENCH_FOR_TORQUE, message)
        .at(named.span)
        .document(&job.procedure.document.value)
        .floor("the torque stands at the step, and the kit holds nothing to reach it with");
    Some(finding.help(covering(job, here)))
}
