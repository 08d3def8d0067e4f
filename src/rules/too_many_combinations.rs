//! A value table by more options than can be looked through.
//!
//! ## What is found
//! The options of one table have more combinations than the binder's limit (500 unless `limits: combinations:` says
//! otherwise). The installed machines are still looked at one by one; the combinations nobody has installed are
//! not.
//!
//! ## On the floor
//! Nothing: every installed machine is checked.
//!
//! ## How to mend it
//! Split the table, or take out an option that its values do not depend on.

use crate::analysis::coverage;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::TOO_MANY_COMBINATIONS;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TOO_MANY_COMBINATIONS,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("too_many_combinations.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let limit = binder.settings.combinations;
    let mut findings = Vec::new();
    for here in coverage::tables(binder) {
        let Some(product) = coverage::product(here.table, here.family).filter(|product| *product > limit) else {
            continue;
        };
        let message = format!("the options of this table have {product} combinations, more than the limit of {limit}");
        let span = here.table.by.first().map_or(here.table.span, |option| option.span);
        let finding = Finding::warning(TOO_MANY_COMBINATIONS, message)
            .at(span)
            .label("only the installed machines were looked at")
            .help("split the table by fewer options, or raise `limits: combinations:` in `binder.yaml`");
        findings.push(here.document.map_or(finding.clone(), |document| finding.document(document)));
    }
    findings
}
