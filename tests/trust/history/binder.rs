//! A binder on a disk with a real repository, into which an invented plant saves as people do, and the program that is asked
//! about it; also stock git, as an attacker would use it.

use crate::plant::{Packet, Plant, key, line};
use matchmark::base::risk::RiskClass;
use matchmark::history::point::{Author, Files};
use matchmark::history::repo::Repo;
use matchmark::trust::approval::Meaning;
use matchmark::trust::digest::Digest;
use matchmark::trust::manifest::Manifest;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

pub(crate) const PACKETS: [Packet<'_>; 2] = [("MP-PA-101", "P-121", "121 by 1"), ("MP-PA-101", "P-122", "122 by 1")];
pub(crate) const NEXT: [Packet<'_>; 1] = [("MP-PA-101", "P-121", "121 by 2")];

/// A binder, the plant that saves into it, and what one user's computer remembers.
pub(crate) struct Binder {
    place: TempDir,
    pub(crate) plant: Plant,
    saved: BTreeMap<String, Vec<u8>>,
}

/// What a run left behind.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Binder {
    /// Returns a binder with its sources saved, and the root of a plant after them.
    pub(crate) fn new() -> Self {
        let place = TempDir::new().expect("a folder");
        let folder = place.path().join("binder");
        fs::create_dir_all(folder.join("seals")).expect("writable");
        fs::write(folder.join("binder.yaml"), "format: 1\n").expect("writable");
        fs::write(folder.join("seals/MP-PA-101.md"), "the words").expect("writable");
        let repo = Repo::make(&folder).expect("a repository");
        let files = Files::from([
            ("binder.yaml".to_owned(), Some(b"format: 1\n".to_vec())),
            ("seals/MP-PA-101.md".to_owned(), Some(b"the words".to_vec())),
        ]);
        let first = repo.put(None, &files, "the words", &author(0)).expect("saved");
        let mut binder = Self { place, plant: Plant::new(), saved: BTreeMap::new() };
        binder.plant.commit = first.to_string();
        binder.save();
        binder
    }

    /// Returns a binder with two releases, each prepared, approved and released in states of their own.
    pub(crate) fn with_two_releases() -> Self {
        let mut binder = Self::new();
        binder.change(&PACKETS, "2026-10-01");
        binder.change(&NEXT, "2026-10-02");
        binder
    }

    pub(crate) fn folder(&self) -> PathBuf {
        self.place.path().join("binder")
    }

    /// Returns a folder beside the binder.
    pub(crate) fn beside(&self, name: &str) -> PathBuf {
        self.place.path().join(name)
    }

    pub(crate) fn repo(&self) -> Repo {
        Repo::open(&self.folder()).expect("a repository")
    }

    /// Saves what is new on the plant's shelf as one state, and lays it out in the open folder.
    pub(crate) fn save(&mut self) -> String {
        let files: Files = self
            .plant
            .shelf
            .files()
            .filter(|(path, bytes)| self.saved.get(*path).is_none_or(|saved| saved != bytes))
            .map(|(path, bytes)| (path.to_owned(), Some(bytes.to_vec())))
            .chain(self.saved.keys().filter(|path| !has(&self.plant, path)).map(|path| (path.clone(), None)))
            .collect();
        let repo = self.repo();
        let base = repo.tip().expect("a state");
        let made = repo.put(base, &files, "a state", &author(self.saved.len())).expect("saved");
        repo.lay_out(files.into_keys()).expect("laid out");
        self.saved = self.plant.shelf.files().map(|(path, bytes)| (path.to_owned(), bytes.to_vec())).collect();
        made.to_string()
    }

    /// Prepares, approves and releases a change, each in a state of its own.
    pub(crate) fn change(&mut self, packets: &[Packet<'_>], from: &str) -> Digest {
        let digest = self.approved(packets);
        self.plant.release(digest, from);
        self.save();
        digest
    }

    /// Prepares a change and has it approved.
    pub(crate) fn approved(&mut self, packets: &[Packet<'_>]) -> Digest {
        let manifest = Manifest { title: line("a change"), ..self.plant.manifest(RiskClass::Value, packets) };
        let digest = self.plant.prepare(&manifest, packets);
        self.save();
        for by in ["alice", "bob"] {
            self.plant.say(digest, by, "approve", Meaning::ApprovedForUse, &key(by));
            self.save();
        }
        digest
    }

    /// Runs the program as the binder's user.
    pub(crate) fn run(&self, arguments: &[&str]) -> Ran {
        self.run_as("home", arguments, &[])
    }

    /// Runs the program as a user with a home beside the binder, with these variables and no other.
    pub(crate) fn run_as(&self, home: &str, arguments: &[&str], variables: &[(&str, &str)]) -> Ran {
        run_in(&self.folder(), &self.beside(home), arguments, variables)
    }

    /// Audits the binder: how it ends, and each verdict as severity, code and object.
    pub(crate) fn audit(&self) -> (i32, Vec<String>) {
        audit_of(&self.folder(), &self.beside("home"))
    }

    /// Runs stock git in the binder.
    pub(crate) fn git(&self, arguments: &[&str]) -> String {
        git(&self.folder(), arguments)
    }

    /// Returns where a file of the repository's own lies.
    pub(crate) fn own(&self, name: &str) -> PathBuf {
        self.folder().join(".git").join(name)
    }

    /// Adds lines to the repository's own settings.
    pub(crate) fn set(&self, lines: &str) {
        let path = self.own("config");
        let text = fs::read_to_string(&path).expect("readable");
        fs::write(path, format!("{text}{lines}")).expect("writable");
    }

    /// Makes a state by plumbing alone, with this entry put in or taken out: nothing of git keeps an attacker from it.
    pub(crate) fn forge(&self, mode: &str, object: &str, path: &str) -> String {
        let index = self.own("forged-index");
        let tree = {
            let run = |arguments: &[&str]| git_with(&self.folder(), arguments, &[("GIT_INDEX_FILE", &index)], "");
            run(&["read-tree", "HEAD"]);
            if mode == "0" {
                run(&["update-index", "--force-remove", path]);
            } else {
                run(&["update-index", "--add", "--cacheinfo", &format!("{mode},{object},{path}")]);
            }
            run(&["write-tree"])
        };
        let commit = self.git(&["commit-tree", &tree, "-p", "HEAD", "-m", "a forged state"]);
        self.git(&["update-ref", "HEAD", &commit]);
        commit
    }

    /// Puts an object into the repository and returns git's name of it.
    pub(crate) fn blob(&self, text: &str) -> String {
        git_with(&self.folder(), &["hash-object", "-w", "--stdin"], &[], text)
    }

    /// Returns where a loose object lies.
    pub(crate) fn loose(&self, object: &str) -> PathBuf {
        self.own("objects").join(&object[..2]).join(&object[2..])
    }
}

fn has(plant: &Plant, path: &str) -> bool {
    plant.shelf.files().any(|(own, _)| own == path)
}

fn author(after: usize) -> Author {
    let second = 1_790_000_000 + i64::try_from(after).expect("small");
    Author { name: "Carol Vance".to_owned(), address: "carol@plant".to_owned(), second }
}

/// Runs the program in a folder, in an environment that holds a home and these variables.
pub(crate) fn run_in(folder: &Path, home: &Path, arguments: &[&str], variables: &[(&str, &str)]) -> Ran {
    let mut command = Command::new(env!("CARGO_BIN_EXE_matchmark"));
    // A day after everything that the plant signed.
    command.env_clear().env("HOME", home).env("SOURCE_DATE_EPOCH", "1800000000");
    command.args(arguments).envs(variables.iter().copied()).current_dir(folder);
    let output = command.output().expect("the program was built for this test");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Ran { code: output.status.code().unwrap_or(-1), out: text(&output.stdout), err: text(&output.stderr) }
}

pub(crate) fn audit_of(folder: &Path, home: &Path) -> (i32, Vec<String>) {
    let ran = run_in(folder, home, &["audit", "--format", "plain"], &[]);
    let lines: Vec<String> = ran.out.lines().map(str::to_owned).collect();
    let verdict = |line: &String| {
        let cells: Vec<&str> = line.split('\t').collect();
        (cells.len() == 10).then(|| format!("{} {} {}", cells[0], cells[1], cells[2]))
    };
    let mut told: Vec<String> = lines.iter().filter_map(verdict).collect();
    if lines.is_empty() {
        told.push(ran.err);
    }
    (ran.code, told)
}

pub(crate) fn git(folder: &Path, arguments: &[&str]) -> String {
    git_with(folder, arguments, &[], "")
}

/// Runs stock git with nobody's settings and returns what it printed.
pub(crate) fn git_with(folder: &Path, arguments: &[&str], variables: &[(&str, &Path)], input: &str) -> String {
    use std::io::Write as _;
    let mut command = Command::new("git");
    command.env_clear().env("PATH", std::env::var_os("PATH").unwrap_or_default());
    command.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_NOSYSTEM", "1").env("HOME", "/nonexistent");
    command.envs(variables.iter().copied()).current_dir(folder);
    command.args(["-c", "user.name=plant", "-c", "user.email=plant@example.org", "-c", "protocol.file.allow=always"]);
    command.args(["-c", "commit.gpgsign=false", "-c", "core.fsmonitor=false", "-c", "advice.detachedHead=false"]);
    command.args(arguments).stdin(std::process::Stdio::piped());
    command.stdout(std::process::Stdio::piped()).stderr(std::process::Stdio::piped());
    let mut child = command.spawn().expect("git is here");
    child.stdin.take().expect("piped").write_all(input.as_bytes()).expect("taken");
    let output = child.wait_with_output().expect("it ends");
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}
