//! Jobs executed on paper: what the rules of state and order find, with the sentences read by hand.
//!
//! What a sentence does is written here beside it, so that these tests judge the executed job and not the reader.

use crate::binder::{binder, creamery, edit, folder};
use matchmark::analysis::run::ReadStep;
use matchmark::base::finding::{Finding, sorted};
use matchmark::base::name::Tag;
use matchmark::language::action::{Act, parse_line};
use matchmark::language::noun::Vocabulary;
use matchmark::language::reading::{Class, Doubt, Obstacle, SentenceRead};
use matchmark::language::sentence::{self, Sentence};
use matchmark::model::binder::Binder;
use matchmark::model::load::load;
use matchmark::model::procedure::Step;
use matchmark::rules;
use matchmark::workspace::memory::Memory;
use std::fmt::Write as _;

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";
const NINE: &str = "P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133";

/// What the sentences of one procedure do, step by step, as a person read them: the truth beside the example, with what the
/// truth leaves out because it moves nothing.
#[derive(Default)]
struct Table {
    steps: Vec<Vec<(String, String)>>,
}

impl Table {
    /// Reads the truth of procedures: `ACTIONS | SENTENCE` a line, a block a step.
    fn of(truths: &[&str]) -> Self {
        let mut table = Self::default();
        for line in truths.iter().flat_map(|truth| truth.lines().chain([""])) {
            match line.split_once(" | ") {
                Some((actions, sentence)) if !line.starts_with('#') => {
                    if table.steps.is_empty() {
                        table.steps.push(Vec::new());
                    }
                    let step = table.steps.last_mut().expect("there is one");
                    step.push((sentence.to_owned(), actions.to_owned()));
                }
                _ => table.steps.push(Vec::new()),
            }
        }
        table
    }

    /// Returns the actions of each sentence of a step: of the step in the truth that shares most sentences with it, else of
    /// any step that has the sentence.
    fn actions(&self, sentences: &[Sentence]) -> Vec<Option<&str>> {
        let shared = |step: &Vec<(String, String)>| {
            sentences.iter().filter(|own| step.iter().any(|(sentence, _)| *sentence == own.text)).count()
        };
        let best = self.steps.iter().rev().max_by_key(|step| shared(step));
        let find = |step: &'_ Vec<(String, String)>, text: &str| step.iter().position(|(sentence, _)| sentence == text);
        let of = |own: &Sentence| {
            let here = best.and_then(|step| Some(step[find(step, &own.text)?].1.as_str()));
            here.or_else(|| self.steps.iter().find_map(|step| Some(step[find(step, &own.text)?].1.as_str())))
        };
        sentences.iter().map(of).collect()
    }
}

/// What a sentence does that the truth calls nothing, because it moves nothing.
fn seen(sentence: &str) -> &'static str {
    let words: Vec<String> =
        sentence.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).filter(|word| !word.is_empty()).collect();
    let has = |word: &str| words.iter().any(|own| own == word);
    let begins = |word: &str| words.first().is_some_and(|own| own == word);
    match () {
        () if begins("if") && has("stop") => "if stop",
        () if has("start") && sentence.contains("START") => "try",
        () if begins("confirm") => "confirm",
        () if has("measure") || has("measured") || begins("take") => "measure",
        () if begins("wait") || has("wait") => "wait",
        () if begins("record") => "record",
        () => "nothing",
    }
}

fn read(table: &Table, step: &Step) -> Vec<SentenceRead> {
    let sentences = sentence::of_step(step);
    let known = table.actions(&sentences);
    let mut out = Vec::new();
    for (at, (sentence, line)) in sentences.iter().zip(known).enumerate() {
        let (class, actions, touches) = match line {
            Some(line) if line.starts_with("? ") => {
                let touches = line[2..].split(", ").map(str::to_owned).collect();
                (Class::Uncertain(vec![Doubt::Verb("replace".to_owned())]), Vec::new(), touches)
            }
            Some("nothing") => (Class::Read, parse_line(seen(&sentence.text)).expect("typed by hand"), Vec::new()),
            // A sentence that locks and then presses START does both; the truth names what moves.
            Some(line) if seen(&sentence.text) == "try" && !line.contains("run") => {
                (Class::Read, parse_line(&format!("{line}; try")).expect("typed by hand"), Vec::new())
            }
            Some(line) => (Class::Read, parse_line(line).expect("typed by hand"), Vec::new()),
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

/// Returns what the rules say of the state of the machine: nobody accepted what was read here by hand.
fn judged_by_hand(binder: &Binder, read: &ReadStep<'_>) -> Vec<Finding> {
    let mut findings = rules::run_read(binder, read);
    // The truth does not say which tool a sentence takes.
    let about_others = ["not-accepted", "listed-not-used", "used-not-listed"];
    findings.retain(|finding| !about_others.contains(&finding.rule.0));
    findings
}

/// Executes every job and draws what is found: `severity[rule] line: message (tags)`, with the file's own line number.
fn found(memory: &Memory, truths: &[&str]) -> Vec<String> {
    let (mut binder, _) = load(memory).expect("it is a binder");
    binder.accepted.clear();
    let line = |finding: &Finding| {
        let place = finding.span.map_or(0, |span| binder.texts.locate(span).1.line);
        let tags: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        format!("{}[{}] {place}: {} ({})", finding.severity.word(), finding.rule.0, finding.message, tags.join(" "))
    };
    // The documents are told apart by their sentences, so one table serves a binder.
    let table = Table::of(truths);
    let read = |step: &Step, _: &Vocabulary| read(&table, step);
    sorted(judged_by_hand(&binder, &read)).iter().map(line).collect()
}

const TRUTH: [&str; 4] = [
    include_str!("../data/truth/MP-PA-101.txt"),
    include_str!("../data/truth/MP-PX-210.txt"),
    include_str!("../data/truth/MP-AG-320.txt"),
    include_str!("../data/truth/MP-HG-430.txt"),
];

/// Applies edits to one file of the example and returns what is found, without line numbers. `extra` says what sentences do
/// that only the edit has.
fn after(path: &str, edits: &[(&str, &str)], extra: &str) -> Vec<String> {
    let mut world = creamery();
    for (from, to) in edits {
        edit(&mut world, path, from, to);
    }
    let truths: Vec<&str> = std::iter::once(extra).chain(TRUTH).collect();
    let without = |line: String| {
        let (head, rest) = line.split_once(' ').expect("a place");
        format!("{head} {}", rest.split_once(": ").expect("a message").1)
    };
    found(&world, &truths).into_iter().map(without).collect()
}

#[test]
fn the_clean_texts_give_no_finding() {
    assert_eq!(found(&creamery(), &TRUTH), Vec::<String>::new());
}

#[test]
fn strangers_read_right_give_no_finding() {
    for (name, truth) in [
        ("belts", include_str!("../data/strangers/belts/MP-EF-12.txt")),
        ("sleeves", include_str!("../data/strangers/sleeves/MP-FD-7.txt")),
    ] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/strangers").join(name);
        assert_eq!(found(&folder(&path), &[truth]), Vec::<String>::new(), "{name}");
    }
}

/// A fault: its number, the edits that make it, what the changed sentences do (as read by hand), and what is found.
type Seeded<W> = (&'static str, Vec<(&'static str, &'static str)>, &'static str, W);

/// The faults of the first work list, each with the tags it is true for.
#[test]
fn seeded_faults_of_the_seal_renewal() {
    let all = |line: &str| format!("{line} ({NINE})");
    let cases: Vec<Seeded<Vec<String>>> = vec![
        (
            "1.1",
            vec![("31. Fit the key. {only size 2 to 4} {as key}\n", "")],
            "",
            vec!["error[left-off] `key` is off at the end (P-110 P-111 P-113 P-120 P-121 P-130 P-133)".to_owned()],
        ),
        (
            "1.2",
            vec![("Wet the new casing O-ring with", "Wet the casing O-ring with")],
            "apply {assembly fluid} to casing O-ring | Wet the casing O-ring with {assembly fluid}.\non casing O-ring | Fit it.",
            vec![all("error[fitted-after-discard] `casing O-ring` is fitted after it was discarded")],
        ),
        (
            "1.9",
            vec![
                ("4. {caution hot caustic} Close", "4. Close"),
                ("7. {caution hot caustic} Open", "7. Open"),
                ("8. Measure the casing temperature", "8. {caution hot caustic} Measure the casing temperature"),
            ],
            "",
            vec![all(
                "error[caution-after-exposure] the caution `hot caustic` stands after the step that exposes `product in`",
            )],
        ),
        (
            "1.10",
            vec![("41. Close the casing drain. Fit", "41. Fit")],
            "",
            vec![all("error[left-open] `casing drain` is open at the end")],
        ),
        (
            "1.11",
            vec![("Fit both guard halves.", "Fit one guard half.")],
            "shut casing drain | Close the casing drain.\non guard half | Fit one guard half.\ntighten guard screw x2 to {guard torque} | Tighten the two guard screws to {guard torque}.",
            vec![all("error[wrong-count] of 2 `guard half`, 1 is on at the end")],
        ),
        (
            "1.14",
            vec![
                (
                    "45. {caution running pump} Record the start time. Run the pump for {trial-run time}. {record trial-run start}\n",
                    "",
                ),
                (
                    "41. Close the casing drain.",
                    "41. {caution running pump} Record the start time. Run the pump for {trial-run time}. {record trial-run start}\n1. Close the casing drain.",
                ),
            ],
            "",
            vec![all("error[run-before-guards] the machine runs before `guard half` is on")],
        ),
        (
            "1.19",
            vec![("14. Remove the casing O-ring. Discard it.", "14. Replace the casing O-ring if worn.")],
            "? casing O-ring | Replace the casing O-ring if worn.",
            vec![all("error[vague-renewal] `casing O-ring` is used once, and renewed only on a condition")],
        ),
    ];
    for (fault, edits, extra, expected) in cases {
        assert_eq!(after(SEAL, &edits, extra), expected, "{fault}");
    }
}

/// The faults of the second work list.
#[test]
fn seeded_faults_of_the_plate_pack() {
    let cases: Vec<Seeded<&str>> = vec![
        (
            "3.6",
            vec![(
                "12. {caution below A-min} IF any reading is less than {A-min}, THEN stop. Do not tighten. Tell the supervisor. {as minimum}\n",
                "",
            )],
            "",
            "error[irreversible-limit-without-stop] `dimension A` cannot be undone, and no step of its own stops the job",
        ),
        (
            "3.7",
            vec![("{hold H1} {as drain}", "{as drain}"), ("{as tighten}", "{hold H1} {as tighten}")],
            "",
            "error[opened-before-proof] work on `shroud screw` begins before it is proved and signed that no energy is left",
        ),
        (
            "3.8",
            vec![("Close the vents and the drains that you opened in {see drain}. Remove", "Remove")],
            "",
            "error[left-open] `drain` and `vent` are open at the end",
        ),
        (
            "3.13",
            vec![(" Record the start time. {record cold side start}", "")],
            "",
            "error[timed-step-without-start] this takes some minutes, and no start time is recorded",
        ),
        (
            "3.14",
            vec![
                ("Fill the cold side first.", "Fill the hot side first."),
                ("25. Fill the hot side.", "25. Fill the cold side."),
            ],
            "fill hot side | Fill the hot side first.\n\nfill cold side | Fill the cold side.",
            "warning[filled-out-of-order] `hot side` is filled first, although `cold side` was isolated last",
        ),
    ];
    for (fault, edits, extra, expected) in cases {
        assert_eq!(after(PLATES, &edits, extra), [format!("{expected} (X-201 X-202 X-203)")], "{fault}");
    }
}

/// Acts that move a part, an opening, a lock or an item, so that a step without them is missed.
fn is_missed(actions: &[&str]) -> bool {
    let moving = [
        Act::Off,
        Act::Discard,
        Act::On,
        Act::New,
        Act::Open,
        Act::Shut,
        Act::Lock,
        Act::Unlock,
        Act::Place,
        Act::Take,
        Act::Snug,
        Act::Tighten,
    ];
    let acts = actions.iter().filter_map(|line| parse_line(line).ok()).flatten();
    acts.filter(|action| !action.conditional).any(|action| moving.contains(&action.act))
}

/// Every step is left out, one at a time. The one that is not missed draws tie bolts further that were never loosened.
#[test]
fn a_step_left_out_is_found() {
    let (binder, _) = load(&creamery()).expect("it is a binder");
    let table = Table::of(&TRUTH);
    let read = |step: &Step, _: &Vocabulary| read(&table, step);
    let mut silent = Vec::new();
    let mut total = 0;
    for procedure in &binder.procedures {
        for stage in 0..procedure.stages.len() {
            for step in 0..procedure.stages[stage].steps.len() {
                let mut mutant = binder.clone();
                mutant.procedures = vec![procedure.clone()];
                let gone = mutant.procedures[0].stages[stage].steps.remove(step);
                let sentences = sentence::of_step(&gone);
                let actions: Vec<&str> = table.actions(&sentences).into_iter().flatten().collect();
                if !is_missed(&actions) {
                    continue;
                }
                total += 1;
                if judged_by_hand(&mutant, &read).is_empty() {
                    silent.push(sentences[0].text.clone());
                }
            }
        }
    }
    assert!(total > 80, "{total}");
    assert_eq!(silent, ["Set the torque wrench to {tie bolt limit}."]);
}

/// A small machine, so that one rule at a time can be shown.
const SMALL: &str = "//- binder.yaml
format: 1
plant: Somewhere
language: en
print: {paper: A4, card: on wall, isolation-points: off card}
//- crib.yaml
tools: [{id: HX, name: hex keys}]
torque-tools: [{id: TW-1, name: torque wrench, range: 5 to 50 N·m}]
instruments: [{id: TH-1, name: thermometer, range: 0 to 150 °C, resolution: 1 °C}]
locks: {id: LK-1, name: lock kit}
//- fleet.yaml
tags:
  - tag: M-1
    family: M
    place: Here
    options: {size: 1}
    isolation: [{point: Q-1, boundary: motor, kind: isolator, position: off and locked}, {point: V-1, boundary: feed, kind: valve, position: closed and locked}]
  - tag: M-2
    family: M
    place: There
    options: {size: 2}
    isolation: [{point: Q-2, boundary: motor, kind: isolator, position: off and locked}, {point: V-2, boundary: feed, kind: valve, position: closed and locked}]
//- families/M.yaml
family: M
name: mill
options: [{option: size, values: [1, 2]}]
boundaries:
  - {boundary: motor, energy: electrical}
  - {boundary: feed, energy: flour under pressure}
parts:
  - {part: cover, count: 1, guard: yes, held-by: [bolt]}
  - {part: bolt, count: 4}
  - {part: roller, count: 1, contact: product, held-by: [cover]}
  - {part: ring, count: 1, single-use: yes, held-by: [roller]}
  - {part: shim, count: 2, held-by: [roller], only: size 2}
  - {part: packing, count: 4, held-by: [cover]}
  - {part: cartridge, count: 1, held-by: [cover], succeeds: packing}
openings:
  - {opening: drain, of: [feed]}
  - {opening: hatch}
temporary:
  - {item: plug, count: 1}
values: {bolt torque: 20 N·m}
joints:
  - {joint: cover bolts, fastener: bolt, state: dry, torque: bolt torque, wrench: TW-1, stages: [half, final]}
//- M-10.md
---
document: M-10
title: A job
family: M
purpose: It is done.
use-level: reference
people: 1 fitter and 1 verifier
time: 1 h
review: 12 months
precautions: [\"If a reading is outside its limit, stop.\"]
HEAD
holds:
  - {hold: H1, role: supervisor, verify: It is dead.}
  - {hold: H2, role: quality, verify: It is clean.}
---

## All of it

";

/// What every job of the small machine begins and ends with.
const BEFORE: &str = "lock all; try {hold H1}\nopen drain";
const AFTER: &str = "shut drain\nunlock all\nrun mill {hold H2}";

/// Executes a job of the small machine. Each line is a step, written as its actions; braces stay braces of the step.
fn small(head: &str, steps: &str) -> Vec<String> {
    let plain = |line: &str| line.split(" {").next().unwrap_or_default().to_owned();
    let mut text = SMALL.replace("\\\"", "\"").replace("HEAD", head);
    let mut table = Table::default();
    for line in steps.lines() {
        let actions = plain(line);
        // A sentence is written as its actions with a capital and a full stop, so that it is one sentence.
        let sentence = format!("Do: {}.", actions.trim_start_matches("? ").replace("; ", ", "));
        let braces = line.find(" {").map_or("", |at| &line[at..]);
        let _ = writeln!(text, "1. {sentence}{braces}");
        table.steps.push(vec![(sentence, actions)]);
    }
    let (binder, findings) = load(&binder(&text)).expect("it is a binder");
    assert!(findings.is_empty(), "{findings:?}");
    let read = |step: &Step, _: &Vocabulary| read(&table, step);
    let line = |finding: &Finding| {
        let step = finding.span.map_or(0, |span| {
            let body = text.split("//- M-10.md\n").last().unwrap_or_default();
            let above = body.lines().position(|line| line.starts_with("1. ")).expect("there are steps");
            binder.texts.locate(span).1.line.saturating_sub(above)
        });
        let tags: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        let tags = if tags.len() == 2 { String::new() } else { format!(" ({})", tags.join(" ")) };
        format!("{step} {}: {}{tags}", finding.rule.0, finding.message)
    };
    sorted(judged_by_hand(&binder, &read)).iter().map(line).collect()
}

fn between(steps: &str) -> Vec<String> {
    small("", &format!("{BEFORE}\n{steps}\n{AFTER}"))
}

#[test]
fn parts_that_close_are_silent() {
    let silent = Vec::<String>::new();
    assert_eq!(between("off bolt all; off cover\non cover; tighten bolt all to 20 N·m"), silent);
    // Within one sentence no order is meant.
    assert_eq!(between("off cover; off bolt all\ntighten bolt all; on cover"), silent);
    // Old one discarded, new one fitted; discarding what is on takes it off; a second discard means the same part.
    assert_eq!(
        between(
            "off bolt x4; off cover; off roller\ndiscard ring\ndiscard ring\nnew ring; on roller\non cover\ntighten bolt x4"
        ),
        silent
    );
    // The new one first, then the old one into the bin.
    assert_eq!(
        between(
            "off bolt all; off cover; off roller; off ring\nnew ring\ndiscard ring; on roller; on cover; tighten bolt all"
        ),
        silent
    );
    // What is only under a condition is not done.
    assert_eq!(between("if off cover; if open drain"), silent);
    // A fastener loosened and tightened again.
    assert_eq!(between("loosen bolt all\ntighten bolt all to half\ntighten bolt all"), silent);
    // An opening that lets out no energy is opened at any time.
    assert_eq!(small("", "open hatch\nshut hatch"), silent);
    // A part returned to the places it came from, piece by piece.
    assert_eq!(between("off bolt; off bolt x3; off cover\non cover; on bolt x2; tighten bolt all"), silent);
}

#[test]
fn parts_that_do_not_close_are_told_once() {
    assert_eq!(between("off bolt all; off cover"), ["3 left-off: `bolt` and `cover` are off at the end"]);
    assert_eq!(
        between("off bolt all; off cover\non cover\non bolt x3; tighten bolt x3"),
        ["5 wrong-count: of 4 `bolt`, 3 are on at the end"]
    );
    assert_eq!(
        between("off bolt x5; off cover\non cover; tighten bolt all"),
        ["3 wrong-count: 5 of `bolt` are meant, and this machine has 4"]
    );
    assert_eq!(between("on cover"), ["3 fitted-not-off: `cover` is fitted, and the old one is still on"]);
    assert_eq!(
        between("off bolt all; off cover\noff cover\non cover; tighten bolt all"),
        ["4 off-already: `cover` is taken off or out here, and is not there"]
    );
    assert_eq!(
        between("off bolt all; off cover\non cover; on bolt all"),
        ["4 not-tightened: `bolt` is not tight at the end: joint `cover bolts`"]
    );
    assert_eq!(between("loosen bolt all"), ["3 not-tightened: `bolt` is not tight at the end: joint `cover bolts`"]);
    assert_eq!(
        between("loosen bolt all\ntighten bolt all to 10 N·m"),
        ["4 not-tightened: `bolt` is not tight at the end: joint `cover bolts`"]
    );
    assert_eq!(between("place plug"), ["3 left-in: `plug` is still in at the end"]);
    assert_eq!(between("take plug"), ["3 off-already: `plug` is taken off or out here, and is not there"]);
    assert_eq!(
        small("", &format!("{BEFORE}\nloosen bolt all; tighten bolt all\nunlock all\nrun mill")),
        ["2 left-open: `drain` is open at the end"]
    );
    assert_eq!(between("shut hatch"), ["3 closed-not-opened: `hatch` is closed here, and no step opens it"]);
}

#[test]
fn what_is_used_once_is_not_fitted_twice() {
    let open = "off bolt all; off cover; off roller";
    let shut = "on roller; on cover; tighten bolt all";
    assert_eq!(
        between(&format!("{open}; discard ring\non ring\n{shut}")),
        ["4 fitted-after-discard: `ring` is fitted after it was discarded"]
    );
    assert_eq!(
        between(&format!("{open}; off ring\non ring\n{shut}")),
        ["4 fitted-after-discard: `ring` is used once, and the old one is fitted again"]
    );
    assert_eq!(
        between(&format!("{open}; discard ring\n{shut}")),
        ["3 left-off: `ring` is discarded, and no step fits a new one"]
    );
    assert_eq!(
        between(&format!("{open}; stores roller\nnew roller; on cover; tighten bolt all")),
        Vec::<String>::new()
    );
}

#[test]
fn a_part_of_another_machine_is_told_for_this_one() {
    let steps = "off bolt all; off cover; off roller\noff shim all\non shim all\non roller\non cover; tighten bolt all";
    assert_eq!(
        between(steps),
        [
            "4 not-on-this-machine: this machine has no `shim` (M-1)",
            "5 not-on-this-machine: this machine has no `shim` (M-1)"
        ]
    );
}

#[test]
fn a_change_of_configuration_is_counted() {
    let head = "configuration: [{part: packing, before: 4, after: 0}, {part: cartridge, before: 0, after: 1}]";
    let job = |steps: &str| {
        let opened = "off bolt all; off cover";
        small(head, &format!("{BEFORE}\n{opened}\n{steps}\non cover; tighten bolt all\n{AFTER}"))
    };
    assert_eq!(job("stores packing all\non cartridge"), Vec::<String>::new());
    assert_eq!(
        job("stores packing x3\non cartridge"),
        ["5 fitted-not-off: `cartridge` is fitted into the place of `packing`, which is still on"]
    );
    assert_eq!(
        small(head, &format!("{BEFORE}\n{AFTER}")),
        [
            "0 wrong-count: 4 of `packing` are on at the end, and the front matter says 0",
            "0 left-off: no step fits `cartridge`, which the front matter says is on after the job",
        ]
    );
    assert_eq!(
        job("off packing all"),
        ["0 left-off: no step fits `cartridge`, which the front matter says is on after the job"]
    );
}

#[test]
fn order_is_asked_for_only_of_what_holds() {
    assert_eq!(
        between("off cover\noff bolt all\non cover; tighten bolt all"),
        ["3 wrong-order: `cover` comes off while `bolt`, which holds it, is still on"]
    );
    assert_eq!(
        between("off bolt all; off cover\noff roller\non cover; tighten bolt all\non roller"),
        ["6 wrong-order: `roller` is fitted when `cover`, which holds it, is on already"]
    );
    // The cover never came off: what lies behind it is told once, and not that its place is taken.
    assert_eq!(
        between("off bolt all\noff roller\non roller\non cover; tighten bolt all"),
        ["4 wrong-order: `roller` comes off while `cover`, which holds it, is still on"]
    );
}

#[test]
fn nothing_is_opened_before_it_is_locked_let_out_proved_and_signed() {
    let work = "loosen bolt all; tighten bolt all";
    let job = |steps: &str| small("", steps);
    assert_eq!(
        job(&format!("lock isolator; try {{hold H1}}\n{work}\nunlock all")),
        ["2 isolation-incomplete: no step locks the isolation points of `feed`"]
    );
    assert_eq!(
        job(&format!("lock isolator; try {{hold H1}}\n{work}\nlock valve; open drain\nshut drain\nunlock all")),
        ["2 opened-before-proof: work on `bolt` begins before `feed` is locked"]
    );
    assert_eq!(
        job(&format!("lock all; try\nopen drain\n{work} {{hold H1}}\nshut drain\nunlock all")),
        ["3 opened-before-proof: work on `bolt` begins before it is proved and signed that no energy is left"]
    );
    assert_eq!(
        job(&format!("lock all {{hold H1}}\n{work}\nunlock all")),
        ["2 opened-before-proof: work on `bolt` begins before it is proved and signed that no energy is left"]
    );
    assert_eq!(
        job(&format!("lock all; try {{hold H1}}\n{work}\nunlock all")),
        ["2 opened-before-proof: work on `bolt` begins and `drain` was not opened"]
    );
    assert_eq!(
        job("open drain\nlock all; try {hold H1}\nshut drain\nunlock all"),
        ["1 opened-before-proof: work on `drain` begins before `feed` is locked"]
    );
    // A job that opens nothing needs no lock.
    assert_eq!(job("measure cover; look roller {record warmth}"), Vec::<String>::new());
    assert_eq!(
        job(&format!("{BEFORE}\nshut drain\nunlock all\noff bolt all; off cover\non cover; tighten bolt all")),
        ["5 opened-before-proof: work on `bolt` begins after locks came off"]
    );
    assert_eq!(
        job(&format!("{BEFORE}\n{work}\nshut drain\nunlock valve")),
        ["1 left-locked: `motor` is still locked at the end"]
    );
}

/// The proof is asked of each energy: a trial, a look that speaks of it, or a drain that lets it out, signed after it.
#[test]
fn a_signature_needs_a_proof_of_each_energy() {
    let work = "loosen bolt all; tighten bolt all";
    let early = ["3 opened-before-proof: work on `bolt` begins before it is proved and signed that no energy is left"];
    let job =
        |proof: &str| small("", &format!("lock all\nopen drain; {proof} {{hold H1}}\n{work}\nshut drain\nunlock all"));
    assert_eq!(job("try"), Vec::<String>::new());
    assert_eq!(job("confirm motor"), Vec::<String>::new());
    assert_eq!(job("look cover"), early, "a look at something else proves nothing");
    assert_eq!(job("record"), early);
    assert_eq!(job("look pressure on gauge"), early, "a gauge proves no current");
    assert_eq!(job("look voltage"), Vec::<String>::new());
    assert_eq!(job("tell"), early);
    // A lock that goes on later asks for its own proof again, and for another signature.
    assert_eq!(
        small("", &format!("lock valve; try {{hold H1}}\nlock isolator; open drain\n{work}\nshut drain\nunlock all")),
        early
    );
}

#[test]
fn one_lock_of_several_unlocks_nothing() {
    let job = |unlock: &str| small("", &format!("{BEFORE}\nshut drain\n{unlock}"));
    assert_eq!(job("unlock all"), Vec::<String>::new());
    assert_eq!(job("unlock all locks"), Vec::<String>::new());
    assert_eq!(job("unlock lock"), ["1 left-locked: the locks are still on at the end"]);
    assert_eq!(job("unlock cover"), ["1 left-locked: the locks are still on at the end"]);
}

/// With the locks off, a press of START is a run.
#[test]
fn a_press_of_start_without_a_lock_is_a_run() {
    let job = |start: &str| {
        small(
            "",
            &format!("{BEFORE}\noff bolt all; off cover\nshut drain\nunlock all\n{start}\non cover; tighten bolt all"),
        )
    };
    assert_eq!(job("try"), ["6 run-before-guards: the machine runs before `cover` is on"]);
}

#[test]
fn a_machine_runs_dry_at_any_run() {
    let job = |first: &str| small("", &format!("{first}{BEFORE}\nshut drain\nunlock all\nrun mill\nfill mill"));
    assert!(job("").iter().any(|line| line.contains("runs-dry")), "{:?}", job(""));
    assert!(job("run mill\n").iter().any(|line| line.contains("runs-dry")), "{:?}", job("run mill\n"));
}

/// A fastener of no joint is as loose as any other.
#[test]
fn what_is_loosened_last_is_loose() {
    let told = "3 not-tightened: `roller` is not tight at the end";
    assert_eq!(between("loosen roller"), [told]);
    assert_eq!(between("loosen roller\ntighten roller"), Vec::<String>::new());
}

#[test]
fn any_number_can_be_written() {
    let many = "open drain; open drain x4294967295";
    let found = small("", &format!("lock all; try {{hold H1}}\n{many}\nshut drain\nunlock all"));
    assert!(found.iter().any(|line| line.contains("wrong-count")), "{found:?}");
}

#[test]
fn nothing_runs_before_it_is_whole() {
    let job = |steps: &str| small("", &format!("{BEFORE}\noff bolt all; off cover\n{steps}"));
    let shut = "on cover; tighten bolt all";
    assert_eq!(
        job(&format!("shut drain\nunlock all\nrun mill\n{shut}")),
        ["6 run-before-guards: the machine runs before `cover` is on"]
    );
    assert_eq!(
        job(&format!("{shut}\nshut drain\nrun mill\nunlock all")),
        ["6 started-while-locked: the machine is started while a lock is on"]
    );
    assert_eq!(
        job(&format!("shut drain\nunlock all\n{shut}\nrun mill")),
        ["5 unlocked-too-early: locks come off while `bolt` and `cover` are still off, open or in"]
    );
    assert_eq!(
        job(&format!("place plug\n{shut}\nshut drain\nunlock all\nrun mill\ntake plug")),
        ["8 run-before-guards: the machine runs before `plug` is out"]
    );
    assert_eq!(
        job(&format!("{shut}\nshut drain\nunlock all\nrun mill\nfill mill")),
        ["7 runs-dry: the machine runs before it is filled"]
    );
    assert_eq!(
        job(&format!("off roller\nshut drain\nfill mill\non roller\n{shut}\nunlock all\nrun mill {{hold H2}}")),
        ["6 filled-too-early: it is filled while `roller` is off"]
    );
    assert_eq!(
        job(&format!("off roller\non roller\n{shut}\nshut drain\nunlock all\nrun mill")),
        ["5 released-without-quality: the product side was open, and quality does not release it"]
    );
}

#[test]
fn what_is_not_sure_proves_nothing_and_accuses_nobody() {
    assert_eq!(
        between("off bolt all; off cover\n? cover, bolt"),
        ["4 cannot-prove: this sentence is not sure, and might move `cover` and `bolt`"]
    );
    // What it cannot touch is still told.
    assert_eq!(
        between("off bolt all; off cover; off roller\n? roller"),
        [
            "3 left-off: `bolt` and `cover` are off at the end",
            "4 cannot-prove: this sentence is not sure, and might move `roller`"
        ]
    );
}

#[test]
fn cautions_readings_and_times() {
    let caution = "cautions:\n  - {caution: start, level: warning, sign: general, hazard: It starts., consequence: It cuts., avoid: Lock it., covers: [motor]}\n  - {caution: flour, level: warning, sign: general, hazard: Flour., consequence: It bursts., avoid: Lock it., covers: [feed]}";
    let covered = |steps: &str| small(caution, &format!("{steps}\nopen drain\n{AFTER}"));
    assert_eq!(
        covered("lock all; try {hold H1} {caution flour}\nlook cover {caution start}"),
        [
            "2 caution-after-exposure: the caution `start` stands after the step that exposes `motor`",
            "6 hazard-without-caution: no caution tells of the running machine"
        ]
    );
    let readings = "readings:\n  - {reading: warmth, limit: 40 °C or less, instrument: TH-1, irreversible: yes}\n  - {reading: start, kind: time}";
    let read = |steps: &str| small(readings, &format!("{BEFORE}\n{steps}\n{AFTER}"));
    assert_eq!(
        read("measure cover {record warmth}\nloosen bolt all; tighten bolt all"),
        ["3 irreversible-limit-without-stop: `warmth` cannot be undone, and no step of its own stops the job"]
    );
    assert_eq!(read("measure cover"), ["3 measured-not-recorded: what is measured here is not recorded"]);
}
