//! A torque that pulls its bolts beyond what they bear.
//!
//! ## What is found
//! The final torque of a joint makes a preload above the proof stress of its class (above the yield where the standard has no
//! proof stress, as for stainless steel): an error. A target above 75 % of it is a warning: that is the upper end of the window
//! commonly aimed into (common practice, no source). The preload is F = T / (K d): thread and class from the register, K from
//! the joint's own `nut-factor`, else from the crib's figure for the fluid its state names, else from a published range for
//! the state. Where one of them is not known, nothing is computed. It is a plausibility check, never a design calculation: real
//! friction is not known, and the band of K is told beside the figure.
//!
//! A wrench may be off: by 4 or 6 % of what it shows, by its class in ISO 6789-1 (`class:` in the crib). Where it is known, the error
//! is judged at its upper end, with the nominal K: a bolt that a sound wrench can pull beyond proof is overloaded. The band beside
//! the figure takes both at their worst, since neither the range of K nor the limit of the wrench is a standard deviation. The
//! warning above the window is judged without it: the window has room for that.
//!
//! ## On the floor
//! The bolt stretches for good or breaks: at once, or when the machine is hot and under pressure. A dry torque on threads with
//! paste, or a figure in lbf·ft read as N·m, does this.
//!
//! ## How to mend it
//! Ask whoever owns the value, with the maker's data in hand. Look whether the number was meant for other threads, for another
//! lubrication or in another unit. `matchmark calc preload` shows the figures with their sources. Never guess a torque.

use crate::analysis::fastener::load::{Load, WINDOW};
use crate::analysis::job::{Job, in_every_job};
use crate::analysis::joint::JointHere;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::OVERLOADED_JOINT;
use crate::model::binder::Binder;
use crate::model::family::TorqueRole;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: OVERLOADED_JOINT,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("overloaded_joint.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    let loaded = |here: &JointHere<'_>| told(job, here, &job.load(here).ok()?);
    joints.iter().filter_map(loaded).collect()
}

fn told(job: &Job<'_>, here: &JointHere<'_>, load: &Load) -> Option<Finding> {
    let (share, most) = (load.share().nominal, load.share_by_tool().high);
    let name = &here.joint.name.value;
    let message =
        format!("the torque of `{name}` pulls its bolts to {:.0} % of {}", share * 100.0, load.strength.reference().0);
    let message = match &load.tool {
        Some(tool) if share <= 1.0 && most > 1.0 => {
            format!("{message}, and beyond it where the wrench is off by its {}", tool.shown())
        }
        _ => message,
    };
    let finding = if most > 1.0 {
        Finding::error(OVERLOADED_JOINT, message)
            .floor("the bolt stretches for good or breaks, perhaps only when the machine runs")
    } else if share > WINDOW.1 && here.joint.role == TorqueRole::Target {
        let floor = "little is left for what the machine adds, and for friction that is lower than thought";
        Finding::warning(OVERLOADED_JOINT, message).floor(floor)
    } else {
        return None;
    };
    Some(beside(job, here, load, finding))
}

/// Adds to a finding on a load its place, its figures, and what to do.
pub(super) fn beside(job: &Job<'_>, here: &JointHere<'_>, load: &Load, finding: Finding) -> Finding {
    let factor = format!("K {:.2} ({})", load.factor.nominal, load.factor.source.text);
    let figures = format!("{}; {}", load.in_words(), load.band_in_words());
    let thread = here.joint.thread.as_ref().map_or(here.joint.name.span, |thread| thread.span);
    let state = here.joint.state.as_ref().map_or(here.joint.name.span, |state| state.span);
    finding
        .at(here.joint.torque.span)
        .label(figures)
        .also(thread, format!("{} {}", load.thread.name, load.class.shown()))
        .also(state, factor)
        .document(&job.procedure.document.value)
        .help("a plausibility check, never a design calculation: ask whoever owns the value, and never guess a torque")
}
