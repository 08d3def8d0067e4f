//! `save`, `undo` and `sync` ended at each write, and refused each write: old or new, never half, and the same again finishes.
//!
//! Ignored, since it takes minutes and wants `strace`; `.ci/run` runs it.

use crate::clones::{Desk, Plant, Ran, copy};
use crate::kill::{self, Fault, Subject};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// A binder with a save and an unsaved change, or without any save; copied fresh for each point.
struct Case {
    plant: Plant,
    words: Vec<String>,
    /// What stands in the history before, and after, of the file that changes.
    check: fn(&Desk, &Output, &str),
}

fn desk(place: &Path) -> Desk {
    Desk { name: "carol".to_owned(), home: place.join("home-carol"), binder: place.join("carol") }
}

impl Subject for Case {
    fn fresh(&self) -> tempfile::TempDir {
        let place = tempfile::TempDir::new().expect("a temporary folder");
        copy(self.plant.folder.path(), place.path());
        // The copy's shared place is its own.
        let here = desk(place.path());
        if place.path().join("store.git").exists() {
            here.git(&["config", "remote.origin.url", place.path().join("store.git").to_str().expect("UTF-8")]);
        }
        place
    }

    fn command(&self, place: &Path) -> Command {
        let here = desk(place);
        let words: Vec<&str> = self.words.iter().map(String::as_str).collect();
        here.command(&here.binder, &words)
    }

    fn holds(&self, place: &Path, output: &Output, at: &str) {
        let here = desk(place);
        // A lock that a killed git work left is taken away by hand, as the message says.
        let blocked = clear_locks(&here.binder.join(".git")) + clear_locks(&place.join("store.git"));
        let _ = blocked;
        (self.check)(&here, output, at);
        let fsck = crate::clones::git(&here.binder, "carol", &here.home, &["fsck", "--strict", "--no-dangling"]);
        assert!(fsck.code == 0 || !here.binder.join(".git/refs/heads/main").exists(), "{at}: {}", fsck.err);
        here.has_no_marks();
    }
}

/// Removes lock files that lie about, and returns how many there were.
fn clear_locks(folder: &Path) -> usize {
    let Ok(entries) = fs::read_dir(folder) else { return 0 };
    let mut count = 0;
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            count += clear_locks(&path);
        } else if path.extension().is_some_and(|end| end == "lock")
            && path.file_name().is_some_and(|n| n != "matchmark.lock")
        {
            fs::remove_file(path).expect("writable");
            count += 1;
        }
    }
    count
}

fn succeeded(output: &Output) -> bool {
    output.status.code() == Some(0)
}

fn said(output: &Output) -> String {
    let ran = Ran::of(output);
    format!("{}{}", ran.out, ran.err)
}

const FAULTS: [Fault; 5] =
    [Fault::Kill, Fault::Once("ENOSPC"), Fault::Always("ENOSPC"), Fault::Once("EIO"), Fault::Always("EIO")];

#[expect(clippy::print_stderr, reason = "the count of points is what it is run for")]
fn visit(case: &Case, name: &str, faults: &[Fault]) {
    assert!(kill::is_possible(), "strace is needed here: apt-get install strace");
    let mut told = Vec::new();
    for fault in faults {
        let visited = kill::each_point(case, *fault, usize::MAX);
        told.push(format!("{fault:?} {}/{}", visited.visited, visited.points));
    }
    eprintln!("{name}: points visited: {}; synced writes: {}", told.join(", "), kill::syncs(case));
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_save_is_there_or_not() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.write("fleet.yaml", "tags: []\n");
    carol.write("seals/new.md", "new\n");
    let check = |here: &Desk, output: &Output, at: &str| {
        let names = here.git(&["ls-tree", "-r", "--name-only", "HEAD"]);
        let row = here.git(&["cat-file", "blob", "HEAD:fleet.yaml"]);
        let is_new = names.contains("seals/new.md");
        assert_eq!(is_new, row == "tags: []\n", "{at}: half of it is saved");
        let told = said(output);
        assert!(is_new || !told.contains("Saved "), "{at}: said to be saved and is not: {told}");
        assert!(is_new || !succeeded(output), "{at}: it ended well and did nothing");
        assert_eq!(here.read("seals/new.md"), "new\n", "{at}");
        here.run(&["save"]).ends(0);
        assert!(here.git(&["ls-tree", "-r", "--name-only", "HEAD"]).contains("seals/new.md"), "{at}");
        here.is_sound();
    };
    visit(&Case { plant, words: vec!["save".to_owned()], check }, "save", &FAULTS);
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_first_save_is_there_or_not() {
    let plant = Plant::new();
    plant.desk("carol").small();
    let check = |here: &Desk, output: &Output, at: &str| {
        let is_there = here.binder.join(".git/refs/heads/main").exists();
        assert!(is_there || !said(output).contains("Saved "), "{at}");
        assert!(is_there || !succeeded(output), "{at}: it ended well and did nothing");
        let ran = here.run(&["save"]);
        assert_eq!(ran.code, 0, "{at}: {}{}", ran.out, ran.err);
        here.is_sound();
        assert_eq!(here.git(&["ls-tree", "-r", "--name-only", "HEAD"]).lines().count(), 6, "{at}");
    };
    visit(
        &Case { plant, words: vec!["save".to_owned()], check },
        "first save",
        &[Fault::Kill, Fault::Always("ENOSPC")],
    );
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn what_undo_takes_back_is_there_or_kept() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.write("fleet.yaml", "tags: []\n");
    carol.write("seals/new.md", "new\n");
    let check = |here: &Desk, output: &Output, at: &str| {
        let rows = here.read("fleet.yaml");
        assert!(rows == "tags: []\n" || rows == crate::clones::ROWS, "{at}: half a file: {rows}");
        let kept = here.git(&["for-each-ref", "--format=%(objectname)", "refs/matchmark/aside"]);
        let is_kept = |path: &str, text: &str| {
            here.read_if(path).is_some_and(|own| own == text)
                || kept.lines().any(|state| here.git(&["cat-file", "blob", &format!("{state}:{path}")]) == text)
        };
        assert!(
            is_kept("fleet.yaml", "tags: []\n") && is_kept("seals/new.md", "new\n"),
            "{at}: what was written is lost"
        );
        if !succeeded(output) {
            let again = here.run(&["undo", "--yes"]);
            assert!(again.code == 0 || again.err.contains("no state before the first"), "{at}: {}", again.err);
        }
        assert_eq!(here.read("fleet.yaml"), crate::clones::ROWS, "{at}");
    };
    visit(
        &Case { plant, words: vec!["undo".to_owned(), "--yes".to_owned()], check },
        "undo",
        &[Fault::Kill, Fault::Always("ENOSPC")],
    );
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_sync_brings_in_all_or_nothing_and_reverts_nobody() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    bob.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    bob.write("seals/his.md", "his\n");
    bob.run(&["save"]).ends(0);
    bob.run(&["sync"]).ends(0);
    carol.edit("seals/MP-1.md", "Fit the casing", "Set the casing on");
    carol.run(&["save"]).ends(0);
    let check = |here: &Desk, output: &Output, at: &str| {
        let store = here.binder.parent().expect("a place").join("store.git");
        let sent = crate::clones::git(&store, "x", &here.home, &["cat-file", "blob", "main:seals/MP-1.md"]).ends(0).out;
        assert!(sent.contains("Remove all nuts"), "{at}: the others' save is lost");
        assert!(
            sent.contains("Set the casing on") || !said(output).contains("Sent "),
            "{at}: said to be sent and is not"
        );
        // Whoever saves next, without looking, must not save the others' work away.
        let ran = here.run(&["save"]);
        assert_eq!(ran.code, 0, "{at}: {}{}", ran.out, ran.err);
        here.run(&["sync"]);
        let both = here.read("seals/MP-1.md");
        assert!(both.contains("Remove all nuts") && both.contains("Set the casing on"), "{at}: {both}");
        assert_eq!(here.read("seals/his.md"), "his\n", "{at}");
        let sent = crate::clones::git(&store, "x", &here.home, &["cat-file", "blob", "main:seals/MP-1.md"]).ends(0).out;
        assert!(sent == both, "{at}: it is not sent");
        here.is_sound();
    };
    visit(&Case { plant, words: vec!["sync".to_owned()], check }, "sync", &[Fault::Kill]);
}

/// What is said to be saved is on the disk: the objects, the reference and its log are synced before it is said.
#[test]
#[ignore = "wants strace; .ci/run runs it"]
fn a_save_is_on_the_disk_before_it_is_said() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.write("fleet.yaml", "tags: []\n");
    let check = |_: &Desk, _: &Output, _: &str| {};
    let case = Case { plant, words: vec!["save".to_owned()], check };
    let count = kill::syncs(&case);
    // One text, one list of files, one state: three objects and their folders, then the reference and its folder.
    assert!(count >= 4, "{count} calls");
    eprintln!("save of one file: {count} calls of fsync or fdatasync");
}
