//! A binder made of texts, judged as a whole: the helper of the other modules.

use matchmark::base::finding::Finding;
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::language::noun::Vocabulary;
use matchmark::language::reader::read_step;
use matchmark::language::verb::Verbs;
use matchmark::model::accepted::{self, AcceptedLine};
use matchmark::model::world::World;
use matchmark::packet::view::Packet;
use matchmark::task::check::{Judged, judge};
use matchmark::task::runs;
use matchmark::workspace::disk::Disk;
use matchmark::workspace::memory::Memory;
use std::path::Path;

/// The example binder's folder.
pub(crate) const CREAMERY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/procedures/creamery");

/// Returns the example binder in memory.
pub(crate) fn creamery() -> Memory {
    folder(Path::new(CREAMERY))
}

/// Returns the binder of a folder in memory.
pub(crate) fn folder(path: &Path) -> Memory {
    let disk = Disk::open(path).expect("the example is part of the project");
    let files = disk.list().expect("readable").files;
    Memory::new(files.into_iter().map(|path| (path.to_string(), disk.read(&path, u64::MAX).expect("readable"))))
}

/// Returns a world made of sections `//- path`, each followed by its text.
pub(crate) fn binder(text: &str) -> Memory {
    let section = |section: &str| {
        let (path, content) = section.split_once('\n').expect("a section has a path line");
        (path.trim().to_owned(), content.as_bytes().to_vec())
    };
    Memory::new(text.split("//- ").skip(1).map(section))
}

/// Applies an edit to one file of a world; the text to be replaced must stand there exactly once.
#[track_caller]
pub(crate) fn edit(memory: &mut Memory, path: &str, from: &str, to: &str) {
    let text = String::from_utf8(memory.get(path).expect(path).to_vec()).expect("UTF-8");
    assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {path}");
    memory.put(path, text.replacen(from, to, 1));
}

/// Judges a world that is a binder.
#[track_caller]
pub(crate) fn judged(memory: &Memory) -> Judged {
    judge(memory).expect("it is a binder")
}

/// Returns the packet of a tag.
#[track_caller]
pub(crate) fn packet(judged: &Judged, document: &str, tag: &str) -> Packet {
    let procedure = judged.binder.procedure(&DocumentNumber::new(document)).expect("the document is there");
    let machine = judged.binder.machine(&Tag::new(tag)).expect("the tag is there");
    runs::packet(&judged.binder, &judged.figures, procedure, machine).expect("the packet is whole")
}

/// Draws findings a line each: `severity[rule] path:line:column message (tags)`.
pub(crate) fn drawn(judged: &Judged) -> String {
    let line = |finding: &Finding| {
        let place = finding.span.map_or(String::new(), |span| {
            let (path, at) = judged.binder.texts.locate(span);
            format!(" {path}:{}:{}", at.line, at.column)
        });
        let tags: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        let tags = if tags.is_empty() { String::new() } else { format!(" ({})", tags.join(" ")) };
        format!("{}[{}]{place} {}{tags}", finding.severity.word(), finding.rule.0, finding.message)
    };
    judged.findings.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Accepts actions for sentences of a procedure, as its author would: `(SENTENCE, ACTIONS)`; what else the program asks about
/// is accepted as moving nothing.
#[track_caller]
pub(crate) fn accept(memory: &mut Memory, procedure: &str, sentences: &[(&str, &str)]) {
    let judged = judged(memory);
    let own = judged.binder.procedures.iter().find(|own| judged.binder.texts.get(own.file).path().as_str() == procedure);
    let own = own.expect("the procedure is there");
    let verbs = Verbs::new();
    let read: Vec<_> = own.steps().flat_map(|step| read_step(step, &Vocabulary::default(), &verbs)).collect();
    let path = procedure.replace(".md", ".actions");
    let before = memory.get(&path).map(|bytes| String::from_utf8(bytes.to_vec()).expect("UTF-8"));
    let mut text = before.unwrap_or_else(|| format!("{}\n", accepted::HEAD));
    for (sentence, _) in sentences {
        assert!(read.iter().any(|own| own.sentence.text == *sentence), "`{sentence}` stands in {procedure}");
    }
    let asked: Vec<_> =
        judged.findings.iter().filter(|one| one.rule.0 == "cannot-prove").filter_map(|one| one.span).collect();
    for own in &read {
        let answer = sentences.iter().find(|(sentence, _)| own.sentence.text == *sentence).map(|(_, actions)| *actions);
        let answer = answer.or_else(|| asked.contains(&own.sentence.span).then_some("nothing"));
        if let Some(actions) = answer {
            text.push_str(&AcceptedLine::written(&own.key, &[], actions, &own.sentence.text));
            text.push('\n');
        }
    }
    memory.put(&path, text);
}
