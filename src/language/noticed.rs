//! What the clauses of a sentence name, and in which role, whether a register knows it or not; it applies nothing.
//!
//! The reader stops at the first noun that no register knows. Here the same clauses are walked to the end of the sentence, so
//! that everything is seen that a register lacks.

use crate::language::action::Act;
use crate::language::clause::{Clause, Phrase};
use crate::language::inflect::{Form, singular};
use crate::language::item::{Item, Kind, items, key};
use crate::language::listed::{Talk, is_tool_head, role, talk};
use crate::language::matching::Lexicon;
use crate::language::memory::{Memory, Said, Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::Doubt;
use crate::language::sentence::Sentence;
use crate::language::verb::{Sense, Verbs};

/// A name in a sentence.
#[derive(Clone, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a word that was seen, or was not")]
pub(super) struct Noticed {
    /// Its words as written, the last in the singular.
    pub(super) name: String,
    /// Its words in the singular run together.
    pub(super) key: String,
    /// What the clause does with it.
    pub(super) role: Role,
    /// How many, as the words say.
    pub(super) said: Said,
    /// `new`.
    pub(super) is_new: bool,
    /// Stands behind `the`, `both`, `all` or the like: what is there, not some of it.
    pub(super) is_definite: bool,
    /// True where words beside it may limit it to some (`the cover of the gearbox`).
    pub(super) is_limited: bool,
    /// True where there may be one at each of several places (`the vent on both sides`).
    pub(super) is_spread: bool,
    /// True where the role rests on a verb that is used in more than one way.
    pub(super) is_perhaps: bool,
    /// True where it stands in a list whose last noun may be shared (`upper and lower bearing`).
    pub(super) is_headless: bool,
    /// Stands behind `its` or `their`: whose it is, the words do not say.
    pub(super) is_owned: bool,
    /// Names of the registers it may be another word for; empty where it is none of them.
    pub(super) like: Vec<String>,
}

/// What a clause does with a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Role {
    /// Taken off, fitted, loosened, tightened or thrown away.
    Moved,
    /// Opened or shut.
    Opened,
    /// Put in to come out again: what stands behind `with` after `plug`, `blank` or `wedge`.
    Placed,
    /// Worked with.
    Tool,
    /// Put onto something.
    Fluid,
    /// Locked, switched or run.
    Energy,
    /// Only named: looked at, wiped, held, or the place where something is done.
    Named,
}

/// Returns what a sentence names that no register knows as it stands.
pub(super) fn noticed(sentence: &Sentence, lexicon: &Lexicon<'_>, verbs: &Verbs) -> Vec<Noticed> {
    let mut items = items(sentence);
    settle_plurals(&mut items, verbs);
    let names: Vec<_> = (0..items.len()).map(|at| lexicon.longest_at(&items, at)).collect();
    let mut parser = Parser {
        items: &items,
        names: &names,
        lexicon,
        verbs,
        memory: Memory::default(),
        actions: Vec::new(),
        doubts: Vec::new(),
        obstacle: None,
        missing_tools: Vec::new(),
        mentions: Vec::new(),
        is_third: false,
        is_subject: false,
        is_phrase: false,
        is_conditional: false,
        deferred: Vec::new(),
    };
    let mut found = Vec::new();
    let mut fronted = Vec::new();
    let mut at = 0;
    while at < items.len() {
        let start = parser.clause_start(at);
        if start >= items.len() {
            break;
        }
        at = parser.notice(start, &mut fronted, &mut found).max(start + 1);
    }
    found
}

/// Last words of names that are verbs as well, in general: what fastens, closes or seals.
const ALSO_VERBS: &str = "bolt screw nut pin clamp clip rivet strap latch dowel stake seal plug cap cover block wedge chock key spring chain tie \
    shim blank guard vent drain hook wire tape sleeve shield gasket bush";

/// Takes `bolts` behind another noun as a plural, not as what the noun before it does; the reader may ask, here a name is cut
/// short otherwise.
fn settle_plurals(items: &mut [Item], verbs: &Verbs) {
    for at in 1..items.len() {
        let is_noun = items[at - 1].kind == Kind::Word && items[at - 1].roles == 0;
        let acts = items.get(at + 1).is_some_and(|next| {
            next.is(role::DETERMINER | role::QUANTIFIER | role::PRONOUN | role::POSSESSIVE) || next.number.is_some()
        });
        let one = singular(&items[at].text).into_owned();
        let is_third = verbs.beginning(&items[at].text).any(|(form, _)| form == Form::Third);
        if is_noun && !acts && is_third && ALSO_VERBS.split_whitespace().any(|word| word == one) {
            items[at].text = one;
        }
    }
}

impl<'a> Parser<'a> {
    /// Walks one clause, takes what it names, and returns its end.
    fn notice(&mut self, start: usize, fronted: &mut Vec<Phrase>, found: &mut Vec<Noticed>) -> usize {
        if let Some(next) = self.is_ban(start) {
            let verb = self.after_adverbs(next);
            let is_order = self.verb_at(verb, &[Form::Base]).is_some();
            return if is_order { self.body(&mut Clause::default(), verb, Form::Base) } else { self.skip(verb) };
        }
        let is_order =
            self.is_order(start) || (self.verb_at(start, &[Form::Base]).is_some() && self.subject_end(start).is_none());
        let order = if is_order {
            Some((start, Form::Base))
        } else if self.is_next_third(start) {
            Some((start, Form::Third))
        } else {
            let form = |verb| if self.verb_at(verb, &[Form::Third]).is_some() { Form::Third } else { Form::Base };
            self.person_acts(start).map(|verb| (verb, form(verb)))
        };
        if let Some((verb, form)) = order {
            let mut clause = Clause { from: start, phrases: std::mem::take(fronted), ..Clause::default() };
            let end = self.body(&mut clause, verb, form);
            self.take(clause, found);
            return end;
        }
        if self.is(start, role::SUBORDINATOR) && !self.says(start, "that") {
            return self.main_after(start).map_or(self.items.len(), |(end, _)| end);
        }
        if self.is(start, role::PREPOSITION) {
            return self.fronted(start, fronted);
        }
        match self.subject_end(start) {
            Some(auxiliary) => self.notice_passive(start, auxiliary, found),
            None => self.skip(start),
        }
    }

    /// Walks a passive (`the cover must be removed`).
    fn notice_passive(&mut self, start: usize, auxiliary: usize, found: &mut Vec<Noticed>) -> usize {
        self.is_subject = true;
        let (objects, _) = self.things(start);
        self.is_subject = false;
        let mut at = auxiliary;
        let (mut is_banned, mut is_duty) = (false, false);
        let chain = role::AUXILIARY | role::NEGATION | role::SEQUENCE | role::ADVERB;
        while self.item(at).is_some_and(|item| item.is(chain) || item.says("to")) {
            is_banned |= self.is(at, role::NEGATION);
            is_duty |= ["must", "shall", "should", "need", "needs", "to"].iter().any(|word| self.says(at, word));
            at += 1;
        }
        let Some(verb) = self.verb_at(at, &[Form::Past]).filter(|_| !objects.is_empty()) else { return self.skip(at) };
        let mut clause = Clause { from: start, objects, ..Clause::default() };
        clause.verbs.push(verb.verb);
        let end = self.tail(&mut clause, at + verb.length);
        if !is_banned && is_duty {
            self.take(clause, found);
        }
        end
    }

    /// Takes what a clause names.
    fn take(&mut self, mut clause: Clause<'a>, found: &mut Vec<Noticed>) {
        let senses: Vec<Sense> = self.with_particle(&clause).iter().map(|verb| verb.sense).collect();
        let roles = || senses.iter().map(|sense| role_of(*sense));
        let (mut role, is_perhaps) = roles().min().unwrap_or((Role::Named, true));
        let has_with = clause.phrases.iter().any(|phrase| phrase.word == "with");
        let is_fluid = senses.contains(&Sense::Fluid);
        if is_fluid && !has_with && clause.phrases.iter().any(is_onto) {
            role = Role::Fluid;
        }
        let is_at = clause.phrases.iter().any(is_place);
        let is_spread = clause.phrases.iter().any(is_many_places);
        let first = found.len();
        for thing in std::mem::take(&mut clause.objects) {
            let more = self.notice_thing(&thing, role, is_perhaps);
            let joined = |more: Noticed| Noticed {
                is_limited: more.is_limited || is_at,
                is_spread: more.is_spread || is_spread,
                ..more
            };
            found.extend(more.map(joined));
        }
        mark_headless(&mut found[first..]);
        for phrase in std::mem::take(&mut clause.phrases) {
            for thing in &phrase.things {
                let (role, is_perhaps) = match phrase.word.as_str() {
                    "with" => role_behind_with(thing, (role, is_perhaps), &senses),
                    _ => (Role::Named, false),
                };
                found.extend(self.notice_thing(thing, role, is_perhaps));
            }
        }
    }

    /// Returns what is named, unless a register or procedure talk knows it.
    fn notice_thing(&self, thing: &Thing, role: Role, is_perhaps: bool) -> Option<Noticed> {
        let mut is_perhaps = is_perhaps;
        let like: Vec<String> = match &thing.what {
            What::Unknown if thing.is_pronoun => return None,
            What::Unknown => Vec::new(),
            What::Nouns(_) if thing.is_pronoun || thing.is_feature => return None,
            What::Nouns(nouns) if self.is_only_like_a_tool(thing, nouns) && role == Role::Moved => Vec::new(),
            What::Nouns(nouns) => {
                let kinds = || nouns.iter().map(|at| self.lexicon.noun(*at).kind);
                if kinds().any(|kind| matches!(kind, NounKind::Reading | NounKind::Value | NounKind::Inert)) {
                    return None;
                }
                let names = thing.doubts.iter().find_map(named_doubt)?;
                let is_energy =
                    kinds().all(|kind| matches!(kind, NounKind::Point | NounKind::Boundary | NounKind::Machine));
                if is_energy { Vec::new() } else { names }
            }
            // `guard panel` is a part, however `panel` is a word of procedure talk.
            What::Talk(Talk::Paper | Talk::Place | Talk::Property | Talk::Manner)
                if role == Role::Moved
                    && thing.words.contains(' ')
                    && talk(&thing.words.split(' ').map(key).collect::<String>()).is_none() =>
            {
                is_perhaps = true;
                Vec::new()
            }
            What::Points | What::Talk(_) | What::Quantity => return None,
        };
        is_perhaps |= matches!(thing.what, What::Nouns(_)) && like.is_empty();
        let name = self.name_as_written(thing)?;
        if role == Role::Named && self.lexicon.reading(&thing.words).is_some() {
            return None;
        }
        let asks = |doubt: &Doubt| matches!(doubt, Doubt::Words(_) | Doubt::Count(..) | Doubt::Pronoun(_));
        let first = self.item(thing.range.0)?;
        Some(Noticed {
            key: name.split_whitespace().map(key).collect(),
            name,
            role,
            said: thing.said,
            is_new: thing.is_new,
            is_definite: !thing.is_indefinite && first.is(role::DETERMINER | role::QUANTIFIER | role::POSSESSIVE),
            is_limited: thing.limit.is_some() || self.has_of(thing),
            is_spread: thing.is_owned || thing.doubts.iter().any(asks) || self.is_of_many(thing),
            is_perhaps,
            is_headless: false,
            is_owned: thing.is_owned,
            like,
        })
    }

    /// Returns whether a thing that is moved is only short for a tool (`the key` for a hex key): it is rather a part.
    fn is_only_like_a_tool(&self, thing: &Thing, nouns: &[usize]) -> bool {
        nouns.iter().all(|at| self.lexicon.noun(*at).kind == NounKind::Tool)
            && self.lexicon.exactly(&thing.words).is_empty()
    }

    /// Returns whether `of` and an owner stand behind a name.
    fn has_of(&self, thing: &Thing) -> bool {
        let (from, to) = thing.range;
        (from + 1..to).any(|at| self.says(at, "of") && !self.is(at - 1, role::QUANTIFIER)) || self.says(to, "of")
    }

    /// Returns whether more than one owner stands behind a name.
    fn is_of_many(&self, thing: &Thing) -> bool {
        let (from, to) = thing.range;
        let many = |at: usize| self.item(at).is_some_and(|item| item.is_plural || item.is(role::QUANTIFIER));
        self.has_of(thing) && (from + 1..to).skip_while(|at| !self.says(*at, "of")).any(many)
    }

    /// Returns the words of a name as written, the last in the singular; none for what cannot be a name.
    fn name_as_written(&self, thing: &Thing) -> Option<String> {
        let words: Vec<&str> = thing.words.split(' ').collect();
        let (from, to) = thing.range;
        let is_here = |at: usize| {
            let items = self.items.get(at..at + words.len()).unwrap_or_default();
            let mut pairs = items.iter().zip(&words);
            items.len() == words.len() && pairs.all(|(item, word)| item.text == *word || singular(&item.text) == *word)
        };
        let at = (from..to.max(from + 1)).find(|at| is_here(*at))?;
        let named = &self.items[at..at + words.len()];
        let is_word = |item: &Item| item.kind == Kind::Word && item.text.chars().any(char::is_alphabetic);
        if words.len() > MOST_WORDS || !named.iter().all(is_word) || named.iter().all(|item| item.roles != 0) {
            return None;
        }
        let mut shown: Vec<String> = named.iter().map(|item| item.raw.clone()).collect();
        if at == 0
            && let Some(first) = shown.first_mut()
            && named[0].text != first.to_uppercase()
        {
            first.clone_from(&named[0].text);
        }
        let last = named.last()?;
        if let Some(shown) = shown.last_mut() {
            *shown = one_of(&last.raw, &last.text);
        }
        Some(shown.join(" "))
    }
}

/// A phrase with more words than this is no name.
const MOST_WORDS: usize = 4;

/// Returns the names a doubt is about.
fn named_doubt(doubt: &Doubt) -> Option<Vec<String>> {
    match doubt {
        Doubt::Name(_, names) if !names.is_empty() => Some(names.clone()),
        _ => None,
    }
}

/// Returns whether a phrase says onto what a fluid goes.
fn is_onto(phrase: &Phrase) -> bool {
    matches!(phrase.word.as_str(), "to" | "on" | "onto" | "over" | "into" | "in") && !phrase.things.is_empty()
}

/// Returns whether a phrase says where a thing is, so that there may be others elsewhere.
fn is_place(phrase: &Phrase) -> bool {
    let is_where =
        matches!(phrase.word.as_str(), "on" | "at" | "of" | "in" | "for" | "per" | "near" | "beside" | "between");
    is_where
        && phrase.things.iter().any(|thing| !matches!(thing.what, What::Talk(Talk::Manner | Talk::Place | Talk::Aid)))
}

/// Returns whether a phrase names several places or owners.
fn is_many_places(phrase: &Phrase) -> bool {
    let is_many = |thing: &Thing| !matches!(thing.said, Said::Singular | Said::One) && thing.what != What::Quantity;
    let is_calm = |thing: &Thing| matches!(thing.what, What::Talk(Talk::Manner | Talk::Aid | Talk::Wear));
    let counts = !matches!(phrase.word.as_str(), "with" | "to");
    (counts && phrase.things.iter().any(|thing| is_many(thing) && !is_calm(thing))) || phrase.word == "per"
}

/// Returns a word in the singular, in the letters it is written in.
fn one_of(raw: &str, text: &str) -> String {
    let one = singular(text);
    match raw.get(..one.len()).filter(|start| start.to_lowercase() == *one) {
        Some(start) => start.to_owned(),
        None => one.into_owned(),
    }
}

/// Returns what a verb does with its object, and whether that is a guess.
fn role_of(sense: Sense) -> (Role, bool) {
    let moved = |act: Act| match act {
        Act::Off | Act::Discard | Act::Stores | Act::On | Act::New | Act::Loosen | Act::Snug | Act::Tighten => {
            Role::Moved
        }
        Act::Open | Act::Shut => Role::Opened,
        Act::Lock | Act::Unlock | Act::Run | Act::Halt => Role::Energy,
        Act::Place | Act::Take => Role::Placed,
        Act::Use => Role::Tool,
        _ => Role::Named,
    };
    match sense {
        Sense::Act(act) => (moved(act), false),
        Sense::Renew => (Role::Moved, false),
        Sense::Ambiguous(act) => (moved(act), true),
        Sense::Directional | Sense::FastenWith | Sense::Rest | Sense::Return => (Role::Moved, true),
        Sense::Fluid | Sense::PlaceWith | Sense::Neutral | Sense::Causative | Sense::Spin | Sense::Put | Sense::Try => {
            (Role::Named, false)
        }
    }
}

/// Returns what stands behind `with`, and whether that is a guess.
fn role_behind_with(thing: &Thing, (role, is_perhaps): (Role, bool), senses: &[Sense]) -> (Role, bool) {
    let head = thing.words.rsplit([' ', '-']).next().unwrap_or_default();
    let is = |sense: Sense| senses.contains(&sense);
    if is(Sense::PlaceWith) {
        return (Role::Placed, false);
    }
    if is(Sense::Fluid) {
        return (Role::Fluid, is_tool_head(head));
    }
    if is(Sense::FastenWith) || thing.is_owned {
        return (Role::Moved, true);
    }
    if is_tool_head(head) {
        return (Role::Tool, false);
    }
    let turns = |sense: &Sense| matches!(sense, Sense::Act(Act::Loosen | Act::Tighten | Act::Snug));
    match role {
        Role::Moved if !senses.iter().any(turns) => (Role::Moved, true),
        _ if is(Sense::Act(Act::Wipe)) || is(Sense::Act(Act::Fill)) => (Role::Fluid, true),
        _ => (Role::Tool, is_perhaps || !senses.iter().any(|sense| matches!(sense, Sense::Act(_)))),
    }
}

/// Marks names whose head may be the last of their list.
fn mark_headless(list: &mut [Noticed]) {
    let Some((last, before)) = list.split_last_mut() else { return };
    if last.is_definite || !last.name.contains(' ') {
        return;
    }
    for name in before.iter_mut().filter(|name| !name.name.contains(' ')) {
        name.is_headless = true;
    }
}
