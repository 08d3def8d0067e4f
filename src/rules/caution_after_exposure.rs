//! A caution that stands after the step that exposes somebody to its hazard.
//!
//! ## What is found
//! A caution says in `covers:` which boundaries, parts or openings its hazard comes from, or that it comes from the running
//! machine. The first step that comes near it (that closes, locks or opens a point or opening of the boundary, loosens or takes
//! off a part, moves the part, or runs the machine) stands before the step that carries the caution. A `notice` is about
//! property only: of a part that is thrown away it is the new one that counts.
//!
//! ## On the floor
//! The fitter reads about the hot caustic when it is already on the floor.
//!
//! ## How to mend it
//! Put `{caution NAME}` into the first step that comes near the hazard, or mark it `whole-job: yes`.

use crate::analysis::exposure::{Harm, first_exposure};
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::CAUTION_AFTER_EXPOSURE;
use crate::base::text::Placed;
use crate::model::procedure::Caution;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CAUTION_AFTER_EXPOSURE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("caution_after_exposure.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let here = |caution: &&Caution| run.job.applies(caution.only.as_ref()) && !caution.whole_job;
    run.job.procedure.cautions.iter().filter(here).filter_map(|caution| late(run, caution)).collect()
}

fn late(run: &Run<'_, '_>, caution: &Caution) -> Option<Finding> {
    let carries = |name: &&Placed<Name>| name.value == caution.name.value;
    let stands = run.steps.iter().position(|here| here.step.cautions.iter().any(|name| carries(&name)))?;
    let covers = caution.covers.iter().map(|covered| &covered.value);
    let harm = if caution.level.value == "notice" { Harm::Property } else { Harm::Person };
    let exposed = covers.filter_map(|covered| first_exposure(run, covered, harm).map(|deed| (deed, covered.as_str())));
    let (deed, covered) = exposed.min()?;
    let deed = &run.deeds[deed];
    if stands <= deed.step {
        return None;
    }
    let place = run.steps[stands].step.cautions.iter().find(carries)?.span;
    let message = format!("the caution `{}` stands after the step that exposes `{covered}`", caution.name.value);
    let finding = Finding::error(CAUTION_AFTER_EXPOSURE, message)
        .at(place)
        .label("too late")
        .also(deed.span, "the hazard begins here")
        .floor("the fitter would read it after he was exposed")
        .help("put the caution into the step where the hazard begins, or mark it `whole-job: yes`");
    Some(finding)
}
