//! What a procedure would add to the registers: invented machines, text in and text out; the example from an empty register.

use crate::binder::creamery;
use crate::reader::{step, vocabulary};
use matchmark::language::propose::{Proposal, Proposed, propose};
use matchmark::language::verb::Verbs;
use matchmark::model::family::Family;
use matchmark::model::load::load;
use matchmark::task::propose::of;
use matchmark::task::snippet::snippet;
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

#[test]
fn look() {
    println!(
        "{}",
        drawn(
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
    "
        )
    );
    for (document, path) in [
        ("MP-PA-101", "families/PA.yaml"),
        ("MP-PX-210", "families/PX.yaml"),
        ("MP-AG-320", "families/AG.yaml"),
        ("MP-HG-430", "families/HG.yaml"),
    ] {
        let (memory, _) = emptied(path);
        let lines = of(&memory, document, &[]).unwrap();
        println!("{:?}\n{}", lines.sentences, snippet(&lines.lines));
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
