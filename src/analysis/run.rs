//! One job executed on paper: its steps, what each sentence does on this machine, and what came of it; it judges nothing.

use crate::analysis::job::Job;
use crate::analysis::kit::Kit;
use crate::analysis::story::{self, Story};
use crate::analysis::thing::{Thing, Things};
use crate::analysis::vocabulary::{vocabulary_of, vocabulary_of_family};
use crate::base::finding::Finding;
use crate::base::name::Name;
use crate::base::quantity::{Dimension, Quantity};
use crate::base::text::{Placed, Span};
use crate::language::action::{self, Act, Action, Count};
use crate::language::matching::Lexicon;
use crate::language::noun::Vocabulary;
use crate::language::reader::read_step_with;
use crate::language::reading::{Class, Obstacle, SentenceRead};
use crate::language::sentence;
use crate::language::verb::Verbs;
use crate::model::accepted::AcceptedLine;
use crate::model::procedure::Step;
use crate::model::value::Value;
use rust_decimal::Decimal;
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Reads the sentences of a step.
pub type ReadStep<'r> = dyn Fn(&Step, &Vocabulary) -> Vec<SentenceRead> + Sync + 'r;

/// What was read of one procedure so far: machines that name everything alike are read once.
pub struct Readings<'r> {
    source: Source<'r>,
    vocabularies: BTreeMap<Vocabulary, usize>,
    sentences: BTreeMap<(usize, usize), Vec<Arc<SentenceRead>>>,
}

/// Who reads.
#[derive(Clone, Copy)]
enum Source<'r> {
    /// Somebody who reads a step at a time.
    ByHand(&'r ReadStep<'r>),
    /// The language, which makes a vocabulary ready once for many steps.
    Language(&'r Verbs),
}

/// A job executed on paper.
#[derive(Debug)]
pub struct Run<'j, 'b> {
    /// The job.
    pub job: &'j Job<'b>,
    /// What can be moved, opened or locked, by name.
    pub things: Things<'b>,
    /// The steps that apply, in order.
    pub steps: Vec<StepRun<'b>>,
    /// Everything the sentences do, in order, resolved for this machine.
    pub deeds: Vec<Deed>,
    /// What came of it.
    pub story: Story,
    /// Its kit, once somebody asked for it.
    pub(super) kit: OnceCell<(Kit, Vec<Finding>)>,
}

/// A step that applies.
#[derive(Clone, Debug)]
pub struct StepRun<'b> {
    /// The step.
    pub step: &'b Step,
    /// Its printed number.
    pub number: u32,
    /// The place of its stage in the procedure.
    pub stage: usize,
    /// Its sentences.
    pub sentences: Vec<SentenceHere<'b>>,
}

/// A sentence on this machine.
#[derive(Clone, Debug)]
pub struct SentenceHere<'b> {
    /// As it was read.
    pub read: Arc<SentenceRead>,
    /// What the author accepted for it.
    pub accepted: Option<&'b AcceptedLine>,
    /// The actions in force: the accepted ones, else those that were read with certainty or by `{do ...}`.
    pub actions: Vec<Action>,
    /// Whether the actions in force can be relied on.
    pub standing: Standing,
}

/// Whether the actions of a sentence can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The author accepted them, and they would be read so again.
    Accepted,
    /// The author accepted them, and the program would read them otherwise with certainty, or was sure then and is not now.
    AcceptedOtherwise,
    /// Read with certainty, not accepted yet.
    New,
    /// Not sure, and not accepted: it taints what it might touch.
    Open,
}

/// One thing that is done to this machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    /// Index into [`Run::steps`].
    pub step: usize,
    /// Index into the step's sentences.
    pub sentence: usize,
    /// Index into the sentence's actions in force; the parts that go together with a thing share its index.
    pub clause: usize,
    /// The place of the sentence.
    pub span: Span,
    /// The action with its values filled in for this machine (`L-01` for `{assembly fluid}`, `25 N·m` for a torque).
    pub action: Action,
    /// How many it is done to here; none where that is no question.
    pub count: Option<u32>,
}

impl Deed {
    /// Returns the quantity it is done to (`25 N·m`, `30 %`); none where it names none, or words.
    #[must_use]
    pub fn aimed_at(&self) -> Option<Quantity> {
        Quantity::parse(&self.action.to.replace('\u{a0}', " ")).ok()
    }

    /// Returns the torque it is done to; none where it names none.
    #[must_use]
    pub fn torque(&self) -> Option<Quantity> {
        self.aimed_at().filter(|own| own.unit.dimension() == Dimension::Torque)
    }

    /// Returns the share of a torque that it is a pass to, in per cent; none where it is no pass.
    #[must_use]
    pub fn pass(&self) -> Option<Decimal> {
        self.aimed_at().filter(|own| own.unit.symbol() == "%").map(|own| own.number)
    }

    /// Returns where a fluid is put: onto what, else on what it is done.
    #[must_use]
    pub fn place(&self) -> &str {
        if self.action.to.is_empty() { &self.action.on } else { &self.action.to }
    }
}

impl<'r> Readings<'r> {
    /// Returns the readings of a procedure of which nothing was read yet.
    #[must_use]
    pub fn new(read: &'r ReadStep<'r>) -> Self {
        Self::from(Source::ByHand(read))
    }

    /// Returns the readings of a procedure of which nothing was read yet, with these verbs.
    #[must_use]
    pub fn with(verbs: &'r Verbs) -> Self {
        Self::from(Source::Language(verbs))
    }

    fn from(source: Source<'r>) -> Self {
        Self { source, vocabularies: BTreeMap::new(), sentences: BTreeMap::new() }
    }

    fn vocabulary(&mut self, vocabulary: &Vocabulary) -> usize {
        if let Some(at) = self.vocabularies.get(vocabulary) {
            return *at;
        }
        let at = self.vocabularies.len();
        self.vocabularies.insert(vocabulary.clone(), at);
        at
    }

    /// Reads those of some steps, each with its place in the procedure, that were not read with this vocabulary yet.
    fn read(&mut self, steps: &[(usize, &Step)], vocabulary: &Vocabulary) -> usize {
        let known = self.vocabulary(vocabulary);
        let mut fresh = steps.iter().filter(|(at, _)| !self.sentences.contains_key(&(*at, known))).peekable();
        if fresh.peek().is_none() {
            return known;
        }
        let lexicon = match self.source {
            Source::ByHand(_) => None,
            Source::Language(verbs) => Some((Lexicon::of(vocabulary), verbs)),
        };
        let read = |step: &Step| match (&lexicon, self.source) {
            (Some((lexicon, verbs)), _) => read_step_with(step, lexicon, verbs),
            (None, Source::ByHand(read)) => read(step, vocabulary),
            (None, Source::Language(_)) => Vec::new(),
        };
        let read: Vec<_> =
            fresh.map(|(at, step)| ((*at, known), read(step).into_iter().map(Arc::new).collect())).collect();
        self.sentences.extend(read);
        known
    }

    fn step(&self, at: usize, known: usize) -> &[Arc<SentenceRead>] {
        self.sentences.get(&(at, known)).map_or(&[], Vec::as_slice)
    }
}

impl std::fmt::Debug for Readings<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Readings").field("vocabularies", &self.vocabularies.len()).finish_non_exhaustive()
    }
}

impl<'j, 'b> Run<'j, 'b> {
    /// Executes a job on paper. `readings` are those of its procedure.
    #[must_use]
    pub fn of(job: &'j Job<'b>, readings: &mut Readings<'_>) -> Self {
        let things = Things::of(job);
        let steps = steps(job, &things, readings);
        Self::executed(job, things, steps)
    }

    /// Executes other steps on the same machine, with the sentences that were read already.
    #[must_use]
    pub fn with_steps(&self, steps: Vec<StepRun<'b>>) -> Self {
        Self::executed(self.job, self.things.clone(), steps)
    }

    fn executed(job: &'j Job<'b>, things: Things<'b>, steps: Vec<StepRun<'b>>) -> Self {
        let deeds = deeds(job, &things, &steps);
        let mut run = Self { job, things, steps, deeds, story: Story::default(), kit: OnceCell::new() };
        run.story = story::of(&run);
        run
    }

    /// Returns words with the values in braces filled in for this machine; an item of the crib is its number.
    #[must_use]
    pub fn filled(&self, words: &str) -> String {
        filled(self.job, words)
    }

    /// Returns the step of a deed.
    #[must_use]
    pub fn step(&self, deed: &Deed) -> &StepRun<'b> {
        &self.steps[deed.step]
    }

    /// Returns the sentence of a deed.
    #[must_use]
    pub fn sentence(&self, deed: &Deed) -> &SentenceHere<'b> {
        &self.steps[deed.step].sentences[deed.sentence]
    }

    /// Returns where the front matter says how many of a part there are before and after the job.
    #[must_use]
    pub fn configuration_of(&self, part: &str) -> Option<Span> {
        let here = self.job.procedure.configuration.iter().filter(|own| self.job.applies(own.only.as_ref()));
        let mut own = here.filter(|own| self.things.get(own.part.value.as_str()).name() == Some(part));
        own.next().map(|own| own.part.span)
    }

    /// Returns the deeds of a step, the conditional ones included, each with its place in [`Run::deeds`].
    pub fn deeds_of(&self, step: usize) -> impl Iterator<Item = (usize, &Deed)> {
        self.deeds.iter().enumerate().filter(move |(_, deed)| deed.step == step)
    }
}

/// Reads every step that applies.
fn steps<'b>(job: &Job<'b>, things: &Things<'b>, readings: &mut Readings<'_>) -> Vec<StepRun<'b>> {
    let stages = job.procedure.stages.iter().enumerate();
    let all = stages.flat_map(|(stage, own)| own.steps.iter().map(move |step| (stage, step))).enumerate();
    let here: Vec<(usize, usize, &'b Step)> = all
        .filter(|(_, (_, step))| job.applies(step.only.as_ref()))
        .map(|(at, (stage, step))| (at, stage, step))
        .collect();
    let placed: Vec<(usize, &Step)> = here.iter().map(|(at, _, step)| (*at, *step)).collect();
    let known = readings.read(&placed, &vocabulary_of(job));
    // Only where a sentence cannot be read, and has a word of a thing that this machine does not have, is it asked whether it
    // is about another machine of the family.
    let heads = things.heads_of_absent();
    let is_for_another = |(at, step): &(usize, &Step)| {
        let read = readings.step(*at, known);
        read.iter().any(|sentence| sentence.class.is_open()) && has_word(step, &heads)
    };
    let doubtful: Vec<(usize, &Step)> = placed.iter().copied().filter(is_for_another).collect();
    let wide = (!doubtful.is_empty()).then(|| readings.read(&doubtful, &vocabulary_of_family(job)));
    let step = |(number, (at, stage, step)): (u32, (usize, usize, &'b Step))| {
        let read = readings.step(at, known);
        let elsewhere = wide.map(|wide| readings.step(at, wide)).filter(|read| !read.is_empty());
        let read = elsewhere.filter(|elsewhere| is_for_another_machine(things, read, elsewhere)).unwrap_or(read);
        let sentences = read.iter().map(|read| sentence(job, things, Arc::clone(read))).collect();
        StepRun { step, number, stage, sentences }
    };
    (1..).zip(here).map(step).collect()
}

fn has_word(step: &Step, heads: &BTreeSet<String>) -> bool {
    let mut found = false;
    for own in sentence::of_step(step) {
        let words = own.text.to_lowercase();
        found |= words
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| heads.contains(word) || word.strip_suffix('s').is_some_and(|one| heads.contains(one)));
    }
    found
}

/// Returns whether the reading with the names of the whole family is surer and names a thing this machine does not have.
fn is_for_another_machine(things: &Things<'_>, read: &[Arc<SentenceRead>], elsewhere: &[Arc<SentenceRead>]) -> bool {
    let open = |read: &[Arc<SentenceRead>]| read.iter().filter(|sentence| sentence.class.is_open()).count();
    let is_absent = |action: &Action| things.get(&action.thing).is_absent();
    elsewhere.iter().any(|sentence| sentence.actions.iter().any(is_absent)) && open(elsewhere) < open(read)
}

fn sentence<'b>(job: &Job<'b>, things: &Things<'b>, read: Arc<SentenceRead>) -> SentenceHere<'b> {
    let accepted = job.binder.accepted.get(&job.procedure.file);
    let line = accepted.and_then(|accepted| accepted.find(&read.key, job.tag()));
    let line = line.filter(|line| line.sentence == read.sentence.text);
    let in_force = line.and_then(|line| action::parse_line(&line.actions).ok());
    // What the author writes behind the sentence comes first, and it may be wrong. Where a register no longer knows what was
    // accepted, nobody knows what is done.
    let is_spoilt = matches!(read.class, Class::NotRead(Obstacle::Override(_)));
    let is_strange = in_force.iter().flatten().any(|action| stranger(things, action).is_some());
    if is_spoilt || is_strange {
        return SentenceHere { read, accepted: line, actions: Vec::new(), standing: Standing::Open };
    }
    let was_unsure = line.is_some_and(|line| line.was_unsure);
    let stands = |class: &Class, actions: &[Action]| {
        if class.is_open() { was_unsure } else { actions == read.actions }
    };
    let (standing, actions) = match (in_force, &read.class) {
        (Some(actions), class) if stands(class, &actions) => (Standing::Accepted, actions),
        (Some(actions), _) => (Standing::AcceptedOtherwise, actions),
        (None, Class::Read | Class::MovesNothing) => (Standing::New, read.actions.clone()),
        (None, Class::Uncertain(_) | Class::NotRead(_)) => (Standing::Open, Vec::new()),
    };
    SentenceHere { read, accepted: line, actions, standing }
}

/// Returns the name in an action that moves something and that no register knows; none where every name is known.
#[must_use]
pub fn stranger<'a>(things: &Things<'_>, action: &'a Action) -> Option<&'a str> {
    must_be_known(action).filter(|name| matches!(things.get(name), Thing::Other))
}

/// Returns the name in an action that must be that of a part, an opening, a temporary item or an isolation point; none where any
/// will do, as people call it.
#[must_use]
pub fn must_be_known(action: &Action) -> Option<&str> {
    match action.act {
        Act::Off
        | Act::Discard
        | Act::Stores
        | Act::On
        | Act::New
        | Act::Loosen
        | Act::Snug
        | Act::Tighten
        | Act::Open
        | Act::Shut
        | Act::Place
        | Act::Take
        | Act::Lock => Some(action.thing.as_str()),
        _ => None,
    }
}

/// Returns everything the sentences do, with values filled in, names as the registers have them, and counts of this machine.
fn deeds(job: &Job<'_>, things: &Things<'_>, steps: &[StepRun<'_>]) -> Vec<Deed> {
    let mut deeds = Vec::new();
    for (step, here) in steps.iter().enumerate() {
        for (sentence, own) in here.sentences.iter().enumerate() {
            let clauses = own.actions.iter().enumerate();
            let clauses = clauses.flat_map(|(clause, action)| {
                with_companions(things, action).into_iter().map(move |action| (clause, action))
            });
            for (clause, action) in clauses {
                let action = resolved(job, things, &action);
                let all = things.get(&action.thing).all();
                let count = match action.count {
                    Count::One => all.map(|_| 1),
                    Count::All => all,
                    Count::Number(number) => Some(number),
                };
                deeds.push(Deed { step, sentence, clause, span: own.read.sentence.span, action, count });
            }
        }
    }
    deeds
}

/// Returns an action and those of the parts that go together with its thing (`with drain-plug washer`).
fn with_companions(things: &Things<'_>, action: &Action) -> Vec<Action> {
    let moves = matches!(action.act, Act::Off | Act::Discard | Act::Stores | Act::On | Act::New);
    let is_part = |words: &String| moves && matches!(things.get(words), Thing::Part(_));
    let (companions, tools): (Vec<String>, Vec<String>) = action.with.iter().cloned().partition(is_part);
    let mut actions = vec![Action { with: tools, ..action.clone() }];
    for words in companions {
        // `Fit the plug with the new washer` says of the washer that it is new; of what is used once, nothing else is meant.
        let is_single_use = matches!(things.get(&words), Thing::Part(here) if here.part.single_use);
        let act = if action.act == Act::On && is_single_use { Act::New } else { action.act };
        actions.push(Action { count: Count::All, conditional: action.conditional, ..Action::new(act, words) });
    }
    actions
}

fn resolved(job: &Job<'_>, things: &Things<'_>, action: &Action) -> Action {
    let here = |words: &String| {
        let words = filled(job, words);
        things.get(&words).name().map_or(words.clone(), str::to_owned)
    };
    Action {
        thing: here(&action.thing),
        with: action.with.iter().map(here).collect(),
        to: here(&action.to),
        on: here(&action.on),
        ..action.clone()
    }
}

/// Returns words with the values in braces filled in; an item of the crib is its identifier.
fn filled(job: &Job<'_>, words: &str) -> String {
    let mut out = String::new();
    let mut rest = words;
    while let Some((before, name, after)) =
        rest.split_once('{').and_then(|(before, rest)| rest.split_once('}').map(|(name, after)| (before, name, after)))
    {
        out.push_str(before);
        match job.value(&Placed::new(Name::new(name), job.procedure.document.span)) {
            Ok(Value::Crib(id)) => out.push_str(id.as_str()),
            Ok(value) => out.push_str(&job.shown(&value)),
            // What has no value is told where it is missing.
            Err(_) => {
                out.push('{');
                out.push_str(name);
                out.push('}');
            }
        }
        rest = after;
    }
    out.push_str(rest);
    out
}
