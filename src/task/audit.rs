//! Everything that can be held against a binder's approvals, releases and history, as one answer; it prints nothing.

use crate::base::path::PROTECTED;
use crate::history::error::HistoryError;
use crate::history::sources::{Sources, Stands};
use crate::task::book::Book;
use crate::task::remedy;
use crate::trust::chain::Anchor;
use crate::trust::digest::Digest;
use crate::trust::ledger::{Ledger, Outcome, Released, Sealed};
use crate::trust::manifest::Manifest;
use crate::trust::place;
use crate::trust::release;
use crate::trust::store::Store as _;
use crate::trust::verdict::{Code, Severity, Verdict};
use crate::trust::word::{Moment, Seq};
use crate::workspace::named_file::{self, NamedFileError};
use serde::Serialize;
use std::collections::BTreeSet;
use std::path::Path;

/// How many protected files of the open folder are compared; of more, every so manieth.
const COMPARED: usize = 5_000;
/// How many of them are told, before the rest is only counted.
const TOLD: usize = 20;

/// What an audit has to say.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Audit {
    /// The line that every audit begins with.
    pub headline: String,
    /// How it ends: `clean`, `findings` or `undecided`.
    pub outcome: &'static str,
    /// What it was held against.
    pub protections: Protections,
    /// How much there was to look at.
    pub reach: Reach,
    /// What is not as it should be, gravest first.
    pub verdicts: Vec<Entry>,
    /// How many findings of earlier records were left out, since only later ones were asked for.
    pub earlier: usize,
}

/// What keeps somebody from showing another history.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Protections {
    /// Whether the first root was made known on paper (`pinned`) or is believed as it was found (`first use`).
    pub root: &'static str,
    /// The place of the ledger that was seen last; none where nothing was.
    pub seen: Option<String>,
    /// What that means, a sentence each.
    pub words: Vec<String>,
}

/// How much there was to look at.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Reach {
    /// States of the history, each held against those before it.
    pub states: usize,
    /// Those of them that this computer had looked through before and found good; they were not looked through again.
    pub remembered: usize,
    /// Records of the ledger that could be followed.
    pub records: usize,
    /// Releases whose packets and sources were held against their digests.
    pub releases: usize,
    /// Protected files.
    pub files: usize,
    /// Those of them that were compared with the open folder.
    pub compared: usize,
}

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// The stable code.
    pub code: &'static str,
    /// How grave: `DANGER`, `INVALID`, `STALE`, `INCOMPLETE`, `WARN`.
    pub severity: &'static str,
    /// What is concerned.
    pub object: String,
    /// The digest that should be.
    pub expected: Option<String>,
    /// The digest that is.
    pub found: Option<String>,
    /// Whose statement.
    pub who: Option<String>,
    /// At which place of the ledger.
    pub seq: Option<String>,
    /// In words.
    pub told: String,
    /// Whether it is about everything that was ever released.
    pub everything: bool,
    /// The packets concerned.
    pub packets: Vec<Concerned>,
    /// What to do next.
    pub next: String,
}

/// A packet that a finding is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Concerned {
    /// The document.
    pub document: String,
    /// Its revision.
    pub revision: u32,
    /// The machine.
    pub tag: String,
}

impl Audit {
    /// Returns the answer about a book whose open folder is `folder`, at the moment `now`; from a record on, if that was asked.
    ///
    /// # Errors
    /// A [`HistoryError`] where the objects cannot be opened.
    pub fn of(book: &Book<'_>, folder: &Path, now: Moment, since: Option<Seq>) -> Result<Self, HistoryError> {
        let mut reach = Reach {
            states: book.files.passage().states(),
            remembered: book.files.passage().remembered(),
            records: book.ledger.sealed().len(),
            files: book.files.paths("").len(),
            ..Reach::default()
        };
        let mut verdicts = book.verdicts().to_vec();
        verdicts.extend(book.ledger.signed_ahead(now));
        verdicts.extend(missing(book)?);
        let sources = Sources::of(&book.files)?;
        for sealed in book.ledger.sealed().iter().filter(|sealed| since.is_none_or(|since| sealed.record.seq >= since))
        {
            let Some(released) = &sealed.release else { continue };
            reach.releases += 1;
            let found = content(book, &sources, released);
            verdicts.extend(found.into_iter().map(|verdict| verdict.at(sealed.record.seq)));
        }
        verdicts.extend(open_folder(book, folder, &mut reach));
        let (listed, earlier): (Vec<_>, Vec<_>) = verdicts.into_iter().partition(|verdict| is_asked(verdict, since));
        let mut listed = listed;
        listed.sort_by(|a, b| (a.severity, a.seq, &a.object).cmp(&(b.severity, b.seq, &b.object)));
        listed.dedup();
        Ok(Self {
            headline: book.ledger.headline(now),
            outcome: word(Outcome::of(&listed)),
            protections: Protections::of(book),
            reach,
            verdicts: listed.iter().map(|verdict| Entry::of(verdict, &book.ledger)).collect(),
            earlier: earlier.iter().filter(|verdict| verdict.is_fault()).count(),
        })
    }

    /// Returns what it ends with.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        match self.outcome {
            "clean" => Outcome::Clean,
            "findings" => Outcome::Findings,
            _ => Outcome::Undecided,
        }
    }
}

fn word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Clean => "clean",
        Outcome::Findings => "findings",
        Outcome::Undecided => "undecided",
    }
}

/// What is about no record, and what leaves something undecided, is never left out.
fn is_asked(verdict: &Verdict, since: Option<Seq>) -> bool {
    let (Some(since), Some(seq)) = (since, verdict.seq) else { return true };
    seq >= since || matches!(verdict.severity, Severity::Danger | Severity::Incomplete)
}

impl Protections {
    fn of(book: &Book<'_>) -> Self {
        let mut words = Vec::new();
        let root = match book.ledger.anchor() {
            Anchor::Pinned(_) => {
                words.push(
                    "the first root is the one that was made known: its digest was pinned on this computer".into(),
                );
                "pinned"
            }
            Anchor::FirstUse => {
                words.push(
                    "the first root is believed as it was found: nobody has told this computer its digest. Compare \
                     `matchmark trust` with the paper on the wall, then `matchmark trust DIGEST`"
                        .into(),
                );
                "first use"
            }
        };
        let seen = book.seen.as_ref().map(|mark| mark.seq.to_string());
        words.push(match &seen {
            Some(seq) => {
                format!("this computer has seen the ledger up to {seq}; a copy that ends before it would be noticed")
            }
            None => "this computer has seen nothing of this ledger before: a copy that ends early would look whole to \
                     you. Compare the last place with a colleague, or with the newest card on a wall"
                .into(),
        });
        Self { root, seen, words }
    }
}

/// Returns how many protected files are not in this copy at all.
fn missing(book: &Book<'_>) -> Result<Option<Verdict>, HistoryError> {
    let (all, missing) = book.files.missing()?;
    let told = format!("{missing} of {all} protected files are not in this copy; nothing is fetched by itself");
    Ok((missing > 0).then(|| Verdict::new(Code::Partial, "protected files", told)))
}

/// Returns how the stored packets and the sources of a release are not the bytes that its manifest names.
fn content(book: &Book<'_>, sources: &Sources<'_>, released: &Released) -> Vec<Verdict> {
    let manifest = match release::manifest(&book.files, &released.manifest) {
        Ok(manifest) => manifest,
        Err(verdict) => return vec![*verdict],
    };
    let mut verdicts = release::packets(&book.files, &manifest);
    verdicts.extend(of_sources(sources, &manifest));
    verdicts
}

fn of_sources(sources: &Sources<'_>, manifest: &Manifest) -> Vec<Verdict> {
    if manifest.sources.is_empty() {
        return Vec::new();
    }
    let Some(state) = sources.state(&manifest.commit) else {
        let told = format!("the state {} with the sources is not part of this history", manifest.commit);
        return vec![Verdict::new(Code::Missing, "sources", told)];
    };
    let mut unknown = BTreeSet::new();
    for source in &manifest.sources {
        if sources.at(state, source.path.as_str()) == Stands::Unknown {
            unknown.insert(source.path.as_str());
        }
    }
    let found = |path: &str| match sources.at(state, path) {
        Stands::File(digest) => Some(digest),
        Stands::Nothing | Stands::Unknown => None,
    };
    let mut verdicts = release::sources(manifest, found);
    for verdict in verdicts.iter_mut().filter(|verdict| unknown.contains(verdict.object.as_str())) {
        let told = "the bytes of the source are missing from this copy, or damaged";
        *verdict = Verdict::new(Code::Missing, verdict.object.clone(), told).digests(verdict.expected, None);
    }
    verdicts
}

/// Returns which protected files of the open folder are not those of the history. Nothing rests on them.
fn open_folder(book: &Book<'_>, folder: &Path, reach: &mut Reach) -> Vec<Verdict> {
    let paths = book.files.paths("");
    let every = paths.len().div_ceil(COMPARED).max(1);
    let mut verdicts = Vec::new();
    let (mut differing, mut absent) = (0, 0);
    for path in paths.iter().step_by(every) {
        let Ok(Some(saved)) = book.files.read(path) else { continue };
        reach.compared += 1;
        let told = match named_file::read(&folder.join(path)) {
            Ok(own) if own == saved => continue,
            Ok(own) => {
                differing += 1;
                let told = "the file in the open folder is another one; nothing is read from it";
                Verdict::new(Code::OpenFolder, path, told).digests(Some(Digest::of(&saved)), Some(Digest::of(&own)))
            }
            Err(NamedFileError::Missing(_)) => {
                absent += 1;
                continue;
            }
            Err(error) => Verdict::new(Code::OpenFolder, path, format!("it cannot be compared: {error}")),
        };
        if verdicts.len() < TOLD {
            verdicts.push(told);
        }
    }
    if differing > TOLD {
        let told = format!("{differing} protected files in the open folder are other ones; nothing is read from them");
        verdicts.push(Verdict::new(Code::OpenFolder, "open folder", told));
    }
    if absent > 0 {
        let told = format!("{absent} protected files are not in the open folder; nothing is read from there");
        verdicts.push(Verdict::new(Code::OpenFolder, "open folder", told));
    }
    verdicts
}

impl Entry {
    fn of(verdict: &Verdict, ledger: &Ledger) -> Self {
        let concerned = concerned(verdict, ledger);
        Self {
            code: verdict.code.as_str(),
            severity: verdict.severity.as_str(),
            object: verdict.object.clone(),
            expected: verdict.expected.map(|digest| digest.to_string()),
            found: verdict.found.map(|digest| digest.to_string()),
            who: verdict.who.as_ref().map(ToString::to_string),
            seq: verdict.seq.map(|seq| seq.to_string()),
            told: verdict.told.clone(),
            everything: concerned.is_none(),
            packets: concerned.unwrap_or_default(),
            next: remedy::of(verdict),
        }
    }
}

/// Returns the packets that a finding is about; none where it is about all of them.
fn concerned(verdict: &Verdict, ledger: &Ledger) -> Option<Vec<Concerned>> {
    if Book::is_of_the_whole(verdict.code) && verdict.is_fault() {
        return None;
    }
    let by_folder = verdict.object.strip_prefix("approvals/").and_then(|rest| Digest::parse(rest.get(..64)?));
    let sealed = by_folder.and_then(|manifest| ledger.release_of(&manifest));
    let sealed = sealed.or_else(|| verdict.seq.and_then(|seq| ledger.at(seq)));
    if let Some(packets) = sealed.and_then(packets) {
        let only = |own: &Released, one: &Concerned| {
            own.resolved.iter().any(|resolved| {
                resolved.document.as_str() == one.document
                    && resolved.tag.as_str() == one.tag
                    && place::packet(&resolved.digest) == verdict.object
            })
        };
        let is_packet = verdict.object.starts_with(PROTECTED[2]);
        let released = sealed.and_then(|sealed| sealed.release.as_ref());
        return Some(
            packets.into_iter().filter(|one| !is_packet || released.is_some_and(|own| only(own, one))).collect(),
        );
    }
    Some(Vec::new())
}

fn packets(sealed: &Sealed) -> Option<Vec<Concerned>> {
    let released = sealed.release.as_ref()?;
    let revision = |document: &crate::base::name::DocumentNumber| {
        released.documents.iter().find(|revised| revised.document == *document).map_or(0, |revised| revised.revision)
    };
    let of = |document: &crate::base::name::DocumentNumber, tag: &crate::base::name::Tag| Concerned {
        document: document.to_string(),
        revision: revision(document),
        tag: tag.to_string(),
    };
    let brought = released.resolved.iter().map(|own| of(&own.document, &own.tag));
    Some(brought.chain(released.removed.iter().map(|own| of(&own.document, &own.tag))).collect())
}
