//! A combination of options that a value table does not cover, and that nobody has installed.
//!
//! ## What is found
//! For some combination of the options of a table no row, or more than one, is right. No installed machine has this
//! combination; if one had, it would be an error.
//!
//! ## On the floor
//! Nothing today. The day such a machine is installed, its packet will not be written.
//!
//! ## How to mend it
//! Fill it in when the machine is ordered, or leave it.

use crate::analysis::coverage::{self, Combination};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::HOLE_BEYOND_FLEET;
use crate::model::binder::Binder;
use crate::model::value::Table;
use crate::rules::{Found, Rule};

/// How many combinations are named in one finding.
const NAMED: usize = 4;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: HOLE_BEYOND_FLEET,
    severity: Severity::Note,
    found: Found::Check(check),
    source: include_str!("hole_beyond_fleet.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for family in &binder.families {
        let machines = coverage::installed(binder, family);
        let small = |table: &&Table| {
            coverage::product(table, family).is_some_and(|product| product <= binder.settings.combinations)
        };
        for table in family.values.tables.iter().filter(small) {
            let uncovered = coverage::uncovered(table, family, &machines);
            if !uncovered.is_empty() {
                findings.push(told(table, &uncovered));
            }
        }
    }
    findings
}

fn told(table: &Table, uncovered: &[Combination]) -> Finding {
    let words = |combination: &Combination| {
        let pairs =
            table.by.iter().zip(&combination.choices).map(|(option, choice)| format!("{} {choice}", option.value));
        let how = if combination.rows == 0 { "no row" } else { "several rows" };
        format!("{} ({how})", pairs.collect::<Vec<_>>().join(", "))
    };
    let named = uncovered.iter().take(NAMED).map(words).collect::<Vec<_>>().join("; ");
    let rest = uncovered.len().saturating_sub(NAMED);
    let more = if rest > 0 { format!("; and {rest} more") } else { String::new() };
    let message = format!("{} combinations that nobody has installed are not covered: {named}{more}", uncovered.len());
    Finding::note(HOLE_BEYOND_FLEET, message).at(table.by.first().map_or(table.span, |option| option.span))
}
