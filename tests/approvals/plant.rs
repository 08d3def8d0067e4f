//! The helper: a small plant, its people with a home and a key each, and what the program answers when one of them types.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// The people, with what they may do. Dave stands in no list.
const PEOPLE: [(&str, &str, &str); 3] = [
    ("alice", "Alice Brandt", "approve, safety, root"),
    ("bob", "Bob Okoro", "approve, release, root"),
    ("carol", "Carol Vance", "prepare"),
];
/// How many must approve, and sign the list.
const POLICY: &str = "approvals:\n  wording: 1\n  value: 1\n  sequence: 1\n  applicability: 1\n  safety: {people: 2, of-which: {safety: 1}}\nroot: 1\n";

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

    /// Returns both streams.
    pub(crate) fn all(&self) -> String {
        format!("{}{}", self.out, self.err)
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
        assert!(self.all().contains(words), "`{words}` is not said in:\n{}", self.all());
        self
    }

    /// Asserts that it did not say this, on either stream.
    #[track_caller]
    pub(crate) fn never_says(self, words: &str) -> Self {
        assert!(!self.all().contains(words), "`{words}` is said in:\n{}", self.all());
        self
    }
}

/// A binder that the people use in turn, each with a home.
pub(crate) struct Plant {
    root: PathBuf,
    _folder: Option<TempDir>,
}

impl Plant {
    /// Returns a plant whose binder has no errors and was saved; nobody may sign anything in it yet.
    #[track_caller]
    pub(crate) fn new() -> Self {
        let folder = TempDir::new().expect("a temporary folder");
        let plant = Self { root: folder.path().to_owned(), _folder: Some(folder) };
        for name in ["alice", "bob", "carol", "dave"] {
            fs::create_dir_all(plant.home(name)).expect("writable");
            plant.run_in(&plant.root, name, &["key", "new", name, "--no-passphrase"]).ends(0);
        }
        plant.run_in(&plant.root, "carol", &["init", "binder"]).ends(0);
        plant.edit("families/GB.yaml", "unknown, ", "2.40 L, ");
        plant.edit("gearboxes/MP-GB-10.md", "JK-2", "JK-1");
        plant.edit("gearboxes/MP-GB-10.md", "strainer hexagn", "strainer hexagon");
        plant.types("carol", "accept MP-GB-10 --certain").ends(0);
        plant.types("carol", "save").ends(0);
        plant
    }

    /// Returns a plant where the list of people is in force.
    #[track_caller]
    pub(crate) fn with_people() -> Self {
        let plant = Self::new();
        let list = plant.list(&[]);
        plant.write("people.yaml", &list);
        plant.types("alice", "people sign").ends(0);
        plant.types("alice", "save").ends(0);
        plant.types("bob", "people enter").ends(0).says("List 1 of people is in force.");
        plant
    }

    /// Returns a plant where the first issue was handed over.
    #[track_caller]
    pub(crate) fn handed_over() -> Self {
        let plant = Self::with_people();
        plant.hand_over("First issue");
        plant
    }

    /// Returns a plant where the first issue is approved by all who must.
    #[track_caller]
    pub(crate) fn approved() -> Self {
        let plant = Self::handed_over();
        plant.approve("alice", None);
        plant.approve("bob", None);
        plant
    }

    /// Returns a plant where the first issue is released.
    #[track_caller]
    pub(crate) fn released() -> Self {
        let plant = Self::approved();
        plant.types("bob", "release").ends(0).says("Released MP-GB-10 revision 1 as 000002");
        plant
    }

    /// Returns a plant that stands in a folder already.
    pub(crate) fn at(root: &Path) -> Self {
        Self { root: root.to_owned(), _folder: None }
    }

    /// Copies the plant with everybody's home; a place that is shared is the copy's own.
    pub(crate) fn copy_to(&self, root: &Path) -> Self {
        copy(&self.root, root);
        let plant = Self::at(root);
        if plant.store().exists() {
            plant.git(&["config", "remote.origin.url", plant.store().to_str().expect("UTF-8")]);
        }
        plant
    }

    /// Shares the binder in a folder beside it.
    #[track_caller]
    pub(crate) fn share(&self) {
        self.run("carol", &["sync", "--with", self.store().to_str().expect("UTF-8")]).ends(0);
    }

    pub(crate) fn store(&self) -> PathBuf {
        self.root.join("store.git")
    }

    pub(crate) fn binder(&self) -> PathBuf {
        self.root.join("binder")
    }

    pub(crate) fn home(&self, name: &str) -> PathBuf {
        self.root.join(format!("home-{name}"))
    }

    /// Returns the program with these words as a person types them in the binder.
    pub(crate) fn command(&self, name: &str, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_matchmark"));
        command.args(words).current_dir(self.binder());
        self.clean(&mut command, name);
        command
    }

    fn clean(&self, command: &mut Command, name: &str) {
        let path = "/usr/local/bin:/usr/bin:/bin";
        command.env_clear().env("PATH", path).env("HOME", self.home(name)).env("USER", name);
    }

    fn run_in(&self, folder: &Path, name: &str, words: &[&str]) -> Ran {
        let mut command = self.command(name, words);
        Ran::of(&command.current_dir(folder).output().expect("the program was built for this test"))
    }

    /// Runs the program in the binder as a person, with these words.
    pub(crate) fn run(&self, name: &str, words: &[&str]) -> Ran {
        self.run_in(&self.binder(), name, words)
    }

    /// Runs the program in the binder as a person; the words are separated by blanks.
    pub(crate) fn types(&self, name: &str, line: &str) -> Ran {
        self.run(name, &line.split_whitespace().collect::<Vec<_>>())
    }

    /// Runs stock git in the binder, and returns what it prints.
    #[track_caller]
    pub(crate) fn git(&self, words: &[&str]) -> String {
        self.git_in(&self.binder(), words).ends(0).out
    }

    /// Runs stock git in a folder.
    pub(crate) fn git_in(&self, folder: &Path, words: &[&str]) -> Ran {
        let mut command = Command::new("git");
        command.args(["-c", "safe.directory=*"]).args(words).current_dir(folder);
        self.clean(&mut command, "carol");
        Ran::of(&command.env("GIT_CONFIG_NOSYSTEM", "1").output().expect("git is installed"))
    }

    pub(crate) fn write(&self, path: &str, text: &str) {
        fs::write(self.binder().join(path), text).expect("writable");
    }

    #[track_caller]
    pub(crate) fn read(&self, path: &str) -> String {
        fs::read_to_string(self.binder().join(path)).expect("readable")
    }

    /// Exchanges words of a file, which must be there once.
    #[track_caller]
    pub(crate) fn edit(&self, path: &str, from: &str, to: &str) {
        let text = self.read(path);
        assert_eq!(text.matches(from).count(), 1, "`{from}` in {path}");
        self.write(path, &text.replace(from, to));
    }

    /// Returns a draft of the list of people in which these people's lines are left out.
    #[track_caller]
    pub(crate) fn list(&self, without: &[&str]) -> String {
        let mut text = String::from("people:\n");
        for (id, name, roles) in PEOPLE.iter().filter(|(id, _, _)| !without.contains(id)) {
            let key = self.types(id, "key show").ends(0).out;
            let key =
                key.split("ssh-ed25519 ").nth(1).expect("a key").split_whitespace().next().expect("a key").to_owned();
            let line =
                format!("  - id: {id}\n    name: {name}\n    roles: [{roles}]\n    keys: [\"ssh-ed25519 {key}\"]\n");
            text.push_str(&line);
        }
        text + POLICY
    }

    /// Hands everything that differs over as carol, and returns the letters of the change.
    #[track_caller]
    pub(crate) fn hand_over(&self, title: &str) -> String {
        let ran = self.run("carol", &["prepare", "--title", title, "--reason", "it is time"]).ends(0);
        letters(&ran.out, "Handed over as ", 8)
    }

    /// Saves an edit of the oil volume of size 3 and hands it over; returns the letters of the change.
    #[track_caller]
    pub(crate) fn another_volume(&self, from: &str, to: &str) -> String {
        self.edit("families/GB.yaml", &format!("[3,   {from}"), &format!("[3,   {to}"));
        self.types("carol", "save").ends(0);
        self.hand_over(&format!("Oil volume {to}"))
    }

    /// Returns what a person must type to have seen the change whole.
    #[track_caller]
    pub(crate) fn seen(&self, name: &str, change: Option<&str>) -> String {
        let mut words = vec!["approve", "-n"];
        words.extend(change);
        letters(&self.run(name, &words).ends(0).out, "What is signed is called ", 12)
    }

    /// Approves a change without being asked.
    #[track_caller]
    pub(crate) fn approve(&self, name: &str, change: Option<&str>) {
        let seen = self.seen(name, change);
        let mut words = vec!["approve", "--seen", &seen];
        words.extend(change);
        self.run(name, &words).ends(0).says(&format!("{name} has approved"));
    }

    /// Returns the packet for size 3, as it was printed into a folder beside the binder.
    #[track_caller]
    pub(crate) fn printed(&self, folder: &str) -> String {
        let mut pages = Vec::new();
        below(&self.root.join(folder), &mut pages);
        let of = |page: &&PathBuf| page.ends_with("MP-GB-10/G-303.html");
        let page = pages.iter().find(of).unwrap_or_else(|| panic!("no packet of G-303 among {pages:?}"));
        fs::read_to_string(page).expect("readable")
    }

    /// Returns the path of a folder beside the binder.
    pub(crate) fn beside(&self, folder: &str) -> String {
        self.root.join(folder).to_str().expect("UTF-8").to_owned()
    }

    /// Returns every path of the last state, in order.
    #[track_caller]
    pub(crate) fn kept(&self) -> Vec<String> {
        self.git(&["ls-tree", "-r", "--name-only", "HEAD"]).lines().map(str::to_owned).collect()
    }
}

/// Returns so many letters behind some words.
#[track_caller]
fn letters(text: &str, behind: &str, count: usize) -> String {
    let at = text.find(behind).unwrap_or_else(|| panic!("`{behind}` is not said in:\n{text}")) + behind.len();
    text[at..at + count].to_owned()
}

/// Lists every file below a folder.
fn below(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("readable") {
        let path = entry.expect("readable").path();
        if path.is_dir() { below(&path, found) } else { found.push(path) }
    }
}

/// Copies a folder with everything in it.
fn copy(from: &Path, to: &Path) {
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
