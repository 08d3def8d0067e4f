//! A verb that hides two steps.
//!
//! ## What is found
//! A sentence of a step begins with `renew`, `replace` or `change`. (A title or purpose may.)
//!
//! ## On the floor
//! What comes off, whether it is thrown away, and what goes on is left to the fitter; `replace` is also read as "put
//! back".
//!
//! ## How to mend it
//! Write both steps: `Remove the O-ring. Discard it.` and, where it goes on, `Fit the new O-ring.`

use crate::analysis::imperative::{Opening, opening};
use crate::analysis::wording::{Place, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::VERB_HIDES_STEPS;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: VERB_HIDES_STEPS,
    severity: Severity::Note,
    found: Found::Wording(check),
    source: include_str!("verb_hides_steps.rs"),
};

/// The verbs, as orders.
const VERBS: [&str; 5] = ["change", "exchange", "renew", "replace", "swap"];

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| matches!(saying.place, Place::Step | Place::Item)) {
        let Opening::Verb(at) = opening(saying) else { continue };
        if VERBS.contains(&saying.word(at)) {
            let message = format!("`{}` hides two steps: taking off and fitting", saying.word(at));
            let finding = Finding::note(VERB_HIDES_STEPS, message)
                .at(saying.span(at..at + 1))
                .floor("what comes off, what is thrown away and what goes on is left to the fitter")
                .help("write both: `Remove ... . Discard it.` and `Fit the new ...`");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}
