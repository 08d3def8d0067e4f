//! A typed limit that was rounded the wrong way.
//!
//! ## What is found
//! A limit that the family computes is typed by hand, beside its name or as the limit of a reading, and lies outside of
//! the computed one by no more than one step of what is typed or of the instrument.
//!
//! ## On the floor
//! A reading between the two is good on paper and bad on the machine.
//!
//! ## How to mend it
//! Write the name in braces. A limit is rounded inward to what the instrument shows: a low one up, a high one down.

use crate::analysis::typed_value::{Outward, rounded_outward};
use crate::analysis::wording::Writing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LIMIT_ROUNDED_OUTWARD;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};
use std::collections::BTreeSet;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LIMIT_ROUNDED_OUTWARD,
    severity: Severity::Error,
    found: Found::Sentences(check),
    source: include_str!("limit_rounded_outward.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    rounded_outward(writing).into_iter().map(|outward| told(writing.procedure, outward)).collect()
}

fn told(procedure: &Procedure, outward: Outward) -> Finding {
    let own: BTreeSet<&str> = outward.own.values().map(String::as_str).collect();
    let own: Vec<String> = own.into_iter().map(|own| format!("`{own}`")).collect();
    let message = format!("`{}` lies outside of the computed `{}`", outward.typed, outward.name);
    Finding::error(LIMIT_ROUNDED_OUTWARD, message)
        .at(outward.span)
        .also(outward.declared, "it is computed here, and rounded inward")
        .document(&procedure.document.value)
        .floor(format!("a reading between this and {} is passed, and is not good", own.join(" or ")))
        .help(format!("write `{{{}}}`, which prints the machine's own", outward.name))
        .tags(outward.own.into_keys())
}
