//! A step that is hidden in a caution.
//!
//! ## What is found
//! The hazard or the consequence of a caution orders something; or what avoids it orders a step of the job itself
//! (`Close the drain.`) without a word of what it is a condition for (`Open nothing before ...`, `Never ...`, `Keep
//! ...`, `Wear ...`).
//!
//! Two practices disagree: ASD-STE100 lets a safety instruction begin with a command, DOE-STD-1029-92 allows no action
//! in a warning. Here the command has its own field, `avoid`, and hazard and consequence describe.
//!
//! ## On the floor
//! What stands in a caution has no number and no box. It is read as advice and not done. That is why it is a warning.
//!
//! ## How to mend it
//! Make a step of it, before the caution; keep in `avoid` what must not be done, or not before something else.

use crate::analysis::imperative::{Opening, STEPS, forbids, opening};
use crate::analysis::wording::{Place, Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::ACTION_IN_A_CAUTION;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ACTION_IN_A_CAUTION,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("action_in_a_caution.rs"),
};

/// Words that make an order a condition or a ban.
const CONDITION: [&str; 14] = [
    "no", "nothing", "none", "never", "not", "only", "before", "until", "unless", "without", "while", "when", "if",
    "slowly",
];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        let Opening::Verb(at) = opening(saying) else { continue };
        let hidden = match saying.place {
            Place::Hazard | Place::Consequence => !is_description(saying, at),
            Place::Avoid => STEPS.contains(&saying.word(at)) && !forbids(saying) && !saying.has(&CONDITION),
            _ => false,
        };
        if hidden {
            let what = match saying.place {
                Place::Hazard => "a hazard",
                Place::Consequence => "a consequence",
                _ => "what avoids a hazard",
            };
            let message = format!("`{}` is an order, and stands in {what}", saying.word(at));
            let finding = Finding::warning(ACTION_IN_A_CAUTION, message)
                .at(saying.span(at..at + 1))
                .floor("what stands in a caution has no number and no box: it is read, and not done")
                .help("make a step of it, or say under `avoid` what must not be done");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}

/// Returns whether a hazard or consequence only looks like an order: a heading without a verb (`Hot oil under pressure.`),
/// in which the word is part of a name (`Pinch point at the cover.`).
fn is_description(saying: &Saying<'_>, at: usize) -> bool {
    let orders =
        ["do", "don't", "keep", "wear", "use", "never", "ensure", "make", "avoid", "stand", "stay", "take", "let"];
    let next = saying.word(at + 1);
    let has_object = matches!(
        next,
        "the"
            | "a"
            | "an"
            | "all"
            | "any"
            | "each"
            | "every"
            | "both"
            | "it"
            | "its"
            | "them"
            | "this"
            | "these"
            | "your"
            | "no"
            | "nothing"
            | "off"
            | "only"
            | "that"
            | "{}"
            | "not"
    );
    !has_object && !orders.contains(&saying.word(at)) && !STEPS.contains(&saying.word(at))
        || STEPS.contains(&saying.word(at)) && !has_object && !saying.word(at).is_empty() && is_noun_phrase(saying, at)
}

/// Returns whether a word that could be a verb stands before a noun and a preposition (`Drain water on the floor.`).
fn is_noun_phrase(saying: &Saying<'_>, at: usize) -> bool {
    saying.has(&["is", "are", "can", "may", "will", "has", "have"])
        || matches!(saying.word(at + 2), "on" | "in" | "at" | "of" | "under" | "from" | "with")
}

#[cfg(test)]
mod tests {
    use super::is_description;
    use crate::analysis::imperative::{Opening, opening};
    use crate::analysis::wording::said;

    #[test]
    fn an_order_is_told_from_a_name() {
        for (text, wanted) in [
            ("Close the drain first.", true),
            ("Wear gloves.", true),
            ("Do not touch the faces.", true),
            ("Hot caustic under pressure.", false),
            ("Pinch point at the cover.", false),
            ("Drain water on the floor is slippery.", false),
            ("The shaft turns.", false),
        ] {
            let said = said(text);
            let found = matches!(opening(&said), Opening::Verb(at) if !is_description(&said, at));
            assert_eq!(found, wanted, "{text}");
        }
    }
}
