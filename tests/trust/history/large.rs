//! A plant that has released very often: signed as people sign, saved as the program saves, without looking back each time.

use crate::history::binder::git;
use crate::plant::{Plant, key, line, person, role};
use matchmark::base::date::Date;
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::base::risk::RiskClass;
use matchmark::history::point::{Author, Files};
use matchmark::history::repo::{Repo, StateId};
use matchmark::trust::approval::{Approval, Meaning};
use matchmark::trust::digest::Digest;
use matchmark::trust::manifest::{Manifest, Resolved, Revised, Source, Trigger};
use matchmark::trust::place::{self, Side};
use matchmark::trust::record::{Entry, Named, Record, Release};
use matchmark::trust::signature::{self, Namespace};
use matchmark::trust::table::Table;
use matchmark::trust::word::{self, CommitId, Moment, Seq};
use matchmark::workspace::home::Home;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// How many procedures there are, and how many machines each is for.
const DOCUMENTS: usize = 20;
const TAGS: usize = 6;
/// How many machines a release touches.
const TOUCHED: usize = 2;

/// A binder with many releases.
pub(crate) struct Large {
    place: TempDir,
}

/// What the next release follows.
struct Line {
    plant: Plant,
    table: Table,
    last: Vec<Option<(u32, Digest)>>,
    prev: Digest,
    second: u64,
}

impl Large {
    /// Returns a binder with so many releases, two states each: approved, then released.
    pub(crate) fn of(releases: usize) -> Self {
        let large = Self { place: TempDir::new().expect("a folder") };
        write(&large.folder(), releases);
        large
    }

    pub(crate) fn folder(&self) -> PathBuf {
        self.place.path().join("binder")
    }

    pub(crate) fn repo(&self) -> Repo {
        Repo::open(&self.folder()).expect("a repository")
    }

    pub(crate) fn home(&self) -> Home {
        Home { config: self.place.path().join("config"), state: self.place.path().join("state") }
    }

    /// Changes the so manieth file of a folder in one more state.
    pub(crate) fn forge(&mut self, start: &str, at: usize) {
        let paths = git(&self.folder(), &["ls-tree", "-r", "--name-only", "HEAD", start]);
        let path = paths.lines().nth(at).expect("so many").to_owned();
        let repo = self.repo();
        let files = Files::from([(path, Some(b"by hand".to_vec()))]);
        repo.put(repo.tip().expect("a state"), &files, "x", &author(0)).expect("saved");
    }
}

fn author(second: u64) -> Author {
    let second = i64::try_from(second).expect("small");
    Author { name: "Carol Vance".to_owned(), address: "carol@plant".to_owned(), second }
}

/// Writes the binder into a folder.
pub(crate) fn write(folder: &Path, releases: usize) {
    std::fs::create_dir_all(folder).expect("writable");
    std::fs::write(folder.join("binder.yaml"), "format: 1\n").expect("writable");
    drop(Repo::make(folder).expect("a repository"));
    // Nothing here must outlive a power cut; a repository is asked once whether it must.
    git(folder, &["config", "core.fsyncObjectFiles", "false"]);
    let repo = Repo::open(folder).expect("a repository");
    let words = Files::from([
        ("binder.yaml".to_owned(), Some(b"format: 1\n".to_vec())),
        ("seals/MP-PA-101.md".to_owned(), Some(b"the words".to_vec())),
    ]);
    let first = repo.put(None, &words, "the words", &author(0)).expect("saved");
    let plant = Plant::new();
    let files = plant.shelf.files().map(|(path, bytes)| (path.to_owned(), Some(bytes.to_vec()))).collect();
    let mut tip = repo.put(Some(first), &files, "the root", &author(0)).expect("saved");
    let prev = Digest::of(&plant.bytes("ledger/000/000001.record"));
    let mut line = Line { plant, table: Table::default(), last: vec![None; DOCUMENTS], prev, second: 1_790_010_000 };
    for number in 0..releases {
        tip = line.release(&repo, tip, first, number);
    }
}

impl Line {
    fn now(&mut self) -> Moment {
        self.second += 60;
        Moment::at_second(self.second).expect("a moment")
    }

    fn release(&mut self, repo: &Repo, tip: StateId, sources: StateId, number: usize) -> StateId {
        let mut files = Files::new();
        let manifest = self.manifest(sources, number);
        for resolved in &manifest.resolved {
            let content = content(number, resolved.tag.as_str());
            files.insert(place::packet(&resolved.digest), Some(content.into_bytes()));
        }
        let bytes = manifest.to_bytes().expect("a manifest");
        let digest = Digest::of(&bytes);
        files.insert(place::manifest(&digest), Some(bytes));
        let mut approvals = Vec::new();
        for (by, as_role) in [("carol", "prepare"), ("alice", "approve"), ("bob", "approve")] {
            let meaning = if as_role == "prepare" { Meaning::Prepared } else { Meaning::ApprovedForUse };
            let (side, purpose) = match meaning {
                Meaning::Prepared => (Side::Prepare, Namespace::Prepare),
                _ => (Side::Approve, Namespace::Approve),
            };
            let approval = Approval {
                repository: self.plant.root.repository.clone(),
                manifest: digest,
                person: person(by),
                name: self.plant.root.member(&person(by)).expect("a person").name.clone(),
                role: role(as_role),
                meaning,
                signed_at: self.now(),
            };
            let bytes = approval.to_bytes().expect("a statement");
            if side == Side::Approve {
                approvals.push(Named { person: person(by), digest: Digest::of(&bytes) });
            }
            self.sign(&mut files, &place::statement(&digest, side, &person(by), 1), bytes, (purpose, by));
        }
        let tip = repo.put(Some(tip), &files, "approved", &author(self.second)).expect("saved");
        self.table.release(digest, &manifest.documents, &manifest.resolved, &manifest.removed);
        let release = Release {
            manifest: digest,
            approvals,
            effective: Date::parse("2026-10-01").expect("a day"),
            current: self.table.digest(),
            review_by: None,
        };
        let seq = Seq::new(u32::try_from(number).expect("small") + 2).expect("a place");
        let record = Record {
            repository: self.plant.root.repository.clone(),
            seq,
            prev: Some(self.prev),
            root: matchmark::trust::record::RootName {
                number: 1,
                digest: Digest::of(&self.plant.bytes("trust/1.root")),
            },
            entry: Entry::Release(release),
            person: person("dave"),
            signed_at: self.now(),
        };
        let bytes = record.to_bytes().expect("a record");
        self.prev = Digest::of(&bytes);
        let at = number % DOCUMENTS;
        self.last[at] = Some((self.last[at].map_or(1, |(last, _)| last + 1), digest));
        let mut files = Files::new();
        self.sign(&mut files, &place::record(seq), bytes, (Namespace::Release, "dave"));
        repo.put(Some(tip), &files, "released", &author(self.second)).expect("saved")
    }

    fn sign(&self, files: &mut Files, path: &str, bytes: Vec<u8>, (purpose, by): (Namespace, &str)) {
        let armour = signature::sign(purpose, &bytes, &key(by)).expect("signed");
        files.insert(place::signature(path), Some(armour.into()));
        files.insert(path.to_owned(), Some(bytes));
    }

    fn manifest(&self, sources: StateId, number: usize) -> Manifest {
        let at = number % DOCUMENTS;
        let document = DocumentNumber::new(format!("MP-PA-{}", 100 + at));
        let last = self.last[at];
        let mut tags: Vec<String> =
            (0..TOUCHED).map(|one| format!("P-{}", 100 + (number / DOCUMENTS + one) % TAGS)).collect();
        tags.sort();
        let resolved = |tag: &String| Resolved {
            digest: Digest::of(content(number, tag).as_bytes()),
            document: document.clone(),
            tag: Tag::new(tag),
        };
        Manifest {
            repository: self.plant.root.repository.clone(),
            title: line("a change"),
            reason: line("it is better so"),
            trigger: Trigger::Review,
            prepared_by: person("carol"),
            class: RiskClass::Value,
            commit: CommitId::parse(&sources.to_string()).expect("a commit"),
            until: None,
            documents: vec![Revised {
                document: document.clone(),
                revision: last.map_or(1, |(last, _)| last + 1),
                previous: last.map(|(_, own)| own),
            }],
            sources: vec![Source {
                digest: Digest::of(b"the words"),
                path: word::path("seals/MP-PA-101.md").expect("a path"),
            }],
            resolved: tags.iter().map(resolved).collect(),
            removed: Vec::new(),
            waivers: Vec::new(),
        }
    }
}

fn content(number: usize, tag: &str) -> String {
    format!("{tag} by {number}")
}
