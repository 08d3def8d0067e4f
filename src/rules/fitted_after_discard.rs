//! A part that is fitted again although it was discarded, or is used once.
//!
//! ## What is found
//! A step fits a part that an earlier step discarded or returned to stores, and does not say that it is a new one; or it puts
//! back a part that the register calls `single-use: yes`. Mostly the word *new* was lost.
//!
//! ## On the floor
//! The fitter takes the old O-ring out of the bin, because the step says to fit *it*, and the joint leaks.
//!
//! ## How to mend it
//! Say `new`: `Fit the new casing O-ring.` If the part may really be used again, take `discard` out of the step that removes it,
//! and `single-use` out of the register.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::FITTED_AFTER_DISCARD;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FITTED_AFTER_DISCARD,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("fitted_after_discard.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |message: String| {
        Finding::error(FITTED_AFTER_DISCARD, message)
            .floor("the old one would go back in, and it seals only once")
            .help("say that it is a new one, or do not discard it")
    };
    let discarded = run.story.of(Offence::DiscardedFitted).map(|fact| {
        let message = format!("{} is fitted after it was discarded", named(&fact.things));
        told(run, fact, finding(message)).label("nothing says that it is a new one")
    });
    let used = run.story.of(Offence::UsedOnceFitted).map(|fact| {
        let message = format!("{} is used once, and the old one is fitted again", named(&fact.things));
        told(run, fact, finding(message)).label("nothing says that it is a new one")
    });
    discarded.chain(used).collect()
}
