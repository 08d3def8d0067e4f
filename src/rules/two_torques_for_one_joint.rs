//! Two torques for the fastener of one machine.
//!
//! ## What is found
//! On one machine, two procedures that tighten the same fastener, or two joints of one procedure, come to different final
//! torques: a value of the procedure's own stands over that of the family, or two joints name two values. Torques that are the
//! same in two units are the same; a target and a limit are two things.
//!
//! ## On the floor
//! Which number is right depends on which paper is in the hand that day.
//!
//! ## How to mend it
//! Write the torque once, in the table of the family, and let every procedure name it.

use crate::analysis::effectivity;
use crate::analysis::fastener::load::final_torque;
use crate::analysis::fastener::si;
use crate::analysis::job::{Job, joined};
use crate::base::finding::{Finding, Severity};
use crate::base::name::{DocumentNumber, Name, Tag};
use crate::base::quantity::Quantity;
use crate::base::rule::TWO_TORQUES_FOR_ONE_JOINT;
use crate::base::text::Span;
use crate::model::binder::Binder;
use crate::model::family::TorqueRole;
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TWO_TORQUES_FOR_ONE_JOINT,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("two_torques_for_one_joint.rs"),
};

/// How far two torques may lie apart and still be one, as a share: the rounding of a conversion to three digits.
const SAME: f64 = 0.005;

/// A torque as a procedure has it.
struct Told<'b> {
    document: &'b DocumentNumber,
    joint: &'b Name,
    torque: Quantity,
    newton_metres: f64,
    span: Span,
}

fn check(binder: &Binder) -> Vec<Finding> {
    let mut by_fastener: BTreeMap<(&Tag, &Name, bool), Vec<Told<'_>>> = BTreeMap::new();
    for procedure in &binder.procedures {
        for machine in effectivity::scope(binder, procedure) {
            let Some(job) = Job::new(binder, procedure, machine) else { continue };
            let (joints, _) = job.joints();
            for here in &joints {
                let Some(torque) = final_torque(here) else { continue };
                let Ok(newton_metres) = si::newton_metres(torque) else { continue };
                let own = procedure.values.find(&here.joint.torque.value).map(|definition| definition.name().span);
                let span = own.unwrap_or(here.joint.torque.span);
                let key = (job.tag(), &here.joint.fastener.value, here.joint.role == TorqueRole::Limit);
                let told = Told {
                    document: &procedure.document.value,
                    joint: &here.joint.name.value,
                    torque,
                    newton_metres,
                    span,
                };
                by_fastener.entry(key).or_default().push(told);
            }
        }
    }
    let pairs = by_fastener.iter().flat_map(|((tag, fastener, _), told)| {
        let differs = |at: usize| told[..at].iter().find(|one| is_other(one, &told[at])).map(|one| (one, &told[at]));
        (1..told.len())
            .filter_map(differs)
            .map(|(one, two)| ((*tag).clone(), finding(fastener, one, two)))
            .collect::<Vec<_>>()
    });
    joined(pairs)
}

fn is_other(one: &Told<'_>, two: &Told<'_>) -> bool {
    (one.newton_metres - two.newton_metres).abs() > SAME * one.newton_metres.max(two.newton_metres)
}

fn finding(fastener: &Name, one: &Told<'_>, two: &Told<'_>) -> Finding {
    let message = format!(
        "`{fastener}` is tightened to {} here and to {} in {}",
        si::plain(two.torque),
        si::plain(one.torque),
        if one.document == two.document { format!("joint `{}`", one.joint) } else { one.document.to_string() },
    );
    Finding::warning(TWO_TORQUES_FOR_ONE_JOINT, message)
        .at(two.span)
        .also(one.span, format!("{} is given here", si::plain(one.torque)))
        .document(two.document)
        .floor("which number is right depends on which paper is in the hand that day")
        .help("write the torque once, in the table of the family, and let every procedure name it")
}
