//! Tightening stages that do not rise to the final torque.
//!
//! ## What is found
//! The `stages:` of a joint do not rise, or do not end with the final torque (`final`, or `100 %`); after it only `round` may
//! follow, which goes over the fasteners once more at the final torque.
//!
//! For a gasketed flange with a cross pattern the legacy scheme of ASME PCC-1 is: snug; 20 to 30 %; 50 to 70 %; 100 %; then once
//! round until none turns any more (from memory: hold it against the standard). A joint with fewer passes is not found: not
//! every joint has a gasket.
//!
//! ## On the floor
//! Half the bolts are loosened again by the pass that follows, or nobody ever reaches the torque of the register.
//!
//! ## How to mend it
//! Write the stages from the least to the whole: `[snug, 30 %, 70 %, final, round]`.

use crate::analysis::pattern::passes_in_words;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::STAGES_OUT_OF_ORDER;
use crate::model::binder::Binder;
use crate::model::family::{Joint, TorqueStage};
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: STAGES_OUT_OF_ORDER,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("stages_out_of_order.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let joints = binder.families.iter().flat_map(|family| &family.joints);
    joints.filter(|joint| !rises(&joint.stages)).map(told).collect()
}

fn told(joint: &Joint) -> Finding {
    Finding::error(STAGES_OUT_OF_ORDER, format!("the stages of `{}` do not rise to the final torque", joint.name.value))
        .at(joint.name.span)
        .floor("a pass loosens what the one before it tightened, or nobody reaches the torque")
        .help(format!(
            "write them from the least to the whole; a gasketed flange by ASME PCC-1, from memory: {}; then once round",
            passes_in_words()
        ))
}

/// Returns whether each stage is above the one before, and the last is the whole or hand tight; a round after it adds nothing.
fn rises(stages: &[TorqueStage]) -> bool {
    let (round, passes): (Vec<&TorqueStage>, Vec<&TorqueStage>) =
        stages.iter().partition(|stage| **stage == TorqueStage::Round);
    let is_at_the_end = round.is_empty() || (round.len() == 1 && stages.last() == Some(&TorqueStage::Round));
    let shares: Vec<Decimal> = passes.iter().map(|stage| share(**stage)).collect();
    let ends = match passes.as_slice() {
        [TorqueStage::Snug] => round.is_empty(),
        [.., last] => **last == TorqueStage::Final,
        [] => false,
    };
    is_at_the_end && ends && shares.windows(2).all(|pair| pair[0] < pair[1])
}

fn share(stage: TorqueStage) -> Decimal {
    match stage {
        TorqueStage::Snug => Decimal::ZERO,
        TorqueStage::Share(above, below) => Decimal::from(above) / Decimal::from(below),
        TorqueStage::Final | TorqueStage::Round => Decimal::ONE,
    }
}

#[cfg(test)]
mod tests {
    use super::rises;
    use crate::model::family::TorqueStage::{Final, Round, Share, Snug};

    #[test]
    fn stages_rise_to_the_whole() {
        for sound in [
            vec![Final],
            vec![Snug],
            vec![Snug, Share(30, 100), Share(70, 100), Final, Round],
            vec![Share(1, 2), Final],
        ] {
            assert!(rises(&sound), "{sound:?}");
        }
        for wrong in [
            vec![Final, Share(1, 2)],
            vec![Share(1, 2)],
            vec![Share(1, 2), Share(1, 3), Final],
            vec![Share(1, 2), Share(50, 100), Final],
            vec![Round, Final],
            vec![Round],
            vec![Snug, Round],
        ] {
            assert!(!rises(&wrong), "{wrong:?}");
        }
    }
}
