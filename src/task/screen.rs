//! Everything a supervisor must see before he signs, in the order of his doubts; it decides nothing and signs nothing.

use crate::base::date::Date;
use crate::base::finding::Severity;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::path::BinderPath;
use crate::history::repo::Repo;
use crate::history::revision::Revision;
use crate::model::world::World as _;
use crate::packet::change::Area;
use crate::packet::identity;
use crate::packet::view::Packet;
use crate::task::book::Book;
use crate::task::changes::{Changes, between_packets};
use crate::task::check::judge;
use crate::task::plan::plan;
use crate::task::prepare::{Base, Packets, PrepareError, each, in_force, withdrawn};
use crate::task::waiting::Waiting;
use crate::trust::digest::Digest;
use crate::trust::manifest::Manifest;
use crate::trust::release;
use std::collections::{BTreeMap, BTreeSet};

/// The most bytes of a source.
const MOST: u64 = 64 << 20;

/// What a supervisor sees.
#[derive(Clone, Debug)]
pub struct Screen {
    /// The documents: number, title, revision in force, new revision.
    pub documents: Vec<(DocumentNumber, String, Option<u32>, u32)>,
    /// What changes in meaning.
    pub changes: Changes,
    /// For each document, the machines it changes on, and on how many it is in force.
    pub machines: Vec<(DocumentNumber, Vec<Tag>, usize)>,
    /// For each document, the laminated cards that come and go.
    pub cards: Vec<(DocumentNumber, Cards)>,
    /// What a permanent change does to a temporary one that stands, a line for each machine.
    pub temporary: Vec<String>,
    /// What was withdrawn and comes into force again, a line for each machine.
    pub returning: Vec<String>,
    /// What is new on machines that had no packet of the document, by document and area.
    pub fresh: Vec<Fresh>,
    /// What the checks say of the sources.
    pub checks: Checks,
    /// What nobody and nothing has checked.
    pub not_checked: Vec<String>,
    /// Accepted findings: rule, finding, reason, by whom, until when.
    pub accepted: Vec<[String; 5]>,
}

/// What is new in one area of a document, where there is nothing to compare with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fresh {
    /// The document.
    pub document: String,
    /// The area.
    pub area: Area,
    /// Each thing in a line, with its machines.
    pub lines: Vec<String>,
}

/// Of a packet that is new everything is new; these are the things that can hurt somebody.
const WEIGHED: [Area; 5] = [Area::Isolation, Area::Caution, Area::Hold, Area::Torque, Area::Reading];

/// The laminated cards that come and go with a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cards {
    /// How many are printed anew.
    pub new: usize,
    /// Those that hang and are no longer true: their check words, and the machines they stand at.
    pub old: Vec<(String, Vec<Tag>)>,
}

/// What the checks say of the sources a change was made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Checks {
    /// The sources were read again.
    Done {
        /// Errors that concern these documents.
        errors: usize,
        /// Warnings.
        warnings: usize,
        /// Packets that came out as the same bytes.
        same: usize,
        /// Packets that came out as others, or not at all.
        other: usize,
        /// Rules that looked.
        rules: usize,
        /// Each error and warning in a line.
        told: Vec<String>,
    },
    /// They are not in this copy, or are not those that were named.
    NotThere(String),
}

/// Returns what a supervisor must see of a change.
///
/// # Errors
/// A [`PrepareError`] where a packet cannot be read.
pub fn screen(repo: &Repo, book: &Book<'_>, waiting: &Waiting, today: Date) -> Result<Screen, PrepareError> {
    let manifest = &waiting.manifest;
    let (mut before, mut current, mut now) = (Packets::new(), Packets::new(), Packets::new());
    let base = Base::of(book, manifest.until);
    for own in &manifest.resolved {
        let key = (own.document.clone(), own.tag.clone());
        now.insert(key.clone(), in_force(book, &own.document, &own.tag, &own.digest)?);
        if let Some(old) = base.packet(&own.document, &own.tag) {
            before.insert(key.clone(), in_force(book, &own.document, &own.tag, &old)?);
        }
        if let Some(old) = book.ledger.packet(&own.document, &own.tag) {
            current.insert(key, in_force(book, &own.document, &own.tag, &old)?);
        }
    }
    for own in &manifest.removed {
        if let Some(old) = book.ledger.packet(&own.document, &own.tag) {
            let packet = in_force(book, &own.document, &own.tag, &old)?;
            let key = (own.document.clone(), own.tag.clone());
            before.insert(key.clone(), packet.clone());
            current.insert(key, packet);
        }
    }
    Ok(Screen {
        documents: documents(book, manifest, &before, &now),
        changes: between_packets(each(&before), each(&now)),
        machines: machines(book, manifest),
        cards: cards(manifest, &current, &now),
        temporary: temporary(book, manifest),
        returning: returning(book, manifest),
        fresh: fresh(&before, &now),
        checks: checks(repo, manifest, today),
        not_checked: not_checked(&before, &now),
        accepted: accepted(&now),
    })
}

fn returning(book: &Book<'_>, manifest: &Manifest) -> Vec<String> {
    let line = |own: &crate::trust::manifest::Resolved| {
        let (seq, reason) = withdrawn(book, &own.document, &own.tag)?;
        Some(format!("{} on {} was withdrawn as {seq} ({reason}) and comes into force again", own.document, own.tag))
    };
    manifest.resolved.iter().filter_map(line).collect()
}

/// Compares each packet that is new with one in which nothing stands.
fn fresh(before: &Packets, now: &Packets) -> Vec<Fresh> {
    let new: Packets =
        now.iter().filter(|(key, _)| !before.contains_key(*key)).map(|(key, own)| (key.clone(), own.clone())).collect();
    let none: Packets = new.iter().map(|(key, packet)| (key.clone(), emptied(packet))).collect();
    let mut all: BTreeMap<(String, Area), Vec<String>> = BTreeMap::new();
    for own in between_packets(each(&none), each(&new)).changes {
        if WEIGHED.contains(&own.change.area) {
            let line = format!("{}: {}  [{}]", own.change.what, own.change.to, own.tags.join(" "));
            all.entry((own.document, own.change.area)).or_default().push(line);
        }
    }
    all.into_iter().map(|((document, area), lines)| Fresh { document, area, lines }).collect()
}

fn emptied(packet: &Packet) -> Packet {
    Packet {
        isolation: Vec::new(),
        cautions: Vec::new(),
        joints: Vec::new(),
        stages: Vec::new(),
        readings: Vec::new(),
        holds: Vec::new(),
        ..packet.clone()
    }
}

fn documents(
    book: &Book<'_>,
    manifest: &Manifest,
    before: &Packets,
    now: &Packets,
) -> Vec<(DocumentNumber, String, Option<u32>, u32)> {
    let title = |document: &DocumentNumber| {
        let own = now.iter().chain(before).find(|((own, _), _)| own == document);
        own.map(|(_, packet)| packet.title.clone()).unwrap_or_default()
    };
    let row = |revised: &crate::trust::manifest::Revised| {
        let last = book.ledger.last_revision(&revised.document).map(|(revision, _)| revision);
        (revised.document.clone(), title(&revised.document), last, revised.revision)
    };
    manifest.documents.iter().map(row).collect()
}

fn machines(book: &Book<'_>, manifest: &Manifest) -> Vec<(DocumentNumber, Vec<Tag>, usize)> {
    let of = |revised: &crate::trust::manifest::Revised| {
        let is_own = |document: &DocumentNumber| *document == revised.document;
        let changed = manifest.resolved.iter().filter(|own| is_own(&own.document)).map(|own| own.tag.clone());
        let gone = manifest.removed.iter().filter(|own| is_own(&own.document)).map(|own| own.tag.clone());
        let all: BTreeSet<&Tag> =
            book.ledger.table().rows().filter(|(document, ..)| is_own(document)).map(|(_, tag, _)| tag).collect();
        let changed: BTreeSet<Tag> = changed.chain(gone).collect();
        let count = all.iter().copied().chain(&changed).collect::<BTreeSet<_>>().len();
        (revised.document.clone(), changed.into_iter().collect(), count)
    };
    manifest.documents.iter().map(of).collect()
}

/// A card is named by the digest of its face; one whose face stays, on this machine or another, hangs on.
fn cards(manifest: &Manifest, current: &Packets, now: &Packets) -> Vec<(DocumentNumber, Cards)> {
    let faces = |packets: &Packets, document: &DocumentNumber| -> BTreeMap<String, (String, Vec<Tag>)> {
        let mut faces: BTreeMap<String, (String, Vec<Tag>)> = BTreeMap::new();
        for ((_, tag), packet) in packets.iter().filter(|((own, _), _)| own == document) {
            let face = identity::of(&packet.card);
            faces.entry(face.digest).or_insert((face.words, Vec::new())).1.push(tag.clone());
        }
        faces
    };
    let of = |revised: &crate::trust::manifest::Revised| {
        let (mut old, new) = (faces(current, &revised.document), faces(now, &revised.document));
        let count = new.keys().filter(|face| !old.contains_key(*face)).count();
        old.retain(|face, _| !new.contains_key(face));
        (revised.document.clone(), Cards { new: count, old: old.into_values().collect() })
    };
    manifest.documents.iter().map(of).collect()
}

/// A permanent change replaces a temporary one that stands; whoever signs must know what would become of it.
fn temporary(book: &Book<'_>, manifest: &Manifest) -> Vec<String> {
    if manifest.until.is_some() {
        return Vec::new();
    }
    let line = |own: &crate::trust::manifest::Resolved| {
        let row = book.ledger.table().row(&own.document, &own.tag)?;
        let released = book.ledger.release_of(&row.manifest)?.release.as_ref()?;
        let until = released.until?;
        let title = &released.title;
        Some(format!(
            "on {} `{title}` was to end on {until}; what the text still holds of it becomes permanent, the rest ends",
            own.tag
        ))
    };
    manifest.resolved.iter().filter_map(line).collect()
}

/// Reads the sources at the state they are said to be in, and makes the packets again.
fn checks(repo: &Repo, manifest: &Manifest, today: Date) -> Checks {
    let world = repo.state(manifest.commit.as_str()).and_then(|state| Revision::at(repo, state, today));
    let world = match world {
        Ok(world) => world,
        Err(error) => return Checks::NotThere(error.to_string()),
    };
    let found = |path: &str| {
        let path = BinderPath::parse(path).ok()?;
        world.read(&path, MOST).ok().map(|bytes| Digest::of(&bytes))
    };
    if let Some(wrong) = release::sources(manifest, found).first() {
        return Checks::NotThere(format!("`{}`: {}", wrong.object, wrong.told));
    }
    let judged = match judge(&world) {
        Ok(judged) => judged,
        Err(error) => return Checks::NotThere(error.to_string()),
    };
    let is_own = |document: &DocumentNumber| manifest.revision_of(document).is_some();
    let count = |severity| {
        let concerned = judged.findings.iter().filter(|one| one.document.as_ref().is_none_or(is_own));
        concerned.filter(|one| one.severity == severity).count()
    };
    let is_told = |severity| matches!(severity, Severity::Error | Severity::Warning);
    let concerned = judged.findings.iter().filter(|one| one.document.as_ref().is_none_or(is_own));
    let told = concerned.filter(|one| is_told(one.severity)).map(|one| one.message.clone()).collect();
    let plan = plan(&judged);
    let again: BTreeMap<(&DocumentNumber, &Tag), &str> = plan
        .packets
        .iter()
        .map(|planned| ((planned.document(), planned.tag()), planned.packet.digest.as_str()))
        .collect();
    let is_same = |own: &&crate::trust::manifest::Resolved| {
        again.get(&(&own.document, &own.tag)).is_some_and(|digest| *digest == own.digest.to_string())
    };
    let same = manifest.resolved.iter().filter(is_same).count();
    Checks::Done {
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        same,
        other: manifest.resolved.len() - same,
        rules: crate::rules::RULES.len(),
        told,
    }
}

/// What the packets say of themselves, and every figure that is new: a program does not see what is on a photograph.
fn not_checked(before: &Packets, now: &Packets) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut add = |line: String| {
        if !lines.contains(&line) {
            lines.push(line);
        }
    };
    for (key, packet) in now {
        let known: BTreeSet<&str> = before.get(key).map(figures).unwrap_or_default();
        for figure in packet.figures.iter().filter(|figure| !known.contains(figure.digest.as_str())) {
            add(format!("The drawing `{}` is new or another: nothing has looked at what it shows.", figure.path));
        }
    }
    now.values().flat_map(|packet| &packet.not_checked).for_each(|line| add(line.clone()));
    add("Whether a value is true to the machine: the checks compare what is written, and see no machine.".to_owned());
    lines
}

fn figures(packet: &Packet) -> BTreeSet<&str> {
    packet.figures.iter().map(|figure| figure.digest.as_str()).collect()
}

fn accepted(now: &Packets) -> Vec<[String; 5]> {
    let mut all: Vec<[String; 5]> = Vec::new();
    for own in now.values().flat_map(|packet| &packet.accepted_findings) {
        let one = [own.rule.clone(), own.finding.clone(), own.reason.clone(), own.by.clone(), own.until.clone()];
        if !all.contains(&one) {
            all.push(one);
        }
    }
    all
}
