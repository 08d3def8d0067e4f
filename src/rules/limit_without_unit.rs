//! A limit without a unit.
//!
//! ## What is found
//! A number behind `less than`, `at most`, `tighten ... to` and the like, or before `or less`, `or more`, with neither a
//! unit nor a noun behind it. Counts (`less than three drips`) and acidity (`pH 7`) need none.
//!
//! ## On the floor
//! The wrench has two scales, and the number is read on the wrong one. That is why it is a warning.
//!
//! ## How to mend it
//! Write the unit that the tool or instrument shows behind the number, or name a value in braces: its unit is printed
//! with it.

use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LIMIT_WITHOUT_UNIT;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LIMIT_WITHOUT_UNIT,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("limit_without_unit.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.is_worked_to()) {
        let Some(at) = bare(saying) else { continue };
        let finding = Finding::warning(LIMIT_WITHOUT_UNIT, format!("`{}` has no unit", saying.shown(at..at + 1)))
            .at(saying.span(at..at + 1))
            .floor("the tool has two scales, and the number is read on the wrong one")
            .help("write the unit that the tool shows behind it");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// What stands before a limit.
const BEFORE: [&str; 24] = [
    "less than",
    "more than",
    "at most",
    "at least",
    "below",
    "above",
    "exceeds",
    "exceed",
    "up to",
    "maximum of",
    "minimum of",
    "max",
    "min",
    "greater than",
    "smaller than",
    "higher than",
    "lower than",
    "not over",
    "tighten to",
    "tighten it to",
    "tighten them to",
    "torque to",
    "torque of",
    "pressure of",
];

/// Returns the token of a number that is a limit and has no unit.
fn bare(saying: &Saying<'_>) -> Option<usize> {
    let behind = (0..saying.words.len()).filter_map(|at| {
        let ends = BEFORE.iter().filter_map(|phrase| saying.stands_at(at, phrase));
        ends.max()
    });
    let opens_with_tighten = matches!(saying.word(0), "tighten" | "torque") && !saying.has(&["from"]);
    let tightened = (1..saying.words.len()).filter(|at| opens_with_tighten && saying.word(at - 1) == "to");
    let before = (0..saying.words.len()).filter(|at| {
        ["or less", "or more", "or below", "or above"].iter().any(|own| saying.stands_at(at + 1, own).is_some())
    });
    behind.chain(tightened).chain(before).find(|at| saying.number(*at).is_some() && ends_bare(saying, *at))
}

/// Returns whether a number is followed by neither a unit nor a thing, and does not belong to a name or a scale.
fn ends_bare(saying: &Saying<'_>, at: usize) -> bool {
    let is_acidity = (at.saturating_sub(4)..at).any(|before| saying.word(before) == "ph");
    let next = saying.word(at + 1);
    let goes_nowhere = saying.is_mark(at + 1) && !matches!(next, "-" | "/" | "°" | "(" | "'" | "\"" | "″" | "′" | "½")
        || matches!(next, "or" | "and" | "then" | "at" | "on" | "before" | "after" | "if" | "when" | "with");
    !is_acidity && goes_nowhere
}

#[cfg(test)]
mod tests {
    use super::bare;
    use crate::analysis::wording::said;

    #[test]
    fn a_limit_needs_a_unit_and_a_count_does_not() {
        for (text, wanted) in [
            ("Tighten it to 25.", Some("25")),
            ("Tighten the nuts to 25, then turn it.", Some("25")),
            ("Wait until it is below 40.", Some("40")),
            ("Accept: 40 or less.", Some("40")),
            ("Accept: 40 °C or less.", None),
            ("IF more than 3 drips fall, THEN stop.", None),
            ("Set the pH to 7 or more.", None),
            ("Tighten it to 24 to 26 N·m.", None),
            ("Tighten opposite bolts from 1 to 8.", None),
        ] {
            let found = bare(&said(text)).map(|at| said(text).word(at).to_owned());
            assert_eq!(found.as_deref(), wanted, "{text}");
        }
    }
}
