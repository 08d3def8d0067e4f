//! Mistakes that nothing would show: what is on the list, and what takes it off.

use crate::binder::{creamery, edit, judged};
use matchmark::analysis::deviation::Consequence;
use matchmark::base::finding::{Finding, Severity};
use matchmark::rules::{self, Found};
use matchmark::task::check::Judged;
use matchmark::task::unguarded::{Fails, Line, Unguarded, UnguardedError, unguarded};
use matchmark::workspace::memory::Memory;
use std::collections::BTreeSet;

const SEAL: &str = "seals/MP-PA-101.md";
const SIZES_2_TO_4: &str = "P-110 P-111 P-113 P-120 P-121 P-130 P-133";
const ALL: [(&str, &str); 4] = [
    ("MP-PA-101", SEAL),
    ("MP-PX-210", "plates/MP-PX-210.md"),
    ("MP-AG-320", "agitators/MP-AG-320.md"),
    ("MP-HG-430", "homogenisers/MP-HG-430.md"),
];

fn asked(memory: &Memory, document: &str, tags: &[&str]) -> Unguarded {
    let tags: Vec<String> = tags.iter().map(|tag| (*tag).to_owned()).collect();
    unguarded(memory, &[document.to_owned()], &tags).expect("it is a binder")
}

/// Returns the example with one procedure alone, which makes a test several times as fast.
fn only(document: &str) -> Memory {
    let mut memory = creamery();
    for (_, path) in ALL.iter().filter(|(own, _)| *own != document) {
        memory.take(path);
        memory.take(&path.replace(".md", ".actions"));
    }
    memory
}

fn tags(line: &Line) -> String {
    let tags: BTreeSet<&str> = line.steps.iter().flat_map(|own| &own.tags).map(String::as_str).collect();
    tags.into_iter().collect::<Vec<_>>().join(" ")
}

/// Draws lines as `SENTENCE | DONE (TAGS)`, without numbers of steps, which an edit moves.
fn drawn(found: &Unguarded) -> BTreeSet<String> {
    found.lines.iter().map(|line| format!("{} | {} ({})", line.sentence, line.done, tags(line))).collect()
}

#[test]
fn the_four_procedures_are_tried_whole() {
    let found = unguarded(&creamery(), &[], &[]).expect("it is a binder");
    assert_eq!(found.without, []);
    assert!(found.tried > 3000, "{}", found.tried);
    let weights: Vec<(Consequence, Fails)> = found.lines.iter().map(|line| (line.consequence, line.fails)).collect();
    assert!(weights.is_sorted(), "worst first");
    let again = unguarded(&creamery(), &[], &[]).expect("it is a binder");
    assert_eq!(found.lines, again.lines);
}

#[test]
fn a_measurement_that_detects_a_fault_takes_its_step_off_the_list() {
    let mut memory = only("MP-PA-101");
    let before = drawn(&asked(&memory, "MP-PA-101", &[]));
    edit(
        &mut memory,
        SEAL,
        "  - {reading: leak-test start, kind: time}\n",
        "  - reading: nut torque\n    limit: \"{closure torque} or more\"\n    outside: \"Tell the supervisor.\"\n  - {reading: leak-test start, kind: time}\n",
    );
    edit(
        &mut memory,
        SEAL,
        "41. Close the casing drain.",
        "41. Measure the torque of the casing nuts. Record it. {record nut torque} {only size 2 to 4}\n42. Close the casing drain.",
    );
    let found = asked(&memory, "MP-PA-101", &[]);
    assert_eq!(found.without, []);
    let after = drawn(&found);
    let gone: Vec<&String> = before.difference(&after).collect();
    assert!(!gone.is_empty());
    // Nothing leaves the list but what is done to the casing nuts.
    let sentence = "Tighten the casing nuts in a cross pattern, first to half, then to {closure torque}.";
    assert!(gone.iter().all(|line| line.starts_with(sentence)), "{gone:#?}");
    assert!(!after.iter().any(|line| line.starts_with(sentence)), "{after:#?}");
    let skipped = format!("{sentence} | left out: tighten casing nut all to {{closure torque}} ({SIZES_2_TO_4})");
    assert!(gone.contains(&&skipped), "{gone:#?}");
    let added: Vec<&String> = after.difference(&before).collect();
    assert!(added.iter().all(|line| line.starts_with("Measure the torque of the casing nuts")), "{added:#?}");
}

#[test]
fn a_key_is_missed_only_where_the_parts_are_counted() {
    let mut memory = only("MP-PA-101");
    let key = |memory: &Memory| {
        let found = asked(memory, "MP-PA-101", &[]);
        found.lines.into_iter().find(|line| line.sentence == "Fit the key." && line.done == "left out: on key")
    };
    assert_eq!(key(&memory), None);
    edit(
        &mut memory,
        SEAL,
        "Count the tools and the parts against the kit list. Account for every removed and discarded part.",
        "Count the tools against the kit list.",
    );
    let line = key(&memory).expect("nothing shows it now");
    // The pumps of size 1 have no key.
    assert_eq!(tags(&line), SIZES_2_TO_4);
    assert_eq!((line.consequence, line.fails), (Consequence::Product, Fails::Hand));
    assert_eq!(line.rules, ["left-off"]);
    assert_eq!(line.guard, "let the count at step 40 name the key");
}

#[test]
fn energy_must_be_seen_before_the_first_part_comes_off() {
    let mut memory = only("MP-PA-101");
    let drain = |memory: &Memory| {
        let found = asked(memory, "MP-PA-101", &["P-121"]);
        let mut lines = found.lines.into_iter();
        lines.find(|line| line.done == "left out: open casing drain").map(|line| (line.consequence, line.guard))
    };
    let guard = "let step 8 also confirm that the casing drain is open".to_owned();
    assert_eq!(drain(&memory), Some((Consequence::Energy, guard.clone())));
    // `Close the casing drain` shows late that nobody opened it; so would a check after the strip.
    edit(&mut memory, SEAL, "23. Wipe the shaft", "23. Confirm that the casing drain is open. Wipe the shaft");
    assert_eq!(drain(&memory), Some((Consequence::Energy, guard)));
    edit(
        &mut memory,
        SEAL,
        "8. Measure the casing temp",
        "8. Confirm that the casing drain is open. Measure the casing temp",
    );
    assert_eq!(drain(&memory), None);
}

/// Returns a hold point's name and what it is asked to verify, of a line whose guard proposes that.
fn proposed(line: &Line) -> Option<(&str, Vec<&str>)> {
    let (hold, rest) = line.guard.strip_prefix("let hold ")?.split_once(" at step ")?;
    let (_, asked) = rest.split_once("also verify ").expect("it says what");
    let is_open = asked.contains("what this sentence") || asked.contains("what it is set to");
    (!is_open).then(|| (hold, asked.split("; also verify ").collect()))
}

/// Every hold point that is proposed is tried: with these words in it, the line leaves the list.
#[test]
fn each_hold_point_that_is_proposed_guards() {
    let mut tried = 0;
    for ((document, path), tag) in ALL.into_iter().zip(["P-121", "X-203", "A-303", "H-403"]) {
        let clean = only(document);
        let before = asked(&clean, document, &[tag]);
        let wanted: Vec<&Line> = before.lines.iter().filter(|line| proposed(line).is_some()).collect();
        // A hold point takes no more than a few words, so a few lines are tried at a time.
        for some in wanted.chunks(4) {
            let mut memory = clean.clone();
            for (hold, words) in some.iter().filter_map(|line| proposed(line)) {
                let text = String::from_utf8(memory.get(path).expect(path).to_vec()).expect("UTF-8");
                let at = text.find(&format!("  - hold: {hold}\n")).expect("it is declared");
                let line = text[at..].lines().find(|line| line.starts_with("    verify: ")).expect("it has one");
                let old = line.trim_start_matches("    verify: ").trim_matches('"').trim_end_matches('.');
                edit(&mut memory, path, line, &format!("    verify: \"{old}; {}.\"", words.join(", ")));
            }
            let after = asked(&memory, document, &[tag]);
            assert_eq!(after.without, [], "{document}");
            let is_left = |line: &&&Line| {
                after.lines.iter().any(|own| (&own.sentence, &own.done) == (&line.sentence, &line.done))
            };
            let left: Vec<&&Line> = some.iter().filter(is_left).collect();
            assert!(left.is_empty(), "{document}: {left:#?}");
            tried += some.len();
        }
    }
    assert!(tried > 15, "{tried}");
}

/// Returns the rules of the executed job that say something a reader must act upon.
fn of_runs(judged: &Judged) -> BTreeSet<(&'static str, String)> {
    let is_of_run = |finding: &&Finding| {
        let rule = rules::find(finding.rule.0).expect("it is listed");
        finding.severity != Severity::Note && matches!(rule.found, Found::Run(_))
    };
    judged.findings.iter().filter(is_of_run).map(|own| (own.rule.0, own.message.clone())).collect()
}

/// The rules are asked of the executed job. Here they are asked of the text: a sentence is taken out of the file, and what the
/// check then says is held against what the line says of the paper.
#[test]
fn what_is_said_of_the_paper_is_what_a_check_of_the_paper_says() {
    let clean = only("MP-PA-101");
    let found = asked(&clean, "MP-PA-101", &[]);
    let before = of_runs(&judged(&clean));
    let text = String::from_utf8(clean.get(SEAL).expect("it is there").to_vec()).expect("UTF-8");
    let mut compared = 0;
    for line in &found.lines {
        // A sentence that stands once and does nothing else, and that the next does not lean on (`Tighten it`).
        let is_alone = line.done.starts_with("left out: ") && !line.done.contains(';');
        if !is_alone || text.matches(&line.sentence).count() != 1 {
            continue;
        }
        let mut memory = clean.clone();
        let (before_it, after_it) = text.split_once(&line.sentence).expect("it stands once");
        let next = after_it.split('.').next().unwrap_or_default();
        if next.split(' ').any(|word| matches!(word, "it" | "them" | "It")) {
            continue;
        }
        memory.put(SEAL, format!("{before_it}{after_it}"));
        let after = of_runs(&judged(&memory));
        if after.iter().any(|(rule, _)| matches!(*rule, "cannot-prove" | "not-accepted")) {
            continue;
        }
        let new: BTreeSet<&str> = after.difference(&before).map(|(rule, _)| *rule).collect();
        let said: BTreeSet<&str> = line.rules.iter().map(String::as_str).collect();
        assert_eq!(new, said, "{}", line.sentence);
        compared += 1;
    }
    assert!(compared >= 5, "{compared}");
}

#[test]
fn what_cannot_be_asked_is_refused() {
    let known = |documents: &[&str], tags: &[&str]| {
        let own = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
        unguarded(&creamery(), &own(documents), &own(tags)).map(|found| found.lines.len())
    };
    assert!(matches!(known(&["MP-PA-110"], &[]), Err(UnguardedError::Unknown(name)) if name.kind == "procedure"));
    assert!(matches!(known(&[], &["P-999"]), Err(UnguardedError::Unknown(name)) if name.kind == "tag"));
    assert!(matches!(known(&["MP-PA-101"], &["X-201"]), Err(UnguardedError::Nothing { .. })));
    let mut broken = creamery();
    broken.put("crib.yaml", "tools: [\n");
    assert!(matches!(unguarded(&broken, &[], &[]), Err(UnguardedError::Undecided)));
    assert!(matches!(unguarded(&Memory::new(Vec::<(String, Vec<u8>)>::new()), &[], &[]), Err(UnguardedError::Load(_))));
}

#[test]
fn a_job_that_is_not_clean_is_told_and_left_out() {
    let mut unread = only("MP-PA-101");
    unread.take("seals/MP-PA-101.actions");
    let found = asked(&unread, "MP-PA-101", &["P-121"]);
    assert_eq!((found.lines.len(), found.tried), (0, 0));
    assert!(matches!(found.without.as_slice(), [(_, tag, why)] if tag.as_str() == "P-121" && why.contains("accept")));
    let mut wrong = only("MP-PA-101");
    edit(&mut wrong, SEAL, "43. Remove your locks.\n", "");
    let found = asked(&wrong, "MP-PA-101", &["P-121"]);
    assert!(matches!(found.without.as_slice(), [(_, _, why)] if why.contains("error")), "{:?}", found.without);
}
