//! Clauses: conditions, bans, subjects, orders and what stands behind them; what an order does is decided elsewhere.

use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::action::Act;
use crate::language::listed::{Talk, role};
use crate::language::memory::{Said, Thing, Trust, What};
use crate::language::noun::NounKind;
use crate::language::parser::{Parser, VerbUse};
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::{Sense, Verb};

/// An order with everything that belongs to it.
#[derive(Default)]
pub(super) struct Clause<'a> {
    /// Its verbs; several share the objects (`close and lock`).
    pub(super) verbs: Vec<&'a Verb>,
    /// What they are done to.
    pub(super) objects: Vec<Thing>,
    /// Prepositions with what stands behind them.
    pub(super) phrases: Vec<Phrase>,
    /// Words of direction (`off`, `back`).
    pub(super) particles: Vec<String>,
    /// True after `do not`.
    pub(super) is_banned: bool,
    /// True where the words say that it is tightened by hand.
    pub(super) is_by_hand: bool,
    /// True where only a share of a torque is named.
    pub(super) is_share: bool,
    /// True where words behind it say what is confirmed, told or awaited.
    pub(super) has_content: bool,
    /// First item.
    pub(super) from: usize,
    /// First item behind it.
    pub(super) to: usize,
    /// Its doubts.
    pub(super) doubts: Vec<Doubt>,
}

/// A preposition with what stands behind it.
pub(super) struct Phrase {
    /// The preposition.
    pub(super) word: String,
    /// What stands behind it.
    pub(super) things: Vec<Thing>,
    /// All its words.
    pub(super) words: String,
}

impl Clause<'_> {
    /// Returns whether any of its verbs may move something.
    pub(super) fn may_move(&self) -> bool {
        self.verbs.iter().any(|verb| verb.sense.may_move() || verb.disputed.is_some())
    }

    fn asks(&self) -> bool {
        let asks = |act| matches!(act, Act::Confirm | Act::Look | Act::Tell | Act::Record | Act::Wait);
        self.verbs.iter().all(|verb| matches!(verb.sense, Sense::Act(act) if asks(act)))
    }
}

impl<'a> Parser<'a> {
    /// Reads the whole sentence.
    pub(super) fn sentence(&mut self) {
        let mut at = 0;
        let mut fronted = Vec::new();
        while at < self.items.len() && self.obstacle.is_none() {
            let next = self.clause(at, &mut fronted);
            if next <= at {
                self.obstacle.get_or_insert(Obstacle::NoVerb);
                return;
            }
            at = next;
        }
        if !fronted.is_empty() {
            self.obstacle.get_or_insert(Obstacle::NoVerb);
        }
    }

    /// Reads one clause; what stands before an order (`Using a puller, ...`) is kept for it.
    fn clause(&mut self, at: usize, fronted: &mut Vec<Phrase>) -> usize {
        let start = self.to_clause(at);
        if self.item(start).is_none() {
            return start;
        }
        if self.says(start, "otherwise") || self.says(start, "else") {
            self.is_conditional = true;
            return start + 1;
        }
        if let Some(next) = self.is_ban(start) {
            let next = self.after_adverbs(next);
            return self.banned(start, next);
        }
        if self.is_order(start) || (self.verb_at(start, &[Form::Base]).is_some() && self.subject_end(start).is_none()) {
            return self.order(start, start, Form::Base, std::mem::take(fronted));
        }
        if self.is_next_third(start) {
            return self.order(start, start, Form::Third, std::mem::take(fronted));
        }
        if let Some(verb) = self.person_acts(start) {
            let form = if self.verb_at(verb, &[Form::Third]).is_some() { Form::Third } else { Form::Base };
            return self.order(start, verb, form, std::mem::take(fronted));
        }
        if self.is(start, role::SUBORDINATOR) && !self.says(start, "that") {
            return self.leading(start);
        }
        if self.verb_at(start, &[Form::Gerund]).is_some() && !self.says(start, "using") && self.subject_end(start).is_none() {
            let word = self.words(start, start + 1);
            self.doubts.push(Doubt::Verb(word));
            return self.order(start, start, Form::Gerund, std::mem::take(fronted));
        }
        if self.is(start, role::PREPOSITION) {
            return self.fronted(start, fronted);
        }
        if let Some(auxiliary) = self.subject_end(start) {
            return self.subject(start, auxiliary);
        }
        self.fragment(start)
    }

    /// Moves to where a clause begins: over marks, `and`, `then` and a label (`Note:`).
    pub(super) fn to_clause(&mut self, mut at: usize) -> usize {
        loop {
            let Some(item) = self.item(at) else { return at };
            if item.says("or") && !self.actions.is_empty() {
                self.doubts.push(Doubt::Words("or".to_owned()));
            }
            let is_label = self.is_mark(at + 1, ':') && item.kind == Kind::Word && self.verb_at(at, &[Form::Base]).is_none_or(|_| item.says("note"));
            match item.kind {
                Kind::Mark(_) => at += 1,
                _ if is_label => at += 2,
                _ if item.is(role::CONJUNCTION) => at += 1,
                _ if item.is(role::SEQUENCE | role::ADVERB) && !self.is_order(at) && !self.is_noun(at) => at += 1,
                _ => return at,
            }
        }
    }

    /// Reads a clause under a leading IF, WHEN, ONCE and the like.
    fn leading(&mut self, start: usize) -> usize {
        let word = self.words(start, start + 1);
        let Some((end, is_then)) = self.main_after(start) else {
            self.obstacle.get_or_insert(Obstacle::NoVerb);
            return self.items.len();
        };
        let is_if = matches!(word.as_str(), "if" | "unless" | "provided" | "whenever" | "in-case") || (word == "when" && is_then);
        if is_if {
            self.is_conditional = true;
            self.remember_condition(start, end);
        } else if matches!(word.as_str(), "where" | "wherever") {
            self.is_conditional = true;
            self.doubts.push(Doubt::Words(self.words(start, end)));
        } else if word != "before" && self.hides_action(start, end) {
            self.doubts.push(Doubt::Words(self.words(start, end).trim_end_matches(" ,").to_owned()));
        }
        self.mention(start, end);
        end
    }

    /// Returns where the main clause begins behind a leading clause, and whether THEN stands before it.
    pub(super) fn main_after(&self, start: usize) -> Option<(usize, bool)> {
        let then = (start + 1..self.items.len()).find(|at| {
            self.says(*at, "then") && (self.starts_clause(at + 1) || self.is_mark(at - 1, ','))
        });
        if let Some(at) = then {
            return Some((at + 1, true));
        }
        (start + 1..self.items.len()).find(|at| self.is_mark(*at, ',') && self.starts_clause(at + 1)).map(|at| (at + 1, false))
    }

    /// Takes what a condition is about as what `it` stands for.
    fn remember_condition(&mut self, from: usize, to: usize) {
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

    /// Returns the parts, openings, items and points named between two items.
    pub(super) fn movable(&self, from: usize, to: usize) -> Vec<(usize, usize)> {
        let mut things: Vec<(usize, usize)> = Vec::new();
        let mut at = from;
        while at < to {
            let found = self.found(at);
            let length = found.as_ref().map_or(1, |found| found.length);
            if let Some(crate::language::matching::FoundWhat::Nouns(nouns)) = found.map(|found| found.what) {
                let kinds = [NounKind::Part, NounKind::Opening, NounKind::Temporary, NounKind::Point];
                let movable = nouns.into_iter().filter(|noun| kinds.contains(&self.lexicon.noun(*noun).kind));
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
        has_thing && (from..to).any(is_moved)
    }

    /// Keeps the tools and fluids of words that use none of them.
    pub(super) fn mention(&mut self, from: usize, to: usize) {
        let mut at = from;
        while at < to {
            let found = self.found(at);
            let length = found.as_ref().map_or(1, |found| found.length);
            if let Some(crate::language::matching::FoundWhat::Nouns(nouns)) = found.map(|found| found.what) {
                for noun in nouns.into_iter().map(|noun| self.lexicon.noun(noun)) {
                    if matches!(noun.kind, NounKind::Tool | NounKind::Fluid) && !self.mentions.contains(&noun.name) {
                        self.mentions.push(noun.name.clone());
                    }
                }
            }
            at += length;
        }
    }

    /// Reads what is forbidden: it does nothing, but the words must be an order all the same.
    fn banned(&mut self, start: usize, verb: usize) -> usize {
        let has_verb = self.verb_at(verb, &[Form::Base]).is_some();
        if has_verb {
            let mut clause = Clause { from: start, is_banned: true, ..Clause::default() };
            let end = self.body(&mut clause, verb, Form::Base);
            if self.obstacle.is_none() || self.is_plain_to_end(end) {
                self.obstacle = None;
                self.mention(start, end);
                self.remember(&clause.objects);
                return end;
            }
            return end;
        }
        if self.is_plain_to_end(verb) {
            self.mention(start, self.items.len());
            return self.items.len();
        }
        self.obstacle.get_or_insert(Obstacle::Verb(self.words(verb, verb + 1)));
        self.items.len()
    }

    /// Returns whether nothing from `at` on could begin another clause.
    fn is_plain_to_end(&self, at: usize) -> bool {
        !(at..self.items.len()).any(|at| {
            let joins = self.is(at, role::CONJUNCTION | role::SEQUENCE) && !self.says(at, "or");
            joins || matches!(self.item(at).map(|item| item.kind), Some(Kind::Mark(_)))
        })
    }

    /// Reads words before an order that say where or with what; they end with a comma.
    pub(super) fn fronted(&mut self, start: usize, fronted: &mut Vec<Phrase>) -> usize {
        let comma = (start..self.items.len()).find(|at| self.is_mark(*at, ',') && self.starts_clause(at + 1));
        let is_verb = |at: usize| self.verb_at(at, &[Form::Gerund, Form::Base]).is_some() && !self.is_noun(at);
        let purpose = self.says(start, "to") && is_verb(start + 1);
        let gerund = self.verb_at(start + 1, &[Form::Gerund]).is_some() && !self.is_noun(start + 1);
        let region = ["after", "before", "until", "till", "during"].into_iter().any(|word| self.says(start, word));
        if let (Some(comma), true) = (comma, purpose || gerund || region) {
            let is_before = self.says(start, "before") || self.says(start, "for");
            if !is_before && (self.hides_action(start, comma) || (purpose && self.purpose_moves(start, comma))) {
                self.doubts.push(Doubt::Words(self.words(start, comma)));
            }
            self.mention(start, comma);
            return comma + 1;
        }
        let mut clause = Clause::default();
        let end = self.phrase(&mut clause, start);
        if end <= start {
            self.obstacle.get_or_insert(Obstacle::NoVerb);
            return self.items.len();
        }
        fronted.append(&mut clause.phrases);
        self.doubts.append(&mut clause.doubts);
        end
    }

    /// Returns whether a purpose (`to free the rotor`) may be something done.
    fn purpose_moves(&self, from: usize, to: usize) -> bool {
        let verb = self.verb_at(from + 1, &[Form::Base]);
        let is_calm = verb.is_some_and(|found| !found.verb.sense.may_move());
        !is_calm && !self.movable(from, to).is_empty()
    }

    /// Reads an order with everything that belongs to it.
    fn order(&mut self, start: usize, verb: usize, form: Form, fronted: Vec<Phrase>) -> usize {
        let mut clause = Clause { from: start, phrases: fronted, ..Clause::default() };
        let end = self.body(&mut clause, verb, form);
        clause.to = end;
        self.act(clause);
        end
    }

    /// Reads verbs, objects and what stands behind them.
    pub(super) fn body(&mut self, clause: &mut Clause<'a>, verb: usize, form: Form) -> usize {
        self.is_third = form == Form::Third;
        let at = self.shared_verbs(clause, verb, form);
        let at = if self.is_try(clause, at) { self.skip(at) } else { self.objects(clause, at) };
        self.tail(clause, at)
    }

    /// Reads verbs that share what follows (`loosen and remove the nuts`).
    fn shared_verbs(&mut self, clause: &mut Clause<'a>, mut at: usize, form: Form) -> usize {
        loop {
            let Some(found) = self.verb_at(at, &[form]) else { return at };
            clause.verbs.push(found.verb);
            at += found.length;
            let mut next = at;
            while self.is_mark(next, ',') || self.is(next, role::CONJUNCTION) || self.says(next, "then") {
                next += 1;
            }
            let is_more = next > at && self.verb_at(self.after_adverbs(next), &[form]).is_some_and(|more| self.shares(&found, &more, next));
            if !is_more {
                return at;
            }
            at = self.after_adverbs(next);
        }
    }

    /// Returns whether two verbs share an object, so that no object stands between them.
    fn shares(&self, _first: &VerbUse<'a>, _second: &VerbUse<'a>, next: usize) -> bool {
        let next = self.after_adverbs(next);
        self.is_order(next) || self.verb_at(next, &[Form::Third]).is_some()
    }

    /// Returns whether the clause presses START: an object that is a button, or a try.
    fn is_try(&self, clause: &Clause<'a>, _at: usize) -> bool {
        matches!(clause.verbs[..], [verb] if verb.sense == Sense::Try)
    }

    /// Reads the direct objects.
    fn objects(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let mut at = self.adverbs(at);
        if self.is(at, role::PARTICLE) && !self.is(at, role::PREPOSITION | role::SUBORDINATOR) && self.may_name(at + 1) {
            clause.particles.push(self.words(at, at + 1));
            at = self.adverbs(at + 1);
        }
        if clause.asks() && self.content(at) {
            clause.has_content = true;
            return self.skip(at);
        }
        if !self.may_name(at) || self.is(at, role::SUBORDINATOR) && !self.is(at, role::DETERMINER) {
            return at;
        }
        if self.manner_end(at).is_some() {
            return at;
        }
        let (things, end) = self.things(at);
        let says = self.is(end, role::AUXILIARY) || self.verb_at(end, &[Form::Third]).is_some() || self.is(end, role::NEGATION);
        if clause.asks() && says {
            clause.has_content = true;
            return self.skip(end);
        }
        clause.objects = things;
        end
    }

    /// Returns whether what follows says what is confirmed, told or awaited.
    fn content(&self, at: usize) -> bool {
        ["that", "whether", "if", "how", "why", "what", "when", "until", "for", "where", "to", "which", "till"].into_iter().any(|word| self.says(at, word))
            && !(self.says(at, "that") && self.found(at + 1).is_some() && !self.has_verb(at + 1))
            && !(self.says(at, "for") || self.says(at, "to"))
    }

    fn has_verb(&self, at: usize) -> bool {
        (at..self.items.len()).any(|at| self.is(at, role::AUXILIARY) || self.verb_at(at, &[Form::Third, Form::Base]).is_some())
    }

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
    fn over_mark(&mut self, clause: &mut Clause<'a>, at: usize, mark: char) -> Option<usize> {
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

    fn after_joins(&self, mut at: usize) -> usize {
        while self.is(at, role::CONJUNCTION) || self.says(at, "then") || self.says(at, "finally") || self.says(at, "also") {
            at += 1;
        }
        at
    }

    /// Moves over `and` inside a clause; none where the clause ends.
    fn over_conjunction(&mut self, clause: &mut Clause<'a>, at: usize) -> Option<usize> {
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
    fn goes_on(&mut self, clause: &mut Clause<'a>, next: usize) -> usize {
        let is_phrase = self.is(next, role::PREPOSITION | role::SUBORDINATOR | role::ADVERB | role::SEQUENCE | role::CONJUNCTION | role::NEGATION);
        if is_phrase || self.manner_end(next).is_some() || self.is_kind(next, Kind::See) || self.verb_at(next, &[Form::Gerund]).is_some() {
            return next;
        }
        if self.may_name(next) && !clause.objects.is_empty() && clause.phrases.is_empty() {
            let (things, end) = self.things(next);
            clause.objects.extend(things);
            return end;
        }
        let end = self.skip(next);
        clause.doubts.push(Doubt::Words(self.words(next, end)));
        end
    }

    /// Reads one word or phrase behind the objects.
    fn tail_word(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        if let Some(end) = self.manner_end(at) {
            return end;
        }
        if let Some(end) = self.hand_tight_end(at) {
            clause.is_by_hand = true;
            return end;
        }
        let runs = clause.verbs.iter().all(|verb| verb.sense == Sense::Act(Act::Run));
        if self.is_state(at) && (!clause.may_move() || runs) {
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
            if !things.is_empty() && things.iter().all(|thing| thing.what == What::Quantity || thing.is_talk(Talk::Manner)) {
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
    fn doing(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let end = self.skip(at + 1);
        let is_after_comma = at > 0 && self.is_mark(at - 1, ',');
        let limits = clause.may_move() && !is_after_comma && !self.movable(at, end).is_empty();
        let is_calm = ["starting", "beginning", "finishing"].into_iter().any(|word| self.says(at, word))
            || self.verb_at(at, &[Form::Gerund]).is_some_and(|found| !found.verb.sense.may_move());
        let known = self.mentions.len();
        self.mention(at, end);
        if !is_calm || limits || self.mentions.len() > known {
            clause.doubts.push(Doubt::Words(self.words(at, end)));
        }
        end
    }

    fn adverbs(&self, mut at: usize) -> usize {
        while self.is(at, role::ADVERB | role::SEQUENCE) && !self.is_noun(at) && !self.is(at, role::SELECTIVE | role::UNIT) {
            at += 1;
        }
        at
    }

    /// Reads a trailing clause: until, when, that, as and the like.
    fn subordinate(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let word = self.words(at, at + 1);
        let end = self.skip(at + 1);
        let words = self.words(at, end);
        self.mention(at, end);
        match word.as_str() {
            "if" | "unless" if clause.asks() => clause.has_content = true,
            "if" | "unless" | "whenever" | "provided" => {
                let is_last = end >= self.items.len();
                let moved_before = self.actions.iter().any(|action| action.act.moves());
                if !is_last || moved_before {
                    clause.doubts.push(Doubt::Words(words));
                }
                self.is_conditional = true;
            }
            "until" | "till" => {
                const ENDS: [&str; 16] = [
                    "off", "out", "free", "away", "loose", "clear", "on", "removed", "released", "tight", "open", "opened", "closed", "shut", "home", "seated",
                ];
                let is_wait = clause.asks();
                if !is_wait && (at..end).any(|at| ENDS.iter().any(|word| self.says(at, word))) {
                    clause.doubts.push(Doubt::Words(words));
                }
            }
            "that" | "which" | "who" | "whose" | "where" | "wherever" | "what" if clause.may_move() => clause.doubts.push(Doubt::Words(words)),
            "as" if self.says(at + 1, "soon") => {
                if self.hides_action(at, end) {
                    clause.doubts.push(Doubt::Words(words));
                }
            }
            "as" if clause.may_move() => {
                let is_shown = ["in", "shown", "marked", "before", "found", "described", "given", "printed", "numbered", "listed"].into_iter().any(|word| self.says(at + 1, word));
                if !is_shown || clause.objects.is_empty() {
                    clause.doubts.push(Doubt::Words(words));
                }
            }
            _ if word != "before" && self.hides_action(at, end) => clause.doubts.push(Doubt::Words(words)),
            _ => {}
        }
        end
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
    fn starts_order(&self, at: usize) -> bool {
        let at = self.after_adverbs(self.after_joins(at));
        self.is_ban(at).is_some() || self.person_acts(at).is_some() || self.is_order(at)
    }

    /// Reads a preposition with what stands behind it, or a word of direction.
    fn phrase(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let mut word = self.words(at, at + 1);
        let mut next = at + 1;
        if self.is(next, role::PREPOSITION) && self.is(at, role::PARTICLE | role::PREPOSITION) {
            // `out of`, `away from`, `back into`: the direction, and then the place.
            clause.particles.push(word);
            word = self.words(next, next + 1);
            next += 1;
        }
        for (words, as_word) in [("means of", "with"), ("help of", "with"), ("the help of", "with"), ("the aid of", "with"), ("use of", "with"), ("way of", "with")] {
            if self.says_all(next, words) {
                word = as_word.to_owned();
                next += words.split(' ').count();
            }
        }
        if (word == "until" || word == "till") && next == at + 1 {
            return self.subordinate(clause, at);
        }
        if self.is_preposition_of_clause(&word, next) {
            let end = self.skip(next);
            let words = self.words(at, end);
            let is_calm = matches!(word.as_str(), "before" | "without" | "for" | "until" | "till");
            let moves = if word == "to" { self.purpose_moves(next - 1, end) } else { !is_calm && self.hides_action(next, end) };
            if moves && !clause.is_banned {
                clause.doubts.push(Doubt::Words(words));
            }
            self.mention(at, end);
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
        let (things, end) = self.owned_things(next, &clause.objects);
        if things.is_empty() {
            clause.particles.push(word);
            return next;
        }
        let words = self.words(at, end);
        let word = if word == "using" || word == "via" { "with".to_owned() } else { word };
        clause.phrases.push(Phrase { word, things, words });
        end
    }

    /// Reads noun phrases; `its` means the object of the same order (`the cover with its gasket`).
    fn owned_things(&mut self, at: usize, objects: &[Thing]) -> (Vec<Thing>, usize) {
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

    fn is_place_start(&self, at: usize) -> bool {
        self.may_name(at) && !(self.is(at, role::ADVERB | role::SEQUENCE) && !self.is_noun(at))
    }

    /// Returns whether a preposition begins words about something done, not a place or a tool.
    fn is_preposition_of_clause(&self, word: &str, next: usize) -> bool {
        let is_gerund = self.verb_at(next, &[Form::Gerund]).is_some() && !self.is_noun(next);
        let is_purpose = word == "to"
            && self.found(next).is_none()
            && self.item(next).is_some_and(|item| item.kind == Kind::Word && item.number.is_none() && !item.is(role::DETERMINER | role::QUANTIFIER | role::SHARE | role::POSSESSIVE))
            && (self.verb_at(next, &[Form::Base]).is_some() || self.is(next, role::AUXILIARY));
        let is_order = word == "to" && self.is_order(next);
        is_gerund || is_purpose || is_order || matches!(word, "after" | "before" | "until" | "till" | "during" | "past" | "without" | "like" | "except")
    }

    /// Returns the end of words of manner that begin at `at`: turns, shares of turns, and listed phrases.
    pub(super) fn manner_end(&self, at: usize) -> Option<usize> {
        let mut end = at;
        let mut has_number = false;
        while let Some(item) = self.item(end) {
            let is_share = item.is(role::SHARE) || item.text == "a" || item.text == "an" || item.text == "full" || item.text == "complete" || item.text == "and" && has_number;
            let is_fraction = item.kind == Kind::Number || item.number.is_some() || item.text.contains('/');
            if !(is_share || is_fraction) {
                break;
            }
            has_number |= is_fraction || item.is(role::SHARE);
            end += 1;
        }
        let is_turn = end > at && ["turn", "turns", "revolution", "revolutions", "lap", "time", "times"].into_iter().any(|word| self.says(end, word));
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

    /// Reads a subject with its auxiliary: a passive, a duty of a person, or a statement.
    fn subject(&mut self, start: usize, auxiliary: usize) -> usize {
        self.is_subject = true;
        let (things, end) = self.things(start);
        self.is_subject = false;
        let mut at = auxiliary;
        let (mut is_duty, mut is_banned, mut is_free, mut is_past) = (false, false, false, false);
        while let Some(item) = self.item(at) {
            let is_chain = item.is(role::AUXILIARY | role::NEGATION | role::SEQUENCE) || item.says("to") || (item.is(role::ADVERB) && self.verb_at(at, &[Form::Past]).is_none());
            if !is_chain {
                break;
            }
            is_duty |= matches!(item.text.as_str(), "must" | "shall" | "should" | "need" | "needs" | "to");
            is_free |= matches!(item.text.as_str(), "can" | "may" | "could" | "might" | "will" | "would");
            is_past |= matches!(item.text.as_str(), "has" | "have" | "had" | "was" | "were") && !self.says(at + 1, "to");
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
    fn statement(&mut self, start: usize, from: usize, (things, is_whole, is_duty): (&[Thing], bool, bool)) -> usize {
        let end = self.skip(from);
        let is_value = self.lexicon.reading(&self.name_words(start, from.saturating_sub(1))).is_some();
        let is_unknown = !is_value && !is_whole || !is_value && things.iter().any(|thing| thing.what == What::Unknown && !thing.is_pronoun);
        if is_unknown {
            self.obstacle.get_or_insert(Obstacle::Noun(self.words(start, from)));
            return end;
        }
        let names_state = ["off", "out", "on", "open", "closed", "shut", "locked", "in", "tight", "loose", "away", "down", "back"].into_iter();
        let is_ordered = is_duty && names_state.clone().any(|word| (from..end).any(|at| self.says(at, word)));
        if is_ordered || self.hides_action(from, end) {
            self.doubts.push(Doubt::Words(self.words(start, end)));
        }
        self.mention(start, end);
        end
    }

    /// Reads what has no verb in the form of an order: a participle (`guard removed`), or nothing that can be read.
    fn fragment(&mut self, start: usize) -> usize {
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
        let is_verb_like = self.found(start).is_none() && self.is_kind(start, Kind::Word) && self.item(start).is_some_and(|item| item.roles == 0);
        let follows = self.is_object_start(start + 1) || self.found(start + 1).is_some();
        let obstacle = if is_verb_like && follows { Obstacle::Verb(self.words(start, start + 1)) } else { Obstacle::NoVerb };
        self.obstacle.get_or_insert(obstacle);
        self.items.len()
    }

    /// Takes objects as what pronouns stand for.
    pub(super) fn remember(&mut self, objects: &[Thing]) {
        let is_tool = |thing: &Thing| {
            let mut kinds = thing.nouns().iter().map(|at| self.lexicon.noun(*at).kind);
            !thing.nouns().is_empty() && kinds.all(|kind| matches!(kind, NounKind::Tool | NounKind::Fluid))
        };
        let things: Vec<Thing> = objects.iter().filter(|thing| !is_tool(thing) && thing.what != What::Quantity).cloned().collect();
        let is_new: Vec<usize> = things.iter().filter(|thing| thing.is_new).flat_map(|thing| thing.nouns().to_vec()).collect();
        self.memory.new.extend(is_new);
        if objects.is_empty() {
            return;
        }
        if things.is_empty() {
            if self.memory.trust == Trust::Known && objects.iter().any(is_tool) {
                self.memory.trust = Trust::Doubtful;
            }
            return;
        }
        let is_unsure = things.iter().any(|thing| !thing.doubts.is_empty() || matches!(thing.what, What::Unknown));
        if things.iter().all(|thing| thing.is_pronoun) && self.memory.trust != Trust::Known {
            return;
        }
        self.memory.last = things;
        self.memory.trust = if is_unsure { Trust::Doubtful } else { Trust::Known };
    }
}
