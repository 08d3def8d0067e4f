//! Work on the machine before zero energy is proved.
//!
//! ## What is found
//! The first step that takes a part off, loosens one or opens a drain or vent stands before something that must come first:
//!
//! - before a point that a later step locks is locked;
//! - before somebody tries, measures or looks after the last lock, and a hold point signs it;
//! - before a drain or vent of each boundary that has one is opened, so that what is stored runs out;
//! - or after the locks came off again.
//!
//! Opening a drain or vent on a locked boundary is part of the proof, and no breach. A guard is a breach like any other part:
//! what it keeps away is still live behind it. Tightening and fitting count where the job has a proof, and stand before it.
//!
//! ## On the floor
//! Somebody loosens a joint on a line that is hot and under pressure, or has his hand in a machine that can start.
//!
//! ## How to mend it
//! Lock, then let out, then prove, then sign the hold point, and only then loosen.

use crate::analysis::run::Run;
use crate::analysis::story::{Fact, Offence};
use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::rule::OPENED_BEFORE_PROOF;
use crate::model::family::Opening;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: OPENED_BEFORE_PROOF,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("opened_before_proof.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let why = |fact: &Fact| match fact.offence {
        Offence::OpenedBeforeLock => {
            Some(format!("before {} {} locked", named(&fact.by), if fact.by.len() == 1 { "is" } else { "are" }))
        }
        Offence::OpenedBeforeProof => Some("before it is proved and signed that no energy is left".to_owned()),
        Offence::OpenedBeforeRelease => Some(format!("and {} was not opened", named(&openings(run, &fact.by)))),
        Offence::OpenedAfterUnlock => Some("after locks came off".to_owned()),
        _ => None,
    };
    let finding = |fact: &Fact| {
        let message = format!("work on {} begins {}", named(&fact.things), why(fact)?);
        let finding = told(run, fact, Finding::error(OPENED_BEFORE_PROOF, message))
            .label("this opens the machine")
            .floor("somebody would open it with energy still in it")
            .help("lock every point, let out what is stored, try it, have the hold point signed; then open");
        Some(finding)
    };
    run.story.facts.iter().filter_map(finding).collect()
}

/// Returns the openings of this machine that let out what is stored at some boundaries.
fn openings(run: &Run<'_, '_>, boundaries: &[String]) -> Vec<String> {
    let releases = |opening: &&Opening| {
        let name = opening.name.value.as_str();
        let of = |boundary: &String| opening.of.iter().any(|of| of.value == Name::new(boundary));
        !run.things.get(name).is_absent() && boundaries.iter().any(of)
    };
    let openings = run.job.family.openings.iter().filter(releases);
    openings.map(|opening| opening.name.value.as_str().to_owned()).collect()
}
