//! What stands behind the objects of an order: manner, phrases, joining words; what they come to is decided elsewhere.

use crate::language::action::Act;
use crate::language::clause::{Clause, Phrase};
use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::memory::{Thing, Trust, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::Doubt;
use crate::language::verb::Sense;

impl<'a> Parser<'a> {
    /// Reads what stands behind the objects.
    pub(super) fn tail(&mut self, clause: &mut Clause<'a>, mut at: usize) -> usize {
        while let Some(item) = self.item(at) {
            if self.obstacle.is_some() {
                return self.items.len();
            }
            let next = match item.kind {
                Kind::Mark(mark) => match self.over_mark(clause, at, mark) {
                    Some(next) => next,
                    None => return at + 1,
                },
                Kind::See => at + 1,
                _ if item.is(role::CONJUNCTION) || item.says("then") => match self.over_conjunction(clause, at) {
                    Some(next) => next,
                    None => return at,
                },
                _ => self.tail_word(clause, at),
            };
            at = next.max(at + 1);
        }
        at
    }

    /// Moves over a mark inside a clause; none where the clause ends.
    pub(super) fn over_mark(&mut self, clause: &mut Clause<'a>, at: usize, mark: char) -> Option<usize> {
        if !matches!(mark, ',' | '(' | ')' | '/' | '-' | '–' | '—' | ':') || self.starts_clause(at + 1) {
            return None;
        }
        let next = if self.is(at + 1, role::CONJUNCTION | role::SEQUENCE) { self.after_joins(at + 1) } else { at + 1 };
        if self.starts_clause(next) {
            return None;
        }
        if mark != ',' {
            clause.doubts.push(Doubt::Words(self.words(at, self.items.len())));
            return Some(self.skip(next));
        }
        Some(self.goes_on(clause, next))
    }

    pub(super) fn after_joins(&self, mut at: usize) -> usize {
        while self.is(at, role::CONJUNCTION)
            || self.says(at, "then")
            || self.says(at, "finally")
            || self.says(at, "also")
        {
            at += 1;
        }
        at
    }

    /// Moves over `and` inside a clause; none where the clause ends.
    pub(super) fn over_conjunction(&mut self, clause: &mut Clause<'a>, at: usize) -> Option<usize> {
        let next = self.after_joins(at);
        if self.is_next_third(next) {
            return None;
        }
        let is_condition = self.is_mark(next, ',') && (self.says(next + 1, "if") || self.says(next + 1, "unless"));
        if self.item(next).is_none() || self.starts_clause(next) || is_condition {
            return None;
        }
        Some(self.goes_on(clause, next))
    }

    /// Goes on with a clause behind a comma or `and`: another phrase, manner, or an object behind `then`.
    pub(super) fn goes_on(&mut self, clause: &mut Clause<'a>, next: usize) -> usize {
        let is_phrase = self.is(
            next,
            role::PREPOSITION | role::SUBORDINATOR | role::ADVERB | role::SEQUENCE | role::CONJUNCTION | role::NEGATION,
        );
        if is_phrase
            || self.manner_end(next).is_some()
            || self.is_kind(next, Kind::See)
            || self.verb_at(next, &[Form::Gerund]).is_some()
        {
            return next;
        }
        if self.may_name(next) && !clause.objects.is_empty() && clause.phrases.is_empty() {
            let (things, end) = self.things(next);
            clause.objects.extend(things);
            return end;
        }
        let end = self.skip(next);
        const WAYS: [&str; 12] = [
            "facing",
            "pointing",
            "inwards",
            "outwards",
            "up",
            "down",
            "first",
            "uppermost",
            "upwards",
            "downwards",
            "inside",
            "outside",
        ];
        let is_way =
            (next..end).any(|at| WAYS.iter().any(|way| self.says(at, way))) && self.movable(next, end).is_empty();
        if !(is_way && self.talk(next).is_some()) {
            clause.doubts.push(Doubt::Words(self.words(next, end)));
        }
        end
    }

    /// Reads one word or phrase behind the objects.
    pub(super) fn tail_word(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        if let Some(end) = self.manner_end(at) {
            return end;
        }
        if let Some(end) = self.hand_tight_end(at) {
            clause.is_by_hand = true;
            return end;
        }
        let runs = clause.verbs.iter().all(|verb| verb.sense == Sense::Act(Act::Run));
        let runs = runs || clause.verbs.iter().all(|verb| verb.sense == Sense::Act(Act::Wipe));
        if self.is_state(at) && (!clause.may_move() || runs) {
            let is_kept = clause
                .verbs
                .iter()
                .all(|verb| matches!(verb.words.as_str(), "leave" | "keep") || verb.sense.may_move());
            let is_moved = |thing: &Thing| {
                thing.what == What::Points
                    || thing
                        .nouns()
                        .iter()
                        .any(|at| matches!(self.lexicon.noun(*at).kind, NounKind::Opening | NounKind::Point))
            };
            if !is_kept && clause.objects.iter().any(is_moved) {
                clause.doubts.push(Doubt::Words(self.words(at, at + 1)));
            }
            return at + 1;
        }
        if self.verb_at(at, &[Form::Gerund]).is_some() && !self.is(at, role::PREPOSITION) && self.found(at).is_none() {
            return self.doing(clause, at);
        }
        if self.says_all(at, "as") || self.is(at, role::SUBORDINATOR) && !self.is(at, role::PREPOSITION) {
            return self.subordinate(clause, at);
        }
        if self.is(at, role::PREPOSITION | role::PARTICLE) {
            return self.phrase(clause, at);
        }
        if self.is(at, role::ADVERB | role::SEQUENCE) && !self.is_noun(at) {
            return at + 1;
        }
        if self.is(at, role::NEGATION) {
            let end = self.skip(at + 1);
            if !clause.may_move() {
                self.mention(at, end);
                return end;
            }
            clause.doubts.push(Doubt::Words(self.words(at, end)));
            return end;
        }
        if clause.objects.is_empty() && self.may_name(at) {
            let (things, end) = self.things(at);
            clause.objects = things;
            return end;
        }
        if !clause.may_move() && self.may_name(at) {
            let (_, end) = self.things(at);
            return end;
        }
        if self.may_name(at) {
            let (things, end) = self.things(at);
            if !things.is_empty()
                && things.iter().all(|thing| thing.what == What::Quantity || thing.is_talk(Talk::Manner))
            {
                return end;
            }
        }
        let end = self.skip(at + 1);
        clause.doubts.push(Doubt::Words(self.words(at, end)));
        end
    }

    /// Returns the end of `hand tight` or the like.
    pub(super) fn hand_tight_end(&self, at: usize) -> Option<usize> {
        ["hand tight", "finger tight", "hand-tight", "finger-tight"]
            .into_iter()
            .find(|words| self.says_all(at, words))
            .map(|words| at + words.split(' ').count())
    }

    /// Reads what is done meanwhile (`working crosswise`): it may neither move anything nor ask for a tool.
    pub(super) fn doing(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let end = self.skip(at + 1);
        let is_after_comma = at > 0 && self.is_mark(at - 1, ',');
        let limits = clause.may_move() && !is_after_comma && !self.movable(at, end).is_empty();
        let is_calm = ["starting", "beginning", "finishing"].into_iter().any(|word| self.says(at, word))
            || self.verb_at(at, &[Form::Gerund]).is_some_and(|found| !found.verb.sense.may_move());
        let known = self.mentions.len();
        self.mention(at, end);
        let is_sometimes = (at..end).any(|at| self.says(at, "if") || self.says(at, "unless"));
        if !is_calm || limits || is_sometimes || self.mentions.len() > known {
            clause.doubts.push(Doubt::Words(self.words(at, end)));
        }
        end
    }

    /// Reads a preposition with what stands behind it, or a word of direction.
    pub(super) fn phrase(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let mut word = self.words(at, at + 1);
        let mut next = at + 1;
        if self.is(next, role::PREPOSITION) && self.is(at, role::PARTICLE | role::PREPOSITION) {
            // `out of`, `away from`, `back into`: the direction, and then the place.
            clause.particles.push(word);
            word = self.words(next, next + 1);
            next += 1;
        }
        for (words, as_word) in [
            ("means of", "with"),
            ("help of", "with"),
            ("the help of", "with"),
            ("the aid of", "with"),
            ("use of", "with"),
            ("way of", "with"),
        ] {
            if self.says_all(next, words) {
                as_word.clone_into(&mut word);
                next += words.split(' ').count();
            }
        }
        if (word == "until" || word == "till") && next == at + 1 {
            return self.subordinate(clause, at);
        }
        if self.case_end(at).is_some() {
            let end = self.skip(next);
            self.mention(at, end);
            self.condition(clause, (at, end));
            return end;
        }
        if self.is_preposition_of_clause(&word, next) {
            let end = self.skip(next);
            let words = self.words(at, end);
            let is_used = clause.verbs.iter().any(|verb| verb.sense == Sense::Act(Act::Use));
            let is_calm = matches!(word.as_str(), "before" | "without" | "for" | "until" | "till")
                && !(next..end).any(|at| self.says(at, "after"))
                && !(is_used && word == "for");
            let picks =
                matches!(word.as_str(), "except" | "excluding" | "including" | "like" | "besides") && clause.may_move();
            let orders =
                matches!(word.as_str(), "before" | "after") && clause.may_move() && !self.movable(next, end).is_empty();
            let does = |at: usize| {
                self.found(at).is_none()
                    && self.verb_at(at, &[Form::Base, Form::Third, Form::Past, Form::Gerund]).is_some()
            };
            let is_verbless = !(next..end).any(|at| does(at) || self.is(at, role::AUXILIARY));
            let moves = picks
                || (orders && is_verbless)
                || if word == "to" {
                    self.purpose_moves(next - 1, end)
                } else {
                    !is_calm && self.hides_action(next, end)
                };
            if moves && !clause.is_banned {
                clause.doubts.push(Doubt::Words(words));
            }
            if matches!(word.as_str(), "after" | "during" | "past") {
                self.defer_behind(clause, at, end);
                if !clause.may_move() && !self.movable(next, end).is_empty() && word != "past" {
                    clause.doubts.push(Doubt::Words(self.words(at, end)));
                }
            }
            self.mention(at, end);
            return end;
        }
        if let Some((share, end)) = self.pass(next).filter(|_| word == "to") {
            clause.passes.push(share);
            return end;
        }
        if word == "to" && self.is(next, role::SHARE) {
            clause.is_share = true;
            next += 1;
            if !self.says(next, "of") {
                return next;
            }
            let (_, end) = self.things(next + 1);
            return end;
        }
        if let Some(end) = self.manner_end(next) {
            return end;
        }
        if !self.is_place_start(next) {
            clause.particles.push(word);
            return next;
        }
        self.is_phrase = true;
        let (things, end) = self.owned_things(next, &clause.objects);
        self.is_phrase = false;
        if things.is_empty() {
            clause.particles.push(word);
            return next;
        }
        let words = self.words(at, end);
        if word == "with" && self.is_circumstance(end) && things.iter().any(|thing| self.is_movable(thing)) {
            // `with the key still in place` says how things are, not what goes along.
            clause.doubts.push(Doubt::Words(self.words(at, end + 1)));
            return self.after_adverbs(end);
        }
        let word = if word == "using" || word == "via" { "with".to_owned() } else { word };
        clause.phrases.push(Phrase { word, things, words, names_variant: self.names_variant(at, end) });
        end
    }

    /// Reads noun phrases; `its` means the object of the same order (`the cover with its gasket`).
    pub(super) fn owned_things(&mut self, at: usize, objects: &[Thing]) -> (Vec<Thing>, usize) {
        if !self.is(at, role::POSSESSIVE) || objects.is_empty() {
            return self.things(at);
        }
        let memory = self.memory.clone();
        self.memory.last = objects.to_vec();
        self.memory.trust = Trust::Known;
        let read = self.things(at);
        self.memory = memory;
        read
    }

    /// Returns whether words at `at` say how the thing before them is.
    pub(super) fn is_circumstance(&self, at: usize) -> bool {
        let next = self.after_adverbs(at);
        let places = ["in place", "in position", "in situ"].into_iter().any(|words| self.says_all(next, words));
        let is_left = ["fitted", "installed", "attached", "removed", "on", "off", "in", "out"]
            .into_iter()
            .any(|word| self.says(next, word))
            && !self.may_name(next + 1);
        next > at || places || is_left || self.is_state(next)
    }

    pub(super) fn is_place_start(&self, at: usize) -> bool {
        self.may_name(at) && (self.is_noun(at) || !self.is(at, role::ADVERB | role::SEQUENCE))
    }

    /// Returns whether a preposition begins words about something done, not a place or a tool.
    pub(super) fn is_preposition_of_clause(&self, word: &str, next: usize) -> bool {
        let is_gerund = self.verb_at(next, &[Form::Gerund]).is_some() && !self.is_noun(next);
        let is_purpose = word == "to"
            && self.found(next).is_none()
            && self.item(next).is_some_and(|item| {
                item.kind == Kind::Word
                    && item.number.is_none()
                    && !item.is(role::DETERMINER | role::QUANTIFIER | role::SHARE | role::POSSESSIVE)
            })
            && (self.verb_at(next, &[Form::Base]).is_some() || self.is(next, role::AUXILIARY));
        let is_order = word == "to" && self.is_order(next);
        is_gerund
            || is_purpose
            || is_order
            || matches!(
                word,
                "after"
                    | "before"
                    | "until"
                    | "till"
                    | "during"
                    | "past"
                    | "without"
                    | "like"
                    | "except"
                    | "excluding"
                    | "including"
                    | "besides"
            )
    }

    /// Returns the end of words of manner that begin at `at`: turns, shares of turns, and listed phrases.
    pub(super) fn manner_end(&self, at: usize) -> Option<usize> {
        let mut end = at;
        let mut has_number = false;
        while let Some(item) = self.item(end) {
            let is_share = item.is(role::SHARE)
                || item.text == "a"
                || item.text == "an"
                || item.text == "full"
                || item.text == "complete"
                || item.text == "and" && has_number;
            let is_fraction = item.kind == Kind::Number || item.number.is_some() || item.text.contains('/');
            if !(is_share || is_fraction) {
                break;
            }
            has_number |= is_fraction || item.is(role::SHARE);
            end += 1;
        }
        let is_turn = end > at
            && ["turn", "turns", "revolution", "revolutions", "lap", "time", "times"]
                .into_iter()
                .any(|word| self.says(end, word));
        if is_turn {
            end += 1;
            if self.says(end, "each") || self.says(end, "only") {
                end += 1;
            }
            if self.says(end, "at") && self.says(end + 1, "a") && self.says(end + 2, "time") {
                end += 3;
            }
            return Some(end);
        }
        const PHRASES: [&str; 22] = [
            "a little at a time",
            "one at a time",
            "two at a time",
            "one by one",
            "one after the other",
            "one after another",
            "each in turn",
            "in turn",
            "bit by bit",
            "step by step",
            "little by little",
            "by hand only",
            "by hand",
            "in place",
            "in position",
            "into place",
            "into position",
            "all round",
            "all the way",
            "at once",
            "at the same time",
            "as one",
        ];
        PHRASES.into_iter().find(|phrase| self.says_all(at, phrase)).map(|phrase| at + phrase.split(' ').count())
    }

    /// Returns the end of words that do not matter here: where the next clause begins, or the sentence ends.
    pub(super) fn skip(&self, from: usize) -> usize {
        let mut at = from;
        while let Some(item) = self.item(at) {
            if item.is_mark(';') {
                return at;
            }
            let joins = item.is_mark(',') || item.is(role::CONJUNCTION) || item.says("then");
            if joins && self.starts_order(at + 1) {
                return at;
            }
            at += 1;
        }
        at
    }

    /// Returns whether an order begins at `at`, behind joining words.
    pub(super) fn starts_order(&self, at: usize) -> bool {
        let at = self.after_adverbs(self.after_joins(at));
        self.is_ban(at).is_some() || self.person_acts(at).is_some() || self.is_order(at)
    }
}
