//! The reader against what people wrote down before it was run: actions right, silent errors, questions, machine by machine.
//!
//! A truth file holds `ACTIONS | SENTENCE`, a line a sentence. The core of an action is its act, its thing, its count, its
//! `if` and its `to`, and its `with` and `on` where a person wrote them; only acts that move something count. A sentence
//! is *right* where the cores are the same, a *silent error* where it was read with certainty and they are not, a
//! *question* where the reader says that it is not sure.

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
use matchmark::model::crib::Item;
use matchmark::model::load::load;
use matchmark::workspace::memory::Memory;
use std::fmt::Write as _;
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

/// What an action does, and with what, to what and where.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Core {
    /// Act, thing, count and condition.
    does: String,
    /// The value or figure of a torque or a pressure, or what a fluid is put on.
    to: String,
    /// Tools, fluids and instruments by their number in the crib, in no order, and values that name one.
    with: Vec<String>,
    /// The place.
    on: String,
}

impl Core {
    /// Returns whether the reader found what a person wrote. A figure is compared even where the person wrote none, so that
    /// no torque is invented; a tool and a place, where the person wrote one, for a truth names only those that matter.
    fn holds(&self, found: &Self) -> bool {
        self.does == found.does
            && self.to == found.to
            && (self.with.is_empty() || self.with == found.with)
            && (self.on.is_empty() || self.on == found.on)
    }

    fn told(cores: &[Self]) -> String {
        let one = |core: &Self| {
            let part = |word: &str, name: &str| if name.is_empty() { String::new() } else { format!(" {word} {name}") };
            let with = part("with", &core.with.join(", "));
            format!("{}{with}{}{}", core.does, part("to", &core.to), part("on", &core.on))
        };
        cores.iter().map(one).collect::<Vec<_>>().join("; ")
    }
}

/// Returns how many of the cores that a person wrote the reader found.
fn matched(truth: &[Core], found: &[Core]) -> usize {
    let mut rest = found.to_vec();
    let take = |core: &&Core| rest.iter().position(|own| core.holds(own)).map(|at| rest.remove(at)).is_some();
    truth.iter().filter(take).count()
}

/// The cores of actions that move something, in no order: what a sentence does is what counts, not how it is told.
fn cores(binder: &Binder, actions: &[Action]) -> Vec<Core> {
    let does = |action: &Action| {
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
    let core = |action: &Action| {
        // A test gauge is read `on` it, and is a tool all the same; water and air stand in no register.
        let names = action.with.iter().chain([&action.on]);
        let mut with: Vec<String> = names.filter_map(|name| drawn_from_crib(binder, name)).collect();
        with.sort();
        let on = if drawn_from_crib(binder, &action.on).is_some() { String::new() } else { action.on.to_lowercase() };
        Core { does: does(action), to: action.to.to_lowercase(), with, on }
    };
    let mut cores: Vec<Core> = actions.iter().filter(|action| action.act.moves()).map(core).collect();
    cores.sort();
    cores
}

/// Returns the number in the crib of what a person or the reader calls a tool or a fluid, or the value that names it.
fn drawn_from_crib(binder: &Binder, name: &str) -> Option<String> {
    let is_same = |own: &str| own.eq_ignore_ascii_case(name) || own.split(',').next().is_some_and(|own| own == name);
    let own = |item: &&Item| {
        is_same(item.id.value.as_str())
            || is_same(&item.name)
            || item.also.iter().any(|also| is_same(also.value.as_str()))
    };
    match binder.crib.items.iter().find(own) {
        Some(item) => Some(item.id.value.as_str().to_lowercase()),
        None => name.starts_with('{').then(|| name.to_lowercase()),
    }
}

fn number(count: Count) -> String {
    match count {
        Count::One => String::new(),
        Count::All => " all".to_owned(),
        Count::Number(number) => format!(" x{number}"),
    }
}

/// What people wrote down of a procedure: for each step, for each of its sentences, the sentence and its true cores.
fn truth(binder: &Binder, text: &str) -> Vec<Vec<(String, Vec<Core>)>> {
    let mut steps = vec![Vec::new()];
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        if line.trim().is_empty() {
            steps.push(Vec::new());
            continue;
        }
        let (actions, sentence) = line.split_once(" | ").unwrap_or_else(|| panic!("`{line}` is a line of a truth"));
        let actions = parse_line(actions).unwrap_or_else(|error| panic!("`{line}`: {error}"));
        steps.last_mut().expect("one is there").push((sentence.trim().to_owned(), cores(binder, &actions)));
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
    let truth = truth(binder, truth_text);
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
                wrong.extend(score.take(binder, &here.read, cores).map(|told| format!("{tag}: {told}")));
            }
        }
    }
    wrong.sort();
    wrong.dedup_by_key(|line| line.split_once(": ").map(|(_, told)| told.to_owned()));
    (score, wrong)
}

impl Score {
    /// Counts a sentence, and returns what is to be told of it.
    fn take(&mut self, binder: &Binder, read: &SentenceRead, truth: &[Core]) -> Option<String> {
        let found = cores(binder, &read.actions);
        let right = matched(truth, &found);
        let is_same = right == truth.len() && found.len() == truth.len();
        self.sentences += 1;
        self.actions += truth.len();
        match &read.class {
            Class::Uncertain(_) => {
                self.uncertain += 1;
                self.uncertain_right += usize::from(is_same);
                self.likely += right;
                Some(format!(
                    "uncertain  {}\n    read  {}\n    true  {}\n    why   {}",
                    read.sentence.text,
                    Core::told(&found),
                    Core::told(truth),
                    read.class.why().join("; ")
                ))
            }
            Class::NotRead(_) => {
                self.not_read += 1;
                Some(format!(
                    "not read   {}\n    true  {}\n    why   {}",
                    read.sentence.text,
                    Core::told(truth),
                    read.class.why().join("; ")
                ))
            }
            Class::Read | Class::MovesNothing => {
                self.right += right;
                if is_same {
                    return None;
                }
                self.silent += 1;
                Some(format!(
                    "SILENT     {}\n    read  {}\n    true  {}",
                    read.sentence.text,
                    Core::told(&found),
                    Core::told(truth)
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

/// Sentences that are read with certainty and not as a person wrote, and why that is no error.
const SAME_IN_EFFECT: [(&str, &str, &str); 1] = [(
    "MP-HG-430",
    "Thread the seat puller into the seat, jack the seat out and scrap it along with the old valve.",
    "what is discarded is taken off first if it is still on: off and discard of the seat are one action, discard; the \
     puller is named by the order before it",
)];

/// The goal of the reader. No text may have a silent error, and no exception may stand that is none any more.
#[test]
fn no_text_has_a_silent_error() {
    for (folder, document, truth) in TEXTS {
        let (score, told) = scored(folder, document, truth);
        let silent: Vec<&String> = told.iter().filter(|told| told.contains("SILENT")).collect();
        let excepted: Vec<&str> =
            SAME_IN_EFFECT.iter().filter(|(own, ..)| *own == document).map(|(_, sentence, _)| *sentence).collect();
        let is_excepted = |told: &&&String| excepted.iter().any(|sentence| told.contains(sentence));
        assert_eq!(silent.iter().filter(|told| !is_excepted(told)).collect::<Vec<_>>(), Vec::<&&String>::new());
        for sentence in &excepted {
            assert!(silent.iter().any(|told| told.contains(sentence)), "{document}: `{sentence}` is an error no more");
        }
        assert_eq!(score.silent == 0, excepted.is_empty(), "{document}: {} are counted", score.silent);
    }
}

/// A wrong torque, a missing one and one that is not there are errors, and so are another tool and another place.
#[test]
fn a_wrong_figure_tool_or_place_is_an_error() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let binder = unaccepted(&folder(&root.join("procedures/creamery")));
    let is_same = |truth: &str, found: &str| {
        let core = |line: &str| cores(&binder, &parse_line(line).expect("it is an action"));
        matched(&core(truth), &core(found)) == 1
    };
    assert!(is_same("tighten nut all to {closure torque}", "tighten nut all to {closure torque}"));
    assert!(!is_same("tighten nut all to {closure torque}", "tighten nut all to {guard torque}"));
    assert!(!is_same("tighten nut all to {closure torque}", "tighten nut all"));
    assert!(!is_same("tighten nut all", "tighten nut all to {closure torque}"));
    assert!(is_same("off key with two-leg puller", "off key with PU-1"));
    assert!(!is_same("off key with two-leg puller", "off key with PP-1"));
    assert!(!is_same("off key with two-leg puller", "off key"));
    assert!(is_same("on key on shaft", "on key on shaft"));
    assert!(!is_same("on key on shaft", "on key on casing"));
    assert!(is_same("fill pump with water to 3 bar on PG-1", "fill pump with PG-1 to 3 bar"));
}

/// What the program reads today, so that a change of the reader shows what it gains and costs. The figures of the very first
/// run stand above it in the same file, and are never changed.
#[test]
fn the_figures_are_those_that_are_kept() {
    let mut table = String::from(
        "| text | sentences x machines | actions | right | likeliest right | silent errors | uncertain | not read |\n|---|---|---|---|---|---|---|---|\n",
    );
    for (folder, document, truth) in TEXTS {
        let (own, _) = scored(folder, document, truth);
        let Score { sentences, actions, right, likely, silent, uncertain, not_read, .. } = own;
        let _ = writeln!(
            table,
            "| {document} | {sentences} | {actions} | {right} | {likely} | {silent} | {uncertain} | {not_read} |"
        );
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/truth/README.md");
    let text = fs::read_to_string(&path).expect("the figures are part of the project");
    let (head, kept) = text.split_once("<!-- today -->\n").expect("the mark stands before the table of today");
    if std::env::var_os("MATCHMARK_WRITE_FIGURES").is_some() {
        fs::write(&path, format!("{head}<!-- today -->\n{table}")).expect("the project can be written");
    } else {
        assert_eq!(kept, table);
    }
}
