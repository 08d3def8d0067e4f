//! A part that comes off before what holds it, or goes on after it.
//!
//! ## What is found
//! The register says what holds a part (`held-by:`). A step takes the part off while something that holds it is still on; or a
//! step fits it when what holds it is on already. Each holder is told once, with the first part that meets it. Within one
//! sentence no order is meant, and between parts that do not hold each other none is asked for.
//!
//! ## On the floor
//! The part cannot be moved. On the strip somebody levers at a casing whose nuts are still on; on the rebuild the fitter finds
//! the key in his hand with the impeller already tight.
//!
//! ## How to mend it
//! Move the step, or write the one that is missing. If the one really does not hold the other, take it out of `held-by:`.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::WRONG_ORDER;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: WRONG_ORDER,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("wrong_order.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let help = "move the step, or write the missing one; `held-by:` in the register says what holds what";
    let strip = run.story.of(Offence::HolderOn).map(|fact| {
        let message =
            format!("{} comes off while {}, which holds it, is still on", named(&fact.things[..1]), named(&fact.by));
        told(run, fact, Finding::error(WRONG_ORDER, message))
            .floor("it would be levered off against what still holds it")
            .help(help)
    });
    let rebuild = run.story.of(Offence::HolderFirst).map(|fact| {
        let message =
            format!("{} is fitted when {}, which holds it, is on already", named(&fact.things[..1]), named(&fact.by));
        told(run, fact, Finding::error(WRONG_ORDER, message))
            .floor("it would not go on any more; everything in front of it has to come off again")
            .help(help)
    });
    strip.chain(rebuild).collect()
}
