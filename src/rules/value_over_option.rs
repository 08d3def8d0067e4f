//! A value typed by hand over one that differs from machine to machine.
//!
//! ## What is found
//! - A choice of an option stands in a sentence beside the option's name (`the port points up`), as its value, its
//!   meaning, or another word for the same direction, and a machine the sentence is said to has another choice.
//!
//! - A choice that is said of nothing else (`EPDM`) stands in it without the option's name: a warning.
//!
//! - A figure stands beside the name of a value (`closure torque 25 N·m`, `exactly 121 plates`), and a machine has
//!   another one; or it is one of the figures of a table in a sentence about that table's value or fastener, and a
//!   machine has another one.
//!
//! The tags are those for which it is wrong. A sentence that names several choices explains a difference, and `for`,
//! `only` and a condition select: these are left alone.
//!
//! ## On the floor
//! It is right for the machine the author had in mind. At the others the part goes on the wrong way round, or the nut
//! gets the neighbour's torque.
//!
//! ## How to mend it
//! Write the name in braces: `{port}` prints the machine's own. If the sentence is for some machines only, put `{only
//! ...}` behind it.

use crate::analysis::typed_value::{Link, Wrong, over_options, over_values};
use crate::analysis::wording::Writing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::VALUE_OVER_OPTION;
use crate::model::procedure::Procedure;
use crate::rules::{Found, Rule};
use std::collections::BTreeSet;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: VALUE_OVER_OPTION,
    severity: Severity::Error,
    found: Found::Sentences(check),
    source: include_str!("value_over_option.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let wrong = over_options(writing).into_iter().chain(over_values(writing));
    wrong.map(|wrong| told(writing.procedure, wrong)).collect()
}

fn told(procedure: &Procedure, wrong: Wrong) -> Finding {
    let message = format!("`{}` is typed over `{}`, and wrong for these machines", wrong.typed, wrong.name);
    let severity = if wrong.link == Link::Named { Severity::Error } else { Severity::Warning };
    let own: BTreeSet<&str> = wrong.own.values().map(String::as_str).collect();
    let own: Vec<String> = own.into_iter().map(|own| format!("`{own}`")).collect();
    let finding = Finding { severity, ..Finding::error(VALUE_OVER_OPTION, message) };
    finding
        .at(wrong.span)
        .also(wrong.declared, "it is declared here")
        .document(&procedure.document.value)
        .floor(format!("what the fitter reads is right for another machine; here it is {}", own.join(" or ")))
        .help(format!("write `{{{}}}`, which prints the machine's own", wrong.name))
        .tags(wrong.own.into_keys())
}
