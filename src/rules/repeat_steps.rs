//! Steps that are to be repeated with other things in mind.
//!
//! ## What is found
//! `Repeat steps 4 to 9`, `repeat the procedure for the other side`, `do the same on the other pump`. One labelled step
//! that is repeated until a result is reached is fine: `Repeat {see measure} until ...`
//!
//! ## On the floor
//! The repeated steps name the first side's parts, values and blanks. There is nothing to tick and nowhere to write the
//! second time. That is why it is a warning.
//!
//! ## How to mend it
//! Write the steps of the second side out, each with its own values and blanks; or give one reading several `places`.

use crate::analysis::wording::REFERENCE;
use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::REPEAT_STEPS;
use crate::rules::{Found, Rule};
use std::ops::Range;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: REPEAT_STEPS,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("repeat_steps.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.is_worked_to()) {
        let Some(range) = repeats(saying) else { continue };
        let message = format!("`{}` asks for steps that are not written here", saying.shown(range.clone()));
        let finding = Finding::warning(REPEAT_STEPS, message)
            .at(saying.span(range))
            .floor("there is nothing to tick the second time, and the values are those of the first")
            .help("write the steps out, each with its own values and blanks");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Returns the words that ask for several steps again.
fn repeats(saying: &Saying<'_>) -> Option<Range<usize>> {
    let same =
        saying.find(&["do the same", "the same applies", "likewise for", "same procedure for", "same again for"]);
    if let Some((_, range)) = same {
        return Some(range);
    }
    let (_, repeat) = saying.find(&["repeat", "repeating", "redo", "perform again", "carry out again"])?;
    let end = (repeat.end..saying.words.len())
        .take(6)
        .find(|at| matches!(saying.word(*at), "steps" | "procedure" | "operations" | "above" | "instructions"))?;
    let several = saying.word(end) != "above" || !saying.words[repeat.end..end].iter().any(|word| word == "step");
    // `Repeat the measurement` and `Repeat {see one step}` are one thing.
    let is_reference = saying.words[repeat.end..end].iter().any(|word| word == REFERENCE);
    (several && !is_reference).then_some(repeat.start..end + 1)
}

#[cfg(test)]
mod tests {
    use super::repeats;
    use crate::analysis::wording::said;

    #[test]
    fn several_steps_are_told_from_one_thing() {
        for (text, wanted) in [
            ("Repeat steps 4 to 9 on the other side.", true),
            ("Repeat the steps above for the second pump.", true),
            ("Repeat the procedure on the cold side.", true),
            ("Do the same on the other side.", true),
            ("Repeat the measurement.", false),
            ("Repeat the cleaning until the water is clear.", false),
        ] {
            assert_eq!(repeats(&said(text)).is_some(), wanted, "{text}");
        }
    }
}
