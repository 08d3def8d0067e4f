//! A command ended, or refused by the disk, at each of its writes in turn: what a test of any command that writes can ask for.
//!
//! `strace` does it to the program as it is. A point is one call of one kind by one thread; the points are counted by running
//! once undisturbed, and then visited one by one, each on a fresh copy.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::{Command, Output};

/// The calls that change a disk, or ask for it to be changed. `openat` is among them since it makes files; `close` is not:
/// an error there hangs pipes.
pub(crate) const WRITES: [&str; 21] = [
    "openat",
    "write",
    "pwrite64",
    "writev",
    "rename",
    "renameat",
    "renameat2",
    "unlink",
    "unlinkat",
    "mkdir",
    "mkdirat",
    "rmdir",
    "link",
    "linkat",
    "symlink",
    "fsync",
    "fdatasync",
    "ftruncate",
    "chmod",
    "fchmod",
    "fchmodat",
];

/// What is done at a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    /// The program is killed there.
    Kill,
    /// The call is refused, once.
    Once(&'static str),
    /// The call is refused, and every later one of its kind.
    Always(&'static str),
}

/// A command that can be run again and again, each time on a fresh place.
pub(crate) trait Subject {
    /// Makes a fresh place, as it is before the command.
    fn fresh(&self) -> tempfile::TempDir;
    /// Returns the command in that place.
    fn command(&self, place: &Path) -> Command;
    /// Asserts what must hold after the command was disturbed, and that the same command again finishes. `output` is what the
    /// disturbed command left; `at` names the point.
    fn holds(&self, place: &Path, output: &Output, at: &str);
}

/// Returns whether this computer can do it.
pub(crate) fn is_possible() -> bool {
    Command::new("strace").args(["-f", "-o", "/dev/null", "true"]).output().is_ok_and(|output| output.status.success())
}

/// Returns at which of its calls of each kind the command may change the disk, counted from 1 in the thread that makes them.
///
/// Of the files that are opened only those count that are opened to be written; the loader alone opens dozens to read.
pub(crate) fn points(subject: &dyn Subject, calls: &[&str]) -> BTreeMap<String, BTreeSet<usize>> {
    let place = subject.fresh();
    let log = place.path().join("strace.log");
    let traced = format!("trace={}", calls.join(","));
    let output =
        under(&["-f", "-qq", "-o", log.to_str().expect("UTF-8"), "-e", &traced], &subject.command(place.path()));
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = std::fs::read_to_string(&log).expect("strace wrote it");
    let mut made: BTreeMap<(String, String), usize> = BTreeMap::new();
    let mut points: BTreeMap<String, BTreeSet<usize>> = BTreeMap::new();
    for line in text.lines() {
        let Some((thread, call)) = line.split_once(' ') else { continue };
        let Some((name, rest)) = call.trim_start().split_once('(') else { continue };
        let count = made.entry((name.to_owned(), thread.to_owned())).or_default();
        *count += 1;
        if name != "openat" || ["O_CREAT", "O_WRONLY", "O_RDWR"].iter().any(|flag| rest.contains(flag)) {
            points.entry(name.to_owned()).or_default().insert(*count);
        }
    }
    points
}

/// How many points a command has, and how many of them were visited.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Visited {
    pub(crate) visited: usize,
    pub(crate) points: usize,
}

/// Visits each point of the command; where there are more than `most`, so many of them, evenly over the whole run.
pub(crate) fn each_point(subject: &dyn Subject, fault: Fault, most: usize) -> Visited {
    let all: Vec<(String, usize)> = points(subject, &WRITES)
        .into_iter()
        .flat_map(|(call, places)| places.into_iter().map(move |nth| (call.clone(), nth)))
        .collect();
    let count = all.len().min(most);
    for at in 0..count {
        let (call, nth) = &all[at * all.len() / count];
        visit(subject, fault, call, *nth);
    }
    Visited { visited: count, points: all.len() }
}

fn visit(subject: &dyn Subject, fault: Fault, call: &str, nth: usize) {
    let place = subject.fresh();
    let what = match fault {
        Fault::Kill => format!("signal=SIGKILL:when={nth}"),
        Fault::Once(error) => format!("error={error}:when={nth}"),
        Fault::Always(error) => format!("error={error}:when={nth}+"),
    };
    let inject = format!("inject={call}:{what}");
    let traced = format!("trace={call}");
    let options = ["-f", "-qq", "-o", "/dev/null", "-e", &traced, "-e", &inject];
    let output = under(&options, &subject.command(place.path()));
    subject.holds(place.path(), &output, &format!("{call} {nth}, {fault:?}"));
}

/// Returns how often the command asks for its writes to be on the disk.
pub(crate) fn syncs(subject: &dyn Subject) -> usize {
    points(subject, &["fsync", "fdatasync"]).values().map(BTreeSet::len).sum()
}

fn under(options: &[&str], command: &Command) -> Output {
    let mut traced = Command::new("strace");
    traced.args(options).arg("--").arg(command.get_program()).args(command.get_args()).env_clear();
    for (name, value) in command.get_envs() {
        if let Some(value) = value {
            traced.env(name, value);
        }
    }
    if let Some(folder) = command.get_current_dir() {
        traced.current_dir(folder);
    }
    traced.output().expect("strace is installed")
}
