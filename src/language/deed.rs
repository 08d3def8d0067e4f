//! From an order to actions: what each verb does to each kind of thing, and where that is not sure; it applies nothing.

use crate::language::action::{Act, Action, Count};
use crate::language::clause::Clause;
use crate::language::inflect::singular;
use crate::language::listed::Talk;
use crate::language::memory::{Said, Thing, Trust, What};
use crate::language::noun::{Noun, NounKind};
use crate::language::parser::Parser;
use crate::language::pass;
use crate::language::places::{Direction, Places};
use crate::language::reading::{Doubt, Obstacle};
use crate::language::verb::{Sense, Verb};

impl<'a> Parser<'a> {
    /// Turns an order into actions.
    pub(super) fn act(&mut self, mut clause: Clause<'a>) {
        let presses = clause.verbs.iter().all(|verb| matches!(verb.sense, Sense::Directional));
        if presses && matches!(&clause.objects[..], [only] if only.is_talk(Talk::StartButton) || only.words == "start")
        {
            let is_start = clause.objects[0].words.split(' ').any(|word| word == "start");
            let holds_on = (clause.from..clause.to).any(|at| self.says(at, "until") || self.says(at, "till"));
            if !is_start || holds_on {
                // A green button may be any button, and one that is held until something happens runs the machine.
                self.doubts.push(Doubt::Name(clause.objects[0].words.clone(), Vec::new()));
            }
            self.doubts.append(&mut clause.doubts);
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
        let is_stop = is_stop_of_job(&verbs, &deed.objects);
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

    /// Does one verb of an order.
    pub(super) fn one(&mut self, deed: &mut Deed, verb: &Verb, clause: &Clause<'_>) {
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
                self.do_each(deed, Act::New, verb);
            }
            Sense::Neutral => self.neutral(deed, None, verb),
            Sense::Causative => self.causative(deed, clause, verb),
            Sense::Return => self.give_back(deed, verb),
            Sense::Spin => self.spin(deed, verb),
            Sense::Put => self.put(deed, verb),
            Sense::Try => {
                if !self.is_plain_trial(clause.from + 1, clause.to) {
                    deed.doubts.push(Doubt::Verb(verb.words.clone()));
                }
                deed.actions.push(Action::new(Act::Try, ""));
            }
        }
    }

    /// Does an act whose object is what is moved or looked at.
    pub(super) fn plain(&mut self, deed: &mut Deed, act: Act, verb: &Verb) {
        match act {
            Act::Wipe => self.wipe(deed, verb),
            Act::Use => self.use_tool(deed),
            Act::Stores => self.do_each(deed, Act::Stores, verb),
            Act::Tighten if deed.places.is_by_hand && deed.places.to.is_empty() => self.do_each(deed, Act::Snug, verb),
            Act::On if self.is_fitted(deed) => self.seat(deed, verb),
            Act::On if is_leaning(&verb.words) => {
                deed.doubts.push(Doubt::Verb(verb.words.clone()));
                self.do_each(deed, Act::On, verb);
            }
            Act::On if deed.places.is_by_hand && verb.sense == Sense::Act(Act::On) && deed.is_hand_tight => {
                self.do_each(deed, Act::On, verb);
                self.do_each(deed, Act::Snug, verb);
            }
            Act::On | Act::Off | Act::Discard => {
                let is_wrong_way = match deed.places.direction {
                    Direction::On => {
                        act == Act::Off
                            && deed.places.rest.is_none()
                            && verb.words.split(' ').count() == 1
                            && !deed.places.places.is_empty()
                            && deed.places.places.len() != 1
                    }
                    Direction::Off => act == Act::On,
                    Direction::Unsaid | Direction::Unclear => false,
                };
                if is_wrong_way {
                    deed.doubts.push(Doubt::Verb(verb.words.clone()));
                }
                self.do_each(deed, act, verb);
            }
            act if act.moves() => self.do_each(deed, act, verb),
            act => self.neutral(deed, Some(act), verb),
        }
    }

    pub(super) fn ambiguous(&mut self, deed: &mut Deed, act: Act, verb: &Verb) {
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
            self.do_each(deed, act, verb);
        } else {
            self.neutral(deed, Some(act), verb);
        }
    }

    /// Does an act to each object, and to the parts that go with it.
    pub(super) fn do_each(&mut self, deed: &mut Deed, act: Act, verb: &Verb) {
        let mut objects = std::mem::take(&mut deed.objects);
        if objects.is_empty() {
            deed.doubts.push(Doubt::NoObject(verb.words.clone()));
            let last = self.memory.last.clone();
            for thing in &last {
                self.do_one(deed, act, thing, verb);
            }
            return;
        }
        let is_many = objects.len() > 1 && objects.iter().all(|thing| thing.is_pronoun);
        if is_many && matches!(act, Act::Tighten | Act::Snug | Act::Loosen) {
            // `fit the gasket and the bolts and tighten them`: the bolts alone.
            deed.doubts.push(Doubt::Pronoun("them".to_owned()));
        }
        let companions = std::mem::take(&mut deed.places.companions);
        for thing in &objects {
            self.do_one(deed, act, thing, verb);
        }
        for thing in &companions {
            let is_part = self.kind(thing) == Some(NounKind::Part);
            match act {
                Act::Off | Act::On | Act::New | Act::Discard | Act::Stores if is_part => {
                    self.do_one(deed, act, thing, verb);
                }
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
    pub(super) fn do_one(&mut self, deed: &mut Deed, act: Act, thing: &Thing, verb: &Verb) {
        deed.doubts.extend(thing.doubts.iter().cloned());
        match &thing.what {
            What::Unknown if thing.is_pronoun => {}
            What::Unknown if act == Act::Run || !thing.words.is_empty() => {
                self.obstacle.get_or_insert(Obstacle::Noun(thing.words.clone()));
            }
            What::Unknown | What::Quantity => deed.doubts.push(Doubt::NoObject(verb.words.clone())),
            What::Talk(talk) => self.do_talk(deed, act, *talk, thing),
            What::Points => self.do_points(deed, act, thing, verb),
            What::Nouns(nouns) => self.do_nouns(deed, act, thing, (nouns, verb)),
        }
    }

    pub(super) fn do_nouns(&mut self, deed: &mut Deed, act: Act, thing: &Thing, (nouns, verb): (&[usize], &Verb)) {
        let fits = |noun: &usize| suits(act, self.lexicon.noun(*noun).kind);
        let mut chosen: Vec<usize> = nouns.iter().copied().filter(fits).collect();
        let is_point = |noun: &usize| self.lexicon.noun(*noun).kind == NounKind::Point;
        if !chosen.is_empty() && chosen.iter().all(is_point) {
            return self.do_points(deed, act, thing, verb);
        }
        if nouns.iter().all(is_point) {
            return self.do_points(deed, act, thing, verb);
        }
        if chosen.is_empty() {
            if matches!(act, Act::Lock | Act::Unlock) && !self.lexicon.points(&thing.words).is_empty() {
                deed.doubts.push(Doubt::Name(
                    thing.words.clone(),
                    self.lexicon.points(&thing.words).iter().map(|noun| noun.name.clone()).collect(),
                ));
                return self.do_points(deed, act, thing, verb);
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
        self.do_noun(deed, act, thing, (noun, chosen[0], verb));
    }

    /// Does an act to a noun of the registers; what kind it is decides what the act comes to.
    pub(super) fn do_noun(
        &mut self,
        deed: &mut Deed,
        act: Act,
        thing: &Thing,
        (noun, at, verb): (&Noun, usize, &Verb),
    ) {
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
            (Act::On | Act::New, NounKind::Temporary) => Act::Place,
            (Act::Off | Act::Discard | Act::Stores, NounKind::Temporary) => Act::Take,
            (Act::Off, NounKind::Opening) => Act::Open,
            (Act::On, NounKind::Opening) if !thing.is_new => Act::Shut,
            (Act::Halt, NounKind::Opening) => Act::Shut,
            (Act::Open | Act::Shut, NounKind::Opening)
            | (Act::Run | Act::Halt | Act::Fill, NounKind::Machine | NounKind::Boundary) => act,
            (Act::On, NounKind::Tool) => return deed.actions.push(Action::new(Act::Use, noun.name.clone())),
            (Act::Off | Act::Stores | Act::Discard, NounKind::Tool | NounKind::Fluid) | (_, NounKind::Inert) => return,
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
            action.on = deed
                .places
                .places
                .iter()
                .find(|place| self.kind(place) != Some(NounKind::Machine))
                .map(|place| self.name(place))
                .unwrap_or_default();
        }
        if resolved == Act::Tighten {
            deed.actions.extend(pass::actions(&deed.places.passes, &action));
        }
        deed.actions.push(action);
        deed.nouns.push((resolved, at));
    }

    /// Returns whether a part that is fitted is new or the old one.
    pub(super) fn fitted(&mut self, deed: &mut Deed, thing: &Thing, at: usize) -> Act {
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
    pub(super) fn limited(&self, deed: &mut Deed, act: Act, thing: &Thing, at: usize) {
        let strict = matches!(
            act,
            Act::Off
                | Act::Discard
                | Act::Loosen
                | Act::Tighten
                | Act::Snug
                | Act::Open
                | Act::Shut
                | Act::Take
                | Act::On
                | Act::New
                | Act::Stores
        );
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

    /// Joins acts that are one, remembers what was done, and hands the actions over.
    pub(super) fn finish(&mut self, mut deed: Deed, clause: &Clause<'_>) {
        if clause.is_share && deed.places.to.is_empty() {
            deed.doubts.push(Doubt::Words("half".to_owned()));
        }
        for action in &mut deed.actions {
            action.conditional = self.is_conditional;
        }
        if self.memory.is_after_condition
            && !self.is_conditional
            && deed.actions.iter().any(|action| action.act.moves())
        {
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
        if !deed.doubts.is_empty() && self.memory.trust == Trust::Known && clause.may_move() {
            self.memory.trust = Trust::Doubtful;
        }
        self.doubts.extend(deed.doubts);
        for action in deed.actions {
            self.push(action);
        }
    }

    /// Adds an action; off and discarded is discarded, shut and locked is locked.
    pub(super) fn push(&mut self, mut action: Action) {
        let new = action.clone();
        let goes_into = |before: &Action| {
            let same = before.thing == new.thing && before.count == new.count && before.conditional == new.conditional;
            let joins = match new.act {
                Act::Discard => before.act == Act::Off,
                Act::Lock => matches!(before.act, Act::Shut | Act::Halt),
                _ => false,
            };
            same && joins
        };
        let tools = self
            .actions
            .iter()
            .filter(|before| goes_into(before))
            .flat_map(|before| before.with.clone())
            .collect::<Vec<_>>();
        self.actions.retain(|before| !goes_into(before));
        if action.with.is_empty() {
            action.with = tools;
        }
        if !self.actions.contains(&action) {
            self.actions.push(action);
        }
    }
}

/// An order on its way to actions.
pub(super) struct Deed {
    pub(super) verbs: Vec<String>,
    pub(super) objects: Vec<Thing>,
    pub(super) places: Places,
    pub(super) actions: Vec<Action>,
    pub(super) doubts: Vec<Doubt>,
    pub(super) nouns: Vec<(Act, usize)>,
    /// True after `finger tight`.
    pub(super) is_hand_tight: bool,
}

/// Returns whether `stop` stops the job, not a machine.
fn is_stop_of_job(verbs: &[&Verb], objects: &[Thing]) -> bool {
    let is_job = |thing: &Thing| matches!(thing.what, What::Talk(Talk::Person | Talk::Paper));
    let calm = verbs.iter().any(|verb| matches!(verb.sense, Sense::Act(Act::Tell)));
    objects.iter().all(is_job) || (calm && objects.iter().all(|thing| matches!(thing.what, What::Talk(_))))
}

/// Returns whether a name is that of a thing that is loosened, tightened, opened or shut by turning it.
pub(super) fn is_fastener(name: &str) -> bool {
    const TURNED: [&str; 14] = [
        "nut",
        "bolt",
        "screw",
        "stud",
        "plug",
        "cap",
        "valve",
        "cock",
        "handwheel",
        "tap",
        "isolator",
        "switch",
        "gland",
        "union",
    ];
    TURNED.iter().any(|head| name.to_lowercase().ends_with(head))
}

/// Returns whether an act is one that a thing of this kind can undergo.
fn suits(act: Act, kind: NounKind) -> bool {
    match act {
        Act::Open | Act::Shut => matches!(kind, NounKind::Opening | NounKind::Point),
        Act::Lock | Act::Unlock => kind == NounKind::Point,
        Act::Run | Act::Halt | Act::Fill => matches!(kind, NounKind::Machine | NounKind::Boundary),
        Act::Off | Act::On | Act::New | Act::Discard | Act::Stores => {
            matches!(kind, NounKind::Part | NounKind::Temporary | NounKind::Opening)
        }
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
pub(super) fn count(deed: &mut Deed, thing: &Thing, noun: &Noun, is_strict: bool) -> Count {
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
            if singular(&last.to_lowercase()) == last.to_lowercase() {
                ask(2);
            }
            Count::One
        }
        Said::Plural | Said::Each => Count::All,
    }
}
