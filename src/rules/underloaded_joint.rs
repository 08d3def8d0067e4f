//! A torque that leaves its bolts loose.
//!
//! ## What is found
//! The final torque of a joint makes a preload below 30 % of the proof stress of its class (of the yield for stainless steel). The
//! window commonly aimed into begins at 45 %; guards, covers and soft gaskets are commonly tightened less, so only what is
//! below two thirds of it is told (common practice, no source). A torque that is a limit (`role: limit`) is not told: it is
//! not what the bolts are pulled to. Where the class of the wrench is known (`class:` in the crib), the lower end of what it may give
//! is judged (ISO 6789-1: 4 or 6 % less), with the nominal K. How the preload is computed stands at `overloaded-joint`.
//!
//! ## On the floor
//! The joint leaks or works loose, and a bolt that is too loose breaks of fatigue.
//!
//! ## How to mend it
//! Ask whoever owns the value. A low torque can be meant (a soft gasket, a plastic part): then accept the finding with that
//! reason. Look whether the number was meant for another size, for oiled threads, or in another unit.

use crate::analysis::fastener::load::WINDOW;
use crate::analysis::job::{Job, in_every_job};
use crate::analysis::joint::JointHere;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::UNDERLOADED_JOINT;
use crate::model::binder::Binder;
use crate::model::family::TorqueRole;
use crate::rules::overloaded_joint::beside;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNDERLOADED_JOINT,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("underloaded_joint.rs"),
};

/// Two thirds of the lower end of the window.
const LEAST: f64 = WINDOW.0 * 2.0 / 3.0;

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    joints.iter().filter(|here| here.joint.role == TorqueRole::Target).filter_map(|here| told(job, here)).collect()
}

fn told(job: &Job<'_>, here: &JointHere<'_>) -> Option<Finding> {
    let load = job.load(here).ok().filter(|load| load.share_by_tool().low < LEAST)?;
    let share = load.share().nominal * 100.0;
    let message = format!(
        "the torque of `{}` pulls its bolts to {share:.0} % of {} only",
        here.joint.name.value,
        load.strength.reference().0
    );
    let message = match &load.tool {
        Some(tool) if load.share().nominal >= LEAST => {
            format!("{message}, and to less where the wrench is off by its {}", tool.shown())
        }
        _ => message,
    };
    let finding = Finding::warning(UNDERLOADED_JOINT, message).floor("the joint leaks or works loose");
    Some(beside(job, here, &load, finding))
}
