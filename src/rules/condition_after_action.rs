//! A condition that stands behind what depends on it.
//!
//! ## What is found
//! An instruction says what to do first, and `if` or `when` after it: `Open the drain if the pressure is zero.` `Stop
//! when ...` and `Wait until ...` are fine: what they tell is the end of something that goes on. (DOE-STD-1029-92,
//! chapter 4: the condition comes first.)
//!
//! ## On the floor
//! The fitter has done it before the condition is read.
//!
//! ## How to mend it
//! Turn it round: `IF the pressure is zero, THEN open the drain.`

use crate::analysis::imperative::{Opening, opening};
use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::CONDITION_AFTER_ACTION;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: CONDITION_AFTER_ACTION,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("condition_after_action.rs"),
};

/// Verbs that end or go on with something: their condition may stand behind them.
const ENDING: [&str; 8] = ["continue", "confirm", "finish", "keep", "note", "record", "stop", "wait"];
/// Verbs behind which `if` means `whether`.
const ASKING: [&str; 11] =
    ["ask", "check", "confirm", "determine", "examine", "inspect", "look", "note", "observe", "record", "see"];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.instructs()) {
        let Some(at) = late_condition(saying) else { continue };
        let message = format!("`{}` stands behind what depends on it", saying.shown(at..at + 1));
        let finding = Finding::note(CONDITION_AFTER_ACTION, message)
            .at(saying.span(at..at + 1))
            .floor("it is done before the condition is read")
            .help("write the condition first: `IF ..., THEN ...`");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Returns the token of a condition that stands behind the order it is for.
fn late_condition(saying: &Saying<'_>) -> Option<usize> {
    let Opening::Verb(verb) = opening(saying) else { return None };
    let at = (verb + 1..saying.words.len()).find(|at| matches!(saying.word(*at), "if" | "when"))?;
    // `if worn` alone is a vague condition, and a rule of its own.
    let word = saying.word(verb);
    let is_fine = match saying.word(at) {
        "if" => ASKING.contains(&word) || matches!(saying.word(at - 1), "as" | "even"),
        _ => ENDING.contains(&word),
    };
    (!is_fine).then_some(at)
}

#[cfg(test)]
mod tests {
    use super::late_condition;
    use crate::analysis::wording::said;

    #[test]
    fn only_a_condition_behind_its_action_is_late() {
        for (text, wanted) in [
            ("Open the drain if the pressure is zero.", true),
            ("Open the drain when the gauge shows 0 bar.", true),
            ("IF the pressure is zero, THEN open the drain.", false),
            ("Stop when all four readings are at or below {target}.", false),
            ("Check if the shaft turns.", false),
            ("Wait until the flow stops.", false),
            ("Measure the shaft where the seal runs.", false),
        ] {
            assert_eq!(late_condition(&said(text)).is_some(), wanted, "{text}");
        }
    }
}
