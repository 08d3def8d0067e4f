//! One thing measured in two systems of units.
//!
//! ## What is found
//! A procedure gives a pressure in bar and in psi, a torque in N·m and in lbf·ft, a temperature in °C and in °F, a
//! length in mm and in inches, a mass in kg and in lb: typed, or filled in for a machine. A system that a tool or
//! instrument of the crib shows is left alone; where the crib shows neither, the rarer one is named. Multiples of one
//! unit (mm and m, Pa and kPa) are no mix, and neither are drives of sockets.
//!
//! ## On the floor
//! A torque wrench with two scales is set on the wrong one: 25 lbf·ft are 33.9 N·m. That is why it is a warning.
//!
//! ## How to mend it
//! Write the unit that the plant's tool shows, and nothing beside it.

use crate::analysis::job::{Job, joined};
use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::{Dimension, Unit};
use crate::base::rule::UNIT_MIX;
use crate::base::text::{Placed, Span};
use crate::language::sentence::TokenKind;
use crate::model::binder::Binder;
use crate::model::crib::Kind;
use crate::model::value::Value;
use crate::rules::{Found, Rule};
use std::collections::{BTreeMap, BTreeSet};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNIT_MIX,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("unit_mix.rs"),
};

/// Units of one system: between these a factor of ten is all that is to be thought of.
const SYSTEMS: [(Dimension, &[&str]); 13] = [
    (Dimension::Torque, &["N·m"]),
    (Dimension::Torque, &["lbf·ft", "lbf·in", "ozf·in"]),
    (Dimension::Torque, &["kgf·m"]),
    (Dimension::Pressure, &["bar", "mbar"]),
    (Dimension::Pressure, &["Pa", "kPa", "MPa"]),
    (Dimension::Pressure, &["psi"]),
    (Dimension::Temperature, &["°C"]),
    (Dimension::Temperature, &["°F"]),
    (Dimension::Length, &["µm", "mm", "cm", "m"]),
    (Dimension::Length, &["in", "ft"]),
    (Dimension::Mass, &["g", "kg", "t"]),
    (Dimension::Mass, &["lb"]),
    (Dimension::Force, &["N", "kN"]),
];

/// The place of a unit's system in [`SYSTEMS`].
fn system(unit: Unit) -> Option<usize> {
    SYSTEMS.iter().position(|(_, units)| units.contains(&unit.symbol()))
}

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    if !may_mix(writing) {
        return Vec::new();
    }
    let shown = shown_by_the_crib(writing.binder);
    let mut found = Vec::new();
    for machine in &writing.machines {
        let Some(job) = Job::new(writing.binder, writing.procedure, machine) else { continue };
        let mut uses: BTreeMap<usize, Vec<(Span, Unit)>> = BTreeMap::new();
        for saying in writing.sayings.iter().filter(|saying| job.applies(saying.only)) {
            for (unit, span) in units(&job, saying) {
                if let Some(system) = system(unit) {
                    uses.entry(system).or_default().push((span, unit));
                }
            }
        }
        found.extend(
            mixes(&uses, &shown)
                .into_iter()
                .map(|finding| (job.tag().clone(), finding.document(&writing.procedure.document.value))),
        );
    }
    joined(found)
}

/// Returns whether two systems of one dimension are in the words or anywhere in the values that could be filled in; where
/// they are not, no machine needs to be looked at.
fn may_mix(writing: &Writing<'_>) -> bool {
    let mut systems = BTreeSet::new();
    for saying in &writing.sayings {
        let typed = (0..saying.words.len()).filter(|at| saying.number(*at).is_some());
        systems.extend(typed.filter_map(|at| saying.unit(at + 1)).filter_map(system));
    }
    let values = writing.family.map(|family| &family.values).into_iter().chain([&writing.procedure.values]);
    for values in values {
        let cells = values.tables.iter().flat_map(|table| &table.rows).flat_map(|row| &row.cells);
        let all = cells
            .filter_map(|cell| cell.value.as_ref())
            .chain(values.constants.iter().filter_map(|own| own.1.as_ref()));
        systems.extend(all.filter_map(unit_of).filter_map(system));
    }
    let of_machines = writing.machines.iter().flat_map(|machine| &machine.values);
    systems.extend(of_machines.filter_map(|(_, value)| unit_of(value)).filter_map(system));
    let mut dimensions = BTreeSet::new();
    !systems.into_iter().all(|system| dimensions.insert(SYSTEMS[system].0))
}

fn unit_of(value: &Value) -> Option<Unit> {
    match value {
        Value::Quantity(quantity) => Some(quantity.unit),
        Value::Range(range) => Some(range.unit),
        Value::Limit(limit) => Unit::parse(limit.symbol()),
        Value::Count(_) | Value::Crib(_) | Value::Text(_) => None,
    }
}

/// Returns the systems that tools and instruments of the crib show.
fn shown_by_the_crib(binder: &Binder) -> BTreeSet<usize> {
    let ranges = binder.crib.items.iter().filter_map(|item| match &item.kind {
        Kind::TorqueTool { range, .. } | Kind::Instrument { range, .. } => *range,
        _ => None,
    });
    ranges.filter_map(|range| system(range.unit)).collect()
}

/// Returns the units a sentence uses on a machine, typed or filled in.
fn units(job: &Job<'_>, saying: &Saying<'_>) -> Vec<(Unit, Span)> {
    let mut units = Vec::new();
    for (at, token) in saying.sentence.tokens.iter().enumerate() {
        match &token.kind {
            TokenKind::Number(number) => {
                // The square of a socket is measured in inches everywhere, and `in` behind a whole number is rarely a unit.
                let unit = saying.unit(at + 1).filter(|unit| unit.symbol() != "in" || number.contains('.'));
                units.extend(unit.map(|unit| (unit, saying.span(at..at + 2))));
            }
            TokenKind::Value(name) => {
                let placed = Placed::new(name.clone(), token.span);
                let unit = job.value(&placed).ok().as_ref().and_then(unit_of);
                units.extend(unit.map(|unit| (unit, token.span)));
            }
            TokenKind::Word(_) | TokenKind::See(_) | TokenKind::Mark(_) => {}
        }
    }
    units
}

/// Returns a finding for each system that stands beside another one of its dimension and is not the tool's.
fn mixes(uses: &BTreeMap<usize, Vec<(Span, Unit)>>, shown: &BTreeSet<usize>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (system, own) in uses {
        let dimension = SYSTEMS[*system].0;
        let others = || uses.iter().filter(|(other, _)| *other != system && SYSTEMS[**other].0 == dimension);
        let shows_one = shown.iter().any(|one| SYSTEMS[*one].0 == dimension);
        let is_rarer = || others().any(|(_, theirs)| (theirs.len(), own[0].0) > (own.len(), theirs[0].0));
        let Some((_, theirs)) = others().next() else { continue };
        let is_foreign = if shows_one { !shown.contains(system) } else { is_rarer() };
        if is_foreign {
            let (span, unit) = own[0];
            let message = format!("`{}` stands beside `{}` in one procedure", unit.symbol(), theirs[0].1.symbol());
            findings.push(
                Finding::warning(UNIT_MIX, message)
                    .at(span)
                    .also(theirs[0].0, format!("here it is `{}`", theirs[0].1.symbol()))
                    .floor("the tool is read on the wrong scale")
                    .help("write the unit that the plant's tool shows, and nothing beside it"),
            );
        }
    }
    findings
}
