//! A column that has the same value in every row.
//!
//! ## What is found
//! All rows of a table, and there are at least two, hold the same value in one column.
//!
//! ## On the floor
//! Nothing, if it is so. If a row was copied, the copy is a neighbour's value.
//!
//! ## How to mend it
//! If it is the same for every machine, write it under `values:`, once. If not, fill in what each row really has.

use crate::analysis::coverage;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::SAME_IN_EVERY_ROW;
use crate::model::binder::Binder;
use crate::model::value::Table;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: SAME_IN_EVERY_ROW,
    severity: Severity::Note,
    found: Found::Check(check),
    source: include_str!("same_in_every_row.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for here in coverage::tables(binder) {
        for column in (0..here.table.columns.len()).filter(|column| is_same(here.table, *column)) {
            let name = &here.table.columns[column];
            let finding = Finding::note(SAME_IN_EVERY_ROW, format!("`{}` is the same in every row", name.value));
            let finding =
                finding.at(name.span).help("write it under `values:`, once, or look whether a row was copied");
            findings.push(match here.document {
                Some(document) => finding.document(document),
                None => finding,
            });
        }
    }
    findings
}

fn is_same(table: &Table, column: usize) -> bool {
    let mut cells = table.rows.iter().map(|row| row.cells[column].value.as_ref());
    let first = cells.next().flatten();
    table.rows.len() > 1 && first.is_some() && cells.all(|cell| cell == first)
}
