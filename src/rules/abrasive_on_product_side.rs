//! Steel wool, a wire brush or a metal sponge on a machine that touches product.
//!
//! ## What is found
//! A step of a family with product-contact parts works with steel wool, a wire brush, a metal sponge or a metal scourer, and
//! does not forbid it. (Dairy sanitation rules forbid steel wool and metal sponges on product-contact surfaces: the Grade A
//! Pasteurized Milk Ordinance of the US Food and Drug Administration and state rules after it; from memory, not looked up.)
//!
//! ## On the floor
//! Threads of metal stay behind and go into the product, and the scratches hold what no cleaning takes out.
//!
//! ## How to mend it
//! Name a plastic pad or a brush that is held for product surfaces. If the surface never touches product, say so with a waiver.

use crate::analysis::imperative::forbids;
use crate::analysis::wording::{Place, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::ABRASIVE_ON_PRODUCT_SIDE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ABRASIVE_ON_PRODUCT_SIDE,
    severity: Severity::Error,
    found: Found::Wording(check),
    source: include_str!("abrasive_on_product_side.rs"),
};

/// What sheds metal, as two words that stand together.
const SHEDDING: [[&str; 2]; 10] = [
    ["steel", "wool"],
    ["wire", "wool"],
    ["wire", "brush"],
    ["steel", "brush"],
    ["metal", "sponge"],
    ["steel", "sponge"],
    ["metal", "scourer"],
    ["steel", "scourer"],
    ["metal", "pad"],
    ["steel", "pad"],
];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let touches_product = |contact: &str| contact == "product";
    if !writing.family.is_some_and(|family| family.parts.iter().any(|part| touches_product(&part.contact))) {
        return Vec::new();
    }
    let mut findings = Vec::new();
    let steps = writing.sayings.iter().filter(|saying| matches!(saying.place, Place::Step | Place::Item));
    for saying in steps.filter(|saying| !forbids(saying)) {
        let pair = |at: &usize| {
            let own = [saying.word(*at), saying.word(at + 1)];
            SHEDDING.contains(&own)
        };
        let Some(at) = (0..saying.words.len()).find(pair) else { continue };
        let words = format!("{} {}", saying.word(at), saying.word(at + 1));
        let finding =
            Finding::error(ABRASIVE_ON_PRODUCT_SIDE, format!("{words} is used on a machine that touches product"))
                .at(saying.span(at..at + 2))
                .floor("threads of metal stay behind and go into the product")
                .help("name a plastic pad or a brush that is held for product surfaces");
        findings.push(writing.told(saying, finding));
    }
    findings
}
