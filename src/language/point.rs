//! Orders about isolation points, locks and nouns of procedure talk; it knows which words select a point, and no point.

use crate::language::action::{Act, Action, Count};
use crate::language::deed::Deed;
use crate::language::listed::Talk;
use crate::language::memory::{Said, Thing};
use crate::language::noun::{Noun, NounKind};
use crate::language::parser::Parser;
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::Verb;

impl Parser<'_> {
    /// Does an act to isolation points, by the words that select them.
    pub(super) fn do_points(&mut self, deed: &mut Deed, act: Act, thing: &Thing, verb: &Verb) {
        let points = self.lexicon.points(&thing.words);
        // A valve that is shut cuts off; a switch that is closed lets through.
        let is_electrical =
            ["isolator", "switch", "breaker", "disconnector", "disconnect", "contactor"].into_iter().any(|word| {
                thing.words.contains(word)
                    || points.iter().any(|point| point.also.iter().any(|also| also.ends_with(word)))
            });
        let is_known =
            matches!(act, Act::Lock | Act::Unlock) || (matches!(act, Act::Open | Act::Shut) && !is_electrical);
        if !is_known {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        let act = match act {
            Act::Halt if !verb.words.starts_with("switch") && !verb.words.starts_with("stop") => Act::Shut,
            act => act,
        };
        let exact = points.first().filter(|noun| points.len() == 1 && noun.name.eq_ignore_ascii_case(&thing.words));
        let mut action = Action::new(act, exact.map_or_else(|| thing.words.clone(), |noun| noun.name.clone()));
        let has = u32::try_from(points.len()).unwrap_or(u32::MAX);
        action.count = match thing.said {
            Said::Each | Said::Plural => Count::All,
            Said::Number(number) => {
                if number != has {
                    deed.doubts.push(Doubt::Count(thing.words.clone(), number, has));
                }
                Count::Number(number)
            }
            Said::Singular | Said::One => {
                if has > 1 {
                    deed.doubts.push(Doubt::Count(thing.words.clone(), 1, has));
                }
                Count::One
            }
        };
        if let Some(limit) = &thing.limit {
            deed.doubts.push(Doubt::Words(limit.words.clone()));
        }
        for (words, _) in &deed.places.limits {
            deed.doubts.push(Doubt::Words(words.clone()));
        }
        deed.actions.push(action);
    }

    /// Does an act to procedure talk.
    pub(super) fn do_talk(&mut self, deed: &mut Deed, act: Act, talk: Talk, thing: &Thing) {
        let shadowed = self.shadowed(thing);
        let unsure = Doubt::Name(thing.words.clone(), shadowed.clone());
        if !shadowed.is_empty() {
            return deed.doubts.push(unsure);
        }
        const PAPERS: [&str; 14] = [
            "tag",
            "sheet",
            "packet",
            "permit",
            "isolation sheet",
            "record sheet",
            "work permit",
            "kit",
            "manual",
            "page",
            "log",
            "log book",
            "drawing",
            "mark",
        ];
        let is_paper = PAPERS.contains(&thing.words.as_str());
        match (act, talk) {
            (Act::Off | Act::Unlock | Act::On | Act::Lock | Act::Place, Talk::Lock) => self.locks(deed, act, thing),
            (Act::Off | Act::Discard, Talk::Matter | Talk::Wear | Talk::Tools)
            | (Act::On | Act::Place, Talk::Wear | Talk::Tools)
            | (Act::Stores, Talk::Tools | Talk::Paper | Talk::Wear)
            | (Act::Run, Talk::Aid)
            | (Act::Halt, Talk::Person) => {}
            (Act::Open | Act::Shut | Act::On | Act::Off | Act::Discard, Talk::Paper) if is_paper => {}
            _ => deed.doubts.push(unsure),
        }
    }

    /// Returns the names of what moves that a noun of procedure talk may stand for (`gauge` for a pressure gauge).
    pub(super) fn shadowed(&self, thing: &Thing) -> Vec<String> {
        let (from, to) = thing.range;
        let words = thing.words.split(' ').count();
        let items = self.items.get(to.saturating_sub(words).max(from)..to).unwrap_or_default();
        let nouns = self.lexicon.shortened(items).into_iter().map(|at| self.lexicon.noun(at));
        let moves = |noun: &&Noun| {
            matches!(noun.kind, NounKind::Part | NounKind::Opening | NounKind::Temporary | NounKind::Point)
        };
        nouns.filter(moves).map(|noun| noun.name.clone()).collect()
    }

    /// Puts locks on points, or takes them off.
    pub(super) fn locks(&mut self, deed: &mut Deed, act: Act, thing: &Thing) {
        let act = if matches!(act, Act::Off | Act::Unlock) { Act::Unlock } else { Act::Lock };
        let places = deed.places.places.clone();
        if let Some(unknown) = deed.places.unknown.first() {
            self.obstacle.get_or_insert(Obstacle::Noun(unknown.words.clone()));
        }
        if places.is_empty() {
            let mut action = Action::new(act, "");
            action.count = Count::All;
            if act == Act::Lock
                || !matches!(thing.said, Said::Plural | Said::Each)
                || !deed.places.limits.is_empty()
                || deed.places.is_at_feature
            {
                deed.doubts.push(Doubt::NoObject(thing.words.clone()));
            }
            deed.actions.push(action);
            return;
        }
        for place in &places {
            let is_one =
                self.kind(place) == Some(NounKind::Point) && self.name(place).eq_ignore_ascii_case(&place.words);
            let mut action = Action::new(act, if is_one { self.name(place) } else { place.words.clone() });
            if let Some(limit) = &place.limit {
                deed.doubts.push(Doubt::Words(limit.words.clone()));
            }
            if self.lexicon.points(&place.words).is_empty() {
                deed.doubts.push(Doubt::Name(place.words.clone(), Vec::new()));
            }
            action.count = match place.said {
                Said::Each | Said::Plural => Count::All,
                Said::Number(number) => Count::Number(number),
                Said::Singular | Said::One => Count::One,
            };
            deed.actions.push(action);
        }
    }
}
