//! From an order to actions: what each verb does to each kind of thing, and where that is not sure; it applies nothing.

use crate::language::action::{Act, Action, Count};
use crate::language::clause::Clause;
use crate::language::listed::{Talk, is_tool_head};
use crate::language::memory::{Said, Thing, What};
use crate::language::noun::{Noun, NounKind};
use crate::language::parser::Parser;
use crate::language::places::{Direction, Places, Rest};
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::{Sense, Verb};

impl<'a> Parser<'a> {
    /// Turns an order into actions.
    pub(super) fn act(&mut self, mut clause: Clause<'a>) {
        let presses = clause.verbs.iter().all(|verb| matches!(verb.sense, Sense::Directional));
        if presses && matches!(&clause.objects[..], [only] if only.is_talk(Talk::StartButton) || only.words == "start") {
            self.actions.push(Action { conditional: self.is_conditional, ..Action::new(Act::Try, "") });
            return;
        }
        let places = self.places(&mut clause);
        if self.obstacle.is_some() {
            return;
        }
        let mut verbs = self.with_particle(&clause);
        if verbs.iter().any(|verb| verb.sense == Sense::Act(Act::Lock)) {
            // `close and lock`, `switch off and lock`, `isolate and lock` are one act.
            let goes_into = |sense| matches!(sense, Sense::Act(Act::Halt | Act::Shut) | Sense::Ambiguous(Act::Lock));
            verbs.retain(|verb| !goes_into(verb.sense));
        }
        let mut deed = Deed {
            verbs: verbs.iter().map(|verb| verb.words.clone()).collect(),
            objects: std::mem::take(&mut clause.objects),
            places,
            actions: Vec::new(),
            doubts: std::mem::take(&mut clause.doubts),
            nouns: Vec::new(),
            is_hand_tight: clause.is_by_hand,
        };
        let is_stop = self.is_stop_of_job(&verbs, &deed.objects);
        for verb in &verbs {
            if is_stop && verb.words == "stop" {
                deed.actions.push(Action::new(Act::Stop, ""));
                continue;
            }
            if verb.disputed.is_some() {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
            }
            self.one(&mut deed, verb, &clause);
            if self.obstacle.is_some() {
                return;
            }
        }
        self.finish(deed, &clause);
    }

    /// Returns the verbs, with a word of direction that stands behind the object (`take the cover off`).
    pub(super) fn with_particle(&self, clause: &Clause<'a>) -> Vec<&'a Verb> {
        let verbs = self.verbs;
        let join = |verb: &&'a Verb| {
            let mut wholes = clause.particles.iter().map(|particle| verbs.named(&format!("{} {particle}", verb.words)));
            wholes.find_map(|whole| whole).unwrap_or(verb)
        };
        clause.verbs.iter().map(join).collect()
    }

    /// Returns whether `stop` stops the job, not a machine.
    fn is_stop_of_job(&self, verbs: &[&Verb], objects: &[Thing]) -> bool {
        let is_job = |thing: &Thing| matches!(thing.what, What::Talk(Talk::Person | Talk::Paper));
        let calm = verbs.iter().any(|verb| matches!(verb.sense, Sense::Act(Act::Tell)));
        objects.iter().all(is_job) || (calm && objects.iter().all(|thing| matches!(thing.what, What::Talk(_))))
    }

    /// Does one verb of an order.
    fn one(&mut self, deed: &mut Deed, verb: &Verb, clause: &Clause<'_>) {
        match verb.sense {
            Sense::Act(act) => self.plain(deed, act, verb),
            Sense::Ambiguous(act) => self.ambiguous(deed, act, verb),
            Sense::Fluid => self.fluid(deed, verb),
            Sense::Directional => self.directional(deed, verb),
            Sense::Rest => self.rest(deed, verb),
            Sense::PlaceWith => self.place_with(deed, verb),
            Sense::FastenWith => self.fasten_with(deed, verb),
            Sense::Renew => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.to_each(deed, Act::New, verb);
            }
            Sense::Neutral => self.neutral(deed, None, verb),
            Sense::Causative => self.causative(deed, clause, verb),
            Sense::Return => self.give_back(deed, verb),
            Sense::Spin => self.spin(deed, verb),
            Sense::Put => self.put(deed, verb),
            Sense::Try => deed.actions.push(Action::new(Act::Try, "")),
        }
    }

    /// Does an act whose object is what is moved or looked at.
    fn plain(&mut self, deed: &mut Deed, act: Act, verb: &Verb) {
        match act {
            Act::Wipe => self.wipe(deed, verb),
            Act::Use => self.use_tool(deed),
            Act::Stores => self.to_each(deed, Act::Stores, verb),
            Act::Tighten if deed.places.is_by_hand && deed.places.to.is_empty() => self.to_each(deed, Act::Snug, verb),
            Act::On if self.is_fitted(deed) => self.seat(deed, verb),
            Act::On if is_leaning(&verb.words) => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.to_each(deed, Act::On, verb);
            }
            Act::On if deed.places.is_by_hand && verb.sense == Sense::Act(Act::On) && deed.is_hand_tight => {
                self.to_each(deed, Act::On, verb);
                self.to_each(deed, Act::Snug, verb);
            }
            Act::On | Act::Off | Act::Discard => {
                let is_wrong_way = match deed.places.direction {
                    Direction::On => act == Act::Off && deed.places.rest.is_none() && verb.words.split(' ').count() == 1 && !deed.places.places.is_empty() && !self.is_in_place(deed),
                    Direction::Off => act == Act::On,
                    Direction::Unsaid | Direction::Unclear => false,
                };
                if is_wrong_way {
                    deed.doubts.push(Doubt::Verb(verb.words.clone()));
                }
                self.to_each(deed, act, verb);
            }
            act if act.moves() => self.to_each(deed, act, verb),
            act => self.neutral(deed, Some(act), verb),
        }
    }

    /// Returns whether what is taken off stands in or on the place named (`remove the key in the shaft`).
    fn is_in_place(&self, deed: &Deed) -> bool {
        deed.places.places.len() == 1
    }

    fn ambiguous(&mut self, deed: &mut Deed, act: Act, verb: &Verb) {
        let is_calm = |thing: &Thing| match thing.what {
            What::Talk(Talk::Paper | Talk::Person | Talk::Wear) => self.shadowed(thing).is_empty(),
            What::Talk(Talk::Property) => !act.moves(),
            _ => false,
        };
        if !deed.objects.is_empty() && deed.objects.iter().all(is_calm) && deed.places.places.is_empty() {
            return self.neutral(deed, None, verb);
        }
        deed.doubts.push(Doubt::Verb(verb.words.clone()));
        if act.moves() {
            self.to_each(deed, act, verb);
        } else {
            self.neutral(deed, Some(act), verb);
        }
    }

    /// Does an act to each object, and to the parts that go with it.
    fn to_each(&mut self, deed: &mut Deed, act: Act, verb: &Verb) {
        let mut objects = std::mem::take(&mut deed.objects);
        if objects.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
            let last = self.memory.last.clone();
            for thing in &last {
                self.to_one(deed, act, thing, verb);
            }
            return;
        }
        let companions = std::mem::take(&mut deed.places.companions);
        for thing in &objects {
            self.to_one(deed, act, thing, verb);
        }
        for thing in &companions {
            let is_part = self.kind(thing) == Some(NounKind::Part);
            match act {
                Act::Off | Act::On | Act::New | Act::Discard | Act::Stores if is_part => self.to_one(deed, act, thing, verb),
                _ => deed.doubts.push(Doubt::Words(format!("with {}", thing.words))),
            }
        }
        if matches!(act, Act::Off | Act::On | Act::New) {
            objects.extend(companions.iter().cloned());
        }
        deed.places.companions = companions;
        deed.objects = objects;
    }

    /// Does an act to one thing.
    fn to_one(&mut self, deed: &mut Deed, act: Act, thing: &Thing, verb: &Verb) {
        deed.doubts.extend(thing.doubts.iter().cloned());
        match &thing.what {
            What::Unknown if thing.is_pronoun => {}
            What::Unknown if act == Act::Run || !thing.words.is_empty() => {
                self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
            }
            What::Unknown | What::Quantity => deed.doubts.push(Doubt::NoObject(verb.words.clone())),
            What::Talk(talk) => self.to_talk(deed, act, *talk, thing),
            What::Points => self.to_points(deed, act, thing, verb),
            What::Nouns(nouns) => self.to_nouns(deed, act, thing, (nouns, verb)),
        }
    }

    fn to_nouns(&mut self, deed: &mut Deed, act: Act, thing: &Thing, (nouns, verb): (&[usize], &Verb)) {
        let fits = |noun: &usize| suits(act, self.lexicon.noun(*noun).kind);
        let mut chosen: Vec<usize> = nouns.iter().copied().filter(fits).collect();
        let is_point = |noun: &usize| self.lexicon.noun(*noun).kind == NounKind::Point;
        if !chosen.is_empty() && chosen.iter().all(is_point) {
            return self.to_points(deed, act, thing, verb);
        }
        if nouns.iter().all(is_point) {
            return self.to_points(deed, act, thing, verb);
        }
        if chosen.is_empty() {
            if matches!(act, Act::Lock | Act::Unlock) && !self.lexicon.points(&thing.words).is_empty() {
                deed.doubts.push(Doubt::Name(thing.words.clone(), self.lexicon.points(&thing.words).iter().map(|noun| noun.name.clone()).collect()));
                return self.to_points(deed, act, thing, verb);
            }
            chosen = nouns.to_vec();
        }
        let is_named = deed.doubts.iter().any(|doubt| matches!(doubt, Doubt::Name(words, _) if *words == thing.words));
        let is_tool = chosen.iter().all(|noun| self.lexicon.noun(*noun).kind == NounKind::Tool);
        if chosen.len() > 1 && !is_named && !is_tool {
            let names = chosen.iter().map(|noun| self.lexicon.noun(*noun).name.clone()).collect();
            deed.doubts.push(Doubt::Name(thing.words.clone(), names));
        }
        let noun = self.lexicon.noun(chosen[0]);
        self.to_noun(deed, act, thing, (noun, chosen[0], verb));
    }

    /// Does an act to a noun of the registers; what kind it is decides what the act comes to.
    fn to_noun(&mut self, deed: &mut Deed, act: Act, thing: &Thing, (noun, at, verb): (&Noun, usize, &Verb)) {
        let unsure = Doubt::Verb(verb.words.clone());
        let not_a_part = Doubt::Name(thing.words.clone(), vec![noun.name.clone()]);
        if thing.is_feature && act != Act::Fill {
            deed.doubts.push(not_a_part.clone());
        }
        let resolved = match (act, noun.kind) {
            (Act::On, NounKind::Part) => self.fitted(deed, thing, at),
            (_, NounKind::Part) => {
                if matches!(act, Act::Open | Act::Shut | Act::Lock | Act::Unlock | Act::Run | Act::Halt) {
                    deed.doubts.push(unsure);
                }
                act
            }
            (Act::Off, NounKind::Temporary) => Act::Take,
            (Act::On | Act::New, NounKind::Temporary) => Act::Place,
            (Act::Discard | Act::Stores, NounKind::Temporary) => Act::Take,
            (Act::Off, NounKind::Opening) => Act::Open,
            (Act::On, NounKind::Opening) if !thing.is_new => Act::Shut,
            (Act::Halt, NounKind::Opening) => Act::Shut,
            (Act::Open | Act::Shut, NounKind::Opening) | (Act::Run | Act::Halt | Act::Fill, NounKind::Machine | NounKind::Boundary) => act,
            (Act::On, NounKind::Tool) => return deed.actions.push(Action::new(Act::Use, noun.name.clone())),
            (Act::Off | Act::Stores | Act::Discard | Act::Place | Act::Take, NounKind::Tool) => return,
            (Act::Off | Act::Discard | Act::Stores, NounKind::Fluid) => return,
            (_, NounKind::Inert) => return,
            (Act::Tighten | Act::Loosen, NounKind::Tool | NounKind::Reading | NounKind::Value) => {
                deed.doubts.push(not_a_part);
                return;
            }
            _ => {
                deed.doubts.push(not_a_part);
                act
            }
        };
        self.limited(deed, resolved, thing, at);
        let mut action = Action::new(resolved, noun.name.clone());
        action.count = count(deed, thing, noun, is_strict(resolved));
        if matches!(resolved, Act::Tighten | Act::Snug | Act::Fill | Act::Run | Act::Loosen) {
            action.to.clone_from(&deed.places.to);
        } else if !deed.places.to.is_empty() && deed.verbs.len() == 1 {
            deed.doubts.push(Doubt::Words(format!("to {}", deed.places.to)));
        }
        action.with.clone_from(&deed.places.tools);
        if resolved == Act::Fill {
            action.with.splice(0..0, deed.places.fluids.iter().cloned());
        } else if !deed.places.fluids.is_empty() {
            deed.doubts.push(Doubt::Words(format!("with {}", deed.places.fluids.join(" and "))));
        }
        if matches!(resolved, Act::Place | Act::Take | Act::On | Act::New | Act::Off) {
            action.on = deed.places.places.first().map(|place| self.name(place)).unwrap_or_default();
        }
        deed.actions.push(action);
        deed.nouns.push((resolved, at));
    }

    /// Returns whether a part that is fitted is new or the old one.
    fn fitted(&mut self, deed: &mut Deed, thing: &Thing, at: usize) -> Act {
        let is_new = thing.is_new || (self.memory.new.contains(&at) && !thing.is_old);
        if is_new {
            return Act::New;
        }
        if self.memory.discarded.contains(&at) {
            deed.doubts.push(Doubt::Words(thing.words.clone()));
            return Act::New;
        }
        if thing.is_indefinite {
            deed.doubts.push(Doubt::Words(format!("a {}", thing.words)));
        }
        Act::On
    }

    /// Asks where words may limit what is taken off, loosened or tightened to some of its kind.
    fn limited(&self, deed: &mut Deed, act: Act, thing: &Thing, at: usize) {
        let strict = matches!(act, Act::Off | Act::Discard | Act::Loosen | Act::Tighten | Act::Snug | Act::Open | Act::Shut | Act::Take | Act::On | Act::New | Act::Stores);
        let has = self.lexicon.noun(at).count;
        let is_whole = match thing.said {
            Said::Singular | Said::One => has == Some(1),
            Said::Number(number) => has == Some(number),
            Said::Plural | Said::Each => false,
        };
        if !strict || is_whole {
            return;
        }
        if let Some(limit) = &thing.limit {
            deed.doubts.push(Doubt::Words(limit.words.clone()));
        }
        for (words, nouns) in &deed.places.limits {
            if !self.is_always_of(thing, nouns) {
                deed.doubts.push(Doubt::Words(words.clone()));
            }
        }
    }

    /// Does an act to isolation points, by the words that select them.
    fn to_points(&mut self, deed: &mut Deed, act: Act, thing: &Thing, verb: &Verb) {
        let points = self.lexicon.points(&thing.words);
        if !matches!(act, Act::Lock | Act::Unlock | Act::Open | Act::Shut) {
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
            Said::Each => Count::All,
            Said::Plural => Count::All,
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
    fn to_talk(&mut self, deed: &mut Deed, act: Act, talk: Talk, thing: &Thing) {
        let shadowed = self.shadowed(thing);
        let unsure = Doubt::Name(thing.words.clone(), shadowed.clone());
        if !shadowed.is_empty() {
            return deed.doubts.push(unsure);
        }
        const PAPERS: [&str; 14] = [
            "tag", "sheet", "packet", "permit", "isolation sheet", "record sheet", "work permit", "kit", "manual", "page", "log", "log book", "drawing", "mark",
        ];
        let is_paper = PAPERS.contains(&thing.words.as_str());
        match (act, talk) {
            (Act::Off | Act::Unlock | Act::On | Act::Lock | Act::Place, Talk::Lock) => self.locks(deed, act, thing),
            (Act::Off | Act::Discard, Talk::Matter | Talk::Wear | Talk::Tools)
            | (Act::On | Act::Place, Talk::Wear | Talk::Tools)
            | (Act::Stores, Talk::Tools | Talk::Paper | Talk::Wear)
            | (Act::Run, Talk::Aid)
            | (Act::Halt, Talk::Person) => {}
            (Act::Open | Act::Shut, Talk::Paper) if is_paper => {}
            (Act::On | Act::Off | Act::Discard, Talk::Paper) if is_paper => {}
            _ => deed.doubts.push(unsure),
        }
    }

    /// Returns the names of what moves that a noun of procedure talk may stand for (`gauge` for a pressure gauge).
    fn shadowed(&self, thing: &Thing) -> Vec<String> {
        let (from, to) = thing.range;
        let words = thing.words.split(' ').count();
        let items = self.items.get(to.saturating_sub(words).max(from)..to).unwrap_or_default();
        let nouns = self.lexicon.shortened(items).into_iter().map(|at| self.lexicon.noun(at));
        let moves = |noun: &&Noun| matches!(noun.kind, NounKind::Part | NounKind::Opening | NounKind::Temporary | NounKind::Point);
        nouns.filter(moves).map(|noun| noun.name.clone()).collect()
    }

    /// Puts locks on points, or takes them off.
    fn locks(&mut self, deed: &mut Deed, act: Act, thing: &Thing) {
        let act = if matches!(act, Act::Off | Act::Unlock) { Act::Unlock } else { Act::Lock };
        let places = deed.places.places.clone();
        if let Some(unknown) = deed.places.unknown.first() {
            self.obstacle.get_or_insert(Obstacle::Noun(unknown.words.clone()));
        }
        if places.is_empty() {
            let mut action = Action::new(act, "");
            action.count = Count::All;
            if act == Act::Lock || !matches!(thing.said, Said::Plural | Said::Each) || !deed.places.limits.is_empty() || deed.places.is_at_feature {
                deed.doubts.push(Doubt::NoObject(thing.words.clone()));
            }
            deed.actions.push(action);
            return;
        }
        for place in &places {
            let is_one = self.kind(place) == Some(NounKind::Point) && self.name(place).eq_ignore_ascii_case(&place.words);
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

    /// Puts a fluid onto parts.
    fn fluid(&mut self, deed: &mut Deed, verb: &Verb) {
        let objects = std::mem::take(&mut deed.objects);
        if objects.iter().any(|thing| thing.is_talk(Talk::Lock)) {
            for thing in &objects {
                self.to_one(deed, Act::Lock, thing, verb);
            }
            return;
        }
        let is_line = |thing: &Thing| thing.is_talk(Talk::Paper);
        if !objects.is_empty() && objects.iter().all(is_line) {
            deed.actions.push(Action::new(Act::Mark, ""));
            return;
        }
        let (fluids, parts): (Vec<Thing>, Vec<Thing>) = objects.iter().cloned().partition(|thing| self.kind(thing) == Some(NounKind::Fluid));
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

    fn apply(&mut self, deed: &mut Deed, fluid: &str, target: &Thing) {
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
    fn wipe(&mut self, deed: &mut Deed, verb: &Verb) {
        let objects = std::mem::take(&mut deed.objects);
        if objects.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
        }
        for thing in &objects {
            match (self.kind(thing), &thing.what) {
                (Some(NounKind::Part | NounKind::Opening | NounKind::Temporary | NounKind::Machine | NounKind::Boundary), _) => {
                    deed.doubts.extend(thing.doubts.iter().cloned());
                    if let Some(limit) = &thing.limit {
                        deed.doubts.push(Doubt::Words(limit.words.clone()));
                    }
                    let at = thing.nouns()[0];
                    let noun = self.lexicon.noun(at);
                    let mut action = Action::new(Act::Wipe, noun.name.clone());
                    action.count = if thing.is_feature && thing.said == Said::Singular { Count::One } else { count(deed, thing, noun, false) };
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
        if !deed.places.companions.is_empty() {
            deed.doubts.push(Doubt::Words(format!("with {}", deed.places.companions[0].words)));
        }
        deed.objects = objects;
    }

    /// Uses a tool.
    fn use_tool(&mut self, deed: &mut Deed) {
        for thing in &deed.objects.clone() {
            match self.kind(thing) {
                Some(NounKind::Tool) if thing.nouns().len() == 1 => deed.actions.push(Action::new(Act::Use, self.name(thing))),
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

    /// Moves a thing off or on, as the words of direction say.
    fn directional(&mut self, deed: &mut Deed, verb: &Verb) {
        if deed.objects.iter().any(|thing| thing.is_talk(Talk::StopButton) || thing.words == "stop") {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
            return deed.actions.push(Action::new(Act::Halt, ""));
        }
        if deed.objects.iter().any(|thing| thing.is_talk(Talk::Lock)) {
            return self.to_each(deed, Act::Lock, verb);
        }
        let is_still = |thing: &Thing| {
            matches!(thing.what, What::Talk(Talk::Paper | Talk::Aid | Talk::Manner | Talk::Person | Talk::Tools)) || matches!(self.kind(thing), Some(NounKind::Tool | NounKind::Inert))
        };
        if !deed.objects.is_empty() && deed.objects.iter().all(is_still) {
            return self.neutral(deed, None, verb);
        }
        match deed.places.direction {
            Direction::Off => self.to_each(deed, Act::Off, verb),
            Direction::On if deed.places.rest.is_some() => self.rest(deed, verb),
            Direction::On => self.seat(deed, verb),
            Direction::Unsaid if deed.places.rest.is_some() => self.rest(deed, verb),
            Direction::Unsaid | Direction::Unclear => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.unsure(deed, verb);
            }
        }
    }

    /// Fits a thing; one that this step has fitted already is only driven home.
    fn seat(&mut self, deed: &mut Deed, verb: &Verb) {
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
        self.to_each(deed, Act::On, verb);
    }

    /// Returns whether this step has fitted all objects already.
    fn is_fitted(&self, deed: &Deed) -> bool {
        let mut nouns = deed.objects.iter().flat_map(|thing| thing.nouns().to_vec()).peekable();
        nouns.peek().is_some() && nouns.all(|at| self.memory.on.contains(&at))
    }

    /// Keeps the doubts of the objects of an order that is not sure, and what is unknown among them.
    fn unsure(&mut self, deed: &mut Deed, verb: &Verb) {
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
    fn rest(&mut self, deed: &mut Deed, verb: &Verb) {
        let has = |deed: &Deed, kind| deed.objects.iter().any(|thing| self.kind(thing) == Some(kind));
        if has(deed, NounKind::Fluid) {
            return self.fluid(deed, verb);
        }
        if deed.objects.iter().any(|thing| thing.is_talk(Talk::Lock)) {
            return self.to_each(deed, Act::Lock, verb);
        }
        if has(deed, NounKind::Temporary) && deed.places.rest.is_none() && deed.places.direction != Direction::Off {
            return self.to_each(deed, Act::On, verb);
        }
        let is_aside = ["aside", "away", "down", "to one side"].into_iter().any(|word| verb.words.ends_with(word));
        match deed.places.rest {
            Some(Rest::Stores) => return self.to_each(deed, Act::Stores, verb),
            Some(Rest::Waste) => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                return self.to_each(deed, Act::Discard, verb);
            }
            Some(Rest::Laid) => return self.lay(deed, verb),
            None if is_aside => return self.lay(deed, verb),
            None => {}
        }
        let has_place = !deed.places.places.is_empty() || deed.places.is_at_feature || !deed.places.unknown.is_empty();
        if deed.places.direction == Direction::On && has_place {
            return self.seat(deed, verb);
        }
        let is_still = |thing: &Thing| matches!(thing.what, What::Talk(_)) || matches!(self.kind(thing), Some(NounKind::Tool | NounKind::Inert));
        if !deed.objects.is_empty() && deed.objects.iter().all(is_still) {
            return self.neutral(deed, None, verb);
        }
        deed.doubts.push(Doubt::Verb(verb.words.clone()));
        self.unsure(deed, verb);
    }

    /// Lays a thing down: nothing moves on the machine if this step took it off.
    fn lay(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_off = |thing: &Thing| {
            let nouns = thing.nouns();
            let is_part = matches!(self.kind(thing), Some(NounKind::Part | NounKind::Opening | NounKind::Temporary));
            !is_part || nouns.iter().all(|at| self.memory.off.contains(at) || self.memory.discarded.contains(at))
        };
        if !deed.objects.iter().all(is_off) {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        self.unsure(deed, verb);
    }

    /// Puts in what stands after `with`.
    fn place_with(&mut self, deed: &mut Deed, verb: &Verb) {
        let companions = deed.places.companions.clone();
        if companions.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
        }
        self.unsure_objects(deed);
        for thing in &companions {
            deed.doubts.extend(thing.doubts.iter().cloned());
            let at = thing.nouns()[0];
            let noun = self.lexicon.noun(at);
            let is_item = noun.kind == NounKind::Temporary;
            if !is_item {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
            }
            let mut action = Action::new(if is_item { Act::Place } else { Act::On }, noun.name.clone());
            action.count = if thing.said == Said::Singular && thing.is_indefinite { Count::One } else { count(deed, thing, noun, true) };
            action.on = deed.objects.first().filter(|thing| !thing.nouns().is_empty()).map(|thing| self.name(thing)).unwrap_or_default();
            deed.actions.push(action);
            deed.nouns.push((Act::On, at));
        }
        if !companions.is_empty() {
            deed.objects = companions;
        }
    }

    fn unsure_objects(&mut self, deed: &mut Deed) {
        for thing in &deed.objects {
            let doubts = thing.doubts.iter().filter(|doubt| matches!(doubt, Doubt::Pronoun(_))).cloned();
            deed.doubts.extend(doubts);
        }
    }

    /// Fastens the objects with what stands after `with`.
    fn fasten_with(&mut self, deed: &mut Deed, verb: &Verb) {
        deed.doubts.push(Doubt::Verb(verb.words.clone()));
        let is_on = deed.objects.iter().flat_map(|thing| thing.nouns().to_vec()).all(|at| self.memory.on.contains(&at));
        let companions = deed.places.companions.clone();
        if is_on && !companions.is_empty() {
            deed.objects = companions;
            deed.places.companions.clear();
        }
        self.to_each(deed, Act::On, verb);
    }

    /// Looks, writes, waits: nothing moves.
    fn neutral(&mut self, deed: &mut Deed, act: Option<Act>, verb: &Verb) {
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
                (What::Quantity, _) => named.push((thing.words.clone(), Count::One)),
                (What::Talk(Talk::Anything), _) if thing.is_pronoun => {}
                (What::Talk(_), _) => {}
                (What::Points, _) => named.push((thing.words.clone(), Count::One)),
                (What::Nouns(nouns), Some(_)) => {
                    let noun = self.lexicon.noun(nouns[0]);
                    let is_tool = matches!(noun.kind, NounKind::Tool);
                    deed.doubts.extend(thing.doubts.iter().filter(|doubt| !is_tool && !matches!(doubt, Doubt::Words(_))).cloned());
                    if noun.kind != NounKind::Inert {
                        let name = if nouns.len() > 1 { thing.words.clone() } else { noun.name.clone() };
                        let many = matches!(noun.kind, NounKind::Part | NounKind::Opening | NounKind::Temporary) && !thing.is_feature;
                        named.push((name, if many { count(deed, thing, noun, false) } else { Count::One }));
                    }
                }
                (What::Nouns(_), None) => deed.doubts.extend(thing.doubts.iter().filter(|doubt| matches!(doubt, Doubt::Pronoun(_))).cloned()),
            }
        }
        deed.objects = objects;
        let Some(act) = act else { return };
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
        let _ = verb;
    }

    /// Lets something happen: only waiting, unless what happens moves something.
    fn causative(&mut self, deed: &mut Deed, clause: &Clause<'_>, verb: &Verb) {
        let machines = (clause.from..clause.to).any(|at| {
            let nouns = self.found(at).map(|found| found.what);
            matches!(nouns, Some(crate::language::matching::FoundWhat::Nouns(nouns)) if nouns.iter().any(|at| !matches!(self.lexicon.noun(*at).kind, NounKind::Inert | NounKind::Fluid | NounKind::Reading | NounKind::Value)))
        });
        let machines = machines || (clause.from..clause.to).any(|at| self.talk(at).is_some_and(|(talk, _)| talk == Talk::Person));
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

    /// Returns a thing to stores, or to its place.
    fn give_back(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_still = |thing: &Thing| matches!(thing.what, What::Talk(_)) || matches!(self.kind(thing), Some(NounKind::Tool | NounKind::Fluid));
        if !deed.objects.is_empty() && deed.objects.iter().all(is_still) {
            return self.neutral(deed, None, verb);
        }
        match deed.places.rest {
            Some(Rest::Stores) => self.to_each(deed, Act::Stores, verb),
            Some(Rest::Laid) => self.lay(deed, verb),
            Some(Rest::Waste) | None => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.to_each(deed, Act::On, verb);
            }
        }
    }

    /// Turns a thing; a fastener or a valve that is turned is loosened, tightened, opened or shut, and the words do not say which.
    fn spin(&mut self, deed: &mut Deed, verb: &Verb) {
        const TURNED: [&str; 12] = ["nut", "bolt", "screw", "stud", "plug", "cap", "valve", "cock", "handwheel", "tap", "isolator", "switch"];
        let is_fastener = deed.objects.iter().any(|thing| {
            let name = self.name(thing).to_lowercase();
            TURNED.iter().any(|head| name.ends_with(head)) || matches!(self.kind(thing), Some(NounKind::Opening | NounKind::Point))
        });
        if is_fastener || !matches!(deed.places.direction, Direction::Unsaid) && deed.places.places.is_empty() {
            deed.doubts.push(Doubt::Verb(verb.words.clone()));
        }
        self.neutral(deed, Some(Act::Turn), verb);
    }

    /// Sets a thing to a value, or puts it somewhere.
    fn put(&mut self, deed: &mut Deed, verb: &Verb) {
        let is_value = |thing: &Thing| matches!(self.kind(thing), Some(NounKind::Reading | NounKind::Tool | NounKind::Value)) || matches!(thing.what, What::Talk(_) | What::Quantity);
        if !deed.places.to.is_empty() || (!deed.objects.is_empty() && deed.objects.iter().all(is_value)) {
            return self.neutral(deed, Some(Act::Set), verb);
        }
        self.rest(deed, verb);
    }

    /// Joins acts that are one, remembers what was done, and hands the actions over.
    fn finish(&mut self, mut deed: Deed, clause: &Clause<'_>) {
        if clause.is_share && deed.places.to.is_empty() {
            deed.doubts.push(Doubt::Words("half".to_owned()));
        }
        for action in &mut deed.actions {
            action.conditional = self.is_conditional;
        }
        if self.memory.is_after_condition && !self.is_conditional && deed.actions.iter().any(|action| action.act.moves()) {
            deed.doubts.push(Doubt::Words("after a condition".to_owned()));
        }
        for (act, noun) in &deed.nouns {
            let sets = (&mut self.memory.off, &mut self.memory.on, &mut self.memory.discarded);
            match act {
                Act::Off | Act::Take => {
                    sets.0.insert(*noun);
                    sets.1.remove(noun);
                }
                Act::On | Act::New | Act::Place => {
                    sets.1.insert(*noun);
                    sets.0.remove(noun);
                }
                Act::Discard | Act::Stores => {
                    sets.2.insert(*noun);
                }
                _ => {}
            }
        }
        let objects = deed.objects;
        self.remember(&objects);
        if !deed.doubts.is_empty() && self.memory.trust == crate::language::memory::Trust::Known && clause.may_move() {
            self.memory.trust = crate::language::memory::Trust::Doubtful;
        }
        self.doubts.extend(deed.doubts);
        for action in deed.actions {
            self.push(action);
        }
    }

    /// Adds an action; off and discarded is discarded, shut and locked is locked.
    fn push(&mut self, action: Action) {
        let goes_into = |before: &Action| {
            let same = before.thing == action.thing && before.count == action.count && before.conditional == action.conditional;
            let joins = match action.act {
                Act::Discard => before.act == Act::Off,
                Act::Lock => matches!(before.act, Act::Shut | Act::Halt),
                _ => false,
            };
            same && joins
        };
        self.actions.retain(|before| !goes_into(before));
        if !self.actions.contains(&action) {
            self.actions.push(action);
        }
    }
}

/// An order on its way to actions.
struct Deed {
    verbs: Vec<String>,
    objects: Vec<Thing>,
    places: Places,
    actions: Vec<Action>,
    doubts: Vec<Doubt>,
    nouns: Vec<(Act, usize)>,
    /// True after `finger tight`.
    is_hand_tight: bool,
}

/// Returns whether an act is one that a thing of this kind can undergo.
fn suits(act: Act, kind: NounKind) -> bool {
    match act {
        Act::Open | Act::Shut => matches!(kind, NounKind::Opening | NounKind::Point),
        Act::Lock | Act::Unlock => kind == NounKind::Point,
        Act::Run | Act::Halt | Act::Fill => matches!(kind, NounKind::Machine | NounKind::Boundary),
        Act::Off | Act::On | Act::New | Act::Discard | Act::Stores => matches!(kind, NounKind::Part | NounKind::Temporary | NounKind::Opening),
        _ => kind == NounKind::Part,
    }
}

/// Returns whether how many is a question of the act.
fn is_strict(act: Act) -> bool {
    !matches!(act, Act::Run | Act::Halt | Act::Fill | Act::Wipe | Act::Apply) && act.moves()
}

/// Returns whether `on` behind a verb of pushing may also be what is leaned on.
fn is_leaning(words: &str) -> bool {
    matches!(words, "press on" | "push on" | "tap on" | "drive on")
}

/// Returns how many are meant, and asks where that is not how many there are.
fn count(deed: &mut Deed, thing: &Thing, noun: &Noun, is_strict: bool) -> Count {
    if !matches!(noun.kind, NounKind::Part | NounKind::Opening | NounKind::Temporary) {
        return Count::One;
    }
    let has = noun.count;
    let mut ask = |said: u32| {
        if is_strict && !thing.is_pronoun && has.is_some_and(|has| has != said) {
            deed.doubts.push(Doubt::Count(noun.name.clone(), said, has.unwrap_or_default()));
        }
    };
    match thing.said {
        Said::Singular => {
            ask(1);
            Count::One
        }
        Said::One => Count::One,
        Said::Number(number) => {
            ask(number);
            Count::Number(number)
        }
        Said::Plural if has == Some(1) => {
            let last = noun.name.rsplit(' ').next().unwrap_or_default();
            if crate::language::inflect::singular(&last.to_lowercase()) == last.to_lowercase() {
                ask(2);
            }
            Count::One
        }
        Said::Plural | Said::Each => Count::All,
    }
}
