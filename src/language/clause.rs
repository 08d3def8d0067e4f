//! Clauses: conditions, bans, subjects, orders and what stands behind them; what an order does is decided elsewhere.

use crate::language::action::Act;
use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::listed::role;
use crate::language::memory::{Thing, Trust, What};
use crate::language::noun::NounKind;
use crate::language::parser::{Parser, VerbUse};
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::{Sense, Verb};

/// An order with everything that belongs to it.
#[derive(Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a word that was read, or was not")]
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
    /// Shares of the torque that it is tightened to first, in per cent.
    pub(super) passes: Vec<u32>,
    /// True where words behind it say what is confirmed, told or awaited.
    pub(super) has_content: bool,
    /// The word that turns it into a ban (`remove no nuts`).
    pub(super) denial: Option<String>,
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
    /// True where they name a kind of machine.
    pub(super) names_variant: bool,
}

impl Clause<'_> {
    /// Returns whether any of its verbs may move something.
    pub(super) fn may_move(&self) -> bool {
        self.verbs.iter().any(|verb| verb.sense.may_move() || verb.disputed.is_some())
    }

    /// Returns whether a fluid is put onto something, so that a list behind a preposition is what it goes onto.
    pub(super) fn is_fluid(&self) -> bool {
        self.verbs.iter().any(|verb| matches!(verb.sense, Sense::Fluid | Sense::Rest))
    }

    pub(super) fn asks(&self) -> bool {
        let asks = |act| matches!(act, Act::Confirm | Act::Look | Act::Tell | Act::Record | Act::Wait);
        self.verbs.iter().all(|verb| matches!(verb.sense, Sense::Act(act) if asks(act)))
    }
}

impl<'a> Parser<'a> {
    /// Reads the whole sentence.
    pub(super) fn sentence(&mut self) {
        let (mut at, mut from) = (0, 0);
        let mut fronted = Vec::new();
        while at < self.items.len() && self.obstacle.is_none() {
            let before = self.actions.clone();
            let next = self.clause(at, &mut fronted);
            if fronted.is_empty() {
                self.caveats(from, next, &before);
                from = next;
            }
            if next <= at {
                self.obstacle.get_or_insert(Obstacle::NoVerb);
                return;
            }
            at = next;
        }
        if !fronted.is_empty() {
            self.obstacle.get_or_insert(Obstacle::NoVerb);
        }
        self.whole();
    }

    /// Reads one clause; what stands before an order (`Using a puller, ...`) is kept for it.
    pub(super) fn clause(&mut self, at: usize, fronted: &mut Vec<Phrase>) -> usize {
        let start = self.clause_start(at);
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
        let is_should = self.says(start, "should") && self.main_after(start).is_some();
        if is_should || self.is(start, role::SUBORDINATOR) && !self.says(start, "that") {
            return self.leading(start);
        }
        if self.verb_at(start, &[Form::Gerund]).is_some()
            && !self.says(start, "using")
            && self.subject_end(start).is_none()
        {
            let is_calm = self.verb_at(start, &[Form::Gerund]).is_some_and(|found| !found.verb.sense.may_move());
            let leads = self.items[start..].iter().any(|item| item.is_mark(','));
            if !(is_calm && leads) {
                let word = self.words(start, start + 1);
                self.doubts.push(Doubt::Verb(word));
            }
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
    pub(super) fn clause_start(&mut self, mut at: usize) -> usize {
        loop {
            let Some(item) = self.item(at) else { return at };
            if item.says("or") && !self.actions.is_empty() {
                self.doubts.push(Doubt::Words("or".to_owned()));
            }
            let is_label = self.is_mark(at + 1, ':')
                && item.kind == Kind::Word
                && self.verb_at(at, &[Form::Base]).is_none_or(|_| item.says("note"));
            match item.kind {
                Kind::Mark(_) => at += 1,
                _ if is_label => at += 2,
                _ if item.is(role::CONJUNCTION) => at += 1,
                _ if item.is(role::SEQUENCE | role::ADVERB) && !self.is_order(at) && !self.is_noun(at) => at += 1,
                _ => return at,
            }
        }
    }

    /// Reads what is forbidden: it does nothing, but the words must be an order all the same.
    pub(super) fn banned(&mut self, start: usize, verb: usize) -> usize {
        let has_verb = self.verb_at(verb, &[Form::Base]).is_some();
        if has_verb {
            let mut clause = Clause { from: start, is_banned: true, ..Clause::default() };
            let end = self.body(&mut clause, verb, Form::Base);
            self.doubtful_ban(&clause, verb, end);
            if self.obstacle.is_none() || self.is_plain_to_end(end) {
                self.obstacle = None;
                self.mention(start, end);
                self.remember(&clause.objects);
                return end;
            }
            return end;
        }
        if self.is_plain_to_end(verb) {
            // A ban of something unknown may be an order (`never neglect to refit it`).
            self.doubts.push(Doubt::Verb(self.words(start, verb + 1)));
            self.mention(start, self.items.len());
            return self.items.len();
        }
        self.obstacle.get_or_insert(Obstacle::Verb(self.words(verb, verb + 1)));
        self.items.len()
    }

    /// Returns whether nothing from `at` on could begin another clause.
    pub(super) fn is_plain_to_end(&self, at: usize) -> bool {
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
        if let (Some(comma), Some(_)) = (comma, self.case_end(start)) {
            self.is_conditional = true;
            self.remember_condition(start, comma);
            self.mention(start, comma);
            return comma + 1;
        }
        if let (Some(comma), true) = (comma, purpose || gerund || region) {
            if ["after", "during"].into_iter().any(|word| self.says(start, word)) && !gerund {
                self.defer(start, comma);
            }
            let is_before = ["before", "for", "without"].into_iter().any(|word| self.says(start, word));
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
        let is_for_some = clause
            .phrases
            .iter()
            .any(|phrase| phrase.word == "for" && phrase.things.iter().any(|thing| thing.what == What::Unknown));
        if self.names_variant(start, end) || is_for_some {
            self.doubts.push(Doubt::Words(self.words(start, end)));
        }
        fronted.append(&mut clause.phrases);
        self.doubts.append(&mut clause.doubts);
        end
    }

    /// Reads an order with everything that belongs to it.
    pub(super) fn order(&mut self, start: usize, verb: usize, form: Form, fronted: Vec<Phrase>) -> usize {
        let mut clause = Clause { from: start, phrases: fronted, ..Clause::default() };
        let end = self.body(&mut clause, verb, form);
        clause.to = end;
        if let (Some(word), true) = (&clause.denial, clause.may_move()) {
            // `Remove no nuts` forbids: the words are asked about, and nothing is proposed.
            self.doubts.push(Doubt::Words(word.clone()));
            self.doubts.append(&mut clause.doubts);
            self.mention(start, end);
            return end;
        }
        self.held_inside(&mut clause, verb + 1, end);
        self.act(clause);
        end
    }

    /// Reads verbs, objects and what stands behind them.
    pub(super) fn body(&mut self, clause: &mut Clause<'a>, verb: usize, form: Form) -> usize {
        self.is_third = form == Form::Third;
        let at = self.shared_verbs(clause, verb, form);
        clause.denial = self.denied(at).map(str::to_owned);
        let at = if is_try(clause) { self.skip(at) } else { self.objects(clause, at) };
        self.tail(clause, at)
    }

    /// Reads verbs that share what follows (`loosen and remove the nuts`).
    pub(super) fn shared_verbs(&mut self, clause: &mut Clause<'a>, mut at: usize, form: Form) -> usize {
        loop {
            let Some(found) = self.verb_at(at, &[form]) else { return at };
            clause.verbs.push(found.verb);
            at += found.length;
            let mut next = at;
            if clause.is_banned && self.says(next, "but") {
                return at;
            }
            while self.is_mark(next, ',') || self.is(next, role::CONJUNCTION) || self.says(next, "then") {
                next += 1;
            }
            let is_more = next > at
                && self.verb_at(self.after_adverbs(next), &[form]).is_some_and(|more| self.shares(&found, &more, next));
            if !is_more {
                return at;
            }
            at = self.after_adverbs(next);
        }
    }

    /// Returns whether two verbs share an object, so that no object stands between them.
    pub(super) fn shares(&self, _first: &VerbUse<'a>, _second: &VerbUse<'a>, next: usize) -> bool {
        let next = self.after_adverbs(next);
        self.is_order(next) || self.verb_at(next, &[Form::Third]).is_some()
    }

    /// Reads the direct objects.
    pub(super) fn objects(&mut self, clause: &mut Clause<'a>, at: usize) -> usize {
        let mut at = self.adverbs(at);
        if self.is(at, role::PARTICLE) && !self.is(at, role::PREPOSITION | role::SUBORDINATOR) && self.may_name(at + 1)
        {
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
        let says = self.is(end, role::AUXILIARY)
            || self.verb_at(end, &[Form::Third]).is_some()
            || self.is(end, role::NEGATION);
        if clause.asks() && says {
            clause.has_content = true;
            return self.skip(end);
        }
        clause.objects = things;
        end
    }

    /// Returns whether what follows says what is confirmed, told or awaited.
    pub(super) fn content(&self, at: usize) -> bool {
        ["that", "whether", "if", "how", "why", "what", "when", "until", "for", "where", "to", "which", "till"]
            .into_iter()
            .any(|word| self.says(at, word))
            && !(self.says(at, "that") && self.found(at + 1).is_some() && !self.has_verb(at + 1))
            && !(self.says(at, "for") || self.says(at, "to"))
    }

    pub(super) fn has_verb(&self, at: usize) -> bool {
        (at..self.items.len())
            .any(|at| self.is(at, role::AUXILIARY) || self.verb_at(at, &[Form::Third, Form::Base]).is_some())
    }

    pub(super) fn adverbs(&self, mut at: usize) -> usize {
        while self.is(at, role::ADVERB | role::SEQUENCE)
            && !self.is_noun(at)
            && !self.is(at, role::SELECTIVE | role::UNIT)
        {
            at += 1;
        }
        at
    }

    /// Takes objects as what pronouns stand for.
    pub(super) fn remember(&mut self, objects: &[Thing]) {
        let is_tool = |thing: &Thing| {
            let mut kinds = thing.nouns().iter().map(|at| self.lexicon.noun(*at).kind);
            !thing.nouns().is_empty() && kinds.all(|kind| matches!(kind, NounKind::Tool | NounKind::Fluid))
        };
        let things: Vec<Thing> =
            objects.iter().filter(|thing| !is_tool(thing) && thing.what != What::Quantity).cloned().collect();
        let is_new: Vec<usize> =
            things.iter().filter(|thing| thing.is_new).flat_map(|thing| thing.nouns().to_vec()).collect();
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

/// Returns whether something is tried, and what follows is only what.
fn is_try(clause: &Clause<'_>) -> bool {
    matches!(clause.verbs[..], [verb] if verb.sense == Sense::Try)
}
