//! Steps of two packets beside each other: aligned by what they say, judged by what they do; it judges no words it cannot read.

use crate::analysis::naming::words;
use crate::packet::change::{Area, Change};
use crate::packet::view::{Block, Does, Line, Packet, RunKind, Step};
use serde_json::Value;
use similar::{Algorithm, DiffOp, capture_diff_slices};
use std::collections::{BTreeMap, BTreeSet};

/// How alike two steps must be to be one that was written anew.
const ALIKE: f64 = 0.5;
/// Stands for a value or a step number in words that are compared.
const FILLED: &str = "…";

/// A step as it is compared.
#[derive(Debug)]
struct Own<'t> {
    step: &'t Step,
    /// Its words in small letters, values and step numbers left out.
    words: Vec<String>,
}

/// What became of the steps, by their numbers.
#[derive(Debug, Default)]
pub(super) struct Fate {
    /// Those of the new packet that are new, moved, or say or carry something else.
    pub(super) touched: BTreeSet<u32>,
    /// Those of the old packet that are gone.
    pub(super) gone: BTreeSet<u32>,
}

/// Returns what became of the steps: what a reader of both would have to read again.
pub(super) fn fate(old: &Packet, new: &Packet) -> Fate {
    let (before, after) = (steps(old), steps(new));
    let pairs = paired(&before, &after);
    let is_same = |pair: &&Pair| {
        let (was, is) = (before[pair.old].step, after[pair.new].step);
        !pair.is_moved && as_read(was, old) == as_read(is, new)
    };
    let same: BTreeSet<usize> = pairs.iter().filter(is_same).map(|pair| pair.new).collect();
    let kept: BTreeSet<usize> = pairs.iter().map(|pair| pair.old).collect();
    let numbers = |steps: &[Own<'_>], without: &BTreeSet<usize>| {
        steps.iter().enumerate().filter(|(at, _)| !without.contains(at)).map(|(_, own)| own.step.number).collect()
    };
    Fate { touched: numbers(&after, &same), gone: numbers(&before, &kept) }
}

/// Returns a step as data without what is no change for its reader: numbers of steps and figures, how a line is broken, and
/// what the program takes it to do.
fn as_read(step: &Step, packet: &Packet) -> Value {
    let mut step = Step { number: 0, does: Vec::new(), ..step.clone() };
    for hold in &mut step.holds {
        hold.step = 0;
    }
    let mut value = serde_json::to_value(&step).expect("a step is plain data with text keys");
    settle(&mut value, packet);
    value
}

fn settle(value: &mut Value, packet: &Packet) {
    match value {
        Value::String(text) => *text = text.split_whitespace().collect::<Vec<_>>().join(" "),
        Value::Array(items) => items.iter_mut().for_each(|item| settle(item, packet)),
        Value::Object(fields) => {
            let kind = fields.get("kind").and_then(Value::as_str).unwrap_or_default().to_owned();
            if kind == "step" {
                fields.retain(|name, _| name == "kind");
            }
            if let ("figure", Some(number)) = (kind.as_str(), fields.get("number").and_then(Value::as_u64)) {
                let figure = packet.figures.iter().find(|own| u64::from(own.number) == number);
                let shown = figure.map(|own| format!("{} {} {} {}", own.path, own.digest, own.alt, own.caption));
                fields.insert("number".to_owned(), Value::String(shown.unwrap_or_default()));
            }
            fields.values_mut().for_each(|field| settle(field, packet));
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// Returns what differs in the steps; a number that is told among `facts` is not told again.
pub(super) fn changes(old: &Packet, new: &Packet, facts: &[Change]) -> Vec<Change> {
    let (before, after) = (steps(old), steps(new));
    let pairs = paired(&before, &after);
    let cards = (on_card(old), on_card(new));
    let known: BTreeSet<(&str, &str)> = facts.iter().map(|fact| (fact.from.as_str(), fact.to.as_str())).collect();
    let mut changes = Vec::new();
    let kept: BTreeMap<usize, usize> = pairs.iter().map(|pair| (pair.old, pair.new)).collect();
    let found: BTreeSet<usize> = pairs.iter().map(|pair| pair.new).collect();
    for (at, own) in before.iter().enumerate().filter(|(at, _)| !kept.contains_key(at)) {
        changes.extend(taken_out(own, at, &before));
    }
    for own in after.iter().enumerate().filter(|(at, _)| !found.contains(at)).map(|(_, own)| own) {
        changes.extend(put_in(own));
    }
    for pair in &pairs {
        let (was, is) = (&before[pair.old], &after[pair.new]);
        if pair.is_moved {
            changes.push(Change::of(
                Area::Step,
                quoted(is),
                format!("step {}", was.step.number),
                format!("step {}", is.step.number),
            ));
        }
        changes.extend(said(was, is));
        changes
            .extend(numbers(was, is).into_iter().filter(|own| !known.contains(&(own.from.as_str(), own.to.as_str()))));
        changes.extend(attached(was, is));
        changes.extend(shown_on_card(was, is, &cards));
    }
    changes.extend(figures_of_steps(old, new));
    changes
}

fn steps(packet: &Packet) -> Vec<Own<'_>> {
    let steps = packet.stages.iter().flat_map(|stage| &stage.steps);
    steps.map(|step| Own { step, words: words(&text(step)) }).collect()
}

/// Two places of one step.
#[derive(Clone, Copy, Debug)]
struct Pair {
    old: usize,
    new: usize,
    is_moved: bool,
}

fn paired(before: &[Own<'_>], after: &[Own<'_>]) -> Vec<Pair> {
    let key = |steps: &[Own<'_>]| steps.iter().map(|own| own.words.join(" ")).collect::<Vec<_>>();
    let (old, new) = (key(before), key(after));
    let mut pairs = Vec::new();
    for op in capture_diff_slices(Algorithm::Patience, &old, &new) {
        if let DiffOp::Equal { old_index, new_index, len } = op {
            pairs.extend((0..len).map(|at| Pair { old: old_index + at, new: new_index + at, is_moved: false }));
        }
    }
    let is_open = |pairs: &[Pair], old: Option<usize>, new: Option<usize>| {
        !pairs.iter().any(|pair| Some(pair.old) == old || Some(pair.new) == new)
    };
    // The same words elsewhere: it was moved.
    for (at, own) in old.iter().enumerate() {
        let twin = (0..new.len()).find(|to| new[*to] == *own && is_open(&pairs, None, Some(*to)));
        if let (true, Some(to)) = (is_open(&pairs, Some(at), None), twin) {
            pairs.push(Pair { old: at, new: to, is_moved: true });
        }
    }
    pairs.extend(written_anew(before, after, &pairs));
    pairs.sort_by_key(|pair| pair.new);
    pairs
}

/// Pairs what is left with what is most like it, within the same stretch between steps that stayed.
fn written_anew(before: &[Own<'_>], after: &[Own<'_>], pairs: &[Pair]) -> Vec<Pair> {
    let stays: Vec<&Pair> = pairs.iter().filter(|pair| !pair.is_moved).collect();
    let stretch_of_old = |at: usize| stays.iter().filter(|pair| pair.old < at).count();
    let stretch_of_new = |at: usize| stays.iter().filter(|pair| pair.new < at).count();
    let left_old = (0..before.len()).filter(|at| !pairs.iter().any(|pair| pair.old == *at));
    let left_new: Vec<usize> = (0..after.len()).filter(|at| !pairs.iter().any(|pair| pair.new == *at)).collect();
    let mut scored: Vec<(f64, usize, usize)> = Vec::new();
    for old in left_old {
        let near = left_new.iter().filter(|new| stretch_of_old(old) == stretch_of_new(**new));
        scored.extend(near.map(|new| (likeness(&before[old].words, &after[*new].words), old, *new)));
    }
    scored.retain(|(score, ..)| *score >= ALIKE);
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut chosen: Vec<Pair> = Vec::new();
    for (_, old, new) in scored {
        if !chosen.iter().any(|pair| pair.old == old || pair.new == new) {
            chosen.push(Pair { old, new, is_moved: false });
        }
    }
    chosen
}

/// Returns how many of their words two steps share, from 0 to 1 (Dice's coefficient).
fn likeness(a: &[String], b: &[String]) -> f64 {
    let mut left: Vec<&String> = b.iter().collect();
    let mut shared = 0_u32;
    for word in a {
        if let Some(at) = left.iter().position(|own| *own == word) {
            left.swap_remove(at);
            shared += 1;
        }
    }
    let all = u32::try_from(a.len() + b.len()).unwrap_or(u32::MAX);
    if all == 0 { 0.0 } else { f64::from(2 * shared) / f64::from(all) }
}

fn taken_out(own: &Own<'_>, at: usize, before: &[Own<'_>]) -> Vec<Change> {
    let mut changes = vec![Change::of(Area::Step, "step taken out", quoted(own), "")];
    let behind = at.checked_sub(1).map(|at| quoted(&before[at])).unwrap_or_default();
    if !behind.is_empty() {
        changes[0].remark = format!("it stood behind {behind}");
    }
    for (area, what) in marks(own) {
        changes.push(Change::of(area, what, format!("at {}", quoted(own)), ""));
    }
    changes
}

fn put_in(own: &Own<'_>) -> Vec<Change> {
    let mut changes = vec![Change::of(Area::Step, "new step", "", quoted(own))];
    changes
        .extend(marks(own).into_iter().map(|(area, what)| Change::of(area, what, "", format!("at {}", quoted(own)))));
    changes
}

/// Returns how the words of one step differ, by what they do.
fn said(was: &Own<'_>, is: &Own<'_>) -> Option<Change> {
    if was.words == is.words {
        return read_otherwise(was, is);
    }
    let mut change = Change::of(Area::Words, "a step is worded otherwise", quoted(was), quoted(is));
    let is_unsure = is_unsure(was) || is_unsure(is);
    let acts = |own: &Own<'_>| own.step.does.iter().filter(|does| **does != Does::Nothing).cloned().collect::<Vec<_>>();
    let figures = |own: &Own<'_>| {
        own.words.iter().filter(|word| word.contains(|c: char| c.is_ascii_digit())).cloned().collect::<Vec<_>>()
    };
    if is_unsure || acts(was) != acts(is) {
        let what = if is_unsure { "a step is worded otherwise" } else { "a step does something else" };
        change = Change::of(Area::Step, what, quoted(was), quoted(is));
        if is_unsure {
            "it is not read with certainty, so nobody but the reader can say what it does"
                .clone_into(&mut change.remark);
        }
    } else if figures(was) != figures(is) {
        change = Change::of(Area::Number, "a figure in the words of a step", quoted(was), quoted(is));
    } else if acts(is).is_empty() {
        "it moves nothing, and whether it still means the same only a reader can say".clone_into(&mut change.remark);
    } else {
        "it does what it did".clone_into(&mut change.remark);
    }
    Some(change)
}

/// Returns whether nobody but the reader can say what a step does; so too where a packet does not tell it.
fn is_unsure(own: &Own<'_>) -> bool {
    let does = &own.step.does;
    does.contains(&Does::Unsure) || (does.is_empty() && !own.words.is_empty())
}

/// Returns the change of a step that says the same and is taken to do something else, by another line that an author
/// accepted, by a verb of the plant or by another program: the reader sees no difference, and whoever approves is told.
fn read_otherwise(was: &Own<'_>, is: &Own<'_>) -> Option<Change> {
    let tells = |own: &Own<'_>| {
        let one = |does: &Does| match does {
            Does::Actions(line) => line.clone(),
            Does::Nothing => "nothing".to_owned(),
            Does::Unsure => "not read with certainty".to_owned(),
        };
        own.step.does.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    (was.step.does != is.step.does).then(|| Change {
        remark: "the words are the same; what the program takes them to do is not".to_owned(),
        ..Change::of(Area::Words, format!("how {} is read", quoted(is)), tells(was), tells(is))
    })
}

/// Returns the numbers in the words of one step that differ.
fn numbers(was: &Own<'_>, is: &Own<'_>) -> Vec<Change> {
    let (before, after) = (values(&was.step.blocks), values(&is.step.blocks));
    if before.len() != after.len() {
        let join = |values: &[String]| values.join(", ");
        return vec![Change::of(Area::Number, format!("in {}", quoted(is)), join(&before), join(&after))];
    }
    let differ = before.into_iter().zip(after).filter(|(from, to)| from != to);
    differ.map(|(from, to)| Change::of(Area::Number, format!("in {}", quoted(is)), from, to)).collect()
}

/// Returns what stands at one step and did not, or stood at it and does not.
fn attached(was: &Own<'_>, is: &Own<'_>) -> Vec<Change> {
    let (before, after) = (marks(was), marks(is));
    let gone = before.difference(&after).map(|(area, what)| Change::of(*area, what, format!("at {}", quoted(was)), ""));
    let come = after.difference(&before).map(|(area, what)| Change::of(*area, what, "", format!("at {}", quoted(is))));
    gone.chain(come).collect()
}

/// Returns the numbers of the steps that stand on the card.
fn on_card(packet: &Packet) -> BTreeSet<u32> {
    packet.card.stages.iter().flat_map(|stage| &stage.steps).map(|step| step.number).collect()
}

/// Returns the change of a step that came onto the card or left it.
fn shown_on_card(was: &Own<'_>, is: &Own<'_>, (before, after): &(BTreeSet<u32>, BTreeSet<u32>)) -> Option<Change> {
    let place = |shown: bool| if shown { "on the card" } else { "" };
    let (was_shown, is_shown) = (before.contains(&was.step.number), after.contains(&is.step.number));
    (was_shown != is_shown).then(|| Change::of(Area::Step, quoted(is), place(was_shown), place(is_shown)))
}

/// Returns what a step carries beside its words.
fn marks(own: &Own<'_>) -> BTreeSet<(Area, String)> {
    let step = own.step;
    let cautions = step.cautions.iter().map(|own| (Area::Caution, format!("caution `{}` before the step", own.id)));
    let holds = step.holds.iter().map(|own| (Area::Hold, format!("hold point {}", own.id)));
    let joints = step.joints.iter().map(|own| (Area::Torque, format!("torque of {}", own.name)));
    let entries = step.entries.iter().map(|own| {
        let when = if own.moment.is_empty() { String::new() } else { format!(" {}", own.moment) };
        (Area::Reading, format!("blank for {}{when}", own.name))
    });
    cautions.chain(holds).chain(joints).chain(entries).collect()
}

/// A figure that another step shows is told as a change of figures.
fn figures_of_steps(old: &Packet, new: &Packet) -> Vec<Change> {
    let shown = |packet: &Packet| -> Vec<(String, String)> {
        let steps = packet.stages.iter().flat_map(|stage| &stage.steps);
        let paths = |step: &Step| {
            figures(&step.blocks).into_iter().map(|number| (path(packet, number), text(step))).collect::<Vec<_>>()
        };
        steps.flat_map(paths).collect()
    };
    let (before, after) = (shown(old), shown(new));
    let is_elsewhere = |(figure, at): &&(String, String)| {
        before.iter().any(|(own, was)| own == figure && words(was) != words(at))
            && !before.contains(&(figure.clone(), at.clone()))
    };
    after
        .iter()
        .filter(is_elsewhere)
        .map(|(figure, at)| {
            Change::of(Area::Figure, format!("figure {figure}"), "at another step", format!("at `{at}`"))
        })
        .collect()
}

fn path(packet: &Packet, number: u32) -> String {
    packet.figures.iter().find(|figure| figure.number == number).map(|figure| figure.path.clone()).unwrap_or_default()
}

fn figures(blocks: &[Block]) -> Vec<u32> {
    blocks
        .iter()
        .flat_map(|block| match block {
            Block::Figure { number } => vec![*number],
            Block::List { items, .. } => items.iter().flat_map(|item| figures(item)).collect(),
            Block::Paragraph { .. } | Block::Table { .. } => Vec::new(),
        })
        .collect()
}

/// Returns the words of a step with values and step numbers left out.
fn text(step: &Step) -> String {
    filled(&step.blocks)
}

/// Returns the words of blocks with values and step numbers left out.
pub(super) fn filled(blocks: &[Block]) -> String {
    let filled = |line: &Line| {
        let word = |run: &crate::packet::view::Run| match run.kind {
            RunKind::Value | RunKind::Step => FILLED.to_owned(),
            _ => run.text.clone(),
        };
        line.iter().map(word).collect::<String>()
    };
    lines(blocks).into_iter().map(filled).collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns the values in blocks, in order.
pub(super) fn values(blocks: &[Block]) -> Vec<String> {
    let runs = lines(blocks).into_iter().flatten();
    let values = runs.filter(|run| run.kind == RunKind::Value);
    // A no-break space is a matter of setting.
    values.map(|run| run.text.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}

fn lines(blocks: &[Block]) -> Vec<&Line> {
    blocks
        .iter()
        .flat_map(|block| match block {
            Block::Paragraph { line } => vec![line],
            Block::List { items, .. } => items.iter().flat_map(|item| lines(item)).collect(),
            Block::Table { head, rows } => head.iter().chain(rows.iter().flatten()).collect(),
            Block::Figure { .. } => Vec::new(),
        })
        .collect()
}

fn quoted(own: &Own<'_>) -> String {
    format!("`{}`", text(own.step))
}
