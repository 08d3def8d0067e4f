//! Sentences and the rules of wording on whole procedures: places, what stays silent, what is listed as not checked.

use crate::binder::{creamery, drawn, edit, judged};
use matchmark::analysis::wording;
use matchmark::language::sentence::TokenKind;
use std::collections::BTreeMap;

const SEAL: &str = "seals/MP-PA-101.md";

/// Braces that order something are taken out of a line, values are named in it; every token keeps its place.
#[test]
fn every_token_of_a_procedure_stands_where_it_was_written() {
    let mut world = creamery();
    edit(&mut world, SEAL, "Fit the impeller.\n", "{as turn} Fit **it** at 5 N·m {gap}. {see turn} Ünd so.\n");
    let judged = judged(&world);
    let mut tokens = 0;
    for procedure in &judged.binder.procedures {
        let writing = wording::of(&judged.binder, procedure);
        for token in writing.sayings.iter().flat_map(|saying| &saying.sentence.tokens) {
            let written = judged.binder.texts.slice(token.span);
            match &token.kind {
                TokenKind::Word(text) | TokenKind::Number(text) => assert_eq!(written, text),
                TokenKind::Mark(mark) => assert_eq!(written, mark.to_string()),
                TokenKind::Value(name) | TokenKind::See(name) => assert!(written.contains(name.as_str()), "{written}"),
            }
            tokens += 1;
        }
    }
    assert!(tokens > 1_000, "{tokens}");
}

/// The rules of wording give nothing above a note on the example, and few notes on the two texts in controlled words.
#[test]
fn the_example_has_three_notes_of_wording() {
    let text = drawn(&judged(&creamery()));
    let words = |line: &&str| WORDING.contains(&line.split(['[', ']']).nth(1).unwrap_or_default());
    assert!(text.lines().filter(words).all(|line| line.starts_with("note")), "{text}");
    let clean = |line: &&str| line.contains(" plates/") || line.contains(" seals/");
    let style: Vec<&str> = text.lines().filter(words).filter(clean).collect();
    let wanted = ["note[semicolon] plates/", "note[no-verb-first] plates/", "note[semicolon] seals/"];
    assert_eq!(style.len(), wanted.len(), "{text}");
    for (line, wanted) in style.iter().zip(wanted) {
        assert!(line.starts_with(wanted), "{text}");
    }
}

/// Sentences of a hundred clean steps of other machines than those of the example. None may give more than a note of style,
/// and none a note but those that are listed.
const CLEAN: &str = "
Isolate the conveyor at the main switch.
Lock the switch with your own lock.
Try to start the conveyor from both stations.
Drain the air receiver until the gauge shows 0 bar.
Hang the tag on the lock.
Remove the eight cover bolts.
Lift the cover off with two persons.
Put the cover on the wooden blocks.
Slacken the belt with the tensioning screw.
Slide the belt off the two pulleys.
Check the pulleys for cracks.
IF a pulley is cracked, THEN stop and tell the supervisor.
Clean the pulleys with a dry cloth.
Measure the groove with the gauge at three places.
Accept: 0.2 mm or less at each place.
Fit the new belt with the arrow in the running direction.
Tension the belt to 45 Hz with the frequency meter.
Turn the belt by hand three full turns.
Measure the tension again and record it.
Close the drain of the receiver.
Fit the cover with the eight bolts.
Tighten the eight bolts in a star pattern to 12 N·m.
Count the tools.
Remove your lock.
Run the conveyor for 10 minutes without load.
Listen for a scraping noise.
Open the manual shut-off valve by one quarter turn.
Close the 3/2 valve.
Set the timer to 5 min.
Wait at least 5 minutes.
Wait until the oil is between 40 and 50 °C.
Fill 2.5 L of oil through the sieve.
Read the level on the sight glass.
The level must stand between the two marks.
Use a 10 mm hex key with an M12 × 40 screw.
Fit the 20 × 30 × 7 shaft seal with the lip to the oil.
Fit the plate of 100 × 50 mm under the foot.
Press the bearing onto the shaft until it touches the shoulder.
Heat the bearing to 90 to 110 °C in the oven.
Do not heat it with a flame.
Never hit the outer ring.
Hold the shaft with the pin and turn the nut.
Turn the nut clockwise to loosen it: the thread is left-hand.
Loosen the bolts in the reverse order of the numbers.
Tighten bolts 1 to 8 in the order of the numbers.
Compare the number on the filter with the kit list.
Record the date as 2027-03-14.
Write the date as 3 Apr 2027.
Keep the hose below the level of the tank.
Take a sample of 100 mL from the drain.
Let the foam settle for 2 min.
Adjust the pH to 7.0 to 7.4 with the acid pump.
Stop when the pH is in the range.
Confirm that fewer than 3 drips fall in 1 min.
Set the relief valve to 6.0 bar with the test pump.
Seal the valve with lead and wire.
Weigh the cylinder: 12.5 kg or more.
Apply one drop of the threadlocker to each screw.
Wipe off what runs out.
Push the plug in until it clicks.
Switch the control cabinet on.
Wait until the display shows READY.
Press RESET for 3 s.
Confirm that no fault is shown.
Compare the speed with the plate: 1450 rpm.
Measure the current on each of the three phases.
Accept: 8.2 A or less.
IF one phase differs from the others by more than 0.5 A, THEN stop.
Test the emergency stop at each of the four stations.
Tell the operator that the machine is free.
Sign the permit.
Hang the guard on its two hooks.
Close both catches.
Pull at the guard with one hand: it must not move.
Mark the old position of the sensor with the marker.
Set the gap between sensor and cam to 1.5 to 2.0 mm.
Tighten the lock nut to 8 N·m.
Turn the cam one full turn by hand.
Confirm that the lamp of the sensor lights once in each turn.
Grease the two nipples with 5 strokes each.
Stop earlier if grease comes out at the seal.
Mop up oil at once.
Put the old filter into the red drum.
Write the hours of the counter on the new filter.
Raise the platform by 0.5 m.
Pin it with the two safety pins.
Work only under the pinned platform.
Fit the cotter pin and bend both legs.
Screw the glass in by hand until it seals, then turn it by one eighth of a turn.
Open the bleed screw half a turn.
Close it when no bubbles come out.
Pour the rest back into its can.
Check that the level is above the lower mark.
Take the reading from the middle of the scale.
Count the turns.
Turn it back by the same number of turns.
Note the value of the display in the log.
Leave the door open by a hand's width.
Ask the shift lead to release the line.
Hand the machine over to the operator.
";

#[test]
fn clean_steps_stay_silent() {
    let steps: Vec<&str> = CLEAN.lines().filter(|line| !line.is_empty()).collect();
    assert_eq!(steps.len(), 100);
    let mut world = creamery();
    let written = format!("18. {}\n", steps.join("\n18. "));
    edit(&mut world, SEAL, "18. Remove the impeller.\n", &written);
    let text = drawn(&judged(&world));
    let own = |line: &&str| {
        let rule = line.split(['[', ']']).nth(1).unwrap_or_default();
        WORDING.contains(&rule) && line.contains(SEAL)
    };
    let told: Vec<&str> = text.lines().filter(own).collect();
    let loud: Vec<&&str> = told.iter().filter(|line| !line.starts_with("note")).collect();
    assert!(loud.is_empty(), "{loud:#?}");
    // These six say what they say: two instructions, no verb, a condition behind its action.
    let notes: BTreeMap<&str, usize> = told.iter().fold(BTreeMap::new(), |mut notes, line| {
        *notes.entry(line.split(['[', ']']).nth(1).unwrap_or_default()).or_default() += 1;
        notes
    });
    let wanted = [("condition-after-action", 2), ("no-verb-first", 1), ("semicolon", 1), ("two-instructions", 3)];
    assert_eq!(notes, BTreeMap::from(wanted), "{told:#?}");
}

/// The rules that judge words.
const WORDING: [&str; 24] = [
    "abrasive-on-product-side",
    "order-outside-a-step",
    "action-in-a-caution",
    "ambiguous-date",
    "arithmetic-left-to-reader",
    "condition-after-action",
    "decimal-comma",
    "hard-to-read",
    "limit-rounded-outward",
    "limit-without-unit",
    "long-sentence",
    "naked-point",
    "no-verb-first",
    "plus-minus-limit",
    "repeat-steps",
    "reverse-order",
    "semicolon",
    "two-instructions",
    "typed-step-number",
    "unclear-condition",
    "unit-mix",
    "vague-limit",
    "value-elsewhere",
    "value-over-option",
];
