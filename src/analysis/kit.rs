//! The kit of a job: what its sentences use on one machine, and at which steps; it never takes a mention for a use.
//!
//! What the author lists in the front matter is held against what the steps use. It stays in the kit either way: whoever
//! leaves something out of a kit sends a fitter back to the crib.

use crate::analysis::job::{Answer, Job};
use crate::analysis::joint::{JointHere, within};
use crate::analysis::naming::is_named;
use crate::analysis::reading::ReadingHere;
use crate::analysis::run::{Deed, Run, Standing, StepRun};
use crate::analysis::tightening::tightenings;
use crate::analysis::values::boxed;
use crate::base::finding::Finding;
use crate::base::limits::PARTS;
use crate::base::name::{CribId, Name, nearest};
use crate::base::rule::NOT_HELD;
use crate::base::text::{Placed, Span};
use crate::language::action::Act;
use crate::model::crib::{Crib, Item, Kind};
use crate::model::draw::Draw;
use crate::model::family::{Family, Part};
use std::collections::{BTreeMap, BTreeSet};

/// What to draw for a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// New parts, in the order the steps need them, then what the author adds.
    pub parts: Vec<PartHere>,
    /// Everything from the crib, by identifier.
    pub items: BTreeMap<CribId, ItemHere>,
    /// What is put in for the job and comes out again.
    pub temporary: Vec<TemporaryHere>,
    /// What protects the person.
    pub protection: Vec<Worn>,
    /// Steps with a sentence that is not sure: what it needs is not in the kit.
    pub unsure: BTreeSet<u32>,
    /// Where the author's own lists and the steps differ.
    pub differences: Vec<Difference>,
    /// Tools named by a word that fits several of the crib, none of which is in the kit.
    pub vague: Vec<Vague>,
}

/// A tool named by a word that fits several of the crib.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vague {
    /// The word.
    pub word: String,
    /// Where.
    pub span: Span,
    /// The items it fits.
    pub items: Vec<CribId>,
}

/// Why something is in the kit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Need {
    /// Where it is used; nowhere where it is for the whole job, or added by the author.
    pub uses: Vec<Use>,
    /// A reason in words; empty where the steps are reason enough.
    pub why: String,
}

/// One use of something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Use {
    /// The number of the step.
    pub step: u32,
    /// The place of the sentence, or of the step.
    pub span: Span,
    /// True where a condition stands before it.
    pub conditional: bool,
    /// How it follows that it is used.
    pub because: Because,
}

/// How it follows that something is used.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Because {
    /// The sentence names it.
    Named,
    /// The family says that this part needs it.
    Part(String),
    /// The crib says that this act needs it.
    Act(&'static str),
    /// This joint is tightened with it.
    Joint(String),
    /// This reading is taken with it.
    Reading(String),
    /// A lock for each isolation point.
    Points,
    /// This caution asks for it.
    Caution(String),
}

/// A new part as it is on one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartHere {
    /// The register's name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Stores number; may be empty.
    pub number: String,
    /// Material; may be empty.
    pub material: String,
    /// Place in stores; may be empty.
    pub bin: String,
    /// Why it is drawn.
    pub need: Need,
}

/// Something from the crib.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemHere {
    /// The item.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// Why it is drawn.
    pub need: Need,
}

/// A temporary item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemporaryHere {
    /// The register's name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Why it is drawn.
    pub need: Need,
}

/// What protects the person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worn {
    /// What it is.
    pub name: String,
    /// Why it is worn; without steps, for the whole job.
    pub need: Need,
}

/// Where the author's list and the steps differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Whose list.
    pub list: List,
    /// What.
    pub name: String,
    /// Where it is listed, or used.
    pub span: Span,
    /// How.
    pub how: Differs,
}

/// A list of the front matter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// `parts`.
    Parts,
    /// `tools`.
    Tools,
    /// `fluids`.
    Fluids,
}

/// How a list and the steps differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Differs {
    /// It is listed, no step uses it, and no reason is given.
    Idle,
    /// So many are listed, and the steps use fewer.
    More(u32, u32),
    /// So many are listed, and the steps use more.
    Fewer(u32, u32),
    /// The list does not hold what a step uses.
    Missing,
}

/// What is said of something that is used only under a condition.
const IF_NEEDED: &str = "only if the condition of the step holds";

/// What is said of something that no step uses and for which the author gives no reason.
const LISTED: &str = "listed by the author";

impl Need {
    /// Returns the numbers of the steps that use it, each once, in order.
    #[must_use]
    pub fn steps(&self) -> BTreeSet<u32> {
        self.uses.iter().map(|own| own.step).collect()
    }
}

impl List {
    /// Returns its key in the front matter.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Parts => "parts",
            Self::Tools => "tools",
            Self::Fluids => "fluids",
        }
    }
}

impl Kit {
    /// Returns the kit of a job, and what keeps some of it from being told.
    #[must_use]
    pub fn of<'b>(run: &Run<'_, 'b>, joints: &[JointHere<'b>], readings: &[ReadingHere<'b>]) -> (Self, Vec<Finding>) {
        let mut collector = Collector { run, job: run.job, uses: Uses::default(), vague: Vec::new(), findings: Vec::new() };
        collector.deeds();
        collector.torque_tools(joints);
        collector.instruments(readings);
        collector.locks();
        let mut kit = collector.told();
        kit.protection = collector.protection();
        kit.unsure = unsure(run);
        collector.lists(&mut kit);
        kit.vague = std::mem::take(&mut collector.vague);
        kit.vague.retain(|own| !own.items.iter().any(|id| kit.items.contains_key(id)));
        of_one_thing(&mut kit);
        (kit, collector.findings)
    }

    /// Returns the items of one kind.
    pub fn kind(&self, wanted: impl Fn(&Kind) -> bool) -> impl Iterator<Item = &ItemHere> {
        self.items.values().filter(move |here| wanted(&here.item.kind))
    }
}

impl Run<'_, '_> {
    /// Returns the kit of this job, and what keeps some of it from being told.
    #[must_use]
    pub fn kit(&self) -> (Kit, Vec<Finding>) {
        let (joints, mut findings) = self.job.joints();
        let (readings, found) = self.job.readings_here();
        findings.extend(found);
        let (kit, found) = Kit::of(self, &joints, &readings);
        findings.extend(found);
        (kit, findings)
    }
}

/// Returns the item that a word of an action stands for: by its number, else by a name that no other item has.
#[must_use]
pub fn crib_item<'b>(crib: &'b Crib, word: &str) -> Option<&'b Item> {
    crib.find_text(word).or_else(|| match crib_called(crib, word).as_slice() {
        [only] => Some(*only),
        _ => None,
    })
}

/// Returns the items that people call so: by their plain name, what stands of it before a comma, or a declared synonym.
#[must_use]
pub fn crib_called<'b>(crib: &'b Crib, word: &str) -> Vec<&'b Item> {
    let name = Name::new(word);
    let is_called = |item: &&Item| names_of(item).any(|own| Name::new(own) == name);
    crib.items.iter().filter(is_called).collect()
}

/// Returns everything an item is called besides its number.
pub fn names_of(item: &Item) -> impl Iterator<Item = &str> {
    let short = item.name.split(',').next().unwrap_or_default().trim();
    [item.name.as_str(), short].into_iter().chain(item.also.iter().map(|also| also.value.as_str()))
}

/// A temporary item that the crib holds under its own number is drawn once, by that number.
fn of_one_thing(kit: &mut Kit) {
    let temporary = std::mem::take(&mut kit.temporary);
    for own in temporary {
        let held = kit.items.values_mut().find(|here| names_of(&here.item).any(|name| Name::new(name) == Name::new(&own.name)));
        match held {
            Some(here) => {
                here.count = here.count.max(own.count);
                here.need.uses.extend(own.need.uses);
                if here.need.why == LISTED {
                    here.need.why.clear();
                }
                kit.differences.retain(|difference| {
                    difference.how != Differs::Idle || difference.name != here.item.id.value.as_str()
                });
            }
            None => kit.temporary.push(own),
        }
    }
}

/// Returns the numbers of steps in which a sentence is not sure.
fn unsure(run: &Run<'_, '_>) -> BTreeSet<u32> {
    let is_open = |step: &&StepRun<'_>| step.sentences.iter().any(|sentence| sentence.standing == Standing::Open);
    run.steps.iter().filter(is_open).map(|step| step.number).collect()
}

/// Everything the steps use, before it is told.
#[derive(Debug, Default)]
struct Uses<'b> {
    parts: Vec<(&'b Part, u32, Vec<Use>)>,
    items: BTreeMap<CribId, (&'b Item, u32, Vec<Use>)>,
    temporary: Vec<(&'b Name, u32, Vec<Use>)>,
}

/// Where a sentence or step stands in the job.
#[derive(Clone, Copy, Debug)]
struct Moment {
    step: u32,
    conditional: bool,
    span: Span,
}

impl Moment {
    fn because(self, because: Because) -> Use {
        Use { step: self.step, span: self.span, conditional: self.conditional, because }
    }
}

/// Returns why something that is used so is in the kit.
fn need(uses: &[Use]) -> Need {
    let why = if uses.iter().all(|own| own.conditional) { IF_NEEDED.to_owned() } else { String::new() };
    Need { uses: uses.to_vec(), why }
}

struct Collector<'r, 'j, 'b> {
    run: &'r Run<'j, 'b>,
    job: &'j Job<'b>,
    uses: Uses<'b>,
    vague: Vec<Vague>,
    findings: Vec<Finding>,
}

impl<'b> Collector<'_, '_, 'b> {
    fn deeds(&mut self) {
        let run = self.run;
        // Taking away what is off already moves nothing, so it needs no tool a second time.
        let mut off: BTreeSet<Name> = BTreeSet::new();
        for deed in &run.deeds {
            let moment = self.moment(deed);
            self.words(deed, moment);
            self.verbs(deed, moment);
            let name = Name::new(&deed.action.thing);
            if deed.action.act == Act::Place {
                self.placed(&name, deed.count, moment);
            }
            let Some(part) = self.job.family.part(&name) else { continue };
            if deed.action.act == Act::New {
                self.new_part(part, deed.count.unwrap_or(1), moment);
            }
            let is_away = deed.action.act == Act::Discard && off.contains(&part.name.value);
            if handles(&deed.action.act, !deed.action.to.is_empty()) && !is_away {
                self.part_tools(part, moment);
            }
            match deed.action.act {
                Act::Off | Act::Discard => off.insert(part.name.value.clone()),
                Act::On | Act::New => off.remove(&part.name.value),
                _ => false,
            };
        }
    }

    fn moment(&self, deed: &Deed) -> Moment {
        let step = self.run.steps[deed.step].number;
        Moment { step, conditional: deed.action.conditional, span: deed.span }
    }

    /// Draws what the words of an action name: a tool that is used, a fluid that is put on.
    fn words(&mut self, deed: &Deed, moment: Moment) {
        let action = &deed.action;
        if matches!(action.act, Act::Stores | Act::Stop | Act::Tell) {
            return;
        }
        let words = std::iter::once(&action.thing).chain(&action.with).chain([&action.to, &action.on]);
        for word in words.filter(|word| !word.is_empty()) {
            match crib_item(&self.job.binder.crib, word) {
                Some(item) => self.draw(item, 1, moment.because(Because::Named)),
                None if self.stands_for_a_value(deed, word) && !self.is_a_name(word) => {
                    self.findings.push(not_held(self.job, word, deed.span));
                }
                None => self.one_of_several(word, deed.span),
            }
        }
    }

    fn one_of_several(&mut self, word: &str, span: Span) {
        let items: Vec<CribId> =
            crib_called(&self.job.binder.crib, word).iter().map(|item| item.id.value.clone()).collect();
        if items.len() > 1 && !self.is_a_name(word) {
            self.vague.push(Vague { word: word.to_owned(), span, items });
        }
    }

    /// Returns whether a word of an action is what a value in the sentence came to, of the kind that may be a tool or fluid.
    fn stands_for_a_value(&self, deed: &Deed, word: &str) -> bool {
        let sentence = &self.run.steps[deed.step].sentences[deed.sentence];
        let in_braces = sentence.actions.iter().flat_map(|action| {
            action.with.iter().chain([&action.thing]).filter(|word| word.starts_with('{') && word.ends_with('}'))
        });
        let of_value = |braced: &String| {
            let name = Name::new(braced.trim_matches(['{', '}']));
            self.job.value(&Placed::new(name, deed.span)).is_ok_and(|value| self.job.shown(&value) == word)
        };
        in_braces.clone().any(of_value)
    }

    fn is_a_name(&self, word: &str) -> bool {
        let name = Name::new(word);
        let family = self.job.family;
        family.part(&name).is_some()
            || family.openings.iter().any(|own| own.name.value == name)
            || family.temporary.iter().any(|own| own.name.value == name)
    }

    /// Draws what a verb needs although no sentence names it.
    fn verbs(&mut self, deed: &Deed, moment: Moment) {
        for item in &self.job.binder.crib.items {
            let Kind::Tool { verbs } = &item.kind else { continue };
            if verbs.iter().any(|verb| act_of(&verb.value) == Some(deed.action.act)) {
                self.draw(item, 1, moment.because(Because::Act(deed.action.act.word())));
            }
        }
    }

    fn new_part(&mut self, part: &'b Part, count: u32, moment: Moment) {
        let parts = &mut self.uses.parts;
        let at = parts.iter().position(|(own, _, _)| std::ptr::eq(*own, part)).unwrap_or_else(|| {
            parts.push((part, 0, Vec::new()));
            parts.len() - 1
        });
        parts[at].1 = parts[at].1.saturating_add(count);
        parts[at].2.push(moment.because(Because::Named));
    }

    fn placed(&mut self, name: &Name, count: Option<u32>, moment: Moment) {
        let is_called = |own: &&crate::model::family::Temporary| {
            own.name.value == *name || own.also.iter().any(|also| also.value == *name)
        };
        let family: &'b Family = self.job.family;
        let Some(item) = family.temporary.iter().find(is_called) else { return };
        let placed = &mut self.uses.temporary;
        let at = placed.iter().position(|(own, _, _)| **own == item.name.value).unwrap_or_else(|| {
            placed.push((&item.name.value, 0, Vec::new()));
            placed.len() - 1
        });
        // The same blank may be put in twice: what came out is there to be used again.
        placed[at].1 = placed[at].1.max(count.unwrap_or(1));
        placed[at].2.push(moment.because(Because::Named));
    }

    fn part_tools(&mut self, part: &'b Part, moment: Moment) {
        for draw in part.tools.iter().filter(|draw| self.job.applies(draw.only.as_ref())) {
            match self.job.crib_item(draw) {
                Ok(item) => {
                    let because = Because::Part(part.name.value.as_str().to_owned());
                    self.draw(item, draw.count.unwrap_or(1), moment.because(because));
                }
                Err(finding) => self.findings.push(*finding),
            }
        }
    }

    fn torque_tools(&mut self, joints: &[JointHere<'b>]) {
        let crib = &self.job.binder.crib;
        for tightening in tightenings(self.run, joints) {
            let wrench = tightening.here.wrench.as_ref().and_then(|wrench| crib.find(&wrench.id.value));
            let moment =
                Moment { step: tightening.step, conditional: tightening.conditional, span: tightening.span };
            if let Some(wrench) = wrench {
                let because = Because::Joint(tightening.here.joint.name.value.as_str().to_owned());
                self.draw(wrench, 1, moment.because(because));
            }
        }
    }

    fn instruments(&mut self, readings: &[ReadingHere<'b>]) {
        let crib = &self.job.binder.crib;
        for step in &self.run.steps {
            // A record that is not declared is told where the step is built.
            for (reading, _) in self.job.records(step.step).unwrap_or_default() {
                let here = readings.iter().find(|here| std::ptr::eq(here.reading, reading));
                let item = here.and_then(|here| here.instrument.as_ref()).and_then(|item| crib.find(&item.id.value));
                if let Some(item) = item {
                    let moment = Moment { step: step.number, conditional: false, span: step.step.span };
                    let because = Because::Reading(reading.name.value.as_str().to_owned());
                    self.draw(item, 1, moment.because(because));
                }
            }
        }
    }

    /// Draws one lock for each isolation point, if the job locks any, or might: whoever locks one must lock all.
    fn locks(&mut self) {
        let crib = &self.job.binder.crib;
        let Some(locks) = crib.locks.as_ref().and_then(|id| crib.find(id)) else { return };
        let points = u32::try_from(self.job.machine.isolation.len()).unwrap_or(u32::MAX);
        if points == 0 {
            return;
        }
        for deed in self.run.deeds.iter().filter(|deed| deed.action.act == Act::Lock) {
            let moment = self.moment(deed);
            self.draw(locks, points, moment.because(Because::Points));
        }
        let unsure = |step: &&StepRun<'_>| {
            let mut open = step.sentences.iter().filter(|sentence| sentence.standing == Standing::Open);
            open.any(|sentence| sentence.read.sentence.text.to_lowercase().contains("lock"))
        };
        for step in self.run.steps.iter().filter(unsure) {
            let moment = Moment { step: step.number, conditional: false, span: step.step.span };
            self.draw(locks, points, moment.because(Because::Points));
        }
    }

    /// Adds a use of an item; of what is already there the larger number stays, since one wrench serves two joints.
    fn draw(&mut self, item: &'b Item, count: u32, own: Use) {
        let entry = self.uses.items.entry(item.id.value.clone()).or_insert((item, 0, Vec::new()));
        entry.1 = entry.1.max(count);
        entry.2.push(own);
    }

    fn told(&mut self) -> Kit {
        let mut kit = Kit::default();
        let mut parts = std::mem::take(&mut self.uses.parts);
        let place = |part: &Part| self.job.family.parts.iter().position(|own| std::ptr::eq(own, part));
        parts.sort_by_key(|(part, _, uses)| (uses.first().map(|own| own.step), place(part)));
        for (part, count, uses) in &parts {
            match within(*count, PARTS, part.count.span).and_then(|count| self.job.part_here(part, count, need(uses))) {
                Ok(part) => kit.parts.push(part),
                Err(finding) => self.findings.push(*finding),
            }
        }
        self.uses.parts = parts;
        let item = |(item, count, uses): &(&Item, u32, Vec<Use>)| {
            let here = ItemHere { item: (*item).clone(), count: *count, need: need(uses) };
            (item.id.value.clone(), here)
        };
        kit.items = self.uses.items.values().map(item).collect();
        let temporary = |(name, count, uses): &(&Name, u32, Vec<Use>)| TemporaryHere {
            name: name.as_str().to_owned(),
            count: *count,
            need: need(uses),
        };
        kit.temporary = self.uses.temporary.iter().map(temporary).collect();
        kit
    }

    fn protection(&self) -> Vec<Worn> {
        let procedure = self.job.procedure;
        let mut worn: Vec<Worn> = Vec::new();
        for item in &procedure.protection {
            wear(&mut worn, &item.value, Vec::new());
        }
        for caution in procedure.cautions.iter().filter(|caution| self.job.applies(caution.only.as_ref())) {
            let because = Because::Caution(caution.name.value.as_str().to_owned());
            let shown = |step: &&StepRun<'_>| step.step.cautions.iter().any(|own| own.value == caution.name.value);
            let uses = self.run.steps.iter().filter(shown).map(|step| {
                Moment { step: step.number, conditional: false, span: step.step.span }.because(because.clone())
            });
            let uses: Vec<Use> = uses.collect();
            for item in caution.protection.iter().filter(|_| caution.whole_job || !uses.is_empty()) {
                wear(&mut worn, &item.value, if caution.whole_job { Vec::new() } else { uses.clone() });
            }
        }
        worn
    }

    /// Holds the lists of the front matter against what the steps use, and adds what only they name.
    fn lists(&mut self, kit: &mut Kit) {
        let procedure = self.job.procedure;
        let listed_parts = self.listed_parts(kit);
        let mut listed: BTreeSet<CribId> = BTreeSet::new();
        for (list, draws) in [(List::Tools, &procedure.tools), (List::Fluids, &procedure.fluids)] {
            for draw in draws.iter().filter(|draw| self.job.applies(draw.only.as_ref())) {
                match self.job.crib_item(draw) {
                    Ok(item) => {
                        listed.insert(item.id.value.clone());
                        self.add_item(kit, list, item, draw);
                    }
                    Err(finding) => self.findings.push(*finding),
                }
            }
        }
        let claims = |draws: &[Draw]| draws.iter().any(|draw| draw.why.is_empty());
        let missing = |list, name: &str, uses: &[Use]| Difference {
            list,
            name: name.to_owned(),
            span: uses.first().map_or(procedure.document.span, |own| own.span),
            how: Differs::Missing,
        };
        for (part, _, uses) in &self.uses.parts {
            let name = &part.name.value;
            if claims(&procedure.parts) && !listed_parts.contains(name) {
                kit.differences.push(missing(List::Parts, name.as_str(), uses));
            }
        }
        for (item, _, uses) in self.uses.items.values().filter(|(item, _, _)| !listed.contains(&item.id.value)) {
            let list = match item.kind {
                Kind::Tool { .. } if claims(&procedure.tools) => List::Tools,
                Kind::Fluid { .. } if claims(&procedure.fluids) => List::Fluids,
                _ => continue,
            };
            kit.differences.push(missing(list, item.id.value.as_str(), uses));
        }
    }

    /// Adds a listed item, or its reason. What no action uses but a sentence names is used there, since the author lists it.
    fn add_item(&self, kit: &mut Kit, list: List, item: &Item, draw: &Draw) {
        let count = draw.count.unwrap_or(1);
        if let Some(here) = kit.items.get_mut(&item.id.value) {
            here.count = here.count.max(count);
            if !draw.why.is_empty() {
                here.need.why.clone_from(&draw.why);
            }
            return;
        }
        let uses = self.named_at(item);
        if draw.why.is_empty() && uses.is_empty() {
            let name = item.id.value.as_str().to_owned();
            kit.differences.push(Difference { list, name, span: draw.what.span, how: Differs::Idle });
        }
        let need = Need { why: if uses.is_empty() { reason(draw) } else { draw.why.clone() }, uses };
        kit.items.insert(item.id.value.clone(), ItemHere { item: item.clone(), count, need });
    }

    /// Returns where sentences name an item, other than to say that it is not used.
    fn named_at(&self, item: &Item) -> Vec<Use> {
        let id = item.id.value.as_str();
        let mut uses = Vec::new();
        for step in &self.run.steps {
            for sentence in &step.sentences {
                let read = &sentence.read;
                let is_only_mentioned =
                    read.mentions.iter().any(|own| own == id || names_of(item).any(|name| name == own));
                let text = &read.sentence.text;
                let is_here = is_named(text, id) || names_of(item).any(|name| is_named(text, name));
                if is_here && !is_only_mentioned {
                    let moment = Moment { step: step.number, conditional: false, span: read.sentence.span };
                    uses.push(moment.because(Because::Named));
                }
            }
        }
        uses
    }

    fn listed_parts(&mut self, kit: &mut Kit) -> BTreeSet<Name> {
        let mut listed = BTreeSet::new();
        let draws = self.job.procedure.parts.iter().filter(|draw| self.job.applies(draw.only.as_ref()));
        for draw in draws {
            match self.job.listed_part(draw) {
                Ok(Some((part, count))) => {
                    listed.insert(part.name.value.clone());
                    let used = self.uses.parts.iter().find(|(own, _, _)| std::ptr::eq(*own, part)).map(|own| own.1);
                    if let Err(finding) = self.add_part(kit, part, count, used, draw) {
                        self.findings.push(*finding);
                    }
                }
                Ok(None) => {}
                Err(finding) => self.findings.push(*finding),
            }
        }
        listed
    }

    /// Adds a listed part where the steps use none of it, or the author adds some with a reason; else compares the counts.
    fn add_part(&self, kit: &mut Kit, part: &Part, count: u32, used: Option<u32>, draw: &Draw) -> Answer<()> {
        let how = match used {
            _ if !draw.why.is_empty() => None,
            None => Some(Differs::Idle),
            Some(used) if draw.count.is_some() && count > used => Some(Differs::More(count, used)),
            Some(used) if draw.count.is_some() && count < used => Some(Differs::Fewer(count, used)),
            Some(_) => None,
        };
        if let Some(how) = how {
            let name = part.name.value.as_str().to_owned();
            kit.differences.push(Difference { list: List::Parts, name, span: draw.what.span, how });
        }
        if used.is_none() || !draw.why.is_empty() {
            let need = Need { uses: Vec::new(), why: reason(draw) };
            kit.parts.push(self.job.part_here(part, count, need)?);
        } else if let (Some(Differs::More(..)), Some(own)) = (how, named(kit, part)) {
            own.count = count;
        }
        Ok(())
    }
}

/// Returns why something is drawn that no step uses.
fn reason(draw: &Draw) -> String {
    if draw.why.is_empty() { LISTED.to_owned() } else { draw.why.clone() }
}

/// Adds a piece of protection; without uses it is worn for the whole job, and so at every step.
fn wear(worn: &mut Vec<Worn>, name: &str, uses: Vec<Use>) {
    let name = name.trim();
    match worn.iter_mut().find(|own| Name::new(&own.name) == Name::new(name)) {
        Some(own) if own.need.uses.is_empty() => {}
        Some(own) if uses.is_empty() => own.need.uses.clear(),
        Some(own) => own.need.uses.extend(uses),
        None => worn.push(Worn { name: name.to_owned(), need: Need { uses, why: String::new() } }),
    }
}

fn named<'k>(kit: &'k mut Kit, part: &Part) -> Option<&'k mut PartHere> {
    kit.parts.iter_mut().find(|own| own.name == part.name.value.as_str())
}

/// Returns whether an act turns a part's thread or lifts it. A torque has a tool of its own.
fn handles(act: &Act, to_a_torque: bool) -> bool {
    match act {
        Act::Off | Act::Discard | Act::On | Act::New | Act::Loosen => true,
        Act::Tighten => !to_a_torque,
        _ => false,
    }
}

/// Returns the act a verb of the crib stands for.
fn act_of(verb: &str) -> Option<Act> {
    Act::from_word(verb.trim())
}

fn not_held(job: &Job<'_>, word: &str, span: Span) -> Finding {
    let near = nearest(word, job.binder.crib.items.iter().map(|item| item.id.value.as_str()));
    let help = near.map_or("enter it in `crib.yaml`, or use what the plant has".to_owned(), |near| {
        format!("did you mean `{near}`?")
    });
    let finding = Finding::error(NOT_HELD, format!("the crib does not hold `{word}`"));
    finding.at(span).floor("the fitter would walk back for a tool that is not there").help(help)
}

impl<'b> Job<'b> {
    /// Returns the part a line of the front matter names, with how many; none where this machine has no such part.
    fn listed_part(&self, draw: &Draw) -> Answer<Option<(&'b Part, u32)>> {
        let name = self.reference(&draw.what)?;
        let name = Placed::new(Name::new(&name.value), name.span);
        let family: &'b Family = self.family;
        let part = family.part(&name.value).ok_or_else(|| self.no_part(&name))?;
        if !self.decides(part.only.as_ref())? {
            return Ok(None);
        }
        let count = draw.count.map_or_else(|| self.count(part), |count| within(count, PARTS, draw.what.span))?;
        Ok(Some((part, count)))
    }

    /// Asks for everything that may decide the kit, whatever the steps say; the answers do not matter here.
    pub(crate) fn ask_for_kit(&self) {
        let procedure = self.procedure;
        for draw in [&procedure.tools, &procedure.fluids].into_iter().flatten() {
            if self.applies(draw.only.as_ref()) {
                let _ = self.crib_item(draw);
            }
        }
        let words = procedure.words();
        let is_named = |part: &&Part| {
            let names = std::iter::once(&part.name).chain(&part.also);
            names.into_iter().any(|name| words.iter().any(|words| is_named(words, name.value.as_str())))
        };
        for part in self.family.parts.iter().filter(is_named).filter(|part| self.applies(part.only.as_ref())) {
            let _ = self.count(part);
            for draw in part.tools.iter().filter(|draw| self.applies(draw.only.as_ref())) {
                let _ = self.crib_item(draw);
            }
            for prose in [&part.number, &part.material].into_iter().flatten() {
                let _ = self.text(prose);
            }
        }
    }

    fn part_here(&self, part: &Part, count: u32, need: Need) -> Answer<PartHere> {
        let words = |prose: Option<&crate::model::prose::Prose>| prose.map(|prose| self.text(prose)).transpose();
        Ok(PartHere {
            name: part.name.value.as_str().to_owned(),
            count,
            number: words(part.number.as_ref())?.unwrap_or_default(),
            material: words(part.material.as_ref())?.unwrap_or_default(),
            bin: part.bin.clone(),
            need,
        })
    }

    /// Returns the item of the crib that a line names.
    fn crib_item(&self, draw: &Draw) -> Answer<&'b Item> {
        let reference = self.reference(&draw.what)?;
        let value = self.value_or_literal(&reference)?;
        let held = self.held(&value, reference.span)?.id.value.clone();
        let binder = self.binder;
        binder.crib.find(&held).ok_or_else(|| boxed(not_held(self, held.as_str(), reference.span)))
    }
}
