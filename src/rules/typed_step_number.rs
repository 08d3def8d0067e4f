//! A step number that was typed by hand.
//!
//! ## What is found
//! A sentence of a step, a note or the front matter refers to `step 12`, `steps 4 to 9` or `step no. 12` in words.
//!
//! ## On the floor
//! A step that is inserted above, or that does not apply to this machine, moves all numbers after it; the fitter is
//! sent to the wrong step.
//!
//! ## How to mend it
//! Label the step that is meant with `{as nut}` and write `{see nut}`; the number is filled in for each machine.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::TYPED_STEP_NUMBER;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TYPED_STEP_NUMBER,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("typed_step_number.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in &binder.procedures {
        for (text, span) in procedure.sentences() {
            if let Some(reference) = typed_reference(&text) {
                findings.push(
                    Finding::error(TYPED_STEP_NUMBER, format!("`{reference}` is a step number typed by hand"))
                        .at(span)
                        .document(&procedure.document.value)
                        .floor("the numbers differ from machine to machine; the fitter would be sent to the wrong step")
                        .help("label the step that is meant with `{as NAME}` and write `{see NAME}`"),
                );
            }
        }
    }
    findings
}

/// Returns the words `step 12`, `steps 4` or `step no. 12` of a sentence, if it holds them.
fn typed_reference(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_number = |word: &&str| word.starts_with(|c: char| c.is_ascii_digit());
    let is_sign =
        |word: &&str| matches!(word.to_lowercase().as_str(), "no." | "nos." | "no" | "number" | "numbers" | "#");
    let opens = |word: &str| matches!(word.trim_start_matches('(').to_lowercase().as_str(), "step" | "steps");
    let at = (0..words.len()).find(|at| {
        let next = words.get(at + 1);
        opens(words[*at])
            && (next.is_some_and(is_number) || next.is_some_and(is_sign) && words.get(at + 2).is_some_and(is_number))
    })?;
    let end = (at + 1..words.len()).find(|at| is_number(&words[*at]))?;
    let text = words[at..=end].join(" ");
    Some(text.trim_start_matches('(').trim_end_matches(['.', ',', ';', ':', ')']).to_owned())
}

#[cfg(test)]
mod tests {
    use super::typed_reference;

    #[test]
    fn only_a_number_after_the_word_is_a_reference() {
        assert_eq!(typed_reference("Fit it as in step 12.").as_deref(), Some("step 12"));
        assert_eq!(typed_reference("Repeat (steps 4 to 9).").as_deref(), Some("steps 4"));
        assert_eq!(typed_reference("See step no. 27.").as_deref(), Some("step no. 27"));
        assert_eq!(typed_reference("Raise the pressure in steps of 1 bar."), None);
        assert_eq!(typed_reference("Stand on the step."), None);
    }
}
