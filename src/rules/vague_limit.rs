//! A word that leaves the limit to the reader.
//!
//! ## What is found
//! `Securely`, `properly`, `sufficient`, `as required`, `if necessary`, `if worn`, `approximately`, `periodically`, `in
//! good condition` and the like. How much it weighs depends on what is judged by the word:
//!
//! - nothing where a step makes it a question whether a single-use part of the register is changed (`Replace the O-ring
//!   if worn.`): that is an error of its own, `vague-renewal`;
//!
//! - a warning where the sentence measures, tightens, sets, fills or decides, or stands in a limit, in what to do
//!   outside it, or in what is verified at a hold;
//!
//! - a note anywhere else.
//!
//! ## On the floor
//! Each fitter has another idea of "sufficient". A used O-ring that still looks good goes back in.
//!
//! ## How to mend it
//! Write the figure, or the sign one can see: `IF a fingernail catches on a score, THEN stop.` A single-use part is
//! discarded and a new one fitted, without a question.

use crate::analysis::imperative::{Opening, opening};
use crate::analysis::wording::{Place, Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::VAGUE_LIMIT;
use crate::model::family::Part;
use crate::rules::{Found, Rule};
use std::ops::Range;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: VAGUE_LIMIT,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("vague_limit.rs"),
};

/// Words that say of no amount how much it is.
const VAGUE: [&str; 52] = [
    "securely",
    "properly",
    "correctly",
    "adequately",
    "adequate",
    "sufficient",
    "sufficiently",
    "as required",
    "as necessary",
    "as needed",
    "as appropriate",
    "if necessary",
    "if required",
    "if needed",
    "if appropriate",
    "if applicable",
    "if in doubt",
    "if possible",
    "where necessary",
    "where required",
    "when necessary",
    "when required",
    "where applicable",
    "periodically",
    "regularly",
    "occasionally",
    "from time to time",
    "good condition",
    "good order",
    "bad condition",
    "poor condition",
    "approximately",
    "approx",
    "roughly",
    "excessive",
    "excessively",
    "reasonable",
    "reasonably",
    "suitable",
    "suitably",
    "satisfactory",
    "satisfactorily",
    "acceptable",
    "significant",
    "significantly",
    "firmly",
    "tightly",
    "slightly",
    "a little",
    "a few",
    "and so on",
    "etc",
];
/// Conditions that are judged by eye and mood, and what they are written with.
const WORN: [&str; 14] = [
    "if worn",
    "if damaged",
    "if dirty",
    "if defective",
    "if faulty",
    "if in doubt",
    "if it is worn",
    "if they are worn",
    "if it looks worn",
    "if it is damaged",
    "if they are damaged",
    "unless worn",
    "unless damaged",
    "only if worn",
];
/// Conditions whether to do something at all.
const WHETHER: [&str; 14] = [
    "if necessary",
    "if required",
    "if needed",
    "if appropriate",
    "as necessary",
    "as required",
    "as needed",
    "where necessary",
    "where required",
    "when necessary",
    "when required",
    "if in doubt",
    "if possible",
    "if applicable",
];
/// Orders that change a part for another.
const CHANGING: [&str; 10] =
    ["change", "discard", "exchange", "fit", "install", "renew", "replace", "scrap", "substitute", "swap"];
/// Orders behind which a word without a figure decides something.
const DECIDING: [&str; 22] = [
    "adjust",
    "apply",
    "check",
    "confirm",
    "fill",
    "grease",
    "heat",
    "if",
    "inspect",
    "lubricate",
    "measure",
    "pressurise",
    "pressurize",
    "raise",
    "run",
    "set",
    "tighten",
    "top",
    "torque",
    "verify",
    "wait",
    "when",
];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        if let Some(range) = vague(saying).filter(|range| !renews(writing, saying, range)) {
            findings.push(judged(writing, saying, range));
        }
    }
    findings
}

/// Returns the vague words of a sentence.
fn vague(saying: &Saying<'_>) -> Option<Range<usize>> {
    if let Some((_, range)) = saying.find(&WORN) {
        return Some(range);
    }
    let about = (0..saying.words.len())
        .find(|at| matches!(saying.word(*at), "about" | "around") && saying.number(at + 1).is_some())
        .map(|at| at..at + 2);
    let found = saying.find(&VAGUE).map(|(_, range)| range);
    // `As required by the permit` says what requires it.
    let found = found.filter(|range| !(saying.word(range.end - 1) == "required" && saying.word(range.end) == "by"));
    found.or(about)
}

fn judged(writing: &Writing<'_>, saying: &Saying<'_>, range: Range<usize>) -> Finding {
    let words = saying.shown(range.clone());
    let span = saying.span(range.clone());
    let message = format!("`{words}` leaves the limit to the reader");
    let decides = matches!(saying.place, Place::Limit | Place::Outside | Place::Verify)
        || matches!(opening(saying), Opening::Verb(at) if DECIDING.contains(&saying.word(at)))
        || saying.has(&["if", "when"])
        || saying.number(range.end).is_some();
    let finding = if decides && saying.place.is_worked_to() {
        Finding::warning(VAGUE_LIMIT, message)
            .floor("each fitter has another idea of it, and nobody can tell who was right")
    } else {
        Finding::note(VAGUE_LIMIT, message).floor("each reader has another idea of it")
    };
    writing.told(saying, finding.at(span).help("write the figure, or the sign one can see"))
}

/// Returns whether a step renews a single-use part on a condition, which another rule tells.
fn renews(writing: &Writing<'_>, saying: &Saying<'_>, range: &Range<usize>) -> bool {
    let phrase = saying.words[range.clone()].join(" ");
    let asks = WORN.contains(&phrase.as_str()) || WHETHER.contains(&phrase.as_str());
    let is_step = matches!(saying.place, Place::Step | Place::Item);
    let parts = || writing.family.into_iter().flat_map(|family| &family.parts);
    let is_named = |part: &Part| [&part.name].into_iter().chain(&part.also).any(|name| names(saying, &name.value));
    asks && is_step && saying.has(&CHANGING) && parts().any(|part| part.single_use && is_named(part))
}

/// Returns whether a sentence names a part, in the singular or plural.
fn names(saying: &Saying<'_>, name: &Name) -> bool {
    let plural = format!("{}s", name.folded());
    (0..saying.words.len())
        .any(|at| saying.stands_at(at, name.folded()).is_some() || saying.stands_at(at, &plural).is_some())
}

#[cfg(test)]
mod tests {
    use super::vague;
    use crate::analysis::wording::said;

    #[test]
    fn a_vague_word_is_told_from_a_plain_one() {
        for (text, wanted) in [
            ("Tighten the nuts securely.", Some("securely")),
            ("Replace the O-ring if worn.", Some("if worn")),
            ("Grease it as required.", Some("as required")),
            ("Lock it as required by the permit.", None),
            ("Add about 2 L of oil.", Some("about 2")),
            ("Turn it about its axis.", None),
            ("Add approx. 2 L of oil.", Some("approx")),
            ("Tighten the bolts hand tight.", None),
            ("Open the valve fully.", None),
            ("Confirm that the seat is in good condition.", Some("good condition")),
        ] {
            let found = vague(&said(text)).map(|range| said(text).shown(range));
            assert_eq!(found.as_deref(), wanted, "{text}");
        }
    }
}
