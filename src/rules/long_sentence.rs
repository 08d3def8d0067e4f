//! A sentence that is longer than a reader can hold.
//!
//! ## What is found
//! An instruction of more than 20 words (a step, what to do outside a limit, how a caution is avoided), or another
//! sentence of a note or the front matter of more than 25.
//!
//! Counted as in ASD-STE100 Issue 9, rules 5.1 and 6.3 and section 8: a number with its unit, a word with hyphens, an
//! identifier and a value in braces are one word each; what stands in parentheses is one word; a colon before a list
//! ends the sentence.
//!
//! ## On the floor
//! The fitter reads the beginning, does it, and has forgotten the end.
//!
//! ## How to mend it
//! Cut it in two: one instruction a sentence. Move what only explains into a note or a caution.

use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LONG_SENTENCE;
use crate::base::text::Span;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: LONG_SENTENCE,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("long_sentence.rs"),
};

/// The most words of an instruction (ASD-STE100 Issue 9, rule 5.1).
const INSTRUCTION: usize = 20;
/// The most words of another sentence (ASD-STE100 Issue 9, rule 6.3).
const DESCRIPTION: usize = 25;

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        let most = if saying.place.instructs() { INSTRUCTION } else { DESCRIPTION };
        let words = words(saying);
        if words > most {
            let span: Span = saying.sentence.span;
            let finding = Finding::note(LONG_SENTENCE, format!("this sentence has {words} words, more than {most}"))
                .at(span)
                .floor("the reader has forgotten its end when the beginning is done")
                .help("cut it in two: one instruction a sentence");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}

/// Returns how many words a sentence has: those of its longest stretch between colons.
fn words(saying: &Saying<'_>) -> usize {
    let (mut longest, mut here, mut at, mut depth) = (0, 0, 0, 0_usize);
    while at < saying.words.len() {
        match saying.word(at) {
            "(" => {
                here += usize::from(depth == 0);
                depth += 1;
            }
            ")" => depth = depth.saturating_sub(1),
            ":" if depth == 0 => {
                longest = longest.max(here);
                here = 0;
            }
            _ if depth > 0 || saying.is_mark(at) => {}
            _ => {
                here += 1;
                if saying.number(at).is_some() && saying.unit(at + 1).is_some() {
                    at += 1;
                }
            }
        }
        at += 1;
    }
    longest.max(here)
}

#[cfg(test)]
mod tests {
    use super::words;
    use crate::analysis::wording::said;

    /// The cases at the edge that the counting notes of ASD-STE100 give: each of these is one word.
    #[test]
    fn what_is_one_word_counts_as_one() {
        for (text, count) in [
            ("Tighten the nut to 24 N·m.", 5),
            ("Tighten the nut to {closure torque}.", 5),
            ("Remove the cover (see Figure 2 and the note below it).", 4),
            ("Fit the O-ring.", 3),
            ("Set it to 24.7 to 25.3 mm.", 6),
            ("Do these: fit the key; fit the nut.", 6),
            ("Fit TW-2 to V-121C.", 4),
        ] {
            assert_eq!(words(&said(text)), count, "{text}");
        }
        let twenty =
            "One two three four five six seven eight nine ten one two three four five six seven eight nine ten.";
        assert_eq!(words(&said(twenty)), 20);
    }
}
