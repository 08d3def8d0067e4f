//! A procedure that is for no machine.
//!
//! ## What is found
//! No installed machine of the family has the choices that `applies-to` asks for, or the family has no machine.
//!
//! ## On the floor
//! Nothing is printed for it, and nobody would notice that a job has no procedure.
//!
//! ## How to mend it
//! Look at `applies-to` and at the options in `fleet.yaml`.

use crate::analysis::effectivity;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::APPLIES_TO_NOTHING;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: APPLIES_TO_NOTHING,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("applies_to_nothing.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let alone = binder.procedures.iter().filter(|procedure| {
        binder.family(&procedure.family.value).is_some() && effectivity::scope(binder, procedure).is_empty()
    });
    let told = alone.map(|procedure| {
        let span = procedure.applies_to.as_ref().map_or(procedure.family.span, |only| only.span);
        Finding::warning(APPLIES_TO_NOTHING, "this procedure is for no installed machine")
            .at(span)
            .document(&procedure.document.value)
            .floor("nothing is printed for it")
            .help("look at `applies-to` and at the options in `fleet.yaml`")
    });
    told.collect()
}
