//! A fluid that a joint's torque counts on, and no step puts on.
//!
//! ## What is found
//! The state of a joint names one fluid of the crib (`L-03 on the studs`), its fastener is taken off or fitted and then tightened,
//! and no step before that puts this fluid onto the fastener, or onto the part that the state names, or onto anything in a step
//! that handles the fastener. What is wiped off again does not count, nor what was put on a fastener that a new one replaces. A
//! fastener that is only loosened keeps what is on it. Where a sentence that nobody has accepted names the fluid, nothing is said.
//!
//! ## On the floor
//! The torque is reached by friction: the bolts hold half of what they should, and stainless threads seize.
//!
//! ## How to mend it
//! Say it where it is done, before the tightening: `Apply L-03 to the studs.` If the threads are to be dry, the torque is
//! another: ask whoever owns the value.

use crate::analysis::held::names_of;
use crate::analysis::joint::JointHere;
use crate::analysis::naming::is_named;
use crate::analysis::run::{Deed, Run, Standing};
use crate::analysis::wetting::{Wet, wet_before};
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::FLUID_NOT_APPLIED;
use crate::language::action::Act;
use crate::model::crib::Item;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FLUID_NOT_APPLIED,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("fluid_not_applied.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    joints.iter().filter_map(|here| of_joint(run, here)).collect()
}

fn of_joint(run: &Run<'_, '_>, here: &JointHere<'_>) -> Option<Finding> {
    let fluids = run.job.fluids_in(&here.state);
    let [fluid] = fluids.as_slice() else { return None };
    let tightening = first_after_fitting(run, here)?;
    if is_on_the_threads(run, here, fluid, tightening) || may_be_put_on(run, fluid, tightening) {
        return None;
    }
    let id = &fluid.id.value;
    let message =
        format!("the torque of `{}` is for {id} on its threads, and no step puts it on", here.joint.name.value);
    let finding = Finding::warning(FLUID_NOT_APPLIED, message)
        .at(run.deeds[tightening].span)
        .also(here.joint.state.as_ref().map_or(here.joint.name.span, |state| state.span), "the state")
        .document(&run.job.procedure.document.value)
        .floor("without it friction takes the torque: the bolts hold half of what they should, and stainless threads seize")
        .help(format!("say it before the tightening: `Apply {id} to the {}.`", here.joint.fastener.value));
    Some(finding)
}

/// Returns the first deed that tightens the fastener after one that takes it off or fits it.
fn first_after_fitting(run: &Run<'_, '_>, here: &JointHere<'_>) -> Option<usize> {
    let of = |deed: &Deed, acts: &[Act]| acts.contains(&deed.action.act) && here.is_fastened_by(&deed.action.thing);
    let fitted = run.deeds.iter().position(|deed| of(deed, &[Act::Off, Act::Discard, Act::On, Act::New]))?;
    let after = run.deeds.iter().skip(fitted).position(|deed| of(deed, &[Act::Tighten]))?;
    Some(fitted + after)
}

/// Returns whether the fluid is on the threads when a deed tightens them.
fn is_on_the_threads(run: &Run<'_, '_>, here: &JointHere<'_>, fluid: &Item, tightening: usize) -> bool {
    let counts = |own: &Wet<'_>| own.fluid.id.value == fluid.id.value && reaches(run, here, own.deed);
    !wet_before(run, here, tightening, counts).is_empty()
}

/// Returns whether what is put on there may be on the threads of a joint: it is no other part, or the state names it, or the
/// step handles the fastener.
fn reaches(run: &Run<'_, '_>, here: &JointHere<'_>, deed: &Deed) -> bool {
    let handles = run.deeds_of(deed.step).any(|(_, own)| here.is_fastened_by(&own.action.thing));
    let Some(part) = run.job.family.part(&Name::new(deed.place())) else { return true };
    let mut names = std::iter::once(&part.name).chain(&part.also);
    handles || here.is_fastened_by(deed.place()) || names.any(|name| is_named(&here.state, name.value.as_str()))
}

/// Returns whether a sentence before it that is not sure speaks of the fluid.
fn may_be_put_on(run: &Run<'_, '_>, fluid: &Item, tightening: usize) -> bool {
    let steps = &run.steps[..=run.deeds[tightening].step];
    let mut open = steps.iter().flat_map(|step| &step.sentences).filter(|own| own.standing == Standing::Open);
    open.any(|own| {
        let text = run.filled(&own.read.sentence.text);
        names_of(fluid).chain([fluid.id.value.as_str()]).any(|name| is_named(&text, name))
    })
}
