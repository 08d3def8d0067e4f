//! A column of a value table that mixes units or kinds.
//!
//! ## What is found
//! The cells of one column are not all of one kind and unit: a torque in lbf·ft among torques in N·m, a text among
//! ranges.
//!
//! ## On the floor
//! A fitter who knows the neighbours' figures sets the wrench to the wrong scale.
//!
//! ## How to mend it
//! Write all cells of a column in the unit that the plant's tools show.

use crate::analysis::coverage;
use crate::base::finding::{Finding, Severity};
use crate::base::name::{CribId, Name};
use crate::base::rule::MIXED_COLUMN;
use crate::model::binder::Binder;
use crate::model::value::{Cell, Table, Value};
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MIXED_COLUMN,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("mixed_column.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let of_families = binder.families.iter().flat_map(|family| &family.values.tables);
    let of_procedures = binder.procedures.iter().flat_map(|procedure| &procedure.values.tables);
    of_families.chain(of_procedures).flat_map(|table| in_table(binder, table)).collect()
}

fn in_table(binder: &Binder, table: &Table) -> Vec<Finding> {
    let (text, crib) = (Value::Text(String::new()).kind(), Value::Crib(CribId::new("")).kind());
    let mut findings = Vec::new();
    for (index, column) in table.columns.iter().enumerate() {
        let mut kinds: BTreeMap<String, Vec<&Cell>> = BTreeMap::new();
        for cell in table.rows.iter().map(|row| &row.cells[index]) {
            if let Some(value) = &cell.value {
                kinds.entry(value.kind()).or_default().push(cell);
            }
        }
        // The odd cell out is the one whose kind is rarest; in doubt the later one.
        let common = kinds.iter().max_by_key(|(_, cells)| (cells.len(), std::cmp::Reverse(cells[0].span.start)));
        let Some(common) = common.map(|(kind, _)| kind.clone()) else { continue };
        for (kind, cells) in kinds.iter().filter(|(kind, _)| **kind != common) {
            let is_not_held = *kind == text && common == crib && is_asked(binder, &column.value);
            if is_not_held {
                continue;
            }
            findings.push(
                Finding::warning(
                    MIXED_COLUMN,
                    format!("`{}` holds {kind} among cells that are {common}", column.value),
                )
                .at(cells[0].span)
                .also(column.span, "in this column")
                .floor("a fitter who knows the neighbours' figures reads it on the wrong scale")
                .help("write the whole column in the unit that the plant's tools show"),
            );
        }
    }
    findings
}

/// Returns whether some procedure asks for a value: that an item of it is not held is then told where it is asked for.
fn is_asked(binder: &Binder, name: &Name) -> bool {
    coverage::asked(binder).values().any(|names| names.contains(name))
}
