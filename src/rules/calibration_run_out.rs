//! A torque tool or instrument whose calibration has run out.
//!
//! ## What is found
//! A job draws a torque tool or an instrument, and today is after its `due:` date in `crib-status.yaml`; or the register lists
//! other tools and not this one, or gives it a day that is not in the calendar. Nothing is said of a binder without that
//! register, and what a tool is calibrated for is not looked at. The day decides what is found, and nothing else: no packet
//! holds it, and none is kept from being made by it.
//!
//! ## On the floor
//! The fitter reads the sticker at the crib window and has no tool for the job; or does not read it, and every joint and reading
//! since then is in doubt.
//!
//! ## How to mend it
//! Send the tool out before the job is planned and enter the new day, or name another tool. ISO 6789-1 calls for 12 months or
//! 5000 uses where nobody says otherwise (from memory).

use crate::analysis::kit::ItemHere;
use crate::analysis::run::Run;
use crate::base::date::Date;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::CALIBRATION_RUN_OUT;
use crate::model::crib::Kind;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CALIBRATION_RUN_OUT,
    severity: Severity::Warning,
    found: Found::Dated(check),
    source: include_str!("calibration_run_out.rs"),
};

fn check(run: &Run<'_, '_>, today: Date) -> Vec<Finding> {
    if run.job.binder.calibration.is_empty() {
        return Vec::new();
    }
    let (kit, _) = run.kit();
    let is_calibrated = |kind: &Kind| matches!(kind, Kind::TorqueTool { .. } | Kind::Instrument { .. });
    kit.kind(is_calibrated).filter_map(|here| of_tool(run, here, today)).collect()
}

fn of_tool(run: &Run<'_, '_>, here: &ItemHere, today: Date) -> Option<Finding> {
    let id = &here.item.id;
    let own = run.job.binder.calibration.iter().find(|own| own.id.value.trim() == id.value.as_str());
    let (message, span) = match own {
        None => (format!("no register says until when `{}` is calibrated", id.value), id.span),
        Some(own) => match Date::parse(own.due.value.trim()) {
            Ok(due) if today <= due => return None,
            Ok(due) => (format!("the calibration of `{}` ran out after {due}", id.value), own.due.span),
            Err(fault) => (format!("until when `{}` is calibrated cannot be read: {fault}", id.value), own.due.span),
        },
    };
    let finding = Finding::warning(CALIBRATION_RUN_OUT, message)
        .at(span)
        .document(&run.job.procedure.document.value)
        .floor(
            "the crib has no tool for this job that may be used, or every joint and reading done with it is in doubt",
        )
        .help(
            "send it out before the job is planned and enter the new day in `crib-status.yaml`, or name another tool",
        );
    Some(match here.need.uses.first() {
        Some(first) => finding.also(first.span, "it is first used here"),
        None => finding,
    })
}
