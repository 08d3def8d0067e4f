//! A torque whose lubrication state says nothing about lubrication.
//!
//! ## What is found
//! The `state` of a joint names no fluid of the crib, and its words say neither that the threads are dry nor what is on them; or
//! they say both. A nut factor given at the joint does not help the fitter: the state is what he prepares.
//!
//! ## On the floor
//! The same torque stretches an oiled bolt by half as much again as a dry one. The fitter would take whatever paste is at hand.
//!
//! ## How to mend it
//! Write what is on the threads when the torque is applied: the number of the fluid (`L-03 on the threads`), or `dry` with the
//! plating (`dry, zinc plated`). Ask the maker where it is not known.

use crate::analysis::fastener::friction::Wetness;
use crate::analysis::job::{Job, in_every_job};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::TORQUE_WITHOUT_STATE;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TORQUE_WITHOUT_STATE,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("torque_without_state.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    let unsaid = joints.iter().filter(|here| job.wetness(here) == Wetness::Unsaid);
    let told = unsaid.map(|here| {
        let message = format!("`{}` does not say what is on the threads of `{}`", here.state, here.joint.name.value);
        Finding::warning(TORQUE_WITHOUT_STATE, message)
            .at(here.joint.state.as_ref().map_or(here.joint.name.span, |state| state.span))
            .document(&job.procedure.document.value)
            .floor(
                "a torque without its lubrication is no torque: oiled threads stretch the bolt by half as much again",
            )
            .help("name the fluid by its number, or write `dry` and the plating")
    });
    told.collect()
}
