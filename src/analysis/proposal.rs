//! The cheapest way to have a mistake noticed: with what a later step does already, before anything new is asked for; it decides nothing.
//!
//! Common practice, no source: a hold point that exists costs a few words, a count costs a few more, a mark costs a stroke of the
//! pen, and a check of its own costs a step.

use crate::analysis::deviation::{Deviation, What};
use crate::analysis::guard::deadline;
use crate::analysis::page::Page;
use crate::analysis::run::Run;
use crate::analysis::story::{END, Moment};
use crate::analysis::thing::Thing;
use crate::language::action::Act;
use std::collections::BTreeSet;

/// Returns the cheapest guard against a deviation, as something to write into the procedure.
#[must_use]
pub fn guard(page: &Page<'_, '_, '_>, own: &Deviation) -> String {
    let until = deadline(page.run, own);
    let counted = matches!(own.what, What::Missing | What::Reused | What::LiesAbout | What::LeftIn);
    let count = page.looked.iter().find(|said| said.counts && said.moment > own.moment && said.moment <= until);
    if let Some(count) = count.filter(|_| counted) {
        return format!("let the count at step {} name the {}", number(page.run, count.moment.0), own.thing);
    }
    if let Some(hold) = page.signed.iter().find(|hold| can_see(page.run, own, hold.step, until)) {
        return format!("let hold {} at step {} also verify {}", hold.name, number(page.run, hold.step), verified(own));
    }
    let joined = |own: &Deviation| matches!(own.what, What::NotTight);
    let look = page
        .looked
        .iter()
        .find(|said| said.checks && said.moment > own.moment && can_see(page.run, own, said.moment.0, until));
    match look {
        Some(look) if joined(own) => {
            let step = number(page.run, look.moment.0);
            format!("mark each {} when it is tight, and look for the marks at step {step}", own.thing)
        }
        Some(look) => format!("let step {} also confirm {}", number(page.run, look.moment.0), verified(own)),
        None if joined(own) => format!("mark each {} when it is tight, and have the marks looked for", own.thing),
        None => match until {
            END => format!("ask for a reading or a tick beside this step: {}", verified(own)),
            (step, _) => format!("confirm before step {}: {}", number(page.run, step), verified(own)),
        },
    }
}

fn number(run: &Run<'_, '_>, step: usize) -> u32 {
    run.steps[step].number
}

/// Returns whether a step comes in time and its people can still see the thing: nothing was fitted over it since.
fn can_see(run: &Run<'_, '_>, own: &Deviation, step: usize, until: Moment) -> bool {
    let is_in_time = step >= own.moment.0 && (step, 0) < until;
    let over = coverings(run, &own.thing);
    let covers = |deed: &crate::analysis::run::Deed| {
        let fits = matches!(deed.action.act, Act::On | Act::New | Act::Tighten | Act::Snug);
        fits && (deed.step, deed.sentence) > own.moment && deed.step <= step && over.contains(&deed.action.thing)
    };
    is_in_time && !run.deeds.iter().any(covers)
}

/// Returns what lies over a part once it is on: what holds it, and what holds that, without its own fasteners.
fn coverings(run: &Run<'_, '_>, part: &str) -> BTreeSet<String> {
    let mut over: BTreeSet<String> = BTreeSet::new();
    let mut open = vec![part.to_owned()];
    while let Some(next) = open.pop() {
        let Thing::Part(here) = run.things.get(&next) else { continue };
        for name in here.part.held_by.iter().filter_map(|held| run.things.get(held.value.as_str()).name()) {
            let belongs = matches!(run.things.get(name),
                Thing::Part(holder) if holder.part.of.as_ref().is_some_and(|of| of.value.as_str() == part));
            if !belongs && over.insert(name.to_owned()) {
                open.push(name.to_owned());
            }
        }
    }
    over
}

/// Returns what somebody would have to see, in words that go on from `verify`.
fn verified(own: &Deviation) -> String {
    let thing = &own.thing;
    match &own.what {
        What::Missing => format!("that the {thing} is on"),
        What::StaysOn => format!("that the {thing} is off"),
        What::LiesAbout => format!("that the old {thing} is gone"),
        What::NotTight => format!("that the {thing} is tight"),
        What::Reused => format!("that the {thing} is new"),
        What::NotOpened => format!("that the {thing} is open"),
        What::LeftOpen => format!("that the {thing} is shut"),
        What::NotLocked => "that every point is locked".to_owned(),
        What::NotPlaced => format!("that the {thing} is in"),
        What::LeftIn => format!("that the {thing} is out"),
        What::NotApplied(_) | What::WrongFluid(_) => format!("which fluid is on the {thing}"),
        What::NotWiped => format!("that the {thing} is clean"),
        What::NotRun => "that it ran".to_owned(),
        What::NotFilled => "the pressure it was filled to".to_owned(),
        What::NotSet => "what it was set to".to_owned(),
        What::NotChecked(_) => "what this sentence asks for".to_owned(),
        What::NotMarked => "that the mark is there".to_owned(),
        What::WrongValue(name) => format!("the {name} that was used"),
        What::OutOfOrder(_) => "that this step is done before the next".to_owned(),
    }
}

/// Returns what nobody would notice, as a sentence without its full stop.
#[must_use]
pub fn unnoticed(own: &Deviation) -> String {
    let thing = &own.thing;
    match &own.what {
        What::Missing => format!("the {thing} is not fitted, or not all of it"),
        What::StaysOn => format!("the {thing} stays on"),
        What::LiesAbout => format!("the old {thing} lies about, and can be fitted again"),
        What::NotTight => format!("the {thing} is hand tight, or only some are tight"),
        What::Reused => format!("the old {thing} is fitted again"),
        What::NotOpened => format!("the {thing} stays shut, and what is behind it stays in"),
        What::LeftOpen => format!("the {thing} stays open"),
        What::NotLocked => format!("not locked: {}", if thing.is_empty() { "some points" } else { thing }),
        What::NotPlaced => format!("the {thing} is not put in"),
        What::LeftIn => format!("the {thing} stays in"),
        What::NotApplied(_) => format!("the {thing} stays dry"),
        What::WrongFluid(_) => format!("another fluid is on the {thing}"),
        What::NotWiped => format!("the {thing} stays dirty"),
        What::NotRun => "the machine is not run".to_owned(),
        What::NotFilled => "the machine is not filled".to_owned(),
        What::NotSet => "it is not set".to_owned(),
        What::NotChecked(Act::Wait) => "nobody waits".to_owned(),
        What::NotChecked(Act::Measure) => "nobody measures".to_owned(),
        What::NotChecked(Act::Try) => "nobody tries".to_owned(),
        What::NotChecked(_) => "nobody looks".to_owned(),
        What::NotMarked => "there is no mark".to_owned(),
        What::WrongValue(name) if thing.is_empty() => format!("the {name} is that of another machine"),
        What::WrongValue(name) => format!("the {name} of the {thing} is that of another machine"),
        What::OutOfOrder(_) => "the next step is done first".to_owned(),
    }
}
