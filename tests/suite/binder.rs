//! A binder made of texts, judged as a whole: the helper of the other modules.

use matchmark::base::finding::Finding;
use matchmark::base::name::{DocumentNumber, Tag};
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

/// Returns the example binder with one of its procedures only.
pub(crate) fn creamery_with(procedure: &str) -> Memory {
    let mut world = creamery();
    let others: Vec<String> = world
        .list()
        .expect("it is in memory")
        .files
        .into_iter()
        .filter(|path| path.extension() == "md" && path.as_str() != procedure)
        .map(|path| path.to_string())
        .collect();
    for other in others {
        world.take(&other);
        world.take(&other.replace(".md", ".actions"));
    }
    world
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
