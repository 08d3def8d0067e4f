//! A product side that was open and is handed back without quality.
//!
//! ## What is found
//! A part with `contact: product` comes off or is fitted, and no hold point at or after the last of these is signed by quality;
//! or it is, and neither its words nor a later step speak of cleaning. Common practice in hygienic plants, no source: release to
//! product is a signature of its own, after cleaning.
//!
//! ## On the floor
//! The first batch goes through a machine that nobody cleaned and nobody released.
//!
//! ## How to mend it
//! Hand the machine over for cleaning, and add a hold point with `role: quality` behind it.

use crate::analysis::run::Run;
use crate::analysis::thing::Thing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::RELEASED_WITHOUT_QUALITY;
use crate::language::action::Act;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: RELEASED_WITHOUT_QUALITY,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("released_without_quality.rs"),
};

/// Words of roles that release to product.
const QUALITY: [&str; 5] = ["quality", "hygiene", "qa", "qc", "laboratory"];
/// Beginnings of words that speak of cleaning.
const CLEANING: [&str; 7] = ["clean", "saniti", "disinfect", "steril", "cip", "rinse", "wash"];

/// What is washed without the machine getting any cleaner.
const OF_PEOPLE: [&str; 8] = ["hand", "hands", "gloves", "boots", "bench", "tools", "yourself", "floor"];

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let opens = |act: Act| matches!(act, Act::Off | Act::Discard | Act::On | Act::New);
    let last = run.deeds.iter().rfind(|deed| {
        let is_product = |thing: &Thing<'_>| matches!(thing, Thing::Part(here) if here.part.contact == "product");
        opens(deed.action.act) && !deed.action.conditional && is_product(run.things.get(&deed.action.thing))
    });
    let Some(last) = last else { return Vec::new() };
    let finding = |message: &str| {
        Finding::error(RELEASED_WITHOUT_QUALITY, message)
            .at(last.span)
            .label("the product side is closed here")
            .floor("product would go through a machine that nobody cleaned and released")
            .help("hand it over for cleaning, and add a hold point with `role: quality` behind it")
    };
    let later = || run.steps.iter().skip(last.step);
    let holds = later().flat_map(|here| &here.step.holds);
    let declared = holds.filter_map(|name| run.job.procedure.holds.iter().find(|hold| hold.name.value == name.value));
    let has = |text: &str, words: &[&str]| {
        let text = text.to_lowercase();
        text.split(|c: char| !c.is_alphanumeric()).any(|own| words.contains(&own))
    };
    let mut signed = declared.filter(|hold| has(&hold.role.value, &QUALITY)).peekable();
    if signed.peek().is_none() {
        return vec![finding("the product side was open, and quality does not release it")];
    }
    let speaks = |text: &str| {
        let text = text.to_lowercase();
        text.split(|c: char| !c.is_alphanumeric()).any(|own| CLEANING.iter().any(|word| own.starts_with(word)))
    };
    let is_machine = |text: &str| {
        let text = text.to_lowercase();
        !text.split(|c: char| !c.is_alphanumeric()).any(|own| OF_PEOPLE.contains(&own))
    };
    let is_cleaned = signed.any(|hold| speaks(&hold.verify.plain("")))
        || later()
            .flat_map(|here| &here.sentences)
            .any(|own| speaks(&own.read.sentence.text) && is_machine(&own.read.sentence.text));
    if is_cleaned {
        Vec::new()
    } else {
        vec![finding("the product side was open, and nothing says that it is cleaned")]
    }
}
