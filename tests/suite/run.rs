//! Jobs executed on paper: what the rules of state and order find, with the sentences read by hand.
//!
//! What a sentence does is written here beside it, so that these tests judge the executed job and not the reader.

use crate::binder::{creamery, edit};
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
        let find = |step: &'_ Vec<(String, String)>, text: &str| {
            step.iter().position(|(sentence, _)| sentence == text)
        };
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
