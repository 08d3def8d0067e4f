//! A torque that must never be passed, given as the torque to tighten to.
//!
//! ## What is found
//! A sentence tightens a joint to a torque, and the family says of that joint that its torque is a limit (`role: limit`).
//! A torque below the limit is not told here: it is not the limit.
//!
//! ## On the floor
//! The fitter pulls every bolt to the most it may bear, whatever the length or the gap says that really counts. Plates,
//! gaskets and bolts are damaged, and nobody sees it from outside.
//!
//! ## How to mend it
//! Say what is tightened for (a length, a gap) and give that as the target. Set the wrench to the limit, and say what to do
//! if it clicks before the target is reached.

use crate::analysis::run::Run;
use crate::analysis::tightening::{Tightening, tightenings};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LIMIT_USED_AS_TARGET;
use crate::model::family::TorqueRole;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LIMIT_USED_AS_TARGET,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("limit_used_as_target.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    let limits: Vec<_> = joints.into_iter().filter(|here| here.joint.role == TorqueRole::Limit).collect();
    tightenings(run, &limits).iter().filter(|one| reaches_the_limit(one)).map(|one| told(run, one)).collect()
}

fn reaches_the_limit(one: &Tightening<'_, '_>) -> bool {
    let limit = one.here.stages.iter().rev().find_map(|(_, torque)| *torque);
    matches!((one.aimed_at, limit), (Some(aimed), Some(limit)) if aimed.unit == limit.unit && aimed.number >= limit.number)
}

fn told(run: &Run<'_, '_>, one: &Tightening<'_, '_>) -> Finding {
    let joint = one.here.joint;
    Finding::error(
        LIMIT_USED_AS_TARGET,
        format!("the torque of `{}` is a limit, and here it is the target", joint.name.value),
    )
    .at(one.span)
    .also(joint.torque.span, "the family says that it must never be passed")
    .document(&run.job.procedure.document.value)
    .floor("every bolt would be pulled to the most it may bear, whatever the length says that counts")
    .help(
        "give the length or gap that is the target, set the wrench to the limit, and say what to do if it clicks first",
    )
}
