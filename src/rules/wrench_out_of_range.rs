//! A torque wrench that cannot show one of the torques it is named for.
//!
//! ## What is found
//! A stage of a joint (`half`, `final`) lies below the lowest mark of its wrench or above its highest, or the wrench shows
//! another unit; or a sentence names a torque tool beside a torque, or a share of it, that it does not show. Every stage counts: a wrench that covers the final torque may be too large for half of it. The lowest mark
//! itself is inside: the range of a torque tool begins there (ISO 6789-1:2017). A plant that keeps to a share of
//! the full scale as its lowest torque enters that as the lower end of the range.
//!
//! ## On the floor
//! Below its range a wrench clicks late or not at all, and a bolt is pulled until it yields; above it the fitter guesses.
//!
//! ## How to mend it
//! Name another wrench for this joint. If none covers every stage, ask whoever owns the value for other stages: never
//! leave a stage out by yourself.

use crate::analysis::fastener::load::final_torque;
use crate::analysis::job::Job;
use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::{Quantity, Range};
use crate::base::rule::WRENCH_OUT_OF_RANGE;
use crate::language::action::Act;
use crate::model::crib::Kind;
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: WRENCH_OUT_OF_RANGE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("wrench_out_of_range.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    let of_joints = joints.iter().filter_map(|here| of_joint(run.job, here));
    of_joints.chain(run.deeds.iter().flat_map(|deed| of_deed(run, &joints, deed))).collect()
}

/// Judges the torque tools that a sentence names beside a torque, whatever the joint says.
fn of_deed(run: &Run<'_, '_>, joints: &[JointHere<'_>], deed: &Deed) -> Vec<Finding> {
    let torque = deed.torque().or_else(|| of_pass(joints, deed));
    let Some(torque) = torque.filter(|_| deed.action.act == Act::Tighten) else { return Vec::new() };
    let named = deed.action.with.iter().filter_map(|tool| run.job.binder.crib.find_text(tool));
    let told = named.filter_map(|item| {
        let Kind::TorqueTool { range: Some(range), .. } = &item.kind else { return None };
        let why = why_outside(torque, range)?;
        let message = format!("`{}` cannot tighten `{}`: the torque {why}", item.id.value, deed.action.thing);
        let finding = Finding::error(WRENCH_OUT_OF_RANGE, message)
            .at(deed.span)
            .also(item.id.span, format!("it shows {}", plain(&range.to_string())))
            .document(&run.job.procedure.document.value)
            .floor("outside its range a wrench clicks late or not at all, and the bolt is pulled until it yields")
            .help("leave the wrench to the joint, which names one by its torque, or name one that shows it");
        Some(finding)
    });
    told.collect()
}

/// Returns the torque of a pass: its share of that of the joint.
fn of_pass(joints: &[JointHere<'_>], deed: &Deed) -> Option<Quantity> {
    let share = deed.pass()?;
    let whole = joints.iter().find(|here| here.is_fastened_by(&deed.action.thing)).and_then(final_torque)?;
    Some(Quantity { number: (whole.number * share / Decimal::ONE_HUNDRED).normalize(), unit: whole.unit })
}

fn of_joint(job: &Job<'_>, here: &JointHere<'_>) -> Option<Finding> {
    let wrench = here.wrench.as_ref()?;
    let Kind::TorqueTool { range: Some(range), .. } = &wrench.kind else { return None };
    let set = if here.adapter.is_some() { " (set for the adapter)" } else { "" };
    let outside: Vec<String> = here
        .on_the_wrench()
        .filter_map(|(stage, torque)| Some(format!("{stage}{set} {}", why_outside(torque?, range)?)))
        .collect();
    if outside.is_empty() {
        return None;
    }
    let span = here.joint.wrench.as_ref().map_or(here.joint.name.span, |wrench| wrench.span);
    let message = format!("`{}` cannot tighten `{}`", wrench.id.value, here.joint.name.value);
    let finding = Finding::error(WRENCH_OUT_OF_RANGE, message)
        .at(span)
        .document(&job.procedure.document.value)
        .floor("outside its range a wrench clicks late or not at all, and the bolt is pulled until it yields")
        .help(covering(job, here));
    let finding = outside.iter().fold(finding, |finding, why| finding.also(here.joint.torque.span, why));
    Some(finding.also(wrench.id.span, format!("it shows {}", plain(&range.to_string()))))
}

/// Says why a torque cannot be shown; none where it can.
fn why_outside(torque: Quantity, range: &Range) -> Option<String> {
    let shown = plain(&torque.to_string());
    if torque.unit != range.unit {
        return Some(format!("is {shown}, and the wrench shows {}", range.unit.symbol()));
    }
    if torque.number < range.low {
        return Some(format!("is {shown}, below the lowest mark of {}", range.low));
    }
    (torque.number > range.high).then(|| format!("is {shown}, above the highest mark of {}", range.high))
}

/// Says which torque tools the crib holds for a joint.
pub(super) fn covering(job: &Job<'_>, here: &JointHere<'_>) -> String {
    if here.adapter.is_some() {
        return "name another wrench: with an adapter every wrench has a setting of its own".to_owned();
    }
    let stages: Vec<Quantity> = here.stages.iter().filter_map(|(_, torque)| *torque).collect();
    let tools: Vec<String> = job.tools_that_show(&stages).iter().map(|item| format!("`{}`", item.id.value)).collect();
    if tools.is_empty() {
        return "no torque tool of the crib shows every stage: ask whoever owns the value, and never leave a stage out"
            .to_owned();
    }
    format!("every stage is shown by: {}", tools.join(", "))
}

fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}
