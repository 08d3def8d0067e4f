//! Locks, proof of zero energy, guards, running and filling, as the steps order them; it words nothing.
//!
//! Common practice, no source: zero energy is proved by trying, measuring, looking or letting out once a lock is on, and by a
//! hold point that somebody signs after the last lock, and for every energy that no drain or vent lets out; opening a drain or
//! vent on a locked boundary lets stored energy out and is part of the proof; nothing is loosened or taken off before, not even a
//! guard, because what it keeps away is still live behind it.

use crate::analysis::naming::words;
use crate::analysis::run::{Deed, Run};
use crate::analysis::story::{END, Fact, Moment, Offence};
use crate::analysis::taint::Taints;
use crate::analysis::teardown::{Bench, ItemState, Snapshot};
use crate::analysis::thing::{PointsHere, Thing, boundary_phrases, says_every_point};
use crate::base::name::Name;
use crate::base::quantity::{Dimension, Unit};
use crate::language::action::{Act, Count};
use crate::model::family::{Boundary, Opening};
use std::collections::{BTreeMap, BTreeSet};

/// Follows the energies of a run; `bench` is what became of its parts.
pub(crate) fn execute(run: &Run<'_, '_>, taints: &Taints, bench: &Bench) -> Vec<Fact> {
    let mut watch = Watch::new(run, taints, bench);
    for step in 0..run.steps.len() {
        for (at, deed) in run.deeds_of(step).filter(|(_, deed)| !deed.action.conditional) {
            watch.deed(at, deed);
        }
        watch.end_step(step);
    }
    watch.finish()
}

/// An isolation point as the steps leave it.
#[derive(Clone, Debug, Default)]
struct PointState {
    locked: Vec<usize>,
    unlocked: Vec<usize>,
    is_locked: bool,
}

/// Words of a look at any energy, at pressure and flow, and at a current, whatever the register calls them. Common practice, no
/// source. A gauge proves no current, and a voltage tester no pressure.
const ANY_ENERGY: [&str; 2] = ["energy", "zero"];
const PRESSURE: [&str; 6] = ["pressure", "bar", "gauge", "gauges", "flow", "vented"];
const CURRENT: [&str; 5] = ["voltage", "volts", "current", "power", "dead"];
/// Words that a proof may hold and that say nothing of an energy.
const PLAIN: [&str; 16] = [
    "the", "and", "has", "does", "not", "are", "all", "both", "its", "that", "this", "with", "under", "local",
    "station", "from",
];

/// Why a deed was too early.
type Early = (Offence, usize, Vec<String>);

struct Watch<'r, 'j, 'b> {
    run: &'r Run<'j, 'b>,
    taints: &'r Taints,
    bench: &'r Bench,
    points: Vec<PointState>,
    last_lock: Option<usize>,
    /// Boundaries that were tried, measured, looked at or let out since the last lock went on.
    shown: BTreeSet<String>,
    /// The first step whose hold point signed the proof.
    signed: Option<usize>,
    released: BTreeSet<String>,
    /// The first deed that takes something off or loosens it, the first that opens a drain or vent, and why one was too early.
    taken_off: Option<usize>,
    opened: Option<usize>,
    early: Option<Early>,
    /// The first work on a part before the proof was signed.
    worked: Option<usize>,
    /// When each boundary was last isolated, and what was filled.
    isolated: BTreeMap<String, usize>,
    filled: Vec<(usize, Vec<String>)>,
    runs: Vec<usize>,
    /// Every deed that took a lock off.
    unlocks: Vec<usize>,
    /// The points that were locked at each run.
    locked_at: BTreeMap<usize, Vec<usize>>,
}

impl<'r, 'j, 'b> Watch<'r, 'j, 'b> {
    fn new(run: &'r Run<'j, 'b>, taints: &'r Taints, bench: &'r Bench) -> Self {
        Self {
            run,
            taints,
            bench,
            points: vec![PointState::default(); run.job.machine.isolation.len()],
            last_lock: None,
            shown: BTreeSet::new(),
            signed: None,
            released: BTreeSet::new(),
            taken_off: None,
            opened: None,
            early: None,
            worked: None,
            isolated: BTreeMap::new(),
            filled: Vec::new(),
            runs: Vec::new(),
            unlocks: Vec::new(),
            locked_at: BTreeMap::new(),
        }
    }

    fn moment(&self, at: usize) -> Moment {
        let deed = &self.run.deeds[at];
        (deed.step, deed.sentence)
    }

    fn deed(&mut self, at: usize, deed: &Deed) {
        let thing = self.run.things.get(&deed.action.thing);
        match (deed.action.act, thing) {
            (Act::Lock | Act::Shut, Thing::Isolation(named)) => self.isolate(at, deed, named),
            (Act::Unlock, Thing::Isolation(named)) if !is_one_of_several(deed, named) => self.unlock(at, named),
            (Act::Unlock, Thing::Other) => {
                let every = self.run.things.every_point();
                // One lock of several, and nobody can tell which.
                if !is_one_of_several(deed, &every) {
                    self.unlock(at, &every);
                }
            }
            // With every lock off, a press of START is no trial of a lock.
            (Act::Try, _) if self.is_live() => self.run_machine(at),
            (Act::Try, _) if self.last_lock.is_some() => self.shown.extend(self.without_outlet()),
            (Act::Measure | Act::Confirm | Act::Look, thing) if self.last_lock.is_some() => {
                let shown = self.shown_by(deed, thing);
                self.shown.extend(shown);
            }
            (Act::Open | Act::Off | Act::Loosen | Act::Discard, Thing::Opening(opening, _)) => self.open(at, opening),
            (Act::Off | Act::Discard | Act::Stores | Act::Loosen | Act::Open, Thing::Part(here))
                if self.comes_off(at, deed, here.part.name.value.as_str()) =>
            {
                self.breach(at, deed.action.act);
            }
            (Act::On | Act::New | Act::Tighten | Act::Snug, Thing::Part(_)) if self.signed.is_none() => {
                self.worked = self.worked.or(Some(at));
            }
            (Act::Run, _) => self.run_machine(at),
            (Act::Fill, thing) => {
                let named = match thing {
                    Thing::Isolation(named) if !deed.action.thing.is_empty() => names(&named.boundaries),
                    _ => Vec::new(),
                };
                self.filled.push((at, named));
            }
            _ => {}
        }
    }

    fn run_machine(&mut self, at: usize) {
        self.runs.push(at);
        let locked = (0..self.points.len()).filter(|point| self.points[*point].is_locked).collect();
        self.locked_at.insert(at, locked);
    }

    /// Returns whether every lock that was put on is off again.
    fn is_live(&self) -> bool {
        self.last_lock.is_some() && self.points.iter().all(|point| !point.is_locked)
    }

    /// Returns the boundaries of this machine that no drain or vent lets out: a trial or a look alone can prove them.
    fn without_outlet(&self) -> BTreeSet<String> {
        let job = self.run.job;
        let is_let_out = |boundary: &Boundary| {
            let openings =
                job.family.openings.iter().filter(|own| !self.run.things.get(own.name.value.as_str()).is_absent());
            openings.into_iter().any(|own| own.of.iter().any(|of| of.value == boundary.name.value))
        };
        let here = job.boundaries_here().into_iter().filter(|boundary| !is_let_out(boundary));
        here.map(|boundary| boundary.name.value.folded().to_owned()).collect()
    }

    /// Returns the boundaries of which something that is measured, looked at or confirmed can show that no energy is left: those
    /// whose name, energy or proof shares a word with the sentence, and those of the kind of energy that it speaks of.
    fn shown_by(&self, deed: &Deed, thing: &Thing<'_>) -> BTreeSet<String> {
        let job = self.run.job;
        if let Thing::Isolation(named) = thing {
            return named.boundaries.iter().map(|own| own.name.value.folded().to_owned()).collect();
        }
        let said = telling_words(&self.run.sentence(deed).read.sentence.text);
        let speaks_of = |words: &[&str]| said.iter().any(|word| words.contains(&word.as_str()));
        let is_shown = |own: &&Boundary| {
            let kind = if own.energy.to_lowercase().contains("electric") {
                speaks_of(&CURRENT)
            } else {
                speaks_of(&PRESSURE) || self.is_pressure(deed)
            };
            let own = telling_words(&format!("{} {} {}", own.name.value, own.energy, own.prove));
            kind || speaks_of(&ANY_ENERGY) || own.iter().any(|word| said.contains(word))
        };
        let here = job.boundaries_here().into_iter().filter(is_shown);
        here.map(|own| own.name.value.folded().to_owned()).collect()
    }

    /// Returns whether what is measured is a reading of pressure.
    fn is_pressure(&self, deed: &Deed) -> bool {
        let job = self.run.job;
        let named = job.procedure.readings.iter().find(|own| own.name.value == Name::new(&deed.action.thing));
        let limit = named.and_then(|own| own.limit.as_ref()).and_then(|limit| job.limit(limit).ok());
        let unit = limit.and_then(|limit| Unit::parse(limit.symbol()));
        unit.is_some_and(|unit| unit.dimension() == Dimension::Pressure)
    }

    /// Returns whether a deed moves a part that was on, so that a part on the bench can be thrown away at any time.
    fn comes_off(&self, at: usize, deed: &Deed, part: &str) -> bool {
        deed.action.act == Act::Loosen || self.bench.parts.get(part).is_some_and(|state| state.deeds.off.contains(&at))
    }

    fn isolate(&mut self, at: usize, deed: &Deed, named: &PointsHere<'_>) {
        for boundary in &named.boundaries {
            let moment = self.isolated.entry(boundary.name.value.folded().to_owned()).or_insert(at);
            *moment = (*moment).max(at);
        }
        if deed.action.act != Act::Lock || is_one_of_several(deed, named) {
            return;
        }
        for point in &named.points {
            let state = &mut self.points[*point];
            if !state.is_locked {
                state.is_locked = true;
                state.locked.push(at);
                self.last_lock = Some(at);
                // What was proved before says nothing of the point that is locked now.
                self.signed = None;
                self.shown.remove(self.run.job.machine.isolation[*point].boundary.value.folded());
            }
        }
    }

    fn unlock(&mut self, at: usize, named: &PointsHere<'_>) {
        let mut any = false;
        for point in &named.points {
            let state = &mut self.points[*point];
            any |= state.is_locked;
            state.is_locked = false;
            state.unlocked.push(at);
        }
        if any {
            self.unlocks.push(at);
        }
    }

    fn open(&mut self, at: usize, opening: &Opening) {
        if opening.of.is_empty() {
            return;
        }
        self.opened = self.opened.or(Some(at));
        let of: Vec<&str> = opening.of.iter().map(|of| of.value.folded()).collect();
        self.released.extend(of.iter().map(|of| (*of).to_owned()));
        self.shown.extend(of.iter().map(|of| (*of).to_owned()));
        let unlocked = self.open_points(at, |boundary| of.contains(&boundary));
        if self.early.is_none() && !unlocked.is_empty() {
            self.early = Some((Offence::OpenedBeforeLock, at, unlocked));
        }
    }

    /// Returns the boundaries whose points no step locked yet, where a later one does.
    fn open_points(&self, at: usize, is_asked: impl Fn(&str) -> bool) -> Vec<String> {
        let isolation = self.run.job.machine.isolation.iter().enumerate();
        let mut open: Vec<String> = Vec::new();
        for (point, own) in isolation.filter(|(_, own)| is_asked(own.boundary.value.folded())) {
            let name = own.boundary.value.as_str().to_owned();
            let is_open = self.points[point].locked.is_empty() && self.taints.knows_point(point, self.moment(at));
            if is_open && self.is_locked_later(at, point) && !open.contains(&name) {
                open.push(name);
            }
        }
        open
    }

    fn is_locked_later(&self, at: usize, point: usize) -> bool {
        self.run.deeds[at..].iter().any(|deed| {
            let named = self.run.things.get(&deed.action.thing);
            let is_lock = deed.action.act == Act::Lock && !deed.action.conditional;
            is_lock && matches!(named, Thing::Isolation(named) if named.points.contains(&point))
        })
    }

    /// Judges a deed that takes something off or loosens it.
    fn breach(&mut self, at: usize, act: Act) {
        self.taken_off = self.taken_off.or(Some(at));
        if self.early.is_some() || self.points.is_empty() {
            return;
        }
        let after = self.points.iter().any(|point| !point.is_locked && !point.unlocked.is_empty());
        if after {
            if act != Act::Loosen {
                self.early = Some((Offence::OpenedAfterUnlock, at, Vec::new()));
            }
            return;
        }
        let unlocked = self.open_points(at, |_| true);
        if !unlocked.is_empty() {
            self.early = Some((Offence::OpenedBeforeLock, at, unlocked));
        } else if self.last_lock.is_some() && self.signed.is_none() {
            self.early = Some((Offence::OpenedBeforeProof, at, Vec::new()));
        } else if self.signed.is_some() {
            let kept = self.unreleased(at);
            if !kept.is_empty() {
                self.early = Some((Offence::OpenedBeforeRelease, at, kept));
            }
        }
    }

    /// Returns the boundaries that have a drain or vent, none of which was opened.
    fn unreleased(&self, at: usize) -> Vec<String> {
        let job = self.run.job;
        let here = |opening: &&Opening| {
            let name = opening.name.value.as_str();
            !self.run.things.get(name).is_absent() && self.taints.knows(name, self.moment(at))
        };
        let openings: Vec<&Opening> = job.family.openings.iter().filter(here).collect();
        let has_opening = |boundary: &&Boundary| {
            openings.iter().any(|opening| opening.of.iter().any(|of| of.value == boundary.name.value))
        };
        let kept = job.boundaries_here().into_iter().filter(has_opening);
        let kept = kept.filter(|boundary| !self.released.contains(boundary.name.value.folded()));
        names(&kept.collect::<Vec<_>>())
    }

    /// Takes `Close the cold side last` at its word: it says an order, and does nothing by itself.
    fn said_order(&mut self, step: usize) {
        let is_isolating = |(_, deed): (usize, &Deed)| matches!(deed.action.act, Act::Lock | Act::Shut);
        if !self.run.deeds_of(step).any(is_isolating) {
            return;
        }
        for own in &self.run.steps[step].sentences {
            let words = Name::new(&own.read.sentence.text);
            let words: Vec<&str> = words.folded().split(|c: char| !c.is_alphanumeric()).collect();
            if !words.contains(&"last") {
                continue;
            }
            let text = format!(" {} ", words.join(" "));
            for boundary in self.run.job.boundaries_here() {
                let is_named = |phrase: &Name| text.contains(&format!(" {} ", phrase.folded()));
                if boundary_phrases(boundary).iter().any(is_named) {
                    self.isolated.insert(boundary.name.value.folded().to_owned(), usize::MAX);
                }
            }
        }
    }

    fn end_step(&mut self, step: usize) {
        self.said_order(step);
        let holds = &self.run.steps[step].step.holds;
        // A boundary with a drain or vent is let out behind the signature as well, and that is asked of what is opened.
        let is_shown = || self.without_outlet().iter().all(|boundary| self.shown.contains(boundary));
        if !holds.is_empty()
            && self.last_lock.is_some()
            && self.signed.is_none()
            && !self.shown.is_empty()
            && is_shown()
        {
            self.signed = Some(step);
        }
    }

    fn finish(mut self) -> Vec<Fact> {
        // Work before the proof is an offence where the job has a proof at all: what is tightened while running is not meant.
        if let (None, Some(worked), Some(_)) = (&self.early, self.worked, self.signed) {
            self.early = Some((Offence::OpenedBeforeProof, worked, Vec::new()));
        }
        let mut facts = Vec::new();
        if let Some((offence, at, by)) = self.early.take()
            && self.taints.is_before_everything(self.moment(at))
        {
            let thing = self.run.deeds[at].action.thing.clone();
            facts.push(Fact::new(offence, thing, Some(at)).by(by));
        }
        facts.extend(self.not_isolated());
        facts.extend(self.left_locked());
        facts.extend(self.runs.clone().into_iter().filter_map(|at| self.run_too_early(at)));
        facts.extend(self.unlocked_too_early());
        facts.extend(self.filled_too_early());
        facts.extend(self.runs_dry());
        facts.extend(self.filled_out_of_order());
        facts
    }

    /// Tells the points that no step locks, where the machine is opened or anything is locked.
    fn not_isolated(&self) -> Option<Fact> {
        let at = self.taken_off.or(self.opened).or(self.last_lock)?;
        let isolation = self.run.job.machine.isolation.iter().enumerate();
        let mut open: Vec<String> = Vec::new();
        for (point, own) in isolation.filter(|(point, _)| self.points[*point].locked.is_empty()) {
            let name = own.boundary.value.as_str().to_owned();
            if self.taints.knows_point(point, END) && !open.contains(&name) {
                open.push(name);
            }
        }
        let first = open.first().cloned()?;
        Some(Fact { things: open, ..Fact::new(Offence::NotIsolated, first, Some(at)) })
    }

    fn left_locked(&self) -> Option<Fact> {
        let left = |(point, state): (usize, &PointState)| {
            (state.is_locked && self.taints.knows_point(point, END)).then_some(point)
        };
        let left: Vec<usize> = self.points.iter().enumerate().filter_map(left).collect();
        let first = *left.first()?;
        // Where everything that was locked still is, one word says it.
        let locked = self.points.iter().filter(|state| !state.locked.is_empty()).count();
        let isolation = &self.run.job.machine.isolation;
        let mut things: Vec<String> = Vec::new();
        for point in left.iter().filter(|_| left.len() < locked) {
            let name = isolation[*point].boundary.value.as_str().to_owned();
            if !things.contains(&name) {
                things.push(name);
            }
        }
        let deed = self.points[first].locked.last().copied();
        Some(Fact { things, ..Fact::new(Offence::LeftLocked, "", deed) })
    }

    /// Returns what was off, open or in before a deed and is not so at the end, and is known.
    fn mended_later(&self, at: usize) -> Snapshot {
        let Some(then) = self.bench.snapshots.get(&at) else { return Snapshot::default() };
        let bench = self.bench;
        let knows = |name: &&String| self.taints.knows(name, END);
        let closed =
            |items: &BTreeMap<String, ItemState>, name: &str| items.get(name).is_none_or(|item| item.count == 0);
        let is_on = |name: &&String| bench.parts.get(*name).is_some_and(|state| state.missing() == 0);
        Snapshot {
            parts: then.parts.iter().filter(knows).filter(is_on).cloned().collect(),
            openings: then.openings.iter().filter(knows).filter(|n| closed(&bench.openings, n)).cloned().collect(),
            items: then.items.iter().filter(knows).filter(|n| closed(&bench.items, n)).cloned().collect(),
        }
    }

    fn run_too_early(&self, at: usize) -> Option<Fact> {
        let early = self.mended_later(at);
        let is_guard =
            |name: &&String| matches!(self.run.things.get(name.as_str()), Thing::Part(here) if here.part.guard);
        let guards: Vec<String> =
            early.parts.iter().filter(is_guard).cloned().chain(early.items.iter().cloned()).collect();
        if let Some(first) = guards.first().cloned() {
            let others = early.parts.iter().chain(&early.openings).filter(|name| !guards.contains(name)).cloned();
            let by: Vec<String> = others.collect();
            return Some(Fact { things: guards, by, ..Fact::new(Offence::RunBeforeGuards, first, Some(at)) });
        }
        let is_certain = |point: &&usize| {
            self.taints.knows_point(**point, END) && self.points[**point].unlocked.iter().any(|later| *later > at)
        };
        let locked = self.locked_at.get(&at)?.iter().find(is_certain)?;
        let unlock = self.points[*locked].unlocked.iter().find(|later| **later > at).copied();
        Some(Fact::new(Offence::StartedWhileLocked, "", Some(at)).also(unlock))
    }

    fn unlocked_too_early(&self) -> Option<Fact> {
        self.unlocks.iter().find_map(|at| {
            let early = self.mended_later(*at);
            // What a later step takes off again was told where it comes off.
            let things: Vec<String> = early.parts.into_iter().chain(early.openings).chain(early.items).collect();
            let first = things.first().cloned()?;
            Some(Fact { things, ..Fact::new(Offence::UnlockedTooEarly, first, Some(*at)) })
        })
    }

    fn filled_too_early(&self) -> Option<Fact> {
        self.filled.iter().find_map(|(at, _)| {
            let touches_product = |name: &String| {
                matches!(self.run.things.get(name), Thing::Part(here) if here.part.contact == "product")
            };
            let things: Vec<String> = self.mended_later(*at).parts.into_iter().filter(touches_product).collect();
            let first = things.first().cloned()?;
            Some(Fact { things, ..Fact::new(Offence::FilledTooEarly, first, Some(*at)) })
        })
    }

    /// Tells a run of an emptied machine that a later step fills.
    fn runs_dry(&self) -> Option<Fact> {
        let emptied = self.bench.openings.values().flat_map(|item| &item.first).copied().min()?;
        let is_dry = |run: &&usize| emptied < **run && !self.filled.iter().any(|(at, _)| (emptied..**run).contains(at));
        let run = *self.runs.iter().find(is_dry)?;
        let filled = self.filled.iter().map(|(at, _)| *at).find(|at| *at > run)?;
        let is_known = self.taints.is_before_everything(self.moment(run));
        is_known.then(|| Fact::new(Offence::RunsDry, "", Some(run)).also([filled]))
    }

    /// Tells where of two sides the one that was isolated first is filled first.
    fn filled_out_of_order(&self) -> Option<Fact> {
        let isolated = |names: &[String]| names.iter().filter_map(|name| self.isolated.get(&name.to_lowercase())).max();
        let sides = || self.filled.iter().filter(|(_, names)| !names.is_empty());
        for (at, first) in sides() {
            let later = sides().find(|(other, names)| other > at && !names.iter().any(|name| first.contains(name)));
            let Some((other, later)) = later else { continue };
            if isolated(first)? < isolated(later)? {
                let thing = self.run.deeds[*at].action.thing.clone();
                let last = self.run.deeds[*other].action.thing.clone();
                return Some(Fact::new(Offence::FilledOutOfOrder, thing, Some(*at)).by([last]).also([*other]));
            }
        }
        None
    }
}

/// Returns the words of a text that can tell of an energy.
fn telling_words(text: &str) -> BTreeSet<String> {
    words(text).into_iter().filter(|word| word.len() > 2 && !PLAIN.contains(&word.as_str())).collect()
}

/// Returns whether a deed is done to fewer points than its words fit, so that nobody can tell to which.
fn is_one_of_several(deed: &Deed, named: &PointsHere<'_>) -> bool {
    let said = match deed.action.count {
        Count::Number(count) => Some(count),
        Count::One => deed.count,
        Count::All => None,
    };
    let is_few = !says_every_point(&deed.action.thing)
        && said.is_some_and(|count| usize::try_from(count).is_ok_and(|count| count < named.points.len()));
    is_few && !is_boundary(deed, named)
}

fn names(boundaries: &[&Boundary]) -> Vec<String> {
    boundaries.iter().map(|boundary| boundary.name.value.as_str().to_owned()).collect()
}

/// Returns whether the words of a deed name boundaries (`cold side`) and not points (`valve`).
fn is_boundary(deed: &Deed, named: &PointsHere<'_>) -> bool {
    let words = Name::new(&deed.action.thing);
    named.boundaries.iter().any(|boundary| boundary_phrases(boundary).contains(&words))
}
