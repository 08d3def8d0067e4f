//! A part that is used once, and renewed only on somebody's judgement.
//!
//! ## What is found
//! A sentence renews, discards or fits a part that the register calls `single-use: yes` under a condition: `if worn`, `as
//! required`, `where necessary`, `unless`.
//!
//! ## On the floor
//! At three in the morning the O-ring looks good, and goes back in.
//!
//! ## How to mend it
//! A part that is used once is renewed every time: write two orders, `Discard the casing O-ring.` and `Fit the new casing
//! O-ring.` If it may be used again within a limit, take `single-use` out of the register and measure it.

use crate::analysis::run::Run;
use crate::analysis::story::VagueRenewal;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::VAGUE_RENEWAL;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: VAGUE_RENEWAL,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("vague_renewal.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let finding = |vague: &VagueRenewal| {
        let read = &run.steps[vague.step].sentences[vague.sentence].read;
        Finding::error(VAGUE_RENEWAL, format!("`{}` is used once, and renewed only on a condition", vague.part))
            .at(read.sentence.span)
            .label("who judges it, and by what?")
            .floor("the old one would go back in because it looks good")
            .help("write that it is discarded and that a new one is fitted, without a condition")
    };
    run.story.vague.iter().map(finding).collect()
}
