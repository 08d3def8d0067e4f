//! Passes of a tightening that are not those of the register.
//!
//! ## What is found
//! A step tightens a joint first to shares of its torque (`first to 30 %, then to 70 %, then to {torque}`), and the `stages:` of the
//! joint are others, or it has none. The card and the packet print the stages of the register with their torques, and the wrench is
//! held against them: every pass must be inside its range. Passes that do not rise are found too, since stages always do.
//!
//! ## On the floor
//! The step says one thing and the table beside it another: one fitter goes by the step, the next by the table.
//!
//! ## How to mend it
//! Write the passes once, under `stages:` of the joint (`[30 %, 70 %, final]`), and let the step say the same, or nothing of passes.
//! For a gasketed flange ask for the passes of the plant's own standard.

use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::PASSES_DIFFER;
use crate::language::action::Act;
use crate::model::family::TorqueStage;
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: PASSES_DIFFER,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("passes_differ.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    joints.iter().flat_map(|here| of_joint(run, here)).collect()
}

fn of_joint(run: &Run<'_, '_>, here: &JointHere<'_>) -> Vec<Finding> {
    let tightens = |deed: &&Deed| deed.action.act == Act::Tighten && here.is_fastened_by(&deed.action.thing);
    let deeds: Vec<&Deed> = run.deeds.iter().filter(tightens).collect();
    // A tightening to a torque ends the passes before it.
    let tightened = deeds.split_inclusive(|deed| deed.pass().is_none());
    tightened.filter_map(|deeds| told(run, here, deeds)).collect()
}

fn told(run: &Run<'_, '_>, here: &JointHere<'_>, deeds: &[&Deed]) -> Option<Finding> {
    let said: Vec<Decimal> = deeds.iter().filter_map(|deed| deed.pass()).collect();
    let first = deeds.first().filter(|_| !said.is_empty())?;
    let share = |stage: &TorqueStage| match stage {
        TorqueStage::Share(above, below) => Some(Decimal::from(*above) * Decimal::ONE_HUNDRED / Decimal::from(*below)),
        TorqueStage::Snug | TorqueStage::Final | TorqueStage::Round => None,
    };
    let registered: Vec<Decimal> = here.joint.stages.iter().filter_map(share).collect();
    if said == registered {
        return None;
    }
    let words = |shares: &[Decimal]| match shares {
        [] => "none".to_owned(),
        shares => {
            shares.iter().map(|share| format!("{} %", share.round_dp(1).normalize())).collect::<Vec<_>>().join(", ")
        }
    };
    let message = format!(
        "the passes of `{}` are {} here, and {} in its register",
        here.joint.name.value,
        words(&said),
        words(&registered)
    );
    let finding = Finding::warning(PASSES_DIFFER, message)
        .at(first.span)
        .also(here.joint.name.span, "the joint")
        .document(&run.job.procedure.document.value)
        .floor("the step says one thing and the table beside it another, and the wrench was held against the table")
        .help("write the passes under `stages:` of the joint, from the least to the whole: `[30 %, 70 %, final]`");
    Some(finding)
}
