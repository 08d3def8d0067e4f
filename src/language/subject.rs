//! Sentences with a subject: passives, duties of a person, statements, and fragments without a verb.

use crate::language::clause::Clause;
use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::memory::{Thing, What};
use crate::language::parser::Parser;
use crate::language::reading::{Doubt, Obstacle};

impl Parser<'_> {
    /// Reads a subject with its auxiliary: a passive, a duty of a person, or a statement.
    pub(super) fn subject(&mut self, start: usize, auxiliary: usize) -> usize {
        self.is_subject = true;
        let (things, end) = self.things(start);
        self.is_subject = false;
        let mut at = auxiliary;
        let (mut is_duty, mut is_banned, mut is_free, mut is_past) = (false, false, false, false);
        while let Some(item) = self.item(at) {
            let is_chain = item.is(role::AUXILIARY | role::NEGATION | role::SEQUENCE)
                || item.says("to")
                || (item.is(role::ADVERB) && self.verb_at(at, &[Form::Past]).is_none());
            if !is_chain {
                break;
            }
            is_duty |= matches!(item.text.as_str(), "must" | "shall" | "should" | "need" | "needs" | "to");
            is_free |= matches!(item.text.as_str(), "can" | "may" | "could" | "might" | "will" | "would");
            is_past |=
                matches!(item.text.as_str(), "has" | "have" | "had" | "was" | "were") && !self.says(at + 1, "to");
            is_banned |= item.is(role::NEGATION);
            at += 1;
        }
        let is_person = !things.is_empty() && things.iter().all(|thing| thing.is_talk(Talk::Person));
        let passive = self.verb_at(at, &[Form::Past]);
        let active = self.verb_at(at, &[Form::Base]).filter(|_| is_person && (is_duty || is_free));
        let found = passive.or(active);
        let Some(found) = found.filter(|_| end == auxiliary || is_person) else {
            return self.statement(start, at, (&things, end == auxiliary, is_duty && !is_banned));
        };
        let mut clause = Clause { from: start, is_banned, ..Clause::default() };
        clause.verbs.push(found.verb);
        let rest = at + found.length;
        let rest = if is_person && passive.is_none() { self.objects(&mut clause, rest) } else { rest };
        if passive.is_some() && !is_person {
            clause.objects = things;
        }
        let rest = self.tail(&mut clause, rest);
        clause.to = rest;
        if is_banned {
            self.doubtful_ban(&clause, at, rest);
            self.mention(start, rest);
            self.remember(&clause.objects);
            return rest;
        }
        if clause.may_move() && (!is_duty || is_free || is_past) {
            clause.doubts.push(Doubt::Verb(self.words(auxiliary, at + found.length)));
        }
        self.act(clause);
        rest
    }

    /// Reads a statement: it moves nothing if its subject is known.
    pub(super) fn statement(
        &mut self,
        start: usize,
        from: usize,
        (things, is_whole, is_duty): (&[Thing], bool, bool),
    ) -> usize {
        let end = self.skip(from);
        let is_value = self.lexicon.reading(&self.name_words(start, from.saturating_sub(1))).is_some();
        let has_unknown = things.iter().any(|thing| thing.what == What::Unknown && !thing.is_pronoun);
        let is_unknown = !is_value && (!is_whole || has_unknown);
        if is_unknown {
            self.obstacle.get_or_insert(Obstacle::Noun(self.words(start, from)));
            return end;
        }
        let names_state =
            ["off", "out", "on", "open", "closed", "shut", "locked", "in", "tight", "loose", "away", "down", "back"]
                .into_iter();
        let is_ordered = is_duty && names_state.clone().any(|word| (from..end).any(|at| self.says(at, word)));
        let tells = self.orders_inside(from, end) && !self.movable(from, end).is_empty();
        let is_done = is_duty
            && (from..end).any(|at| self.verb_at(at, &[Form::Past]).is_some_and(|found| found.verb.sense.may_move()));
        // `The key must not be forgotten` is an order to fit it.
        const LEFT: [&str; 8] =
            ["forgotten", "omitted", "left", "missed", "overlooked", "skipped", "neglected", "missing"];
        let is_turned = (start..from).any(|at| self.is(at, role::NEGATION))
            && (from..end).any(|at| LEFT.iter().any(|word| self.says(at, word)));
        if is_ordered || is_done || is_turned || tells || self.hides_action(from, end) {
            self.doubts.push(Doubt::Words(self.words(start, end)));
        }
        self.mention(start, end);
        end
    }

    /// Reads what has no verb in the form of an order: a participle (`guard removed`), or nothing that can be read.
    pub(super) fn fragment(&mut self, start: usize) -> usize {
        let before = self.obstacle.clone();
        let (things, end) = if self.may_name(start) { self.things(start) } else { (Vec::new(), start) };
        if let (Some(found), false) = (self.verb_at(end, &[Form::Past]), things.is_empty()) {
            let mut clause = Clause { from: start, objects: things, ..Clause::default() };
            clause.verbs.push(found.verb);
            clause.doubts.push(Doubt::Verb(self.words(end, end + found.length)));
            let rest = self.tail(&mut clause, end + found.length);
            clause.to = rest;
            self.act(clause);
            return rest;
        }
        self.obstacle = before;
        let is_verb_like = self.found(start).is_none()
            && self.is_kind(start, Kind::Word)
            && self.item(start).is_some_and(|item| item.roles == 0);
        let follows = self.is_object_start(start + 1) || self.found(start + 1).is_some();
        let obstacle =
            if is_verb_like && follows { Obstacle::Verb(self.words(start, start + 1)) } else { Obstacle::NoVerb };
        self.obstacle.get_or_insert(obstacle);
        self.items.len()
    }
}
