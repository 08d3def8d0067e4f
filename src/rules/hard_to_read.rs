//! Steps that are hard to read.
//!
//! ## What is found
//! The steps of a procedure, taken together, need more than nine years of school by the Flesch-Kincaid grade. One note
//! tells the figures of the whole procedure: grade, Flesch reading ease, automated readability index.
//!
//! ## On the floor
//! At three in the morning, in a second language, long words and long sentences are guessed at.
//!
//! ## How to mend it
//! Cut sentences, and put short words in the place of long ones: `use` for `utilise`, `before` for `prior to`.
//!
//! ## Formulas
//! Reading ease: 206.835 - 1.015 words/sentences - 84.6 syllables/words (R. Flesch, 1948). Grade: 0.39 words/sentences +
//! 11.8 syllables/words - 15.59 (J. P. Kincaid and others, 1975). Readability index: 4.71 characters/words + 0.5
//! words/sentences - 21.43, characters being letters and digits (R. J. Senter and E. A. Smith, 1967). The constants are
//! the published ones; syllables are counted by rule and not from a dictionary, so the grade is good to about 1.5. The
//! limit of nine is common practice, no source.

use crate::analysis::readability::{Text, syllables};
use crate::analysis::wording::{Place, Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::HARD_TO_READ;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: HARD_TO_READ,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("hard_to_read.rs"),
};

/// The highest grade that gives no note. Common practice for instructions, no source.
const GRADE: f64 = 9.0;
/// Fewer words than these say nothing about a manner of writing.
const WORDS: u32 = 50;

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut text = Text::default();
    for saying in writing.sayings.iter().filter(|saying| saying.place == Place::Step) {
        count(&mut text, saying);
    }
    if text.words < WORDS || text.grade() <= GRADE {
        return Vec::new();
    }
    let message = format!(
        "the steps need {:.1} years of school (Flesch-Kincaid), reading ease {:.0}, readability index {:.1}",
        text.grade(),
        text.ease(),
        text.index()
    );
    let finding = Finding::note(HARD_TO_READ, message)
        .at(writing.procedure.document.span)
        .document(&writing.procedure.document.value)
        .floor("long words and long sentences are guessed at")
        .help("cut sentences, and put short words in the place of long ones");
    vec![finding]
}

/// Counts a sentence. A value is a word without syllables, as a figure is.
fn count(text: &mut Text, saying: &Saying<'_>) {
    let words = (0..saying.words.len()).filter(|at| !saying.is_mark(*at));
    text.sentences += 1;
    for at in words {
        text.words += 1;
        text.syllables += syllables(saying.word(at));
        let characters = saying.word(at).chars().filter(|c| c.is_alphanumeric()).count();
        text.characters += u32::try_from(characters).unwrap_or(u32::MAX);
    }
}
