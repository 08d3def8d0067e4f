//! Pronouns and `its`: what they stand for in this step, and where that is not sure.

use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::memory::{Said, Thing, Trust, What};
use crate::language::parser::Parser;
use crate::language::reading::{Doubt, Obstacle};

impl Parser<'_> {
    /// Reads a noun phrase of a list; `its` means the thing before it (`the rotor and its key`).
    pub(super) fn thing_after(&mut self, at: usize, before: &[Thing]) -> Option<(Vec<Thing>, usize)> {
        if !self.is(at, role::POSSESSIVE) {
            return self.thing(at);
        }
        let memory = self.memory.clone();
        self.memory.last = before.last().cloned().into_iter().collect();
        self.memory.trust = Trust::Known;
        let read = self.thing(at);
        self.memory = memory;
        read
    }

    /// Resolves `its X` against what was named last.
    pub(super) fn owned_by_last(&mut self, thing: &mut Thing) {
        if self.memory.trust == Trust::Poisoned {
            self.obstacle.get_or_insert(Obstacle::Pronoun("its".to_owned()));
            return;
        }
        let owners: Vec<usize> = self.memory.last.iter().flat_map(|last| last.nouns().to_vec()).collect();
        let nouns = thing.nouns().to_vec();
        let has_owner = |at: &usize| {
            let of = &self.lexicon.noun(*at).of;
            !of.is_empty() && self.lexicon.exactly(of).iter().any(|own| owners.contains(own))
        };
        let owned: Vec<usize> = nouns.iter().copied().filter(|at| has_owner(at)).collect();
        if let [one] = owned[..] {
            thing.doubts.retain(|doubt| !matches!(doubt, Doubt::Name(..)));
            thing.what = What::Nouns(vec![one]);
            return;
        }
        let is_unique =
            nouns.len() == 1 && nouns.iter().all(|at| self.lexicon.noun(*at).of.is_empty()) && !owners.is_empty();
        if !is_unique && !matches!(thing.what, What::Talk(_) | What::Unknown | What::Quantity) {
            thing.doubts.push(Doubt::Pronoun("its".to_owned()));
        }
    }

    /// Returns the end of a pronoun that stands for itself at `at`.
    pub(super) fn pronoun_end(&self, at: usize) -> Option<usize> {
        if let Some(end) = self.new_one_end(at) {
            return Some(end);
        }
        let item = self.item(at)?;
        if !item.is(role::PRONOUN) || self.found(at).is_some_and(|found| found.length > 1) {
            return None;
        }
        if ["both", "all", "each", "one", "some", "any"].contains(&item.text.as_str())
            && self.says(at + 1, "of")
            && self.is(at + 2, role::PRONOUN)
            && !self.may_be_core(at + 3)
        {
            return Some(at + 3);
        }
        if (item.says("all") || item.says("these") || item.says("the"))
            && self.item(at + 1).is_some_and(|next| next.number.is_some())
            && !self.may_be_core(at + 2)
        {
            return Some(at + 2);
        }
        if item.is(role::DETERMINER | role::QUANTIFIER) || item.number.is_some() || item.is(role::SELECTIVE) {
            let stands_alone = (!self.may_be_core(at + 1) || self.is_state(at + 1))
                && !self.is(at + 1, role::DETERMINER | role::POSSESSIVE)
                && !self.says(at + 1, "of");
            let is_value = self.is_kind(at + 1, Kind::Value);
            return (stands_alone && !is_value).then_some(at + 1);
        }
        Some(at + 1)
    }

    /// Returns the end of `a new one`.
    pub(super) fn new_one_end(&self, at: usize) -> Option<usize> {
        let at = if self.is(at, role::DETERMINER) { at + 1 } else { at };
        let is_one = self.is(at, role::NEW) && (self.says(at + 1, "one") || self.says(at + 1, "ones"));
        (is_one && !self.may_be_core(at + 2)).then_some(at + 2)
    }

    /// Returns whether the last word of what belongs together says how a thing is left (`leave both open`).
    pub(super) fn is_state(&self, at: usize) -> bool {
        const STATES: [&str; 16] = [
            "empty",
            "idle",
            "open",
            "closed",
            "shut",
            "loose",
            "free",
            "clean",
            "dry",
            "tight",
            "together",
            "locked",
            "running",
            "apart",
            "hanging",
            "connected",
        ];
        STATES.iter().any(|state| self.says(at, state)) && !self.may_be_core(at + 1)
    }

    /// Resolves a pronoun.
    pub(super) fn pronoun(&mut self, at: usize, end: usize) -> Vec<Thing> {
        let words = self.words(at, end);
        let mut unresolved = Thing::unknown(words.clone(), (at, end));
        unresolved.is_pronoun = true;
        if ["nothing", "anything", "something", "itself", "themselves", "everything"].contains(&words.as_str()) {
            unresolved.what = What::Talk(Talk::Anything);
            return vec![unresolved];
        }
        match self.memory.trust {
            Trust::Poisoned => {
                self.obstacle.get_or_insert(Obstacle::Pronoun(words));
                return vec![unresolved];
            }
            Trust::Start => {
                unresolved.doubts.push(Doubt::Pronoun(words));
                return vec![unresolved];
            }
            Trust::Known | Trust::Doubtful => {}
        }
        let mut things = self.memory.last.clone();
        let fits = self.pronoun_fits(&words, &things);
        if things.is_empty() {
            unresolved.doubts.push(Doubt::Pronoun(words));
            return vec![unresolved];
        }
        for thing in &mut things {
            thing.is_pronoun = true;
            thing.is_new |= words.ends_with(" one") || words.ends_with(" ones");
            thing.limit = None;
            thing.is_indefinite = false;
            thing.range = (at, end);
            thing.doubts.clear();
        }
        if !fits || self.memory.trust == Trust::Doubtful {
            things[0].doubts.push(Doubt::Pronoun(words));
        }
        things
    }

    /// Returns whether a pronoun can stand for the things in number.
    pub(super) fn pronoun_fits(&self, words: &str, things: &[Thing]) -> bool {
        let is_one = |thing: &Thing| matches!(thing.said, Said::Singular | Said::One);
        let number = |thing: &Thing| match thing.said {
            Said::Singular | Said::One => Some(1),
            Said::Number(number) => Some(number),
            Said::Plural | Said::Each => match thing.nouns() {
                [only] => self.lexicon.noun(*only).count,
                _ => None,
            },
        };
        let total = || things.iter().map(number).sum::<Option<u32>>();
        match words {
            "it" => {
                matches!(things, [only] if is_one(only) || (only.said == Said::Each && matches!(only.what, What::Talk(_))))
            }
            "a new one" | "the new one" | "a replacement one" => matches!(things, [only] if is_one(only)),
            "new ones" | "the new ones" => matches!(things, [only] if !is_one(only)),
            "them" | "they" | "these" | "those" | "all" | "all of them" | "each" | "each of them" | "each one" => {
                things.len() > 1 || things.iter().any(|thing| !is_one(thing))
            }
            "both" | "both of them" => total() == Some(2),
            _ => {
                let said = words
                    .split(' ')
                    .find_map(|word| crate::language::listed::number(word).or_else(|| word.parse().ok()));
                words.starts_with("all ") && said.is_some() && total() == said
            }
        }
    }
}
