//! An energy that the job comes near, and that no caution tells of.
//!
//! ## What is found
//! The procedure says of its cautions what they cover. A boundary of this machine is opened or its parts are loosened, or the
//! machine is run, and no caution covers it. A procedure whose cautions cover nothing is not judged.
//!
//! ## On the floor
//! The one energy that nobody wrote about is the one that hurts.
//!
//! ## How to mend it
//! Write a caution with `covers: [BOUNDARY]` and put it into the first step that comes near it.

use crate::analysis::exposure::{Harm, first_exposure};
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::HAZARD_WITHOUT_CAUTION;
use crate::model::procedure::RUNNING;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: HAZARD_WITHOUT_CAUTION,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("hazard_without_caution.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let cautions = || run.job.procedure.cautions.iter().filter(|caution| run.job.applies(caution.only.as_ref()));
    if cautions().all(|caution| caution.covers.is_empty()) {
        return Vec::new();
    }
    let boundaries = run.job.boundaries_here().into_iter();
    let hazards = boundaries.map(|boundary| (boundary.name.value.clone(), boundary.energy.as_str()));
    let open = hazards
        .chain([(Name::new(RUNNING), "moving parts")])
        .filter(|(name, _)| !cautions().any(|caution| caution.covers.iter().any(|covered| covered.value == *name)));
    let finding = |(name, energy): (Name, &str)| {
        let deed = &run.deeds[first_exposure(run, &name, Harm::Person)?];
        let message = if name.folded() == RUNNING {
            "no caution tells of the running machine".to_owned()
        } else {
            format!("no caution tells of {energy} at `{name}`")
        };
        let finding = Finding::warning(HAZARD_WITHOUT_CAUTION, message)
            .at(deed.span)
            .label("the hazard begins here")
            .floor("nobody would be warned of it")
            .help(format!("write a caution with `covers: [{name}]` and put it into this step"));
        Some(finding)
    };
    open.filter_map(finding).collect()
}
