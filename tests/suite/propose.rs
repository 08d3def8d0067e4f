//! What a procedure would add to the registers: invented machines, text in and text out; the example from an empty register.

use crate::binder::creamery;
use crate::reader::{step, vocabulary};
use matchmark::base::name::Name;
use matchmark::language::propose::{Proposal, Proposed, propose};
use matchmark::language::verb::Verbs;
use matchmark::model::family::{Family, Part};
use matchmark::model::load::load;
use matchmark::task::propose::of;
use matchmark::workspace::memory::Memory;
use std::fmt::Write as _;

/// Returns what steps, one a line, would add to registers that know `nouns`.
fn proposed(nouns: &str, text: &str) -> Proposed {
    let steps: Vec<_> = text.lines().map(str::trim).filter(|line| !line.is_empty()).map(step).collect();
    let numbered: Vec<_> = (1..).zip(&steps).collect();
    propose(&numbered, &vocabulary(nouns), &Verbs::new())
}

fn drawn_one(one: &Proposal) -> String {
    let mut line = format!("{:?} {}", one.field, one.name);
    if let Some(count) = one.count {
        let _ = write!(line, " x{count}");
    }
    if one.single_use {
        line.push_str(" single-use");
    }
    if !one.others.is_empty() {
        let _ = write!(line, " [{}]", one.others.join(", "));
    }
    if !one.question.is_empty() {
        let _ = write!(line, " ? {}", one.question);
    }
    line
}

fn drawn(nouns: &str, text: &str) -> String {
    proposed(nouns, text).proposals.iter().map(drawn_one).collect::<Vec<_>>().join("\n")
}

/// A machine that no register knows anything about. What the words do not say is asked, and what is only forbidden is left out.
#[test]
fn the_parts_of_an_unknown_machine_are_proposed() {
    let found = drawn(
        "machine mixer",
        "
        Remove the three lid clamps and the lid.
        Undo both hub screws. Take the hub off the spindle with a puller.
        Remove the lip ring. Discard it.
        Plug the feed pipe with two rubber bungs.
        Fit a new lip ring. Apply silicone grease to the spindle.
        Fit a blank plate. Open the bleed cock. Close the bleed cocks. Remove the blank plate.
        Slacken the belt pins with the hook spanner. Remove two paddle bolts. Fit the upper and lower scraper.
        Do not remove the sight glass. Open the vent on both sides. Lock the feed valve.
    ",
    );
    let wanted = "\
Part lid clamp x3
Part lid x1
Part hub screw x2 ? a part? its verb is used in more than one way
Part hub x1 ? a part? its verb is used in more than one way
Part lip ring x1 single-use
Part belt pin ? how many?
Part paddle bolt ? how many? 2, if these are all
Part upper x1 ? the whole name, or does it share the last word of its list?
Part lower scraper ? how many?
Opening bleed cock ? how many?
Opening vent ? how many?
Temporary blank plate x1 ? it is fitted first and taken off later: for the job only?
Tool puller ? which number has it in the crib?
Tool hook spanner ? which number has it in the crib?
Fluid silicone grease ? its name, zone and rubbers are not in the text
HeldBy lid [lid clamp] ? must these be off before it can come off?
Boundary feed valve ? which boundary is it?
Stays spindle ? a part that stays, or a noun that moves nothing?
Stays feed pipe ? a part that stays, or a noun that moves nothing?";
    assert_eq!(found, wanted);
}

#[test]
fn what_the_registers_hold_is_not_proposed_again() {
    let nouns = "machine mixer\npart lid clamp x3\npart lid";
    let found = drawn(nouns, "Remove the three lid clamps and the lid. Remove the cap.");
    assert_eq!(found, "Part cap x1\nHeldBy lid [lid clamp] ? must these be off before it can come off?");
}

/// What is sure of the parts of one procedure, as `name count`, with the register emptied.
fn sure_parts(document: &str, path: &str) -> (Vec<(String, Option<u32>, bool)>, Family) {
    let (memory, family) = emptied(path);
    let proposed = of(&memory, document, &[]).expect("the document is there");
    let [_, now, then] = proposed.sentences;
    assert!(then < now, "{document}: with what is proposed more can be read ({now} not read, then {then})");
    let parts = proposed.lines.into_iter().filter(|line| line.field == "parts" && line.sure);
    (parts.map(|line| (line.name, line.count, line.single_use)).collect(), family)
}

/// The register of the pumps, as far as the words of one procedure say it: typed from the text, without the register.
#[test]
fn the_register_of_the_pumps_begins_with_what_is_sure() {
    let (parts, _) = sure_parts("MP-PA-101", "families/PA.yaml");
    let wanted = [
        ("guard screw", 2, false),
        ("clamp bolt", 1, false),
        ("clamp ring", 1, false),
        ("casing", 1, false),
        ("casing O-ring", 1, true),
        ("impeller", 1, false),
        ("back plate", 1, false),
        ("impeller nut", 1, false),
        ("impeller-nut O-ring", 1, true),
        ("back-plate screw", 2, false),
        ("rotating seal assembly", 1, true),
        ("stationary seat", 1, true),
        ("seat O-ring", 1, true),
    ];
    let wanted: Vec<_> = wanted.into_iter().map(|(name, count, once)| (name.to_owned(), Some(count), once)).collect();
    assert_eq!(parts, wanted);
}

/// Whatever is proposed without a question stands in the register that was taken away, with that count where it types one.
#[test]
fn what_is_sure_contradicts_no_register() {
    let documents = [
        ("MP-PA-101", "families/PA.yaml", 13),
        ("MP-PX-210", "families/PX.yaml", 2),
        ("MP-AG-320", "families/AG.yaml", 7),
        ("MP-HG-430", "families/HG.yaml", 3),
    ];
    for (document, path, least) in documents {
        let (parts, family) = sure_parts(document, path);
        assert!(parts.len() >= least, "{document}: {parts:?}");
        for (name, count, once) in parts {
            let own = Name::new(&name);
            let is = |part: &&Part| part.name.value == own || part.also.iter().any(|also| also.value == own);
            let part = family.parts.iter().find(is).unwrap_or_else(|| panic!("{document}: no part `{name}`"));
            let typed: Option<u32> = part.count.value.trim().parse().ok();
            assert!(typed.is_none() || typed == count, "{document}: {name} is {typed:?}, proposed {count:?}");
            assert!(!once || part.single_use, "{document}: {name} is used again");
        }
    }
}

/// Returns the example binder with the parts, openings and temporary items of one family taken out, and the family as it was.
fn emptied(path: &str) -> (Memory, Family) {
    let mut memory = creamery();
    let (binder, _) = load(&memory).expect("it is a binder");
    let family = binder.families.iter().find(|family| binder.texts.get(family.file).path().to_string() == path);
    let family = family.expect("it is there").clone();
    let text = String::from_utf8(memory.get(path).expect(path).to_vec()).expect("UTF-8");
    let mut kept = String::new();
    let mut is_out = false;
    for line in text.lines() {
        if !line.starts_with([' ', '#']) && !line.is_empty() {
            is_out = ["parts:", "openings:", "temporary:", "moves-nothing:"].iter().any(|key| line.starts_with(key));
            if line.starts_with("parts:") {
                // A family has at least one part.
                kept.push_str("parts: [{part: name plate screw, count: 4}]\n");
            }
        }
        if !is_out {
            kept.push_str(line);
            kept.push('\n');
        }
    }
    memory.put(path, kept);
    (memory, family)
}
