//! The name in a noun phrase: known, shortened, with a word too many, or unknown; it never guesses between two.

use crate::language::inflect::{Form, singular};
use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::matching::FoundWhat;
use crate::language::memory::{Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::Doubt;

impl Parser<'_> {
    /// Reads a name that was found, and the sides and properties behind it.
    pub(super) fn known(&mut self, at: usize, end: usize, what: &FoundWhat) -> (Thing, usize) {
        let mut thing = Thing::unknown(self.name_words(at, end), (at, end));
        thing.what = match what {
            FoundWhat::Nouns(nouns) => What::Nouns(nouns.clone()),
            FoundWhat::Talk(talk) => What::Talk(*talk),
        };
        let mut end = end;
        while self.may_extend(end) {
            match self.found(end) {
                Some(found) => {
                    let next = end + found.length;
                    if !self.joins(&mut thing, &found.what, (end, next)) {
                        return self.swallow(at, next);
                    }
                    end = next;
                }
                None => return self.swallow(at, end),
            }
        }
        (thing, end)
    }

    /// Joins a name to the one before it; false where the two do not go together.
    pub(super) fn joins(&self, thing: &mut Thing, next: &FoundWhat, range: (usize, usize)) -> bool {
        let kinds =
            |nouns: &[usize], kinds: &[NounKind]| nouns.iter().all(|at| kinds.contains(&self.lexicon.noun(*at).kind));
        match (&thing.what, next) {
            // `casing joint face`, `casing temperature`.
            (What::Nouns(_), FoundWhat::Talk(Talk::Feature | Talk::Property | Talk::Energy)) => thing.is_feature = true,
            (What::Nouns(nouns), FoundWhat::Talk(_))
                if kinds(nouns, &[NounKind::Inert, NounKind::Reading, NounKind::Boundary, NounKind::Machine]) =>
            {
                thing.what = What::Talk(Talk::Paper);
            }
            (What::Talk(_), FoundWhat::Talk(talk)) => thing.what = What::Talk(*talk),
            (What::Nouns(first), FoundWhat::Nouns(second)) => {
                // `torque wrench TW-2` names one thing twice; `pump shaft` and `shaft key` name a thing by its owner.
                if second.iter().any(|at| first.contains(at)) {
                    thing.what = What::Nouns(second.iter().filter(|at| first.contains(at)).copied().collect());
                } else if kinds(first, &[NounKind::Machine])
                    || self.belongs(second, first)
                    || self.is_value_of(first, second)
                {
                    thing.what = What::Nouns(second.clone());
                } else {
                    return false;
                }
                thing.words = self.name_words(range.0, range.1);
            }
            // `plug V-2`, `sleeve {seal sleeve}`: an identifier after a general word.
            (What::Talk(_), FoundWhat::Nouns(second))
                if kinds(second, &[NounKind::Tool, NounKind::Fluid, NounKind::Value, NounKind::Reading]) =>
            {
                thing.what = What::Nouns(second.clone());
                thing.words = self.name_words(range.0, range.1);
            }
            _ => return false,
        }
        true
    }

    /// Returns whether every one of `nouns` belongs to one of `owners`.
    pub(super) fn belongs(&self, nouns: &[usize], owners: &[usize]) -> bool {
        let owns = |of: &str| !of.is_empty() && self.lexicon.exactly(of).iter().any(|at| owners.contains(at));
        nouns.iter().all(|at| owns(&self.lexicon.noun(*at).of))
    }

    /// Returns whether a value stands behind a tool's general name.
    pub(super) fn is_value_of(&self, first: &[usize], second: &[usize]) -> bool {
        let is_value = second.iter().all(|at| self.lexicon.noun(*at).name.starts_with('{'));
        let kind = |nouns: &[usize]| nouns.first().map(|at| self.lexicon.noun(*at).kind);
        is_value && (kind(first) == kind(second) || kind(first) == Some(NounKind::Reading))
    }

    /// Returns whether the item at `at` goes on with a name.
    pub(super) fn may_extend(&self, at: usize) -> bool {
        let Some(item) = self.item(at) else { return false };
        let ends = role::PREPOSITION
            | role::CONJUNCTION
            | role::PARTICLE
            | role::AUXILIARY
            | role::NEGATION
            | role::SUBORDINATOR
            | role::PRONOUN
            | role::DETERMINER
            | role::QUANTIFIER
            | role::POSSESSIVE
            | role::SEQUENCE;
        match item.kind {
            Kind::Number => self.is_label(at),
            Kind::Value => {
                self.found(at).is_some() && self.item(at - 1).is_some_and(|before| before.kind == Kind::Word)
            }
            Kind::See | Kind::Mark(_) => false,
            Kind::Word if self.says_all(at, "complete with") || self.is_state(at) => false,
            Kind::Word if item.is(ends) || self.manner_end(at).is_some() || self.hand_tight_end(at).is_some() => false,
            Kind::Word if item.is(role::ADVERB) => self.is_noun(at),
            Kind::Word if item.number.is_some() => false,
            Kind::Word => !self.is_participle(at) && !self.is_finite(at) && !self.is_plain_order(at),
        }
    }

    /// Returns whether an order with a determined object stands at `at` (`from the shaft remove the key`).
    pub(super) fn is_plain_order(&self, at: usize) -> bool {
        let determined = role::DETERMINER | role::QUANTIFIER | role::PRONOUN | role::POSSESSIVE | role::NEW;
        self.found(at).is_none()
            && self.verb_at(at, &[Form::Base]).is_some_and(|found| {
                let next = at + found.length;
                self.is(next, determined) || self.item(next).is_some_and(|item| item.number.is_some())
            })
    }

    /// Returns whether a number stands behind a name as its label (`bolt 3`), with no unit after it.
    pub(super) fn is_label(&self, at: usize) -> bool {
        !self.is(at + 1, role::UNIT)
    }

    /// Returns whether the word at `at` is the participle of a verb (`the nut fitted before`).
    pub(super) fn is_participle(&self, at: usize) -> bool {
        self.found(at).is_none()
            && self.verb_at(at, &[Form::Past, Form::Gerund]).is_some_and(|found| found.form != Form::Base)
    }

    /// Returns whether the word at `at` is what the noun before it does (`that the shaft turns`).
    pub(super) fn is_finite(&self, at: usize) -> bool {
        let is_verb = self.verb_at(at, &[Form::Third]).is_some() && self.found(at).is_none();
        is_verb
            && (self.item(at + 1).is_none_or(|item| {
                item.is(role::ADVERB | role::PREPOSITION | role::CONJUNCTION | role::DETERMINER | role::PARTICLE)
            }))
            && self.lexicon.shortened(&self.items[at..=at]).is_empty()
    }

    /// Reads a name that is longer than what the registers know: it ends where the phrase ends.
    pub(super) fn swallow(&mut self, from: usize, mut end: usize) -> (Thing, usize) {
        while self.may_extend(end) {
            end += 1;
        }
        let (thing, end) = self.unknown_until(from, end);
        (thing, end)
    }

    pub(super) fn unknown(&mut self, at: usize) -> Option<(Thing, usize)> {
        let mut end = at;
        while self.item(end).is_some_and(|item| item.kind == Kind::Word) && (end == at || self.may_extend(end)) {
            let is_small = role::CONJUNCTION
                | role::AUXILIARY
                | role::NEGATION
                | role::SUBORDINATOR
                | role::DETERMINER
                | role::QUANTIFIER;
            if self.is(end, is_small | role::PREPOSITION | role::PARTICLE) {
                break;
            }
            end += 1;
        }
        // A value that no register knows stands for something all the same.
        if end == at && self.is_kind(at, Kind::Value) {
            return Some((Thing::unknown(self.words(at, at + 1), (at, at + 1)), at + 1));
        }
        (end > at).then(|| self.unknown_until(at, end))
    }

    /// Reads words that are no name as a whole: a shortened name, a known name with a word before it, or nothing known.
    pub(super) fn unknown_until(&mut self, from: usize, end: usize) -> (Thing, usize) {
        let words = self.name_words(from, end);
        let mut thing = Thing::unknown(words.clone(), (from, end));
        let items = &self.items[from..end];
        let short = self.lexicon.shortened(items);
        let (points, others): (Vec<usize>, Vec<usize>) =
            short.iter().copied().partition(|at| self.lexicon.noun(*at).kind == NounKind::Point);
        match others[..] {
            [] if !points.is_empty() => {
                thing.what = What::Points;
                return (thing, end);
            }
            [] => {}
            [only] if points.is_empty() => {
                thing.what = What::Nouns(vec![only]);
                if !self.is_sure_short(only, items.len()) {
                    thing.doubts.push(Doubt::Name(words, vec![self.lexicon.noun(only).name.clone()]));
                }
                return (thing, end);
            }
            _ if self.is_one_kind_of_tool(&others) && points.is_empty() => {
                thing.what = What::Nouns(others);
                return (thing, end);
            }
            _ => {
                let names = short.iter().map(|at| self.lexicon.noun(*at).name.clone()).collect();
                thing.doubts.push(Doubt::Name(words, names));
                thing.what = What::Nouns(short);
                return (thing, end);
            }
        }
        // A word before a name may say which one, or that it is another thing altogether.
        let suffix = (from + 1..end).find_map(|start| {
            let found = self.found(start)?;
            let reaches = start + found.length == end || (start + found.length..end).all(|at| self.talk(at).is_some());
            matches!(&found.what, FoundWhat::Nouns(_)).then_some(())?;
            reaches.then_some(&found.what)
        });
        if let Some(FoundWhat::Nouns(nouns)) = suffix {
            let names = nouns.iter().map(|at| self.lexicon.noun(*at).name.clone()).collect();
            thing.doubts.push(Doubt::Name(words, names));
            thing.what = What::Nouns(nouns.clone());
            return (thing, end);
        }
        // `cover joint`: a side of what the registers know by a longer name.
        let is_side =
            |at: usize| matches!(self.talk(at), Some((Talk::Feature | Talk::Property, length)) if at + length == end);
        if let Some(side) = (from + 1..end).find(|at| is_side(*at)) {
            let (mut owner, _) = self.unknown_until(from, side);
            if !owner.nouns().is_empty() {
                owner.is_feature = true;
                return (owner, end);
            }
        }
        // Procedure talk may take any word before it (`a diagonal pattern`, `the signed permit`).
        if let Some((talk, _)) = self.talk_that_ends(from, end)
            && !(from..end).any(|at| self.is_noun(at))
        {
            thing.what = What::Talk(talk);
        }
        (thing, end)
    }

    pub(super) fn talk_that_ends(&self, from: usize, end: usize) -> Option<(Talk, usize)> {
        let talk = (from + 1..end).find_map(|at| self.talk(at).filter(|(_, length)| at + length == end))?;
        matches!(
            talk.0,
            Talk::Paper | Talk::Feature | Talk::Energy | Talk::Manner | Talk::Property | Talk::Person | Talk::Place
        )
        .then_some(talk)
    }

    /// Returns whether a shortened name can only be this noun: it was named in this step, or two of its words are said.
    pub(super) fn is_sure_short(&self, noun: usize, words: usize) -> bool {
        let kind = self.lexicon.noun(noun).kind;
        words > 1
            || matches!(kind, NounKind::Reading | NounKind::Inert | NounKind::Tool)
            || self.memory.last.iter().any(|thing| thing.nouns() == [noun])
            || [&self.memory.on, &self.memory.off, &self.memory.new].into_iter().any(|set| set.contains(&noun))
    }

    /// Returns whether all are tools that share a name up to their size.
    pub(super) fn is_one_kind_of_tool(&self, nouns: &[usize]) -> bool {
        nouns.iter().all(|at| self.lexicon.noun(*at).kind == NounKind::Tool)
    }

    /// Returns the words of a name, the last in the singular.
    pub(super) fn name_words(&self, from: usize, end: usize) -> String {
        let items = self.items.get(from..end).unwrap_or_default();
        let mut words: Vec<String> = items.iter().map(|item| item.text.clone()).collect();
        if let Some(last) = words.last_mut() {
            *last = singular(last).into_owned();
        }
        words.join(" ")
    }

    /// Returns whether the registers say that the thing is always at, on or of one of these nouns.
    pub(super) fn is_always_of(&self, thing: &Thing, nouns: &[usize]) -> bool {
        let is_machine = |at: &usize| matches!(self.lexicon.noun(*at).kind, NounKind::Machine);
        !nouns.is_empty() && (nouns.iter().all(is_machine) || self.belongs(thing.nouns(), nouns))
    }

    /// Returns whether a thing is a number, range or text: a value that is no tool and no fluid, or typed figures.
    pub(super) fn is_figure(&self, thing: &Thing) -> bool {
        let is_value = |at: &usize| self.lexicon.noun(*at).kind == NounKind::Value;
        thing.what == What::Quantity
            || (!thing.nouns().is_empty() && thing.nouns().iter().all(is_value))
            || (thing.what == What::Unknown && thing.words.starts_with('{'))
    }
}
