//! A torque for dry threads, on threads that a step has put something on.
//!
//! ## What is found
//! A step tightens a joint whose state says `dry`, and before that a step puts a fluid onto its fastener; or, in the step that
//! tightens it, a fluid that is for threads (the crib gives it a nut factor, or a zone that names threads) onto any part, such as
//! the studs the nuts go on. A wipe in between undoes it. It is found where the sentences are sure.
//!
//! ## On the floor
//! With paste on the threads the dry torque stretches the bolt by half as much again, or to twice as much: past yield.
//!
//! ## How to mend it
//! Either the paste or the number is wrong: ask whoever owns the value. Write the state as it is at that moment, with the torque
//! that goes with it; or take the paste out of the step.

use crate::analysis::fastener::friction::Wetness;
use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::analysis::wetting::{Wet, wet_before};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::DRY_TORQUE_WITH_PASTE;
use crate::language::action::Act;
use crate::model::crib::{Item, Kind};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DRY_TORQUE_WITH_PASTE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("dry_torque_with_paste.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    let dry: Vec<&JointHere<'_>> = joints.iter().filter(|here| run.job.wetness(here) == Wetness::Dry).collect();
    let tightened =
        run.deeds.iter().enumerate().filter(|(_, deed)| deed.action.act == Act::Tighten && deed.pass().is_none());
    let found = tightened.filter_map(|(at, deed)| {
        let here = dry.iter().find(|here| here.is_fastened_by(&deed.action.thing))?;
        Some(told(run, here, deed, put_on(run, here, at)?))
    });
    found.collect()
}

fn told(run: &Run<'_, '_>, here: &JointHere<'_>, deed: &Deed, wet: Wet<'_>) -> Finding {
    let Wet { deed: wetted, fluid } = wet;
    let message =
        format!("`{}` has a torque for dry threads, and {} is on them", here.joint.name.value, fluid.id.value);
    Finding::error(DRY_TORQUE_WITH_PASTE, message)
        .at(deed.span)
        .also(wetted.span, format!("{} is put on here", fluid.id.value))
        .also(here.joint.state.as_ref().map_or(here.joint.name.span, |state| state.span), "the state says dry")
        .document(&run.job.procedure.document.value)
        .floor(
            "the same torque stretches a bolt with paste on it by half as much again, or to twice as much: past yield",
        )
        .help("either the paste or the number is wrong: ask whoever owns the value, never guess a torque")
}

/// Returns the last deed before a tightening that leaves a fluid on the threads of a joint: on its fastener, or, within the step,
/// one that is for threads.
fn put_on<'r>(run: &'r Run<'_, '_>, here: &JointHere<'_>, tightening: usize) -> Option<Wet<'r>> {
    let step = run.deeds[tightening].step;
    let counts =
        |own: &Wet<'r>| here.is_fastened_by(own.deed.place()) || (own.deed.step == step && is_for_threads(own.fluid));
    wet_before(run, here, tightening, counts).pop()
}

fn is_for_threads(fluid: &Item) -> bool {
    let Kind::Fluid { zone, nut_factors, .. } = &fluid.kind else { return false };
    !nut_factors.is_empty() || zone.to_lowercase().contains("thread")
}
