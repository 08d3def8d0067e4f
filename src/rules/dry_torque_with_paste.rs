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
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
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
    let tightened = run.deeds.iter().enumerate().filter(|(_, deed)| deed.action.act == Act::Tighten);
    let found = tightened.filter_map(|(at, deed)| {
        let here = dry.iter().find(|here| is_on(&deed.action.thing, here))?;
        Some(told(run, here, deed, put_on(run, here, at)?))
    });
    found.collect()
}

fn told(run: &Run<'_, '_>, here: &JointHere<'_>, deed: &Deed, wet: (&Deed, &Item)) -> Finding {
    let (wetted, fluid) = wet;
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

/// Returns the last deed before a tightening that leaves a fluid on the threads of a joint.
fn put_on<'r>(run: &'r Run<'_, '_>, here: &JointHere<'_>, tightening: usize) -> Option<(&'r Deed, &'r Item)> {
    let step = run.deeds[tightening].step;
    let mut wet: Vec<(&Deed, &Item, &str)> = Vec::new();
    for deed in &run.deeds[..tightening] {
        let on = if deed.action.to.is_empty() { deed.action.on.as_str() } else { deed.action.to.as_str() };
        match deed.action.act {
            Act::Apply => {
                let Some(fluid) = fluid(run, &deed.action.thing) else { continue };
                if is_on(on, here) || (deed.step == step && is_for_threads(fluid)) {
                    wet.push((deed, fluid, on));
                }
            }
            Act::Wipe => wet.retain(|(_, _, part)| Name::new(part) != Name::new(&deed.action.thing)),
            // Of a new fastener nobody has wetted anything yet.
            Act::New if is_on(&deed.action.thing, here) => wet.retain(|(own, ..)| own.step == deed.step),
            _ => {}
        }
    }
    wet.pop().map(|(deed, fluid, _)| (deed, fluid))
}

fn is_on(thing: &str, here: &JointHere<'_>) -> bool {
    !thing.is_empty() && here.joint.fastener.value == Name::new(thing)
}

fn fluid<'r>(run: &'r Run<'_, '_>, thing: &str) -> Option<&'r Item> {
    run.job.binder.crib.find_text(thing).filter(|item| matches!(item.kind, Kind::Fluid { .. }))
}

fn is_for_threads(fluid: &Item) -> bool {
    let Kind::Fluid { zone, nut_factors, .. } = &fluid.kind else { return false };
    !nut_factors.is_empty() || zone.to_lowercase().contains("thread")
}
