//! The sources are read: who imports whom, what every file opens with, how long it is, and which words it must not hold.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Which rooms a room may import, besides itself.
const ROOMS: [(&str, &[&str]); 15] = [
    ("base", &[]),
    ("source", &["base"]),
    ("model", &["base", "source"]),
    ("language", &["base", "model"]),
    ("analysis", &["base", "model", "language"]),
    ("rules", &["base", "model", "language", "analysis"]),
    ("packet", &["base", "model", "language", "analysis"]),
    ("render", &["base", "packet"]),
    ("trust", &["base"]),
    ("history", &["base", "model", "trust"]),
    ("workspace", &["base", "model"]),
    ("report", &["base", "model", "analysis", "packet", "trust"]),
    (
        "task",
        &[
            "base",
            "source",
            "model",
            "language",
            "analysis",
            "rules",
            "packet",
            "render",
            "trust",
            "history",
            "workspace",
        ],
    ),
    (
        "cli",
        &[
            "base",
            "source",
            "model",
            "language",
            "analysis",
            "rules",
            "packet",
            "render",
            "trust",
            "history",
            "workspace",
            "report",
            "task",
        ],
    ),
    ("lib", &[]),
];

/// Crates that live in one room only.
const CONFINED: [(&str, &[&str]); 18] = [
    ("annotate_snippets", &["report"]),
    ("anstream", &["cli"]),
    ("clap", &["cli"]),
    ("clap_complete", &["cli"]),
    ("comemo", &["render"]),
    ("ed25519_dalek", &["trust"]),
    ("flate2", &["history"]),
    ("git2", &["history"]),
    ("hayro_interpret", &["render"]),
    ("html5gum", &["render"]),
    ("jsonschema", &["source"]),
    ("pulldown_cmark", &["source"]),
    ("saphyr_parser", &["source"]),
    ("ssh_key", &["trust"]),
    ("tempfile", &["workspace"]),
    ("tera", &["render"]),
    ("typst", &["render"]),
    ("typst_pdf", &["render"]),
];

/// What libgit2 must not do before the objects that it will read were looked at.
const WANDERS: [&str; 8] = [
    ".git.revwalk",
    ".git.merge_base",
    ".git.graph_",
    ".git.diff_",
    ".git.blame_",
    ".git.revparse_",
    ".peel_to_",
    ".git.statuses",
];

#[test]
fn libgit2_chooses_no_object_that_was_not_looked_at() {
    for (path, text) in sources().iter().filter(|(path, _)| room(path) == "history") {
        let text = code(text);
        for wanders in WANDERS {
            assert!(!text.contains(wanders), "{}: `{wanders}`: ask `Repo::whole` first", path.display());
        }
    }
}

fn sources() -> BTreeMap<PathBuf, String> {
    let mut files = BTreeMap::new();
    collect(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut files);
    assert!(files.len() > 60, "the sources are found");
    files
}

fn collect(folder: &Path, files: &mut BTreeMap<PathBuf, String>) {
    for entry in fs::read_dir(folder).expect("readable") {
        let path = entry.expect("readable").path();
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            let text = fs::read_to_string(&path).expect("UTF-8");
            if !path.to_string_lossy().ends_with("_tests.rs") {
                files.insert(path, text);
            }
        }
    }
}

fn room(path: &Path) -> String {
    let inside = path.strip_prefix(Path::new(env!("CARGO_MANIFEST_DIR")).join("src")).expect("a source");
    let first = inside.components().next().expect("a name").as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_owned()
}

/// Code without its tests and doc comments.
fn code(text: &str) -> String {
    let before_tests = text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text);
    before_tests.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

#[test]
fn rooms_import_only_whom_they_may() {
    let allowed: BTreeMap<&str, &[&str]> = ROOMS.into_iter().collect();
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let own = room(&path);
        if matches!(own.as_str(), "lib" | "main") {
            continue;
        }
        let may = allowed.get(own.as_str()).unwrap_or_else(|| panic!("the room `{own}` is in the table"));
        for (at, _) in code(&text).match_indices("crate::") {
            let code = code(&text);
            let other: String = code[at + 7..].chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
            let is_room = allowed.contains_key(other.as_str());
            if is_room && other != own && !may.contains(&other.as_str()) {
                wrong.push(format!("{}: {own} imports {other}", path.display()));
            }
        }
        for (krate, rooms) in CONFINED {
            if !rooms.contains(&own.as_str()) && code(&text).contains(&format!("{krate}::")) {
                wrong.push(format!("{}: {krate} belongs to {rooms:?}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_holds_and_stays_short() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let lines = code(&text).lines().count();
        if !text.starts_with("//! ") {
            wrong.push(format!("{} does not open with a sentence", path.display()));
        }
        if lines > 700 {
            wrong.push(format!("{} has {lines} lines of code", path.display()));
        }
        if text.contains("::*;") && !text.contains("use super::*;") {
            wrong.push(format!("{} imports everything of something", path.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Rendering and compiling know no disk, clock or environment; only the faces print.
#[test]
fn the_outside_world_stays_outside() {
    let forbidden: [(&str, &[&str]); 8] = [
        ("std::fs", &["workspace", "cli", "history"]),
        ("fs::read(", &["workspace"]),
        ("fs::read_to", &["workspace"]),
        ("fs::read_dir", &["workspace", "history"]),
        ("SystemTime", &["workspace"]),
        ("env::var", &["cli", "workspace"]),
        ("println!", &[]),
        ("process::exit", &[]),
    ];
    let mut wrong = BTreeSet::new();
    for (path, text) in sources() {
        for (word, rooms) in forbidden {
            if code(&text).contains(word) && !rooms.contains(&room(&path).as_str()) {
                wrong.insert(format!("{} holds `{word}`", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}
