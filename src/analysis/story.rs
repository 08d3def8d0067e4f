//! What came of executing a job on paper: offences, each told once with its root, and what nobody could read; it words nothing.

use crate::analysis::energy;
use crate::analysis::run::{Run, SentenceHere, Standing};
use crate::analysis::taint::Taints;
use crate::analysis::teardown::{self, PartState};
use crate::analysis::thing::Thing;
use crate::analysis::vocabulary;
use crate::base::name::Name;
use crate::language::action::Act;
use crate::language::sentence::{Token, TokenKind};
use std::collections::{BTreeMap, BTreeSet};

/// What came of executing a job on paper.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Story {
    /// The offences that are certain, in the order of the steps.
    pub facts: Vec<Fact>,
    /// The sentences that are not sure: about what they might touch, nothing after them can be proved.
    pub open: Vec<OpenSentence>,
    /// Sentences that leave the renewal of a part that is used once to the reader.
    pub vague: Vec<VagueRenewal>,
    /// How the parts are at the end, by name.
    pub parts: BTreeMap<String, PartState>,
}

/// A sentence that is not sure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenSentence {
    /// Index of the step.
    pub step: usize,
    /// Index of the sentence in its step.
    pub sentence: usize,
    /// The things it might move; none for all of them.
    pub touches: Vec<String>,
}

/// A sentence that renews a part only on a condition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VagueRenewal {
    /// Index of the step.
    pub step: usize,
    /// Index of the sentence in its step.
    pub sentence: usize,
    /// The part.
    pub part: String,
}

/// An offence that is certain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What is wrong.
    pub offence: Offence,
    /// What it is wrong with; the first is the one to name.
    pub things: Vec<String>,
    /// The other thing: what holds it, what stands in its place, its joint, or the boundaries; may be empty.
    pub by: Vec<String>,
    /// The deed to point at; none where a step is missing altogether.
    pub deed: Option<usize>,
    /// Further deeds that show it.
    pub also: Vec<usize>,
    /// How many were meant, and how many there are; nought and nought where that is no question.
    pub counts: (u32, u32),
}

/// What can be wrong with what the steps do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Offence {
    /// Parts that were taken off are off at the end; `by` are those that were discarded, with no new one fitted.
    LeftOff,
    /// A part that is new to the machine after the job is never fitted.
    NeverFitted,
    /// A discarded part is fitted.
    DiscardedFitted,
    /// A part that is used once is fitted again.
    UsedOnceFitted,
    /// Some, not all, of what was taken off are on at the end.
    SomeLeftOff,
    /// A sentence means more of a part than there are.
    MoreThanThere,
    /// The procedure says that fewer are on after the job than there are.
    StillOn,
    /// A part is fitted into a place that is taken.
    PlaceTaken,
    /// A part comes off that is off already, or an item is taken out that nobody put in.
    NotThere,
    /// An opening is closed that nobody opened.
    NotOpen,
    /// A thing that this machine does not have.
    Absent,
    /// A part comes off while what holds it is on.
    HolderOn,
    /// A part is fitted after what holds it.
    HolderFirst,
    /// A fastener of a joint is not tight at the end.
    NotTight,
    /// An opening is open at the end.
    LeftOpen,
    /// Locks are on at the end.
    LeftLocked,
    /// A temporary item is in at the end.
    LeftIn,
    /// The machine is opened before everything that a later step locks is locked.
    OpenedBeforeLock,
    /// The machine is opened before it is proved and signed that no energy is left.
    OpenedBeforeProof,
    /// The machine is opened while stored energy was not let out.
    OpenedBeforeRelease,
    /// The machine is opened after the locks came off.
    OpenedAfterUnlock,
    /// No step locks some points.
    NotIsolated,
    /// The machine runs before guards are on or temporary items are out.
    RunBeforeGuards,
    /// The machine is started while it is locked.
    StartedWhileLocked,
    /// Locks come off before everything is closed and back on.
    UnlockedTooEarly,
    /// It is filled while a part of the product side is off.
    FilledTooEarly,
    /// It runs before it is filled.
    RunsDry,
    /// What was isolated last is not filled first.
    FilledOutOfOrder,
}

/// The place of a sentence in a run: step, then sentence.
pub type Moment = (usize, usize);

/// The moment after the last step.
pub const END: Moment = (usize::MAX, usize::MAX);

impl Fact {
    pub(crate) fn new(offence: Offence, thing: impl Into<String>, deed: Option<usize>) -> Self {
        Self { offence, things: vec![thing.into()], by: Vec::new(), deed, also: Vec::new(), counts: (0, 0) }
    }

    pub(crate) fn by(mut self, by: impl IntoIterator<Item = String>) -> Self {
        self.by = by.into_iter().collect();
        self
    }

    pub(crate) fn also(mut self, also: impl IntoIterator<Item = usize>) -> Self {
        self.also = also.into_iter().collect();
        self
    }

    pub(crate) fn counts(mut self, meant: u32, there: u32) -> Self {
        self.counts = (meant, there);
        self
    }
}

impl Story {
    /// Returns the facts of one kind.
    pub fn of(&self, offence: Offence) -> impl Iterator<Item = &Fact> {
        self.facts.iter().filter(move |fact| fact.offence == offence)
    }
}

/// Executes what was read.
pub(crate) fn of(run: &Run<'_, '_>) -> Story {
    let vague = vague_renewals(run);
    let open = open_sentences(run, &vague);
    let taints = Taints::of(run, &open, &vague);
    let bench = teardown::execute(run, &taints);
    let isolation = energy::execute(run, &taints, &bench);
    let mut facts = bench.facts;
    facts.extend(isolation);
    rooted(&mut facts, run, &bench.holders);
    let place = |fact: &Fact| (fact.deed.unwrap_or(usize::MAX), fact.offence);
    facts.sort_by_key(place);
    Story { facts, open, vague, parts: bench.parts }
}

/// Lets go what only follows from another offence.
fn rooted(facts: &mut Vec<Fact>, run: &Run<'_, '_>, holders: &BTreeMap<String, Vec<String>>) {
    let all = facts.clone();
    let of = |offence: Offence| all.iter().filter(move |fact| fact.offence == offence);
    // What never came off was told where the first thing behind it came off; so were the things that hold it.
    let blocked: BTreeSet<&String> = of(Offence::HolderOn).flat_map(|fact| &fact.by).collect();
    let behind = |thing: &String| blocked.iter().any(|blocked| *blocked == thing || holds(holders, thing, blocked));
    let came_off_early = |thing: &String| of(Offence::HolderOn).any(|fact| fact.things.contains(thing));
    let too_early = |offence: Offence, thing: &String| of(offence).any(|fact| told(fact).any(|own| own == thing));
    let not_isolated = |boundary: &String| of(Offence::NotIsolated).any(|fact| fact.things.contains(boundary));
    facts.retain_mut(|fact| match fact.offence {
        Offence::PlaceTaken if fact.by.is_empty() => {
            fact.things.retain(|thing| !behind(thing));
            !fact.things.is_empty()
        }
        Offence::StillOn => !of(Offence::PlaceTaken).any(|other| other.by.contains(&fact.things[0])),
        Offence::NotThere => !fact.things.iter().any(came_off_early),
        Offence::OpenedBeforeRelease => {
            fact.by.retain(|boundary| !not_isolated(boundary));
            !fact.by.is_empty()
        }
        Offence::NotOpen => {
            let is_told = all.iter().any(|other| match other.offence {
                Offence::OpenedBeforeProof => true,
                Offence::OpenedBeforeRelease => other.by.iter().any(|boundary| releases(run, fact, boundary)),
                Offence::NotIsolated => other.things.iter().any(|boundary| releases(run, fact, boundary)),
                _ => false,
            });
            !is_told
        }
        Offence::UnlockedTooEarly => !fact.things.iter().all(|thing| too_early(Offence::RunBeforeGuards, thing)),
        Offence::FilledTooEarly => !fact
            .things
            .iter()
            .all(|thing| too_early(Offence::RunBeforeGuards, thing) || too_early(Offence::UnlockedTooEarly, thing)),
        Offence::RunsDry => {
            let same = |offence: Offence| of(offence).any(|other| other.deed == fact.deed);
            !same(Offence::RunBeforeGuards) && !same(Offence::StartedWhileLocked)
        }
        _ => true,
    });
}

/// Returns whether one part holds another, directly or through others.
fn holds(holders: &BTreeMap<String, Vec<String>>, holder: &String, part: &String) -> bool {
    let mut open = vec![part];
    let mut seen: BTreeSet<&String> = BTreeSet::new();
    while let Some(part) = open.pop() {
        for own in holders.get(part).into_iter().flatten() {
            if own == holder {
                return true;
            }
            if seen.insert(own) {
                open.push(own);
            }
        }
    }
    false
}

fn releases(run: &Run<'_, '_>, fact: &Fact, boundary: &str) -> bool {
    fact.things.iter().any(|thing| match run.things.get(thing) {
        Thing::Opening(opening, _) => opening.of.iter().any(|of| of.value == Name::new(boundary)),
        _ => false,
    })
}

fn told(fact: &Fact) -> impl Iterator<Item = &String> {
    fact.things.iter().chain(&fact.by)
}

/// Returns the sentences that are not sure, without those whose fault is told as a vague renewal.
fn open_sentences(run: &Run<'_, '_>, vague: &[VagueRenewal]) -> Vec<OpenSentence> {
    let mut open = Vec::new();
    for (step, here) in run.steps.iter().enumerate() {
        for (sentence, own) in here.sentences.iter().enumerate() {
            let is_vague = vague.iter().any(|vague| (vague.step, vague.sentence) == (step, sentence));
            if own.standing != Standing::Open || is_vague {
                continue;
            }
            let is_moved = |thing: &&String| !matches!(run.things.get(thing), Thing::Other);
            let moved: Vec<String> = own.read.touches.iter().filter(is_moved).cloned().collect();
            // What is done to the machine as a whole, or to one of its energies, may be done to anything.
            let is_whole = own.read.touches.iter().any(|thing| stands_for_much(run, thing));
            let touches = if is_whole { Vec::new() } else { moved };
            // A sentence about nothing but what cannot be moved moves nothing, whatever it says.
            if is_whole || !touches.is_empty() || own.read.touches.is_empty() {
                open.push(OpenSentence { step, sentence, touches });
            }
        }
    }
    open
}

/// Returns whether a name is that of the machine as a whole, or of one of its energies.
fn stands_for_much(run: &Run<'_, '_>, thing: &str) -> bool {
    let machine = vocabulary::machine(run.job);
    let mut names = std::iter::once(&machine.name).chain(&machine.also).map(|own| Name::new(own));
    let name = Name::new(thing);
    let is_machine = names.any(|own| own == name);
    let is_boundary = run.job.family.boundaries.iter().any(|own| own.name.value == name);
    matches!(run.things.get(thing), Thing::Other) && (is_machine || is_boundary)
}

/// What makes a renewal depend on somebody's judgement, behind `when`, `where` or `as`.
const JUDGED: [&str; 14] = [
    "required",
    "necessary",
    "needed",
    "appropriate",
    "worn",
    "damaged",
    "cracked",
    "hard",
    "swollen",
    "torn",
    "cut",
    "leaking",
    "defective",
    "doubtful",
];
/// Verbs that take an old part off and put a new one on, where they are not read as two actions.
const RENEWALS: [&str; 6] = ["replace", "renew", "change", "exchange", "substitute", "swap"];

/// Returns the sentences that renew a part that is used once only on a condition.
fn vague_renewals(run: &Run<'_, '_>) -> Vec<VagueRenewal> {
    let mut found = Vec::new();
    for (step, here) in run.steps.iter().enumerate() {
        for (sentence, own) in here.sentences.iter().enumerate() {
            let part = vague_renewal(run, own);
            found.extend(part.map(|part| VagueRenewal { step, sentence, part: part.to_owned() }));
        }
    }
    found
}

fn vague_renewal<'r>(run: &'r Run<'_, '_>, own: &'r SentenceHere<'_>) -> Option<&'r str> {
    let words: Vec<String> = own.read.sentence.tokens.iter().filter_map(word).collect();
    if !is_conditional(&words) {
        return None;
    }
    let renews = |act: Act| matches!(act, Act::Discard | Act::On | Act::New);
    let actions = own.actions.iter().chain(&own.read.actions);
    let moved = actions.filter(|action| renews(action.act)).map(|action| action.thing.as_str());
    let is_open = own.standing == Standing::Open && words.iter().any(|word| RENEWALS.contains(&word.as_str()));
    let touched = own.read.touches.iter().filter(|_| is_open).map(String::as_str);
    moved.chain(touched).find_map(|thing| run.things.single_use(thing))
}

fn word(token: &Token) -> Option<String> {
    match &token.kind {
        TokenKind::Word(word) => Some(word.to_lowercase()),
        _ => None,
    }
}

fn is_conditional(words: &[String]) -> bool {
    let is_if = |at: usize| {
        matches!(words[at].as_str(), "if" | "unless") && (at == 0 || !matches!(words[at - 1].as_str(), "even" | "as"))
    };
    let is_judged =
        |pair: &[String]| matches!(pair[0].as_str(), "when" | "where" | "as") && JUDGED.contains(&pair[1].as_str());
    (0..words.len()).any(is_if) || words.windows(2).any(is_judged)
}
