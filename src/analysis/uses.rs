//! What the sentences of a job use on one machine, action by action; it knows no list of the author's.

use crate::analysis::held::{act_of, crib_called, crib_item};
use crate::analysis::job::Job;
use crate::analysis::joint::JointHere;
use crate::analysis::kit::{Because, Use, Vague};
use crate::analysis::reading::ReadingHere;
use crate::analysis::run::{Deed, Run, Standing, StepRun};
use crate::analysis::tightening::tightenings;
use crate::base::finding::Finding;
use crate::base::name::{CribId, Name, nearest};
use crate::base::rule::NOT_HELD;
use crate::base::text::{Placed, Span};
use crate::language::action::Act;
use crate::language::sentence::{Sentence, TokenKind};
use crate::model::crib::{Item, Kind};
use crate::model::family::{Family, Part};
use crate::model::value::Value;
use std::collections::{BTreeMap, BTreeSet};

/// How many of something are used, and where.
pub(super) type Used<T> = (T, u32, Vec<Use>);

/// Everything the steps of a job use.
#[derive(Debug, Default)]
pub(super) struct Uses<'b> {
    /// New parts.
    pub(super) parts: Vec<Used<&'b Part>>,
    /// Items of the crib.
    pub(super) items: BTreeMap<CribId, Used<&'b Item>>,
    /// Temporary items.
    pub(super) temporary: Vec<Used<&'b Name>>,
    /// Words that fit several items.
    pub(super) vague: Vec<Vague>,
    /// What keeps some uses from being told.
    pub(super) findings: Vec<Finding>,
}

/// Returns everything the steps of a job use.
pub(super) fn uses<'b>(run: &Run<'_, 'b>, joints: &[JointHere<'b>], readings: &[ReadingHere<'b>]) -> Uses<'b> {
    let mut collector = Collector { run, job: run.job, uses: Uses::default() };
    collector.deeds();
    collector.verbs();
    collector.torque_tools(joints);
    collector.instruments(readings);
    collector.locks();
    let mut uses = collector.uses;
    let place = |part: &Part| run.job.family.parts.iter().position(|own| std::ptr::eq(own, part));
    uses.parts.sort_by_key(|(part, _, uses)| (uses.first().map(|own| own.step), place(part)));
    uses
}

/// Where a sentence or step stands in the job.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    /// The number of the step.
    pub(super) step: u32,
    /// True where a condition stands before it.
    pub(super) conditional: bool,
    /// The place of the sentence or step.
    pub(super) span: Span,
}

impl Moment {
    /// Returns the use of something at this moment.
    pub(super) fn because(self, because: Because) -> Use {
        Use { step: self.step, span: self.span, conditional: self.conditional, because }
    }
}

struct Collector<'r, 'j, 'b> {
    run: &'r Run<'j, 'b>,
    job: &'j Job<'b>,
    uses: Uses<'b>,
}

impl<'b> Collector<'_, '_, 'b> {
    fn deeds(&mut self) {
        let run = self.run;
        // Taking away what is off already moves nothing, so it needs no tool a second time.
        let mut off: BTreeSet<Name> = BTreeSet::new();
        // Until one is taken off again, no more new ones are fitted than the machine has places: `Fit it. Press it in.`
        let mut fitted: BTreeMap<Name, u32> = BTreeMap::new();
        for deed in &run.deeds {
            let moment = self.moment(deed);
            self.words(deed, moment);
            let name = Name::new(&deed.action.thing);
            if deed.action.act == Act::Place {
                self.placed(&name, deed.count, moment);
            }
            let Some(part) = self.job.family.part(&name) else { continue };
            if deed.action.act == Act::New {
                let places = self.job.part_counts(part).map_or(u32::MAX, |(before, after)| before.max(after));
                let fitted = fitted.entry(part.name.value.clone()).or_default();
                let count = deed.count.unwrap_or(1).min(places.saturating_sub(*fitted));
                *fitted = fitted.saturating_add(count);
                self.new_part(part, count, moment);
            }
            let is_away = deed.action.act == Act::Discard && off.contains(&part.name.value);
            if handles(deed.action.act, !deed.action.to.is_empty()) && !is_away {
                self.part_tools(part, moment);
            }
            match deed.action.act {
                Act::Off | Act::Discard => {
                    off.insert(part.name.value.clone());
                    fitted.remove(&part.name.value);
                }
                Act::On | Act::New => {
                    off.remove(&part.name.value);
                }
                _ => {}
            }
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
                None => self.one_of_several(word, deed.span),
            }
        }
        // Where a tool or fluid must stand, a value that is none is one that the crib does not hold.
        let must_be_held = matches!(action.act, Act::Apply | Act::Use).then_some(&action.thing);
        for word in action.with.iter().chain(must_be_held) {
            if crib_called(&self.job.binder.crib, word).is_empty() && self.is_text_of_a_value(deed, word) {
                self.uses.findings.push(not_held(self.job, word, deed.span));
            }
        }
    }

    fn one_of_several(&mut self, word: &str, span: Span) {
        let items: Vec<CribId> =
            crib_called(&self.job.binder.crib, word).iter().map(|item| item.id.value.clone()).collect();
        if items.len() > 1 && !self.is_a_name(word) {
            self.uses.vague.push(Vague { word: word.to_owned(), span, items });
        }
    }

    /// Returns whether a word of an action is the text that a value of its sentence came to.
    fn is_text_of_a_value(&self, deed: &Deed, word: &str) -> bool {
        if self.job.binder.crib.find_text(word).is_some() || self.is_a_name(word) {
            return false;
        }
        let tokens = &self.run.steps[deed.step].sentences[deed.sentence].read.sentence.tokens;
        tokens.iter().any(|token| match &token.kind {
            TokenKind::Value(name) => {
                let value = self.job.value(&Placed::new(name.clone(), token.span));
                matches!(value, Ok(Value::Text(text)) if text == word)
            }
            _ => false,
        })
    }

    fn is_a_name(&self, word: &str) -> bool {
        let name = Name::new(word);
        let family = self.job.family;
        family.part(&name).is_some()
            || family.openings.iter().any(|own| own.name.value == name)
            || family.temporary.iter().any(|own| own.name.value == name)
    }

    /// Draws what a verb needs although no sentence names it: where an action is of its kind, or a sentence orders it though
    /// that moves nothing (`Clean the threads`).
    fn verbs(&mut self) {
        let run = self.run;
        for item in &self.job.binder.crib.items {
            let Kind::Tool { verbs, .. } = &item.kind else { continue };
            for verb in verbs {
                let act = act_of(self.job.binder, &verb.value);
                let because = || Because::Verb(verb.value.trim().to_owned());
                for deed in run.deeds.iter().filter(|deed| Some(deed.action.act) == act) {
                    self.draw(item, 1, self.moment(deed).because(because()));
                }
                for step in &run.steps {
                    for sentence in step.sentences.iter().filter(|own| orders(&own.read.sentence, &verb.value)) {
                        let span = sentence.read.sentence.span;
                        let moment = Moment { step: step.number, conditional: false, span };
                        self.draw(item, 1, moment.because(because()));
                    }
                }
            }
        }
    }

    fn new_part(&mut self, part: &'b Part, count: u32, moment: Moment) {
        let parts = &mut self.uses.parts;
        if count == 0 && !parts.iter().any(|(own, _, _)| std::ptr::eq(*own, part)) {
            return;
        }
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
        for draw in &part.tools {
            match self.job.decides(draw.only.as_ref()) {
                Ok(true) => {}
                Ok(false) => continue,
                Err(finding) => {
                    self.uses.findings.push(*finding);
                    continue;
                }
            }
            match self.job.crib_item(draw) {
                Ok(item) => {
                    let because = Because::Part(part.name.value.as_str().to_owned());
                    self.draw(item, draw.count.unwrap_or(1), moment.because(because));
                }
                Err(finding) => self.uses.findings.push(*finding),
            }
        }
    }

    fn torque_tools(&mut self, joints: &[JointHere<'b>]) {
        let crib = &self.job.binder.crib;
        for tightening in tightenings(self.run, joints) {
            let wrench = tightening.here.wrench.as_ref().and_then(|wrench| crib.find(&wrench.id.value));
            let moment = Moment { step: tightening.step, conditional: tightening.conditional, span: tightening.span };
            if let Some(wrench) = wrench {
                let because = Because::Joint(tightening.here.joint.name.value.as_str().to_owned());
                self.draw(wrench, 1, moment.because(because.clone()));
                let adapter = tightening.here.adapter.as_ref().and_then(|adapter| crib.find(&adapter.item.id.value));
                if let Some(adapter) = adapter {
                    self.draw(adapter, 1, moment.because(because));
                }
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
}

/// Returns whether an act turns a part's thread or lifts it. A torque has a tool of its own.
fn handles(act: Act, to_a_torque: bool) -> bool {
    match act {
        Act::Off | Act::Discard | Act::On | Act::New | Act::Loosen => true,
        Act::Tighten => !to_a_torque,
        _ => false,
    }
}

/// Returns whether a sentence orders something by this verb: it begins with it, or a clause of it does.
fn orders(sentence: &Sentence, verb: &str) -> bool {
    let word = |at: usize| match sentence.tokens.get(at).map(|token| &token.kind) {
        Some(TokenKind::Word(word)) => Some(word.to_lowercase()),
        _ => None,
    };
    let verb = verb.trim().to_lowercase();
    let begins = |at: usize| match at.checked_sub(1) {
        None => true,
        Some(before) => match &sentence.tokens[before].kind {
            TokenKind::Mark(_) => true,
            TokenKind::Word(word) => matches!(word.to_lowercase().as_str(), "and" | "then"),
            _ => false,
        },
    };
    let is_conditional = matches!(word(0).as_deref(), Some("if" | "when"));
    !is_conditional && (0..sentence.tokens.len()).any(|at| word(at).as_ref() == Some(&verb) && begins(at))
}

pub(super) fn not_held(job: &Job<'_>, word: &str, span: Span) -> Finding {
    let near = nearest(word, job.binder.crib.items.iter().map(|item| item.id.value.as_str()));
    let help = near.map_or("enter it in `crib.yaml`, or use what the plant has".to_owned(), |near| {
        format!("did you mean `{near}`?")
    });
    let finding = Finding::error(NOT_HELD, format!("the crib does not hold `{word}`"));
    finding.at(span).floor("the fitter would walk back for a tool that is not there").help(help)
}
