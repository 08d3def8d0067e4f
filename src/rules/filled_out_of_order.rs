//! A side that was isolated first and is filled first.
//!
//! ## What is found
//! Two sides are isolated one after the other and filled one after the other, and the side that was isolated last is not the
//! one that is filled first.
//!
//! ## On the floor
//! One side stands under pressure or heat against the other, empty side, which the isolation was careful to avoid.
//!
//! ## How to mend it
//! Fill in the reverse order of the isolation, or change the isolation.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::FILLED_OUT_OF_ORDER;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: FILLED_OUT_OF_ORDER,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("filled_out_of_order.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |fact: &crate::analysis::story::Fact| {
        let message =
            format!("{} is filled first, although {} was isolated last", named(&fact.things), named(&fact.by));
        told(run, fact, Finding::warning(FILLED_OUT_OF_ORDER, message))
            .floor("one side would stand under load against the other, empty one")
            .help("fill first what was isolated last")
    };
    run.story.of(Offence::FilledOutOfOrder).map(finding).collect()
}
