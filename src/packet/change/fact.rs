//! The facts of a packet by name, and where two packets differ in them; it knows no steps but those a fact stands at.

use crate::packet::change::step;
use crate::packet::change::{Area, Change};
use crate::packet::view::{CardPrint, Caution, Entry, Joint, KitItem, Line, Packet, TorqueRole, TorqueStage};
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// Facts by area and name.
type Facts = BTreeMap<(Area, String), String>;

/// Returns the facts that differ.
pub(super) fn changes(old: &Packet, new: &Packet) -> Vec<Change> {
    let (before, after) = (facts(old), facts(new));
    let names: BTreeSet<&(Area, String)> = before.keys().chain(after.keys()).collect();
    let text = |facts: &Facts, name: &(Area, String)| facts.get(name).cloned().unwrap_or_default();
    let differ = names.into_iter().filter(|name| before.get(*name) != after.get(*name));
    let looser = looser(old, new);
    let change = |name: &(Area, String)| {
        let change = Change::of(name.0, name.1.as_str(), text(&before, name), text(&after, name));
        let remark = if looser.contains(&name.1) { "allows more than before" } else { "" };
        Change { remark: remark.to_owned(), ..change }
    };
    differ.map(change).collect()
}

fn facts(packet: &Packet) -> Facts {
    let mut facts = Facts::new();
    machine(packet, &mut facts);
    safety(packet, &mut facts);
    for joint in &packet.joints {
        torque(joint, &mut facts);
    }
    for reading in &packet.readings {
        entry(&reading.entry, &reading.moments, &mut facts);
    }
    kit(packet, &mut facts);
    for number in &packet.card.numbers {
        put(&mut facts, Area::Number, format!("{} on the card", number.name), &number.value);
    }
    for figure in &packet.figures {
        put(&mut facts, Area::Figure, format!("figure {}", figure.path), &figure.digest);
        put(
            &mut facts,
            Area::Words,
            format!("words of figure {}", figure.path),
            &format!("{} {}", figure.alt, figure.caption),
        );
    }
    notes(packet, &mut facts);
    words(packet, &mut facts);
    facts
}

/// What stands under a heading before its first step: its words and its numbers apart, as in a step.
fn notes(packet: &Packet, facts: &mut Facts) {
    for stage in packet.stages.iter().filter(|stage| !stage.notes.is_empty()) {
        let words = step::filled(&stage.notes);
        let figures = words.split_whitespace().filter(|word| word.contains(|c: char| c.is_ascii_digit()));
        let numbers: Vec<String> = step::values(&stage.notes).into_iter().chain(figures.map(str::to_owned)).collect();
        put(facts, Area::Number, format!("numbers in the notes under `{}`", stage.title), &numbers.join(", "));
        put(facts, Area::Words, format!("notes under `{}`", stage.title), &words);
    }
    let titles: Vec<&str> = packet.stages.iter().map(|stage| stage.title.as_str()).collect();
    put(facts, Area::Words, "stages", &titles.join(" / "));
}

fn put(facts: &mut Facts, area: Area, name: impl Into<String>, text: &str) {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if !text.is_empty() {
        facts.insert((area, name.into()), text);
    }
}

fn machine(packet: &Packet, facts: &mut Facts) {
    for option in &packet.options {
        put(facts, Area::Machine, &option.option, &option.value);
    }
    put(facts, Area::Machine, "applies to", &packet.applies_to);
    for (at, line) in packet.not_covered.iter().enumerate() {
        put(facts, Area::Machine, format!("not covered, {}", at + 1), &plain(line));
    }
    put(facts, Area::Machine, "place", &packet.place);
}

fn safety(packet: &Packet, facts: &mut Facts) {
    for point in &packet.isolation {
        let text = format!("{} of {}, {}: {}", point.kind, point.boundary, point.energy, point.position);
        put(facts, Area::Isolation, format!("point {}", point.point), &text);
        put(facts, Area::Isolation, format!("proof at {}", point.boundary), &point.prove);
    }
    for own in &packet.cautions {
        put(facts, Area::Caution, format!("caution `{}`", own.id), &caution(own));
    }
    for (at, line) in packet.precautions.iter().enumerate() {
        put(facts, Area::Caution, format!("precaution {}", at + 1), &plain(line));
    }
    for (at, line) in packet.prerequisites.iter().enumerate() {
        put(facts, Area::Caution, format!("before the first step, {}", at + 1), &plain(line));
    }
    for hold in &packet.holds {
        put(facts, Area::Hold, format!("{}: who signs", hold.id), &hold.role);
        put(facts, Area::Hold, format!("{}: what is verified", hold.id), &plain(&hold.verify));
    }
    for worn in &packet.kit.protection {
        put(facts, Area::Protection, worn.as_str(), "worn");
    }
}

fn caution(own: &Caution) -> String {
    format!("{}: {} {} {}", own.word, plain(&own.hazard), plain(&own.consequence), plain(&own.avoid))
}

fn torque(joint: &Joint, facts: &mut Facts) {
    let name = &joint.name;
    for stage in &joint.stages {
        put(facts, Area::Torque, torque_of(name, &stage.label), &stage.torque);
    }
    put(facts, Area::Torque, format!("state of {name}"), &joint.state);
    put(facts, Area::Torque, format!("thread of {name}"), &joint.thread);
    put(facts, Area::Torque, format!("fasteners of {name}"), &format!("{} x {}", joint.count, joint.fastener));
    put(facts, Area::Torque, role_of(name), &format!("{:?}", joint.role).to_lowercase());
    if let Some(wrench) = &joint.wrench {
        put(facts, Area::Torque, format!("wrench of {name}"), &item(wrench));
    }
    if let Some(pattern) = &joint.pattern {
        put(facts, Area::Torque, format!("pattern of {name}"), &format!("{:?}", pattern.sequence));
    }
    if joint.left_hand {
        put(facts, Area::Torque, format!("thread hand of {name}"), "left-hand");
    }
}

fn entry(own: &Entry, moments: &[String], facts: &mut Facts) {
    let name = &own.name;
    let when = moments.iter().filter(|moment| !moment.is_empty()).cloned().collect::<Vec<_>>().join(", ");
    let places = own.places.iter().filter(|place| !place.is_empty()).cloned().collect::<Vec<_>>().join(", ");
    let kind = format!("{:?}", own.kind).to_lowercase();
    put(facts, Area::Reading, format!("record of {name}"), &[kind, when, places].join(" "));
    put(facts, Area::Reading, limit_of(name), &own.limit);
    put(facts, Area::Reading, format!("outside the limit of {name}"), &plain(&own.outside));
    if let Some(instrument) = &own.instrument {
        put(facts, Area::Reading, format!("instrument of {name}"), &item(instrument));
    }
}

fn kit(packet: &Packet, facts: &mut Facts) {
    for part in &packet.kit.parts {
        let text = format!("{} x {} {}", part.count, part.number, part.material);
        put(facts, Area::Part, format!("new {}", part.name), &text);
    }
    let kit = &packet.kit;
    for own in &kit.fluids {
        put(facts, Area::Fluid, &own.id, &item(own));
    }
    for own in [&kit.tools, &kit.torque_tools, &kit.instruments, &kit.locks, &kit.temporary].into_iter().flatten() {
        let name = if own.id.is_empty() { &own.name } else { &own.id };
        put(facts, Area::Tool, format!("{name} in the kit"), &format!("{} x {}", own.count, item(own)));
    }
}

fn words(packet: &Packet, facts: &mut Facts) {
    let fields = [
        ("title", &packet.title),
        ("use", &packet.use_level),
        ("people", &packet.people),
        ("skill", &packet.skill),
        ("time", &packet.time),
        ("review", &packet.review),
    ];
    for (name, text) in fields {
        put(facts, Area::Words, name, text);
    }
    put(facts, Area::Words, "purpose", &plain(&packet.purpose));
    put(facts, Area::Words, "plant", &packet.plant);
    put(facts, Area::Words, "language", &packet.language);
    put(facts, Area::Words, "what comes before it", &packet.deference.join(" "));
    // What was not checked is no meaning of the procedure: whoever approves is shown all of it, changed or not.
    for accepted in &packet.accepted_findings {
        let text = format!("{} (reason: {}; until {})", accepted.by, accepted.reason, accepted.until);
        put(facts, Area::Words, format!("accepted: {}", accepted.finding), &text);
    }
    let tools: Vec<&str> = packet.card.tools.iter().map(|tool| tool.id.as_str()).collect();
    put(facts, Area::Words, "tools on the card", &tools.join(", "));
    let points: Vec<&str> = packet.card.isolation.iter().map(|point| point.point.as_str()).collect();
    put(facts, Area::Isolation, "points on the card", &points.join(", "));
    if let Some(print) = &packet.print {
        let CardPrint { preset, width_mm, height_mm, distance_mm, .. } = print;
        let text = format!("{preset}: {width_mm} x {height_mm} mm, read from {distance_mm} mm");
        put(facts, Area::Words, "how the card is printed", &text);
    }
}

fn item(own: &KitItem) -> String {
    format!("{} {} {}", own.id, own.name, own.detail)
}

fn plain(line: &Line) -> String {
    line.iter().map(|run| run.text.as_str()).collect()
}

fn limit_of(reading: &str) -> String {
    format!("limit of {reading}")
}

/// Returns the names of the limits that allow more than they did.
fn looser(old: &Packet, new: &Packet) -> BTreeSet<String> {
    let entries = |packet: &'_ Packet| -> Vec<Entry> { packet.readings.iter().map(|own| own.entry.clone()).collect() };
    let after = entries(new);
    let is_looser = |before: &Entry| after.iter().any(|own| own.name == before.name && allows_more(before, own));
    let readings = entries(old).into_iter().filter(is_looser).map(|own| limit_of(&own.name)).collect::<BTreeSet<_>>();
    readings.into_iter().chain(looser_torques(old, new)).collect()
}

/// Returns the torques that must not be passed and are higher than before, and those that are no limit any more.
fn looser_torques<'p>(old: &'p Packet, new: &'p Packet) -> impl Iterator<Item = String> + 'p {
    let limits = old.joints.iter().filter(|joint| joint.role == TorqueRole::Limit);
    let pairs = limits.filter_map(|joint| Some((joint, new.joints.iter().find(|own| own.name == joint.name)?)));
    pairs.flat_map(|(before, after)| {
        let stage = |label: &str| before.stages.iter().find(|own| own.label == label);
        let is_higher = |own: &&TorqueStage| stage(&own.label).is_some_and(|was| is_more(&was.torque, &own.torque));
        let higher = after.stages.iter().filter(is_higher).map(|own| torque_of(&before.name, &own.label));
        let is_no_limit = after.role != TorqueRole::Limit;
        higher.chain(is_no_limit.then(|| role_of(&before.name))).collect::<Vec<_>>()
    })
}

/// Returns whether a quantity is more than another one of the same unit.
fn is_more(before: &str, after: &str) -> bool {
    let parts = |text: &str| -> Option<(Decimal, String)> {
        let (number, unit) = text.split_once(char::is_whitespace)?;
        Some((number.parse().ok()?, unit.trim().to_owned()))
    };
    matches!((parts(before), parts(after)), (Some((was, one)), Some((is, other))) if one == other && is > was)
}

fn torque_of(joint: &str, stage: &str) -> String {
    format!("torque of {joint}, {stage}")
}

fn role_of(joint: &str) -> String {
    format!("what the torque of {joint} is")
}

fn allows_more(before: &Entry, after: &Entry) -> bool {
    let figure = |text: &Option<String>| text.as_ref().and_then(|text| text.parse::<Decimal>().ok());
    let is_lower = match (figure(&before.low), figure(&after.low)) {
        (Some(before), Some(after)) => after < before,
        (before, after) => before.is_some() && after.is_none(),
    };
    let is_higher = match (figure(&before.high), figure(&after.high)) {
        (Some(before), Some(after)) => after > before,
        (before, after) => before.is_some() && after.is_none(),
    };
    before.unit == after.unit && (is_lower || is_higher)
}
