//! A stainless fastener that is tightened dry.
//!
//! ## What is found
//! A joint of a stainless class (`A2-70`, `A4-80`) whose state says that its threads are dry. It goes by the class; a part whose
//! material alone is stainless is not told.
//!
//! ## On the floor
//! Stainless on stainless galls: the nut seizes halfway, the wrench clicks, and the bolt is not stretched. Often it has to be cut
//! off. (Common practice, no source; published nut factors for it go from 0.30 to 0.50.)
//!
//! ## How to mend it
//! Name the paste that goes onto the threads, and ask whoever owns the value for the torque that goes with it: the dry torque
//! is too high for it.

use crate::analysis::fastener::class::{Class, Material};
use crate::analysis::fastener::friction::Wetness;
use crate::analysis::job::{Job, in_every_job};
use crate::analysis::joint::JointHere;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::STAINLESS_DRY;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: STAINLESS_DRY,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("stainless_dry.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let (joints, _) = job.joints();
    let dry = joints.iter().filter(|here| is_stainless(here) && job.wetness(here) == Wetness::Dry);
    let told = dry.map(|here| {
        let message = format!("`{}` is {} and is tightened dry", here.joint.name.value, here.joint.class);
        Finding::warning(STAINLESS_DRY, message)
            .at(here.joint.state.as_ref().map_or(here.joint.name.span, |state| state.span))
            .document(&job.procedure.document.value)
            .floor("stainless on stainless galls: the nut seizes before the bolt is stretched")
            .help("name the paste, and ask whoever owns the value for the torque that goes with it")
    });
    told.collect()
}

fn is_stainless(here: &JointHere<'_>) -> bool {
    Class::parse(&here.joint.class).is_ok_and(|class| class.material == Material::Stainless)
}
