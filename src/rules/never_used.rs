//! Something that is declared and never used.
//!
//! ## What is found
//! A caution, hold or reading of the front matter stands at no step, or a label is referred to by nothing.
//!
//! ## On the floor
//! A caution that is declared but stands at no step is not printed where it is needed.
//!
//! ## How to mend it
//! Write `{caution NAME}`, `{hold NAME}` or `{record NAME}` into the step it belongs to; mark a caution that is for
//! the whole job `whole-job: yes`; or take it out.

use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::NEVER_USED;
use crate::base::text::Placed;
use crate::model::binder::Binder;
use crate::model::procedure::{Procedure, Step};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NEVER_USED,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("never_used.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    binder.procedures.iter().flat_map(in_procedure).collect()
}

fn in_procedure(procedure: &Procedure) -> Vec<Finding> {
    let at_steps = |names: fn(&Step) -> &Vec<Placed<Name>>| {
        procedure.steps().flat_map(names).map(|name| &name.value).collect::<Vec<_>>()
    };
    let cautions = at_steps(|step| &step.cautions);
    let holds = at_steps(|step| &step.holds);
    let records = at_steps(|step| &step.records);
    let recorded = |name: &Name| records.iter().any(|record| record.folded().starts_with(name.folded()));
    let mut findings = Vec::new();
    let mut told = |what: &str, name: &Placed<Name>| {
        findings.push(
            Finding::warning(NEVER_USED, format!("the {what} `{}` stands at no step", name.value))
                .at(name.span)
                .document(&procedure.document.value)
                .floor("it is declared, but the fitter does not meet it where it counts")
                .help(format!("write `{{{what} {}}}` into its step, or take it out", name.value)),
        );
    };
    for caution in procedure.cautions.iter().filter(|own| !own.whole_job && !cautions.contains(&&own.name.value)) {
        told("caution", &caution.name);
    }
    for hold in procedure.holds.iter().filter(|own| !holds.contains(&&own.name.value)) {
        told("hold", &hold.name);
    }
    for reading in procedure.readings.iter().filter(|own| !recorded(&own.name.value)) {
        told("record", &reading.name);
    }
    findings
}
