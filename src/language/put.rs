//! Things moved off, on or aside, as words of direction and place say; what they do not say is asked.

use crate::language::action::{Act, Action, Count};
use crate::language::deed::{Deed, count};
use crate::language::listed::Talk;
use crate::language::memory::{Said, Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::places::{Direction, Rest};
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::Verb;

impl Parser<'_> {
    /// Moves a thing off or on, as the words of direction say.
    pub(super) fn directional(&mut self, deed: &mut Deed, verb: &Verb) {
        if deed.objects.iter().any(|thing| thing.is_talk(Talk::StopButton) || thing.words == "stop") {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
            return deed.actions.push(Action::new(Act::Halt, ""));
        }
        if deed.objects.iter().any(|thing| thing.is_talk(Talk::Lock)) {
            let is_off = deed.places.direction == Direction::Off;
            return self.do_each(deed, if is_off { Act::Unlock } else { Act::Lock }, verb);
        }
        let is_still = |thing: &Thing| {
            matches!(thing.what, What::Talk(Talk::Paper | Talk::Aid | Talk::Manner | Talk::Person | Talk::Tools))
                || matches!(self.kind(thing), Some(NounKind::Tool | NounKind::Inert))
        };
        if !deed.objects.is_empty() && deed.objects.iter().all(is_still) {
            return self.neutral(deed, None, verb);
        }
        match deed.places.direction {
            Direction::Off => self.do_each(deed, Act::Off, verb),
            Direction::On | Direction::Unsaid if deed.places.rest.is_some() => self.rest(deed, verb),
            Direction::On => self.seat(deed, verb),
            Direction::Unsaid | Direction::Unclear => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.unsure(deed, verb);
            }
        }
    }

    /// Fits a thing; one that this step has fitted already is only driven home.
    pub(super) fn seat(&mut self, deed: &mut Deed, verb: &Verb) {
        if self.is_fitted(deed) {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
            let tools = deed.places.tools.clone();
            deed.actions.extend(tools.into_iter().map(|tool| Action::new(Act::Use, tool)));
            return self.unsure(deed, verb);
        }
        if deed.places.places.is_empty() && !deed.places.unknown.is_empty() {
            // Onto what no register knows: fitted, or only laid down?
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        self.do_each(deed, Act::On, verb);
    }

    /// Returns whether this step has fitted all objects already.
    pub(super) fn is_fitted(&self, deed: &Deed) -> bool {
        let mut nouns = deed.objects.iter().flat_map(|thing| thing.nouns().to_vec()).peekable();
        nouns.peek().is_some() && nouns.all(|at| self.memory.on.contains(&at))
    }

    /// Keeps the doubts of the objects of an order that is not sure, and what is unknown among them.
    pub(super) fn unsure(&mut self, deed: &mut Deed, verb: &Verb) {
        if deed.objects.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
        }
        for thing in &deed.objects {
            deed.doubts.extend(thing.doubts.iter().cloned());
            if thing.what == What::Unknown && !thing.is_pronoun {
                self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
            }
        }
    }

    /// Puts a thing somewhere: fitted, laid down, or thrown away, as the place says.
    pub(super) fn rest(&mut self, deed: &mut Deed, verb: &Verb) {
        let has = |deed: &Deed, kind| deed.objects.iter().any(|thing| self.kind(thing) == Some(kind));
        if has(deed, NounKind::Fluid) {
            return self.fluid(deed, verb);
        }
        if deed.objects.iter().any(|thing| thing.is_talk(Talk::Lock)) {
            return self.do_each(deed, Act::Lock, verb);
        }
        if has(deed, NounKind::Temporary) && deed.places.rest.is_none() && deed.places.direction != Direction::Off {
            return self.do_each(deed, Act::On, verb);
        }
        let is_aside = ["aside", "away", "down", "to one side"].into_iter().any(|word| verb.words.ends_with(word));
        match deed.places.rest {
            Some(Rest::Stores) => return self.do_each(deed, Act::Stores, verb),
            Some(Rest::Waste) => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                return self.do_each(deed, Act::Discard, verb);
            }
            Some(Rest::Laid) => return self.lay(deed, verb),
            None if is_aside => return self.lay(deed, verb),
            None => {}
        }
        let has_place = !deed.places.places.is_empty() || deed.places.is_at_feature || !deed.places.unknown.is_empty();
        if deed.places.direction == Direction::On && has_place {
            return self.seat(deed, verb);
        }
        let is_still = |thing: &Thing| {
            matches!(thing.what, What::Talk(_)) || matches!(self.kind(thing), Some(NounKind::Tool | NounKind::Inert))
        };
        if !deed.objects.is_empty() && deed.objects.iter().all(is_still) {
            return self.neutral(deed, None, verb);
        }
        deed.doubts.push(Doubt::Verb(verb.words.clone()));
        self.unsure(deed, verb);
    }

    /// Lays a thing down: nothing moves on the machine if this step took it off.
    pub(super) fn lay(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_off = |thing: &Thing| {
            let nouns = thing.nouns();
            let is_part = matches!(
                self.kind(thing),
                Some(NounKind::Part | NounKind::Opening | NounKind::Temporary | NounKind::Machine | NounKind::Boundary)
            );
            !is_part || nouns.iter().all(|at| self.memory.off.contains(at) || self.memory.discarded.contains(at))
        };
        if !deed.objects.iter().all(is_off) {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        self.unsure(deed, verb);
    }

    /// Puts in what stands after `with`.
    pub(super) fn place_with(&mut self, deed: &mut Deed, verb: &Verb) {
        let companions = deed.places.companions.clone();
        if companions.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
        }
        unsure_objects(deed);
        for thing in &companions {
            deed.doubts.extend(thing.doubts.iter().cloned());
            let at = thing.nouns()[0];
            let noun = self.lexicon.noun(at);
            let is_item = noun.kind == NounKind::Temporary;
            if !is_item {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
            }
            let mut action = Action::new(if is_item { Act::Place } else { Act::On }, noun.name.clone());
            action.count = if thing.said == Said::Singular && thing.is_indefinite {
                Count::One
            } else {
                count(deed, thing, noun, true)
            };
            action.on = deed
                .objects
                .first()
                .filter(|thing| !thing.nouns().is_empty())
                .map(|thing| self.name(thing))
                .unwrap_or_default();
            deed.actions.push(action);
            deed.nouns.push((Act::On, at));
        }
        if !companions.is_empty() {
            deed.objects = companions;
        }
    }

    /// Fastens the objects with what stands after `with`.
    pub(super) fn fasten_with(&mut self, deed: &mut Deed, verb: &Verb) {
        deed.doubts.push(Doubt::Verb(verb.words.clone()));
        let is_on = deed.objects.iter().flat_map(|thing| thing.nouns().to_vec()).all(|at| self.memory.on.contains(&at));
        let companions = deed.places.companions.clone();
        if is_on && !companions.is_empty() {
            deed.objects = companions;
            deed.places.companions.clear();
        }
        self.do_each(deed, Act::On, verb);
    }

    /// Sets a thing to a value, or puts it somewhere.
    pub(super) fn put(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_value = |thing: &Thing| {
            matches!(self.kind(thing), Some(NounKind::Reading | NounKind::Tool | NounKind::Value))
                || matches!(thing.what, What::Talk(_) | What::Quantity)
        };
        if !deed.places.to.is_empty() || (!deed.objects.is_empty() && deed.objects.iter().all(is_value)) {
            return self.neutral(deed, Some(Act::Set), verb);
        }
        self.rest(deed, verb);
    }

    /// Returns a thing to stores, or to its place.
    pub(super) fn give_back(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_still = |thing: &Thing| {
            matches!(thing.what, What::Talk(_)) || matches!(self.kind(thing), Some(NounKind::Tool | NounKind::Fluid))
        };
        if !deed.objects.is_empty() && deed.objects.iter().all(is_still) {
            return self.neutral(deed, None, verb);
        }
        match deed.places.rest {
            Some(Rest::Stores) => self.do_each(deed, Act::Stores, verb),
            Some(Rest::Laid) => self.lay(deed, verb),
            Some(Rest::Waste) | None => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.do_each(deed, Act::On, verb);
            }
        }
    }
}

/// Keeps what is not sure about the pronouns among the objects.
fn unsure_objects(deed: &mut Deed) {
    for thing in &deed.objects {
        let doubts = thing.doubts.iter().filter(|doubt| matches!(doubt, Doubt::Pronoun(_))).cloned();
        deed.doubts.extend(doubts);
    }
}
