//! What can be done otherwise than a procedure says, one thing at a time; whether anything would show it is not known here.

use crate::analysis::held::crib_item;
use crate::analysis::job::Job;
use crate::analysis::run::{Run, SentenceHere, StepRun};
use crate::analysis::thing::Thing;
use crate::base::name::{CribId, Name, Tag};
use crate::base::text::Placed;
use crate::language::action::{Act, Action, Count};
use crate::language::sentence::TokenKind;
use crate::model::crib::Kind;
use crate::model::value::Value;

/// One thing that is done otherwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Mutant {
    /// Index of the step.
    pub step: usize,
    /// Index of the sentence; the first where the whole step is meant.
    pub sentence: usize,
    /// What is done otherwise.
    pub change: Change,
}

/// How it is done otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// An action of the sentence is left out.
    Skipped(usize),
    /// The whole step is left out.
    StepSkipped,
    /// The next step is done before this one.
    Exchanged,
    /// An action is done to half of what is meant: the action, how many are meant, and how many are done.
    Halved(usize, u32, u32),
    /// The value of another machine of the family is used.
    Sister(Name, Value, Tag),
    /// The old part is fitted again, where the action fits a new one.
    Reused(usize),
    /// Another fluid of the kit is used in the action.
    WrongFluid(usize, CribId),
}

/// Whose mistake it is: which of the two changes what the next step is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// The paper is right, and the hand does otherwise.
    Hand,
    /// The paper says otherwise.
    Paper,
}

/// Returns everything that can be done otherwise in a run, in the order of its sentences. `fluids` are those of its kit.
#[must_use]
pub fn mutants(run: &Run<'_, '_>, fluids: &[CribId]) -> Vec<Mutant> {
    let sisters = sisters(run.job);
    let mut mutants = Vec::new();
    for (step, here) in run.steps.iter().enumerate() {
        for (sentence, own) in here.sentences.iter().enumerate() {
            let changes = actions(run, own, fluids).into_iter().chain(values(run.job, own, &sisters));
            mutants.extend(changes.map(|change| Mutant { step, sentence, change }));
        }
        let is_several = here.sentences.iter().map(|own| own.actions.len()).sum::<usize>() > 1;
        if is_several {
            mutants.push(Mutant { step, sentence: 0, change: Change::StepSkipped });
        }
        if step + 1 < run.steps.len() {
            mutants.push(Mutant { step, sentence: 0, change: Change::Exchanged });
        }
    }
    mutants
}

fn actions(run: &Run<'_, '_>, own: &SentenceHere<'_>, fluids: &[CribId]) -> Vec<Change> {
    let mut changes = Vec::new();
    for (clause, action) in own.actions.iter().enumerate().filter(|(_, action)| !action.conditional) {
        changes.push(Change::Skipped(clause));
        let thing = run.things.get(&action.thing);
        let meant = match action.count {
            Count::One => 1,
            Count::All => thing.all().unwrap_or(1),
            Count::Number(number) => number,
        };
        if meant > 1 && action.act.moves() && !matches!(thing, Thing::Other) {
            changes.push(Change::Halved(clause, meant, meant / 2));
        }
        if action.act == Act::New && run.things.single_use(&action.thing).is_some() {
            changes.push(Change::Reused(clause));
        }
        if let Some(used) = fluid_of(run, action) {
            let others = fluids.iter().filter(|other| **other != used);
            changes.extend(others.map(|other| Change::WrongFluid(clause, other.clone())));
        }
    }
    changes
}

/// Returns the fluid that an action puts on, or wipes with.
fn fluid_of(run: &Run<'_, '_>, action: &Action) -> Option<CribId> {
    let crib = &run.job.binder.crib;
    let words: Vec<String> = match action.act {
        Act::Apply => vec![run.filled(&action.thing)],
        Act::Wipe => action.with.iter().map(|words| run.filled(words)).collect(),
        _ => return None,
    };
    let mut items = words.iter().filter_map(|words| crib_item(crib, words));
    items.find(|item| matches!(item.kind, Kind::Fluid { .. })).map(|item| item.id.value.clone())
}

/// Returns the same procedure on the other machines of the family, in the order of the fleet.
fn sisters<'b>(job: &Job<'b>) -> Vec<Job<'b>> {
    let fleet = job.binder.fleet.iter();
    let others = fleet.filter(|own| own.family.value == job.family.id.value && own.tag.value != *job.tag());
    others.filter_map(|machine| Job::new(job.binder, job.procedure, machine)).collect()
}

/// Returns the values of other machines that differ from this one's, each figure once.
fn values(job: &Job<'_>, own: &SentenceHere<'_>, sisters: &[Job<'_>]) -> Vec<Change> {
    let mut changes: Vec<Change> = Vec::new();
    let mut seen: Vec<&Name> = Vec::new();
    for token in &own.read.sentence.tokens {
        let TokenKind::Value(name) = &token.kind else { continue };
        if seen.contains(&name) {
            continue;
        }
        seen.push(name);
        let place = Placed::new(name.clone(), token.span);
        let Ok(here) = job.value(&place) else { continue };
        let mut others: Vec<Value> = vec![here];
        for sister in sisters {
            let Ok(value) = sister.value(&place) else { continue };
            if !others.contains(&value) {
                others.push(value.clone());
                changes.push(Change::Sister(name.clone(), value, sister.tag().clone()));
            }
        }
    }
    changes
}

impl Mutant {
    /// Returns the steps as they are done.
    #[must_use]
    pub fn steps<'b>(&self, run: &Run<'_, 'b>, whose: Whose) -> Vec<StepRun<'b>> {
        let mut steps = run.steps.clone();
        match (&self.change, whose) {
            (Change::Exchanged, _) => steps.swap(self.step, self.step + 1),
            (Change::StepSkipped, Whose::Paper) => {
                steps.remove(self.step);
            }
            (Change::StepSkipped, Whose::Hand) => {
                steps[self.step].sentences.iter_mut().for_each(|own| own.actions.clear());
            }
            (Change::Skipped(clause), whose) => {
                let sentences = &mut steps[self.step].sentences;
                sentences[self.sentence].actions.remove(*clause);
                if whose == Whose::Paper && sentences[self.sentence].actions.is_empty() {
                    sentences.remove(self.sentence);
                }
                if whose == Whose::Paper && sentences.is_empty() {
                    steps.remove(self.step);
                }
            }
            (change, _) => change.apply(run, &mut steps[self.step].sentences[self.sentence].actions),
        }
        steps
    }
}

impl Change {
    fn apply(&self, run: &Run<'_, '_>, actions: &mut [Action]) {
        match self {
            Self::Halved(clause, _, done) => actions[*clause].count = Count::Number(*done),
            Self::Reused(clause) => actions[*clause].act = Act::On,
            Self::WrongFluid(clause, other) => wrong_fluid(run, &mut actions[*clause], other),
            Self::Sister(name, value, _) => {
                let told = told(run.job, value);
                actions.iter_mut().for_each(|action| replace(action, name, &told));
            }
            Self::Skipped(_) | Self::StepSkipped | Self::Exchanged => {}
        }
    }

    /// Returns the action it is about; none where it is about a sentence or a step.
    #[must_use]
    pub fn clause(&self) -> Option<usize> {
        match self {
            Self::Skipped(clause) | Self::Halved(clause, ..) | Self::Reused(clause) | Self::WrongFluid(clause, _) => {
                Some(*clause)
            }
            Self::StepSkipped | Self::Exchanged | Self::Sister(..) => None,
        }
    }
}

fn wrong_fluid(run: &Run<'_, '_>, action: &mut Action, other: &CribId) {
    if action.act == Act::Apply {
        action.thing = other.to_string();
        return;
    }
    let crib = &run.job.binder.crib;
    let is_fluid = |words: &String| {
        crib_item(crib, &run.filled(words)).is_some_and(|item| matches!(item.kind, Kind::Fluid { .. }))
    };
    if let Some(words) = action.with.iter_mut().find(|words| is_fluid(words)) {
        *words = other.to_string();
    }
}

/// Returns a value as an action has it: an item of the crib by its number.
pub(super) fn told(job: &Job<'_>, value: &Value) -> String {
    match value {
        Value::Crib(id) => id.to_string(),
        value => job.shown(value),
    }
}

/// Writes a value over its name, wherever an action has it in braces.
fn replace(action: &mut Action, name: &Name, told: &str) {
    let is_it = |inside: &str| Name::new(inside) == *name;
    let words = [&mut action.thing, &mut action.to, &mut action.on].into_iter().chain(&mut action.with);
    for own in words {
        let mut out = String::new();
        let mut rest = own.as_str();
        while let Some((before, inside, after)) = braced(rest) {
            out.push_str(before);
            if is_it(inside) {
                out.push_str(told);
            } else {
                out.extend(["{", inside, "}"]);
            }
            rest = after;
        }
        out.push_str(rest);
        *own = out;
    }
}

fn braced(text: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = text.split_once('{')?;
    let (inside, after) = rest.split_once('}')?;
    Some((before, inside, after))
}
