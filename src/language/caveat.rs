//! Words that turn an order round, put it off or take some of it back; they are asked about, never guessed.

use crate::language::action::{Act, Action};
use crate::language::clause::Clause;
use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::matching::FoundWhat;
use crate::language::memory::What;
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::Doubt;

/// Words that forbid, or say that there is none.
const NONE: [&str; 8] = ["no", "none", "neither", "nor", "nothing", "hardly", "scarcely", "nobody"];

/// Words that say that less is done than the verb says.
const DEGREES: [&str; 19] = [
    "almost",
    "nearly",
    "partly",
    "partially",
    "slightly",
    "loosely",
    "barely",
    "hardly",
    "scarcely",
    "halfway",
    "partway",
    "half-way",
    "part-way",
    "initially",
    "provisionally",
    "temporarily",
    "roughly",
    "approximately",
    "half",
];

/// Words that make another figure of a torque.
const AMENDS: [&str; 19] = [
    "minus",
    "plus",
    "less",
    "more",
    "below",
    "above",
    "about",
    "around",
    "under",
    "over",
    "twice",
    "further",
    "another",
    "additional",
    "extra",
    "least",
    "most",
    "up",
    "or",
];

/// Words behind an order that put it off.
const LATER: [&str; 7] = ["later", "soon", "tomorrow", "tonight", "eventually", "sometime", "someday"];

/// Words that do so only at the end of a clause: at its beginning they tell the order of what is said.
const LAST: [&str; 5] = ["last", "finally", "lastly", "afterwards", "subsequently"];

/// Phrases that name a later time.
const TIMES: [&str; 19] = [
    "at the end",
    "by the end",
    "at the very end",
    "at handover",
    "at a later",
    "at the next",
    "on the next",
    "in the next",
    "during the next",
    "next week",
    "next shift",
    "next time",
    "on completion",
    "upon completion",
    "upon",
    "at the start of",
    "at a suitable",
    "in due course",
    "the next day",
];

/// Phrases that go on without saying with what, or that except something.
const TAKES_BACK: [&str; 18] = [
    "and so on",
    "and so forth",
    "etc",
    "and the like",
    "and similar",
    "and others",
    "apart from",
    "aside from",
    "other than",
    "with the exception",
    "save for",
    "rather than",
    "instead of",
    "though",
    "although",
    "not all",
    "bar",
    "save",
];

impl<'a> Parser<'a> {
    /// Asks about what a clause says besides its order; `before` are the actions that were there before it.
    pub(super) fn caveats(&mut self, from: usize, to: usize, before: &[Action]) {
        if self.actions == before {
            return;
        }
        // Off and discarded is discarded: an action may have gone into a later one.
        let first = before.len().min(self.actions.len().saturating_sub(1));
        let acts: Vec<Act> = self.actions[first..].iter().map(|action| action.act).filter(|act| act.moves()).collect();
        if acts.is_empty() {
            return;
        }
        let is_gentle = |act: &Act| matches!(act, Act::Apply | Act::Wipe | Act::Run | Act::Loosen | Act::Fill);
        let is_turned = |act: &Act| matches!(act, Act::Tighten | Act::Snug);
        for at in from..to.min(self.items.len()) {
            let says = |words: &[&str]| words.iter().any(|word| self.says(at, word));
            let is_named = self.is_noun(at);
            let is_degree =
                says(&DEGREES) && !acts.iter().all(is_gentle) && !(self.says(at, "half") && self.is_half(at));
            let is_light = says(&["lightly", "gently"]) && acts.iter().any(is_turned);
            if !is_named && (is_degree || is_light || self.is_later(at, from)) {
                self.doubts.push(Doubt::Words(self.words(at, at + 1)));
            }
        }
        if acts.iter().any(is_turned) {
            let has_value = self.actions[first..].iter().any(|action| !action.to.is_empty());
            self.amended(from, to, has_value);
        }
        if acts.iter().any(|act| matches!(act, Act::Open | Act::Shut)) {
            self.partial(from, to);
        }
    }

    /// Asks where a valve is opened or shut by so many turns, so far, or for so long.
    fn partial(&mut self, from: usize, to: usize) {
        let to = self.side(from, to);
        let is_some = |at: &usize| {
            self.turns(*at)
                || self.is_amount(*at)
                || self.says(*at, "briefly")
                || self.says_all(*at, "for a")
                || self.is_kind(*at, Kind::Value) && self.says(at.saturating_sub(1), "for")
        };
        if let Some(at) = (from..to).find(is_some) {
            self.doubts.push(Doubt::Words(self.words(at, to)));
        }
    }

    /// Returns where words of the side (`until it drips`) begin, or the end.
    fn side(&self, from: usize, to: usize) -> usize {
        let is_side = |at: &usize| {
            self.is(*at, role::SUBORDINATOR) && !self.is(*at, role::DETERMINER | role::PREPOSITION)
                || self.says(*at, "until")
        };
        let to = to.min(self.items.len());
        (from + 1..to).find(is_side).unwrap_or(to)
    }

    /// Returns whether a number with its unit stands at `at`.
    fn is_amount(&self, at: usize) -> bool {
        self.item(at).is_some_and(|item| item.kind == Kind::Number || item.number.is_some())
            && self.is(at + 1, role::UNIT)
            && !self.is_noun(at + 1)
    }

    /// Returns whether `half` belongs to a noun, a torque or a turn.
    fn is_half(&self, at: usize) -> bool {
        let next = self.item(at + 1);
        self.found(at).is_some()
            || (at > 0 && self.says(at - 1, "to"))
            || self.manner_end(at).is_some()
            || self.manner_end(at.saturating_sub(1)).is_some_and(|end| end > at)
            || next.is_none_or(|item| item.kind != Kind::Word || self.verb_at(at + 1, &[Form::Base]).is_none())
    }

    /// Returns whether words at `at` put off what the clause orders.
    fn is_later(&self, at: usize, from: usize) -> bool {
        let ends = |at: usize| {
            self.item(at).is_none_or(|item| matches!(item.kind, Kind::Mark(_)) || item.is(role::CONJUNCTION))
                || self.says_all(at, "of all")
        };
        let begins = at == from || (from..at).all(|at| self.is(at, role::CONJUNCTION) || self.is_mark(at, ','));
        LATER.iter().any(|word| self.says(at, word))
            && !self.says_all(at.saturating_sub(2), "as soon as")
            && !(self.says(at, "soon") && self.says(at.saturating_sub(1), "as"))
            || LAST.iter().any(|word| self.says(at, word)) && !begins && ends(at + 1)
            || TIMES.iter().any(|words| self.says_all(at, words))
            || self.is_delay(at)
    }

    /// Returns whether a span of time stands at `at` behind which something is to be done (`in 10 min`).
    fn is_delay(&self, at: usize) -> bool {
        const SPANS: [&str; 12] =
            ["s", "sec", "second", "seconds", "min", "mins", "minute", "minutes", "h", "hour", "hours", "days"];
        let is_span = |at: usize| {
            self.item(at).is_some_and(|item| item.kind == Kind::Number || item.number.is_some())
                && SPANS.iter().any(|unit| self.says(at + 1, unit))
        };
        let is_time = |item: &str| item.contains("time") || item.contains("delay") || item.contains("period");
        let is_value = |at: usize| self.item(at).is_some_and(|item| item.kind == Kind::Value && is_time(&item.text));
        self.says(at, "in") && (is_span(at + 1) || is_value(at + 1))
    }

    /// Asks where a torque is more or less than the value that is named.
    fn amended(&mut self, from: usize, to: usize, has_value: bool) {
        let to = self.side(from, to);
        let is_drawn = |at: usize| match self.found(at).map(|found| &found.what) {
            Some(FoundWhat::Nouns(nouns)) => {
                nouns.iter().all(|noun| matches!(self.lexicon.noun(*noun).kind, NounKind::Tool | NounKind::Fluid))
            }
            _ => false,
        };
        let is_figure = |at: usize| {
            ((self.is_kind(at, Kind::Value) && !is_drawn(at)) || self.is_amount(at)) && !self.is_of_a_pass(at)
        };
        let is_share = |at: usize| {
            ["third", "thirds", "quarter", "quarters", "tenths", "fifths"].iter().any(|word| self.says(at, word))
                && self.says(at + 1, "of")
        };
        let figures = (from..to).filter(|at| is_figure(*at)).count();
        let words = (from..to).find(|at| {
            AMENDS.iter().any(|word| self.says(*at, word))
                && (self.says(*at, "minus")
                    || is_figure(at + 1)
                    || is_figure(at.saturating_sub(1))
                    || self.says(at + 1, "than"))
                && *at > from
                || (self.says(*at, "up") && self.says(at + 1, "to"))
                || is_share(*at)
        });
        let turn = (from..to).find(|at| has_value && self.manner_end(*at).is_some_and(|_| self.turns(*at)));
        let bare = !has_value && figures > 0;
        if let Some(at) = words.or(turn) {
            self.doubts.push(Doubt::Words(self.words(at, to)));
        } else if bare || figures > usize::from(has_value) {
            let at = (from..to).rev().find(|at| is_figure(*at)).unwrap_or(from);
            self.doubts.push(Doubt::Words(self.words(at, to)));
        }
    }

    /// Returns whether a share of a turn stands at `at`, and not `one at a time`.
    fn turns(&self, at: usize) -> bool {
        let end = self.manner_end(at).unwrap_or(at);
        (at..end).any(|at| ["turn", "turns", "revolution", "revolutions"].iter().any(|word| self.says(at, word)))
            && !(at..end).any(|at| self.says(at, "time"))
    }

    /// Asks about words of the whole sentence that turn round or take back what it orders.
    pub(super) fn whole(&mut self) {
        if !self.actions.iter().any(|action| action.act.moves()) {
            return;
        }
        self.doubts.extend(std::mem::take(&mut self.deferred).into_iter().map(Doubt::Words));
        for at in 0..self.items.len() {
            if NONE.iter().any(|word| self.says(at, word)) && !self.is_calm_none(at) {
                self.doubts.push(Doubt::Words(self.words(at, at + 1)));
            }
            if let Some(words) = TAKES_BACK
                .iter()
                .find(|words| self.says_all(at, words))
                .filter(|_| !self.is_noun(at) && !self.is_unit(at))
            {
                self.doubts.push(Doubt::Words((*words).to_owned()));
            }
            if self.keeps_some(at) {
                self.doubts.push(Doubt::Words(self.words(at, (at + 3).min(self.items.len()))));
            }
        }
    }

    /// Returns whether `bar` at `at` stands behind a figure.
    fn is_unit(&self, at: usize) -> bool {
        self.is(at, role::UNIT) && at > 0 && matches!(self.items[at - 1].kind, Kind::Number | Kind::Value)
    }

    /// Returns whether `no` at `at` is said of what is looked at, and not of what is moved.
    fn is_calm_none(&self, at: usize) -> bool {
        let Some(last) = at.checked_sub(1) else { return false };
        let is_calm = self.verb_at(last, &[Form::Base]).is_some_and(|found| !found.verb.sense.may_move());
        let from = (0..at).rev().find(|at| matches!(self.items[*at].kind, Kind::Mark(_))).map_or(0, |at| at + 1);
        is_calm
            || self.is(last, role::AUXILIARY)
            || (from..at).any(|at| self.is(at, role::SUBORDINATOR) && !self.is(at, role::DETERMINER))
    }

    /// Returns whether some of what is moved are left where they are (`but leave two on`).
    fn keeps_some(&self, at: usize) -> bool {
        let forms = [Form::Base, Form::Gerund];
        let Some(found) = self.verb_at(at, &forms).filter(|_| self.found(at).is_none()) else {
            return ["left", "remain", "remains", "remaining"].iter().any(|word| self.says(at, word))
                && (0..at).any(|at| self.says(at, "until") || self.says(at, "till"));
        };
        if !matches!(found.verb.words.as_str(), "leave" | "keep" | "retain" | "save") {
            return false;
        }
        let mut next = at + found.length;
        while self.is(next, role::ADVERB | role::DETERMINER) && self.found(next).is_none() {
            next += 1;
        }
        let is_number =
            self.item(next).is_some_and(|item| item.number.is_some() || item.is(role::SELECTIVE) || item.says("half"));
        let moved = |at: usize| match self.found(at).map(|found| &found.what) {
            Some(FoundWhat::Nouns(nouns)) => nouns.iter().any(|noun| {
                self.actions.iter().any(|action| action.act.moves() && action.thing == self.lexicon.noun(*noun).name)
            }),
            _ => false,
        };
        let is_excepted = at > 0 && self.is(at - 1, role::CONJUNCTION) && self.says(at - 1, "but");
        is_number || moved(next) || moved(next + 1) || is_excepted
    }

    /// Returns whether what happens first (`the flow stops`) is something of the moment, so that nothing is put off.
    pub(super) fn is_of_the_moment(&self, from: usize, to: usize) -> bool {
        let mut is_flow = false;
        let rest = self.words(from, to);
        if matches!(rest.trim_end_matches([' ', ',']), "that" | "this") {
            return true;
        }
        for at in from..to {
            match self.found(at).map(|found| &found.what) {
                Some(FoundWhat::Talk(Talk::Energy | Talk::Matter | Talk::Property | Talk::Aid)) => is_flow = true,
                Some(FoundWhat::Talk(Talk::Paper | Talk::Person)) if !self.says(at, "gauge") => return false,
                Some(FoundWhat::Talk(_)) | None => {}
                Some(FoundWhat::Nouns(nouns)) => {
                    for noun in nouns.iter().map(|noun| self.lexicon.noun(*noun)) {
                        match noun.kind {
                            NounKind::Fluid | NounKind::Reading => is_flow = true,
                            NounKind::Opening | NounKind::Value | NounKind::Inert | NounKind::Tool => {}
                            _ if noun.name.to_lowercase().ends_with("gauge") => is_flow = true,
                            _ => return false,
                        }
                    }
                }
            }
        }
        is_flow || (from..to).any(|at| self.says(at, "gauge"))
    }

    /// Takes a leading time as one that may put off what follows it.
    pub(super) fn defer(&mut self, from: usize, to: usize) {
        if !self.is_of_the_moment(from + 1, to) {
            self.deferred.push(self.words(from, to).trim_end_matches(" ,").to_owned());
        }
    }

    /// Asks about a time behind an order that may put it off.
    pub(super) fn defer_behind(&mut self, clause: &mut Clause<'a>, from: usize, to: usize) {
        // `Stop when ...` ends the work, and no machine.
        let is_stop = clause.objects.is_empty() && clause.verbs.iter().all(|verb| verb.words == "stop");
        if clause.may_move() && !is_stop && !clause.is_banned && !self.is_of_the_moment(from + 1, to) {
            clause.doubts.push(Doubt::Words(self.words(from, to)));
        }
    }

    /// Returns the word by which an order is turned into a ban (`remove no nuts`).
    pub(super) fn denied(&self, at: usize) -> Option<&'a str> {
        let item = self.item(at)?;
        NONE.iter().any(|word| item.says(word)).then_some(item.text.as_str())
    }

    /// Returns whether a condition stands right behind the object, so that it is one of the order and not of a phrase.
    pub(super) fn is_plain_condition(&self, clause: &Clause<'a>, at: usize, end: usize) -> bool {
        let is_phrase = clause
            .phrases
            .iter()
            .any(|phrase| phrase.words.starts_with("with ") || phrase.word == "with" || phrase.word == "by");
        let is_bare = !(at..end).any(|at| self.is(at, role::AUXILIARY) || self.verb_at(at, &[Form::Third]).is_some());
        let of_object = clause.objects.iter().map(|thing| thing.range.1).max();
        let is_next = of_object.is_none_or(|last| {
            clause.objects.iter().any(|thing| thing.what == What::Unknown || thing.is_pronoun)
                || (last..at).all(|at| self.is_mark(at, ',') || self.is(at, role::PARTICLE))
        });
        let has_phrase = (at + 1..end).any(|at| ["with", "by", "using"].iter().any(|word| self.says(at, word)));
        let has_doing =
            (clause.from + 1..at).any(|at| self.verb_at(at, &[Form::Gerund]).is_some() && !self.is_noun(at));
        !(is_phrase || has_doing || (is_bare && (!is_next || has_phrase)))
    }
}
