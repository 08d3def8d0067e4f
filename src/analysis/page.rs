//! What the sentences, blanks and hold points of a job name, sentence by sentence, as somebody who looks for a mistake meets them; it judges nothing.

use crate::analysis::joint::JointHere;
use crate::analysis::reading;
use crate::analysis::run::Run;
use crate::analysis::story::Moment;
use crate::analysis::thing::Thing;
use crate::base::name::{CribId, Name};
use crate::base::quantity::{Dimension, Unit};
use crate::language::action::Act;
use crate::language::sentence::TokenKind;
use crate::model::procedure::ReadingKind;
use crate::model::prose::Prose;
use std::collections::{BTreeMap, BTreeSet};

/// A job as it is read for what would show a mistake.
#[derive(Debug)]
pub struct Page<'r, 'j, 'b> {
    /// The clean run.
    pub run: &'r Run<'j, 'b>,
    /// Its sentences.
    pub looked: Vec<Looked>,
    /// Its hold points.
    pub signed: Vec<Signed>,
    /// Its readings, each time one is written.
    pub written: Vec<Written<'b>>,
    /// Its joints.
    pub joints: Vec<JointHere<'b>>,
    /// What was drawn from the crib for it.
    pub kit: BTreeSet<CribId>,
}

/// What a text says, as far as that can be told from its words.
#[derive(Clone, Debug, Default)]
pub struct Said {
    /// The text.
    pub text: String,
    /// Parts, openings, items and boundaries that it names, by the register's name.
    pub named: BTreeSet<String>,
    /// Its words that mean something, without their endings.
    pub words: BTreeSet<String>,
    /// Its words in capitals (`START`), in small letters.
    pub shouted: BTreeSet<String>,
}

/// A sentence.
#[derive(Debug)]
pub struct Looked {
    /// Its place.
    pub moment: Moment,
    /// What it says.
    pub said: Said,
    /// The values it names.
    pub values: Vec<Name>,
    /// Whether somebody looks, confirms, tries or turns.
    pub checks: bool,
    /// Whether something is counted or accounted for.
    pub counts: bool,
}

/// A hold point after a step.
#[derive(Debug)]
pub struct Signed {
    /// Index of the step.
    pub step: usize,
    /// Its name.
    pub name: String,
    /// What is verified.
    pub said: Said,
    /// The values it names.
    pub values: Vec<Name>,
}

/// A reading that is written at a step.
#[derive(Debug)]
pub struct Written<'b> {
    /// Index of the step.
    pub step: usize,
    /// Its name.
    pub name: &'b Name,
    /// The words of its name.
    pub words: BTreeSet<String>,
    /// What the sentences name that measure it here or elsewhere, and its name.
    pub named: BTreeSet<String>,
    /// The values its limit hangs on.
    pub values: Vec<Name>,
    /// What is measured; none where no figure with a limit is.
    pub dimension: Option<Dimension>,
    /// The last sentence of the step that measures; none where no sentence does.
    pub measured: Option<Moment>,
}

impl<'r, 'j, 'b> Page<'r, 'j, 'b> {
    /// Returns the page of a run. What keeps a joint or the kit from being told is found by the check.
    #[must_use]
    pub fn of(run: &'r Run<'j, 'b>) -> Self {
        let names = Names::of(run);
        let looked = looked(run, &names);
        let (kit, _) = run.kit();
        Self {
            signed: signed(run, &names),
            written: written(run, &names, &looked),
            looked,
            run,
            joints: run.job.joints().0,
            kit: kit.items.into_keys().collect(),
        }
    }

    /// Returns the values that a sentence names.
    #[must_use]
    pub fn values_of(&self, moment: Moment) -> &[Name] {
        self.looked.iter().find(|own| own.moment == moment).map(|own| own.values.as_slice()).unwrap_or_default()
    }

    /// Returns what a sentence says.
    #[must_use]
    pub fn said_at(&self, moment: Moment) -> Said {
        self.looked.iter().find(|own| own.moment == moment).map(|own| own.said.clone()).unwrap_or_default()
    }

    /// Returns whether a part is the fastener of a joint.
    #[must_use]
    pub fn is_fastener(&self, joint: &JointHere<'_>, part: &str) -> bool {
        self.run.things.get(joint.joint.fastener.value.as_str()).name() == Some(part)
    }
}

impl Said {
    /// Returns whether it has one of these words.
    #[must_use]
    pub fn has(&self, words: &[&str]) -> bool {
        words.iter().any(|word| self.words.contains(*word))
    }

    /// Returns whether it has at least so many of some words.
    #[must_use]
    pub fn shares(&self, words: &BTreeSet<String>, least: usize) -> bool {
        self.words.intersection(words).count() >= least
    }
}

fn looked(run: &Run<'_, '_>, names: &Names) -> Vec<Looked> {
    let mut looked = Vec::new();
    for (step, here) in run.steps.iter().enumerate() {
        for (sentence, own) in here.sentences.iter().enumerate() {
            let certain = || own.actions.iter().filter(|action| !action.conditional);
            let values = own.read.sentence.tokens.iter().filter_map(|token| match &token.kind {
                TokenKind::Value(name) => Some(name.clone()),
                _ => None,
            });
            let said = names.said(&own.read.sentence.text);
            let is_check = |act: Act| matches!(act, Act::Look | Act::Confirm | Act::Try | Act::Turn | Act::Measure);
            let checks = certain().any(|action| is_check(action.act));
            let ticked = said.words.contains("off") && said.has(&["check", "tick"]);
            let counts = said.has(&["count", "account", "counted", "tally"]) || ticked;
            looked.push(Looked { moment: (step, sentence), values: values.collect(), checks, counts, said });
        }
    }
    looked
}

fn signed(run: &Run<'_, '_>, names: &Names) -> Vec<Signed> {
    let mut signed = Vec::new();
    for (step, here) in run.steps.iter().enumerate() {
        for name in &here.step.holds {
            let holds = run.job.procedure.holds.iter();
            let own = holds.filter(|hold| hold.name.value == name.value && run.job.applies(hold.only.as_ref()));
            signed.extend(own.map(|hold| Signed {
                step,
                name: hold.name.value.as_str().to_owned(),
                said: names.said(&hold.verify.plain("")),
                values: values(&hold.verify),
            }));
        }
    }
    signed
}

fn written<'b>(run: &Run<'_, 'b>, names: &Names, looked: &[Looked]) -> Vec<Written<'b>> {
    let mut written: Vec<Written<'b>> = Vec::new();
    for (step, here) in run.steps.iter().enumerate() {
        let measures = |own: &&Looked| {
            let sentence = &here.sentences[own.moment.1];
            sentence.actions.iter().any(|action| matches!(action.act, Act::Measure) && !action.conditional)
        };
        let measuring: Vec<&Looked> = looked.iter().filter(|own| own.moment.0 == step).filter(measures).collect();
        // Two procedures of one binder have readings of one name, so they are looked for where they are declared.
        let readings = &run.job.procedure.readings;
        for (own, _) in here.step.records.iter().filter_map(|record| reading::declared(readings, &record.value)) {
            let limit = own.limit.as_ref().filter(|_| own.kind == ReadingKind::Measurement);
            let symbol = limit.and_then(|limit| run.job.limit(limit).ok()).map(|limit| limit.symbol().to_owned());
            let mut named = names.said(own.name.value.as_str()).named;
            named.extend(measuring.iter().flat_map(|own| own.said.named.iter().cloned()));
            written.push(Written {
                step,
                name: &own.name.value,
                words: names.said(own.name.value.as_str()).words,
                named,
                values: own.limit.as_ref().map(values).unwrap_or_default(),
                dimension: symbol.and_then(|symbol| Unit::parse(&symbol)).map(Unit::dimension),
                measured: measuring.last().map(|own| own.moment),
            });
        }
    }
    let mut everywhere: BTreeMap<&Name, BTreeSet<String>> = BTreeMap::new();
    for own in &written {
        everywhere.entry(own.name).or_default().extend(own.named.iter().cloned());
    }
    for own in &mut written {
        own.named.clone_from(&everywhere[own.name]);
    }
    written
}

fn values(prose: &Prose) -> Vec<Name> {
    prose.values().map(|name| name.value.clone()).collect()
}

/// Every name of a thing on this machine, by its words, the longest first.
struct Names {
    /// The words, and the register's name.
    names: Vec<(Vec<String>, String)>,
    /// The last word of names, and the things it may stand for.
    heads: BTreeMap<String, BTreeSet<String>>,
}

/// Words before a name that mean every one of its kind.
const EVERY: [&str; 6] = ["every", "each", "all", "both", "any", "no"];

impl Names {
    fn of(run: &Run<'_, '_>) -> Self {
        let family = run.job.family;
        let parts = family.parts.iter().map(|own| (&own.name, &own.also));
        let openings = family.openings.iter().map(|own| (&own.name, &own.also));
        let items = family.temporary.iter().map(|own| (&own.name, &own.also));
        let mut names = Vec::new();
        let mut heads: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for (name, also) in parts.chain(openings).chain(items) {
            let own = name.value.as_str().to_owned();
            let is_here = !matches!(run.things.get(&own), Thing::Other) && !run.things.get(&own).is_absent();
            for called in std::iter::once(name).chain(also).filter(|_| is_here) {
                let words = split(called.value.as_str());
                if let Some(head) = words.last() {
                    heads.entry(stem(head)).or_default().insert(own.clone());
                }
                names.push((words, own.clone()));
            }
        }
        for boundary in run.job.boundaries_here() {
            let own = boundary.name.value.as_str();
            names.push((split(own), own.to_owned()));
        }
        names.sort_by(|(a, a_name), (b, b_name)| (b.len(), a, a_name).cmp(&(a.len(), b, b_name)));
        Self { names, heads }
    }

    fn said(&self, text: &str) -> Said {
        let words = split(text);
        let means_every = words.iter().any(|word| EVERY.contains(&word.as_str()));
        let mut named = BTreeSet::new();
        let mut at = 0;
        while at < words.len() {
            let here = self.names.iter().find(|(name, _)| stands_at(&words, at, name));
            if let Some((name, own)) = here {
                named.insert(own.clone());
                at += name.len();
                continue;
            }
            let word = &words[at];
            if let Some(things) = self.heads.get(&stem(word)) {
                // `The two plugs` are all the plugs there are; `the plug` is one only where there is one.
                let is_plural = stem(word) != *word;
                if is_plural || means_every || things.len() == 1 {
                    named.extend(things.iter().cloned());
                }
            }
            at += 1;
        }
        let shouted = text.split(|c: char| !c.is_alphabetic()).filter(|word| is_shouted(word));
        Said {
            text: text.to_owned(),
            named,
            words: words.iter().filter(|word| means_something(word)).map(|word| stem(word)).collect(),
            shouted: shouted.map(|word| stem(&word.to_lowercase())).collect(),
        }
    }
}

fn is_shouted(word: &str) -> bool {
    word.chars().count() > 3 && word.chars().all(char::is_uppercase)
}

fn stands_at(words: &[String], at: usize, name: &[String]) -> bool {
    let Some((last, first)) = name.split_last() else { return false };
    let Some(here) = words.get(at..at + name.len()) else { return false };
    here[..first.len()] == *first && (here[first.len()] == *last || stem(&here[first.len()]) == stem(last))
}

/// Returns the words of a text in small letters. A hyphen holds words together, as in `O-ring`.
fn split(text: &str) -> Vec<String> {
    let folded = text.to_lowercase();
    let words = folded.split(|c: char| !(c.is_alphanumeric() || c == '-')).map(|word| word.trim_matches('-'));
    words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Returns a word without the ending of its plural.
fn stem(word: &str) -> String {
    let is_short = word.chars().count() < 4 || word.ends_with("ss") || word.ends_with("us");
    if is_short {
        return word.to_owned();
    }
    let es = ["ches", "shes", "xes", "sses"].iter().any(|end| word.ends_with(end));
    let cut = if es { 2 } else { usize::from(word.ends_with('s')) };
    word[..word.len() - cut].to_owned()
}

/// Words that every sentence has, and that say nothing about what it is about.
const EMPTY: [&str; 40] = [
    "the", "and", "with", "that", "this", "from", "into", "then", "than", "them", "they", "their", "have", "been",
    "does", "must", "will", "until", "when", "where", "which", "while", "your", "down", "once", "only", "each",
    "every", "both", "more", "less", "before", "after", "again", "there", "here", "confirm", "check", "record", "step",
];

fn means_something(word: &str) -> bool {
    (word.len() > 3 && !EMPTY.contains(&word)) || KEPT.contains(&word)
}

/// Short or common words that mean something here.
const KEPT: [&str; 7] = ["new", "off", "old", "run", "ran", "check", "tick"];
