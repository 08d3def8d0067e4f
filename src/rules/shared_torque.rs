//! Two joints of one job that take their torque from the same value.
//!
//! ## What is found
//! A step says which joint it tightens by naming the joint's torque. Two joints that the procedure lists, and that a
//! machine both has, name the same value.
//!
//! ## On the floor
//! Both joints would be printed at the step: the fitter would take the lubrication, the wrench or the pattern of the other
//! one.
//!
//! ## How to mend it
//! Give each joint a value of its own, even where the numbers are the same today: `guard torque` and `back-plate torque`.

use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::SHARED_TORQUE;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: SHARED_TORQUE,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("shared_torque.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    let mut findings = Vec::new();
    for (at, here) in joints.iter().enumerate() {
        let torque = &here.joint.torque;
        let Some(twin) = joints[..at].iter().find(|other| other.joint.torque.value == torque.value) else { continue };
        let message = format!(
            "`{}` and `{}` take their torque from the same value",
            twin.joint.name.value, here.joint.name.value
        );
        findings.push(
            Finding::error(SHARED_TORQUE, message)
                .at(torque.span)
                .also(twin.joint.torque.span, "and so does this one")
                .document(&job.procedure.document.value)
                .floor("a step that names the value would show the wrench and the lubrication of both")
                .help("give each joint a value of its own, even where the numbers are the same"),
        );
    }
    findings
}
