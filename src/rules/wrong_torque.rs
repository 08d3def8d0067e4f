//! A fastener that a sentence tightens to another torque than that of its joint.
//!
//! ## What is found
//! A sentence tightens the fastener of a joint to a torque that is none of the joint's stages on this machine: the value of
//! another joint, or a figure typed by hand. Figures are compared after conversion.
//!
//! ## On the floor
//! The sentence stands beside the torque box and contradicts it, and the fitter follows the sentence: the bolt is stretched past
//! yield, or left loose.
//!
//! ## How to mend it
//! Name the torque of the joint in braces. If the joint's own value is wrong, correct it where it stands.

use crate::analysis::joint::JointHere;
use crate::analysis::run::Run;
use crate::analysis::tightening::{Tightening, tightenings};
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::Quantity;
use crate::base::rule::WRONG_TORQUE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: WRONG_TORQUE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("wrong_torque.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    tightenings(run, &joints).iter().filter_map(|own| of_tightening(run, own)).collect()
}

fn of_tightening(run: &Run<'_, '_>, own: &Tightening<'_, '_>) -> Option<Finding> {
    let aimed_at = own.aimed_at?;
    let stages: Vec<Quantity> = own.here.stages.iter().filter_map(|(_, torque)| *torque).collect();
    if stages.is_empty() || stages.iter().any(|stage| is_same(aimed_at, *stage)) {
        return None;
    }
    Some(told(run, own.here, own, aimed_at, &stages))
}

/// Returns whether two torques are one, to the last digit that is written. `33 lbf·ft` for `44.7 N·m` is not.
fn is_same(said: Quantity, stage: Quantity) -> bool {
    said == stage || said.in_unit(stage.unit).is_ok_and(|said| said.number == stage.number)
}

fn told(
    run: &Run<'_, '_>,
    here: &JointHere<'_>,
    own: &Tightening<'_, '_>,
    aimed_at: Quantity,
    stages: &[Quantity],
) -> Finding {
    let wanted: Vec<String> = stages.iter().map(ToString::to_string).collect();
    let name = &here.joint.name.value;
    let message = format!("`{name}` is tightened to {aimed_at}, and its torque is {}", wanted.join(", then "));
    Finding::error(WRONG_TORQUE, message)
        .at(own.span)
        .also(here.joint.name.span, "the joint is declared here")
        .document(&run.job.procedure.document.value)
        .floor("the fitter follows the sentence: the bolt is stretched past yield, or left loose")
        .help(format!("write `{{{}}}`; if that value is wrong, correct it where it stands", here.joint.torque.value))
}
