//! A value or an instruction that is somewhere else.
//!
//! ## What is found
//! A sentence sends the reader to a manual, a handbook, a data sheet or the maker's instructions, or says `as usual`,
//! `as normal`. What is not covered and what must be ready before the job may name a manual.
//!
//! ## On the floor
//! At three in the morning the manual is in a locked office. The fitter takes the number that was right for the last
//! machine. That is why it is a warning.
//!
//! ## How to mend it
//! Write the number into a value table with its source, and its name in braces into the step; write the steps out, or
//! name the procedure that holds them. Where the maker's manual is to be followed as a whole, the job is not this
//! procedure's.

use crate::analysis::wording::{Place, Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::VALUE_ELSEWHERE;
use crate::rules::{Found, Rule};
use std::ops::Range;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: VALUE_ELSEWHERE,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("value_elsewhere.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        if matches!(saying.place, Place::NotCovered | Place::Prerequisite) {
            continue;
        }
        let Some(range) = elsewhere(saying) else { continue };
        let message = format!("`{}` sends the reader elsewhere", saying.shown(range.clone()));
        let finding = Finding::warning(VALUE_ELSEWHERE, message)
            .at(saying.span(range))
            .floor("the other paper is not at the machine; the number of the last machine is taken")
            .help("write the number with its source into a value table, and its name in braces here");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Phrases that say no more than that it is known.
const AS_KNOWN: [&str; 13] = [
    "as usual",
    "as normal",
    "as normally",
    "in the usual way",
    "in the normal way",
    "the usual way",
    "the normal way",
    "as standard",
    "as per standard",
    "normal practice",
    "good practice",
    "usual practice",
    "in the usual manner",
];

/// What a value must not be left to. A drawing, a permit or an isolation sheet is at the machine.
const PAPERS: [&str; 20] = [
    "manual",
    "manuals",
    "handbook",
    "handbooks",
    "datasheet",
    "data sheet",
    "data book",
    "instruction book",
    "instruction manual",
    "service manual",
    "documentation",
    "literature",
    "catalogue",
    "catalog",
    "operating instructions",
    "maker's instructions",
    "manufacturer's instructions",
    "supplier's instructions",
    "manufacturer's recommendations",
    "maker's recommendations",
];

/// Words that send the reader.
const SENDING: [&str; 14] = [
    "see",
    "refer",
    "consult",
    "follow",
    "according",
    "per",
    "in",
    "from",
    "by",
    "to",
    "accordance",
    "with",
    "as",
    "check",
];

/// Returns the words that send the reader elsewhere.
fn elsewhere(saying: &Saying<'_>) -> Option<Range<usize>> {
    if let Some((_, range)) = saying.find(&AS_KNOWN) {
        return Some(range);
    }
    let (_, paper) = saying.find(&PAPERS)?;
    // In `the manual valve` the word is no paper.
    let goes_on = !saying.is_mark(paper.end) && !AFTER_A_PAPER.contains(&saying.word(paper.end));
    let from = paper.start.saturating_sub(5);
    let sending = (from..paper.start).rev().find(|at| SENDING.contains(&saying.word(*at)))?;
    // A mark between the two means that they have nothing to do with each other.
    let apart = (sending..paper.start).any(|at| saying.is_mark(at));
    (!goes_on && !apart).then_some(sending..paper.end)
}

/// What may follow the name of a paper.
const AFTER_A_PAPER: [&str; 20] = [
    "for", "and", "or", "of", "if", "when", "to", "section", "chapter", "page", "before", "after", "in", "on", "at",
    "then", "that", "which", "under", "as",
];

#[cfg(test)]
mod tests {
    use super::elsewhere;
    use crate::analysis::wording::said;

    #[test]
    fn a_paper_is_elsewhere_and_a_manual_valve_is_not() {
        for (text, wanted) in [
            ("Tighten the nuts (see the manual).", Some("see the manual")),
            ("Tighten it according to the maker's manual for this size.", Some("to the maker's manual")),
            ("Set the gap as usual.", Some("as usual")),
            ("Take the torque from the data sheet.", Some("from the data sheet")),
            ("Open the manual valve.", None),
            ("Look at the manual override.", None),
            ("Compare it with the kit list.", None),
            ("Fit it as in {see nut}.", None),
            ("Close each valve on the isolation sheet.", None),
        ] {
            let found = elsewhere(&said(text)).map(|range| said(text).shown(range));
            assert_eq!(found.as_deref(), wanted, "{text}");
        }
    }
}
