//! Fluids put onto parts, and parts wiped with them; it knows no chemistry.

use crate::language::action::{Act, Action, Count};
use crate::language::deed::{Deed, count};
use crate::language::listed::Talk;
use crate::language::memory::{Said, Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::Verb;

impl Parser<'_> {
    /// Puts a fluid onto parts.
    pub(super) fn fluid(&mut self, deed: &mut Deed, verb: &Verb) {
        let objects = std::mem::take(&mut deed.objects);
        if objects.iter().any(|thing| thing.is_talk(Talk::Lock)) {
            for thing in &objects {
                self.do_one(deed, Act::Lock, thing, verb);
            }
            return;
        }
        let is_line = |thing: &Thing| thing.is_talk(Talk::Paper);
        if !objects.is_empty() && objects.iter().all(is_line) {
            deed.actions.push(Action::new(Act::Mark, ""));
            return;
        }
        let (fluids, parts): (Vec<Thing>, Vec<Thing>) =
            objects.iter().cloned().partition(|thing| self.kind(thing) == Some(NounKind::Fluid));
        let (fluids, targets) = if fluids.is_empty() {
            (deed.places.fluids.clone(), parts)
        } else {
            for thing in fluids.iter().chain(&parts) {
                deed.doubts.extend(thing.doubts.iter().cloned());
            }
            for part in &parts {
                if part.what == What::Unknown && !part.is_pronoun {
                    self.obstacle.get_or_insert(Obstacle::Noun(part.words.clone()));
                }
                deed.doubts.push(Doubt::Words(part.words.clone()));
            }
            let names = fluids.iter().map(|thing| self.name(thing)).collect();
            if fluids.iter().any(|thing| thing.nouns().len() > 1) {
                deed.doubts.push(Doubt::Name(fluids[0].words.clone(), Vec::new()));
            }
            (names, deed.places.places.clone())
        };
        if let Some(unknown) = deed.places.unknown.first() {
            self.obstacle.get_or_insert(Obstacle::Noun(unknown.words.clone()));
        }
        if fluids.len() != 1 || targets.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
        }
        for fluid in &fluids {
            if targets.is_empty() {
                deed.actions.push(Action::new(Act::Apply, fluid.clone()));
            }
            for target in &targets {
                self.apply(deed, fluid, target);
            }
        }
        if fluids.is_empty() {
            for target in &targets {
                deed.doubts.extend(target.doubts.iter().cloned());
                if target.what == What::Unknown && !target.is_pronoun {
                    self.obstacle.get_or_insert(Obstacle::Noun(target.words.clone()));
                }
            }
        }
        deed.objects = targets;
    }

    pub(super) fn apply(&mut self, deed: &mut Deed, fluid: &str, target: &Thing) {
        deed.doubts.extend(target.doubts.iter().cloned());
        if target.what == What::Unknown && !target.is_pronoun {
            self.obstacle.get_or_insert(Obstacle::Noun(target.words.clone()));
        }
        let is_part = matches!(self.kind(target), Some(NounKind::Part | NounKind::Opening | NounKind::Temporary));
        if !is_part {
            return deed.doubts.push(Doubt::Name(target.words.clone(), Vec::new()));
        }
        if target.nouns().len() > 1 {
            let names = target.nouns().iter().map(|at| self.lexicon.noun(*at).name.clone()).collect();
            deed.doubts.push(Doubt::Name(target.words.clone(), names));
        }
        if let Some(limit) = &target.limit {
            deed.doubts.push(Doubt::Words(limit.words.clone()));
        }
        let mut action = Action::new(Act::Apply, fluid);
        action.to = self.name(target);
        action.with.clone_from(&deed.places.tools);
        deed.actions.push(action);
    }

    /// Wipes or cleans.
    pub(super) fn wipe(&mut self, deed: &mut Deed, verb: &Verb) {
        let objects = std::mem::take(&mut deed.objects);
        if objects.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
        }
        for thing in &objects {
            match (self.kind(thing), &thing.what) {
                (
                    Some(
                        NounKind::Part
                        | NounKind::Opening
                        | NounKind::Temporary
                        | NounKind::Machine
                        | NounKind::Boundary,
                    ),
                    _,
                ) => {
                    deed.doubts.extend(thing.doubts.iter().cloned());
                    if let Some(limit) = &thing.limit {
                        deed.doubts.push(Doubt::Words(limit.words.clone()));
                    }
                    let at = thing.nouns()[0];
                    let noun = self.lexicon.noun(at);
                    let mut action = Action::new(Act::Wipe, noun.name.clone());
                    action.count = if thing.is_feature && thing.said == Said::Singular {
                        Count::One
                    } else {
                        count(deed, thing, noun, false)
                    };
                    action.with = deed.places.fluids.iter().chain(&deed.places.tools).cloned().collect();
                    if thing.nouns().len() > 1 {
                        deed.doubts.push(Doubt::Name(thing.words.clone(), Vec::new()));
                    }
                    deed.actions.push(action);
                }
                (Some(NounKind::Fluid | NounKind::Inert | NounKind::Tool), _)
                | (None, What::Talk(Talk::Matter | Talk::Place | Talk::Paper | Talk::Tools | Talk::Aid)) => {}
                (None, What::Unknown) if !thing.is_pronoun => {
                    self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
                }
                _ => {
                    deed.doubts.extend(thing.doubts.iter().cloned());
                    deed.doubts.push(Doubt::Name(thing.words.clone(), Vec::new()));
                }
            }
        }
        if !deed.places.places.is_empty() && !deed.actions.iter().any(|action| action.act == Act::Wipe) {
            // `clean the paste off the studs`: the studs are wiped.
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        if !deed.places.companions.is_empty() {
            deed.doubts.push(Doubt::Words(format!("with {}", deed.places.companions[0].words)));
        }
        deed.objects = objects;
    }
}
