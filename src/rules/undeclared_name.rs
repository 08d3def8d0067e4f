//! A name that nothing declares.
//!
//! ## What is found
//! A brace, a list in the front matter or a register names a value, part, joint, caution, hold, reading, stage,
//! label, family or boundary that is not declared anywhere. What a part belongs to, is held by or succeeds, what an
//! opening releases, what a caution covers and what `configuration:` counts must be there too.
//!
//! ## On the floor
//! A brace would stand where the number belongs, or the caution would not be printed.
//!
//! ## How to mend it
//! Mend the spelling; the finding names the nearest name. Or declare it where its kind is declared.

use crate::base::finding::{Finding, Severity};
use crate::base::name::{Name, nearest};
use crate::base::rule::UNDECLARED_NAME;
use crate::base::text::{Placed, Span};
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::procedure::{Procedure, RUNNING};
use crate::rules::{Found, Rule};

/// This rule. What a procedure names is told while its packets are compiled; what one register names of another, here.
pub(super) const RULE: Rule = Rule {
    id: UNDECLARED_NAME,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("undeclared_name.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let families: Vec<&str> = binder.families.iter().map(|family| family.id.value.as_str()).collect();
    let mut findings = Vec::new();
    for machine in &binder.fleet {
        let tag = machine.tag.value.clone();
        let Some(family) = binder.family(&machine.family.value) else {
            let id = machine.family.value.as_str();
            findings.push(told("family", id, machine.family.span, &families).tags([tag]));
            continue;
        };
        let points = machine.isolation.iter().map(|point| &point.boundary);
        let unknown = machine.boundaries.iter().chain(points).filter(|name| family.boundary(&name.value).is_none());
        findings.extend(unknown.map(|name| unknown_boundary(family, name).tags([machine.tag.value.clone()])));
    }
    for procedure in binder.procedures.iter().filter(|procedure| binder.family(&procedure.family.value).is_none()) {
        let id = procedure.family.value.as_str();
        findings.push(told("family", id, procedure.family.span, &families).document(&procedure.document.value));
    }
    findings.extend(binder.families.iter().flat_map(in_family));
    findings.extend(binder.procedures.iter().flat_map(|procedure| in_procedure(binder, procedure)));
    let crib: Vec<&str> = binder.crib.items.iter().map(|item| item.id.value.as_str()).collect();
    let strangers = binder.calibration.iter().filter(|entry| binder.crib.find_text(&entry.id.value).is_none());
    findings.extend(strangers.map(|entry| Finding {
        // A date for a tool the crib no longer holds hurts nobody.
        severity: Severity::Warning,
        ..told("item of the crib", entry.id.value.trim(), entry.id.span, &crib)
    }));
    findings
}

/// Returns what a family says of things it does not have: such a word would silently protect nothing.
fn in_family(family: &Family) -> Vec<Finding> {
    let parts: Vec<&str> = family.parts.iter().map(|part| part.name.value.as_str()).collect();
    let named = family.parts.iter().flat_map(|part| part.of.iter().chain(&part.held_by).chain(&part.succeeds));
    let unknown = named.filter(|name| family.part(&name.value).is_none());
    let what = format!("part of family {} called", family.id.value);
    let mut findings: Vec<Finding> = unknown.map(|name| told(&what, name.value.as_str(), name.span, &parts)).collect();
    let released = family.openings.iter().flat_map(|opening| &opening.of);
    let unknown = released.filter(|name| family.boundary(&name.value).is_none());
    findings.extend(unknown.map(|name| unknown_boundary(family, name)));
    findings
}

/// Returns what the front matter covers or counts and the family does not have.
fn in_procedure(binder: &Binder, procedure: &Procedure) -> Vec<Finding> {
    let Some(family) = binder.family(&procedure.family.value) else { return Vec::new() };
    let parts: Vec<&str> = family.parts.iter().map(|part| part.name.value.as_str()).collect();
    let openings: Vec<&str> = family.openings.iter().map(|opening| opening.name.value.as_str()).collect();
    let boundaries = family.boundaries.iter().map(|boundary| boundary.name.value.as_str());
    let covered: Vec<&str> = boundaries.chain(parts.iter().copied()).chain(openings).chain([RUNNING]).collect();
    let is = |name: &Name, known: &[&str]| known.iter().any(|own| Name::new(own) == *name);
    let covers = procedure.cautions.iter().flat_map(|caution| &caution.covers);
    let strange = covers
        .filter(|name| !is(&name.value, &covered))
        .map(|name| told("boundary, part or opening called", name.value.as_str(), name.span, &covered));
    let configured = procedure.configuration.iter().map(|own| &own.part);
    let unknown = configured.filter(|name| family.part(&name.value).is_none()).map(|name| {
        told(&format!("part of family {} called", family.id.value), name.value.as_str(), name.span, &parts)
    });
    strange.chain(unknown).map(|finding| finding.document(&procedure.document.value)).collect()
}

fn unknown_boundary(family: &Family, name: &Placed<Name>) -> Finding {
    let known: Vec<&str> = family.boundaries.iter().map(|boundary| boundary.name.value.as_str()).collect();
    told(&format!("boundary of family {} called", family.id.value), name.value.as_str(), name.span, &known)
}

fn told(what: &str, wrong: &str, span: Span, known: &[&str]) -> Finding {
    let near = nearest(wrong, known.iter().copied()).map(|near| format!("did you mean `{near}`?"));
    Finding::error(UNDECLARED_NAME, format!("there is no {what} `{wrong}`"))
        .at(span)
        .help(near.unwrap_or_else(|| format!("there are: {}", known.join(", "))))
}
