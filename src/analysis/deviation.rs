//! How the machine differs from what is meant after one thing was done otherwise, and how much that weighs; who sees it is not known here.
//!
//! Common practice, no source: energy and guards weigh most, then what touches product, then joints, fluids and readings. A lock
//! that is forgotten shows itself at the next start, and a machine that still runs is heard, so neither is a deviation.

use crate::analysis::mutant::{Change, Mutant};
use crate::analysis::run::{Deed, Run};
use crate::analysis::story::{Fact, Moment, Offence};
use crate::analysis::teardown::PartState;
use crate::analysis::thing::Thing;
use crate::base::name::Name;
use crate::base::quantity::Dimension;
use crate::base::text::Placed;
use crate::language::action::Act;
use crate::model::crib::Kind;
use crate::model::value::Value;
use serde::Serialize;

/// One way in which the machine, or what is known of it, differs from what is meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deviation {
    /// What differs.
    pub what: What,
    /// With what: a register's name, words for isolation points, or a value; may be empty.
    pub thing: String,
    /// The deed that was meant, as its place in the clean run's deeds; none where a sentence is meant.
    pub deed: Option<usize>,
    /// The step and sentence it happens at.
    pub moment: Moment,
}

/// What differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// A part that should be on is not.
    Missing,
    /// A part that should come off stays on.
    StaysOn,
    /// A part that was thrown away, or returned, lies about.
    LiesAbout,
    /// A fastener is hand tight at most.
    NotTight,
    /// The old part is used again.
    Reused,
    /// A drain or vent stays shut.
    NotOpened,
    /// A drain or vent stays open.
    LeftOpen,
    /// Isolation points are not locked.
    NotLocked,
    /// A temporary item is not put in.
    NotPlaced,
    /// A temporary item stays in.
    LeftIn,
    /// A fluid, by its words in the action, is not put on.
    NotApplied(String),
    /// It is not wiped clean.
    NotWiped,
    /// Another fluid is put on than this one.
    WrongFluid(String),
    /// The machine is not run.
    NotRun,
    /// The machine is not filled.
    NotFilled,
    /// It is not set to its value.
    NotSet,
    /// It is not looked at, measured, tried or waited for.
    NotChecked(Act),
    /// It is not marked.
    NotMarked,
    /// The value of another machine is used.
    WrongValue(Name),
    /// Steps are done in the wrong order.
    OutOfOrder(Offence),
}

/// How much it weighs, worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Consequence {
    /// Energy, isolation and guards.
    Energy,
    /// What touches product.
    Product,
    /// Joints.
    Torque,
    /// Fluids.
    Fluid,
    /// Readings and settings.
    Reading,
    /// Everything else.
    Rest,
}

/// Returns how the machine differs, and nothing where it does not: `mutated` is the run with the mutant's steps.
#[must_use]
pub fn deviations(run: &Run<'_, '_>, mutated: &Run<'_, '_>, mutant: &Mutant) -> Vec<Deviation> {
    let moment = (mutant.step, mutant.sentence);
    match &mutant.change {
        Change::Exchanged => out_of_order(run, mutated, moment),
        Change::Sister(name, ..) => {
            let what = What::WrongValue(name.clone());
            vec![Deviation { what, thing: value_is_for(run, moment, name), deed: None, moment }]
        }
        change => {
            let is_meant = |deed: &Deed| {
                deed.step == mutant.step
                    && !deed.action.conditional
                    && (*change == Change::StepSkipped
                        || (deed.sentence == mutant.sentence && Some(deed.clause) == change.clause()))
            };
            let meant = run.deeds.iter().enumerate().filter(|(_, deed)| is_meant(deed));
            let of = |(at, deed): (usize, &Deed)| {
                let (what, thing) = of_deed(run, mutated, change, deed)?;
                Some(Deviation { what, thing, deed: Some(at), moment: (deed.step, deed.sentence) })
            };
            meant.filter_map(of).collect()
        }
    }
}

/// Returns what a value of a sentence is used on: the thing of the action that has it, else nothing.
fn value_is_for(run: &Run<'_, '_>, (step, sentence): Moment, name: &Name) -> String {
    let own = &run.steps[step].sentences[sentence];
    let brace = format!("{{{}}}", name.folded());
    let has = |words: &String| words.to_lowercase().contains(&brace);
    let clause = own
        .actions
        .iter()
        .position(|action| has(&action.thing) || has(&action.to) || has(&action.on) || action.with.iter().any(has));
    let deed =
        run.deeds.iter().find(|deed| (deed.step, deed.sentence) == (step, sentence) && Some(deed.clause) == clause);
    deed.map_or_else(String::new, |deed| target(run, deed))
}

/// Returns what a deed is done to: of a fluid, what it is put on.
fn target(run: &Run<'_, '_>, deed: &Deed) -> String {
    let action = &deed.action;
    match action.act {
        Act::Apply if action.to.is_empty() => action.on.clone(),
        Act::Apply => action.to.clone(),
        _ => run.things.get(&action.thing).name().map_or_else(|| action.thing.clone(), str::to_owned),
    }
}

fn of_deed(run: &Run<'_, '_>, mutated: &Run<'_, '_>, change: &Change, deed: &Deed) -> Option<(What, String)> {
    let thing = target(run, deed);
    let action = &deed.action;
    let what = match (change, run.things.get(&action.thing)) {
        (Change::Reused(_), _) => What::Reused,
        (Change::WrongFluid(..), _) => {
            What::WrongFluid(if action.act == Act::Apply { action.thing.clone() } else { action.with.join(", ") })
        }
        (_, Thing::Part(_)) if action.act.moves() && !matches!(action.act, Act::Apply | Act::Wipe) => {
            of_part(run, mutated, deed, &thing)?
        }
        (_, Thing::Opening(..)) => match action.act {
            Act::Open | Act::Off | Act::Loosen | Act::Discard => What::NotOpened,
            Act::Shut | Act::On | Act::New | Act::Tighten | Act::Snug => What::LeftOpen,
            act => of_act(deed, act)?,
        },
        (_, Thing::Temporary(..)) => match action.act {
            Act::Place | Act::On | Act::New => What::NotPlaced,
            Act::Take | Act::Off | Act::Stores | Act::Discard => What::LeftIn,
            act => of_act(deed, act)?,
        },
        (_, Thing::Isolation(_)) => match action.act {
            Act::Lock | Act::Shut => What::NotLocked,
            act => of_act(deed, act)?,
        },
        _ => of_act(deed, action.act)?,
    };
    Some((what, thing))
}

fn of_act(deed: &Deed, act: Act) -> Option<What> {
    Some(match act {
        Act::Apply => What::NotApplied(deed.action.thing.clone()),
        Act::Wipe => What::NotWiped,
        Act::Run => What::NotRun,
        Act::Fill => What::NotFilled,
        Act::Set => What::NotSet,
        Act::Try | Act::Confirm | Act::Look | Act::Measure | Act::Turn | Act::Wait => What::NotChecked(act),
        Act::Mark => What::NotMarked,
        _ => return None,
    })
}

/// Returns what becomes of a part, by how it is at the end.
fn of_part(run: &Run<'_, '_>, mutated: &Run<'_, '_>, deed: &Deed, name: &str) -> Option<What> {
    let (meant, here) = (run.story.parts.get(name)?, mutated.story.parts.get(name)?);
    match deed.action.act {
        Act::Off | Act::Open | Act::Discard | Act::Stores if here.on > meant.on => Some(What::StaysOn),
        Act::Off | Act::Open | Act::Discard | Act::Stores if counts(here) != counts(meant) => Some(What::LiesAbout),
        Act::On | Act::New | Act::Shut | Act::Snug if here.on < meant.on => Some(What::Missing),
        Act::Snug if here.tight < meant.tight => Some(What::NotTight),
        Act::Tighten => {
            let again = |other: &Deed| {
                other.action.act == Act::Tighten
                    && other.action.thing == deed.action.thing
                    && (other.step, other.sentence, other.clause) > (deed.step, deed.sentence, deed.clause)
            };
            (!run.deeds.iter().any(again)).then_some(What::NotTight)
        }
        _ => None,
    }
}

fn counts(state: &PartState) -> (u32, u32, u32, u32) {
    (state.on, state.bench, state.gone, state.new)
}

/// Returns the offences of a mutated run that the clean one does not have, each with where it shows.
#[must_use]
pub fn new_facts<'m>(run: &Run<'_, '_>, mutated: &'m Run<'_, '_>) -> Vec<(&'m Fact, Option<Moment>)> {
    let same = |a: &Fact, b: &Fact| (a.offence, &a.things, &a.by) == (b.offence, &b.things, &b.by);
    let is_new = |fact: &&Fact| !run.story.facts.iter().any(|own| same(own, fact));
    let moment = |fact: &Fact| fact.deed.map(|at| (mutated.deeds[at].step, mutated.deeds[at].sentence));
    mutated.story.facts.iter().filter(is_new).map(|fact| (fact, moment(fact))).collect()
}

/// Returns the offences that exchanging two steps makes; where it makes none, the order of the two does not matter.
fn out_of_order(run: &Run<'_, '_>, mutated: &Run<'_, '_>, moment: Moment) -> Vec<Deviation> {
    let of = |(fact, _): (&Fact, Option<Moment>)| Deviation {
        what: What::OutOfOrder(fact.offence),
        thing: fact.things.first().cloned().unwrap_or_default(),
        deed: None,
        moment,
    };
    new_facts(run, mutated).into_iter().map(of).collect()
}

impl Deviation {
    /// Returns how much it weighs.
    #[must_use]
    pub fn consequence(&self, run: &Run<'_, '_>) -> Consequence {
        let is_guard = || guards(run, &self.thing);
        let touches_product =
            || matches!(run.things.get(&self.thing), Thing::Part(here) if here.part.contact == "product");
        match &self.what {
            What::NotLocked | What::LeftIn => Consequence::Energy,
            What::NotOpened | What::LeftOpen => match run.things.get(&self.thing) {
                Thing::Opening(opening, _) if opening.of.is_empty() => Consequence::Product,
                _ => Consequence::Energy,
            },
            What::NotChecked(_) if proves(run, self.moment) => Consequence::Energy,
            What::OutOfOrder(offence) if is_about_energy(*offence) => Consequence::Energy,
            What::Missing | What::NotTight | What::StaysOn if is_guard() => Consequence::Energy,
            What::NotTight => Consequence::Torque,
            What::WrongValue(name) => self.weight_of_value(run, name),
            What::NotApplied(_) => Consequence::Fluid,
            What::WrongFluid(_) if touches_product() => Consequence::Product,
            What::WrongFluid(_) => Consequence::Fluid,
            What::NotWiped => Consequence::Product,
            What::Missing | What::Reused | What::LiesAbout | What::StaysOn | What::OutOfOrder(_)
                if touches_product() =>
            {
                Consequence::Product
            }
            What::NotSet | What::NotChecked(Act::Measure) => Consequence::Reading,
            _ => Consequence::Rest,
        }
    }

    fn weight_of_value(&self, run: &Run<'_, '_>, name: &Name) -> Consequence {
        let span = run.job.procedure.document.span;
        match run.job.value(&Placed::new(name.clone(), span)) {
            Ok(Value::Quantity(own)) if own.unit.dimension() == Dimension::Torque => Consequence::Torque,
            Ok(Value::Crib(id)) => match run.job.binder.crib.find(&id).map(|item| &item.kind) {
                Some(Kind::Fluid { .. }) => Consequence::Fluid,
                _ => Consequence::Rest,
            },
            Ok(Value::Text(_)) => Consequence::Rest,
            _ => Consequence::Reading,
        }
    }
}

/// Returns whether a part is a guard, or belongs to one.
#[must_use]
pub fn guards(run: &Run<'_, '_>, part: &str) -> bool {
    let Thing::Part(here) = run.things.get(part) else { return false };
    let of = here.part.of.as_ref().map(|of| run.things.get(of.value.as_str()));
    here.part.guard || matches!(of, Some(Thing::Part(of)) if of.part.guard)
}

/// Returns whether a moment lies between the first lock and the first part that comes off: what is looked at then is proof
/// that no energy is left.
#[must_use]
pub fn proves(run: &Run<'_, '_>, moment: Moment) -> bool {
    let at = |deed: &Deed| (deed.step, deed.sentence);
    let lock = run.deeds.iter().find(|deed| deed.action.act == Act::Lock && !deed.action.conditional);
    let first = run.deeds.iter().find(|deed| breaches(run, deed));
    lock.is_some_and(|lock| at(lock) <= moment) && first.is_none_or(|first| moment < at(first))
}

/// Returns whether a deed takes a part off or loosens it.
#[must_use]
pub fn breaches(run: &Run<'_, '_>, deed: &Deed) -> bool {
    let opens = matches!(deed.action.act, Act::Off | Act::Discard | Act::Loosen | Act::Open | Act::Stores);
    opens && !deed.action.conditional && matches!(run.things.get(&deed.action.thing), Thing::Part(_))
}

fn is_about_energy(offence: Offence) -> bool {
    matches!(
        offence,
        Offence::OpenedBeforeLock
            | Offence::OpenedBeforeProof
            | Offence::OpenedBeforeRelease
            | Offence::OpenedAfterUnlock
            | Offence::NotIsolated
            | Offence::RunBeforeGuards
            | Offence::StartedWhileLocked
            | Offence::UnlockedTooEarly
            | Offence::LeftOpen
            | Offence::LeftLocked
            | Offence::LeftIn
    )
}
