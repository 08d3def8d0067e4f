//! A sentence that tells two things to do, one after the other.
//!
//! ## What is found
//! An instruction names a verb with its object and, behind `and`, `then` or a comma, another verb with its own object.
//! Two verbs that share an object are one instruction (`Close and lock the valve.`), and so is what is held while
//! something else is done (`Hold the shaft and turn the nut.`). ASD-STE100 rule 5.2.
//!
//! ## On the floor
//! The second is skipped when something interrupts, and one tick stands for both.
//!
//! ## How to mend it
//! Make two sentences of it, or two steps.

use crate::analysis::imperative::{Opening, is_verb, opening};
use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::TWO_INSTRUCTIONS;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TWO_INSTRUCTIONS,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("two_instructions.rs"),
};

/// What is done at the same time as what comes after it.
const AT_ONCE: [&str; 9] = ["guide", "hold", "keep", "lift", "press", "push", "steady", "support", "while"];
/// Words that stand behind a verb and are no object.
const PARTICLES: [&str; 12] =
    ["again", "apart", "away", "back", "down", "in", "off", "on", "out", "over", "up", "slowly"];
/// Words that begin an object.
const OBJECT: [&str; 22] = [
    "a", "all", "an", "any", "both", "each", "every", "four", "it", "its", "one", "six", "that", "the", "them",
    "these", "this", "those", "three", "two", "{}", "your",
];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.instructs()) {
        let Some(at) = second_instruction(saying) else { continue };
        let message = format!("`{}` begins a second instruction in this sentence", saying.shown(at..at + 1));
        let finding = Finding::note(TWO_INSTRUCTIONS, message)
            .at(saying.span(at..at + 1))
            .floor("the second is skipped when something interrupts, and one tick stands for both")
            .help("make two sentences of it, or two steps");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Returns the token at which a second instruction begins.
fn second_instruction(saying: &Saying<'_>) -> Option<usize> {
    let Opening::Verb(first) = opening(saying) else { return None };
    if AT_ONCE.contains(&saying.word(first)) {
        return None;
    }
    let first_object = (first + 1..saying.words.len())
        .find(|at| !PARTICLES.contains(&saying.word(*at)) && !saying.is_mark(*at) && !is_joint(saying.word(*at)))?;
    // Where the first verb is followed by another verb, the two share what comes after them.
    if is_joint(saying.word(first_object - 1)) {
        return None;
    }
    (first_object + 1..saying.words.len()).find(|at| {
        let joined = is_joint(saying.word(at - 1)) || (saying.word(at - 1) == "," && saying.word(*at) != "then");
        joined && is_verb(saying.word(*at)) && has_object(saying, *at)
    })
}

fn is_joint(word: &str) -> bool {
    matches!(word, "and" | "then")
}

/// Returns whether a verb at `at` has an object of its own.
fn has_object(saying: &Saying<'_>, at: usize) -> bool {
    let next = (at + 1..saying.words.len()).find(|at| !PARTICLES.contains(&saying.word(*at)));
    next.is_some_and(|next| OBJECT.contains(&saying.word(next)) || saying.number(next).is_some())
}

#[cfg(test)]
mod tests {
    use super::second_instruction;
    use crate::analysis::wording::said;

    #[test]
    fn two_objects_are_two_instructions_and_two_verbs_of_one_object_are_one() {
        let second = |text: &str| second_instruction(&said(text)).map(|at| said(text).word(at).to_owned());
        for (text, wanted) in [
            ("Fit the casing and tighten the nuts.", Some("tighten")),
            ("Remove the nut, lift the cover, and drain the oil.", Some("lift")),
            ("Remove the guard, then open the drain.", Some("open")),
            ("IF it leaks, THEN close the valve and open the vent.", Some("open")),
            ("Close and lock each valve on the isolation sheet.", None),
            ("Switch off and lock the motor isolator.", None),
            ("Hold the impeller and turn the nut.", None),
            ("Remove the guard and clamp.", None),
            ("Remove the clamp bolt and the clamp ring.", None),
            ("Tighten the nuts in a cross pattern, first to half, then to {closure torque}.", None),
            ("Stop and tell the supervisor.", None),
            ("Remove the two guard screws and both guard halves.", None),
            ("Set the torque wrench to {limit} and turn.", None),
            ("The second person measures the gap and signs the sheet.", None),
        ] {
            assert_eq!(second(text).as_deref(), wanted, "{text}");
        }
    }
}
