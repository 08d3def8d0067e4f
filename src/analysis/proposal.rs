//! The cheapest way to have a mistake noticed: with what a later step does already, before anything new is asked for; it decides nothing.
//!
//! Common practice, no source: a hold point that exists costs a few words, a count costs a few more, a mark costs a stroke of the
//! pen, and a check of its own costs a step.

use crate::analysis::deviation::{Deviation, What};
use crate::analysis::guard::deadline;
use crate::analysis::page::{Looked, Page};
use crate::analysis::run::{Deed, Run};
use crate::analysis::story::{END, Moment, Offence};
use crate::analysis::thing::Thing;
use crate::base::name::Name;
use crate::language::action::Act;
use std::collections::BTreeSet;

/// A guard, in words around the step it is at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guard {
    /// The words before the step.
    pub before: String,
    /// The number of the step; none where no step does it yet.
    pub step: Option<u32>,
    /// What is to be seen there.
    pub after: String,
}

/// Returns the cheapest guard against a deviation, as something to write into the procedure.
#[must_use]
pub fn guard(page: &Page<'_, '_, '_>, own: &Deviation) -> Guard {
    let run = page.run;
    let at = |before: String, step: usize, after: String| Guard { before, step: Some(run.steps[step].number), after };
    let until = deadline(run, own);
    if matches!(own.what, What::OutOfOrder(_)) {
        let before = "put a hold point between the two, or join them in one step".to_owned();
        return Guard { before, step: None, after: String::new() };
    }
    let counted = matches!(own.what, What::Missing | What::Reused | What::LiesAbout | What::LeftIn);
    let in_time = |said: &&Looked| said.moment > own.moment && said.moment <= until;
    if let Some(count) = page.looked.iter().filter(in_time).find(|said| counted && said.counts) {
        return at("let the count at".to_owned(), count.moment.0, format!("name {}", named(&own.thing)));
    }
    let verified = verified(page, own);
    if let Some(hold) = page.signed.iter().find(|hold| can_see(run, own, hold.step, until)) {
        return at(format!("let hold {} at", hold.name), hold.step, format!("also verify {verified}"));
    }
    let seen = |said: &&Looked| said.checks && can_see(run, own, said.moment.0, until);
    let look = page.looked.iter().filter(in_time).find(seen);
    let marked = format!("mark {} when it is tight, and look for the mark", named(&own.thing));
    let (before, after) = match (&own.what, look) {
        (What::NotTight, Some(look)) => return at(format!("{marked} at"), look.moment.0, String::new()),
        (What::NotTight, None) => (marked, String::new()),
        (_, Some(look)) => return at("let".to_owned(), look.moment.0, format!("also confirm {verified}")),
        (_, None) if until != END => return at("before".to_owned(), until.0, format!("confirm {verified}")),
        (_, None) => ("ask beside this step for a reading or a tick:".to_owned(), verified),
    };
    Guard { before, step: None, after }
}

/// Returns whether a step comes in time and its people can still see the thing: nothing was fitted over it since.
fn can_see(run: &Run<'_, '_>, own: &Deviation, step: usize, until: Moment) -> bool {
    let is_in_time = step >= own.moment.0 && (step, 0) < until;
    let over = coverings(run, &own.thing);
    let inside = is_inside(run, &own.thing);
    let covers = |deed: &Deed| {
        let fits = matches!(deed.action.act, Act::On | Act::New | Act::Tighten | Act::Snug);
        let is_between = (deed.step, deed.sentence) > own.moment && deed.step <= step && deed.action.thing != own.thing;
        // What the register does not say: over what product touches lies whatever product touches and is fitted later.
        let is_over = over.contains(&deed.action.thing) || (inside && is_inside(run, &deed.action.thing));
        fits && is_between && is_over
    };
    is_in_time && !run.deeds.iter().any(covers)
}

fn is_inside(run: &Run<'_, '_>, part: &str) -> bool {
    matches!(run.things.get(part), Thing::Part(here) if here.part.contact == "product")
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

/// Returns a thing as a reader is told of it.
fn named(thing: &str) -> String {
    if thing.is_empty() { "what is meant".to_owned() } else { format!("the {thing}") }
}

/// Returns what somebody would have to see, in words that go on from `verify`; values stand in braces.
fn verified(page: &Page<'_, '_, '_>, own: &Deviation) -> String {
    let thing = named(&own.thing);
    match &own.what {
        What::Missing => format!("that {thing} is on"),
        What::StaysOn => format!("that {thing} is off"),
        What::LiesAbout => format!("that the old {} is gone", own.thing),
        What::NotTight => format!("that {thing} is tight"),
        What::Reused => format!("that {thing} is new"),
        What::NotOpened => format!("that {thing} is open"),
        What::LeftOpen => format!("that {thing} is shut"),
        What::NotLocked => "that every point is locked".to_owned(),
        What::NotPlaced => format!("that {thing} is in"),
        What::LeftIn => format!("that {thing} is out"),
        What::NotApplied(fluid) | What::WrongFluid(fluid) => format!("that {fluid} is on {thing}"),
        What::NotWiped => format!("that {thing} is clean"),
        What::NotRun => "that it ran".to_owned(),
        What::NotFilled => "that it was filled".to_owned(),
        What::NotSet => match page.values_of(own.moment) {
            [] => "what it is set to".to_owned(),
            values => format!("that it is set to {}", values.iter().map(braced).collect::<Vec<_>>().join(" and ")),
        },
        What::NotChecked(_) => "what this sentence asks for".to_owned(),
        What::NotMarked => "that the mark is there".to_owned(),
        What::WrongValue(name) => format!("that it is {}", braced(name)),
        What::OutOfOrder(_) => "that this step is done before the next".to_owned(),
    }
}

fn braced(name: &Name) -> String {
    format!("{{{name}}}")
}

/// Says what comes of a wrong order.
fn out_of_order(offence: Offence, thing: &str) -> String {
    match offence {
        Offence::OpenedBeforeLock | Offence::OpenedBeforeProof | Offence::OpenedBeforeRelease => {
            "the machine is opened before it is proved safe".to_owned()
        }
        Offence::OpenedAfterUnlock => "the machine is opened after its locks came off".to_owned(),
        Offence::RunBeforeGuards => format!("it runs before {thing} is where it belongs"),
        Offence::StartedWhileLocked => "it is started while it is locked".to_owned(),
        Offence::UnlockedTooEarly => format!("the locks come off before {thing} is where it belongs"),
        Offence::FilledTooEarly => format!("it is filled before {thing} is on"),
        Offence::RunsDry => "it runs before it is filled".to_owned(),
        _ => "the order is wrong".to_owned(),
    }
}

/// Returns what nobody would notice, as a sentence without its full stop.
#[must_use]
pub fn unnoticed(own: &Deviation) -> String {
    let thing = named(&own.thing);
    match &own.what {
        What::Missing => format!("{thing} is not fitted, or not all of it"),
        What::StaysOn => format!("{thing} stays on"),
        What::LiesAbout => format!("the old {} lies about, and can be fitted again", own.thing),
        What::NotTight => format!("{thing} is hand tight, or not all of it is tight"),
        What::Reused => format!("the old {} is fitted again", own.thing),
        What::NotOpened => format!("{thing} stays shut, and what is behind it stays in"),
        What::LeftOpen => format!("{thing} stays open"),
        What::NotLocked if own.thing.is_empty() => "some points are not locked".to_owned(),
        What::NotLocked => format!("not locked: {}", own.thing),
        What::NotPlaced => format!("{thing} is not put in"),
        What::LeftIn => format!("{thing} stays in"),
        What::NotApplied(fluid) => format!("no {fluid} is on {thing}"),
        What::WrongFluid(fluid) => format!("something else than {fluid} is on {thing}"),
        What::NotWiped => format!("{thing} stays dirty"),
        What::NotRun => "the machine is not run".to_owned(),
        What::NotFilled => "the machine is not filled".to_owned(),
        What::NotSet => "it is not set".to_owned(),
        What::NotChecked(Act::Wait) => "nobody waits".to_owned(),
        What::NotChecked(Act::Measure) => "nobody measures".to_owned(),
        What::NotChecked(Act::Try) => "nobody tries".to_owned(),
        What::NotChecked(Act::Turn) => "nobody turns it".to_owned(),
        What::NotChecked(_) => "nobody looks".to_owned(),
        What::NotMarked => "there is no mark".to_owned(),
        What::WrongValue(name) if own.thing.is_empty() => format!("the {name} is that of another machine"),
        What::WrongValue(name) => format!("the {name} of {thing} is that of another machine"),
        What::OutOfOrder(offence) => out_of_order(*offence, &thing),
    }
}
