//! The names that a job's sentences may use on one machine, from every register; it reads no sentence.
//!
//! A machine's own tag and the numbers of its isolation points are in it only where a step names them: machines that differ
//! in nothing else then read alike, and are read once.

use crate::analysis::job::Job;
use crate::analysis::thing::{boundary_phrases, point_phrases};
use crate::base::name::Name;
use crate::base::text::Placed;
use crate::language::noun::{Noun, NounKind, Vocabulary};
use crate::model::crib::{Item, Kind};
use crate::model::family::Part;
use crate::model::value::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Returns the names of what this machine has.
#[must_use]
pub fn vocabulary_of(job: &Job<'_>) -> Vocabulary {
    gather(job, &Reach::Machine)
}

/// Returns the names of what any machine of the family has, to tell a step for another machine from one that nobody can
/// read. What this machine does not have is of no number.
#[must_use]
pub fn vocabulary_of_family(job: &Job<'_>) -> Vocabulary {
    gather(job, &Reach::Family)
}

enum Reach {
    Machine,
    Family,
}

fn gather(job: &Job<'_>, reach: &Reach) -> Vocabulary {
    let mut nouns = things(job, reach);
    nouns.extend(points(job));
    nouns.extend(grouped(boundaries(job)));
    nouns.extend(grouped(crib(job, NounKind::Tool)));
    nouns.extend(grouped(crib(job, NounKind::Fluid)));
    nouns.extend(values(job));
    nouns.push(machine(job));
    let readings = job.procedure.readings.iter().filter(|reading| job.applies(reading.only.as_ref()));
    nouns.extend(readings.map(|reading| noun(&reading.name.value, NounKind::Reading)));
    nouns.extend(job.family.moves_nothing.iter().map(|name| noun(&name.value, NounKind::Inert)));
    Vocabulary { nouns }
}

fn noun(name: &Name, kind: NounKind) -> Noun {
    Noun { name: name.as_str().to_owned(), kind, also: Vec::new(), count: None, of: String::new() }
}

fn shown(names: &[Placed<Name>]) -> Vec<String> {
    names.iter().map(|name| name.value.as_str().to_owned()).collect()
}

/// Returns parts, openings and temporary items.
fn things(job: &Job<'_>, reach: &Reach) -> Vec<Noun> {
    let here = |count: Option<u32>| match (count, reach) {
        (Some(0), Reach::Machine) => None,
        (Some(0), Reach::Family) => Some(None),
        (count, _) => Some(count),
    };
    let part = |part: &Part| {
        let count = job.part_counts(part).map(|(before, after)| before.max(after));
        let of = part.of.as_ref().map(|of| of.value.as_str().to_owned()).unwrap_or_default();
        Some(Noun { count: here(count)?, also: shown(&part.also), of, ..noun(&part.name.value, NounKind::Part) })
    };
    let family = job.family;
    let openings = family.openings.iter().filter_map(|opening| {
        let count = here(job.item_count(opening.only.as_ref(), opening.count.as_ref()))?;
        Some(Noun { count, also: shown(&opening.also), ..noun(&opening.name.value, NounKind::Opening) })
    });
    let temporary = family.temporary.iter().filter_map(|item| {
        let count = here(job.item_count(item.only.as_ref(), item.count.as_ref()))?;
        Some(Noun { count, also: shown(&item.also), ..noun(&item.name.value, NounKind::Temporary) })
    });
    family.parts.iter().filter_map(part).chain(openings).chain(temporary).collect()
}

/// Returns the ways of naming isolation points, each with how many points it names here.
fn points(job: &Job<'_>) -> Vec<Noun> {
    let mut nouns: Vec<Noun> = Vec::new();
    let mut add = |phrase: &Name, count: u32| match nouns.iter_mut().find(|own| Name::new(&own.name) == *phrase) {
        Some(own) => own.count = own.count.map(|own| own + count),
        None => nouns.push(Noun { count: Some(count), ..noun(phrase, NounKind::Point) }),
    };
    for boundary in &job.family.boundaries {
        let own = job.machine.isolation.iter().filter(|point| point.boundary.value == boundary.name.value);
        for point in own {
            for phrase in &point_phrases(boundary, &point.kind) {
                add(phrase, 1);
            }
        }
        for kind in job.kinds_at(boundary) {
            for phrase in &point_phrases(boundary, kind) {
                add(phrase, 0);
            }
        }
    }
    let all = u32::try_from(job.machine.isolation.len()).unwrap_or(u32::MAX);
    add(&Name::new("isolation point"), all);
    let words = job.procedure.words();
    for point in job.machine.isolation.iter().filter(|point| names(&words, &point.point)) {
        add(&Name::new(&point.point), 1);
    }
    nouns
}

fn boundaries(job: &Job<'_>) -> Vec<Noun> {
    let named = job.family.boundaries.iter().map(|boundary| {
        let mut phrases = boundary_phrases(boundary);
        phrases.retain(|phrase| *phrase != boundary.name.value);
        let also = phrases.iter().map(|phrase| phrase.as_str().to_owned()).collect();
        Noun { also, ..noun(&boundary.name.value, NounKind::Boundary) }
    });
    named.collect()
}

fn crib(job: &Job<'_>, kind: NounKind) -> Vec<Noun> {
    let items = job.binder.crib.items.iter().filter(|item| of_crib(item) == kind);
    let named = items.map(|item| {
        let short = item.name.split(',').next().unwrap_or_default().trim();
        let mut also: Vec<String> = Vec::new();
        if !short.is_empty() {
            also.push(short.to_owned());
        }
        also.extend(shown(&item.also));
        Noun { also, ..noun(&Name::new(item.id.value.as_str()), kind) }
    });
    named.collect()
}

fn of_crib(item: &Item) -> NounKind {
    match item.kind {
        Kind::Fluid { .. } => NounKind::Fluid,
        Kind::Tool { .. } | Kind::Locks | Kind::TorqueTool { .. } | Kind::Instrument { .. } => NounKind::Tool,
    }
}

/// Returns the values that steps name, with what they are here.
fn values(job: &Job<'_>) -> Vec<Noun> {
    let mut names: BTreeSet<&Name> = BTreeSet::new();
    let mut nouns = Vec::new();
    for name in job.procedure.steps().flat_map(crate::model::procedure::Step::values) {
        if !names.insert(&name.value) {
            continue;
        }
        let kind = match job.value(name) {
            Ok(Value::Crib(id)) => job.binder.crib.find(&id).map_or(NounKind::Value, of_crib),
            _ => NounKind::Value,
        };
        nouns.push(noun(&Name::new(&format!("{{{}}}", name.value)), kind));
    }
    nouns
}

/// Returns the machine as a whole: what people call it, its family, and its tag where a step names it.
pub(crate) fn machine(job: &Job<'_>) -> Noun {
    let family = Name::new(&job.family.name);
    let head = Name::new(job.family.name.split_whitespace().next_back().unwrap_or("machine"));
    let mut also = Vec::new();
    for other in [family, Name::new("machine")] {
        if other != head {
            also.push(other.as_str().to_owned());
        }
    }
    if names(&job.procedure.words(), job.tag().as_str()) {
        also.push(job.tag().to_string());
    }
    Noun { also, ..noun(&head, NounKind::Machine) }
}

/// Returns whether some words hold this identifier.
fn names(words: &[&str], identifier: &str) -> bool {
    words.iter().any(|words| words.contains(identifier))
}

/// Makes what several nouns of a kind are called (`torque wrench`) a noun of its own, so that nobody has to guess which.
fn grouped(mut nouns: Vec<Noun>) -> Vec<Noun> {
    let Some(kind) = nouns.first().map(|noun| noun.kind) else { return nouns };
    let mut uses: BTreeMap<Name, u32> = BTreeMap::new();
    for words in nouns.iter().flat_map(|noun| noun.also.iter()) {
        *uses.entry(Name::new(words)).or_default() += 1;
    }
    let names: BTreeSet<Name> = nouns.iter().map(|noun| Name::new(&noun.name)).collect();
    let is_shared = |words: &Name| names.contains(words) || uses.get(words).is_some_and(|count| *count > 1);
    let mut groups: Vec<Noun> = Vec::new();
    for noun_here in &mut nouns {
        noun_here.also.retain(|words| {
            let words = Name::new(words);
            let own = is_shared(&words);
            if own && !names.contains(&words) && !groups.iter().any(|group| Name::new(&group.name) == words) {
                groups.push(noun(&words, kind));
            }
            !own
        });
    }
    nouns.extend(groups);
    nouns
}
