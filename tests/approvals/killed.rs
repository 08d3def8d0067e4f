//! `prepare`, `approve`, `release` and `people enter` ended at each write, and refused each write: nothing, or all of it.
//!
//! Ignored, since it takes minutes and wants `strace`; `.ci/run` runs it. Every point of a kill is visited; of the points of a
//! full or broken disk at most [`MOST`], evenly, and what is printed says how many of how many.

use crate::kill::{self, Fault, Subject};
use crate::plant::{Plant, Ran};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// The most points that are visited of one command with one refusal of the disk.
const MOST: usize = 8;
/// How long a lock of another program is waited for, and twice that for a computer that has other work.
const PATIENCE: Duration = Duration::from_secs(15);

const FAULTS: [(Fault, usize); 5] = [
    (Fault::Kill, usize::MAX),
    (Fault::Once("ENOSPC"), MOST),
    (Fault::Always("ENOSPC"), MOST),
    (Fault::Once("EIO"), MOST),
    (Fault::Always("EIO"), MOST),
];

/// A command of one person, on a fresh copy of a plant each time.
struct Case {
    plant: Plant,
    name: &'static str,
    words: Vec<String>,
    /// What the command says when it is done.
    done: &'static str,
    /// The paths that stand in the history before.
    before: BTreeSet<String>,
    /// The paths that it brings, from a run that nobody disturbed; where chance or time is in a name, it is left out.
    brings: BTreeSet<String>,
    /// How often a lock that the killed command left was in the way.
    blocked: AtomicUsize,
}

impl Case {
    fn new(plant: Plant, name: &'static str, words: &[&str], done: &'static str) -> Self {
        let words: Vec<String> = words.iter().map(|&word| word.to_owned()).collect();
        let before: BTreeSet<String> = plant.kept().into_iter().collect();
        let mut case = Self { plant, name, words, done, before, brings: BTreeSet::new(), blocked: AtomicUsize::new(0) };
        let place = case.fresh();
        let here = Plant::at(place.path());
        Ran::of(&case.command(place.path()).output().expect("it runs")).ends(0).says(done);
        case.brings = here.kept().into_iter().filter(|path| !case.before.contains(path)).collect();
        assert!(!case.brings.is_empty(), "{name}: it brings nothing");
        case
    }

    /// Runs it again as a person would; a lock that is in the way is taken away only after it was named.
    fn again(&self, here: &Plant, at: &str) -> Ran {
        let begun = Instant::now();
        let ran = self.run(here);
        assert!(begun.elapsed() < PATIENCE, "{at}: it was blocked for {:?}", begun.elapsed());
        if ran.code == 0 {
            return ran;
        }
        assert!(ran.err.contains("is in the way"), "{at}: again: {} {}", ran.code, ran.all());
        self.blocked.fetch_add(1, Ordering::Relaxed);
        assert!(clear_locks(&here.binder().join(".git")) + clear_locks(&here.store()) > 0, "{at}: {}", ran.all());
        self.run(here)
    }

    fn run(&self, here: &Plant) -> Ran {
        here.run(self.name, &self.words.iter().map(String::as_str).collect::<Vec<_>>())
    }

    /// Returns whether all is there that it brings, and asserts that it is all or nothing, and believed.
    fn is_done(&self, here: &Plant, at: &str) -> bool {
        let kept: BTreeSet<String> = here.kept().into_iter().collect();
        let new: BTreeSet<String> = kept.difference(&self.before).cloned().collect();
        let gone: Vec<&String> = self.before.difference(&kept).collect();
        assert!(gone.is_empty(), "{at}: {gone:?} is lost");
        assert!(new.is_empty() || new == self.brings, "{at}: half of it is there: {new:?} of {:?}", self.brings);
        let audit = here.types(self.name, "audit");
        assert_eq!(audit.code, 0, "{at}: {}", audit.all());
        !new.is_empty()
    }

    fn is_sent(&self, here: &Plant) -> bool {
        let kept = here.git_in(&here.store(), &["ls-tree", "-r", "--name-only", "main"]).ends(0).out;
        self.brings.iter().all(|path| kept.lines().any(|line| line == path))
    }
}

impl Subject for Case {
    fn fresh(&self) -> tempfile::TempDir {
        let place = tempfile::TempDir::new().expect("a temporary folder");
        self.plant.copy_to(place.path());
        place
    }

    fn command(&self, place: &Path) -> Command {
        Plant::at(place).command(self.name, &self.words.iter().map(String::as_str).collect::<Vec<_>>())
    }

    fn holds(&self, place: &Path, output: &Output, at: &str) {
        let here = Plant::at(place);
        let told = Ran::of(output);
        let is_shared = here.store().exists();
        let is_done = self.is_done(&here, at);
        let is_sent = !is_shared || self.is_sent(&here);
        let is_said = told.out.contains(self.done);
        assert!(!is_said || (is_done && is_sent), "{at}: said to be done and is not: {}", told.all());
        assert!(told.code != 0 || (is_done && is_sent), "{at}: it ended well and is not done: {}", told.all());
        let again = self.again(&here, at);
        assert_eq!(again.code, 0, "{at}: again: {}", again.all());
        assert!(self.is_done(&here, at), "{at}: again, and it is not done: {}", again.all());
        assert!(!is_shared || self.is_sent(&here), "{at}: again, and it is not sent: {}", again.all());
        let status = here.git(&["status", "--porcelain"]);
        assert_eq!(status, "", "{at}: the open folder is not clean");
        let found = here.git_in(&here.binder(), &["fsck", "--strict", "--no-dangling"]);
        assert_eq!(found.code, 0, "{at}: {}", found.err);
    }
}

/// Removes lock files that lie about, and returns how many there were.
fn clear_locks(folder: &Path) -> usize {
    let Ok(entries) = fs::read_dir(folder) else { return 0 };
    let mut count = 0;
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            count += clear_locks(&path);
        } else if path.extension().is_some_and(|end| end == "lock") && !path.ends_with("matchmark.lock") {
            fs::remove_file(path).expect("writable");
            count += 1;
        }
    }
    count
}

#[expect(clippy::print_stderr, reason = "the count of points is what it is run for")]
fn visit(case: &Case, what: &str) {
    assert!(kill::is_possible(), "strace is needed here: apt-get install strace");
    let begun = Instant::now();
    let mut told = Vec::new();
    for (fault, most) in FAULTS {
        let visited = kill::each_point(case, fault, most);
        told.push(format!("{fault:?} {}/{}", visited.visited, visited.points));
    }
    let (blocked, seconds) = (case.blocked.load(Ordering::Relaxed), begun.elapsed().as_secs());
    eprintln!(
        "{what}: points visited: {}; a lock was left and named {blocked} times; synced writes: {}; {seconds} s",
        told.join(", "),
        kill::syncs(case)
    );
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_change_is_handed_over_or_not() {
    let plant = Plant::with_people();
    let words = ["prepare", "--title", "First issue", "--reason", "it is new"];
    visit(&Case::new(plant, "carol", &words, "Handed over as"), "prepare");
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_change_is_approved_or_not() {
    let plant = Plant::handed_over();
    plant.approve("bob", None);
    let seen = plant.seen("alice", None);
    visit(&Case::new(plant, "alice", &["approve", "--seen", &seen], "alice has approved"), "approve");
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_change_is_released_and_sent_or_not() {
    let plant = Plant::approved();
    plant.share();
    visit(&Case::new(plant, "bob", &["release", "MP-GB-10"], "Released MP-GB-10"), "release");
}

#[test]
#[ignore = "takes minutes and wants strace; .ci/run runs it"]
fn a_list_of_people_is_entered_or_not() {
    let plant = Plant::released();
    let list = plant.list(&["carol"]);
    plant.write("people.yaml", &list);
    plant.types("alice", "people sign").ends(0);
    plant.types("alice", "save").ends(0);
    plant.share();
    visit(&Case::new(plant, "bob", &["people", "enter"], "List 2 of people is in force."), "people enter");
}
