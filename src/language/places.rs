//! What stands behind the prepositions of an order, sorted by what it can be: tools, fluids, companions, values and places.

use crate::language::clause::{Clause, Phrase};
use crate::language::listed::{Talk, is_tool_head};
use crate::language::memory::{Said, Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::pass;
use crate::language::reading::{Doubt, Obstacle};

/// What stands behind the prepositions of an order.
#[derive(Default)]
#[expect(clippy::struct_field_names, reason = "a place among the places")]
pub(super) struct Places {
    /// Names of tools.
    pub(super) tools: Vec<String>,
    /// Names of fluids.
    pub(super) fluids: Vec<String>,
    /// Parts that go with the objects.
    pub(super) companions: Vec<Thing>,
    /// A value or figure after `to`.
    pub(super) to: String,
    /// Shares of a torque that it is tightened to first, in per cent.
    pub(super) passes: Vec<u32>,
    /// Parts and the like at, on or in which it is done.
    pub(super) places: Vec<Thing>,
    /// Words that may limit the objects to some of their kind.
    pub(super) limits: Vec<(String, Vec<usize>)>,
    /// Which way it goes.
    pub(super) direction: Direction,
    /// Where it is laid down.
    pub(super) rest: Option<Rest>,
    /// True where it is done by hand.
    pub(super) is_by_hand: bool,
    /// Places that no register knows.
    pub(super) unknown: Vec<Thing>,
    /// True where a side or surface is named without its part.
    pub(super) is_at_feature: bool,
}

/// Which way a thing goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Direction {
    /// Not said.
    #[default]
    Unsaid,
    /// Off or out.
    Off,
    /// On or in.
    On,
    /// Both, or neither.
    Unclear,
}

/// Where a thing is laid down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rest {
    /// On a bench or the like.
    Laid,
    /// To be thrown away.
    Waste,
    /// Back to stores.
    Stores,
}

impl Direction {
    fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Unsaid, other) | (other, Self::Unsaid) => other,
            (own, other) if own == other => own,
            _ => Self::Unclear,
        }
    }
}

impl Parser<'_> {
    /// Sorts what stands behind the prepositions of an order.
    pub(super) fn places(&mut self, clause: &mut Clause<'_>) -> Places {
        let mut places = Places { is_by_hand: clause.is_by_hand, ..Places::default() };
        for particle in &clause.particles {
            places.direction = places.direction.and(match particle.as_str() {
                "off" | "out" | "away" => Direction::Off,
                "on" | "in" | "home" | "onto" | "into" => Direction::On,
                "together" | "straight" | "of" => Direction::Unsaid,
                _ => Direction::Unclear,
            });
        }
        for phrase in std::mem::take(&mut clause.phrases) {
            let moves = clause.may_move();
            if moves && phrase.names_variant {
                clause.doubts.push(Doubt::Words(phrase.words.clone()));
            }
            for thing in &phrase.things {
                // Towards what is no question: only the way it looks.
                let is_aim = matches!(
                    phrase.word.as_str(),
                    "towards"
                        | "toward"
                        | "against"
                        | "behind"
                        | "near"
                        | "beside"
                        | "between"
                        | "along"
                        | "across"
                        | "above"
                        | "below"
                );
                let doubts = thing.doubts.iter().filter(|doubt| {
                    if moves {
                        !is_aim || !matches!(doubt, Doubt::Name(..))
                    } else {
                        matches!(doubt, Doubt::Pronoun(_))
                    }
                });
                clause.doubts.extend(doubts.cloned());
            }
            match phrase.word.as_str() {
                "with" => self.sort_with(clause, &mut places, phrase),
                "to" => self.sort_to(clause, &mut places, phrase),
                "by" | "for" | "per" | "within" | "under" | "above" | "below" | "at"
                    if self.is_talk_or_figure(&phrase) =>
                {
                    places.is_by_hand |= phrase.things.iter().any(|thing| thing.words.ends_with("hand"));
                    limit_at(&mut places, &phrase);
                }
                _ => self.sort_place(clause, &mut places, &phrase),
            }
        }
        pass::question(clause, &places.to);
        places.passes.clone_from(&clause.passes);
        places
    }

    fn is_talk_or_figure(&self, phrase: &Phrase) -> bool {
        phrase.things.iter().all(|thing| matches!(thing.what, What::Talk(_)) || self.is_figure(thing))
    }

    fn sort_with(&mut self, clause: &mut Clause<'_>, places: &mut Places, phrase: Phrase) {
        let is_tool = |thing: &Thing| self.kind(thing) == Some(NounKind::Tool);
        if phrase.things.iter().any(is_tool)
            && !phrase.things.iter().all(|thing| is_tool(thing) || self.kind(thing).is_none())
        {
            // `with the wrench and the cover`: is the cover another object?
            clause.doubts.push(Doubt::Words(phrase.words.clone()));
        }
        for thing in phrase.things {
            let head = thing.words.rsplit([' ', '-']).next().unwrap_or_default();
            if is_tool_head(head) && thing.doubts.iter().any(|doubt| matches!(doubt, Doubt::Name(..))) {
                // `with a hex key` where only the shaft's key is known.
                clause.doubts.retain(|doubt| !thing.doubts.contains(doubt));
                self.missing_tools.push(thing.range);
                continue;
            }
            match self.kind(&thing) {
                Some(NounKind::Tool) => places.tools.push(self.tool_name(&thing)),
                Some(NounKind::Fluid) => places.fluids.push(self.name(&thing)),
                Some(NounKind::Part | NounKind::Temporary | NounKind::Opening) if !thing.is_feature => {
                    places.companions.push(thing);
                }
                Some(NounKind::Inert) => {}
                Some(_) => clause.doubts.push(Doubt::Words(phrase.words.clone())),
                None => match thing.what {
                    What::Talk(Talk::Anything) | What::Points => clause.doubts.push(Doubt::Words(phrase.words.clone())),
                    What::Talk(_) | What::Quantity => places.is_by_hand |= thing.words.ends_with("hand"),
                    What::Unknown | What::Nouns(_) if thing.is_pronoun => {
                        clause.doubts.push(Doubt::Pronoun(thing.words));
                    }
                    What::Unknown | What::Nouns(_) => self.missing(clause, &thing),
                },
            }
        }
    }

    /// Takes what no register knows as a tool that is missing, if it is called as tools are; else the sentence is not read.
    fn missing(&mut self, clause: &Clause<'_>, thing: &Thing) {
        let head = thing.words.rsplit([' ', '-']).next().unwrap_or_default();
        if is_tool_head(head) || !clause.may_move() {
            self.missing_tools.push(thing.range);
        } else if !clause.is_banned {
            self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
        }
    }

    fn sort_to(&mut self, clause: &mut Clause<'_>, places: &mut Places, phrase: Phrase) {
        if phrase.things.len() > 1 && clause.may_move() && !clause.is_fluid() {
            clause.doubts.push(Doubt::Words(phrase.words.clone()));
        }
        for thing in phrase.things {
            if self.is_figure(&thing) {
                if places.to.is_empty() {
                    places.to = self.name(&thing);
                } else {
                    clause.doubts.push(Doubt::Words(phrase.words.clone()));
                }
                continue;
            }
            match (self.kind(&thing), &thing.what) {
                (
                    Some(
                        NounKind::Part
                        | NounKind::Opening
                        | NounKind::Temporary
                        | NounKind::Machine
                        | NounKind::Boundary
                        | NounKind::Point,
                    ),
                    _,
                )
                | (None, What::Points) => {
                    places.direction = places.direction.and(Direction::On);
                    places.places.push(thing);
                }
                (Some(NounKind::Reading), _) if places.to.is_empty() => places.to = self.name(&thing),
                (None, What::Talk(Talk::Stores)) => places.rest = Some(Rest::Stores),
                (None, What::Talk(Talk::Waste)) => places.rest = Some(Rest::Waste),
                (None, What::Talk(Talk::Place)) => places.rest = Some(Rest::Laid),
                (None, What::Talk(Talk::Feature)) => {
                    places.is_at_feature = true;
                    places.direction = places.direction.and(Direction::On);
                }
                (None, What::Talk(Talk::Anything)) if clause.may_move() => {
                    clause.doubts.push(Doubt::Words(phrase.words.clone()));
                }
                (Some(NounKind::Inert | NounKind::Reading), _) | (None, What::Talk(_)) => {}
                _ if thing.is_pronoun && !thing.doubts.is_empty() => {}
                _ => {
                    places.direction = places.direction.and(Direction::On);
                    places.limits.push((phrase.words.clone(), Vec::new()));
                    places.unknown.push(thing);
                }
            }
        }
    }

    fn sort_place(&mut self, clause: &mut Clause<'_>, places: &mut Places, phrase: &Phrase) {
        let word = phrase.word.as_str();
        let direction = match word {
            "on" | "onto" | "in" | "into" | "inside" | "upon" => Direction::On,
            "from" | "off" | "of" | "out" => Direction::Off,
            "over" | "through" | "around" | "round" | "behind" | "under" | "between" | "across" | "along"
            | "against" | "above" | "below" => Direction::Unclear,
            _ => Direction::Unsaid,
        };
        if phrase.things.len() > 1 && clause.may_move() && word != "between" && !clause.is_fluid() {
            // `from the studs and the cover`: is the cover another object?
            clause.doubts.push(Doubt::Words(phrase.words.clone()));
        }
        for thing in &phrase.things {
            match (self.kind(thing), &thing.what) {
                (Some(NounKind::Tool), _) => places.tools.push(self.tool_name(thing)),
                (Some(NounKind::Fluid), _) if matches!(word, "in" | "into") => places.fluids.push(self.name(thing)),
                (Some(NounKind::Fluid | NounKind::Inert | NounKind::Reading | NounKind::Value), _) => {}
                (Some(NounKind::Machine), _) => {
                    places.direction = places.direction.and(direction);
                    places.places.push(thing.clone());
                }
                (Some(_), _) | (None, What::Points) => {
                    places.direction = places.direction.and(direction);
                    if !matches!(word, "between" | "against" | "behind" | "through") && !thing.is_owned {
                        places.limits.push((phrase.words.clone(), thing.nouns().to_vec()));
                    }
                    places.places.push(thing.clone());
                }
                (None, What::Talk(Talk::Place)) if word == "from" => {}
                (None, What::Talk(Talk::Place)) => places.rest = Some(Rest::Laid),
                (None, What::Talk(Talk::Waste)) => places.rest = Some(Rest::Waste),
                (None, What::Talk(Talk::Stores)) if word != "from" => places.rest = Some(Rest::Stores),
                (None, What::Talk(Talk::Feature | Talk::Property)) => {
                    places.is_at_feature = true;
                    places.direction = places.direction.and(direction);
                    limit_at(places, phrase);
                }
                (None, What::Talk(Talk::Anything)) if clause.may_move() => {
                    clause.doubts.push(Doubt::Words(phrase.words.clone()));
                }
                (None, What::Talk(_) | What::Quantity) => {}
                _ if thing.is_pronoun && !thing.doubts.is_empty() => {}
                _ => {
                    places.direction = places.direction.and(direction);
                    if !thing.is_owned {
                        places.limits.push((phrase.words.clone(), Vec::new()));
                    }
                    places.unknown.push(thing.clone());
                }
            }
        }
    }

    /// Returns the kind of a thing, if the registers know it and all that it may be are of one kind.
    pub(super) fn kind(&self, thing: &Thing) -> Option<NounKind> {
        let mut kinds = thing.nouns().iter().map(|at| self.lexicon.noun(*at).kind);
        let first = kinds.next()?;
        kinds.all(|kind| kind == first).then_some(first).or(Some(first))
    }

    /// Returns the register's name of a thing, or its words.
    pub(super) fn name(&self, thing: &Thing) -> String {
        match thing.nouns() {
            [first, ..] => self.lexicon.noun(*first).name.clone(),
            [] => thing.words.clone(),
        }
    }

    /// Returns the name of a tool; where several share the words, the words they share.
    fn tool_name(&self, thing: &Thing) -> String {
        match thing.nouns() {
            [only] => self.lexicon.noun(*only).name.clone(),
            _ => thing.words.clone(),
        }
    }
}

/// Keeps `at the top` as words that may limit what is meant; `at both ends` limits nothing.
fn limit_at(places: &mut Places, phrase: &Phrase) {
    let is_some = |thing: &Thing| thing.is_talk(Talk::Feature) && matches!(thing.said, Said::Singular | Said::One);
    if phrase.things.iter().any(is_some) && phrase.word != "by" && phrase.word != "for" {
        places.limits.push((phrase.words.clone(), Vec::new()));
    }
}
