//! Locks that come off while the machine is still open.
//!
//! ## What is found
//! A step removes locks, and a part is still off, an opening still open or a temporary item still in, which only a later step
//! puts right.
//!
//! ## On the floor
//! The line comes under pressure, or the machine can start, while somebody still has his hands in it.
//!
//! ## How to mend it
//! Move the step that removes the locks behind the last step that closes the machine.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::UNLOCKED_TOO_EARLY;
use crate::rules::{Found, Rule, told};
use crate::rules::{are, named};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNLOCKED_TOO_EARLY,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("unlocked_too_early.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message =
            format!("locks come off while {} {} still off, open or in", named(&fact.things), are(&fact.things));
        told(run, fact, Finding::error(UNLOCKED_TOO_EARLY, message))
            .label("the locks come off here")
            .floor("energy would come back while somebody still works on the machine")
            .help("move this behind the last step that closes the machine")
    };
    run.story.of(Offence::UnlockedTooEarly).map(finding).collect()
}
