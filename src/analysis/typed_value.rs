//! Values that an author typed where the registers know better: which words stand for which option or value, and for which
//! machines they are wrong; it knows no name of any register.

use crate::analysis::job::Job;
use crate::analysis::wording::{Place, Saying, Writing};
use crate::base::name::{Name, Tag};
use crate::base::quantity::{Limit, Unit};
use crate::base::text::{Placed, Span};
use crate::model::family::{Choice, OptionAxis};
use crate::model::fleet::Machine;
use crate::model::value::{Computed, Definition, Take, Value};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::ops::Range;

/// A typed value that is wrong for some machines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// The option or value it is typed over.
    pub name: Name,
    /// Where that is declared.
    pub declared: Span,
    /// Where it is typed.
    pub span: Span,
    /// What is typed.
    pub typed: String,
    /// What each of the machines has, for which it is wrong.
    pub own: BTreeMap<Tag, String>,
    /// How sure it is that the name is meant.
    pub link: Link,
}

/// How a typed value belongs to a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Link {
    /// The name stands beside it.
    Named,
    /// The word is said of nothing else, and the name does not stand there.
    Alone,
}

/// Words of direction that mean the same. Ordinary English; a plant's own word is its option's choice or meaning.
const DIRECTIONS: [&[&str]; 7] = [
    &["top", "up", "upward", "upwards", "uppermost", "vertical"],
    &["bottom", "down", "downward", "downwards", "lowermost"],
    &["left", "left-hand", "leftward", "leftwards"],
    &["right", "right-hand", "rightward", "rightwards"],
    &["front", "forward", "forwards"],
    &["rear", "back", "backward", "backwards"],
    &["horizontal", "sideways"],
];

/// Words that join a name to what it is.
const LINKING: [&str; 27] = [
    "is", "are", "be", "must", "shall", "should", "points", "point", "pointing", "faces", "face", "facing", "looks",
    "stands", "sits", "to", "towards", "toward", "the", "at", "on", "of", ":", "=", "exactly", "not", "straight",
];

/// Words before which a choice says for which machines something is, rather than what this one has.
const SELECTING: [&str; 8] = ["for", "only", "except", "unless", "on", "other", "than", "with"];

/// Returns every typed choice of an option that is wrong for some of the machines it is said to.
#[must_use]
pub fn over_options(writing: &Writing<'_>) -> Vec<Wrong> {
    let Some(family) = writing.family else { return Vec::new() };
    let mut wrong = Vec::new();
    for saying in &writing.sayings {
        let mut machines = None;
        for option in &family.options {
            let mentions = mentions(saying, option);
            let Some((range, choice, link)) = mentions.first() else { continue };
            // Several choices of one option in a sentence explain the difference, they do not type one over it.
            if mentions.iter().any(|(_, other, _)| other.value.value != choice.value.value) {
                continue;
            }
            let machines = machines.get_or_insert_with(|| writing.machines_of(saying.only));
            let own = |machine: &&&Machine| machine.choice(&option.name.value).map(|own| own.value.clone());
            let differs = machines.iter().filter_map(|machine| Some((machine.tag.value.clone(), own(&machine)?)));
            let own: BTreeMap<Tag, String> = differs.filter(|(_, own)| *own != choice.value.value).collect();
            if !own.is_empty() && (*link == Link::Named || own.len() < machines.len()) {
                wrong.push(Wrong {
                    name: option.name.value.clone(),
                    declared: option.name.span,
                    span: saying.span(range.clone()),
                    typed: saying.shown(range.clone()),
                    own,
                    link: *link,
                });
            }
        }
    }
    wrong
}

/// Returns the choices of an option that a sentence types, each with its tokens.
fn mentions<'o>(saying: &Saying<'_>, option: &'o OptionAxis) -> Vec<(Range<usize>, &'o Choice, Link)> {
    let mut mentions = Vec::new();
    let name = option.name.value.folded();
    for at in 0..saying.words.len() {
        for choice in &option.choices {
            let Some(end) = stands(saying, at, choice) else { continue };
            let linked =
                is_named_before(saying, at, name) || (!is_figure(choice) && saying.stands_at(end, name).is_some());
            let link = if linked { Link::Named } else { Link::Alone };
            let counts = linked || is_distinctive(saying, at, end, choice);
            if counts && !selects(saying, at, name) {
                mentions.push((at..end, choice, link));
            }
        }
    }
    mentions
}

fn is_figure(choice: &Choice) -> bool {
    choice.value.value.bytes().all(|byte| byte.is_ascii_digit())
}

/// Returns the end of a choice that is typed at `at`: its value, its meaning, or a word of direction that means the same.
fn stands(saying: &Saying<'_>, at: usize, choice: &Choice) -> Option<usize> {
    let value = choice.value.value.as_str();
    // A single letter is a choice only as it is written: `a` is an article.
    if value.chars().count() == 1 && value.chars().all(char::is_alphabetic) {
        let meant = saying.stands_at(at, &value.to_lowercase()).filter(|end| saying.shown(at..*end) == value);
        return meant.or_else(|| meaning(saying, at, choice));
    }
    let folded = value.to_lowercase();
    let group = DIRECTIONS.iter().find(|group| group.contains(&folded.as_str()));
    saying
        .stands_at(at, &folded)
        .or_else(|| meaning(saying, at, choice))
        .or_else(|| group.filter(|group| group.contains(&saying.word(at))).map(|_| at + 1))
}

fn meaning(saying: &Saying<'_>, at: usize, choice: &Choice) -> Option<usize> {
    let meaning = choice.meaning.trim().to_lowercase();
    if meaning.is_empty() { None } else { saying.stands_at(at, &meaning) }
}

/// Returns whether an option's name stands before `at`, with nothing but linking words between.
fn is_named_before(saying: &Saying<'_>, at: usize, name: &str) -> bool {
    let mut start = at;
    while start > 0 && at - start < 5 && LINKING.contains(&saying.word(start - 1)) {
        start -= 1;
    }
    let length = name.split(' ').count();
    start.checked_sub(length).is_some_and(|from| saying.stands_at(from, name).is_some())
}

/// Returns whether a choice is said of nothing else: an identifier in capitals (`EPDM`), or a meaning of several words.
fn is_distinctive(saying: &Saying<'_>, at: usize, end: usize, choice: &Choice) -> bool {
    let shown = saying.shown(at..end);
    let value = choice.value.value.as_str();
    let capitals = value.chars().filter(|c| c.is_uppercase()).count();
    let is_value = shown == value && value.chars().count() > 2 && capitals > 1;
    is_value || (end > at + 1 && shown.to_lowercase() == choice.meaning.trim().to_lowercase())
}

/// Returns whether a choice at `at` stands in a condition, a denial or a selection (`IF the port is left`, `for size 3`).
fn selects(saying: &Saying<'_>, at: usize, name: &str) -> bool {
    let before = &saying.words[..at];
    let opens =
        before.iter().rposition(|word| matches!(word.as_str(), "if" | "when" | "where" | "never" | "not" | "no"));
    let closes = before.iter().rposition(|word| matches!(word.as_str(), "then" | "," | ";"));
    let in_condition = opens.is_some_and(|opens| closes.is_none_or(|closes| closes < opens));
    let name_words = name.split(' ').count();
    let near = at.saturating_sub(name_words + 2);
    // `The port points to the left` links by words that could select; what selects stands before the name.
    let from = (near..at).find(|from| saying.stands_at(*from, name).is_some()).unwrap_or(at);
    let selecting = |word: &str| SELECTING.contains(&word);
    in_condition
        || from.checked_sub(1).is_some_and(|at| selecting(saying.word(at)))
        || (from == at && at > 1 && selecting(saying.word(at - 2)) && saying.word(at - 1) == "the")
}

/// A figure that stands in a sentence: one number, or from one to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// Its tokens, the unit included.
    pub range: Range<usize>,
    /// The number, or the lower one.
    pub low: Decimal,
    /// The number, or the higher one.
    pub high: Decimal,
    /// Its unit; none for a bare number.
    pub unit: Option<Unit>,
}

/// Returns the figures typed in a sentence.
#[must_use]
pub fn figures(saying: &Saying<'_>) -> Vec<Figure> {
    let mut figures = Vec::new();
    let mut at = 0;
    while at < saying.words.len() {
        let Some(low) = number(saying, at) else {
            at += 1;
            continue;
        };
        let with_unit = |at: usize| at + 1 + usize::from(saying.unit(at + 1).is_some());
        let first = with_unit(at);
        let second = if saying.word(first) == "to" { number(saying, first + 1) } else { None };
        let last = if second.is_some() { first + 1 } else { at };
        let end = with_unit(last);
        figures.push(Figure { range: at..end, low, high: second.unwrap_or(low), unit: saying.unit(last + 1) });
        at = end;
    }
    figures
}

fn number(saying: &Saying<'_>, at: usize) -> Option<Decimal> {
    saying.number(at)?.parse().ok()
}

/// Returns every typed figure that is wrong for some of the machines it is said to, leaving out limits that are only
/// rounded the wrong way ([`rounded_outward`]).
#[must_use]
pub fn over_values(writing: &Writing<'_>) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    for saying in &writing.sayings {
        for figure in figures(saying) {
            for named in definitions(writing).chain(tag_values(writing)) {
                let link = link(writing, saying, &figure, &named);
                if link.is_none() {
                    continue;
                }
                let own = contradicted(writing, saying, &figure, &named);
                let equals_a_row = || named.rows().iter().any(|value| !contradicts(&figure, value));
                if !own.is_empty() && (link == Some(Strength::Beside) || equals_a_row()) {
                    wrong.push(Wrong {
                        name: named.name.value.clone(),
                        declared: named.name.span,
                        span: saying.span(figure.range.clone()),
                        typed: saying.shown(figure.range.clone()),
                        own,
                        link: Link::Named,
                    });
                    break;
                }
            }
        }
    }
    wrong
}

/// A value that a register or the procedure defines.
struct Named<'b> {
    name: &'b Placed<Name>,
    definition: Option<Definition<'b>>,
}

impl Named<'_> {
    /// Returns the values of all rows, where it is the column of a table.
    fn rows(&self) -> Vec<&Value> {
        match self.definition {
            Some(Definition::Column(table, column)) => {
                table.rows.iter().filter_map(|row| row.cells[column].value.as_ref()).collect()
            }
            _ => Vec::new(),
        }
    }
}

fn definitions<'b>(writing: &Writing<'b>) -> impl Iterator<Item = Named<'b>> {
    let procedure = writing.procedure;
    let own = procedure.values.definitions();
    let of_family = writing.family.into_iter().flat_map(|family| family.values.definitions());
    // A value of the procedure hides one of this name in the family.
    let hidden = move |name: &Name| procedure.values.find(name).is_some();
    let all = own.chain(of_family.filter(move |definition| !hidden(&definition.name().value)));
    all.map(|definition| Named { name: definition.name(), definition: Some(definition) })
}

fn tag_values<'b>(writing: &Writing<'b>) -> impl Iterator<Item = Named<'b>> {
    let names = writing.family.into_iter().flat_map(|family| &family.tag_values);
    names.map(|name| Named { name, definition: None })
}

/// How closely a figure and a name belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Strength {
    /// The name stands beside the figure.
    Beside,
    /// The sentence is about it, and the figure is one of its figures.
    About,
}

/// Words for what is measured, which say nothing about where.
const MEASURES: [&str; 22] = [
    "torque",
    "length",
    "mass",
    "weight",
    "pressure",
    "temperature",
    "time",
    "limit",
    "minimum",
    "maximum",
    "volume",
    "count",
    "number",
    "depth",
    "speed",
    "thickness",
    "diameter",
    "angle",
    "force",
    "level",
    "target",
    "value",
];

fn link(writing: &Writing<'_>, saying: &Saying<'_>, figure: &Figure, named: &Named<'_>) -> Option<Strength> {
    let name = named.name.value.folded();
    if named.definition.is_none() {
        return counted(saying, figure, name).then_some(Strength::Beside);
    }
    figure.unit?;
    let is_limit = saying.place == Place::Limit && saying.about.is_some_and(|about| about.value == named.name.value);
    if is_limit || is_named_before(saying, figure.range.start, name) {
        return Some(Strength::Beside);
    }
    let about = is_about(saying, name) || tightens(writing, saying, &named.name.value);
    about.then_some(Strength::About)
}

/// Verbs and words that hold a count against something, rather than taking that many.
const COMPARING: [&str; 19] = [
    "accept", "check", "compare", "confirm", "contains", "count", "ensure", "exactly", "has", "have", "if", "is",
    "are", "must", "note", "see", "there", "verify", "not",
];

/// Returns whether a bare number is said to be how many a machine has of `name`.
fn counted(saying: &Saying<'_>, figure: &Figure, name: &str) -> bool {
    if figure.unit.is_some() || figure.low != figure.high {
        return false;
    }
    let is_before = saying.stands_at(figure.range.end, name).is_some() && saying.has(&COMPARING);
    let about = saying.about.is_some_and(|about| holds_words(about.value.folded(), name));
    let is_limit = saying.place == Place::Limit && saying.word(0) == "exactly" && about;
    is_before || is_limit || is_named_before(saying, figure.range.start, name)
}

fn holds_words(text: &str, phrase: &str) -> bool {
    format!(" {text} ").contains(&format!(" {phrase} "))
}

/// Returns whether a sentence holds every word of a name that says where, and at least one such word is in the name.
fn is_about(saying: &Saying<'_>, name: &str) -> bool {
    let telling = || name.split([' ', '-']).filter(|word| !MEASURES.contains(word));
    let spoken = |word: &str| {
        saying.words.iter().any(|own| own.split('-').any(|part| part == word || part == format!("{word}s")))
    };
    telling().next().is_some() && telling().all(spoken)
}

/// Returns whether a sentence names the fastener of a joint that is tightened to the value `name`.
fn tightens(writing: &Writing<'_>, saying: &Saying<'_>, name: &Name) -> bool {
    let Some(family) = writing.family else { return false };
    let fasteners = family.joints.iter().filter(|joint| joint.torque.value == *name).map(|joint| &joint.fastener.value);
    let mut names = fasteners.flat_map(|fastener| {
        let also = family.part(fastener).into_iter().flat_map(|part| &part.also).map(|also| &also.value);
        std::iter::once(fastener).chain(also)
    });
    let spoken = |name: &Name| {
        let plural = format!("{}s", name.folded());
        (0..saying.words.len())
            .any(|at| saying.stands_at(at, name.folded()).is_some() || saying.stands_at(at, &plural).is_some())
    };
    names.any(spoken)
}

/// Returns what each machine has for which a figure is wrong.
fn contradicted(
    writing: &Writing<'_>,
    saying: &Saying<'_>,
    figure: &Figure,
    named: &Named<'_>,
) -> BTreeMap<Tag, String> {
    let mut own = BTreeMap::new();
    for machine in writing.machines_of(saying.only) {
        let Some(job) = Job::new(writing.binder, writing.procedure, machine) else { continue };
        let Ok(value) = job.value(named.name) else { continue };
        let outward = match named.definition {
            Some(Definition::Computed(computed)) => is_outward(&job, computed, figure.low, figure.unit),
            _ => false,
        };
        if contradicts(figure, &value) && !outward {
            own.insert(machine.tag.value.clone(), job.shown(&value));
        }
    }
    own
}

/// Returns whether a figure and a value of the same unit cannot both be right. What cannot be compared does not contradict.
fn contradicts(figure: &Figure, value: &Value) -> bool {
    let is_one = figure.low == figure.high;
    match value {
        Value::Count(count) => figure.unit.is_none() && is_one && figure.low != Decimal::from(*count),
        Value::Quantity(quantity) => figure.unit == Some(quantity.unit) && is_one && figure.low != quantity.number,
        Value::Range(range) if figure.unit == Some(range.unit) => {
            if is_one {
                !(range.low..=range.high).contains(&figure.low)
            } else {
                (figure.low, figure.high) != (range.low, range.high)
            }
        }
        Value::Limit(Limit::AtMost(limit) | Limit::AtLeast(limit) | Limit::Exactly(limit)) => {
            figure.unit == Some(limit.unit) && is_one && figure.low != limit.number
        }
        Value::Range(_) | Value::Limit(_) | Value::Crib(_) | Value::Text(_) => false,
    }
}

/// A typed limit that lies outside of the computed one, by no more than a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outward {
    /// The computed limit.
    pub name: Name,
    /// Where it is declared.
    pub declared: Span,
    /// Where it is typed.
    pub span: Span,
    /// What is typed.
    pub typed: String,
    /// What each of the machines has, for which it lies outside.
    pub own: BTreeMap<Tag, String>,
}

/// Returns every typed limit that lies outside of a machine's computed one by no more than a step.
#[must_use]
pub fn rounded_outward(writing: &Writing<'_>) -> Vec<Outward> {
    let mut found = Vec::new();
    let computed: Vec<&Computed> = definitions(writing)
        .filter_map(|named| match named.definition {
            Some(Definition::Computed(computed)) => Some(computed),
            _ => None,
        })
        .collect();
    for saying in writing.sayings.iter().filter(|_| !computed.is_empty()) {
        for figure in figures(saying) {
            for (end, take) in ends(saying, &figure) {
                for computed in &computed {
                    let named = is_named_before(saying, figure.range.start, computed.name.value.folded());
                    if !named && take != Some(computed.take) {
                        continue;
                    }
                    let own = outward(writing, saying, computed, end, figure.unit);
                    if !own.is_empty() {
                        found.push(Outward {
                            name: computed.name.value.clone(),
                            declared: computed.name.span,
                            span: saying.span(figure.range.clone()),
                            typed: saying.shown(figure.range.clone()),
                            own,
                        });
                    }
                }
            }
        }
    }
    found
}

/// Returns the ends of a figure, each with the side it is the limit of, where it stands in the limit of a reading.
fn ends(saying: &Saying<'_>, figure: &Figure) -> Vec<(Decimal, Option<Take>)> {
    if saying.place != Place::Limit {
        return vec![(figure.low, None)];
    }
    if figure.low != figure.high {
        return vec![(figure.low, Some(Take::Low)), (figure.high, Some(Take::High))];
    }
    let opens = saying.word(figure.range.end) == "to" || saying.stands_at(figure.range.end, "or more").is_some();
    vec![(figure.low, Some(if opens { Take::Low } else { Take::High }))]
}

fn outward(
    writing: &Writing<'_>,
    saying: &Saying<'_>,
    computed: &Computed,
    end: Decimal,
    unit: Option<Unit>,
) -> BTreeMap<Tag, String> {
    let jobs = writing.machines_of(saying.only).into_iter();
    let jobs = jobs.filter_map(|machine| Job::new(writing.binder, writing.procedure, machine));
    jobs.filter(|job| is_outward(job, computed, end, unit))
        .filter_map(|job| Some((job.tag().clone(), job.value(&computed.name).ok().map(|value| job.shown(&value))?)))
        .collect()
}

/// Returns whether a typed limit lies outside of the computed one by no more than a step, its own or the instrument's.
fn is_outward(job: &Job<'_>, computed: &Computed, typed: Decimal, unit: Option<Unit>) -> bool {
    let Ok(Value::Quantity(own)) = job.value(&computed.name) else { return false };
    let Ok(resolution) = job.resolution(&computed.instrument, computed.name.span) else { return false };
    let beyond = match computed.take {
        Take::Low => own.number - typed,
        Take::High => typed - own.number,
        Take::Middle => return false,
    };
    let step = resolution.number.max(Decimal::new(1, typed.scale()));
    unit == Some(own.unit) && beyond > Decimal::ZERO && beyond <= step
}
