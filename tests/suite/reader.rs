//! Sentences read over vocabularies of invented machines: text in, class and actions out.

use matchmark::base::name::Name;
use matchmark::base::path::BinderPath;
use matchmark::base::text::{FileId, Placed, Span, Texts};
use matchmark::language::action::{Action, line, parse_line};
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

pub(crate) fn vocabulary(text: &str) -> Vocabulary {
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
pub(crate) fn step(text: &str) -> Step {
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
            None => rest.char_indices().skip(1).find(|(_, c)| *c == '{').map_or(rest.len(), |(found, _)| found),
        };
        let place = span(at, at + length);
        match brace {
            Some(inner) => match (inner.strip_prefix("see "), inner.strip_prefix("do ")) {
                (Some(label), _) => line.push(Inline::See(Placed::new(Name::new(label), place))),
                (_, Some(order)) => step.overrides.push(Placed::new(order.to_owned(), place)),
                _ => line.push(Inline::Value(Placed::new(Name::new(inner), place))),
            },
            None => line.push(Inline::Words {
                text: rest[..length].to_owned(),
                manner: Manner::Plain,
                span: place,
                joins: Vec::new(),
            }),
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
        Class::NotRead(Obstacle::Length(tokens)) => format!("unread (length {tokens})"),
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
            wrong.push(format!(
                "{text}\n    expected {}\n    read     {}",
                expected.join("\n             "),
                read.join("\n             ")
            ));
        }
    };
    for line in table.lines().map(str::trim).filter(|line| !line.is_empty()) {
        if let Some(class) = line.strip_prefix("=> ") {
            expected.push(class);
            continue;
        }
        judge(text, &expected, &mut wrong);
        text = line;
        expected.clear();
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

#[test]
fn a_gearbox_in_long_sentences() {
    reads(
        GEARBOX,
        "
        Before you start, switch off the motor isolator and fit your own lock and tag to it.
        => unsure (pronoun it, verb switch off): lock motor isolator
        Undo the drain plug and let the oil run out into a bucket.
        => unsure (name drain plug, verb undo): loosen drain plug; wait
        Take out the drain plug, then the filler plug.
        => read: open drain plug; open filler plug
        Slacken the ten cover screws half a turn each, working crosswise, and then take them out.
        => read: loosen cover screw x10; off cover screw x10
        Take the top cover off and lay it upside down on a clean bench.
        => read: off top cover
        Lift the worm wheel out of the housing with two lifting eyes.
        => unsure (words with lifting eye): off worm wheel
        Screw the two lifting eyes into the top cover.
        => read: place lifting eye x2 on top cover
        Remove both lifting eyes.
        => read: take lifting eye x2
        Pull off both coupling halves with the puller.
        => read: off coupling half x2 with PU-1
        Remove the circlips from the worm shaft and keep them.
        => unsure (pronoun them, words from the worm shaft): off circlip all on worm shaft
        Remove both circlips from the worm shaft and keep them.
        => read: off circlip x2 on worm shaft
        Drive out the two dowel pins.
        => read: off dowel pin x2
        The shims must be kept together.
        => still: nothing
        Heat the input bearing with BH-1 and slide it onto the worm shaft.
        => read: use BH-1; on input bearing on worm shaft
        Press the new input seal into the top cover until it is flush.
        => read: new input seal on top cover
        Coat the joint faces thinly with G-3, put the top cover back and screw in the ten cover screws finger tight.
        => unsure (name joint face): on top cover; on cover screw x10; snug cover screw x10
        Torque the cover screws to {cover torque}, working diagonally.
        => read: tighten cover screw all to {cover torque}
        Refit the drain plug and fill the gearbox with O-220 up to the level plug.
        => read: shut drain plug; fill gearbox with O-220
        Check the end float and note it down.
        => still: look end float; record end float
        Rotate the worm shaft by hand to make sure that nothing binds.
        => still: turn worm shaft
        Start the gearbox and listen for noise.
        => read: run gearbox; look
        ",
    );
}

#[test]
fn a_filter_and_its_valves() {
    reads(
        FILTER,
        "
        Close V-1 and V-2 and lock both.
        => read: lock V-1; lock V-2
        Shut the inlet valve and the outlet valve. Lock them.
        => read: shut inlet valve; shut outlet valve
        => read: lock inlet valve; lock outlet valve
        Open the vent slowly and wait for the pressure gauge to show 0 bar.
        => read: open vent; wait
        Open the sump drain and the vent. Leave both open.
        => read: open sump drain; open vent
        => still: nothing
        Slacken all six swing bolts, swing them aside and lift the lid clear.
        => unsure (verb swing): loosen eyebolt x6; off lid
        Lift out the seven filter elements one at a time and discard them.
        => read: discard filter element x7
        Take out the basket and wash it in warm water.
        => read: off basket; wipe basket
        Discard the lid gasket. Fit a new lid gasket.
        => read: discard lid gasket
        => read: new lid gasket
        Fit seven new filter elements.
        => read: new filter element x7
        Put the basket back in the filter housing.
        => read: on basket
        Lower the lid onto the new lid gasket.
        => read: on lid on lid gasket
        Swing up the eyebolts and tighten them evenly, in a star pattern, to 40 N·m.
        => unsure (pronoun them, verb swing): tighten eyebolt all to 40 N·m
        Plug the sump drain with the plug.
        => read: place plug on sump drain
        Remove the plug from the sump drain.
        => read: take plug on sump drain
        Close the vent when water appears.
        => read: shut vent
        Remove your lock from the inlet valve.
        => read: unlock inlet valve
        Take off your locks and tags.
        => read: unlock all
        Stop both sides.
        => read: halt both sides
        Never stand in front of the lid.
        => still: nothing
        Make sure the bypass valve is shut.
        => still: confirm
        The pressure gauge is to be removed by the electrician.
        => read: off pressure gauge
        ",
    );
}

#[test]
fn a_conveyor_in_american_and_shop_speech() {
    reads(
        CONVEYOR,
        "
        Stop the conveyor, lock out the drive isolator and try the start button.
        => read: halt conveyor; lock drive isolator; try
        Unclip and lift off both side guards.
        => read: off side guard x2
        Back off the four lock nuts and both take-up screws.
        => read: loosen lock nut x4; loosen take-up screw x2
        Fit the two belt clamps, one on each side of the splice pin.
        => unsure (pronoun one): place belt clamp x2 on splice pin
        Pull the splice pin out and set it aside.
        => read: off splice pin
        Scrape the old grease off the bearing housings.
        => unsure (verb scrape): nothing
        Remove the scraper blade and scrap it.
        => read: discard scraper blade
        Install a new blade in the scraper.
        => read: new scraper blade on scraper
        Pump two strokes of B-9 into each grease nipple.
        => unsure (name stroke, verb pump): nothing
        Run the tension screws in until the sag is {sag}.
        => unsure (verb run in): tighten take-up screw all
        Snug up the lock nuts, then torque them to {bolt torque} with TW-2.
        => read: snug lock nut all; tighten lock nut all with TW-2 to {bolt torque}
        Clip the side guards back on.
        => read: on side guard all
        Jog the conveyor to check the tracking.
        => read: run conveyor
        Sweep up.
        => still: nothing
        ",
    );
}

#[test]
fn tools_mentions_and_what_might_be_touched() {
    let (vocabulary, verbs) = (vocabulary(PUMP), Verbs::new());
    let read = |text: &str| read_step(&step(text), &vocabulary, &verbs);
    let missing = |text: &str| {
        let read = read(text);
        read.iter()
            .flat_map(|read| read.missing_tools.iter().map(|tool| tool.value.clone()))
            .collect::<Vec<_>>()
            .join(", ")
    };
    assert_eq!(missing("Remove the upper bearing with a bearing puller."), "a bearing puller");
    assert_eq!(missing("Remove the key with a 3 mm hex key."), "");
    assert_eq!(missing("Remove the upper bearing with PL-2."), "");
    assert_eq!(missing("Clean the shaft with a lint-free cloth."), "");
    let mentions = |text: &str| read(text).iter().flat_map(|read| read.mentions.clone()).collect::<Vec<_>>().join(", ");
    assert_eq!(mentions("Do not use L-12 on the sleeve O-ring."), "L-12");
    assert_eq!(mentions("Clean the shaft with L-13. Use no other fluid."), "");
    let touches = |text: &str| read(text).last().map(|read| read.touches.join(", ")).expect("a sentence");
    assert_eq!(touches("Remove the key."), "key");
    assert_eq!(touches("Lift the impeller."), "impeller");
    assert_eq!(touches("Remove the frobnicator from the impeller."), "");
    assert_eq!(touches("Frobnicate the impeller and the key."), "impeller, key");
    assert_eq!(touches("Lift the impeller. Discard it."), "impeller");
    assert_eq!(touches("Frobnicate the impeller. Discard it."), "impeller");
    assert_eq!(touches("Measure the shaft."), "");
    assert_eq!(touches("Lock the suction valve and the discharge valve."), "V-7A, V-7B");
}

#[test]
fn keys_hold_the_words_of_the_step_so_far() {
    let (vocabulary, verbs) = (vocabulary(PUMP), Verbs::new());
    let keys =
        |text: &str| read_step(&step(text), &vocabulary, &verbs).into_iter().map(|read| read.key).collect::<Vec<_>>();
    let (first, other) = (keys("Remove the key. Discard it."), keys("Remove  the KEY. Keep it."));
    assert_eq!(first[0], other[0], "case and spaces do not matter");
    assert_ne!(first[1], other[1]);
    assert_ne!(keys("Discard it.")[0], first[1], "what stands before it matters");
    assert!(first.iter().all(|key| key.len() == 12 && key.bytes().all(|byte| byte.is_ascii_hexdigit())));
}

#[test]
fn a_verb_that_the_plant_and_the_trade_use_differently_is_asked_about() {
    let span = Span::new(file(), 0, 0);
    let plant = |verb: &str, means: &str| PlantVerb {
        verb: Placed::new(Name::new(verb), span),
        means: Placed::new(means.to_owned(), span),
    };
    let verbs = Verbs::with(&[plant("loosen", "off"), plant("replace", "new"), plant("ship", "on")]);
    let vocabulary = vocabulary(PUMP);
    assert_eq!(drawn("Loosen the nuts.", &vocabulary, &verbs), ["unsure (verb loosen): loosen nut all"]);
    assert_eq!(drawn("Replace the key.", &vocabulary, &verbs), ["read: new key"]);
    assert_eq!(drawn("Ship the impeller.", &vocabulary, &verbs), ["read: on impeller"]);
    assert_eq!(verbs.conflicts().len(), 1);
}

static VERBS: std::sync::LazyLock<Verbs> = std::sync::LazyLock::new(Verbs::new);

/// Words that sentences are made of, with some that are none.
fn some_words() -> impl Strategy<Value = String> {
    let words = [
        "remove",
        "fit",
        "the",
        "new",
        "and",
        "then",
        "it",
        "both",
        "nuts",
        "impeller",
        "key",
        "O-ring",
        "sleeve",
        "with",
        "to",
        "from",
        "on",
        "off",
        "if",
        "IF",
        "THEN",
        "until",
        "do",
        "not",
        "is",
        "be",
        "must",
        "two",
        "12",
        "mm",
        "{cover torque}",
        "{see a}",
        ",",
        ".",
        ";",
        "(",
        ")",
        "its",
        "each",
        "of",
        "L-12",
        "PL-2",
        "frobnicator",
        "tighten",
        "lock",
        "motor",
        "isolator",
        "press",
        "START",
        "a",
        "A",
        "'s",
        "half",
        "turn",
        "by",
        "hand",
        "removed",
        "removing",
        "measures",
        "person",
        "second",
        "or",
        "-",
        "\u{e9}t\u{e9}",
        "1/2",
        "one",
        "ones",
        "as",
        "in",
    ];
    proptest::collection::vec(proptest::sample::select(words.to_vec()), 0..24).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn any_words_are_read_without_a_panic(text in some_words()) {
        let vocabulary = vocabulary(PUMP);
        for read in read_step(&step(&text), &vocabulary, &VERBS) {
            let written = line(&read.actions);
            let again = parse_line(&written);
            prop_assert!(again.is_ok(), "{written}");
            let not_read = matches!(read.class, Class::NotRead(_));
            prop_assert!(!not_read || read.actions.is_empty());
            let still = read.class == Class::MovesNothing;
            prop_assert!(!still || read.actions.iter().all(|action: &Action| !action.act.moves()));
        }
    }

    #[test]
    fn any_characters_are_read_without_a_panic(text in "\\PC{0,60}") {
        let text = text.replace(['{', '}'], " ");
        let vocabulary = vocabulary(PUMP);
        let lexicon = Lexicon::of(&vocabulary);
        let _ = read_step_with(&step(&text), &lexicon, &VERBS);
    }

    /// A thing that no register knows is never read as done, whatever is done to it.
    #[test]
    fn an_unknown_object_is_never_read(
        verb in proptest::sample::select(vec![
            "Remove", "Fit", "Discard", "Loosen", "Tighten", "Open", "Close", "Lock", "Lubricate", "Wipe", "Take off", "Put back", "Slide", "Measure",
            "Inspect", "Replace", "Press", "Lay", "Return", "Turn", "Set", "Fill", "Run", "Secure", "Plug", "Cover", "Hold", "Collect", "Apply",
        ]),
        noun in "(zorb|quillet|brackle|sprong) (flange|zeek|mork|plim)s?",
        before in proptest::sample::select(vec!["", "impeller and the ", "key, the nuts and the "]),
        after in proptest::sample::select(vec!["", " off", " from the shaft", " with PL-2", " and the key", " to {cover torque}", " with L-12", " on the bench"]),
    ) {
        let vocabulary = vocabulary(PUMP);
        let text = format!("{verb} the {before}{noun}{after}.");
        let read = read_step(&step(&text), &vocabulary, &VERBS);
        prop_assert!(read.iter().all(|read| read.class.is_open()), "{text}: {:?}", drawn(&text, &vocabulary, &VERBS));
    }
}

/// Sentences that look plain and are not: each was once read as sure, and wrong.
#[test]
fn what_only_looks_plain_is_asked() {
    reads(
        PUMP,
        "
        Remove all nuts except the top one.
        => unsure (words except the top one): off nut all
        Remove the impeller with the key still in place.
        => unsure (words with the key still): off impeller
        Remove the nuts holding the volute.
        => unsure (words holding the volute): off nut all
        Get the packing rings out.
        => unsure (verb get): nothing
        It is now possible to remove the impeller.
        => unsure (words it is now possible to remove the impeller): nothing
        Treat the lower bearing in the same way.
        => unsure (verb treat): set lower bearing
        Set the nuts to {cover torque}.
        => unsure (verb set): set nut all to {cover torque}
        A second person holds the impeller while you loosen the impeller nut.
        => unsure (words while you loosen the impeller nut): hold impeller
        Have the operator open the suction valve.
        => unsure (verb have, words open the suction valve): wait
        Remove the impeller before the key.
        => unsure (words before the key): off impeller
        Fit the impeller on the shaft along with the key.
        => read: on impeller on shaft; on key on shaft
        Discard the shaft sleeve in case of wear.
        => read: if discard shaft sleeve
        On size 4, remove the key.
        => unsure (words on size 4): off key
        Fit the new volute gasket and the nuts and tighten them to {cover torque}.
        => unsure (pronoun them): new volute gasket; on nut all; tighten volute gasket to {cover torque}; tighten nut all to {cover torque}
        Remove the key, if fitted.
        => read: if off key
        Restore the power.
        => unsure (name power, verb restore): nothing
        Lower the pump to the floor.
        => unsure (verb lower): nothing
        Loosen the nuts until they come off.
        => unsure (words until they come off): loosen nut all
        Open the motor isolator.
        => unsure (verb open): open motor isolator
        Remove the two nuts that hold the guard, then the guard halves.
        => unsure (count nut 2/12, words that hold the guard , then the guard halves): off nut x2
        ",
    );
}

/// A line that never ends is not looked into, whatever it holds.
#[test]
fn what_is_longer_than_any_sentence_is_not_looked_into() {
    let vocabulary = vocabulary("");
    let long = format!("Remove {}.", "the cover and ".repeat(100));
    let drawn = drawn(&long, &vocabulary, &Verbs::new());
    assert_eq!(drawn, ["unread (length 302): nothing"]);
}

/// Asserts that each sentence, a step a line, is asked about or not read: never certain.
#[track_caller]
fn asks(nouns: &str, table: &str) {
    let (vocabulary, verbs) = (vocabulary(nouns), Verbs::new());
    let lines: Vec<&str> = table.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let certain = |text: &&&str| {
        let read = read_step(&step(text), &vocabulary, &verbs);
        read.iter().all(|read| !read.class.is_open())
    };
    let told: Vec<String> = lines
        .iter()
        .filter(certain)
        .map(|text| format!("{text}\n    {}", drawn(text, &vocabulary, &verbs).join("\n    ")))
        .collect();
    assert!(!lines.is_empty() && told.is_empty(), "{} of {} are certain\n{}", told.len(), lines.len(), told.join("\n"));
}

/// `No` before an object forbids, or it is asked about: it never orders.
#[test]
fn no_is_no_order() {
    asks(
        PUMP,
        "
        Remove no casing nuts.
        Remove no casing nut.
        Fit no sleeve O-ring.
        Tighten no casing nuts.
        Remove neither the key nor the impeller.
        Remove none of the casing nuts.
        Fit neither guard half.
        Remove the key, but no nuts.
        Remove the key and none of the nuts.
        Remove nothing but the key.
        Remove nothing except the key.
        Open no drain.
        Close neither valve.
        Remove no other part.
        Loosen no nut with the puller.
        Apply no L-12 to the studs.
        Tighten the casing nuts to no more than {cover torque}.
        Remove hardly any nuts.
        ",
    );
    reads(
        PUMP,
        "
        Remove no casing nuts.
        => unsure (words no): nothing
        Remove nothing.
        => unsure (words nothing): nothing
        Under no circumstances remove the key.
        => still: nothing
        On no account, remove the key.
        => still: nothing
        Wait until no water runs out.
        => still: wait
        Confirm that there is no leak.
        => still: confirm
        ",
    );
}

/// A ban of which the verb is not known, or which holds another order, may order the very thing it seems to forbid.
#[test]
fn a_ban_is_only_what_it_plainly_forbids() {
    asks(
        PUMP,
        "
        Do not forget to refit the key.
        Do not forget the key.
        Do not omit to fit the sleeve O-ring.
        Do not omit the sleeve O-ring.
        Never fail to remove your locks before you start the pump.
        Do not fail to remove the key.
        Do not only loosen but remove the casing nuts.
        Do not just loosen the nuts, remove them.
        Do not merely loosen the nuts but take them off.
        Do not neglect to refit the key.
        Never neglect to close the volute drain.
        Do not hesitate to remove the key.
        Do not leave without removing your locks.
        Do not leave the key out.
        Do not frobnicate the key.
        Do not stop until the key is removed.
        Do not rest until you have removed the key.
        Do not skip the refitting of the key.
        Do not start the pump without first removing the locks.
        Do not start the pump unless the guard is fitted; fit it.
        Do not let the operator remove the key.
        Remember to remove the locks.
        Remember to refit the key.
        Do remember to refit the key.
        Get the locks removed.
        Get the key refitted.
        Get the key off.
        Ensure the locks are removed.
        Ensure that the locks are removed.
        Make sure the key is refitted.
        Make sure that you remove the key.
        Make sure to remove the key.
        See that the key is refitted.
        See to it that the key is removed.
        Have the locks removed.
        Have the key refitted by the second person.
        Take care to refit the key.
        Be sure to refit the key.
        Arrange for the key to be removed.
        Plan to remove the key.
        Go ahead and remove the key.
        Prepare to remove the key.
        Attempt to remove the key.
        Keep removing the nuts until all are off.
        ",
    );
    reads(
        PUMP,
        "
        Do not remove the key.
        => still: nothing
        Never loosen the gland nuts.
        => still: nothing
        Do not turn the shaft.
        => still: nothing
        Do not touch the shaft with L-12.
        => still: nothing
        Never stand in front of the pump.
        => still: nothing
        Do not remove the key or the impeller.
        => still: nothing
        Do not run the pump dry.
        => still: nothing
        Make sure that the motor isolator is locked.
        => still: confirm
        Confirm that the suction valve is closed.
        => still: confirm
        Check that the key is in its keyway.
        => still: look
        ",
    );
}

/// What is done later is not done now.
#[test]
fn what_is_put_off_is_not_done_on_the_spot() {
    asks(
        PUMP,
        "
        Fit both guard halves after the trial run.
        Fit both guard halves later.
        Fit both guard halves only after the trial run.
        Fit both guard halves once the pump has run.
        Fit both guard halves during the trial run.
        Fit both guard halves at the end of the job.
        Fit both guard halves last.
        Fit the key last of all.
        Fit the key afterwards.
        Fit the key subsequently.
        Fit the key finally.
        Remove the locks after the trial run.
        Remove your locks at the end of the shift.
        Close the volute drain when the pump is full.
        Close the volute drain once the pump is full.
        Close the volute drain after {soak time}.
        Tighten the nuts after the trial run.
        Tighten the nuts as soon as the pump is warm.
        Remove the key tomorrow.
        Remove the key next week.
        Remove the key at the next shutdown.
        Remove the key on the next shift.
        Remove the key in {soak time}.
        Remove the key soon.
        Remove the key when told.
        Remove the key when the supervisor says so.
        Remove the key upon completion of the trial run.
        Remove the key following the trial run.
        Remove the key at a later date.
        Remove the key at handover.
        Remove the key while the pump runs.
        Remove the key throughout the trial run.
        After the trial run, fit both guard halves.
        During the trial run, close the volute drain.
        Later, fit both guard halves.
        At the end of the job, fit both guard halves.
        When the pump has run, fit both guard halves.
        Once the pump has run, remove the locks.
        Only after the trial run fit both guard halves.
        ",
    );
    reads(
        PUMP,
        "
        When the flow stops, close the volute drain.
        => read: shut volute drain
        Run the pump until the bearing temperature is steady.
        => read: run pump
        Run the pump for {soak time}.
        => read: run pump
        IF the pump leaks, THEN stop the pump.
        => read: if halt pump
        ",
    );
}

/// What stands behind an order and takes some of it back.
#[test]
fn an_exception_behind_the_order_is_asked_about() {
    asks(
        PUMP,
        "
        Remove the casing nuts, but leave two on.
        Remove the casing nuts, but leave two.
        Remove the casing nuts but leave two in place.
        Remove the casing nuts and leave two in place.
        Remove the casing nuts; leave two on.
        Remove the casing nuts, keeping two in place.
        Remove all casing nuts, leaving two on.
        Remove the casing nuts until two are left.
        Remove the casing nuts until only two remain.
        Remove all but two casing nuts.
        Remove all casing nuts but two.
        Remove the casing nuts, less two.
        Remove the casing nuts bar two.
        Remove the casing nuts save two.
        Remove the casing nuts save for two.
        Remove the casing nuts apart from two.
        Remove the casing nuts other than the top two.
        Remove the casing nuts with the exception of two.
        Remove the casing nuts, not the studs' nuts.
        Remove the casing nuts, two excepted.
        Remove the casing nuts, retaining two.
        Remove the casing nuts, two remaining.
        Remove the casing nuts, two at most.
        Remove the casing nuts but not the top two.
        Remove the casing nuts, but keep one on.
        Remove the casing nuts and keep two on.
        Remove the casing nuts, though not all.
        Remove the casing nuts and so on.
        Remove the volute and so on.
        Remove the volute and so forth.
        Remove the volute etc.
        Remove the volute and the rest.
        Remove the volute and everything else.
        ",
    );
}

/// Words that say how much of it is done.
#[test]
fn words_of_degree_are_asked_about() {
    asks(
        PUMP,
        "
        Almost close the volute drain.
        Nearly close the volute drain.
        Close the volute drain almost.
        Close the volute drain partly.
        Partially open the volute drain.
        Half open the volute drain.
        Open the volute drain halfway.
        Open the volute drain slightly.
        Nearly tighten the casing nuts.
        Lightly tighten the casing nuts.
        Tighten the casing nuts lightly.
        Tighten the casing nuts loosely.
        Tighten the casing nuts slightly.
        Tighten the casing nuts a little.
        Tighten the casing nuts partway.
        Barely tighten the casing nuts.
        Tighten the casing nuts initially.
        Tighten the casing nuts provisionally.
        Temporarily fit the key.
        Fit the key temporarily.
        Fit the key loosely.
        Tighten the casing nuts to {cover torque} minus 20 N·m.
        Tighten the casing nuts to {cover torque} plus 20 N·m.
        Tighten the casing nuts to {cover torque} less 10 %.
        Tighten the casing nuts to {cover torque} and a quarter turn.
        Tighten the casing nuts to {cover torque} and a further quarter turn.
        Tighten the casing nuts to {cover torque}, then a quarter turn.
        Tighten the casing nuts to {cover torque}, then back off half a turn.
        Tighten the casing nuts to {cover torque} and then another 30 degrees.
        Tighten the casing nuts to half of {cover torque}.
        Tighten the casing nuts to about {cover torque}.
        Tighten the casing nuts to at least {cover torque}.
        Tighten the casing nuts to below {cover torque}.
        Tighten the casing nuts to {cover torque} or 20 N·m.
        Tighten the casing nuts to {cover torque} to 20 N·m.
        Tighten the casing nuts to twice {cover torque}.
        Tighten the casing nuts to less than {cover torque}.
        Tighten the casing nuts up to {cover torque}.
        Tighten the casing nuts 20 N·m.
        Tighten the casing nuts to 20 N·m below {cover torque}.
        Tighten the casing nuts with {cover torque} plus 20 N·m.
        ",
    );
    reads(
        PUMP,
        "
        Tighten the casing nuts evenly to {cover torque}.
        => read: tighten nut all to {cover torque}
        Open the volute drain slowly.
        => read: open volute drain
        Fully close the volute drain.
        => read: shut volute drain
        Close the volute drain completely.
        => read: shut volute drain
        Slacken the nuts a quarter turn each.
        => read: loosen nut all
        Tighten the casing nuts in a cross pattern, first to half, then to {cover torque}.
        => read: tighten nut all to {cover torque}
        ",
    );
}

/// Passes are shares of the torque that stands last: they rise, and are less than the whole.
#[test]
fn passes_of_a_tightening_are_read_or_asked_about() {
    reads(
        PUMP,
        "
        Tighten the casing nuts in a cross pattern, first to 30 %, then to 70 %, then to {cover torque}.
        => read: tighten nut all to 30 %; tighten nut all to 70 %; tighten nut all to {cover torque}
        Tighten the casing nuts crosswise to 30 %, then to 70 % and then to {cover torque}.
        => read: tighten nut all to 30 %; tighten nut all to 70 %; tighten nut all to {cover torque}
        Tighten the casing nuts first to 50 %, then to {cover torque}.
        => read: tighten nut all to 50 %; tighten nut all to {cover torque}
        Tighten the casing nuts first to 30% of {cover torque}, then to {cover torque}.
        => read: tighten nut all to 30 %; tighten nut all to {cover torque}
        Tighten the casing nuts first to 30 % of {cover torque}, then to 70%, then to {cover torque}.
        => read: tighten nut all to 30 %; tighten nut all to 70 %; tighten nut all to {cover torque}
        Tighten the casing nuts with the strap wrench, first to 20 %, then to 50 %, then to {cover torque}.
        => read: tighten nut all with ST-1 to 20 %; tighten nut all with ST-1 to 50 %; tighten nut all with ST-1 to {cover torque}
        Tighten the casing nuts to 30 percent, then to 70 percent, and finally to {cover torque}.
        => read: tighten nut all to 30 %; tighten nut all to 70 %; tighten nut all to {cover torque}
        ",
    );
    asks(
        PUMP,
        "
        Tighten the casing nuts first to 30 %, then to 110 %, then to {cover torque}.
        Tighten the casing nuts first to 70 %, then to 30 %, then to {cover torque}.
        Tighten the casing nuts first to 30 %, then to 30 %, then to {cover torque}.
        Tighten the casing nuts first to 0 %, then to {cover torque}.
        Tighten the casing nuts first to 100 %, then to {cover torque}.
        Tighten the casing nuts first to 30 %, then to 70 %, then to 90 %.
        Tighten the casing nuts first to 30 %, then to 70 %, then to 110 %.
        Tighten the casing nuts to 110 %.
        Tighten the casing nuts first to 30 % and 70 %, then to {cover torque}.
        Tighten the casing nuts to {cover torque}, then to 70 %.
        Tighten the casing nuts to {cover torque}, then to 110 %.
        Tighten the casing nuts first to 30 %, then to 20 N·m, then to {cover torque}.
        Tighten the casing nuts first to half, then to 70 %, then to {cover torque}.
        Tighten the casing nuts first to about 30 %, then to {cover torque}.
        Tighten the casing nuts first to 30.5 %, then to {cover torque}.
        Tighten the casing nuts to 30 %, then by a quarter turn, then to {cover torque}.
        Tighten the casing nuts first to 30 %, then to {cover torque} plus 10 %.
        Open the suction valve first to 30 %, then to 70 %, then to {cover torque}.
        ",
    );
}

/// `If necessary` inside a phrase says how, not whether.
#[test]
fn a_condition_of_a_phrase_is_none_of_the_order() {
    asks(
        PUMP,
        "
        Remove the casing nuts, using heat if necessary.
        Remove the casing nuts using heat, if necessary.
        Remove the volute, if necessary with a puller.
        Remove the volute, if necessary with PL-2.
        Remove the volute with PL-2 if necessary.
        Remove the volute with PL-2, if needed.
        Remove the volute, where necessary with PL-2.
        Remove the volute with a puller when required.
        Run the pump for {soak time}, if necessary with the discharge valve throttled.
        Remove the impeller nut by hand if possible.
        Remove the casing nuts, wearing gloves if hot.
        Tighten the casing nuts to {cover torque}, in two stages if stiff.
        ",
    );
    reads(
        PUMP,
        "
        Remove the key if it is worn.
        => read: if off key
        Remove the key, if fitted.
        => read: if off key
        Remove the nuts and, if it is damaged, discard the volute gasket.
        => read: off nut all; if discard volute gasket
        ",
    );
}

/// What another is told to do, or tries to do, may be done.
#[test]
fn what_another_is_told_to_move_is_asked_about() {
    asks(
        PUMP,
        "
        Tell the helper to start the pump.
        Ask the operator to run the pump for 5 min.
        Tell the operator to close the suction valve.
        Tell the second person to remove the key.
        Ask the operator for the key to be removed.
        Inform the operator that he must open the suction valve.
        Have the operator start the pump.
        Let the operator start the pump.
        Let your mate remove the key.
        Get the operator to start the pump.
        Get your mate to remove the key.
        Instruct the operator to start the pump.
        Request the operator to start the pump.
        Call the operator to start the pump.
        Try to remove the guard halves by hand.
        Try removing the guard halves.
        Try and remove the key.
        Try to open the volute drain.
        Try to close the suction valve.
        Try the key in its keyway.
        Try the key.
        Try the casing nuts with a spanner.
        Try fitting the key.
        Wait for the operator to start the pump.
        Wait until the operator has closed the suction valve.
        Wait while the operator removes the key.
        Leave the operator to remove the key.
        Allow the fitter to remove the key.
        Help the operator to remove the key.
        Watch the operator remove the key.
        ",
    );
    reads(
        PUMP,
        "
        Tell the supervisor.
        => still: tell
        Try to start the pump.
        => still: try
        Try to start the motor.
        => still: try
        Try the start button.
        => still: try
        Tell the operator that the pump is ready.
        => still: tell
        ",
    );
}

/// What somebody does meanwhile.
#[test]
fn what_somebody_moves_meanwhile_is_asked_about() {
    asks(
        PUMP,
        "
        Hold the volute while a helper removes the casing nuts.
        While a helper removes the casing nuts, hold the volute.
        Hold the volute as a helper removes the casing nuts.
        Hold the volute, a helper removing the casing nuts.
        Hold the volute with the helper removing the nuts.
        Watch the shaft while the operator opens the suction valve.
        Measure the gap after the operator closes the suction valve.
        Hold the shaft until the helper has fitted the key.
        Hold the shaft so that a helper can fit the key.
        Hold the shaft for the helper to fit the key.
        Hold the shaft and let the helper fit the key.
        Hold the shaft, and the helper fits the key to be renewed.
        Hold the volute while the nuts come off.
        Hold the volute while the nuts are being removed.
        Hold the volute while the impeller is drawn off.
        Hold the volute during the removal of the nuts.
        Listen while the mate starts the pump.
        Stand clear when the operator starts the pump.
        ",
    );
    reads(
        PUMP,
        "
        The helper holds the volute and removes the casing nuts.
        => read: hold volute; off nut all
        ",
    );
}

/// A button that does not say what it does.
#[test]
fn a_button_that_does_not_say_start_is_asked_about() {
    asks(
        PUMP,
        "
        Push the green button.
        Press the green button.
        Press the green button at the local station.
        Press the button.
        Press RESET.
        Press the red button.
        Push the black button.
        Press the local start switch twice.
        Try the green button.
        Hit START.
        Press the start key until the pump runs.
        ",
    );
    reads(
        PUMP,
        "
        Press START at the local station.
        => still: try
        Press the start button.
        => still: try
        ",
    );
}

/// A second set of sentences made to deceive, each about as plain as those the reader takes as certain.
#[test]
fn traps_of_a_second_look() {
    asks(
        PUMP,
        "
        Remove all the casing nuts, minus the top one.
        Remove every casing nut but one.
        Remove every second casing nut.
        Remove the casing nuts one less than all.
        Remove at most two casing nuts.
        Remove up to four casing nuts.
        Remove about half the casing nuts.
        Remove some of the casing nuts.
        Remove most of the casing nuts.
        Remove as many casing nuts as needed.
        Remove the casing nuts you need to.
        Remove enough casing nuts to free the volute.
        Remove only the top casing nut.
        Remove only two casing nuts.
        Remove the casing nuts on the left.
        Remove the casing nuts from the volute side.
        Remove the key or leave it in.
        Remove the key; if not worn, refit it.
        Remove the key, then refit it unless worn.
        Remove the key should it be worn.
        Remove the key assuming it is worn.
        Remove the key where it is worn.
        Remove the key as required.
        Remove the key as necessary.
        Remove the key as appropriate.
        Remove the key optionally.
        Optionally remove the key.
        You may remove the key.
        You can remove the key.
        There is no need to remove the key.
        It is not necessary to remove the key.
        Avoid removing the key.
        Refrain from removing the key.
        Stop removing the nuts.
        Instead of removing the key, clean it.
        Rather than remove the key, clean it.
        Remove the key instead of the impeller.
        Remove the impeller, not the key.
        Consider removing the key.
        Decide whether to remove the key.
        Remove the key virtually.
        Pretend to remove the key.
        Simulate removing the key.
        ",
    );
}

/// The same, of valves, locks and torques.
#[test]
fn traps_of_valves_locks_and_torques() {
    asks(
        PUMP,
        "
        Close the suction valve halfway.
        Close the suction valve by two turns.
        Open the suction valve two turns.
        Crack open the volute drain.
        Close the suction valve to 50 %.
        Open the volute drain a quarter turn.
        Open the volute drain for a moment.
        Open the volute drain briefly.
        Tighten the nuts and back them off.
        Fit the old volute gasket or a new one.
        Fit a used volute gasket.
        Run the pump backwards.
        Do run the pump.
        Do the nuts up.
        Ensure you have removed the key.
        Ensure removal of the key.
        Ensure the volute drain gets closed.
        Remove your lock, but not the tag.
        Leave your lock on V-7A and remove the others.
        Remove all locks except yours.
        Remove all locks but one.
        Remove the operator's lock.
        Lock V-7A or V-7B.
        Lock V-7A instead of V-7B.
        Lock V-7A, not V-7B.
        Close V-7A except on the standby pump.
        Tighten the nuts to {cover torque} dry, to {gland gap} oiled.
        Tighten the nuts to between 20 N·m and 30 N·m.
        Tighten the nuts from 20 N·m to 30 N·m.
        Tighten the nuts to 20-30 N·m.
        Tighten the nuts to 80 % of {cover torque}.
        Tighten the nuts to two thirds of {cover torque}.
        Tighten the nuts to not more than {cover torque}.
        Tighten the nuts to {cover torque} unless stretched.
        Tighten the nuts beyond {cover torque}.
        Tighten the nuts short of {cover torque}.
        Tighten the nuts towards {cover torque}.
        Tighten the nuts within {cover torque}.
        Tighten the nuts within 5 % of {cover torque}.
        Tighten the nuts past {cover torque}.
        Tighten the nuts by {cover torque}.
        Tighten the nuts at {cover torque}.
        Tighten every other nut to {cover torque}.
        Tighten alternate nuts to {cover torque}.
        ",
    );
    reads(
        PUMP,
        "
        Remove the key provided that it is worn.
        => read: if off key
        The key need not be removed.
        => still: nothing
        Without removing the key, clean the shaft and remove the impeller.
        => read: wipe shaft; off impeller
        Loosen, then tighten the nuts.
        => read: loosen nut all; tighten nut all
        Close and reopen the suction valve.
        => read: shut suction valve; open suction valve
        Tighten the sleeve nut to {cover torque} with {sleeve tool}.
        => read: tighten sleeve nut with {sleeve tool} to {cover torque}
        Close the volute drain and wait 10 min.
        => read: shut volute drain; wait 10 min
        ",
    );
}

/// A third set, by subject: passives, duties, asides and lists that hide a limit.
#[test]
fn traps_of_a_third_look() {
    asks(
        PUMP,
        "
        The casing nuts are to be removed later.
        The casing nuts must be removed after the trial run.
        The casing nuts must be removed last.
        The casing nuts must almost all be removed.
        The casing nuts must all be removed.
        The casing nuts must be removed, all but two.
        The casing nuts must not be forgotten.
        The key must not be left out.
        The key must not be left in.
        The key must be removed if necessary with PL-2.
        The operator starts the pump after handover.
        No nut must be removed.
        No nuts may be removed.
        None of the nuts must be removed.
        Neither the key nor the impeller must be removed.
        Nothing must be removed.
        Nobody removes the key.
        Nobody must remove the key.
        Remove the key (but not the impeller).
        Remove the key (later).
        Remove the key - not the impeller.
        Remove the key: not the impeller.
        Remove the key, impeller excepted.
        Remove everything except the key.
        Remove the key and not the impeller.
        Fit everything but the key.
        Fit the key; not the impeller.
        Fit the key and, later, the impeller.
        Fit the key now and the impeller later.
        Fit the key and the impeller later.
        Fit the key, the impeller last.
        Fit the key first and the impeller after the trial run.
        Loosen but do not remove all nuts but two.
        Never forget: remove the key.
        Not until the pump has stopped, remove the key.
        Only when told remove the key.
        Wherever possible, remove the key.
        Where possible, remove the key.
        As far as possible, close the volute drain.
        Close the volute drain as far as possible.
        Close the volute drain as far as it goes, then open it a quarter turn.
        So as to save time, do not remove the key but loosen it.
        Do not remove the key without removing the impeller.
        Do not remove the key unless you remove the impeller.
        Do not remove the impeller until you have removed the key.
        Do not start until you have removed the locks.
        Don't forget the locks.
        Don't forget to remove the locks.
        Don't leave your locks on.
        Don't leave the locks.
        Must not forget to remove the locks.
        Without fail, remove the locks at handover.
        Watch that the operator removes the locks.
        Check that the operator closes the drain.
        Confirm that the operator starts the pump.
        Confirm with the operator, who closes the suction valve.
        Check with the operator and have him close the suction valve.
        Record the time and let the operator start the pump.
        Wait for the operator to close the suction valve.
        Stand back and let the operator open V-7A.
        Signal the operator to start the pump.
        Give the operator the signal to start the pump.
        Radio the operator to start the pump.
        Remind the operator to remove his lock.
        Tell the operator that he can start the pump.
        Tell the operator, who then starts the pump.
        Ask for the pump to be started.
        Ask for the drain to be closed.
        Ask that the drain be closed.
        Report that the pump may be started.
        Agree with the operator to start the pump.
        Hold the key while you remove the impeller.
        Hold the key while removing the impeller.
        Hold the key, having removed the impeller.
        Clean the key once you have removed it.
        Clean the key after its removal.
        Clean the key after removal.
        Measure the gap with the key removed.
        Measure the gap with the drain open.
        Measure the gap before and after removing the key.
        Turn the shaft until the key falls out.
        Turn the shaft until the key comes off.
        Use PL-2 to remove the impeller.
        Use PL-2 for removing the impeller.
        Use PL-2 on the impeller.
        Use TW-1 to tighten the nuts to {cover torque}.
        ",
    );
}

/// What moves nothing takes its tool all the same, so that it is drawn.
#[test]
fn a_tool_is_taken_for_what_moves_nothing() {
    reads(
        "part bearing\ntool heater",
        "
        Heat the bearing with the heater.
        => still: use heater
        Heat the bearing.
        => still: nothing
    ",
    );
}
