//! Words that turn an order round, put it off, take some of it back or give it to another; they are asked about, never guessed.

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
use crate::language::verb::{Sense, Verb};

/// Words that forbid, or say that there is none.
const NONE: [&str; 8] = ["no", "none", "neither", "nor", "nothing", "hardly", "scarcely", "nobody"];

/// Verbs of which a ban is an order (`do not forget to refit the key`).
const TURNED: [&str; 26] = [
    "forget",
    "omit",
    "fail",
    "neglect",
    "hesitate",
    "skip",
    "miss",
    "overlook",
    "leave out",
    "leave off",
    "stop",
    "quit",
    "rest",
    "delay",
    "postpone",
    "refrain",
    "prevent",
    "ignore",
    "wait",
    "pause",
    "finish",
    "lose",
    "let",
    "allow",
    "permit",
    "have",
];

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
    /// Asks about what a clause says besides its order; `before` is how many actions there were before it.
    pub(super) fn caveats(&mut self, from: usize, to: usize, before: usize) {
        let first = before.min(self.actions.len().saturating_sub(1));
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
            self.amended(from, to, &self.actions[first..].to_vec());
        }
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
    fn amended(&mut self, from: usize, to: usize, actions: &[Action]) {
        let to = to.min(self.items.len());
        let is_side = |at: &usize| {
            self.is(*at, role::SUBORDINATOR) && !self.is(*at, role::DETERMINER | role::PREPOSITION)
                || self.says(*at, "until")
        };
        let to = (from + 1..to).find(is_side).unwrap_or(to);
        let has_value = actions.iter().any(|action| !action.to.is_empty());
        let is_figure = |at: usize| {
            self.is_kind(at, Kind::Value)
                || (self.item(at).is_some_and(|item| item.kind == Kind::Number || item.number.is_some())
                    && self.is(at + 1, role::UNIT)
                    && !self.is_noun(at + 1))
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
        });
        let turn = (from..to).find(|at| has_value && self.manner_end(*at).is_some_and(|_| self.turns(*at)));
        let bare = !has_value && figures > 0;
        if let Some(at) = words.or(turn) {
            self.doubts.push(Doubt::Words(self.words(at, to)));
        } else if bare || figures > usize::from(has_value) {
            let at = (from..to).filter(|at| is_figure(*at)).last().unwrap_or(from);
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

    /// Returns whether words that are no order of their own tell that somebody moves something, or is to.
    pub(super) fn somebody_moves(&self, from: usize, to: usize) -> bool {
        let is_person = |at: usize| {
            self.talk(at).is_some_and(|(talk, _)| talk == Talk::Person) || self.says(at, "he") || self.says(at, "she")
        };
        let has_person = (from..to).any(is_person);
        let after_person = |at: usize| {
            (from..at).any(|start| {
                let length = self.talk(start).filter(|(talk, _)| *talk == Talk::Person).map(|(_, length)| length);
                length.is_some_and(|length| self.after_adverbs(start + length) == at)
            })
        };
        (from..to).any(|at| {
            let forms = [Form::Base, Form::Third, Form::Past, Form::Gerund];
            forms.into_iter().any(|form| {
                let Some(found) = self.verb_at(at, &[form]).filter(|found| found.verb.sense.may_move()) else {
                    return false;
                };
                if self.found(at).is_some_and(|noun| noun.length > found.length) || at == from && form == Form::Base {
                    return false;
                }
                let before = (from..at).rev().find(|at| !self.is(*at, role::ADVERB | role::NEGATION));
                let is_told = before.is_some_and(|at| {
                    self.says(at, "to")
                        || self.says(at, "you")
                        || ["must", "shall", "should", "can", "may", "will", "could", "would"]
                            .iter()
                            .any(|word| self.says(at, word))
                });
                let is_barred = at > 1 && self.says(at - 1, "to") && self.is(at - 2, role::NEGATION);
                let next = at + found.length;
                let has_object = self.is_object_start(next) || self.is_noun(next);
                match form {
                    Form::Base => !is_barred && has_person && (is_told || after_person(at)),
                    Form::Third => {
                        after_person(at)
                            || (has_object
                                && before.is_some_and(|at| !self.is(at, role::DETERMINER | role::CONJUNCTION)))
                    }
                    Form::Past => {
                        has_person
                            && before.is_some_and(|at| ["has", "have", "had"].iter().any(|word| self.says(at, word)))
                    }
                    Form::Gerund => after_person(at),
                }
            })
        })
    }

    /// Asks where a calm order (`tell`, `get`, `remember`, `try`) holds another that moves something.
    pub(super) fn held_inside(&mut self, clause: &mut Clause<'a>, from: usize, to: usize) {
        if clause.may_move() || clause.is_banned || clause.verbs.is_empty() {
            return;
        }
        let words: Vec<&str> = clause.verbs.iter().map(|verb| verb.words.as_str()).collect();
        let says = |list: &[&str]| words.iter().any(|words| list.contains(words));
        let is_finding = clause
            .verbs
            .iter()
            .all(|verb| matches!(verb.sense, Sense::Act(Act::Confirm | Act::Look | Act::Record | Act::Measure)));
        let is_caring = says(&[
            "ensure",
            "make sure",
            "make certain",
            "see to it",
            "see",
            "get",
            "remember",
            "arrange",
            "request",
            "plan",
        ]);
        let is_willed = |at: usize| {
            let found = self.verb_at(at, &[Form::Base]).filter(|found| found.verb.sense.may_move());
            found.is_some() && at > from && (self.says(at - 1, "to") || self.says(at - 1, "you"))
        };
        const STATES: [&str; 10] =
            ["closed", "shut", "locked", "open", "opened", "tight", "tightened", "unlocked", "isolated", "sealed"];
        let is_done = |at: usize| {
            self.verb_at(at, &[Form::Past]).is_some_and(|found| found.verb.sense.may_move())
                && self.verb_at(at, &[Form::Base]).is_none()
                && !STATES.iter().any(|word| self.says(at, word))
                && !(at > from && self.found(at).is_some_and(|noun| noun.length > 1))
        };
        let holds = (from..to).any(|at| {
            (is_caring && (is_willed(at) || is_done(at)))
                || (says(&["prepare", "take care", "be careful", "be sure"]) && is_willed(at))
        });
        let others = self.somebody_moves(from, to) && !(is_finding && !self.tells_inside(from, to));
        if holds || (others && clause.doubts.is_empty()) {
            clause.doubts.push(Doubt::Verb(words.join(" and ")));
        }
    }

    /// Returns whether somebody moves something in words that are looked at or confirmed, now and not before.
    fn tells_inside(&self, from: usize, to: usize) -> bool {
        !(from..to).any(|at| ["has", "have", "had"].iter().any(|word| self.says(at, word)))
    }

    /// Returns whether a trial is plainly one of a start or of an energy.
    pub(super) fn is_plain_trial(&self, from: usize, to: usize) -> bool {
        let is_start = (from..to).any(|at| {
            self.item(at).is_some_and(|item| item.text == "start")
                || self
                    .verb_at(at, &[Form::Base, Form::Gerund])
                    .is_some_and(|found| found.verb.sense == Sense::Act(Act::Run) && found.verb.words != "inch")
                || self.talk(at).is_some_and(|(talk, length)| {
                    talk == Talk::Energy || talk == Talk::StartButton && self.words(at, at + length).contains("start")
                })
        });
        let is_other = (from..to).any(|at| {
            let verb = self.verb_at(at, &[Form::Base, Form::Gerund]);
            verb.is_some_and(|found| found.verb.sense.may_move() && found.verb.sense != Sense::Act(Act::Run))
                && self.found(at).is_none()
                && (at == from || !self.is(at - 1, role::DETERMINER))
        });
        is_start && !is_other
    }

    /// Returns the word by which an order is turned into a ban (`remove no nuts`).
    pub(super) fn denied(&self, at: usize) -> Option<&'a str> {
        let item = self.item(at)?;
        NONE.iter().any(|word| item.says(word)).then_some(item.text.as_str())
    }

    /// Asks where a ban may be an order (`do not forget to refit the key`), or holds one.
    pub(super) fn doubtful_ban(&mut self, clause: &Clause<'a>, verb: usize, to: usize) {
        let turned = |verb: &&Verb| TURNED.contains(&verb.words.as_str());
        let leaves = |verb: &&Verb| {
            matches!(verb.words.as_str(), "leave" | "keep")
                && (!self.movable(clause.from, to).is_empty()
                    || (clause.from..to)
                        .any(|at| self.is(at, role::PRONOUN) && !self.is(at, role::DETERMINER | role::QUANTIFIER)))
        };
        let is_way = clause
            .verbs
            .iter()
            .any(|verb| matches!(verb.words.as_str(), "use" | "employ" | "attempt to force" | "touch"));
        let holds = (verb + 1..to.min(self.items.len())).any(|at| {
            let moves = |form: Form| {
                self.verb_at(at, &[form]).filter(|found| found.verb.sense.may_move() && self.found(at).is_none())
            };
            let is_joined = self.says(at - 1, "or") || self.says(at - 1, "nor") || self.says(at - 1, "not");
            let has_object = self.is_object_start(at + 1) || self.is_noun(at + 1);
            let is_base = moves(Form::Base).is_some()
                && has_object
                && !is_joined
                && !self.is(at - 1, role::DETERMINER | role::PREPOSITION)
                && clause.verbs.len() < 2;
            let is_purpose = moves(Form::Base).is_some() && self.says(at - 1, "to") && !is_way;
            let is_without = moves(Form::Gerund).is_some()
                && (clause.from..at).any(|at| self.says(at, "without") || self.says(at, "before"));
            is_base || is_purpose || is_without
        });
        let is_short = (clause.from..to)
            .any(|at| ["only", "just", "merely", "simply", "unless"].iter().any(|word| self.says(at, word)))
            && clause.verbs.iter().any(|verb| verb.sense.may_move())
            && self.items.get(to.min(self.items.len())..).is_some_and(|rest| !rest.is_empty());
        let words = clause.verbs.iter().map(|verb| verb.words.as_str()).collect::<Vec<_>>().join(" and ");
        if clause.verbs.iter().any(turned) || clause.verbs.iter().any(leaves) || holds || is_short {
            self.doubts.push(Doubt::Verb(format!("not {words}")));
        }
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
