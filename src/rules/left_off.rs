//! A part that is off at the end of the job.
//!
//! ## What is found
//! The steps are carried out on paper, for each machine. A part that a step takes off is neither put back nor replaced by a new
//! one when the last step is done, and the front matter does not say under `configuration:` that it stays off. Parts that come
//! off in one sentence are told together. A part that `configuration:` says is new after the job, and that no step fits, is told
//! too.
//!
//! ## On the floor
//! The fitter closes the machine, and the part lies on the bench: a key, an O-ring, a guard.
//!
//! ## How to mend it
//! Write the step that fits it, by the name in the register. If it is meant to stay off, say so:
//! `configuration: [{part: gland packing, before: 4, after: 0}]`.

use crate::analysis::run::Run;
use crate::analysis::story::{Fact, Offence};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::LEFT_OFF;
use crate::rules::{Found, Rule, are, named, told};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: LEFT_OFF, severity: Severity::Error, found: Found::Run(check), source: include_str!("left_off.rs") };

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let off = run.story.of(Offence::LeftOff).map(|fact| {
        let mut what = Vec::new();
        if !fact.things.is_empty() {
            what.push(format!("{} {} off at the end", named(&fact.things), are(&fact.things)));
        }
        if !fact.by.is_empty() {
            what.push(format!("{} {} discarded, and no step fits a new one", named(&fact.by), are(&fact.by)));
        }
        told(run, fact, Finding::error(LEFT_OFF, what.join("; ")))
            .label("it comes off here")
            .floor("the machine would be closed without it")
            .help("write the step that fits it; if none is fitted, say so under `configuration:`")
    });
    let never = run.story.of(Offence::NeverFitted).map(|fact| {
        let message = format!("no step fits {}, which the front matter says is on after the job", named(&fact.things));
        never_fitted(run, fact, Finding::error(LEFT_OFF, message))
    });
    off.chain(never).collect()
}

fn never_fitted(run: &Run<'_, '_>, fact: &Fact, finding: Finding) -> Finding {
    let finding = match run.configuration_of(&fact.things[0]) {
        Some(span) => finding.at(span),
        None => finding,
    };
    finding
        .floor("the new part would come back from the job in its bag")
        .help("write the step that fits it, or correct `configuration:`")
}
