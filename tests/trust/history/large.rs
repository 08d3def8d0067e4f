//! A plant that has released very often: signed as people sign, saved as the program saves, without looking back each time.

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
    /// Returns a binder with so many releases; so many changes are approved together, and each is released by itself.
    pub(crate) fn of(releases: usize, batch: usize) -> Self {
        let large = Self { place: TempDir::new().expect("a folder") };
        write(&large.folder(), releases, batch);
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
}

pub(crate) fn author(second: u64) -> Author {
    let second = i64::try_from(second).expect("small");
    Author { name: "Carol Vance".to_owned(), address: "carol@plant".to_owned(), second }
}

/// Writes the binder into a folder; so many changes are approved together.
pub(crate) fn write(folder: &Path, releases: usize, batch: usize) {
    std::fs::create_dir_all(folder).expect("writable");
    std::fs::write(folder.join("binder.yaml"), "format: 1\n").expect("writable");
    drop(Repo::make(folder).expect("a repository"));
    // Nothing here must outlive a power cut: the file by which the program asks for that is kept from being one.
    let asks = folder.join(".git/matchmark.config");
    let _ = std::fs::remove_file(&asks);
    std::fs::create_dir_all(&asks).expect("writable");
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
    for start in (0..releases).step_by(batch) {
        tip = line.batch(&repo, tip, first, start..(start + batch).min(releases));
    }
}

impl Line {
    fn now(&mut self) -> Moment {
        self.second += 60;
        Moment::at_second(self.second).expect("a moment")
    }

    /// Prepares and approves so many changes in one state, then releases each in a state of its own.
    fn batch(&mut self, repo: &Repo, tip: StateId, sources: StateId, numbers: std::ops::Range<usize>) -> StateId {
        let mut files = Files::new();
        let approved: Vec<_> = numbers.map(|number| self.approved(&mut files, sources, number)).collect();
        let mut tip = repo.put(Some(tip), &files, "approved", &author(self.second)).expect("saved");
        for (number, digest, manifest, approvals) in approved {
            tip = self.release(repo, tip, (number, digest), &manifest, approvals);
        }
        tip
    }

    fn approved(
        &mut self,
        files: &mut Files,
        sources: StateId,
        number: usize,
    ) -> (usize, Digest, Manifest, Vec<Named>) {
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
            Self::sign(files, &place::statement(&digest, side, &person(by), 1), bytes, (purpose, by));
        }
        let at = number % DOCUMENTS;
        self.last[at] = Some((self.last[at].map_or(1, |(last, _)| last + 1), digest));
        (number, digest, manifest, approvals)
    }

    fn release(
        &mut self,
        repo: &Repo,
        tip: StateId,
        (number, digest): (usize, Digest),
        manifest: &Manifest,
        approvals: Vec<Named>,
    ) -> StateId {
        self.table.release(digest, &manifest.documents, &manifest.resolved, &manifest.removed);
        let release = Release {
            manifest: digest,
            approvals,
            effective: Date::parse("2026-10-01").expect("a day"),
            current: self.table.digest(),
            review_by: None,
        };
        let seq = Seq::new(u32::try_from(number).expect("small") + 2).expect("a place");
        let root = Digest::of(&self.plant.bytes("trust/1.root"));
        let record = Record {
            repository: self.plant.root.repository.clone(),
            seq,
            prev: Some(self.prev),
            root: matchmark::trust::record::RootName { number: 1, digest: root },
            entry: Entry::Release(release),
            person: person("dave"),
            signed_at: self.now(),
        };
        let bytes = record.to_bytes().expect("a record");
        self.prev = Digest::of(&bytes);
        let mut files = Files::new();
        Self::sign(&mut files, &place::record(seq), bytes, (Namespace::Release, "dave"));
        repo.put(Some(tip), &files, "released", &author(self.second)).expect("saved")
    }

    fn sign(files: &mut Files, path: &str, bytes: Vec<u8>, (purpose, by): (Namespace, &str)) {
        let armour = signature::sign(purpose, &bytes, &key(by)).expect("signed");
        files.insert(place::signature(path), Some(armour));
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
