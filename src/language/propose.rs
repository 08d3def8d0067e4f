//! What the registers lack to read some steps, with what the words say of it; it writes no register and guesses no number.
//!
//! Names are taken from the clauses of the steps. Then the steps are read as they would be read if every name were taken, so
//! that pronouns, discarded parts and the order of the strip are seen.

use crate::language::action::{Act, Action};
use crate::language::chain::{self, Move};
use crate::language::item::{items, key};
use crate::language::listed::is_tool_head;
use crate::language::matching::Lexicon;
use crate::language::memory::Said;
use crate::language::noticed::{Noticed, Role, noticed};
use crate::language::noun::{Noun, NounKind, Vocabulary};
use crate::language::reader::{keyed, named, read_step_with};
use crate::language::reading::{Class, SentenceRead};
use crate::language::verb::Verbs;
use crate::model::procedure::Step;
use std::collections::BTreeSet;

/// Where a proposal would go in a register.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// A part of the family.
    Part,
    /// An opening of the family.
    Opening,
    /// A temporary item of the family.
    Temporary,
    /// A tool of the crib.
    Tool,
    /// A fluid of the crib.
    Fluid,
    /// Another word for what a register knows.
    Also,
    /// What holds a part.
    HeldBy,
    /// A boundary, or another word for one.
    Boundary,
    /// A part that stays, or a noun that moves nothing.
    Stays,
}

/// What could be added to a register.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// Where it would go.
    pub field: Field,
    /// The name; for [`Field::HeldBy`] the part that is held.
    pub name: String,
    /// How many, where the words say so.
    pub count: Option<u32>,
    /// What all steps that name it are limited to; empty for nothing.
    pub only: String,
    /// True where it is discarded and a new one is fitted.
    pub single_use: bool,
    /// What holds it, or the names it may be another word for.
    pub others: Vec<String>,
    /// The steps that show it, by their numbers in the text.
    pub steps: Vec<u32>,
    /// The first sentence that shows it best.
    pub sentence: String,
    /// What the author must decide; empty where the words leave nothing open.
    pub question: String,
}

/// What could be added, and how far it would bring the reader.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposed {
    /// The proposals, by field, in the order in which the steps name them.
    pub proposals: Vec<Proposal>,
    /// How many sentences there are.
    pub sentences: usize,
    /// How many of them are not read with the registers as they are.
    pub unread_now: usize,
    /// How many would still not be read if everything were taken.
    pub unread_then: usize,
}

/// Returns what the registers lack to read some steps.
#[must_use]
pub fn propose(steps: &[(u32, &Step)], vocabulary: &Vocabulary, verbs: &Verbs) -> Proposed {
    let lexicon = Lexicon::of(vocabulary);
    let mut candidates = candidates(steps, &lexicon, verbs);
    let wider = with(vocabulary, &candidates);
    let moves = moves(steps, &wider, verbs);
    for candidate in &mut candidates {
        candidate.settle(&moves);
    }
    let wider = with(vocabulary, &candidates);
    let moves = self::moves(steps, &wider, verbs);
    let mut proposals: Vec<Proposal> =
        candidates.iter().map(|candidate| candidate.proposal(&candidates, &moves)).collect();
    proposals.extend(chain::held(&moves));
    proposals.sort_by_key(|proposal| proposal.field);
    let unread = |lexicon: &Lexicon<'_>| {
        let read = steps.iter().flat_map(|(_, step)| read_step_with(step, lexicon, verbs));
        read.filter(|read| matches!(read.class, Class::NotRead(_))).count()
    };
    Proposed {
        proposals,
        sentences: steps.iter().map(|(_, step)| keyed(step).len()).sum(),
        unread_now: unread(&lexicon),
        unread_then: unread(&Lexicon::of(&wider)),
    }
}

/// Returns the names of parts, openings, items and points that some steps name in any way.
#[must_use]
pub fn names_in(steps: &[&Step], vocabulary: &Vocabulary) -> BTreeSet<String> {
    let lexicon = Lexicon::of(vocabulary);
    let sentences = steps.iter().flat_map(|step| keyed(step));
    sentences.flat_map(|(_, sentence)| named(&items(&sentence), &lexicon)).collect()
}

/// Returns the names of what some steps take off, as far as they are read with certainty.
#[must_use]
pub fn taken_off(steps: &[&Step], vocabulary: &Vocabulary, verbs: &Verbs) -> BTreeSet<String> {
    let lexicon = Lexicon::of(vocabulary);
    let read = steps.iter().flat_map(|step| read_step_with(step, &lexicon, verbs));
    let actions = read.filter(|read| read.class == Class::Read).flat_map(|read| read.actions);
    let off = actions.filter(|action| matches!(action.act, Act::Off | Act::Discard) && !action.conditional);
    off.map(|action| action.thing).collect()
}

/// A name that no register knows, with every place that names it.
struct Candidate {
    name: String,
    key: String,
    seen: Vec<Seen>,
    field: Field,
    /// What makes the field a question.
    doubt: String,
    single_use: bool,
}

/// A place that names a candidate.
struct Seen {
    step: u32,
    only: String,
    sentence: String,
    noticed: Noticed,
}

/// How many, as all places together say.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Number {
    /// So many.
    Known(u32),
    /// So many, if the words mean all of them.
    Perhaps(u32),
    /// The words do not say.
    Unknown,
}

fn candidates(steps: &[(u32, &Step)], lexicon: &Lexicon<'_>, verbs: &Verbs) -> Vec<Candidate> {
    let mut found: Vec<Candidate> = Vec::new();
    for (number, step) in steps {
        let only = step.only.as_ref().map(|only| only.words.clone()).unwrap_or_default();
        for (_, sentence) in keyed(step) {
            for noticed in noticed(&sentence, lexicon, verbs) {
                let key = noticed.key.clone();
                let name = noticed.name.clone();
                let seen = Seen { step: *number, only: only.clone(), sentence: sentence.text.clone(), noticed };
                match found.iter_mut().find(|own| own.key == key) {
                    Some(own) => own.seen.push(seen),
                    None => found.push(Candidate::new(name, key, seen)),
                }
            }
        }
    }
    found.iter_mut().for_each(Candidate::choose);
    // What a register may know by another name, and is only named here, is for the reader to ask about.
    let is_done = |candidate: &Candidate| candidate.seen.iter().any(|seen| seen.noticed.role != Role::Named);
    let is_definite = |candidate: &Candidate| candidate.seen.iter().any(|seen| seen.noticed.is_definite);
    found.retain(|candidate| match candidate.field {
        Field::Also => is_done(candidate),
        Field::Stays => is_definite(candidate),
        _ => true,
    });
    found
}

impl Candidate {
    fn new(name: String, key: String, seen: Seen) -> Self {
        Self { name, key, seen: vec![seen], field: Field::Stays, doubt: String::new(), single_use: false }
    }

    fn has(&self, role: Role) -> bool {
        self.seen.iter().any(|seen| seen.noticed.role == role)
    }

    fn has_sure(&self, role: Role) -> bool {
        self.seen.iter().any(|seen| seen.noticed.role == role && !seen.noticed.is_perhaps)
    }

    fn head(&self) -> String {
        key(self.name.rsplit([' ', '-']).next().unwrap_or_default())
    }

    /// Chooses the field by what the clauses do with the thing.
    fn choose(&mut self) {
        if self.seen.iter().any(|seen| !seen.noticed.like.is_empty()) {
            self.field = Field::Also;
            return;
        }
        let order = [
            (Role::Placed, Field::Temporary),
            (Role::Moved, Field::Part),
            (Role::Opened, Field::Opening),
            (Role::Tool, Field::Tool),
            (Role::Fluid, Field::Fluid),
            (Role::Energy, Field::Boundary),
        ];
        let is_there = |role: Role| if role == Role::Energy { self.has_sure(role) } else { self.has(role) };
        let found: Vec<(Role, Field)> = order.into_iter().filter(|(role, _)| is_there(*role)).collect();
        let sure = found.iter().copied().find(|(role, _)| self.has_sure(*role));
        let Some((role, field)) = sure.or(found.first().copied()) else { return };
        self.field = field;
        let is_part_too = |(other, _): &(Role, Field)| *other != role && *other != Role::Energy;
        if self.has(Role::Tool) && is_tool_head(&self.head()) && field == Field::Part {
            self.field = Field::Tool;
        }
        if found.iter().any(is_part_too) {
            let names = found.iter().map(|(_, field)| field.a_word()).collect::<Vec<_>>().join(" or ");
            self.doubt = format!("{names}?");
        } else if sure.is_none() {
            self.doubt = format!("{}? its verb is used in more than one way", field.a_word());
        } else if self.seen.iter().all(|seen| seen.noticed.is_owned) {
            "whose is it?".clone_into(&mut self.doubt);
        } else if self.seen.iter().all(|seen| seen.noticed.is_headless) {
            "the whole name, or does it share the last word of its list?".clone_into(&mut self.doubt);
        }
    }

    /// Takes what the steps show once they are read as a whole.
    fn settle(&mut self, moves: &[Move]) {
        let own: Vec<&Move> = moves.iter().filter(|one| one.action.thing == self.name).collect();
        let is_discarded = own.iter().any(|one| one.is_sure && one.action.act == Act::Discard);
        let is_new =
            self.seen.iter().any(|seen| seen.noticed.is_new) || own.iter().any(|one| one.action.act == Act::New);
        self.single_use = self.field == Field::Part && is_discarded && is_new;
        let is_in_first = own.iter().position(|one| matches!(one.action.act, Act::On | Act::Place));
        let is_out = own.iter().position(|one| matches!(one.action.act, Act::Off | Act::Take));
        let comes_out = matches!((is_in_first, is_out), (Some(fitted), Some(off)) if fitted < off);
        if self.field == Field::Part && comes_out && !is_new {
            self.field = Field::Temporary;
            if !TEMPORARY_HEADS.split(' ').any(|head| head == self.head()) {
                "it is fitted first and taken off later: for the job only?".clone_into(&mut self.doubt);
            }
        }
    }

    fn number(&self) -> Number {
        let said = |fits: &dyn Fn(&Noticed) -> bool| -> BTreeSet<u32> {
            let numbers = self.seen.iter().filter(|seen| fits(&seen.noticed)).map(|seen| match seen.noticed.said {
                Said::Number(number) => Some(number),
                Said::Singular => Some(1),
                Said::One | Said::Plural | Said::Each => None,
            });
            numbers.flatten().collect()
        };
        let is_plain = |seen: &Noticed| !seen.is_limited && !seen.is_spread;
        let sure = said(&|seen| seen.is_definite && is_plain(seen));
        let soft = said(&|seen| (!seen.is_definite || !is_plain(seen)) && !matches!(seen.said, Said::Singular));
        let places = || self.seen.iter().map(|seen| &seen.noticed);
        let is_many = places().any(|seen| matches!(seen.said, Said::Plural | Said::Each));
        let is_spread = places().any(|seen| seen.is_spread);
        let is_limited = places().any(|seen| seen.is_limited || seen.said == Said::One);
        match (sure.iter().next(), sure.len(), soft.iter().next(), soft.len()) {
            (Some(1), 1, None, _) if !is_many && !is_spread && !is_limited => Number::Known(1),
            (Some(1), 1, None, _) if !is_many && !is_spread => Number::Perhaps(1),
            (Some(1), ..) => Number::Unknown,
            (Some(number), 1, None, _) => Number::Known(*number),
            (Some(number), 1, Some(other), 1) if number == other => Number::Known(*number),
            (None, _, Some(number), 1) if !is_spread => Number::Perhaps(*number),
            _ => Number::Unknown,
        }
    }

    /// Returns longer names among the others that this may be short for.
    fn long_names<'c>(&self, all: &'c [Self]) -> Vec<&'c str> {
        let words: Vec<String> = words_of(&self.name);
        let longer = all.iter().filter(|other| {
            let own = words_of(&other.name);
            let mut rest = own.iter();
            other.field == self.field
                && own.len() > words.len()
                && own.last() == words.last()
                && words.iter().all(|word| rest.any(|one| one == word))
        });
        longer.map(|other| other.name.as_str()).collect()
    }

    fn only(&self) -> String {
        let first = &self.seen[0].only;
        let is_same = self.seen.iter().all(|seen| seen.only == *first);
        if is_same { first.clone() } else { String::new() }
    }

    fn proposal(&self, all: &[Self], moves: &[Move]) -> Proposal {
        let best = self.seen.iter().find(|seen| self.shows(seen)).unwrap_or(&self.seen[0]);
        let mut steps: Vec<u32> = self.seen.iter().map(|seen| seen.step).collect();
        steps.extend(moves.iter().filter(|one| one.action.thing == self.name).map(|one| one.step));
        steps.sort_unstable();
        steps.dedup();
        let mut proposal = Proposal {
            field: self.field,
            name: self.name.clone(),
            count: None,
            only: self.only(),
            single_use: self.single_use,
            others: Vec::new(),
            steps,
            sentence: best.sentence.clone(),
            question: String::new(),
        };
        let mut questions = Vec::new();
        if !self.doubt.is_empty() {
            questions.push(self.doubt.clone());
        }
        match self.field {
            Field::Part | Field::Opening | Field::Temporary => {
                let long = self.long_names(all);
                if !long.is_empty() {
                    questions.push(format!("short for {}?", long.join(" or ")));
                }
                match self.number() {
                    Number::Known(number) => proposal.count = Some(number),
                    Number::Perhaps(number) => questions.push(format!("how many? {number}, if these are all")),
                    Number::Unknown => questions.push("how many?".to_owned()),
                }
            }
            Field::Tool => questions.push("which number has it in the crib?".to_owned()),
            Field::Fluid => questions.push("its name, zone and rubbers are not in the text".to_owned()),
            Field::Also => {
                proposal.others = self.seen.iter().flat_map(|seen| seen.noticed.like.clone()).collect();
                proposal.others.sort();
                proposal.others.dedup();
                let names = proposal.others.join(" or ");
                questions.push(format!("another word for {names}, or a thing of its own?"));
            }
            Field::Boundary => questions.push("which boundary is it?".to_owned()),
            Field::Stays | Field::HeldBy => {
                questions.push("a part that stays, or a noun that moves nothing?".to_owned());
            }
        }
        proposal.question = questions.join("; ");
        proposal
    }

    /// Returns whether a place shows best why the field was chosen.
    fn shows(&self, seen: &Seen) -> bool {
        let role = match self.field {
            Field::Opening => Role::Opened,
            Field::Temporary if self.has(Role::Placed) => Role::Placed,
            Field::Part | Field::HeldBy | Field::Temporary => Role::Moved,
            Field::Tool => Role::Tool,
            Field::Fluid => Role::Fluid,
            Field::Boundary => Role::Energy,
            Field::Also | Field::Stays => return true,
        };
        seen.noticed.role == role
    }
}

/// Last words of names of what is put in for a job, in general.
const TEMPORARY_HEADS: &str = "block blank cap wedge chock bung prop stop";

impl Field {
    /// Returns what a thing of this field is called in a question.
    fn a_word(self) -> &'static str {
        match self {
            Self::Part | Self::HeldBy => "a part",
            Self::Opening => "an opening",
            Self::Temporary => "a temporary item",
            Self::Tool => "a tool",
            Self::Fluid => "a fluid",
            Self::Also => "another word",
            Self::Boundary => "a boundary",
            Self::Stays => "a part that stays",
        }
    }
}

fn words_of(name: &str) -> Vec<String> {
    name.split([' ', '-', '/']).map(key).collect()
}

/// Returns the vocabulary as it would be if every candidate were taken.
fn with(vocabulary: &Vocabulary, candidates: &[Candidate]) -> Vocabulary {
    let noun = |candidate: &Candidate| {
        let kind = match candidate.field {
            Field::Part | Field::HeldBy | Field::Stays => NounKind::Part,
            Field::Opening => NounKind::Opening,
            Field::Temporary => NounKind::Temporary,
            Field::Tool => NounKind::Tool,
            Field::Fluid => NounKind::Fluid,
            Field::Boundary => NounKind::Point,
            Field::Also => return None,
        };
        let count = match candidate.number() {
            Number::Known(number) => Some(number),
            Number::Perhaps(_) | Number::Unknown => None,
        };
        Some(Noun { name: candidate.name.clone(), kind, also: Vec::new(), count, of: String::new() })
    };
    let nouns = vocabulary.nouns.iter().cloned().chain(candidates.iter().filter_map(noun));
    Vocabulary { nouns: nouns.collect() }
}

/// Returns what the steps move, in order.
fn moves(steps: &[(u32, &Step)], vocabulary: &Vocabulary, verbs: &Verbs) -> Vec<Move> {
    let lexicon = Lexicon::of(vocabulary);
    let mut moves = Vec::new();
    for (number, step) in steps {
        let only = step.only.as_ref().map(|only| only.words.clone()).unwrap_or_default();
        for read in read_step_with(step, &lexicon, verbs) {
            let SentenceRead { class, actions, sentence, .. } = read;
            let is_moving = |action: &Action| action.act.moves() && !action.conditional;
            for action in actions.into_iter().filter(is_moving) {
                let is_part =
                    vocabulary.nouns.iter().any(|noun| noun.name == action.thing && noun.kind == NounKind::Part);
                moves.push(Move {
                    step: *number,
                    only: only.clone(),
                    sentence: sentence.text.clone(),
                    is_sure: class == Class::Read,
                    is_part,
                    action,
                });
            }
        }
    }
    moves
}
