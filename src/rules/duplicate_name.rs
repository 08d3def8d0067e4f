//! Two things of one name.
//!
//! ## What is found
//! Two tags, documents, families, crib items, options, parts, joints, values, cautions, readings, holds or labels
//! have the same name; or a part, an opening and a temporary item share one.
//!
//! ## On the floor
//! Nobody could say which of the two is meant.
//!
//! ## How to mend it
//! Rename one of them.

use crate::base::finding::{Finding, Severity};
use crate::base::name::{DocumentNumber, Name};
use crate::base::rule::DUPLICATE_NAME;
use crate::base::text::{Placed, Span};
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DUPLICATE_NAME,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("duplicate_name.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let text = |what: &str, span: Span| (Name::new(what), span);
    let tags = binder.fleet.iter().map(|machine| text(machine.tag.value.as_str(), machine.tag.span));
    let documents =
        binder.procedures.iter().map(|procedure| text(procedure.document.value.as_str(), procedure.document.span));
    let crib = binder.crib.items.iter().map(|item| text(item.id.value.as_str(), item.id.span));
    let families = binder.families.iter().map(|family| text(family.id.value.as_str(), family.id.span));
    let mut findings = twins("tag", tags, None);
    findings.extend(twins("document", documents, None));
    findings.extend(twins("item of the crib", crib, None));
    findings.extend(twins("family", families, None));
    findings.extend(binder.families.iter().flat_map(in_family));
    for procedure in &binder.procedures {
        findings.extend(in_procedure(procedure, binder.family(&procedure.family.value)));
    }
    findings
}

fn in_family(family: &Family) -> Vec<Finding> {
    let parts = family.parts.iter().flat_map(|part| std::iter::once(&part.name).chain(&part.also));
    let openings = family.openings.iter().flat_map(|opening| std::iter::once(&opening.name).chain(&opening.also));
    let items = family.temporary.iter().flat_map(|item| std::iter::once(&item.name).chain(&item.also));
    // A sentence may name any of them, so no two may be called alike.
    let mut findings = twins("part, opening or item", parts.chain(openings).chain(items).map(pair), None);
    findings.extend(twins("joint", family.joints.iter().map(|joint| pair(&joint.name)), None));
    findings.extend(twins("boundary", family.boundaries.iter().map(|boundary| pair(&boundary.name)), None));
    findings.extend(twins("value", family_values(family), None));
    for option in &family.options {
        let choices = option.choices.iter().map(|choice| (Name::new(&choice.value.value), choice.value.span));
        findings.extend(twins("choice", choices, None));
    }
    findings
}

/// Options and tag values are values too: a brace may name any of them.
fn family_values(family: &Family) -> impl Iterator<Item = (Name, Span)> {
    let options = family.options.iter().map(|option| pair(&option.name));
    let defined = family.values.definitions().map(|definition| pair(definition.name()));
    options.chain(family.tag_values.iter().map(pair)).chain(defined)
}

fn in_procedure(procedure: &Procedure, family: Option<&Family>) -> Vec<Finding> {
    let document = Some(&procedure.document.value);
    let labels = procedure.steps().flat_map(|step| &step.labels).map(pair);
    let own = procedure.values.definitions().map(|definition| pair(definition.name()));
    let values = family.into_iter().flat_map(family_values).chain(own);
    let mut findings = twins("caution", procedure.cautions.iter().map(|caution| pair(&caution.name)), document);
    findings.extend(twins("reading", procedure.readings.iter().map(|reading| pair(&reading.name)), document));
    findings.extend(twins("hold", procedure.holds.iter().map(|hold| pair(&hold.name)), document));
    findings.extend(twins("label", labels, document));
    // A twin inside the family is told once, by the family.
    let in_own_file = |finding: &Finding| finding.span.is_some_and(|span| span.file == procedure.file);
    findings.extend(twins("value", values, document).into_iter().filter(in_own_file));
    findings
}

fn pair(name: &Placed<Name>) -> (Name, Span) {
    (name.value.clone(), name.span)
}

fn twins(what: &str, names: impl Iterator<Item = (Name, Span)>, document: Option<&DocumentNumber>) -> Vec<Finding> {
    let mut first: BTreeMap<Name, Span> = BTreeMap::new();
    let mut findings = Vec::new();
    for (name, span) in names {
        let Some(earlier) = first.insert(name.clone(), span) else { continue };
        first.insert(name.clone(), earlier);
        let finding = Finding::error(DUPLICATE_NAME, format!("this {what} has the name of another: `{name}`"))
            .at(span)
            .label("second time")
            .also(earlier, "first time")
            .floor("nobody could say which of the two is meant")
            .help("rename one of them");
        findings.push(document.into_iter().fold(finding, super::super::base::finding::Finding::document));
    }
    findings
}
