//! A condition that can be read in two ways.
//!
//! ## What is found
//! - `unless`, and a negative that is denied (`do not ... unless`, `not without`): a note.
//!
//! - One condition that joins its parts with `and` and with `or`: a warning, because it is true in two different sets of
//!   cases. (`at or below`, `10 mm or less` and the like are no parts.)
//!
//! (DOE-STD-1029-92, chapter 4: IF ... NOT instead of `unless`; AND and OR are not mixed in one condition.)
//!
//! ## On the floor
//! Two fitters decide the same reading differently, and each is sure.
//!
//! ## How to mend it
//! Write `IF ... NOT ..., THEN ...`; make two conditions of it, or a list of which one, or all, must be true.

use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::UNCLEAR_CONDITION;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNCLEAR_CONDITION,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("unclear_condition.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.is_worked_to()) {
        if let Some(at) = mixed(saying) {
            let finding = Finding::warning(UNCLEAR_CONDITION, "this condition mixes `and` with `or`")
                .at(saying.span(at..at + 1))
                .floor("two fitters decide the same case differently, and each is sure")
                .help("make two conditions of it, or list the cases");
            findings.push(writing.told(saying, finding));
        } else if let Some((phrase, range)) = saying.find(&NEGATIVE) {
            let finding = Finding::note(UNCLEAR_CONDITION, format!("`{phrase}` turns the condition round"))
                .at(saying.span(range))
                .floor("a negative that is read over means the opposite")
                .help("write `IF ... NOT ..., THEN ...`, or say what must be so");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}

/// Words that turn a condition round, or deny what is denied.
const NEGATIVE: [&str; 6] =
    ["unless", "not without", "never without", "not unless", "must not fail to", "do not fail to"];

/// Returns the `or` of a condition that also has an `and`.
fn mixed(saying: &Saying<'_>) -> Option<usize> {
    let from = saying.words.iter().position(|word| matches!(word.as_str(), "if" | "when"))? + 1;
    let end = (from..saying.words.len()).find(|at| matches!(saying.word(*at), "then" | ";" | ":"));
    let comma = || (from..saying.words.len()).find(|at| saying.word(*at) == ",");
    let end = end.or_else(comma).unwrap_or(saying.words.len());
    let is_idiom = |at: usize| {
        matches!(
            saying.word(at + 1),
            "less" | "more" | "below" | "above" | "under" | "over" | "lower" | "higher" | "hotter"
        )
    };
    let or = (from..end).find(|at| saying.word(*at) == "or" && !is_idiom(*at))?;
    let is_between = |at: usize| (from..at).any(|before| saying.word(before) == "between");
    (from..end).any(|at| saying.word(at) == "and" && !is_between(at)).then_some(or)
}

#[cfg(test)]
mod tests {
    use super::mixed;
    use crate::analysis::wording::said;

    #[test]
    fn and_with_or_is_mixed_and_an_idiom_is_not() {
        for (text, wanted) in [
            ("IF it leaks or knocks and is hot, THEN stop.", true),
            ("IF it leaks or knocks, THEN stop and tell the supervisor.", false),
            ("IF it is at or below 5 mm and at or above 4 mm, THEN stop.", false),
            ("IF it is between 4 mm and 5 mm or leaks, THEN stop.", false),
            ("Fit the nut and the washer or the bolt.", false),
        ] {
            assert_eq!(mixed(&said(text)).is_some(), wanted, "{text}");
        }
    }
}
