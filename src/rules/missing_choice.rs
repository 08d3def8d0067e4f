//! A machine of which the fleet does not say what it has.
//!
//! ## What is found
//! The family declares an option, and the machine's entry in `fleet.yaml` has no choice for it.
//!
//! ## On the floor
//! Nothing yet. As soon as a step, caution, part or table depends on the option, the packet of this machine is not written
//! (`missing-value`).
//!
//! ## How to mend it
//! Walk to the machine, look, and write it under `options:` of its tag.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::MISSING_CHOICE;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: MISSING_CHOICE,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("missing_choice.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for machine in &binder.fleet {
        let Some(family) = binder.family(&machine.family.value) else { continue };
        for option in family.options.iter().filter(|option| machine.choice(&option.name.value).is_none()) {
            findings.push(
                Finding::warning(
                    MISSING_CHOICE,
                    format!("the fleet does not say which `{}` this machine has", option.name.value),
                )
                .at(machine.tag.span)
                .also(option.name.span, "the family declares it here")
                .help("walk to the machine, look, and write it under `options:`")
                .tags([machine.tag.value.clone()]),
            );
        }
    }
    findings
}
