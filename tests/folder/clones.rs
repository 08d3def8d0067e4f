//! The helper: people with a computer each, a shared folder between them, and stock git to look at what they made.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// The example binder.
pub(crate) const CREAMERY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/procedures/creamery");

/// What a run left behind.
#[derive(Debug)]
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Ran {
    pub(crate) fn of(output: &Output) -> Self {
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        Self { code: output.status.code().unwrap_or(-1), out: text(&output.stdout), err: text(&output.stderr) }
    }

    /// Asserts how it ended.
    #[track_caller]
    pub(crate) fn ends(self, code: i32) -> Self {
        assert_eq!(self.code, code, "{}\n{}", self.out, self.err);
        self
    }

    /// Asserts that it said this, on either stream.
    #[track_caller]
    pub(crate) fn says(self, words: &str) -> Self {
        let whole = format!("{}{}", self.out, self.err);
        assert!(whole.contains(words), "`{words}` is not said in:\n{whole}");
        self
    }
}

/// A few people and a shared place.
pub(crate) struct Plant {
    pub(crate) folder: TempDir,
}

/// One person's copy.
pub(crate) struct Desk {
    pub(crate) name: String,
    pub(crate) home: PathBuf,
    pub(crate) binder: PathBuf,
}

impl Plant {
    pub(crate) fn new() -> Self {
        Self { folder: TempDir::new().expect("a temporary folder") }
    }

    pub(crate) fn store(&self) -> PathBuf {
        self.folder.path().join("store.git")
    }

    /// Returns a desk whose copy of the example was not saved yet.
    pub(crate) fn desk(&self, name: &str) -> Desk {
        let home = self.folder.path().join(format!("home-{name}"));
        fs::create_dir_all(&home).expect("writable");
        Desk { name: name.to_owned(), home, binder: self.folder.path().join(name) }
    }

    /// Returns carol, who saved and shared the small binder, and bob with a copy of it.
    #[track_caller]
    pub(crate) fn two(&self) -> (Desk, Desk) {
        let (carol, bob) = (self.desk("carol"), self.desk("bob"));
        carol.small();
        carol.run(&["save"]).ends(0);
        carol.run(&["sync", "--with", self.store().to_str().expect("UTF-8")]).ends(0);
        bob.copy_of(&self.store());
        (carol, bob)
    }
}

/// The environment of a person: nothing of the surroundings but where programs are.
pub(crate) fn clean(command: &mut Command, name: &str, home: &Path) {
    command.env_clear().env("PATH", "/usr/local/bin:/usr/bin:/bin").env("HOME", home).env("USER", name);
}

impl Desk {
    /// Puts the example binder there.
    pub(crate) fn creamery(&self) {
        copy(Path::new(CREAMERY), &self.binder);
    }

    /// Puts a binder of a few files there: enough to be saved, and read in no time.
    pub(crate) fn small(&self) {
        self.write("binder.yaml", "format: 1\nname: creamery\n");
        self.write("seals/MP-1.md", STEPS);
        self.write("fleet.yaml", ROWS);
        self.write("figures/a.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n");
    }

    #[track_caller]
    pub(crate) fn copy_of(&self, store: &Path) {
        let binder = self.binder.to_str().expect("UTF-8");
        self.run_in(&self.home, &["sync", binder, "--copy-of", store.to_str().expect("UTF-8")]).ends(0);
    }

    pub(crate) fn command(&self, folder: &Path, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_matchmark"));
        command.args(words).current_dir(folder);
        clean(&mut command, &self.name, &self.home);
        command
    }

    pub(crate) fn run_in(&self, folder: &Path, words: &[&str]) -> Ran {
        Ran::of(&self.command(folder, words).output().expect("the program was built for this test"))
    }

    /// Runs the program in the binder.
    pub(crate) fn run(&self, words: &[&str]) -> Ran {
        self.run_in(&self.binder, words)
    }

    /// Runs stock git in the binder and returns what it prints.
    #[track_caller]
    pub(crate) fn git(&self, words: &[&str]) -> String {
        git(&self.binder, &self.name, &self.home, words).ends(0).out
    }

    pub(crate) fn write(&self, path: &str, text: &str) {
        let place = self.binder.join(path);
        fs::create_dir_all(place.parent().expect("a folder")).expect("writable");
        fs::write(place, text).expect("writable");
    }

    #[track_caller]
    pub(crate) fn read(&self, path: &str) -> String {
        fs::read_to_string(self.binder.join(path)).expect("readable")
    }

    pub(crate) fn read_if(&self, path: &str) -> Option<String> {
        fs::read_to_string(self.binder.join(path)).ok()
    }

    /// Exchanges words of a file, which must be there once.
    #[track_caller]
    pub(crate) fn edit(&self, path: &str, from: &str, to: &str) {
        let text = self.read(path);
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {path}");
        self.write(path, &text.replace(from, to));
    }

    /// Puts a file into the history as a command that signs does, without being one: by stock git, committed as it stands.
    #[track_caller]
    pub(crate) fn sign(&self, files: &[(&str, &str)], words: &str) {
        for (path, text) in files {
            self.write(path, text);
            self.git(&["add", "-f", path]);
        }
        self.git(&[
            "-c",
            "user.name=x",
            "-c",
            "user.email=x@x",
            "commit",
            "--quiet",
            "--author",
            &format!("{0} <{0}@x>", self.name),
            "-m",
            words,
        ]);
    }

    #[track_caller]
    pub(crate) fn tip(&self) -> String {
        self.git(&["rev-parse", "HEAD"]).trim().to_owned()
    }

    /// Asserts that git finds the history whole and the open folder as it was saved.
    #[track_caller]
    pub(crate) fn is_sound(&self) {
        let found = git(&self.binder, &self.name, &self.home, &["fsck", "--strict", "--no-dangling"]).ends(0);
        assert!(!found.err.contains("error"), "{}", found.err);
        assert_eq!(self.git(&["status", "--short"]), "");
        self.has_no_marks();
    }

    #[track_caller]
    pub(crate) fn has_no_marks(&self) {
        for path in below(&self.binder) {
            let bytes = fs::read(&path).expect("readable");
            assert!(!bytes.windows(7).any(|seven| seven == b"<<<<<<<"), "{}", path.display());
        }
    }
}

/// Runs stock git in an environment that holds no settings.
pub(crate) fn git(folder: &Path, name: &str, home: &Path, words: &[&str]) -> Ran {
    let mut command = Command::new("git");
    command.args(["-c", "safe.directory=*"]).args(words).current_dir(folder);
    clean(&mut command, name, home);
    command.env("GIT_CONFIG_NOSYSTEM", "1");
    Ran::of(&command.output().expect("git is installed"))
}

/// Copies a folder with everything in it.
pub(crate) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("writable");
    for entry in fs::read_dir(from).expect("readable") {
        let entry = entry.expect("readable");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("writable");
        }
    }
}

/// Returns every file of the open folder.
pub(crate) fn below(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("readable").map(|entry| entry.expect("readable").path());
    let seen = entries.filter(|path| {
        // What a killed command was writing is nobody's text.
        path.file_name().is_some_and(|name| name != ".git" && !name.to_string_lossy().starts_with(".tmp"))
    });
    seen.flat_map(|path| if path.is_dir() { below(&path) } else { vec![path] }).collect()
}

/// A procedure of the small binder.
pub(crate) const STEPS: &str = "---\ndocument: MP-1\ntitle: Renew the seal\n---\n\n## Strip\n\n1. Remove the guard.\n2. Remove the nuts.\n3. Remove the casing.\n4. Remove the ring.\n\n## Rebuild\n\n5. Fit the ring.\n6. Fit the casing.\n7. Tighten the nuts to 25 N·m.\n";

/// A register of the small binder.
pub(crate) const ROWS: &str = "tags:\n  - {tag: P-101, place: bay 1, torque: 10 N·m}\n  - {tag: P-102, place: bay 2, torque: 12 N·m}\n  - {tag: P-103, place: bay 3, torque: 25 N·m}\n  - {tag: P-104, place: bay 4, torque: 44 N·m}\n";
