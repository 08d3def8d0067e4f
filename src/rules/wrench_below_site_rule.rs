//! A torque below what the site uses a torque tool for.
//!
//! ## What is found
//! `binder.yaml` gives a `wrench-from:` under `limits:` (20 % of the full scale is common practice, and the 2003 edition of
//! ISO 6789 calibrated from there; ISO 6789-1:2017 begins a tool's range at its lowest mark). A stage of a joint lies on the
//! scale of its wrench, and below that share. With an adapter it is the setting that counts.
//!
//! ## On the floor
//! At the low end of its scale a wrench is off by more than its class says, and its click is easily missed.
//!
//! ## How to mend it
//! Name a smaller wrench for this joint. Where there is none, ask whoever owns the site's rule.

use crate::analysis::fastener::tool::lowest;
use crate::analysis::job::{Job, in_every_job};
use crate::analysis::joint::JointHere;
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::Quantity;
use crate::base::rule::WRENCH_BELOW_SITE_RULE;
use crate::model::binder::Binder;
use crate::model::crib::Kind;
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: WRENCH_BELOW_SITE_RULE,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("wrench_below_site_rule.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    match binder.settings.wrench_from {
        Some(percent) => in_every_job(binder, |job| in_job(job, percent)),
        None => Vec::new(),
    }
}

fn in_job(job: &Job<'_>, percent: u32) -> Vec<Finding> {
    let (joints, _) = job.joints();
    joints.iter().filter_map(|here| of_joint(job, here, percent)).collect()
}

fn of_joint(job: &Job<'_>, here: &JointHere<'_>, percent: u32) -> Option<Finding> {
    let wrench = here.wrench.as_ref()?;
    let Kind::TorqueTool { range: Some(range), .. } = &wrench.kind else { return None };
    let from = lowest(range, Some(Decimal::new(i64::from(percent), 2)));
    // What lies off the scale is told by another rule.
    let is_low = |torque: &Quantity| range.holds(*torque) && torque.number < from;
    let low: Vec<String> = here
        .on_the_wrench()
        .filter_map(|(stage, torque)| Some(format!("{stage} is {}", torque.filter(is_low)?).replace('\u{a0}', " ")))
        .collect();
    if low.is_empty() {
        return None;
    }
    let lowest = Quantity { number: from.normalize(), unit: range.unit }.to_string().replace('\u{a0}', " ");
    let message = format!(
        "`{}` is used from {lowest} ({percent} % of its full scale), and `{}` needs less",
        wrench.id.value, here.joint.name.value
    );
    let finding = Finding::warning(WRENCH_BELOW_SITE_RULE, message)
        .at(here.joint.wrench.as_ref().map_or(here.joint.name.span, |wrench| wrench.span))
        .document(&job.procedure.document.value)
        .floor(
            "at the low end of its scale a wrench is off by more than its class says, and its click is easily missed",
        )
        .help(others(job, here, percent));
    Some(low.iter().fold(finding, |finding, why| finding.also(here.joint.torque.span, why)))
}

/// Says which torque tools of the crib keep to the rule.
fn others(job: &Job<'_>, here: &JointHere<'_>, percent: u32) -> String {
    let share = Decimal::new(i64::from(percent), 2);
    let torques: Vec<Quantity> = here.stages.iter().filter_map(|(_, torque)| *torque).collect();
    let keeps = |kind: &Kind| match kind {
        Kind::TorqueTool { range: Some(range), .. } => {
            torques.iter().all(|torque| torque.number >= lowest(range, Some(share)))
        }
        _ => false,
    };
    let tools = job.tools_that_show(&torques).into_iter().filter(|item| here.adapter.is_none() && keeps(&item.kind));
    let tools: Vec<String> = tools.map(|item| format!("`{}`", item.id.value)).collect();
    if tools.is_empty() {
        return "name a smaller wrench; where there is none, ask whoever owns the site's rule".to_owned();
    }
    format!("the rule is kept by: {}", tools.join(", "))
}
