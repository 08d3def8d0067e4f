//! Each step left out, each pair of neighbours exchanged, each count halved, one at a time: which of them is noticed.
//!
//! The table is kept in `tests/data/mutations.md`, so that a change of the rules shows what it costs. A mutant is *caught*
//! where the check says an error or a warning that it does not say of the clean text. The card's choice of steps is taken
//! out first: that a label is missing there would be no merit of the rules.

use crate::binder::{creamery, judged};
use matchmark::base::finding::{Finding, Severity};
use matchmark::base::name::DocumentNumber;
use matchmark::language::action::{Act, parse_line};
use matchmark::model::load::load;
use matchmark::model::procedure::Procedure;
use matchmark::workspace::memory::Memory;
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::ops::Range;
use std::path::Path;

/// The two texts: number, path, truth, and the files of the binder that are not about them.
const TEXTS: [(&str, &str, [&str; 3]); 2] = [
    ("MP-PA-101", "seals/MP-PA-101.md", ["plates/MP-PX-210.md", "agitators/MP-AG-320.md", "homogenisers/MP-HG-430.md"]),
    ("MP-PX-210", "plates/MP-PX-210.md", ["seals/MP-PA-101.md", "agitators/MP-AG-320.md", "homogenisers/MP-HG-430.md"]),
];
/// What is halved, and by what it is replaced.
const COUNTS: [(&str, &str); 8] = [
    ("both ", "one "),
    ("two ", "one "),
    ("four ", "two "),
    ("six ", "three "),
    ("Both ", "One "),
    ("all four ", "two "),
    ("each ", "one "),
    ("all three ", "two "),
];

/// A mutant: what was done to which step, and the text it gives.
struct Mutant {
    kind: &'static str,
    what: String,
    /// True where the step moves a part, an opening or a lock.
    moves: bool,
    text: String,
}

/// What a check says, without the places, which every mutant shifts.
fn told(memory: &Memory) -> BTreeSet<(Severity, &'static str, String, Vec<String>)> {
    let of = |finding: &Finding| {
        let tags = finding.tags.iter().map(ToString::to_string).collect();
        (finding.severity, finding.rule.0, finding.message.clone(), tags)
    };
    judged(memory).findings.iter().filter(|finding| finding.severity != Severity::Note).map(of).collect()
}

/// Returns which steps of a procedure move a part, an opening or a lock, as people wrote it down.
fn moving(document: &str) -> Vec<bool> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/data/truth/{document}.txt"));
    let text = fs::read_to_string(path).expect("the truth is part of the project");
    let blocks = text
        .split("\n\n")
        .map(|block| block.lines().filter(|line| !line.starts_with('#') && line.contains(" | ")).collect::<Vec<_>>());
    let moves = |line: &&str| {
        let actions = parse_line(line.split_once(" | ").expect("it has one").0).expect("a line of actions");
        actions.iter().any(|action| {
            action.act.moves() && !matches!(action.act, Act::Run | Act::Halt | Act::Fill | Act::Wipe | Act::Apply)
        })
    };
    blocks.filter(|lines| !lines.is_empty()).map(|lines| lines.iter().any(moves)).collect()
}

fn mutants(procedure: &Procedure, text: &str, moving: &[bool]) -> Vec<Mutant> {
    let steps: Vec<Range<usize>> = procedure.steps().map(|step| step.span.range()).collect();
    assert_eq!(steps.len(), moving.len(), "a block of the truth for each step");
    let first_line = |range: &Range<usize>| text[range.clone()].lines().next().unwrap_or_default().trim().to_owned();
    let mut mutants = Vec::new();
    for (at, own) in steps.iter().enumerate() {
        let left_out = format!("{}{}", &text[..own.start], &text[own.end..]);
        mutants.push(Mutant { kind: "left out", what: first_line(own), moves: moving[at], text: left_out });
        for (from, to) in COUNTS {
            for (place, _) in text[own.clone()].match_indices(from) {
                let place = own.start + place;
                let halved = format!("{}{to}{}", &text[..place], &text[place + from.len()..]);
                let what = format!("{} (`{}` for `{}`)", first_line(own), to.trim(), from.trim());
                mutants.push(Mutant { kind: "halved", what, moves: moving[at], text: halved });
            }
        }
        if let Some(next) = steps.get(at + 1) {
            let between = &text[own.end..next.start];
            let swapped = format!(
                "{}{}{between}{}{}",
                &text[..own.start],
                &text[next.clone()],
                &text[own.clone()],
                &text[next.end..]
            );
            let what = format!("{} <-> {}", first_line(own), first_line(next));
            mutants.push(Mutant { kind: "exchanged", what, moves: moving[at] || moving[at + 1], text: swapped });
        }
    }
    mutants
}

/// Returns the table of a text, and how many of the deletions that move something were caught, and how many there are.
fn table(document: &str, path: &str, others: &[&str]) -> (String, usize, usize) {
    let mut memory = creamery();
    for other in others {
        memory.take(other);
    }
    let text = String::from_utf8(memory.get(path).expect(path).to_vec()).expect("UTF-8");
    let line = text.lines().find(|line| line.starts_with("  steps: [")).expect("the card picks steps").to_owned();
    let text = text.replacen(&line, "  stages: [Rebuild, Tighten]", 1);
    let stage = if text.contains("## Rebuild") { "Rebuild" } else { "Tighten" };
    let text = text.replacen("stages: [Rebuild, Tighten]", &format!("stages: [{stage}]"), 1);
    memory.put(path, text.clone());
    let clean = told(&memory);
    let (binder, _) = load(&memory).expect("it is a binder");
    let procedure = binder.procedure(&DocumentNumber::new(document)).expect("it is there");
    let mutants = mutants(procedure, &text, &moving(document));
    let caught: Vec<Vec<&'static str>> = mutants
        .par_iter()
        .map(|mutant| {
            let mut memory = memory.clone();
            memory.put(path, mutant.text.clone());
            let new = told(&memory);
            let rules: BTreeSet<&'static str> = new.difference(&clean).map(|(_, rule, _, _)| *rule).collect();
            rules.into_iter().collect()
        })
        .collect();
    let mut shown = format!("## {document}\n\n| what was done | to which step | caught by |\n|---|---|---|\n");
    for (mutant, rules) in mutants.iter().zip(&caught) {
        let rules = if rules.is_empty() { "**nothing**".to_owned() } else { rules.join(", ") };
        let mark = if mutant.moves { "" } else { " (moves nothing)" };
        let _ = writeln!(shown, "| {}{mark} | {} | {rules} |", mutant.kind, mutant.what.replace('|', "\\|"));
    }
    let counted = |kind: &str, moves: bool| {
        let of = || mutants.iter().zip(&caught).filter(|(one, _)| one.kind == kind && (one.moves || !moves));
        (of().filter(|(_, rules)| !rules.is_empty()).count(), of().count())
    };
    let _ = writeln!(shown);
    for kind in ["left out", "exchanged", "halved"] {
        let ((caught, all), (moving, of)) = (counted(kind, false), counted(kind, true));
        let _ = writeln!(
            shown,
            "- {kind}: {caught} of {all} caught; of those that move a part, an opening or a lock, {moving} of {of}."
        );
    }
    let (moving, of) = counted("left out", true);
    (shown, moving, of)
}

#[test]
fn deletions_that_move_something_are_caught_and_the_table_says_which() {
    let mut shown = String::from(
        "# What the check notices of a step left out, neighbours exchanged, a count halved\n\n\
         Written by `MATCHMARK_WRITE_MUTATIONS=1 cargo test --test suite mutations`; a test holds it against the program.\n\n",
    );
    let (mut caught, mut all) = (0, 0);
    for (document, path, others) in TEXTS {
        let (table, own, of) = table(document, path, &others);
        let _ = writeln!(shown, "{table}");
        caught += own;
        all += of;
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/mutations.md");
    if std::env::var_os("MATCHMARK_WRITE_MUTATIONS").is_some() {
        fs::write(&path, &shown).expect("the project can be written");
    }
    assert!(caught * 100 >= all * 95, "{caught} of {all} deletions are caught");
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == shown, "the table is another now; write it anew and look at what changed");
}
