//! What a name in an action stands for on one machine, and how many of it there are; it decides nothing about what is done.

use crate::analysis::effectivity;
use crate::analysis::job::Job;
use crate::base::name::Name;
use crate::base::text::Placed;
use crate::model::family::{Boundary, Opening, Part, Temporary};
use crate::model::only::Only;
use crate::model::procedure::Configured;
use crate::model::value::Value;
use std::collections::{BTreeMap, BTreeSet};

/// What a name stands for.
#[derive(Clone, Debug)]
pub enum Thing<'b> {
    /// A part of the family.
    Part(PartHere<'b>),
    /// A drain, vent or cover.
    Opening(&'b Opening, Option<u32>),
    /// Something put in for the job.
    Temporary(&'b Temporary, Option<u32>),
    /// Isolation points.
    Isolation(PointsHere<'b>),
    /// A tool, a fluid, the machine, or a noun that moves nothing.
    Other,
}

/// A part as this machine has it.
#[derive(Clone, Copy, Debug)]
pub struct PartHere<'b> {
    /// The part.
    pub part: &'b Part,
    /// How many are on before and after the job: none and none where the machine does not have it; unknown where the register
    /// does not say.
    pub counts: Option<(u32, u32)>,
}

/// The isolation points that some words stand for.
#[derive(Clone, Debug, Default)]
pub struct PointsHere<'b> {
    /// The points, by their place in the fleet's list; none where the machine has no point of what was named.
    pub points: Vec<usize>,
    /// The boundaries that were named.
    pub boundaries: Vec<&'b Boundary>,
}

impl PartHere<'_> {
    /// Returns the larger of the numbers before and after the job: what `all` means.
    #[must_use]
    pub fn all(&self) -> Option<u32> {
        self.counts.map(|(before, after)| before.max(after))
    }
}

impl Thing<'_> {
    /// Returns how many there are on this machine; none where that is no question, or is not known.
    #[must_use]
    pub fn all(&self) -> Option<u32> {
        match self {
            Self::Part(part) => part.all(),
            Self::Opening(_, count) | Self::Temporary(_, count) => *count,
            Self::Isolation(named) => u32::try_from(named.points.len()).ok(),
            Self::Other => None,
        }
    }

    /// Returns whether it is one that other machines of the family have, and this one does not.
    #[must_use]
    pub fn is_absent(&self) -> bool {
        matches!(self, Self::Part(_) | Self::Opening(..) | Self::Temporary(..)) && self.all() == Some(0)
    }

    /// Returns the register's name; none for what is no part, opening or item.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        match self {
            Self::Part(here) => Some(here.part.name.value.as_str()),
            Self::Opening(opening, _) => Some(opening.name.value.as_str()),
            Self::Temporary(item, _) => Some(item.name.value.as_str()),
            Self::Isolation(_) | Self::Other => None,
        }
    }
}

/// Every name of a thing that can be moved, opened or locked on one machine.
#[derive(Clone, Debug, Default)]
pub struct Things<'b> {
    by_name: BTreeMap<Name, Thing<'b>>,
}

/// Words that stand for the isolation points: for all of them as they are written, and for as many as their number says.
const ALL_POINTS: [&str; 4] = ["", "all", "locks", "all locks"];
const ANY_POINT: [&str; 3] = ["lock", "isolation point", "point"];

/// Returns whether words stand for every isolation point, whatever number stands beside them.
#[must_use]
pub fn says_every_point(words: &str) -> bool {
    ALL_POINTS.contains(&Name::new(words).folded())
}

impl<'b> Things<'b> {
    /// Returns the things of a machine.
    #[must_use]
    pub fn of(job: &Job<'b>) -> Self {
        let mut things = Self::default();
        for part in &job.family.parts {
            let here = PartHere { part, counts: job.part_counts(part) };
            things.add(&part.name, &part.also, &Thing::Part(here));
        }
        for opening in &job.family.openings {
            let count = job.item_count(opening.only.as_ref(), opening.count.as_ref());
            things.add(&opening.name, &opening.also, &Thing::Opening(opening, count));
        }
        for item in &job.family.temporary {
            let count = job.item_count(item.only.as_ref(), item.count.as_ref());
            things.add(&item.name, &item.also, &Thing::Temporary(item, count));
        }
        for (words, named) in points(job) {
            things.by_name.entry(words).or_insert(Thing::Isolation(named));
        }
        things
    }

    fn add(&mut self, name: &Placed<Name>, also: &[Placed<Name>], thing: &Thing<'b>) {
        for name in std::iter::once(name).chain(also) {
            self.by_name.entry(name.value.clone()).or_insert_with(|| thing.clone());
        }
    }

    /// Returns what words stand for.
    #[must_use]
    pub fn get(&self, words: &str) -> &Thing<'b> {
        self.by_name.get(&Name::new(words)).unwrap_or(&Thing::Other)
    }

    /// Returns every name that stands for something.
    pub fn names(&self) -> impl Iterator<Item = &Name> {
        self.by_name.keys()
    }

    /// Returns every isolation point.
    #[must_use]
    pub fn every_point(&self) -> PointsHere<'b> {
        match self.get("") {
            Thing::Isolation(every) => every.clone(),
            _ => PointsHere::default(),
        }
    }

    /// Returns the register's name of a part that is used once; none for everything else.
    #[must_use]
    pub fn single_use(&self, words: &str) -> Option<&str> {
        match self.get(words) {
            Thing::Part(here) if here.part.single_use => Some(here.part.name.value.as_str()),
            _ => None,
        }
    }

    /// Returns the last words of names of things that this machine does not have, in small letters.
    #[must_use]
    pub fn heads_of_absent(&self) -> BTreeSet<String> {
        let absent = self.by_name.iter().filter(|(_, thing)| thing.is_absent());
        let heads = absent.filter_map(|(name, _)| name.folded().split(|c: char| !c.is_alphanumeric()).next_back());
        heads.map(str::to_owned).collect()
    }

    /// Returns the parts, each once, by their names.
    pub fn parts(&self) -> impl Iterator<Item = PartHere<'b>> {
        self.by_name.iter().filter_map(|(name, thing)| match thing {
            Thing::Part(here) if here.part.name.value == *name => Some(*here),
            _ => None,
        })
    }
}

/// Returns the words for isolation points and boundaries, and what they name on this machine.
fn points<'b>(job: &Job<'b>) -> BTreeMap<Name, PointsHere<'b>> {
    let mut named: BTreeMap<Name, PointsHere<'b>> = BTreeMap::new();
    let isolation = &job.machine.isolation;
    for boundary in &job.family.boundaries {
        let own = || isolation.iter().enumerate().filter(|(_, point)| point.boundary.value == boundary.name.value);
        for (at, point) in own() {
            let phrases = point_phrases(boundary, &point.kind);
            for words in phrases.into_iter().chain([Name::new(&point.point)]) {
                named.entry(words).or_default().add(boundary, Some(at));
            }
        }
        for words in boundary_phrases(boundary) {
            let here = named.entry(words).or_default();
            here.add(boundary, None);
            own().for_each(|(at, _)| here.add(boundary, Some(at)));
        }
        // A point of a boundary that other machines of the family have is named here too, and is none.
        for words in job.kinds_at(boundary).into_iter().flat_map(|kind| point_phrases(boundary, kind)) {
            named.entry(words).or_default();
        }
    }
    let every = PointsHere { points: (0..isolation.len()).collect(), boundaries: job.boundaries_here() };
    for words in ALL_POINTS.into_iter().chain(ANY_POINT) {
        named.insert(Name::new(words), every.clone());
    }
    named
}

impl<'b> PointsHere<'b> {
    fn add(&mut self, boundary: &'b Boundary, point: Option<usize>) {
        if !self.boundaries.iter().any(|own| own.name.value == boundary.name.value) {
            self.boundaries.push(boundary);
        }
        if let Some(point) = point.filter(|point| !self.points.contains(point)) {
            self.points.push(point);
        }
    }
}

impl<'b> Job<'b> {
    /// Returns the boundaries this machine has.
    #[must_use]
    pub fn boundaries_here(&self) -> Vec<&'b Boundary> {
        effectivity::boundaries(self.family, self.machine)
    }

    /// Returns the kinds of isolation points that machines of the family have at a boundary, each once, in fleet order.
    #[must_use]
    pub fn kinds_at(&self, boundary: &Boundary) -> Vec<&'b str> {
        let mut kinds: Vec<&str> = Vec::new();
        for machine in self.binder.fleet.iter().filter(|machine| machine.family.value == self.family.id.value) {
            for point in machine.isolation.iter().filter(|point| point.boundary.value == boundary.name.value) {
                if !kinds.contains(&point.kind.as_str()) {
                    kinds.push(&point.kind);
                }
            }
        }
        kinds
    }

    /// Returns how many of a part are on this machine before and after the job: none and none where it does not have it, and
    /// nothing where the register does not say.
    #[must_use]
    pub fn part_counts(&self, part: &Part) -> Option<(u32, u32)> {
        let here = |own: &&Configured| self.applies(own.only.as_ref());
        let is = |name: &Name| part.name.value == *name || part.also.iter().any(|also| also.value == *name);
        let configured = self.procedure.configuration.iter().filter(here).find(|own| is(&own.part.value));
        if let Some(configured) = configured {
            return Some((configured.before, configured.after));
        }
        if !self.applies(part.only.as_ref()) {
            return Some((0, 0));
        }
        self.count(part).ok().map(|count| (count, count))
    }

    /// Returns how many of an opening or temporary item this machine has; nothing where the register does not say.
    #[must_use]
    pub fn item_count(&self, only: Option<&Only>, count: Option<&Placed<String>>) -> Option<u32> {
        if !self.applies(only) {
            return Some(0);
        }
        let Some(count) = count else { return Some(1) };
        if let Ok(count) = count.value.trim().parse() {
            return Some(count);
        }
        match self.value(&Placed::new(Name::new(&count.value), count.span)) {
            Ok(Value::Count(count)) => Some(count),
            _ => None,
        }
    }
}

/// Returns every way of naming the points of a boundary: its name or a synonym, whole or its first words, with the kind of
/// point behind; and the kind alone.
#[must_use]
pub fn point_phrases(boundary: &Boundary, kind: &str) -> Vec<Name> {
    let mut phrases = Vec::new();
    for name in names(boundary) {
        for beginning in beginnings(name) {
            push(&mut phrases, Name::new(&format!("{beginning} {kind}")));
        }
    }
    push(&mut phrases, Name::new(kind));
    phrases
}

/// Returns every way of naming a boundary: its name, its synonyms, and beginnings of two or more words (`hot side` of
/// `hot side in`).
#[must_use]
pub fn boundary_phrases(boundary: &Boundary) -> Vec<Name> {
    let mut phrases = Vec::new();
    for name in names(boundary) {
        push(&mut phrases, name.clone());
        for beginning in beginnings(name).into_iter().filter(|beginning| beginning.contains(' ')) {
            push(&mut phrases, Name::new(&beginning));
        }
    }
    phrases
}

fn names(boundary: &Boundary) -> impl Iterator<Item = &Name> {
    std::iter::once(&boundary.name.value).chain(boundary.also.iter().map(|also| &also.value))
}

/// Returns a name and what is left of it when words are taken off its end.
fn beginnings(name: &Name) -> Vec<String> {
    let words: Vec<&str> = name.as_str().split(' ').collect();
    (1..=words.len()).rev().map(|length| words[..length].join(" ")).collect()
}

fn push(phrases: &mut Vec<Name>, phrase: Name) {
    if !phrases.contains(&phrase) {
        phrases.push(phrase);
    }
}
