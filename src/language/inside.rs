//! Orders inside other words: what somebody is told, asked or forbidden to do may be done; it is asked about, never guessed.

use crate::language::action::Act;
use crate::language::clause::Clause;
use crate::language::inflect::Form;
use crate::language::listed::{Talk, role};
use crate::language::parser::Parser;
use crate::language::reading::Doubt;
use crate::language::verb::{Sense, Verb};

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

impl<'a> Parser<'a> {
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
        // `Ask that the drain be closed`; `tell the supervisor that it is closed` tells what is done already.
        let is_telling = clause.verbs.iter().any(|verb| verb.sense == Sense::Act(Act::Tell));
        let is_be = |at: usize| {
            let found = self.verb_at(at, &[Form::Past]).filter(|found| found.verb.sense.may_move());
            found.is_some() && at > from && self.says(at - 1, "be")
        };
        let holds = (from..to).any(|at| {
            (is_caring && (is_willed(at) || is_done(at)))
                || (is_telling && is_be(at))
                || (says(&["prepare", "take care", "be careful", "be sure"]) && is_willed(at))
        });
        let others = (!is_finding || self.tells_inside(from, to)) && self.somebody_moves(from, to);
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

    /// Asks where a ban may be an order (`do not forget to refit the key`), or holds one.
    pub(super) fn doubtful_ban(&mut self, clause: &Clause<'a>, verb: usize, to: usize) {
        let turned = |verb: &&Verb| TURNED.contains(&verb.words.as_str());
        let leaves = |verb: &&Verb| {
            matches!(verb.words.as_str(), "leave" | "keep")
                && (!self.movable(clause.from, to).is_empty()
                    || (clause.from..to).any(|at| self.talk(at).is_some_and(|(talk, _)| talk == Talk::Lock))
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
}
