//! A combination of options that a value table does not cover, and that nobody has installed.
//!
//! ## What is found
//! For some combination of the options of a table no row, or more than one, is right. No installed machine has this
//! combination; of an installed one it is an error where a procedure asks (`missing-value`, `ambiguous-value`), and else a
//! warning (`hole-in-fleet`).
//!
//! ## On the floor
//! Nothing today. The day such a machine is installed, its packet will not be written.
//!
//! ## How to mend it
//! Fill it in when the machine is ordered, or leave it.

use crate::analysis::coverage::{self, Combination, TableHere};
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
    let limit = binder.settings.combinations;
    let is_small =
        |here: &TableHere<'_>| coverage::product(here.table, here.family).is_some_and(|product| product <= limit);
    for here in coverage::tables(binder).into_iter().filter(is_small) {
        let uncovered = coverage::uncovered(here.table, here.family, &coverage::installed(binder, here.family));
        if !uncovered.is_empty() {
            let finding = told(here.table, &uncovered);
            findings.push(here.document.map_or(finding.clone(), |document| finding.document(document)));
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
