//! Sentences read over vocabularies of invented machines: text in, class and actions out.

use matchmark::base::name::Name;
use matchmark::base::path::BinderPath;
use matchmark::base::text::{FileId, Placed, Span, Texts};
use matchmark::language::action::{line, parse_line};
use matchmark::language::matching::Lexicon;
use matchmark::language::noun::{Noun, NounKind, Vocabulary};
use matchmark::language::reader::{read_step, read_step_with};
use matchmark::language::reading::{Class, Doubt, Obstacle, SentenceRead};
use matchmark::language::verb::Verbs;
use matchmark::model::procedure::{Block, Inline, Manner, Step};
use matchmark::model::verbs::PlantVerb;
use proptest::prelude::*;

/// A coupling-driven pump; the notation is `kind name xCOUNT | synonym, synonym | of owner`.
const PUMP: &str = "
machine pump | centrifugal pump
boundary motor | drive
part coupling guard
part guard bolt x4
part guard half x2
part coupling spacer
part coupling bolt x8 | | of coupling spacer
part gland follower
part gland nut x2 | | of gland follower
part packing ring x5
part lantern ring
part shaft sleeve
part sleeve nut
part sleeve O-ring | | of shaft sleeve
part bearing cover x2
part upper bearing
part lower bearing
part impeller
part impeller nut
part impeller-nut O-ring
part key | shaft key | of impeller
part shaft
part volute | pump casing
part volute gasket
part back plate
part back-plate screw x2 | | of back plate
part stud x12
part nut x12 | casing nut
opening volute drain | drain cock
opening vent plug
temporary blank flange x2 | blank
point Q-7 | motor isolator
point V-7A | suction in valve, suction valve
point V-7B | discharge out valve, discharge valve
tool HX | hex keys
tool ST-1 | strap wrench
tool PL-2 | two-leg puller, puller
tool TW-1 | torque wrench
tool TW-2 | torque wrench
tool PG-1 | test gauge
fluid L-11 | silicone grease
fluid L-12 | anti-seize paste, metal-free
fluid L-13 | alcohol wipe
value {cover torque}
value {gland gap}
value {test pressure}
value {soak time}
tool {sleeve tool}
fluid {sleeve grease}
reading shaft diameter
reading gap
reading permit number
reading bearing temperature
inert paint line
";

/// A worm gearbox.
const GEARBOX: &str = "
machine gearbox | gear unit
boundary motor
part top cover
part cover screw x10 | | of top cover
part breather
part worm shaft
part worm wheel
part input seal
part output seal
part input bearing
part output bearing
part circlip x2
part shim x3
part gasket | cover gasket
part coupling half x2
part dowel pin x2
opening drain plug
opening filler plug
opening level plug
temporary lifting eye x2
point Q-30 | motor isolator
fluid O-220 | gear oil
fluid G-3 | sealing compound
tool BH-1 | bearing heater
tool PU-1 | puller
tool TW-3 | torque wrench
value {cover torque}
value {oil quantity}
reading backlash
reading end float
inert oil level
";

/// A filter housing with a bag of valves, and a belt conveyor.
const FILTER: &str = "
machine filter | filter housing
machine both sides
part lid
part eyebolt x6 | swing bolt
part lid gasket
part filter element x7
part tie rod
part wing nut
part basket
part pressure gauge
opening vent
opening sump drain | drain
point V-1 | inlet in valve, inlet valve
point V-2 | outlet out valve, outlet valve
point V-3 | bypass valve
fluid F-1 | food grease
tool WR-1 | ring spanner
temporary plug
value {test pressure}
reading differential pressure
";

const CONVEYOR: &str = "
machine conveyor | belt conveyor
boundary drive
part belt
part side guard x2
part guard clip x8
part head pulley
part tail pulley
part take-up screw x2 | tension screw
part lock nut x4 | | of take-up screw
part bearing housing x4
part scraper
part scraper blade | blade
part splice pin
part return roller x9
temporary belt clamp x2
point Q-40 | drive isolator, isolator
tool GP-1 | grease gun
fluid B-9 | bearing grease
tool TW-2 | torque wrench
value {bolt torque}
value {sag}
inert grease nipple
";

fn file() -> FileId {
    Texts::default().add(BinderPath::parse("a.md").expect("a plain name"), String::new())
}

fn vocabulary(text: &str) -> Vocabulary {
    let noun = |line: &str| {
        let (head, rest) = line.split_once(" | ").unwrap_or((line, ""));
        let (also, of) = rest.split_once("| of ").unwrap_or((rest, ""));
        let (kind, name) = head.trim_end_matches(" |").split_once(' ').expect("a kind and a name");
        let (name, count) = match name.rsplit_once(" x").map(|(name, count)| (name, count.parse::<u32>())) {
            Some((name, Ok(count))) => (name, count),
            _ => (name, 1),
        };
        let kind = match kind {
            "part" => NounKind::Part,
            "opening" => NounKind::Opening,
            "temporary" => NounKind::Temporary,
            "point" => NounKind::Point,
            "tool" => NounKind::Tool,
            "fluid" => NounKind::Fluid,
            "value" => NounKind::Value,
            "machine" => NounKind::Machine,
            "boundary" => NounKind::Boundary,
            "reading" => NounKind::Reading,
            "inert" => NounKind::Inert,
            other => panic!("`{other}` is no kind"),
        };
        let has_count = matches!(kind, NounKind::Part | NounKind::Opening | NounKind::Temporary);
        Noun {
            name: name.trim().to_owned(),
            kind,
            also: also.split(", ").map(str::trim).filter(|also| !also.is_empty()).map(str::to_owned).collect(),
            count: has_count.then_some(count),
            of: of.trim().to_owned(),
        }
    };
    Vocabulary { nouns: text.lines().filter(|line| !line.trim().is_empty()).map(noun).collect() }
}

/// Makes a step of one paragraph; `{name}` is a value, `{see name}` a reference, `{do ...}` an override.
fn step(text: &str) -> Step {
    let file = file();
    let span = |from: usize, to: usize| Span::new(file, from, to);
    let mut step = Step {
        span: span(0, text.len()),
        blocks: Vec::new(),
        only: None,
        cautions: Vec::new(),
        holds: Vec::new(),
        records: Vec::new(),
        labels: Vec::new(),
        overrides: Vec::new(),
    };
    let mut line = Vec::new();
    let mut at = 0;
    while at < text.len() {
        let rest = &text[at..];
        let brace = rest.strip_prefix('{').and_then(|rest| rest.split_once('}')).map(|(inner, _)| inner);
        let length = match brace {
            Some(inner) => inner.len() + 2,
            None => rest[1.min(rest.len())..].find('{').map_or(rest.len(), |found| found + 1),
        };
        let place = span(at, at + length);
        match brace {
            Some(inner) => match (inner.strip_prefix("see "), inner.strip_prefix("do ")) {
                (Some(label), _) => line.push(Inline::See(Placed::new(Name::new(label), place))),
                (_, Some(order)) => step.overrides.push(Placed::new(order.to_owned(), place)),
                _ => line.push(Inline::Value(Placed::new(Name::new(inner), place))),
            },
            None => line.push(Inline::Words { text: rest[..length].to_owned(), manner: Manner::Plain, span: place, joins: Vec::new() }),
        }
        at += length;
    }
    step.blocks.push(Block::Paragraph(line));
    step
}

fn drawn_class(read: &SentenceRead) -> String {
    let doubt = |doubt: &Doubt| match doubt {
        Doubt::Pronoun(word) => format!("pronoun {word}"),
        Doubt::Name(words, _) => format!("name {words}"),
        Doubt::Verb(words) => format!("verb {words}"),
        Doubt::Count(name, said, has) => format!("count {name} {said}/{has}"),
        Doubt::Words(words) => format!("words {words}"),
        Doubt::NoObject(words) => format!("object {words}"),
    };
    match &read.class {
        Class::Read => "read".to_owned(),
        Class::MovesNothing => "still".to_owned(),
        Class::Uncertain(doubts) => format!("unsure ({})", doubts.iter().map(doubt).collect::<Vec<_>>().join(", ")),
        Class::NotRead(Obstacle::Verb(word)) => format!("unread (verb {word})"),
        Class::NotRead(Obstacle::Noun(word)) => format!("unread (noun {word})"),
        Class::NotRead(Obstacle::NoVerb) => "unread (no verb)".to_owned(),
        Class::NotRead(Obstacle::Pronoun(word)) => format!("unread (pronoun {word})"),
        Class::NotRead(Obstacle::Override(why)) => format!("unread (override {why})"),
    }
}

fn drawn(text: &str, vocabulary: &Vocabulary, verbs: &Verbs) -> Vec<String> {
    let read = read_step(&step(text), vocabulary, verbs);
    read.iter().map(|read| format!("{}: {}", drawn_class(read), line(&read.actions))).collect()
}

/// Asserts a table: a step a line, then each of its sentences as `=> class: actions`.
#[track_caller]
fn reads(nouns: &str, table: &str) {
    let (vocabulary, verbs) = (vocabulary(nouns), Verbs::new());
    let mut wrong = Vec::new();
    let mut text = "";
    let mut expected: Vec<&str> = Vec::new();
    let judge = |text: &str, expected: &[&str], wrong: &mut Vec<String>| {
        if text.is_empty() {
            return;
        }
        let read = drawn(text, &vocabulary, &verbs);
        if read != expected {
            wrong.push(format!("{text}\n    expected {}\n    read     {}", expected.join("\n             "), read.join("\n             ")));
        }
    };
    for line in table.lines().map(str::trim).filter(|line| !line.is_empty()) {
        match line.strip_prefix("=> ") {
            Some(class) => expected.push(class),
            None => {
                judge(text, &expected, &mut wrong);
                text = line;
                expected.clear();
            }
        }
    }
    judge(text, &expected, &mut wrong);
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn plain_orders() {
    reads(
        PUMP,
        "
        Remove the coupling guard.
        => read: off coupling guard
        Remove the four guard bolts and both guard halves.
        => read: off guard bolt x4; off guard half x2
        Remove the nuts.
        => read: off nut all
        Loosen each gland nut.
        => read: loosen gland nut all
        Fit the impeller and the impeller nut.
        => read: on impeller; on impeller nut
        Fit the new volute gasket.
        => read: new volute gasket
        Tighten the impeller nut to {cover torque}.
        => read: tighten impeller nut to {cover torque}
        Tighten the two back-plate screws to 12 N·m with TW-1.
        => read: tighten back-plate screw x2 with TW-1 to 12 N·m
        Return the key to stores.
        => read: stores key
        Discard the impeller-nut O-ring.
        => read: discard impeller-nut O-ring
        Open the volute drain.
        => read: open volute drain
        Close the volute drain and the vent plug.
        => read: shut volute drain; shut vent plug
        Run the pump for {soak time}.
        => read: run pump
        Stop the pump.
        => read: halt pump
        Fill the pump with water to {test pressure}.
        => read: fill pump to {test pressure}
        Remove your locks.
        => read: unlock all
        Lock the motor isolator.
        => read: lock motor isolator
        Close and lock each valve on the isolation sheet.
        => read: lock valve all
        Close V-7A.
        => read: shut V-7A
        ",
    );
}

#[test]
fn names_are_found_by_the_longest_match() {
    reads(
        PUMP,
        "
        Remove the impeller nut O-ring.
        => read: off impeller-nut O-ring
        Remove the backplate screws.
        => read: off back-plate screw all
        Remove the Back Plate.
        => read: off back plate
        Remove the casing nuts.
        => read: off nut all
        Remove the pump shaft.
        => read: off shaft
        Remove the impeller key.
        => read: off key
        Remove the impeller washer.
        => unread (noun impeller washer): nothing
        Remove the hex key.
        => still: nothing
        Remove the tapered key.
        => unsure (name tapered key): off key
        Remove the two outer bearing covers.
        => unsure (name outer bearing cover): off bearing cover x2
        Remove the frobnicator.
        => unread (noun frobnicator): nothing
        Remove the bearing.
        => unsure (name bearing): off upper bearing
        Remove the sleeve.
        => unsure (name sleeve): off shaft sleeve
        ",
    );
}

#[test]
fn shared_heads_and_verbs() {
    reads(
        PUMP,
        "
        Remove the upper and lower bearings.
        => read: off upper bearing; off lower bearing
        Close and lock each suction and discharge valve on the isolation sheet.
        => read: lock suction valve all; lock discharge valve all
        Switch off and lock the motor isolator.
        => read: lock motor isolator
        Clean and inspect the shaft.
        => read: wipe shaft; look shaft
        Remove and discard the volute gasket.
        => read: discard volute gasket
        Loosen and remove the nuts.
        => read: loosen nut all; off nut all
        Remove the impeller and its key.
        => read: off impeller; off key
        Remove the impeller nut and drain cock.
        => read: off impeller nut; open volute drain
        Remove the impeller nut, the impeller and the key, then clean the shaft.
        => read: off impeller nut; off impeller; off key; wipe shaft
        Remove the guard bolts and lift off the coupling guard.
        => read: off guard bolt all; off coupling guard
        ",
    );
}

#[test]
fn pronouns_stay_inside_the_step() {
    reads(
        PUMP,
        "
        Remove the sleeve O-ring. Discard it.
        => read: off sleeve O-ring
        => read: discard sleeve O-ring
        Remove the shaft sleeve and the sleeve O-ring. Discard both.
        => read: off shaft sleeve; off sleeve O-ring
        => read: discard shaft sleeve; discard sleeve O-ring
        Wet the new sleeve O-ring with {sleeve grease}. Fit it. Push it home by hand.
        => read: apply {sleeve grease} to sleeve O-ring
        => read: new sleeve O-ring
        => unsure (verb push): nothing
        Apply L-12 to the two back-plate screws. Tighten them to {cover torque}.
        => read: apply L-12 to back-plate screw
        => read: tighten back-plate screw x2 to {cover torque}
        Wet the new sleeve O-ring with L-11. Fit it with the new shaft sleeve.
        => read: apply L-11 to sleeve O-ring
        => read: new sleeve O-ring; new shaft sleeve
        Discard it.
        => unsure (pronoun it): nothing
        Remove the frobnicator. Discard it.
        => unread (noun frobnicator): nothing
        => unread (pronoun it): nothing
        Remove the frobnicator. Remove the key. Discard it.
        => unread (noun frobnicator): nothing
        => read: off key
        => read: discard key
        Hold the shaft with ST-1. Remove the sleeve nut. Clean it.
        => still: hold shaft with ST-1
        => read: off sleeve nut
        => read: wipe sleeve nut
        Remove the guard bolts. Keep them.
        => read: off guard bolt all
        => still: nothing
        Remove the guard bolts. Discard it.
        => read: off guard bolt all
        => unsure (pronoun it): discard guard bolt all
        Collect PL-2. Fit it.
        => still: nothing
        => unsure (pronoun it): nothing
        ",
    );
}

#[test]
fn conditions_are_seen_and_never_applied() {
    reads(
        PUMP,
        "
        IF the key is worn, THEN discard it.
        => read: if discard key
        If the shaft is scored, stop. Tell the supervisor.
        => still: if stop
        => still: tell
        Once the flow stops, close the volute drain.
        => read: shut volute drain
        After removing the nuts, remove the volute.
        => unsure (words after removing the nuts): off volute
        Remove the key if it is worn.
        => read: if off key
        Remove the nuts and, if it is damaged, discard the volute gasket.
        => read: off nut all; if discard volute gasket
        Do not remove the key.
        => still: nothing
        Do not touch the shaft with L-12.
        => still: nothing
        Never loosen the gland nuts and open the volute drain.
        => read: open volute drain
        Before removing the nuts, clean the volute.
        => read: wipe volute
        ",
    );
}

#[test]
fn sentences_that_move_nothing() {
    reads(
        PUMP,
        "
        Measure the gap between the impeller and the back plate. Record it.
        => still: measure gap
        => still: record gap
        Record the permit number.
        => still: record permit number
        Wait {soak time}.
        => still: wait {soak time}
        Wait until the flow stops.
        => still: wait
        Confirm that the motor does not turn.
        => still: confirm
        Press START at the local station.
        => still: try
        Stop.
        => still: stop
        Stop and tell the supervisor.
        => still: stop; tell
        Compare the tag plate with this packet.
        => still: look
        The second person measures the shaft diameter and signs.
        => still: measure shaft diameter; record
        Turn the shaft by hand one full turn.
        => still: turn shaft
        The limit is not a target.
        => still: nothing
        Check the frobnicator.
        => unread (noun frobnicator): nothing
        Hand the pump over for the cleaning cycle.
        => still: nothing
        ",
    );
}

#[test]
fn what_is_not_sure_is_asked() {
    reads(
        PUMP,
        "
        Replace the volute gasket.
        => unsure (verb replace): new volute gasket
        Remove the two nuts.
        => unsure (count nut 2/12): off nut x2
        Remove the guard half.
        => unsure (count guard half 1/2): off guard half
        Fit one guard half.
        => read: on guard half
        Frobnicate the impeller.
        => unread (verb frobnicate): nothing
        Lift the impeller.
        => unsure (verb lift): nothing
        Tighten to {cover torque}.
        => unsure (object tighten): nothing
        Reassemble in reverse order.
        => unsure (object reassemble): nothing
        Remove the remaining nuts.
        => unsure (words remaining): off nut all
        The nuts are removed.
        => unsure (verb are removed): off nut all
        The nuts must be removed.
        => read: off nut all
        Removing the nuts.
        => unsure (verb removing): off nut all
        ",
    );
}

#[test]
fn the_override_is_what_the_author_says() {
    reads(
        PUMP,
        "
        Pull the wet end. {do off impeller; off key} Clean the shaft.
        => read: off impeller; off key
        => read: wipe shaft
        Swap the ring. {do off frobnicator}
        => unread (override frobnicator): nothing
        Tighten in two stages. {do tighten casing nut all to cover torque}
        => read: tighten nut all to {cover torque}
        ",
    );
}
