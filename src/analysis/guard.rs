//! Whether a later step, reading, check, count or hold point would show that the machine differs; it knows no rule.
//!
//! Common practice, no source, and on the safe side, so that nothing counts as guarded that is not:
//! a reading shows the part its sentence names, and what holds that part; a check or a hold point shows what it names; a count
//! shows what is left over, and what is left in; filling shows an opening of the product side, and a seal that is missing;
//! a fastener in the hand shows that what it belongs to is missing. Where energy is meant, only what comes before the first part
//! is taken off counts; where a guard is meant, only what comes before the machine runs.

use crate::analysis::deviation::{Deviation, What, breaches, guards, new_facts, proves};
use crate::analysis::held::{crib_item, names_of};
use crate::analysis::mutant::{Change, Mutant};
use crate::analysis::naming::is_named;
use crate::analysis::page::{Looked, Page, Signed, Written};
use crate::analysis::run::{Deed, Run};
use crate::analysis::story::{END, Moment, Offence};
use crate::analysis::thing::Thing;
use crate::base::name::Name;
use crate::base::quantity::{Dimension, Quantity};
use crate::language::action::Act;
use crate::model::crib::Kind;
use crate::model::value::Value;

/// Returns whether something later shows that one thing was done otherwise. Whoever leaves out a whole step leaves out its
/// checks too, but not its blanks, which stay empty, and not its hold points, which somebody else signs.
#[must_use]
pub fn is_noticed(page: &Page<'_, '_, '_>, mutated: &Run<'_, '_>, mutant: &Mutant, deviations: &[Deviation]) -> bool {
    let run = page.run;
    let is_whole_step = mutant.change == Change::StepSkipped;
    if is_whole_step && !run.steps[mutant.step].step.records.is_empty() {
        return true;
    }
    if mutant.change == Change::Exchanged {
        return is_exchange_noticed(page, mutated, mutant);
    }
    deviations.iter().any(|own| {
        let watch = Watch { page, own, until: deadline(run, own), is_whole_step };
        watch.is_impossible(mutated) || watch.is_noticed(&mutant.change)
    })
}

/// Returns the last moment at which it still helps to notice a deviation.
#[must_use]
pub fn deadline(run: &Run<'_, '_>, own: &Deviation) -> Moment {
    let after = |is: &dyn Fn(&Deed) -> bool| {
        let mut later = run.deeds.iter().filter(|deed| (deed.step, deed.sentence) > own.moment && is(deed));
        later.next().map_or(END, |deed| (deed.step, deed.sentence))
    };
    let runs = |deed: &Deed| deed.action.act == Act::Run && !deed.action.conditional;
    match &own.what {
        What::NotLocked => after(&|deed| breaches(run, deed)),
        What::NotOpened if releases(run, &own.thing) => after(&|deed| breaches(run, deed)),
        What::NotChecked(_) if proves(run, own.moment) => after(&|deed| breaches(run, deed)),
        What::LeftIn => after(&runs),
        What::Missing | What::NotTight if guards(run, &own.thing) => after(&runs),
        _ => END,
    }
}

fn releases(run: &Run<'_, '_>, thing: &str) -> bool {
    matches!(run.things.get(thing), Thing::Opening(opening, _) if !opening.of.is_empty())
}

/// Steps in the wrong order are noticed where the second cannot be done first, where a hold point stops the work between the
/// two, or where the hold point of the second names what the first does.
fn is_exchange_noticed(page: &Page<'_, '_, '_>, mutated: &Run<'_, '_>, mutant: &Mutant) -> bool {
    let run = page.run;
    let is_impossible = new_facts(run, mutated).iter().any(|(fact, _)| is_physical(fact.offence));
    let is_stopped = page.signed.iter().any(|hold| hold.step == mutant.step);
    let names = |hold: &Signed, deed: &Deed| {
        let is_lock = deed.action.act == Act::Lock && hold.said.has(&LOCKED);
        is_lock || hold.said.named.contains(&deed.action.thing)
    };
    let mut next = page.signed.iter().filter(|hold| hold.step == mutant.step + 1);
    let is_signed = next.any(|hold| run.deeds_of(mutant.step).any(|(_, deed)| names(hold, deed)));
    is_impossible || is_stopped || is_signed
}

/// Returns whether an offence cannot be done on the machine, so that whoever tries sees it.
fn is_physical(offence: Offence) -> bool {
    matches!(
        offence,
        Offence::HolderOn
            | Offence::HolderFirst
            | Offence::PlaceTaken
            | Offence::MoreThanThere
            | Offence::NotThere
            | Offence::NotOpen
    )
}

/// A deviation, and what comes after it.
struct Watch<'w, 'p, 'r, 'j, 'b> {
    page: &'p Page<'r, 'j, 'b>,
    own: &'w Deviation,
    until: Moment,
    is_whole_step: bool,
}

impl<'p, 'b> Watch<'_, 'p, '_, '_, 'b> {
    /// Returns whether a later deed cannot be done.
    fn is_impossible(&self, mutated: &Run<'_, '_>) -> bool {
        let facts = new_facts(self.page.run, mutated);
        let shows = |moment: Option<Moment>| moment.is_some_and(|at| at > self.own.moment && at <= self.until);
        facts.iter().any(|(fact, moment)| is_physical(fact.offence) && shows(*moment)) || self.hangs_in_the_air()
    }

    /// Returns whether later a fastener of what is missing is fitted or tightened: one that the register says belongs to it, or
    /// one of several that hold it. One nut over several parts shows none of them, and neither does what holds a seal.
    fn hangs_in_the_air(&self) -> bool {
        let run = self.page.run;
        let Thing::Part(here) = run.things.get(&self.own.thing) else { return false };
        let fastens = |name: &str| {
            let Thing::Part(fastener) = run.things.get(name) else { return false };
            let is_held = here.part.held_by.iter().any(|held| held.value == fastener.part.name.value);
            let belongs = fastener.part.of.as_ref().is_some_and(|of| of.value == here.part.name.value);
            let is_several = fastener.all().is_some_and(|all| all > 1) && !here.part.single_use;
            is_held && (belongs || is_several)
        };
        let is_later = |(at, deed): &(usize, &Deed)| {
            let is_behind = !self.is_whole_step && self.own.deed.is_some_and(|own| *at > own);
            (is_behind && (deed.step, deed.sentence) <= self.until) || self.is_later((deed.step, deed.sentence))
        };
        let later = run.deeds.iter().enumerate().filter(is_later);
        let fits = |deed: &Deed| matches!(deed.action.act, Act::On | Act::New | Act::Tighten | Act::Snug);
        self.own.what == What::Missing && later.into_iter().any(|(_, deed)| fits(deed) && fastens(&deed.action.thing))
    }

    fn is_later(&self, moment: Moment) -> bool {
        let is_after = if self.is_whole_step { moment.0 > self.own.moment.0 } else { moment > self.own.moment };
        is_after && moment <= self.until
    }

    /// Returns the sentences that come later, and still in time.
    fn looked(&self) -> impl Iterator<Item = &'p Looked> {
        self.page.looked.iter().filter(|own| self.is_later(own.moment))
    }

    fn checks(&self) -> impl Iterator<Item = &'p Looked> {
        self.looked().filter(|own| own.checks)
    }

    /// Returns the hold points that are signed later, and still in time.
    fn signed(&self) -> impl Iterator<Item = &'p Signed> {
        self.page.signed.iter().filter(|own| own.step >= self.own.moment.0 && (own.step, 0) < self.until)
    }

    /// Returns the readings that are written at this step or later, and still in time.
    fn written(&self) -> impl Iterator<Item = &'p Written<'b>> {
        self.page.written.iter().filter(|own| own.step >= self.own.moment.0 && (own.step, 0) < self.until)
    }

    fn is_noticed(&self, change: &Change) -> bool {
        let thing = &self.own.thing;
        match &self.own.what {
            What::Missing => self.is_seen() || self.is_measured() || self.is_left_over() || self.leaks(change),
            What::StaysOn => self.is_seen() || self.is_measured(),
            What::LiesAbout => self.is_scrap_counted(),
            What::NotTight => self.is_measured() || self.is_said(&TIGHT) || self.is_torque_written(),
            What::Reused => self.is_left_over() || self.is_signed_as(&["new"]),
            What::NotPlaced => self.is_seen(),
            What::NotOpened => self.is_seen() || (releases(self.page.run, thing) && self.is_pressure_seen()),
            What::LeftOpen => self.is_seen() || self.runs_out(),
            What::NotLocked => self.signed().any(|hold| hold.said.has(&LOCKED)),
            What::LeftIn => self.is_seen() || self.is_tool_counted(),
            What::NotApplied(fluid) | What::WrongFluid(fluid) => self.is_fluid_named(fluid),
            What::NotWiped => {
                let is_clean = |named: bool, said: bool| named && said;
                let of_check = |own: &Looked| is_clean(own.said.named.contains(thing), own.said.has(&["clean"]));
                let of_hold = |own: &Signed| is_clean(own.said.named.contains(thing), own.said.has(&["clean"]));
                self.checks().any(of_check) || self.signed().any(of_hold)
            }
            What::NotRun => self.signed().any(|hold| hold.said.has(&["run", "ran", "trial"])),
            What::NotFilled => {
                self.written().any(|own| own.dimension == Some(Dimension::Pressure))
                    || self.signed().any(|hold| hold.said.has(&["leak", "tight", "pressure", "filled"]))
            }
            What::NotSet if self.page.values_of(self.own.moment).is_empty() => self.is_check_missed(Act::Set),
            What::NotSet => self.is_setting_written(),
            What::NotChecked(act) => self.is_check_missed(*act),
            What::NotMarked => {
                self.looked().any(|own| own.said.has(&MARKS)) || self.signed().any(|hold| hold.said.has(&MARKS))
            }
            What::WrongValue(name) => self.is_value_noticed(name, change),
            What::OutOfOrder(_) => false,
        }
    }

    /// Returns whether a check or a hold point names the thing.
    fn is_seen(&self) -> bool {
        let thing = &self.own.thing;
        self.checks().any(|own| own.said.named.contains(thing))
            || self.signed().any(|own| own.said.named.contains(thing))
    }

    /// Returns whether a check or a hold point asks for a gauge at nought: it shows what a drain that stays shut keeps in.
    fn is_pressure_seen(&self) -> bool {
        self.checks().any(|own| own.said.is_without_pressure) || self.signed().any(|own| own.said.is_without_pressure)
    }

    /// Returns whether a check or a hold point names the thing with one of these words.
    fn is_said(&self, words: &[&str]) -> bool {
        let is = |own: &Looked| own.said.named.contains(&self.own.thing) && own.said.has(words);
        self.checks().any(is) || self.is_signed_as(words)
    }

    fn is_signed_as(&self, words: &[&str]) -> bool {
        self.signed().any(|own| own.said.named.contains(&self.own.thing) && own.said.has(words))
    }

    /// Returns whether a reading of a length, torque or pressure is taken at the thing, or at a part that it holds.
    fn is_measured(&self) -> bool {
        let tells = |own: &&Written<'_>| {
            matches!(
                own.dimension,
                Some(Dimension::Length | Dimension::Torque | Dimension::Pressure | Dimension::Angle)
            )
        };
        // A reading tells of what is done before its sentence.
        let is_later = |own: &&Written<'_>| own.measured.is_some_and(|moment| self.is_later(moment));
        let mut readings = self.written().filter(tells).filter(is_later);
        readings.any(|own| own.named.iter().any(|named| *named == self.own.thing || self.holds(named)))
    }

    fn holds(&self, part: &str) -> bool {
        let run = self.page.run;
        let Thing::Part(here) = run.things.get(part) else { return false };
        here.part.held_by.iter().any(|held| run.things.get(held.value.as_str()).name() == Some(self.own.thing.as_str()))
    }

    /// Returns whether a reading's limit hangs on the torque of the joint that is not tight.
    fn is_torque_written(&self) -> bool {
        let joints = self.page.joints.iter();
        let mut own = joints.filter(|joint| self.page.is_fastener(joint, &self.own.thing));
        own.any(|joint| self.written().any(|written| written.values.contains(&joint.joint.torque.value)))
    }

    /// Returns whether parts are counted when this one, or the new one for it, is left over.
    fn is_left_over(&self) -> bool {
        self.looked().any(|own| own.counts && (own.said.has(&PARTS) || own.said.named.contains(&self.own.thing)))
    }

    fn is_scrap_counted(&self) -> bool {
        self.looked().any(|own| own.counts && (own.said.has(&SCRAP) || own.said.named.contains(&self.own.thing)))
    }

    fn is_tool_counted(&self) -> bool {
        self.looked().any(|own| own.counts && (own.said.has(&TOOLS) || own.said.named.contains(&self.own.thing)))
    }

    /// Returns whether a seal of the product side is missing altogether when the machine is filled.
    fn leaks(&self, change: &Change) -> bool {
        let is_whole = !matches!(change, Change::Halved(..));
        let is_seal = matches!(self.page.run.things.get(&self.own.thing),
            Thing::Part(here) if here.part.single_use && here.part.contact == "product");
        is_whole && is_seal && self.fills().next().is_some()
    }

    fn fills(&self) -> impl Iterator<Item = &'p Deed> {
        let deeds = self.page.run.deeds.iter().filter(|deed| deed.action.act == Act::Fill && !deed.action.conditional);
        deeds.filter(|deed| self.is_later((deed.step, deed.sentence)))
    }

    /// Returns whether the side that is filled runs out of an opening: the side that is named, else the side of the product.
    fn runs_out(&self) -> bool {
        let run = self.page.run;
        let Thing::Opening(opening, _) = run.things.get(&self.own.thing) else { return false };
        let is_of = |name: &Name| opening.of.iter().any(|of| of.value == *name);
        self.fills().any(|deed| match run.things.get(&deed.action.thing) {
            Thing::Isolation(named) if !deed.action.thing.is_empty() => {
                named.boundaries.iter().any(|boundary| is_of(&boundary.name.value))
            }
            _ => {
                let here = run.job.boundaries_here();
                here.iter().any(|own| {
                    let words = format!("{} {}", own.name.value, own.energy).to_lowercase();
                    is_of(&own.name.value) && words.contains("product")
                })
            }
        })
    }

    fn is_fluid_named(&self, fluid: &str) -> bool {
        let run = self.page.run;
        let fluid = run.filled(fluid);
        let item = crib_item(&run.job.binder.crib, &fluid);
        let names = item.map(|item| names_of(item).chain([item.id.value.as_str()]).collect());
        let names: Vec<&str> = names.unwrap_or_else(|| vec![fluid.as_str()]);
        let is = |text: &str| names.iter().any(|name| is_named(text, name));
        self.checks().any(|own| is(&own.said.text)) || self.signed().any(|own| is(&own.said.text))
    }

    /// Returns whether what was to be set is written down, or looked at, later.
    fn is_setting_written(&self) -> bool {
        let values = self.page.values_of(self.own.moment);
        let has = |own: &[Name]| own.iter().any(|name| values.contains(name));
        self.written().any(|own| has(&own.values))
            || self.checks().any(|own| has(&own.values))
            || self.signed().any(|own| has(&own.values))
    }

    /// Returns whether a blank stays empty, or somebody signs for the same, where a check is left out.
    fn is_check_missed(&self, act: Act) -> bool {
        let said = self.page.said_at(self.own.moment);
        let values = self.page.values_of(self.own.moment);
        // Who looks and writes in one breath cannot write without looking.
        let is_written_at_once = act == Act::Measure || self.page.is_written_at(self.own.moment);
        let is_its = |own: &Written<'_>| {
            is_written_at_once || said.shares(&own.words, 1) || own.values.iter().any(|name| values.contains(name))
        };
        let mut blanks = self.page.written.iter().filter(|own| own.step == self.own.moment.0);
        // What is proved once more after the work does not prove it before.
        let again = |own: &Looked| own.checks && own.said.shares(&said.words, 2);
        let is_same = |own: &Signed| own.said.shares(&said.words, 2) || own.said.shares(&said.shouted, 1);
        blanks.any(is_its) || self.signed().any(is_same) || self.checks().any(again)
    }

    fn is_value_noticed(&self, name: &Name, change: &Change) -> bool {
        let Change::Sister(_, other, _) = change else { return false };
        let has = |own: &[Name]| own.contains(name);
        self.written().any(|own| has(&own.values))
            || self.checks().any(|own| has(&own.values))
            || self.signed().any(|own| has(&own.values))
            || self.is_not_at_hand(name, other)
    }

    /// Returns whether the other value cannot be used with what was drawn for the job: the wrench does not show it, or the
    /// tool or fluid is not in the kit.
    fn is_not_at_hand(&self, name: &Name, other: &Value) -> bool {
        match other {
            Value::Crib(id) => !self.page.kit.contains(id),
            Value::Quantity(torque) => {
                let mut joints = self.page.joints.iter().filter(|joint| joint.joint.torque.value == *name);
                joints.any(|joint| {
                    joint.adapter.is_none() && joint.wrench.as_ref().is_some_and(|wrench| !shows(&wrench.kind, *torque))
                })
            }
            _ => false,
        }
    }
}

fn shows(kind: &Kind, torque: Quantity) -> bool {
    match kind {
        Kind::TorqueTool { range: Some(range), .. } => range.holds(torque),
        _ => true,
    }
}

/// Words that say of a point that it is locked.
const LOCKED: [&str; 4] = ["lock", "locked", "isolated", "isolation"];
/// Words that say of a fastener that it is tight.
const TIGHT: [&str; 5] = ["tight", "tightened", "torque", "torqued", "loose"];
/// Words for a mark.
const MARKS: [&str; 3] = ["line", "mark", "paint"];
/// Words that stand for all parts when they are counted.
const PARTS: [&str; 3] = ["part", "everything", "component"];
/// Words that stand for what was thrown away.
const SCRAP: [&str; 5] = ["part", "scrap", "discarded", "old", "everything"];
/// Words that stand for all tools when they are counted.
const TOOLS: [&str; 2] = ["tool", "everything"];
