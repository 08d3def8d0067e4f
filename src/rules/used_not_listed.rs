//! A part, tool or fluid that a step uses and the front matter's own list does not hold.
//!
//! ## What is found
//! The kit is computed from the sentences; no list is needed. Where a procedure lists its parts, tools or fluids all the
//! same, the list is held against what the steps use on each machine. What is used is in the kit, listed or not.
//!
//! ## On the floor
//! Either the list is short, or a sentence was read as using something that its author did not mean.
//!
//! ## How to mend it
//! Look at the sentence. If it is right, add the thing to the list, or take the whole list out: the kit needs none.

use crate::analysis::kit::{Difference, Differs};
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::USED_NOT_LISTED;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: USED_NOT_LISTED,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("used_not_listed.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (kit, _) = run.kit();
    kit.differences.iter().filter_map(|difference| of_difference(run, difference)).collect()
}

fn of_difference(run: &Run<'_, '_>, difference: &Difference) -> Option<Finding> {
    let (name, list) = (&difference.name, difference.list.key());
    let message = match difference.how {
        Differs::Missing => format!("`{name}` is used here, and `{list}:` does not list it"),
        Differs::Fewer(listed, used) => format!("{listed} of `{name}` are listed, and the steps use {used}"),
        Differs::Idle | Differs::More(..) => return None,
    };
    let finding = Finding::warning(USED_NOT_LISTED, message)
        .at(difference.span)
        .document(&run.job.procedure.document.value)
        .floor("either the list is short, or the sentence was read as its author did not mean it");
    Some(finding.help(format!("add it to the list, or take `{list}:` out: the kit is computed from the sentences")))
}
