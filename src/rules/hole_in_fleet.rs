//! An installed machine that a value table does not cover, with a value that no procedure asks for yet.
//!
//! ## What is found
//! For an installed machine, no row of a table is right, or more than one is, or the cell is empty (`unknown`). No
//! procedure asks for the value on this machine; where one does, it is an error (`missing-value`, `ambiguous-value`).
//!
//! ## On the floor
//! Nothing today. The day a procedure needs the number, the packet of this machine will not be written.
//!
//! ## How to mend it
//! Fill the cell from the maker's data or a measurement, and name the source. Never copy a neighbour's number.

use crate::analysis::coverage::{self, TableHere};
use crate::analysis::effectivity;
use crate::analysis::job::joined;
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::HOLE_IN_FLEET;
use crate::base::text::Placed;
use crate::model::binder::Binder;
use crate::model::fleet::Machine;
use crate::model::value::Table;
use crate::rules::{Found, Rule};
use std::collections::BTreeSet;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: HOLE_IN_FLEET,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("hole_in_fleet.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let asked = coverage::asked(binder);
    let nothing = BTreeSet::new();
    let mut found = Vec::new();
    for here in coverage::tables(binder) {
        for machine in &here.machines {
            let asked = asked.get(&machine.tag.value).unwrap_or(&nothing);
            let gaps = gaps(&here, machine, asked);
            found.extend(gaps.into_iter().map(|finding| (machine.tag.value.clone(), finding)));
        }
    }
    joined(found)
}

fn gaps(here: &TableHere<'_>, machine: &Machine, asked: &BTreeSet<Name>) -> Vec<Finding> {
    let Some(choices) = choices(here.table, machine) else { return Vec::new() };
    let told = |message: String| {
        let finding = Finding::warning(HOLE_IN_FLEET, message)
            .floor("as soon as a procedure asks for it, this machine has no packet")
            .help("fill it in from the maker's data or a measurement; never copy a neighbour's number");
        here.document.map_or(finding.clone(), |document| finding.document(document))
    };
    let is_open = |column: &&Placed<Name>| !asked.contains(&column.value);
    let open = here.table.columns.iter().filter(is_open);
    match effectivity::rows(here.table, machine).as_slice() {
        [row] => {
            let cells = here.table.columns.iter().zip(&row.cells).filter(|(column, _)| is_open(column));
            let empty = cells.filter(|(_, cell)| cell.value.is_none());
            empty.map(|(column, cell)| told(format!("`{}` has no value here", column.value)).at(cell.span)).collect()
        }
        [] => {
            open.map(|column| told(format!("no row of `{}` is for {choices}", column.value)).at(column.span)).collect()
        }
        rows => {
            let overlap =
                |column: &Placed<Name>| told(format!("{} rows of `{}` are for {choices}", rows.len(), column.value));
            open.map(|column| {
                rows[1..]
                    .iter()
                    .fold(overlap(column).at(rows[0].span), |finding, row| finding.also(row.span, "and so is this one"))
            })
            .collect()
        }
    }
}

/// Returns the machine's choices of a table's options in words; none where the fleet does not say one, which is told there.
fn choices(table: &Table, machine: &Machine) -> Option<String> {
    let word = |option: &Placed<Name>| Some(format!("{} {}", option.value, machine.choice(&option.value)?.value));
    table.by.iter().map(word).collect::<Option<Vec<_>>>().map(|words| words.join(", "))
}
