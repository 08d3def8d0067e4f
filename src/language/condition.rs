//! Words that are no order of their own: conditions, times, purposes; they move nothing, and are asked about where they might.

use crate::language::action::Act;
use crate::language::clause::Clause;
use crate::language::inflect::Form;
use crate::language::listed::role;
use crate::language::matching::FoundWhat;
use crate::language::memory::{Said, Thing, Trust, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::Sense;

impl<'a> Parser<'a> {
    /// Reads a clause under a leading IF, WHEN, ONCE and the like.
    pub(super) fn leading(&mut self, start: usize) -> usize {
        let word = self.words(start, start + 1);
        let Some((end, is_then)) = self.main_after(start) else {
            self.obstacle.get_or_insert(Obstacle::NoVerb);
            return self.items.len();
        };
        let is_if = matches!(word.as_str(), "if" | "unless" | "provided" | "whenever" | "in-case" | "should")
            || (word == "when" && is_then);
        if is_if {
            self.is_conditional = true;
            self.remember_condition(start, end);
        } else if matches!(word.as_str(), "where" | "wherever") {
            self.is_conditional = true;
            self.doubts.push(Doubt::Words(self.words(start, end)));
        } else if self.is_presence(start) {
            self.is_conditional = true;
            self.doubts.push(Doubt::Words(self.words(start, end).trim_end_matches(" ,").to_owned()));
        } else if word != "before" && (self.hides_action(start, end) || self.somebody_moves(start, end)) {
            self.doubts.push(Doubt::Words(self.words(start, end).trim_end_matches(" ,").to_owned()));
        }
        if matches!(word.as_str(), "when" | "once" | "after" | "as" | "till" | "until") && !is_if {
            self.defer(start, end);
        }
        self.mention(start, end);
        end
    }

    /// Returns where the main clause begins behind a leading clause, and whether THEN stands before it.
    pub(super) fn main_after(&self, start: usize) -> Option<(usize, bool)> {
        let then = (start + 1..self.items.len())
            .find(|at| self.says(*at, "then") && (self.starts_clause(at + 1) || self.is_mark(at - 1, ',')));
        if let Some(at) = then {
            return Some((at + 1, true));
        }
        (start + 1..self.items.len())
            .find(|at| self.is_mark(*at, ',') && self.starts_clause(at + 1))
            .map(|at| (at + 1, false))
    }

    /// Takes what a condition is about as what `it` stands for.
    pub(super) fn remember_condition(&mut self, from: usize, to: usize) {
        let things = self.movable(from, to);
        if let [(at, noun)] = things[..] {
            let mut thing = Thing::unknown(self.lexicon.noun(noun).name.clone(), (at, at + 1));
            thing.what = What::Nouns(vec![noun]);
            let last = self.found(at).map_or(at, |found| at + found.length - 1);
            thing.said = if self.item(last).is_some_and(|item| item.is_plural) { Said::Plural } else { Said::Singular };
            self.memory.last = vec![thing];
            self.memory.trust = Trust::Known;
            return;
        }
        let has_pronoun = (from..to).any(|at| self.says(at, "it") || self.says(at, "they"));
        if !(things.is_empty() && has_pronoun) && self.memory.trust == Trust::Known {
            self.memory.trust = Trust::Doubtful;
        }
    }

    /// Reads a trailing clause: until, when, that, as and the like.
    pub(super) fn subordinate(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let word = self.words(at, at + 1);
        let end = self.skip(at + 1);
        let words = self.words(at, end);
        self.mention(at, end);
        match word.as_str() {
            "if" | "unless" if clause.asks() => clause.has_content = true,
            "if" | "unless" | "whenever" | "provided" => {
                self.condition(clause, (at, end));
            }
            "until" | "till" => {
                const ENDS: [&str; 16] = [
                    "off", "out", "free", "away", "loose", "clear", "on", "removed", "released", "tight", "open",
                    "opened", "closed", "shut", "home", "seated",
                ];
                let is_wait = clause.asks();
                if self.somebody_moves(at, end)
                    || !is_wait && (at..end).any(|at| ENDS.iter().any(|word| self.says(at, word)))
                {
                    clause.doubts.push(Doubt::Words(words));
                }
            }
            "that" | "which" | "who" | "whose" | "where" | "wherever" | "what" if clause.may_move() => {
                clause.doubts.push(Doubt::Words(words));
            }
            "as" if self.says(at + 1, "soon") && self.hides_action(at, end) => {
                clause.doubts.push(Doubt::Words(words));
            }
            "as" if clause.may_move() => {
                let is_shown =
                    ["in", "shown", "marked", "before", "found", "described", "given", "printed", "numbered", "listed"]
                        .into_iter()
                        .any(|word| self.says(at + 1, word));
                if !is_shown || clause.objects.is_empty() {
                    clause.doubts.push(Doubt::Words(words));
                }
            }
            "when" if clause.may_move() && self.is_presence(at) => {
                self.is_conditional = true;
                clause.doubts.push(Doubt::Words(words));
            }
            "while" | "whilst" if self.names_tool(at, end) || self.is_coming_off(at, end) => {
                clause.doubts.push(Doubt::Words(words));
            }
            _ if word != "before" && (self.hides_action(at, end) || self.somebody_moves(at, end)) => {
                clause.doubts.push(Doubt::Words(words));
            }
            _ => {}
        }
        let is_time = matches!(word.as_str(), "when" | "once" | "after" | "during") || self.says_all(at, "as soon as");
        if is_time {
            self.defer_behind(clause, at, end);
        } else if matches!(word.as_str(), "while" | "whilst") && clause.may_move() && self.runs_inside(at, end) {
            clause.doubts.push(Doubt::Words(self.words(at, end)));
        }
        end
    }

    /// Returns whether `when fitted` or the like stands at `at`: a condition, not a time.
    pub(super) fn is_presence(&self, at: usize) -> bool {
        const PRESENT: [&str; 11] = [
            "fitted",
            "present",
            "applicable",
            "necessary",
            "required",
            "needed",
            "worn",
            "damaged",
            "installed",
            "provided",
            "specified",
        ];
        let next = self.after_adverbs(at + 1);
        PRESENT.iter().any(|word| self.says(next, word)) && !self.may_name(next + 1)
    }

    /// Returns the end of `in case of` and the like.
    pub(super) fn case_end(&self, at: usize) -> Option<usize> {
        ["in case of", "in the case of", "in the event of", "in event of", "in case"]
            .into_iter()
            .find(|words| self.says_all(at, words))
            .map(|words| at + words.split(' ').count())
    }

    /// Returns whether words name a kind of machine, for which alone something is done (`on size 4`).
    pub(super) fn names_variant(&self, from: usize, to: usize) -> bool {
        const VARIANTS: [&str; 9] =
            ["size", "type", "model", "version", "variant", "frame", "series", "make", "design"];
        (from..to).any(|at| VARIANTS.iter().any(|word| self.item(at).is_some_and(|item| item.key == *word)) && !self.is_noun(at))
            || (from..to).any(|at| {
                let is_plural = self.item(at).is_some_and(|item| item.is_plural);
                let found = self.found(at).map(|found| &found.what);
                is_plural && matches!(found, Some(FoundWhat::Nouns(nouns)) if nouns.iter().all(|at| self.lexicon.noun(*at).kind == NounKind::Machine) && !nouns.is_empty() && !self.says(at, "both"))
            })
    }

    /// Takes words behind an order as its condition.
    pub(super) fn condition(&mut self, clause: &mut Clause<'a>, (at, end): (usize, usize)) {
        let moved_before = self.actions.iter().any(|action| action.act.moves());
        let is_of_phrase = clause.may_move() && !self.is_plain_condition(clause, at, end);
        if end < self.items.len() || moved_before || is_of_phrase {
            clause.doubts.push(Doubt::Words(self.words(at, end)));
        }
        self.is_conditional = true;
    }

    /// Returns whether words that are no order speak of something being moved (`once the nuts are removed`).
    pub(super) fn hides_action(&self, from: usize, to: usize) -> bool {
        let is_moved = |at: usize| {
            let Some(found) = self.verb_at(at, &[Form::Past, Form::Gerund]) else { return false };
            let is_base = self.verb_at(at, &[Form::Base]).is_some();
            let is_state = is_base && at > 0 && !self.is(at - 1, role::AUXILIARY);
            found.verb.sense.may_move() && !is_state && self.found(at).is_none_or(|noun| noun.length <= found.length)
        };
        let has_thing = !self.movable(from, to).is_empty()
            || (from..to).any(|at| self.says(at, "it") || self.says(at, "them") || self.says(at, "they"));
        has_thing && ((from..to).any(is_moved) || self.orders_inside(from, to))
    }

    /// Returns whether things come off by themselves, or are taken off, meanwhile (`while the nuts come off`).
    fn is_coming_off(&self, from: usize, to: usize) -> bool {
        let ways = ["off", "out", "away", "free", "loose"];
        !self.movable(from, to).is_empty() && (from..to).any(|at| ways.iter().any(|word| self.says(at, word)))
    }

    /// Returns whether a machine runs meanwhile (`while the pump runs`).
    fn runs_inside(&self, from: usize, to: usize) -> bool {
        (from..to).any(|at| {
            self.verb_at(at, &[Form::Third, Form::Gerund]).is_some_and(|found| found.verb.sense == Sense::Act(Act::Run))
        })
    }

    /// Returns whether words that are no order tell somebody to move something (`while you loosen the nut`).
    pub(super) fn orders_inside(&self, from: usize, to: usize) -> bool {
        (from + 1..to).any(|at| {
            let told = self.says(at - 1, "you") || self.says(at - 1, "to");
            told && self.verb_at(at, &[Form::Base]).is_some_and(|found| found.verb.sense.may_move())
        })
    }

    /// Returns the parts, openings, items and points named between two items.
    pub(super) fn movable(&self, from: usize, to: usize) -> Vec<(usize, usize)> {
        let mut things: Vec<(usize, usize)> = Vec::new();
        let mut at = from;
        while at < to {
            let found = self.found(at);
            let length = found.as_ref().map_or(1, |found| found.length);
            if let Some(FoundWhat::Nouns(nouns)) = found.map(|found| &found.what) {
                let kinds = [NounKind::Part, NounKind::Opening, NounKind::Temporary, NounKind::Point];
                let movable = nouns.iter().copied().filter(|noun| kinds.contains(&self.lexicon.noun(*noun).kind));
                for noun in movable {
                    if !things.iter().any(|(_, own)| *own == noun) {
                        things.push((at, noun));
                    }
                }
            }
            at += length;
        }
        things
    }

    /// Returns whether a thing is one that can be moved.
    pub(super) fn is_movable(&self, thing: &Thing) -> bool {
        let kinds = [
            NounKind::Part,
            NounKind::Opening,
            NounKind::Temporary,
            NounKind::Point,
            NounKind::Machine,
            NounKind::Boundary,
        ];
        thing.what == What::Points || thing.nouns().iter().any(|at| kinds.contains(&self.lexicon.noun(*at).kind))
    }

    /// Keeps the tools and fluids of words that use none of them.
    pub(super) fn mention(&mut self, from: usize, to: usize) {
        let mut at = from;
        while at < to {
            let found = self.found(at);
            let length = found.as_ref().map_or(1, |found| found.length);
            if let Some(FoundWhat::Nouns(nouns)) = found.map(|found| &found.what) {
                for noun in nouns.iter().map(|noun| self.lexicon.noun(*noun)) {
                    if matches!(noun.kind, NounKind::Tool | NounKind::Fluid) && !self.mentions.contains(&noun.name) {
                        self.mentions.push(noun.name.clone());
                    }
                }
            }
            at += length;
        }
    }

    /// Returns whether a tool or fluid is named between two items.
    pub(super) fn names_tool(&self, from: usize, to: usize) -> bool {
        (from..to).any(|at| {
            let found = self.found(at).map(|found| &found.what);
            matches!(found, Some(FoundWhat::Nouns(nouns)) if nouns.iter().any(|at| matches!(self.lexicon.noun(*at).kind, NounKind::Tool | NounKind::Fluid)))
        })
    }

    /// Returns whether a purpose (`to free the rotor`) may be something done.
    pub(super) fn purpose_moves(&self, from: usize, to: usize) -> bool {
        let verb = self.verb_at(from + 1, &[Form::Base]);
        let is_calm = verb.is_some_and(|found| !found.verb.sense.may_move());
        !is_calm && !self.movable(from, to).is_empty()
    }
}
