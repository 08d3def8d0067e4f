//! Jobs executed on paper: what the rules of state and order find, with the sentences read by hand.
//!
//! What a sentence does is written here beside it, so that these tests judge the executed job and not the reader.

use crate::binder::{creamery, edit, folder};
use matchmark::base::finding::{Finding, sorted};
use matchmark::base::name::Tag;
use matchmark::language::action::parse_line;
use matchmark::language::noun::Vocabulary;
use matchmark::language::reading::{Class, Doubt, Obstacle, SentenceRead};
use matchmark::language::sentence::{self, Sentence};
use matchmark::model::load::load;
use matchmark::model::procedure::Step;
use matchmark::rules;
use matchmark::workspace::memory::Memory;

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

/// Executes every job and draws what is found: `severity[rule] line: message (tags)`, with the file's own line number.
fn found(memory: &Memory, truths: &[&str]) -> Vec<String> {
    let (binder, _) = load(memory).expect("it is a binder");
    let line = |finding: &Finding| {
        let place = finding.span.map_or(0, |span| binder.texts.locate(span).1.line);
        let tags: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        format!("{}[{}] {place}: {} ({})", finding.severity.word(), finding.rule.0, finding.message, tags.join(" "))
    };
    // The documents are told apart by their sentences, so one table serves a binder.
    let table = Table::of(truths);
    let read = |step: &Step, _: &Vocabulary| read(&table, step);
    sorted(rules::run(&binder, &read)).iter().map(line).collect()
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

/// The faults of the first work list, each with the tags it is true for.
#[test]
fn seeded_faults_of_the_seal_renewal() {
    let all = |line: &str| format!("{line} ({NINE})");
    let cases: Vec<(&str, Vec<(&str, &str)>, &str, Vec<String>)> = vec![
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
    let cases: Vec<(&str, Vec<(&str, &str)>, &str, &str)> = vec![
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

#[test]
fn table_of_mutations() {
    let (binder, _) = load(&creamery()).expect("it is a binder");
    let table = Table::of(&TRUTH);
    let read = |step: &Step, _: &Vocabulary| read(&table, step);
    for procedure in 0..binder.procedures.len() {
        let document = binder.procedures[procedure].document.value.clone();
        for stage in 0..binder.procedures[procedure].stages.len() {
            for step in 0..binder.procedures[procedure].stages[stage].steps.len() {
                let mut mutant = binder.clone();
                let gone = mutant.procedures[procedure].stages[stage].steps.remove(step);
                let sentences = sentence::of_step(&gone);
                let actions: Vec<&str> =
                    table.actions(&sentences).into_iter().flatten().filter(|line| *line != "nothing").collect();
                let found = sorted(rules::run(&mutant, &read));
                println!(
                    "{document} -{} [{}]",
                    sentences.iter().map(|s| s.text.chars().take(50).collect::<String>()).collect::<Vec<_>>().join(" "),
                    actions.join("; ")
                );
                for one in found {
                    println!("      {} {} ({})", one.rule.0, one.message, one.tags.len());
                }
                let steps = &mut mutant.procedures[procedure].stages[stage].steps;
                steps.insert(step, gone);
                if step + 1 < steps.len() {
                    steps.swap(step, step + 1);
                    let found = sorted(rules::run(&mutant, &read));
                    println!("   swapped with the next");
                    for one in found {
                        println!("      {} {} ({})", one.rule.0, one.message, one.tags.len());
                    }
                }
            }
        }
    }
}
