//! A sentence of a step that does not begin with what to do.
//!
//! ## What is found
//! A sentence of a step begins with an article, a pronoun, a number or a word in -ing instead of a verb. It may open
//! with `IF`, `WHEN` or another clause that ends with a comma, with an adverb, with `Do not`, and with the person who
//! acts, where a hold names that person (`The second person measures ...`).
//!
//! ## On the floor
//! It is not clear whether something is to be done, or is said to be so, or by whom. "The cover is removed" can be both.
//!
//! ## How to mend it
//! Begin with the verb: `Remove the cover.` What only explains belongs into a note or a caution.

use crate::analysis::imperative::{Opening, opening};
use crate::analysis::wording::{Place, Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::NO_VERB_FIRST;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NO_VERB_FIRST,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("no_verb_first.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let actors = actors(writing);
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place == Place::Step) {
        let Opening::NoVerb(at) = opening(saying) else { continue };
        if acts(saying, at, &actors) {
            continue;
        }
        let message = format!("`{}` is not what to do", saying.shown(at..at + 1));
        let finding = Finding::note(NO_VERB_FIRST, message)
            .at(saying.span(at..at + 1))
            .label("a sentence of a step begins with a verb")
            .floor("it is not clear whether something is to be done, or is said to be so")
            .help("begin with the verb, or move what explains into a note or a caution");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Returns the persons that holds name, as words: the role up to its first comma.
fn actors(writing: &Writing<'_>) -> Vec<Vec<String>> {
    let roles = writing.procedure.holds.iter().map(|hold| hold.role.value.to_lowercase());
    roles
        .map(|role| role.split(',').next().unwrap_or_default().split_whitespace().map(str::to_owned).collect())
        .filter(|words: &Vec<String>| !words.is_empty())
        .collect()
}

/// Returns whether one of the actors stands at `at`, with or without an article.
fn acts(saying: &Saying<'_>, at: usize, actors: &[Vec<String>]) -> bool {
    let from = at + usize::from(matches!(saying.word(at), "the" | "a" | "an"));
    actors.iter().any(|actor| saying.words[from..].starts_with(actor))
}

#[cfg(test)]
mod tests {
    use super::acts;
    use crate::analysis::wording::said;

    #[test]
    fn the_person_of_a_hold_acts() {
        let actors = [vec!["second".to_owned(), "person".to_owned()]];
        assert!(acts(&said("The second person signs."), 0, &actors));
        assert!(acts(&said("Second person signs."), 0, &actors));
        assert!(!acts(&said("The second seal leaks."), 0, &actors));
    }
}
