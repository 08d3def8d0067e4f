//! A fluid in a place that it is not for.
//!
//! ## What is found
//! A part touches the product or is splashed by it (`contact: product`, `contact: splash`), and a sentence puts a fluid
//! onto it whose `zone:` in the crib is neither `incidental contact` nor `any`, or that has no zone. Or a fluid that is
//! for wiping only is put on and left on, wherever that is.
//!
//! ## On the floor
//! Paste or grease gets into the product, and nobody can say into how much of it.
//!
//! ## How to mend it
//! Name a fluid that is registered for incidental contact (ISO 21469; class H1), or write the zone of this one into
//! `crib.yaml` after reading its data sheet.

use crate::analysis::fluid::{Contact, Manner, contacts};
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::FLUID_OUT_OF_ZONE;
use crate::model::crib::Kind;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FLUID_OUT_OF_ZONE,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("fluid_out_of_zone.rs"),
};

/// Zones of fluids that may touch the product.
const IN_PRODUCT: [&str; 3] = ["incidental contact", "product", "any"];

/// The zone of a fluid that is never left on.
const WIPE_ONLY: &str = "wipe only";

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    contacts(run).iter().filter_map(|contact| of_contact(run, contact)).collect()
}

fn of_contact(run: &Run<'_, '_>, contact: &Contact<'_>) -> Option<Finding> {
    let Kind::Fluid { zone, .. } = &contact.fluid.kind else { return None };
    let (fluid, part) = (&contact.fluid.id.value, &contact.part.name.value);
    let zone = zone.trim().to_lowercase();
    let is_in_product = matches!(contact.part.contact.as_str(), "product" | "splash");
    let message = match (zone.as_str(), contact.manner) {
        (WIPE_ONLY, Manner::Wiped) => return None,
        (WIPE_ONLY, Manner::Applied) => format!("`{fluid}` is for wiping only, and here it stays on `{part}`"),
        (zone, _) if !is_in_product || IN_PRODUCT.contains(&zone) => return None,
        ("", _) => format!("the crib does not say where `{fluid}` may be used, and `{part}` touches the product"),
        _ => format!("`{fluid}` must stay out of the product, and `{part}` touches it"),
    };
    let zone = if zone.is_empty() { "it has no zone".to_owned() } else { format!("its zone is: {zone}") };
    let finding = Finding::error(FLUID_OUT_OF_ZONE, message)
        .at(contact.span)
        .also(contact.fluid.id.span, zone)
        .also(contact.part.name.span, "the part is here")
        .document(&run.job.procedure.document.value)
        .floor("it gets into the product, and nobody can say into how much of it");
    Some(finding.help("name a fluid for incidental contact, or read its data sheet and enter its zone in `crib.yaml`"))
}
