//! Orders that move nothing: looking, writing, waiting, turning, using a tool.

use crate::language::action::{Act, Action, Count};
use crate::language::clause::Clause;
use crate::language::deed::{Deed, count, is_fastener};
use crate::language::listed::{Talk, is_tool_head};
use crate::language::matching::FoundWhat;
use crate::language::memory::{Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::places::Direction;
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::Verb;

impl Parser<'_> {
    /// Looks, writes, waits: nothing moves.
    pub(super) fn neutral(&mut self, deed: &mut Deed, act: Option<Act>, verb: &Verb) {
        let mut named = Vec::new();
        let objects = std::mem::take(&mut deed.objects);
        for thing in &objects {
            match (&thing.what, act) {
                (What::Unknown, _) if thing.is_pronoun => deed.doubts.extend(thing.doubts.iter().cloned()),
                (What::Unknown, _) if self.is_figure(thing) => named.push((thing.words.clone(), Count::One)),
                (What::Unknown, _) => match self.lexicon.reading(&thing.words) {
                    Some(reading) => named.push((reading.name.clone(), Count::One)),
                    None => {
                        self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
                    }
                },
                (_, Some(Act::Wait)) if !self.is_figure(thing) => {}
                (What::Quantity | What::Points, _) => named.push((thing.words.clone(), Count::One)),
                (What::Talk(Talk::Anything), _) if thing.is_pronoun => {}
                (What::Talk(_), _) => {}
                (What::Nouns(nouns), Some(_)) => {
                    let noun = self.lexicon.noun(nouns[0]);
                    let is_tool = matches!(noun.kind, NounKind::Tool);
                    deed.doubts.extend(
                        thing.doubts.iter().filter(|doubt| !is_tool && !matches!(doubt, Doubt::Words(_))).cloned(),
                    );
                    if noun.kind != NounKind::Inert {
                        let name = if nouns.len() > 1 { thing.words.clone() } else { noun.name.clone() };
                        let many = matches!(noun.kind, NounKind::Part | NounKind::Opening | NounKind::Temporary)
                            && !thing.is_feature;
                        named.push((name, if many { count(deed, thing, noun, false) } else { Count::One }));
                    }
                }
                (What::Nouns(_), None) => {
                    deed.doubts.extend(thing.doubts.iter().filter(|doubt| matches!(doubt, Doubt::Pronoun(_))).cloned());
                }
            }
        }
        let moves = |thing: &Thing| {
            matches!(self.kind(thing), Some(NounKind::Part | NounKind::Opening | NounKind::Temporary | NounKind::Point))
        };
        let goes = act.is_none()
            && deed.places.direction != Direction::Unsaid
            && !matches!(verb.words.as_str(), "leave" | "keep" | "retain");
        let is_set = act == Some(Act::Set)
            && !deed.places.to.is_empty()
            && objects.iter().any(|thing| is_fastener(&self.name(thing)));
        if (goes && objects.iter().any(moves)) || is_set {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        if verb.words == "enter" && objects.iter().any(moves) {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        deed.objects = objects;
        let Some(act) = act else {
            // It moves nothing, and its tool is drawn all the same.
            let tools = deed.places.tools.clone();
            deed.actions.extend(tools.into_iter().map(|tool| Action::new(Act::Use, tool)));
            return;
        };
        if act == Act::Tell {
            named.clear();
        }
        if named.is_empty() {
            named.push((String::new(), Count::One));
        }
        for (name, count) in named {
            let mut action = Action::new(act, name);
            action.count = count;
            action.with.clone_from(&deed.places.tools);
            if matches!(act, Act::Set | Act::Turn) {
                action.to.clone_from(&deed.places.to);
            }
            deed.actions.push(action);
        }
    }

    /// Lets something happen: only waiting, unless what happens moves something.
    pub(super) fn causative(&mut self, deed: &mut Deed, clause: &Clause<'_>, verb: &Verb) {
        let machines = (clause.from..clause.to).any(|at| {
            let nouns = self.found(at).map(|found| &found.what);
            matches!(nouns, Some(FoundWhat::Nouns(nouns)) if nouns.iter().any(|at| !matches!(self.lexicon.noun(*at).kind, NounKind::Inert | NounKind::Fluid | NounKind::Reading | NounKind::Value)))
        });
        let machines = machines
            || (clause.from..clause.to)
                .any(|at| self.talk(at).is_some_and(|(talk, _)| matches!(talk, Talk::Person | Talk::Lock)));
        let moves = (clause.from + 1..clause.to).any(|at| {
            use crate::language::inflect::Form;
            self.verb_at(at, &[Form::Base, Form::Past, Form::Gerund]).is_some_and(|found| found.verb.sense.may_move())
        });
        deed.doubts.retain(|doubt| !matches!(doubt, Doubt::Words(_)) || (machines && moves));
        if machines && moves {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        // What happens by itself is not what `it` stands for afterwards.
        deed.objects.clear();
        deed.actions.push(Action::new(Act::Wait, ""));
    }

    /// Turns a thing; a fastener or a valve that is turned is loosened, tightened, opened or shut, and the words do not say which.
    pub(super) fn spin(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_fastener = deed.objects.iter().any(|thing| {
            is_fastener(&self.name(thing)) || matches!(self.kind(thing), Some(NounKind::Opening | NounKind::Point))
        });
        if is_fastener || !matches!(deed.places.direction, Direction::Unsaid) && deed.places.places.is_empty() {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        self.neutral(deed, Some(Act::Turn), verb);
    }

    /// Uses a tool.
    pub(super) fn use_tool(&mut self, deed: &mut Deed) {
        if deed.places.places.iter().any(|place| self.kind(place) == Some(NounKind::Part)) {
            // `Use the puller on the impeller` may draw it off.
            deed.doubts.push(Doubt::Verb("use".to_owned()));
        }
        for thing in &deed.objects.clone() {
            match self.kind(thing) {
                Some(NounKind::Tool) if thing.nouns().len() == 1 => {
                    deed.actions.push(Action::new(Act::Use, self.name(thing)));
                }
                Some(NounKind::Tool) => deed.actions.push(Action::new(Act::Use, thing.words.clone())),
                None if thing.what == What::Unknown && !thing.is_pronoun => {
                    let head = thing.words.rsplit([' ', '-']).next().unwrap_or_default();
                    if is_tool_head(head) {
                        self.missing_tools.push(thing.range);
                    } else {
                        self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
                    }
                }
                None if !thing.is_pronoun => {}
                _ => {
                    deed.doubts.extend(thing.doubts.iter().cloned());
                    deed.doubts.push(Doubt::Verb("use".to_owned()));
                }
            }
        }
    }
}
