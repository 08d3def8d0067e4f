//! The reader against what people wrote down before it was run: actions right, silent errors, questions, machine by machine.
//!
//! A truth file holds `ACTIONS | SENTENCE`, a line a sentence. The core of an action is its act, its thing, its count and
//! its `if`; only acts that move something count. A sentence is *right* where the cores are the same, a *silent error*
//! where it was read with certainty and they are not, a *question* where the reader says that it is not sure.

use crate::binder::folder;
use matchmark::analysis::effectivity;
use matchmark::analysis::job::Job;
use matchmark::analysis::run::{Readings, Run};
use matchmark::base::finding::Severity;
use matchmark::base::name::DocumentNumber;
use matchmark::language::action::{Act, Action, Count, parse_line};
use matchmark::language::reading::{Class, SentenceRead};
use matchmark::language::verb::Verbs;
use matchmark::model::binder::Binder;
use matchmark::model::load::load;
use matchmark::workspace::memory::Memory;
use std::fs;
use std::path::Path;

/// How a text was read, each count over all machines and sentences.
#[derive(Debug, Default, PartialEq, Eq)]
struct Score {
    sentences: usize,
    actions: usize,
    /// Actions read with certainty, and rightly.
    right: usize,
    /// Actions that the likeliest reading of an uncertain sentence has rightly.
    likely: usize,
    silent: usize,
    uncertain: usize,
    not_read: usize,
    /// Sentences whose likeliest reading is right although the reader was not sure.
    uncertain_right: usize,
}

/// The cores of actions that move something, in no order: what a sentence does is what counts, not how it is told.
fn cores(actions: &[Action]) -> Vec<String> {
    let core = |action: &Action| {
        let condition = if action.conditional { "if " } else { "" };
        let act = action.act.word();
        match action.act {
            Act::Run | Act::Halt | Act::Fill => format!("{condition}{act}"),
            // Which points a lock is hung on follows from the words; how many, from the machine.
            Act::Lock | Act::Unlock => {
                let points = action.thing.to_lowercase();
                // `unlock all locks` and `unlock all` are the same points.
                format!("{condition}{act} {}", points.trim_start_matches("all locks"))
            }
            _ => format!("{condition}{act} {}{}", action.thing.to_lowercase(), number(action.count)),
        }
    };
    let mut cores: Vec<String> = actions.iter().filter(|action| action.act.moves()).map(core).collect();
    cores.sort();
    cores
}

fn number(count: Count) -> String {
    match count {
        Count::One => String::new(),
        Count::All => " all".to_owned(),
        Count::Number(number) => format!(" x{number}"),
    }
}

/// What people wrote down of a procedure: for each step, for each of its sentences, the sentence and its true cores.
fn truth(text: &str) -> Vec<Vec<(String, Vec<String>)>> {
    let mut steps = vec![Vec::new()];
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        if line.trim().is_empty() {
            steps.push(Vec::new());
            continue;
        }
        let (actions, sentence) = line.split_once(" | ").unwrap_or_else(|| panic!("`{line}` is a line of a truth"));
        let actions = parse_line(actions).unwrap_or_else(|error| panic!("`{line}`: {error}"));
        steps.last_mut().expect("one is there").push((sentence.trim().to_owned(), cores(&actions)));
    }
    steps.retain(|step| !step.is_empty());
    steps
}

/// Returns the binder without what was accepted, so that the reader stands alone.
fn unaccepted(memory: &Memory) -> Binder {
    let (mut binder, findings) = load(memory).expect("it is a binder");
    assert!(findings.iter().all(|finding| finding.severity != Severity::Error), "{findings:?}");
    binder.accepted.clear();
    binder
}

/// Holds every sentence of a procedure, on every machine, against what people wrote down; tells every silent error.
fn score(binder: &Binder, document: &str, truth_text: &str) -> (Score, Vec<String>) {
    let procedure = binder.procedure(&DocumentNumber::new(document)).expect("the document is there");
    let truth = truth(truth_text);
    let steps: Vec<_> = procedure.steps().collect();
    assert_eq!(steps.len(), truth.len(), "{document}: a block of the truth for each step");
    let mut score = Score::default();
    let mut wrong = Vec::new();
    let verbs = Verbs::with(&binder.verbs);
    let mut readings = Readings::with(&verbs);
    for machine in effectivity::scope(binder, procedure) {
        let job = Job::new(binder, procedure, machine).expect("its family is there");
        let run = Run::of(&job, &mut readings);
        for step in &run.steps {
            let at = steps.iter().position(|own| own.span == step.step.span).expect("it is one of them");
            assert_eq!(step.sentences.len(), truth[at].len(), "{document}: {:?}", truth[at]);
            for (here, (sentence, cores)) in step.sentences.iter().zip(&truth[at]) {
                assert_eq!(here.read.sentence.text, *sentence);
                let tag = run.job.tag().as_str();
                wrong.extend(score.take(&here.read, cores).map(|told| format!("{tag}: {told}")));
            }
        }
    }
    wrong.sort();
    wrong.dedup_by_key(|line| line.split_once(": ").map(|(_, told)| told.to_owned()));
    (score, wrong)
}

impl Score {
    /// Counts a sentence, and returns what is to be told of it.
    fn take(&mut self, read: &SentenceRead, truth: &[String]) -> Option<String> {
        let found = cores(&read.actions);
        let mut rest = found.clone();
        let right = truth
            .iter()
            .filter(|core| rest.iter().position(|own| own == *core).map(|at| rest.remove(at)).is_some())
            .count();
        self.sentences += 1;
        self.actions += truth.len();
        match &read.class {
            Class::Uncertain(_) => {
                self.uncertain += 1;
                self.uncertain_right += usize::from(found == truth);
                self.likely += right;
                Some(format!(
                    "uncertain  {}\n    read  {}\n    true  {}\n    why   {}",
                    read.sentence.text,
                    found.join("; "),
                    truth.join("; "),
                    read.class.why().join("; ")
                ))
            }
            Class::NotRead(_) => {
                self.not_read += 1;
                Some(format!(
                    "not read   {}\n    true  {}\n    why   {}",
                    read.sentence.text,
                    truth.join("; "),
                    read.class.why().join("; ")
                ))
            }
            Class::Read | Class::MovesNothing => {
                self.right += right;
                if found == truth {
                    return None;
                }
                self.silent += 1;
                Some(format!(
                    "SILENT     {}\n    read  {}\n    true  {}",
                    read.sentence.text,
                    found.join("; "),
                    truth.join("; ")
                ))
            }
        }
    }
}

/// The texts with a truth: the folder of their binder, their number, and the file of the truth.
const TEXTS: [(&str, &str, &str); 6] = [
    ("procedures/creamery", "MP-PA-101", "tests/data/truth/MP-PA-101.txt"),
    ("procedures/creamery", "MP-PX-210", "tests/data/truth/MP-PX-210.txt"),
    ("procedures/creamery", "MP-AG-320", "tests/data/truth/MP-AG-320.txt"),
    ("procedures/creamery", "MP-HG-430", "tests/data/truth/MP-HG-430.txt"),
    ("tests/data/strangers/belts", "MP-EF-12", "tests/data/strangers/belts/MP-EF-12.txt"),
    ("tests/data/strangers/sleeves", "MP-FD-7", "tests/data/strangers/sleeves/MP-FD-7.txt"),
];

fn scored(binder: &str, document: &str, truth: &str) -> (Score, Vec<String>) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join(truth)).expect("the truth is part of the project");
    score(&unaccepted(&folder(&root.join(binder))), document, &text)
}

/// Prints how each text is read, and every sentence that is not read right: `cargo test --test suite truth -- --ignored --nocapture`.
#[test]
#[ignore = "it prints a report and judges nothing"]
fn report() {
    for (folder, document, truth) in TEXTS {
        let (score, told) = scored(folder, document, truth);
        println!("== {document}: {score:?}\n{}", told.join("\n"));
    }
}

/// The two texts the reader was made with.
#[test]
fn the_texts_it_was_made_with_are_read_without_a_silent_error() {
    for (folder, document, truth) in &TEXTS[..2] {
        let (score, told) = scored(folder, document, truth);
        let silent: Vec<&String> = told.iter().filter(|told| told.contains("SILENT")).collect();
        assert!(silent.is_empty(), "{silent:#?}");
        assert_eq!((score.silent, score.right), (0, score.actions), "{document}: {told:#?}");
    }
}
