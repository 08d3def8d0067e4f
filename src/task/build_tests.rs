//! What a build leaves in its folder when the binder, the selection or the program change.

use super::*;
use crate::task::begin;
use crate::task::open::open;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Counts strides.
#[derive(Default)]
struct Count {
    all: AtomicUsize,
    done: AtomicUsize,
}

impl Progress for Count {
    fn begin(&self, strides: usize) {
        self.all.store(strides, Ordering::Relaxed);
    }
    fn stride(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }
}

/// A binder on the disk beside its outputs.
struct Stage {
    folder: tempfile::TempDir,
}

impl Stage {
    /// Returns the first binder with its three mistakes.
    fn new() -> Self {
        let stage = Self { folder: tempfile::tempdir().unwrap() };
        begin::init(&stage.binder()).unwrap();
        stage
    }

    fn binder(&self) -> PathBuf {
        self.folder.path().join("binder")
    }

    fn out(&self) -> PathBuf {
        self.folder.path().join("out")
    }

    #[track_caller]
    #[expect(clippy::disallowed_methods, reason = "the stage of a test is set on the disk")]
    fn edit(&self, file: &str, from: &str, to: &str) {
        let path = self.binder().join(file);
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {file}");
        std::fs::write(path, text.replacen(from, to, 1)).unwrap();
    }

    fn try_build(&self, tags: &[&str]) -> Result<Built, BuildError> {
        let tags: Vec<String> = tags.iter().map(|tag| (*tag).to_owned()).collect();
        let count = Count::default();
        let order = BuildOrder { out: &self.out(), documents: &[], tags: &tags };
        let built = build(&open(&self.binder()).unwrap(), &order, &count)?;
        assert_eq!(count.all.into_inner(), count.done.into_inner(), "every stride is told");
        Ok(built)
    }

    #[track_caller]
    fn build(&self, tags: &[&str]) -> Built {
        self.try_build(tags).unwrap()
    }

    /// Returns the outputs on the disk, without those that are hidden.
    fn files(&self) -> BTreeSet<String> {
        let mut found = BTreeSet::new();
        collect(&self.out(), "", &mut found);
        found
    }
}

#[expect(clippy::disallowed_methods, reason = "the outputs are looked at where they are")]
fn collect(folder: &Path, name: &str, found: &mut BTreeSet<String>) {
    for entry in std::fs::read_dir(folder.join(name)).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{name}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            collect(folder, &format!("{name}/"), found);
        } else if !name.starts_with('.') {
            found.insert(name);
        }
    }
}

fn listed(built: &Built) -> BTreeSet<String> {
    let outputs = built.manifest.outputs.iter().map(|output| output.path.clone());
    outputs.chain(std::iter::once("manifest.json".to_owned())).collect()
}

#[test]
fn what_an_error_concerns_is_not_made_and_the_rest_is() {
    let stage = Stage::new();
    let built = stage.build(&[]);
    assert_eq!(stage.files(), listed(&built));
    assert!(stage.out().join("packets/MP-GB-10/G-301.html").is_file());
    let suppressed: Vec<&str> = built.suppressed().map(|one| one.tag.as_str()).collect();
    assert_eq!(suppressed, ["G-302", "G-303"]);
    assert!(built.suppressed().all(|one| !one.reasons.is_empty()));
    assert_eq!(built.refused().count(), 0, "{:?}", built.manifest.refused);
    let index = String::from_utf8(bytes(&stage.out().join("index.html"))).unwrap();
    assert!(index.contains("G-303"), "what is missing is listed in the index");
}

#[expect(clippy::disallowed_methods, reason = "the outputs are looked at where they are")]
fn bytes(path: &Path) -> Vec<u8> {
    std::fs::read(path).unwrap()
}

#[test]
fn a_second_build_writes_nothing_and_touches_nothing() {
    let stage = Stage::new();
    let first = stage.build(&[]);
    let modified = |name: &str| stage.out().join(name).metadata().unwrap().modified().unwrap();
    let before: Vec<_> = stage.files().iter().map(|name| modified(name)).collect();
    let second = stage.build(&[]);
    assert_eq!(second.committed.written, 0, "{:?}", second.written);
    assert_eq!(second.committed.kept, first.committed.written);
    assert_eq!(second.manifest, first.manifest);
    assert_eq!(stage.files().iter().map(|name| modified(name)).collect::<Vec<_>>(), before);
}

#[test]
fn the_same_binder_gives_the_same_bytes_in_another_folder() {
    let (one, other) = (Stage::new(), Stage::new());
    one.build(&[]);
    other.build(&[]);
    assert_eq!(one.files(), other.files());
    for name in one.files() {
        assert!(bytes(&one.out().join(&name)) == bytes(&other.out().join(&name)), "{name} differs");
    }
    let manifest = String::from_utf8(bytes(&one.out().join("manifest.json"))).unwrap();
    assert!(!manifest.contains(&one.folder.path().display().to_string()), "no absolute path stands in a manifest");
}

#[test]
fn a_mistake_takes_away_what_is_no_longer_true() {
    let stage = Stage::new();
    stage.build(&[]);
    stage.edit("families/GB.yaml", "[1,   0.35 L,", "[1,   \"-\",");
    let built = stage.build(&[]);
    assert!(built.committed.removed.iter().any(|path| path.as_str() == "packets/MP-GB-10/G-301.html"));
    assert_eq!(stage.files(), BTreeSet::from(["index.html".to_owned(), "manifest.json".to_owned()]));
}

#[test]
fn a_part_may_be_built_and_leaves_nothing_false_behind() {
    let stage = Stage::new();
    stage.build(&[]);
    // Nothing has changed, so what was not asked for stays.
    let part = stage.build(&["G-303"]);
    assert!(stage.out().join("packets/MP-GB-10/G-301.html").is_file());
    assert_eq!(part.suppressed().count(), 1);
    // Now it has: the old packet of G-301 would say something the binder no longer says.
    stage.edit("gearboxes/MP-GB-10.md", "title: Change the oil", "title: Renew the oil");
    stage.build(&["G-303"]);
    assert!(!stage.out().join("packets/MP-GB-10/G-301.html").exists());
    let index = String::from_utf8(bytes(&stage.out().join("index.html"))).unwrap();
    assert!(!index.contains("G-301"), "the index names only what was asked for or is there");
}

#[test]
fn outputs_inside_the_binder_are_no_source_of_it() {
    let stage = Stage::new();
    let out = stage.binder().join("out");
    let build_there = || {
        let order = BuildOrder { out: &out, documents: &[], tags: &[] };
        build(&open(&stage.binder()).unwrap(), &order, &Count::default()).unwrap()
    };
    let (first, second) = (build_there(), build_there());
    assert_eq!(first.judged.findings, second.judged.findings);
    assert_eq!(second.committed.written, 0);
}

#[test]
fn what_cannot_be_decided_leaves_the_last_good_outputs() {
    let stage = Stage::new();
    stage.build(&[]);
    let before = stage.files();
    stage.edit("fleet.yaml", "tags:", "tags: [");
    assert!(matches!(stage.try_build(&[]), Err(BuildError::Undecided(_))));
    assert_eq!(stage.files(), before);
}
