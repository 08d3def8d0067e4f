//! A sentence on its way to actions: a cursor over its items and what was found so far; it decides nothing about a machine.

use crate::language::action::Action;
use crate::language::inflect::Form;
use crate::language::item::{Item, Kind};
use crate::language::listed::{Talk, role};
use crate::language::matching::{Found, FoundWhat, Lexicon};
use crate::language::memory::Memory;
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::{Verb, Verbs};

/// A sentence on its way to actions.
#[expect(clippy::struct_excessive_bools, reason = "each is a word that was read, or was not")]
pub(super) struct Parser<'a> {
    /// Its items.
    pub(super) items: &'a [Item],
    /// The longest name that begins at each item.
    pub(super) names: &'a [Option<Found>],
    /// The names.
    pub(super) lexicon: &'a Lexicon<'a>,
    /// The verbs.
    pub(super) verbs: &'a Verbs,
    /// What the step has said, up to where the cursor stands.
    pub(super) memory: Memory,
    /// What it does.
    pub(super) actions: Vec<Action>,
    /// Why it is not sure.
    pub(super) doubts: Vec<Doubt>,
    /// What stopped it.
    pub(super) obstacle: Option<Obstacle>,
    /// Items of tools that no register knows.
    pub(super) missing_tools: Vec<(usize, usize)>,
    /// Names of tools and fluids that are only mentioned.
    pub(super) mentions: Vec<String>,
    /// True where a person's next verb may follow (`measures it and signs`).
    pub(super) is_third: bool,
    /// True while a subject is read: a list of names before `must`.
    pub(super) is_subject: bool,
    /// True while what stands behind a preposition is read.
    pub(super) is_phrase: bool,
    /// True after IF.
    pub(super) is_conditional: bool,
    /// Words before an order that may put it off.
    pub(super) deferred: Vec<String>,
}

/// A verb where it stands.
#[derive(Clone, Copy)]
pub(super) struct VerbUse<'a> {
    /// The verb.
    pub(super) verb: &'a Verb,
    /// Its form.
    pub(super) form: Form,
    /// How many items it takes.
    pub(super) length: usize,
}

impl<'a> Parser<'a> {
    /// Returns the item at `at`.
    pub(super) fn item(&self, at: usize) -> Option<&'a Item> {
        self.items.get(at)
    }

    /// Returns whether the item at `at` may be any of the given roles.
    pub(super) fn is(&self, at: usize, roles: u32) -> bool {
        self.item(at).is_some_and(|item| item.is(roles))
    }

    /// Returns whether the item at `at` is this word.
    pub(super) fn says(&self, at: usize, word: &str) -> bool {
        self.item(at).is_some_and(|item| item.says(word))
    }

    /// Returns whether these words begin at `at`.
    pub(super) fn says_all(&self, at: usize, words: &str) -> bool {
        words.split(' ').enumerate().all(|(step, word)| self.says(at + step, word))
    }

    /// Returns whether the item at `at` is this mark.
    pub(super) fn is_mark(&self, at: usize, mark: char) -> bool {
        self.item(at).is_some_and(|item| item.is_mark(mark))
    }

    /// Returns whether the item at `at` is of this kind.
    pub(super) fn is_kind(&self, at: usize, kind: Kind) -> bool {
        self.item(at).is_some_and(|item| item.kind == kind)
    }

    /// Returns the words from one item to another, with single spaces.
    pub(super) fn words(&self, from: usize, to: usize) -> String {
        let items = self.items.get(from..to.min(self.items.len())).unwrap_or_default();
        items.iter().map(|item| item.text.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// Returns the words from one item to another as written.
    pub(super) fn written(&self, from: usize, to: usize) -> String {
        let items = self.items.get(from..to.min(self.items.len())).unwrap_or_default();
        items.iter().map(|item| item.raw.as_str()).collect::<Vec<_>>().join(" ")
    }

    /// Returns the verb at `at`, its longest words first, in any of the given forms.
    pub(super) fn verb_at(&self, at: usize, forms: &[Form]) -> Option<VerbUse<'a>> {
        let item = self.item(at).filter(|item| item.kind == Kind::Word)?;
        self.verbs.beginning(&item.text).find_map(|(form, verb)| {
            let length = verb.words.split(' ').count();
            let fits = forms.contains(&form)
                && verb.words.split(' ').enumerate().skip(1).all(|(step, word)| self.says(at + step, word));
            fits.then_some(VerbUse { verb, form, length })
        })
    }

    /// Returns the name at `at`.
    pub(super) fn found(&self, at: usize) -> Option<&'a Found> {
        self.names.get(at)?.as_ref()
    }

    /// Returns whether a name of the registers begins at `at`.
    pub(super) fn is_noun(&self, at: usize) -> bool {
        self.found(at).is_some_and(|found| matches!(found.what, FoundWhat::Nouns(_)))
    }

    /// Returns the talk at `at` and its length.
    pub(super) fn talk(&self, at: usize) -> Option<(Talk, usize)> {
        match self.found(at)? {
            Found { what: FoundWhat::Talk(talk), length } => Some((*talk, *length)),
            Found { .. } => None,
        }
    }

    /// Returns whether a determiner, number, pronoun, value, `new` or name follows: what an object begins with.
    pub(super) fn is_object_start(&self, at: usize) -> bool {
        let Some(item) = self.item(at) else { return false };
        let roles =
            role::DETERMINER | role::QUANTIFIER | role::PRONOUN | role::POSSESSIVE | role::NEW | role::ADJECTIVE;
        item.kind == Kind::Value
            || item.kind == Kind::Number
            || item.number.is_some()
            || item.is(roles)
            || (item.kind == Kind::Word && item.text.chars().any(|c| c.is_ascii_digit()))
    }

    /// Returns whether a verb in the form of an order stands at `at`, and not a noun that is spelled alike.
    pub(super) fn is_order(&self, at: usize) -> bool {
        let Some(found) = self.verb_at(at, &[Form::Base]) else { return false };
        if self.says(at, "lock") && at > 1 && self.is(at - 1, role::CONJUNCTION) && self.says(at - 2, "tag") {
            // `your tag and lock off the isolator`: both are taken off.
            return false;
        }
        let noun = self.found(at).map_or(0, |found| found.length);
        let next = at + found.length;
        if noun > found.length {
            // `tag the pump` against `tag plate`: the longer name is the noun.
            return false;
        }
        if noun == found.length {
            return self.is_object_start(next) && !self.is(next, role::AUXILIARY);
        }
        match self.item(next) {
            None => true,
            Some(item) if item.roles == 0 && item.kind == Kind::Word => {
                self.is_object_start(next) || self.found(next).is_some() || found.length > 1
            }
            Some(item) => !item.is(role::AUXILIARY),
        }
    }

    /// Returns `at` moved over words of order and manner.
    pub(super) fn after_adverbs(&self, mut at: usize) -> usize {
        while self.is(at, role::SEQUENCE | role::ADVERB) && !self.is_order(at) && !self.is_noun(at) {
            at += 1;
        }
        at
    }

    /// Returns whether something of its own begins at `at`: an order, a ban, a subject with its verb.
    pub(super) fn starts_clause(&self, at: usize) -> bool {
        let at = self.after_adverbs(at);
        if self.item(at).is_none() {
            return false;
        }
        self.is_ban(at).is_some()
            || self.is_order(at)
            || self.person_acts(at).is_some()
            || self.subject_end(at).is_some()
            || (self.says(at, "if") && self.main_after(at).is_some())
            || self.says(at, "otherwise")
            || self.says(at, "else")
    }

    /// Returns the place after `do not`, `never` or the like.
    pub(super) fn is_ban(&self, at: usize) -> Option<usize> {
        const BANS: [&str; 6] = [
            "under no circumstances",
            "on no account",
            "at no time",
            "in no case",
            "in no circumstances",
            "under no condition",
        ];
        if BANS.into_iter().any(|words| self.says_all(at, words)) {
            let next = at + 3;
            return Some(if self.is_mark(next, ',') { next + 1 } else { next });
        }
        let word = self.item(at)?;
        if (word.says("do") || word.says("must") || word.says("shall") || word.says("should") || word.says("may"))
            && self.is(at + 1, role::NEGATION)
        {
            return Some(at + 2);
        }
        if word.is(role::NEGATION) && !word.says("not") {
            return Some(at + 1);
        }
        (word.says("not") && self.verb_at(at + 1, &[Form::Base]).is_some()).then_some(at + 1)
    }

    /// Returns where the verb stands if a person is named at `at` and does something.
    pub(super) fn person_acts(&self, at: usize) -> Option<usize> {
        let from = if self.is(at, role::DETERMINER) { at + 1 } else { at };
        let (talk, length) = self.talk(from)?;
        let verb = self.after_adverbs(from + length);
        let acts = self.verb_at(verb, &[Form::Third]).is_some()
            || (self.says(from, "you") && self.verb_at(verb, &[Form::Base]).is_some());
        (talk == Talk::Person && acts).then_some(verb)
    }

    /// Returns whether the person of the clause before does something else at `at` (`measures it and signs`).
    pub(super) fn is_next_third(&self, at: usize) -> bool {
        self.is_third && self.verb_at(self.after_adverbs(at), &[Form::Third]).is_some()
    }

    /// Returns where the auxiliary stands if a subject with one begins at `at`.
    pub(super) fn subject_end(&self, at: usize) -> Option<usize> {
        if self.is(at, role::AUXILIARY | role::PREPOSITION | role::SUBORDINATOR) {
            return None;
        }
        for here in at..(at + 14).min(self.items.len()) {
            let item = self.item(here)?;
            if item.is(role::AUXILIARY) {
                return (here > at).then_some(here);
            }
            let breaks = match item.kind {
                Kind::Mark(mark) => mark != ',',
                Kind::See => true,
                Kind::Word => {
                    (item.is(role::SUBORDINATOR) && !item.is(role::DETERMINER))
                        || (item.is(role::PREPOSITION)
                            && !item.says("of")
                            && !item.says("on")
                            && !item.says("in")
                            && !item.says("at"))
                        || (here > at && item.is(role::PRONOUN) && !item.is(role::QUANTIFIER | role::DETERMINER))
                }
                Kind::Number | Kind::Value => false,
            };
            let orders = here > at && self.is(here - 1, role::CONJUNCTION | role::SEQUENCE) && self.is_order(here);
            if breaks || orders || (here > at && self.is_mark(here - 1, ',') && self.is_order(here)) {
                return None;
            }
        }
        None
    }
}
