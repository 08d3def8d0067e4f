//! A torque that lies between two marks of its wrench.
//!
//! ## What is found
//! The crib gives the `graduation:` of a torque tool that is set (class II of ISO 6789-1, or no class), and a stage of a joint
//! is no whole number of its steps. A tool that shows the torque (class I) is read between its marks, and is not looked at. The
//! setting for an adapter is rounded to a mark by the program, and is not found.
//!
//! ## On the floor
//! It cannot be set. One fitter takes the mark above, the next the one below.
//!
//! ## How to mend it
//! Ask whoever owns the value for one that stands on the scale, or name a wrench with finer marks. Never round it by yourself.

use crate::analysis::job::{Job, in_every_job};
use crate::analysis::joint::JointHere;
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::Quantity;
use crate::base::rule::TORQUE_BETWEEN_MARKS;
use crate::model::binder::Binder;
use crate::model::crib::Kind;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TORQUE_BETWEEN_MARKS,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("torque_between_marks.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    joints.iter().filter(|here| here.adapter.is_none()).filter_map(|here| of_joint(job, here)).collect()
}

fn of_joint(job: &Job<'_>, here: &JointHere<'_>) -> Option<Finding> {
    let wrench = here.wrench.as_ref()?;
    let Kind::TorqueTool { graduation: Some(step), class, .. } = &wrench.kind else { return None };
    if class.starts_with("I ") {
        return None;
    }
    let is_between = |torque: &Quantity| torque.unit == step.unit && !(torque.number % step.number).is_zero();
    let between: Vec<String> = here
        .stages
        .iter()
        .filter_map(|(stage, torque)| Some(format!("{stage} is {}", torque.filter(is_between)?).replace('\u{a0}', " ")))
        .collect();
    if between.is_empty() {
        return None;
    }
    let marks = step.to_string().replace('\u{a0}', " ");
    let message =
        format!("`{}` has a mark every {marks}, and `{}` lies between two", wrench.id.value, here.joint.name.value);
    let finding = Finding::warning(TORQUE_BETWEEN_MARKS, message)
        .at(here.joint.wrench.as_ref().map_or(here.joint.name.span, |wrench| wrench.span))
        .document(&job.procedure.document.value)
        .floor("it cannot be set: one fitter takes the mark above, the next the one below")
        .help("ask for a torque that stands on the scale, or name a wrench with finer marks");
    Some(between.iter().fold(finding, |finding, why| finding.also(here.joint.torque.span, why)))
}
