//! Something that is declared and never used.
//!
//! ## What is found
//! A caution, hold or reading of the front matter stands at no step. Nothing refers to a label and no card picks it, or no
//! procedure and no register names a value (notes).
//!
//! ## On the floor
//! A caution that is declared but stands at no step is not printed where it is needed. A value that nobody names may be one
//! that a step should have had in braces.
//!
//! ## How to mend it
//! Write `{caution NAME}`, `{hold NAME}` or `{record NAME}` into the step it belongs to; mark a caution that is for
//! the whole job `whole-job: yes`; or take it out.

use crate::analysis::coverage;
use crate::analysis::reading;
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::NEVER_USED;
use crate::base::text::Placed;
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::procedure::{Procedure, Reading, Step};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NEVER_USED,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("never_used.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings: Vec<Finding> = binder.families.iter().flat_map(|family| idle_values(binder, family)).collect();
    for procedure in &binder.procedures {
        findings.extend(in_procedure(procedure));
        let values = coverage::unused_values_of(binder, procedure);
        findings.extend(values.into_iter().map(|name| idle_value(name).document(&procedure.document.value)));
    }
    findings
}

fn idle_values(binder: &Binder, family: &Family) -> Vec<Finding> {
    coverage::unused_values(binder, family).into_iter().map(idle_value).collect()
}

fn idle_value(name: &Placed<Name>) -> Finding {
    Finding::note(NEVER_USED, format!("no procedure and no register names the value `{}`", name.value))
        .at(name.span)
        .help(format!("write `{{{}}}` where it is meant, or take it out", name.value))
}

fn in_procedure(procedure: &Procedure) -> Vec<Finding> {
    let at_steps = |names: fn(&Step) -> &Vec<Placed<Name>>| {
        procedure.steps().flat_map(names).map(|name| &name.value).collect::<Vec<_>>()
    };
    let cautions = at_steps(|step| &step.cautions);
    let holds = at_steps(|step| &step.holds);
    let records = at_steps(|step| &step.records);
    let takes = |record: &Name, reading: &Reading| {
        reading::declared(&procedure.readings, record).is_some_and(|(own, _)| std::ptr::eq(own, reading))
    };
    let recorded = |reading: &Reading| records.iter().any(|record| takes(record, reading));
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
    for reading in procedure.readings.iter().filter(|own| !recorded(own)) {
        told("record", &reading.name);
    }
    findings.extend(idle_labels(procedure));
    findings
}

/// A label costs nothing, so one that is idle is only worth a note.
fn idle_labels(procedure: &Procedure) -> Vec<Finding> {
    let card = &procedure.card;
    let mut used: Vec<&Name> = procedure.references().into_iter().map(|name| &name.value).collect();
    used.extend(card.steps.iter().chain(&card.leave_out).map(|name| &name.value));
    let labels = procedure.steps().flat_map(|step| &step.labels);
    let idle = labels.filter(|label| !used.contains(&&label.value));
    let told = |label: &Placed<Name>| {
        Finding::note(NEVER_USED, format!("nothing refers to the label `{}`", label.value))
            .at(label.span)
            .document(&procedure.document.value)
            .help(format!("write `{{see {}}}` where it is meant, pick it for the card, or take it out", label.value))
    };
    idle.map(told).collect()
}
