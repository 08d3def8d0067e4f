//! A part, tool or fluid that the front matter lists and no step uses.
//!
//! ## What is found
//! The kit is computed from the sentences. Something under `parts`, `tools` or `fluids` is used by no step on some
//! machine, or more of it is listed than the steps use, and no reason is given. It stays in the kit. While a sentence of
//! the job is not read with certainty, nothing is said: that sentence may be the one that uses it.
//!
//! ## On the floor
//! Stores hands out what nobody needs, and at the count back nobody knows whether it was forgotten inside.
//!
//! ## How to mend it
//! Take it out of the list; say `why:` it is taken along (`{part: casing O-ring, count: 1, why: spare}`); or look whether the
//! sentence that should use it was read as you meant it.

use crate::analysis::kit::{Difference, Differs};
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LISTED_NOT_USED;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LISTED_NOT_USED,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("listed_not_used.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (kit, _) = run.kit();
    // A sentence that is not sure may be the one that uses it; that sentence is told by itself.
    if !kit.unsure.is_empty() {
        return Vec::new();
    }
    kit.differences.iter().filter_map(|difference| of_difference(run, difference)).collect()
}

fn of_difference(run: &Run<'_, '_>, difference: &Difference) -> Option<Finding> {
    let name = &difference.name;
    let message = match difference.how {
        Differs::Idle => format!("`{name}` is listed, and no step uses it"),
        Differs::More(listed, used) => format!("{listed} of `{name}` are listed, and the steps use {used}"),
        Differs::Fewer(..) | Differs::Missing => return None,
    };
    let finding = Finding::warning(LISTED_NOT_USED, message)
        .at(difference.span)
        .document(&run.job.procedure.document.value)
        .floor("it is drawn for nothing, and at the count back nobody knows whether it was left inside");
    Some(finding.help("take it out of the list, or say `why:` it is taken along"))
}
