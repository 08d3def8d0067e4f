//! Jobs executed on paper: what the rules of state and order find, with the sentences read by hand.
//!
//! What a sentence does is written here beside it, so that these tests judge the executed job and not the reader.

use crate::binder::{creamery, edit};
use matchmark::base::finding::{Finding, sorted};
use matchmark::base::name::Tag;
use matchmark::language::action::parse_line;
use matchmark::language::noun::Vocabulary;
use matchmark::language::reading::{Class, Doubt, Obstacle, SentenceRead};
use matchmark::language::sentence;
use matchmark::model::load::load;
use matchmark::model::procedure::Step;
use matchmark::rules;
use matchmark::workspace::memory::Memory;

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";
const NINE: &str = "P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133";

/// What the sentences of the example do, as a person reads them: `sentence => actions`. Behind `? THING, THING` stands what a
/// sentence might touch that is not sure.
const READ: &str = "
Compare the tag plate with this packet. => look
Record the tag. => record
Record the permit number and the isolation sheet number. => record
Collect the kit. => nothing
Compare each tool ID with the kit list. => look
Close and lock each product and cleaning valve on the isolation sheet. => lock product valve all; lock cleaning valve all
Switch off and lock the motor isolator. => lock motor isolator
Press START at the local station. => try
Confirm that the motor does not turn. => confirm
Open the casing drain. => open casing drain
Wait until the flow stops. => wait
Measure the casing temperature. => measure casing temperature
Record it. => record
Remove the two guard screws and both guard halves. => off guard screw x2; off guard half x2
Mark the casing and the adaptor with one line across the joint. => mark casing; mark adaptor
Record the port orientation. => record
Remove the clamp bolt and the clamp ring. => off clamp bolt; off clamp ring
Remove the casing nuts. => off casing nut all
Remove the casing. => off casing
Remove the casing O-ring. => off casing O-ring
Discard it. => discard casing O-ring
Measure the gap between the impeller and the back plate. => measure gap
Hold the impeller with the strap wrench. => hold impeller with ST-1
Remove the impeller nut. => off impeller nut
Remove the impeller-nut O-ring. => off impeller-nut O-ring
Remove the impeller. => off impeller
Remove the key. => off key
Remove the two back-plate screws and the back plate. => off back-plate screw x2; off back plate
Remove the rotating seal assembly. => off rotating seal assembly
Remove the stationary seat and the seat O-ring. => off stationary seat; off seat O-ring
Discard both. => discard stationary seat; discard seat O-ring
Wipe the shaft and the back-plate bore with L-07. => wipe shaft with L-07
Measure the shaft diameter where the seal runs. => measure shaft diameter
Draw a fingernail along the shaft. => look shaft
IF it catches on a score, THEN stop. => if stop
Tell the supervisor. => tell
Compare the number of the new rotating seal assembly with the kit list. => look
Confirm that its rubber is {rubber}. => confirm
Record the batch. => record
Wet the new seat O-ring with {assembly fluid}. => apply {assembly fluid} to seat O-ring
Fit it with the new stationary seat. => new seat O-ring; new stationary seat
Press them in by hand with {seal sleeve}. => use {seal sleeve}
Fit the new rotating seal assembly. => new rotating seal assembly
Set the working length to {working length}. => set working length to {working length}
Measure it. => measure
Fit the back plate. => on back plate
Apply L-03 to the two back-plate screws. => apply L-03 to back-plate screw
Tighten them to {back-plate torque}. => tighten back-plate screw x2 to {back-plate torque}
Fit the key. => on key
Fit the impeller. => on impeller
Wet the new impeller-nut O-ring with {assembly fluid}. => apply {assembly fluid} to impeller-nut O-ring
Fit the impeller nut. => on impeller nut
Tighten the impeller nut to {impeller-nut torque}. => tighten impeller nut to {impeller-nut torque}
Measure the gap at the same place as in {see gap found}. => measure gap
Turn the shaft by hand one full turn. => turn shaft
Confirm that nothing rubs. => confirm
Wet the new casing O-ring with {assembly fluid}. => apply {assembly fluid} to casing O-ring
Wet the casing O-ring with {assembly fluid}. => apply {assembly fluid} to casing O-ring
Fit the casing with the two halves of the paint line together. => on casing
Confirm that the port points to the {port}. => confirm
Fit the clamp ring. => on clamp ring
Apply L-03 to the clamp bolt. => apply L-03 to clamp bolt
Tighten it to {closure torque}. => tighten clamp bolt to {closure torque}
Apply L-03 to the studs. => apply L-03 to casing stud all
Tighten the casing nuts in a cross pattern, first to half, then to {closure torque}. => tighten casing nut all to half; tighten casing nut all to {closure torque}
Tighten the casing nuts in a cross pattern to half. => tighten casing nut all to half
Close the casing drain. => shut casing drain
Fit both guard halves. => on guard half x2
Fit one guard half. => on guard half
Tighten the two guard screws to {guard torque}. => tighten guard screw x2 to {guard torque}
Count the tools and the parts against the kit list. => look
Account for every removed and discarded part. => look
Remove your locks. => unlock all
Fill the pump with water to {leak-test pressure} on PG-1. => fill pump with PG-1 to {leak-test pressure}
Record the start time. => record
Wait {leak-test time}. => wait {leak-test time}
Confirm that nothing drips. => confirm
Run the pump for {trial-run time}. => run pump
Confirm that the shaft turns with the arrow. => confirm
Confirm that nothing knocks and nothing drips. => confirm
Hand the pump over for the cleaning cycle. => nothing
Quality signs after the cycle. => nothing
Replace the casing O-ring if worn. => ? casing O-ring
Count the plates. => look
Record the count. => record
IF the count is not {plates}, THEN stop. => if stop
Stop both sides. => halt
Close and lock each valve on the isolation sheet. => lock valve all
Close the cold side last. => shut cold side
Open the vent and the drain on both sides. => open vent x2; open drain x2
Confirm 0 bar on both gauges. => confirm
Wait until the plate pack is {safe temperature} or less. => wait
Measure the temperature. => measure
Remove the four shroud screws and the drip shroud. => off shroud screw x4; off drip shroud
Clean the threads of the tie bolts. => wipe tie bolt
Apply L-03 to the threads and the nut faces. => apply L-03
Measure dimension A at the four corners. => measure dimension A
Compare each reading with the limits: A-max is {A-max}, A-min is {A-min}. => look
IF any reading is less than {A-min}, THEN stop. => if stop
Do not tighten. => nothing
Confirm that the four readings agree within {parallel limit}. => confirm
Record the difference. => record
Set the torque wrench to {tie bolt limit}. => set torque wrench to {tie bolt limit}
Tighten opposite tie bolts in the printed number sequence, one quarter turn each. => tighten tie bolt all
After each full sequence, measure dimension A at the four corners. => measure dimension A
Record the shortest corner. => record
Stop when all four readings are at or below {target A} and at or above {A-min}. => if stop
IF the torque wrench clicks before the target length is reached, THEN stop. => if stop
The limit is not a target. => nothing
Measure dimension A at the same four corners as in {see first A}. => measure dimension A
The second person measures dimension A at two opposite corners and signs. => measure dimension A
Fit the drip shroud. => on drip shroud
Tighten the four shroud screws to {shroud torque}. => tighten shroud screw x4 to {shroud torque}
Close the vents and the drains that you opened in {see drain}. => shut vent all; shut drain all
Fill the cold side first. => fill cold side
Fill the cold side. => fill cold side
Raise the pressure in steps of {pressure step} to {working pressure}. => nothing
Wait {leak-check time}. => wait {leak-check time}
Fill the hot side first. => fill hot side
Fill the hot side. => fill hot side
Count the tools. => look
Record any gasket that drips, by plate number from the fixed end. => record
Hand the exchanger over for the cleaning cycle. => nothing
Quality signs after the cycle and the leak check between the sides. => nothing
";

/// Pronouns the table gives no meaning, with the word before them in their step.
fn pronoun(sentences: &[sentence::Sentence], at: usize) -> Option<&'static str> {
    let before = &sentences.get(at.checked_sub(1)?)?.text;
    let rings = ["impeller-nut O-ring", "casing O-ring", "seat O-ring", "rotating seal assembly"];
    let ring = rings.into_iter().find(|ring| before.contains(ring))?;
    Some(match sentences[at].text.as_str() {
        "Discard it." if ring == "impeller-nut O-ring" => "discard impeller-nut O-ring",
        "Discard it." if ring == "rotating seal assembly" => "discard rotating seal assembly",
        "Fit it." if before.contains("new") && ring == "impeller-nut O-ring" => "new impeller-nut O-ring",
        "Fit it." if before.contains("new") => "new casing O-ring",
        "Fit it." => "on casing O-ring",
        _ => return None,
    })
}

fn read(step: &Step, _: &Vocabulary) -> Vec<SentenceRead> {
    let sentences = sentence::of_step(step);
    let mut out = Vec::new();
    for (at, sentence) in sentences.iter().enumerate() {
        let known = READ.lines().filter_map(|line| line.split_once(" => ")).find(|(text, _)| *text == sentence.text);
        let line = pronoun(&sentences, at).or(known.map(|(_, line)| line));
        let open = |line: &str| line.split(", ").map(str::to_owned).collect::<Vec<_>>();
        let (class, actions, touches) = match line {
            Some(line) if line.starts_with("? ") => {
                (Class::Uncertain(vec![Doubt::Verb("replace".to_owned())]), Vec::new(), open(&line[2..]))
            }
            Some(line) => (Class::Read, parse_line(line).expect("the table is typed by hand"), Vec::new()),
            None => (Class::NotRead(Obstacle::NoVerb), Vec::new(), Vec::new()),
        };
        out.push(SentenceRead {
            key: format!("{at}"),
            sentence: sentence.clone(),
            class,
            actions,
            touches,
            missing_tools: Vec::new(),
            mentions: Vec::new(),
        });
    }
    out
}

/// Executes every job and draws what is found: `severity[rule] line: message (tags)`, with the file's own line number.
fn found(memory: &Memory) -> Vec<String> {
    let (binder, _) = load(memory).expect("it is a binder");
    let line = |finding: &Finding| {
        let place = finding.span.map_or(0, |span| binder.texts.locate(span).1.line);
        let tags: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        format!("{}[{}] {place}: {} ({})", finding.severity.word(), finding.rule.0, finding.message, tags.join(" "))
    };
    sorted(rules::run(&binder, &read)).iter().map(line).collect()
}

/// Applies edits to one file of the example and returns what is found, without line numbers.
fn after(path: &str, edits: &[(&str, &str)]) -> Vec<String> {
    let mut world = creamery();
    for (from, to) in edits {
        edit(&mut world, path, from, to);
    }
    let without = |line: String| {
        let (head, rest) = line.split_once(' ').expect("a place");
        format!("{head} {}", rest.split_once(": ").expect("a message").1)
    };
    found(&world).into_iter().map(without).collect()
}

#[test]
fn the_clean_texts_give_no_finding() {
    assert_eq!(found(&creamery()), Vec::<String>::new());
}
