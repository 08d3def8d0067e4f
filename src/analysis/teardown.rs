//! The machine on paper: parts, openings and temporary items as the steps move them, and what cannot be; it words nothing.
//!
//! Common practice, no source: fastening a part that is off puts it on; discarding a part that is on takes it off; within one
//! sentence no order is meant; between parts that do not hold each other no order is asked for.

use crate::analysis::run::{Deed, Run};
use crate::analysis::story::{END, Fact, Moment, Offence};
use crate::analysis::taint::Taints;
use crate::analysis::thing::{PartHere, Thing};
use crate::language::action::{Act, Count};
use crate::model::family::{Joint, TorqueStage};
use std::collections::{BTreeMap, BTreeSet};

/// How a part is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartState {
    /// How many there are places for.
    pub place: u32,
    /// How many are on after the job, if it goes well.
    pub after: u32,
    /// How many are on.
    pub on: u32,
    /// How many are off and kept.
    pub bench: u32,
    /// How many were discarded or returned to stores.
    pub gone: u32,
    /// How many new ones were fitted.
    pub new: u32,
    /// How many of those on are tight.
    pub tight: u32,
    /// Deeds that took some off, discarded some, put some on, and last tightened or loosened some.
    pub deeds: PartDeeds,
    /// How many were on when the sentence began.
    before_sentence: u32,
    /// Whether the machine had none before the job.
    is_new_here: bool,
    /// Whether the register says how many there are.
    is_known: bool,
}

/// What was done to a part, as places in the run's deeds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartDeeds {
    /// Took some off.
    pub off: Vec<usize>,
    /// Discarded some or returned them to stores.
    pub gone: Vec<usize>,
    /// Put some on.
    pub on: Vec<usize>,
    /// Last tightened, snugged or loosened some.
    pub turned: Option<usize>,
}

impl PartState {
    /// Returns how many are missing from their places.
    #[must_use]
    pub fn missing(&self) -> u32 {
        self.after.saturating_sub(self.on)
    }
}

/// An opening or a temporary item.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct ItemState {
    /// How many are open, or in.
    pub count: u32,
    /// The deeds that opened or put in.
    pub first: Vec<usize>,
    /// The deeds that closed or took out.
    pub last: Vec<usize>,
}

/// What was off, open or in at a moment.
#[derive(Clone, Debug, Default)]
pub(crate) struct Snapshot {
    pub parts: BTreeSet<String>,
    pub openings: BTreeSet<String>,
    pub items: BTreeSet<String>,
}

/// The machine after the last step, and what was wrong on the way.
#[derive(Debug, Default)]
pub(crate) struct Bench {
    pub parts: BTreeMap<String, PartState>,
    pub openings: BTreeMap<String, ItemState>,
    pub items: BTreeMap<String, ItemState>,
    /// What holds each part, directly.
    pub holders: BTreeMap<String, Vec<String>>,
    /// What was off, open or in before each deed that runs, fills or unlocks.
    pub snapshots: BTreeMap<usize, Snapshot>,
    pub facts: Vec<Fact>,
}

/// A part that came off, or went on, out of order: the part, what holds it, and the deed.
type Order = (String, String, usize);

struct Executor<'r, 'j, 'b> {
    run: &'r Run<'j, 'b>,
    taints: &'r Taints,
    bench: Bench,
    rivals: BTreeMap<String, String>,
    joints: BTreeMap<String, &'b Joint>,
    came_off: Vec<(String, usize)>,
    strip: Vec<Order>,
    rebuild: Vec<Order>,
}

/// Moves the parts, openings and items of a run.
pub(crate) fn execute(run: &Run<'_, '_>, taints: &Taints) -> Bench {
    let mut executor = Executor::new(run, taints);
    let mut sentence = None;
    for (at, deed) in run.deeds.iter().enumerate().filter(|(_, deed)| !deed.action.conditional) {
        let moment = (deed.step, deed.sentence);
        if sentence != Some(moment) {
            executor.end_sentence();
            sentence = Some(moment);
        }
        executor.deed(at, deed);
    }
    executor.end_sentence();
    executor.finish()
}

impl<'r, 'j, 'b> Executor<'r, 'j, 'b> {
    fn new(run: &'r Run<'j, 'b>, taints: &'r Taints) -> Self {
        let mut executor = Self {
            run,
            taints,
            bench: Bench::default(),
            rivals: BTreeMap::new(),
            joints: BTreeMap::new(),
            came_off: Vec::new(),
            strip: Vec::new(),
            rebuild: Vec::new(),
        };
        for here in run.things.parts() {
            executor.add(here);
        }
        let family = run.job.family;
        for joint in family.joints.iter().filter(|joint| run.job.applies(joint.only.as_ref())) {
            if let Some(name) = run.things.get(joint.fastener.value.as_str()).name() {
                executor.joints.insert(name.to_owned(), joint);
            }
        }
        executor
    }

    fn add(&mut self, here: PartHere<'b>) {
        let (before, after) = here.counts.unwrap_or((1, 1));
        if (before, after) == (0, 0) {
            return;
        }
        let name = here.part.name.value.as_str().to_owned();
        let holders = here.part.held_by.iter().filter_map(|holder| self.run.things.get(holder.value.as_str()).name());
        self.bench.holders.insert(name.clone(), holders.map(str::to_owned).collect());
        let rival = here.part.succeeds.as_ref().map(|rival| self.run.things.get(rival.value.as_str()));
        let rival = rival.filter(|rival| !rival.is_absent()).and_then(|rival| rival.name().map(str::to_owned));
        // A part that takes the place of another is not there while the other is, unless the procedure says otherwise.
        let is_said = before != after || rival.as_ref().is_none_or(|rival| self.is_configured(rival));
        let before = if is_said { before } else { 0 };
        if let Some(rival) = rival {
            self.rivals.insert(name.clone(), rival.clone());
        }
        let state = PartState {
            place: before.max(after),
            after,
            on: before,
            tight: before,
            is_new_here: before == 0,
            is_known: here.counts.is_some(),
            ..PartState::default()
        };
        self.bench.parts.insert(name, state);
    }

    fn is_configured(&self, part: &str) -> bool {
        self.run.job.procedure.configuration.iter().any(|own| {
            self.run.job.applies(own.only.as_ref()) && self.run.things.get(own.part.value.as_str()).name() == Some(part)
        })
    }

    fn fact(&mut self, fact: Fact) {
        let moment = fact.deed.map_or(END, |at| self.moment(at));
        let is_certain = fact.things.iter().chain(&fact.by).all(|thing| self.taints.knows(thing, moment));
        if is_certain {
            self.bench.facts.push(fact);
        }
    }

    /// As [`Self::fact`], of how the machine is at the end.
    fn fact_at_end(&mut self, fact: Fact) {
        if fact.things.iter().chain(&fact.by).all(|thing| self.taints.knows(thing, END)) {
            self.bench.facts.push(fact);
        }
    }

    fn moment(&self, at: usize) -> Moment {
        let deed = &self.run.deeds[at];
        (deed.step, deed.sentence)
    }

    fn deed(&mut self, at: usize, deed: &Deed) {
        if matches!(deed.action.act, Act::Run | Act::Try | Act::Fill | Act::Unlock) {
            let snapshot = self.snapshot();
            self.bench.snapshots.insert(at, snapshot);
        }
        let thing = self.run.things.get(&deed.action.thing);
        if let Some(name) = [&deed.action.thing, &deed.action.to].into_iter().find_map(|words| self.absent(words)) {
            self.absent_here(at, name);
            return;
        }
        if let (Count::Number(meant), Some(all), Some(name)) = (deed.action.count, thing.all(), thing.name())
            && meant > all
        {
            self.fact(Fact::new(Offence::MoreThanThere, name, Some(at)).counts(meant, all));
        }
        match thing {
            Thing::Part(here) => self.part(at, deed, here.part.name.value.as_str()),
            Thing::Opening(opening, _) => self.opening(at, deed, opening.name.value.as_str()),
            Thing::Temporary(item, _) => self.item(at, deed, item.name.value.as_str()),
            Thing::Isolation(_) | Thing::Other => {}
        }
    }

    fn absent(&self, words: &str) -> Option<&'r str> {
        let thing = self.run.things.get(words);
        thing.name().filter(|_| thing.is_absent())
    }

    /// Tells what a step does to things the machine does not have, once for the step.
    fn absent_here(&mut self, at: usize, name: &str) {
        let run = self.run;
        let is_of_step = |fact: &&mut Fact| {
            let step = |deed: usize| run.deeds[deed].step;
            fact.offence == Offence::Absent && fact.deed.map(step) == Some(step(at))
        };
        match self.bench.facts.iter_mut().find(is_of_step) {
            Some(fact) if fact.things.iter().any(|own| own == name) => {}
            Some(fact) => fact.things.push(name.to_owned()),
            None => self.bench.facts.push(Fact::new(Offence::Absent, name, Some(at))),
        }
    }

    fn snapshot(&self) -> Snapshot {
        let off = |(name, part): (&String, &PartState)| (part.missing() > 0 && part.is_touched()).then(|| name.clone());
        let some = |items: &BTreeMap<String, ItemState>| {
            items.iter().filter(|(_, item)| item.count > 0).map(|(name, _)| name.clone()).collect()
        };
        Snapshot {
            parts: self.bench.parts.iter().filter_map(off).collect(),
            openings: some(&self.bench.openings),
            items: some(&self.bench.items),
        }
    }

    fn part(&mut self, at: usize, deed: &Deed, name: &str) {
        let Some(mut state) = self.bench.parts.remove(name) else { return };
        let facts = match deed.action.act {
            Act::Off | Act::Open => self.take_off(at, deed, name, &mut state),
            Act::Discard | Act::Stores => self.discard(at, deed, name, &mut state),
            Act::On | Act::Shut | Act::New => {
                let fitting = fitting(deed, &state);
                self.fit(at, name, &mut state, &fitting)
            }
            Act::Loosen => {
                state.deeds.turned = Some(at);
                state.tight -= state.tight.min(deed.count.unwrap_or(state.on));
                Vec::new()
            }
            Act::Snug | Act::Tighten => self.fasten(at, deed, name, &mut state),
            _ => Vec::new(),
        };
        let is_known = state.is_known;
        self.bench.parts.insert(name.to_owned(), state);
        facts.into_iter().filter(|_| is_known).for_each(|fact| self.fact(fact));
    }

    fn take_off(&mut self, at: usize, deed: &Deed, name: &str, state: &mut PartState) -> Vec<Fact> {
        let wanted = deed.count.unwrap_or(state.on);
        if state.on == 0 {
            let fact = Fact::new(Offence::NotThere, name, Some(at)).also(state.deeds.last_off());
            return vec![fact];
        }
        let taken = wanted.min(state.on);
        let mut facts = Vec::new();
        if matches!(deed.action.count, Count::Number(_)) && (state.on + 1..=state.place).contains(&wanted) {
            facts.push(Fact::new(Offence::MoreThanThere, name, Some(at)).counts(wanted, state.on));
        }
        state.on -= taken;
        state.bench += taken;
        state.tight = state.tight.min(state.on);
        state.deeds.off.push(at);
        self.came_off.push((name.to_owned(), at));
        facts
    }

    fn discard(&mut self, at: usize, deed: &Deed, name: &str, state: &mut PartState) -> Vec<Fact> {
        let wanted = deed.count.unwrap_or(state.on + state.bench);
        let from_bench = wanted.min(state.bench);
        state.bench -= from_bench;
        state.gone += from_bench;
        let rest = wanted - from_bench;
        // What was discarded before, or is new, is not meant by a second `discard`.
        if rest > 0 && state.gone == from_bench && state.new == 0 && state.on > 0 {
            let taken = rest.min(state.on);
            state.on -= taken;
            state.gone += taken;
            state.tight = state.tight.min(state.on);
            state.deeds.off.push(at);
            self.came_off.push((name.to_owned(), at));
        }
        state.deeds.gone.push(at);
        Vec::new()
    }

    fn fit(&mut self, at: usize, name: &str, state: &mut PartState, fitting: &Fitting) -> Vec<Fact> {
        let free = state.place.saturating_sub(state.on);
        if free == 0 {
            let fact = Fact::new(Offence::PlaceTaken, name, Some(at)).also(state.deeds.on.last().copied());
            return vec![fact];
        }
        let mut facts = Vec::new();
        if let Some(rival) =
            self.rivals.get(name).filter(|rival| self.bench.parts.get(*rival).is_some_and(|r| r.on > 0))
        {
            facts.push(Fact::new(Offence::PlaceTaken, name, Some(at)).by([rival.clone()]));
        }
        if fitting.is_counted && (free + 1..=state.place).contains(&fitting.wanted) {
            facts.push(Fact::new(Offence::MoreThanThere, name, Some(at)).counts(fitting.wanted, free));
        }
        let fitted = fitting.wanted.min(free);
        if fitting.is_new || state.is_new_here {
            state.new += fitted;
        } else {
            let kept = fitted.min(state.bench);
            state.bench -= kept;
            let is_used_once = self.run.things.single_use(name).is_some();
            if fitted > kept {
                facts.push(Fact::new(Offence::DiscardedFitted, name, Some(at)).also(state.deeds.last_gone()));
            } else if is_used_once {
                facts.push(Fact::new(Offence::UsedOnceFitted, name, Some(at)).also(state.deeds.last_off()));
            }
        }
        state.on += fitted;
        state.deeds.on.push(at);
        for holder in self.bench.holders.get(name).into_iter().flatten() {
            let is_on = |holder: &PartState| holder.is_known && holder.on > 0 && holder.before_sentence > 0;
            if self.bench.parts.get(holder).is_some_and(is_on) {
                self.rebuild.push((name.to_owned(), holder.clone(), at));
            }
        }
        facts
    }

    fn fasten(&mut self, at: usize, deed: &Deed, name: &str, state: &mut PartState) -> Vec<Fact> {
        let wanted = deed.count.unwrap_or(state.place);
        let slack = state.on - state.tight;
        let free = state.place.saturating_sub(state.on);
        let fitted = wanted.saturating_sub(slack).min(free);
        let mut facts = Vec::new();
        if fitted > 0 {
            let fitting = Fitting { wanted: fitted, is_counted: false, is_new: false };
            facts = self.fit(at, name, state, &fitting);
        }
        state.deeds.turned = Some(at);
        if self.is_final(deed, name) {
            state.tight += wanted.min(state.on - state.tight);
        }
        facts
    }

    /// Returns whether a fastening is the last of its joint: by hand, to a share of the torque, and to less are not.
    fn is_final(&self, deed: &Deed, name: &str) -> bool {
        let joint = self.joints.get(name);
        let last = joint.and_then(|joint| joint.stages.last());
        if deed.action.act == Act::Snug {
            return last == Some(&TorqueStage::Snug);
        }
        let to = deed.action.to.to_lowercase();
        if ["half", "third", "hand", "snug", "finger"].iter().any(|word| to.split(' ').any(|own| own.contains(word))) {
            return false;
        }
        let torque = |joint: &Joint| match self.run.job.value(&joint.torque) {
            Ok(crate::model::value::Value::Quantity(torque)) => Some(torque),
            _ => None,
        };
        match (deed.aimed_at(), joint.and_then(|joint| torque(joint))) {
            (Some(said), Some(torque)) if said.unit == torque.unit => said.number >= torque.number,
            // A share of the final torque (`to 30 %`).
            (Some(said), _) if said.unit.symbol() == "%" => said.number >= rust_decimal::Decimal::ONE_HUNDRED,
            (Some(_), _) => true,
            // What nobody can read is no final torque, unless it says that it is.
            (None, _) => to.is_empty() || to.contains("final"),
        }
    }

    fn opening(&mut self, at: usize, deed: &Deed, name: &str) {
        let all = self.run.things.get(name).all();
        let state = self.bench.openings.entry(name.to_owned()).or_default();
        let wanted = deed.count.or(all).unwrap_or(1);
        match deed.action.act {
            Act::Open | Act::Off | Act::Loosen => {
                state.count = state.count.saturating_add(wanted).min(all.unwrap_or(u32::MAX));
                state.first.push(at);
            }
            Act::Shut | Act::On | Act::New | Act::Tighten | Act::Snug => {
                let is_never = state.first.is_empty() && state.last.is_empty();
                state.count -= wanted.min(state.count);
                state.last.push(at);
                let opens =
                    |deed: &Deed| deed.action.conditional && deed.action.act == Act::Open && deed.action.thing == name;
                if is_never && deed.action.act == Act::Shut && !self.run.deeds.iter().any(opens) {
                    self.fact(Fact::new(Offence::NotOpen, name, Some(at)));
                }
            }
            _ => {}
        }
    }

    fn item(&mut self, at: usize, deed: &Deed, name: &str) {
        let all = self.run.things.get(name).all();
        let state = self.bench.items.entry(name.to_owned()).or_default();
        let wanted = deed.count.or(all).unwrap_or(1);
        match deed.action.act {
            Act::Place | Act::On | Act::New => {
                state.count = state.count.saturating_add(wanted).min(all.unwrap_or(u32::MAX));
                state.first.push(at);
            }
            Act::Take | Act::Off | Act::Stores | Act::Discard => {
                let also = state.last.last().copied();
                let is_there = state.count > 0;
                state.count -= wanted.min(state.count);
                state.last.push(at);
                if !is_there && deed.action.act != Act::Stores {
                    self.fact(Fact::new(Offence::NotThere, name, Some(at)).also(also));
                }
            }
            _ => {}
        }
    }

    /// Looks at the order once a sentence is whole: within one, no order is meant.
    fn end_sentence(&mut self) {
        for (part, at) in std::mem::take(&mut self.came_off) {
            for holder in self.bench.holders.get(&part).into_iter().flatten() {
                if self.bench.parts.get(holder).is_some_and(|state| state.is_known && state.on > 0) {
                    self.strip.push((part.clone(), holder.clone(), at));
                }
            }
        }
        for state in self.bench.parts.values_mut() {
            state.before_sentence = state.on;
        }
    }

    fn finish(mut self) -> Bench {
        let stripped: BTreeSet<(String, String)> =
            self.strip.iter().map(|(part, holder, _)| (part.clone(), holder.clone())).collect();
        let strip = std::mem::take(&mut self.strip);
        let mut rebuild = std::mem::take(&mut self.rebuild);
        rebuild.retain(|(part, holder, _)| !stripped.contains(&(part.clone(), holder.clone())));
        self.out_of_order(Offence::HolderOn, strip);
        self.out_of_order(Offence::HolderFirst, rebuild);
        self.never_off();
        self.parts_at_end();
        self.items_at_end();
        self.bench
    }

    /// Tells each holder once, with the first part that met it; the others are further places.
    fn out_of_order(&mut self, offence: Offence, orders: Vec<Order>) {
        let mut by_holder: BTreeMap<String, Fact> = BTreeMap::new();
        for (part, holder, at) in orders {
            let moment = self.moment(at);
            if !self.taints.knows(&part, moment) || !self.taints.knows(&holder, moment) {
                continue;
            }
            by_holder
                .entry(holder.clone())
                .and_modify(|fact| {
                    if !fact.things.contains(&part) {
                        fact.things.push(part.clone());
                        fact.also.push(at);
                    }
                })
                .or_insert_with(|| Fact::new(offence, part.clone(), Some(at)).by([holder]));
        }
        for (_, mut fact) in by_holder {
            if offence == Offence::HolderFirst {
                let on = fact.by.first().and_then(|holder| self.bench.parts.get(holder)?.deeds.on.first().copied());
                fact.also.splice(0..0, on);
            }
            self.fact(fact);
        }
    }

    /// Tells together the parts that are fitted and never came off: mostly one step is missing.
    fn never_off(&mut self) {
        let parts = &self.bench.parts;
        let is_never_off = |fact: &Fact| {
            let is_off = |thing: &String| parts.get(thing).is_some_and(|part| !part.deeds.off.is_empty());
            fact.offence == Offence::PlaceTaken && fact.by.is_empty() && !fact.things.iter().any(is_off)
        };
        let (never, others): (Vec<Fact>, Vec<Fact>) =
            std::mem::take(&mut self.bench.facts).into_iter().partition(is_never_off);
        self.bench.facts = others;
        let together = never.into_iter().reduce(|mut first, other| {
            first.also.extend(other.deed);
            for thing in other.things.into_iter().filter(|thing| !first.things.contains(thing)).collect::<Vec<_>>() {
                first.things.push(thing);
            }
            first
        });
        self.bench.facts.extend(together);
    }

    fn parts_at_end(&mut self) {
        let mut left: BTreeMap<Moment, Fact> = BTreeMap::new();
        let parts: Vec<(String, PartState)> =
            self.bench.parts.iter().map(|(name, state)| (name.clone(), state.clone())).collect();
        for (name, state) in parts.iter().filter(|(_, state)| state.is_known) {
            let rival_on = |(new, old): (&String, &String)| {
                (old == name).then(|| self.bench.parts.get(new).map_or(0, |state| state.on))
            };
            let successors: u32 = self.rivals.iter().filter_map(rival_on).sum();
            let missing = state.missing().saturating_sub(successors);
            let is_over = state.on > state.after;
            if is_over {
                let last = state.deeds.on.last().copied();
                self.fact_at_end(Fact::new(Offence::StillOn, name, last).counts(state.after, state.on));
            } else if missing > 0 && state.is_touched() {
                self.missing(name, state, missing, &mut left);
            } else if missing > 0 && self.is_configured(name) {
                self.fact_at_end(Fact::new(Offence::NeverFitted, name, None));
            }
            if state.tight < state.on && self.must_be_tight(name, state) {
                let joint = self.joints.get(name).map(|joint| joint.name.value.as_str().to_owned());
                let last = state.deeds.turned.into_iter().chain(state.deeds.on.last().copied()).max();
                self.fact_at_end(Fact::new(Offence::NotTight, name, last).by(joint).counts(state.on, state.tight));
            }
        }
        for (_, fact) in left {
            self.bench.facts.push(fact);
        }
    }

    /// Returns whether a part that is on has a thread that was opened: that of a joint, or one that a step loosened last.
    fn must_be_tight(&self, name: &str, state: &PartState) -> bool {
        if self.joints.contains_key(name) {
            return state.is_turned();
        }
        let turned = state.deeds.turned.map(|at| (at, self.run.deeds[at].action.act));
        turned.is_some_and(|(at, act)| act == Act::Loosen && state.deeds.on.last().is_none_or(|on| *on < at))
    }

    /// Tells what is missing at the end; what came off in one sentence is told together.
    fn missing(&mut self, name: &str, state: &PartState, missing: u32, left: &mut BTreeMap<Moment, Fact>) {
        if !self.taints.knows(name, END) {
            return;
        }
        let off = state.deeds.off.first().or(state.deeds.gone.first()).copied();
        if state.on > 0 && !state.deeds.on.is_empty() {
            let also = state.deeds.off.last().copied();
            let last = state.deeds.on.last().copied();
            let fact = Fact::new(Offence::SomeLeftOff, name, last).also(also).counts(state.on + missing, state.on);
            self.bench.facts.push(fact);
            return;
        }
        let moment = off.map_or(END, |at| self.moment(at));
        let fact =
            left.entry(moment).or_insert_with(|| Fact { things: Vec::new(), ..Fact::new(Offence::LeftOff, "", off) });
        let is_discarded = state.gone > 0 && state.bench == 0;
        if is_discarded { &mut fact.by } else { &mut fact.things }.push(name.to_owned());
    }

    /// Tells what is open or in at the end; what one sentence opened is told together.
    fn items_at_end(&mut self) {
        for (items, offence) in [(&self.bench.openings, Offence::LeftOpen), (&self.bench.items, Offence::LeftIn)] {
            let mut left: BTreeMap<Moment, Fact> = BTreeMap::new();
            for (name, item) in items.iter().filter(|(name, _)| self.taints.knows(name, END)) {
                let Some(at) = item.first.last().copied().filter(|_| item.count > 0) else { continue };
                let fact = Fact::new(offence, name, Some(at)).also(item.last.last().copied());
                left.entry(self.moment(at)).and_modify(|told| told.things.push(name.clone())).or_insert(fact);
            }
            self.bench.facts.extend(left.into_values());
        }
    }
}

impl PartState {
    /// Returns whether some of it came off, was discarded or put on.
    fn is_touched(&self) -> bool {
        !self.deeds.off.is_empty() || !self.deeds.gone.is_empty() || !self.deeds.on.is_empty()
    }

    /// Returns whether its thread was opened or turned.
    fn is_turned(&self) -> bool {
        self.is_touched() || self.deeds.turned.is_some()
    }
}

impl PartDeeds {
    fn last_off(&self) -> Option<usize> {
        self.off.last().copied()
    }

    fn last_gone(&self) -> Option<usize> {
        self.gone.last().copied()
    }
}

/// What is to be fitted.
struct Fitting {
    wanted: u32,
    /// True where the sentence says a number.
    is_counted: bool,
    is_new: bool,
}

fn fitting(deed: &Deed, state: &PartState) -> Fitting {
    let free = state.place.saturating_sub(state.on);
    Fitting {
        wanted: if deed.action.count == Count::All { free } else { deed.count.unwrap_or(free) },
        is_counted: matches!(deed.action.count, Count::Number(_)),
        is_new: deed.action.act == Act::New,
    }
}
