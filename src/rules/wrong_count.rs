//! A part of which more or fewer go on than came off.
//!
//! ## What is found
//! Some of a part come off, and at the end not all of their places are filled, though some are; a sentence means more of a part
//! than there are; or more are on after the job than `configuration:` says.
//!
//! ## On the floor
//! One guard half stays on the bench, or somebody looks for a fourth screw that never was.
//!
//! ## How to mend it
//! Say the same number where it comes off and where it goes on: `both guard halves`. The register tells how many there are.

use crate::analysis::run::Run;
use crate::analysis::story::Offence;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::WRONG_COUNT;
use crate::language::action::Act;
use crate::rules::named;
use crate::rules::{Found, Rule, told};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: WRONG_COUNT,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("wrong_count.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let some = run.story.of(Offence::SomeLeftOff).map(|fact| {
        let (places, on) = fact.counts;
        let message =
            format!("of {places} {}, {on} {} on at the end", named(&fact.things), if on == 1 { "is" } else { "are" });
        told(run, fact, Finding::error(WRONG_COUNT, message))
            .label("this puts back fewer than came off")
            .floor("what is left over stays on the bench")
            .help("say the same number here as where they come off")
    });
    let more = run.story.of(Offence::MoreThanThere).map(|fact| {
        let (meant, there) = fact.counts;
        let part = named(&fact.things);
        let is = if there == 1 { "is" } else { "are" };
        let act = fact.deed.map(|at| run.deeds[at].action.act);
        let message = match act {
            _ if run.things.get(&fact.things[0]).all() == Some(there) => {
                format!("{meant} of {part} are meant, and this machine has {there}")
            }
            Some(Act::Off | Act::Open) => format!("{meant} of {part} come off, and {there} {is} on"),
            _ => format!("{meant} of {part} go on, and {there} {is} off"),
        };
        told(run, fact, Finding::error(WRONG_COUNT, message))
            .floor("somebody would look for one that is not there")
            .help("correct the number here, or the `count` in the register")
    });
    let still = run.story.of(Offence::StillOn).map(|fact| {
        let (meant, there) = fact.counts;
        let is = if there == 1 { "is" } else { "are" };
        let message =
            format!("{there} of {} {is} on at the end, and the front matter says {meant}", named(&fact.things));
        let finding = Finding::error(WRONG_COUNT, message)
            .floor("the machine would not be as the procedure says it is")
            .help("take off what is to go, or correct `configuration:`");
        match run.configuration_of(&fact.things[0]) {
            Some(span) => finding.at(span),
            None => told(run, fact, finding),
        }
    });
    some.chain(more).chain(still).collect()
}
