//! A row of a value table that no installed machine uses.
//!
//! ## What is found
//! No machine in the fleet has the choices the row is for.
//!
//! ## On the floor
//! Nothing: the row may be for a machine that comes next year, or it hides a misspelt choice.
//!
//! ## How to mend it
//! Leave it, take it out, or look at the spelling of its choices.

use crate::analysis::coverage;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::DEAD_ROW;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: DEAD_ROW, severity: Severity::Note, found: Found::Check(check), source: include_str!("dead_row.rs") };

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for here in coverage::tables(binder) {
        let whose = if here.document.is_some() { "no machine of the procedure" } else { "no installed machine" };
        findings.extend(coverage::dead_rows(here.table, &here.machines).into_iter().map(|row| {
            let finding = Finding::note(DEAD_ROW, format!("{whose} uses this row")).at(row.span);
            let finding = finding.help("leave it for a machine to come, or take it out");
            here.document.map_or(finding.clone(), |document| finding.document(document))
        }));
    }
    findings
}
