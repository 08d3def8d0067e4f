//! A fluid on a rubber part that it attacks, or of which nobody has said what it does.
//!
//! ## What is found
//! A sentence puts a fluid onto a part, or wipes the part with it; the part is of a rubber on this machine; and the crib says
//! under `rubber:` of the fluid that it attacks this rubber (`no`), that the two never meet (`n/a`), or nothing at
//! all. The question is asked for each machine, with the rubber that this machine has.
//!
//! ## On the floor
//! The ring swells, softens or cracks. It passes the leak test and fails days later, with product or hot caustic behind it.
//!
//! ## How to mend it
//! Name a fluid that suits the rubber; where machines differ, put the fluid into a table by rubber and name the value. If
//! nobody has said, ask the maker of the fluid for this rubber and grade, and enter the answer in `crib.yaml`.

use crate::analysis::fluid::{Contact, contacts, verdict};
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::FLUID_ATTACKS_RUBBER;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FLUID_ATTACKS_RUBBER,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("fluid_attacks_rubber.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    contacts(run).iter().filter_map(|contact| of_contact(run, contact)).collect()
}

fn of_contact(run: &Run<'_, '_>, contact: &Contact<'_>) -> Option<Finding> {
    let rubber = contact.rubber.as_deref()?;
    let (fluid, part) = (&contact.fluid.id.value, &contact.part.name.value);
    let (message, help) = match verdict(contact.fluid, rubber) {
        Some("yes") => return None,
        Some("no") => (
            format!("`{fluid}` attacks the rubber of `{part}`"),
            "name a fluid that suits this rubber, by a table where the machines differ",
        ),
        Some(_) => (
            format!("the crib says that `{fluid}` never meets rubber, and here it goes onto `{part}`"),
            "name another fluid, or ask the maker of this one and enter `yes` or `no` in `crib.yaml`",
        ),
        None => (
            format!("nobody has said what `{fluid}` does to the rubber of `{part}`"),
            "ask the maker of the fluid for this rubber, and enter the answer under `rubber:` in `crib.yaml`",
        ),
    };
    let said = verdict(contact.fluid, rubber).unwrap_or("nothing is said");
    let finding = Finding::error(FLUID_ATTACKS_RUBBER, message)
        .at(contact.span)
        .also(contact.fluid.id.span, format!("{rubber}: {said}"))
        .document(&run.job.procedure.document.value)
        .floor("the rubber swells or cracks: it passes the leak test and fails days later");
    Some(finding.help(help))
}
