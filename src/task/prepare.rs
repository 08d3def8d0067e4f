//! A change made ready for approval: everything that differs from what is in force, compiled from the saved binder, never from the open folder; it signs nothing by itself.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::path::BinderPath;
use crate::base::risk::RiskClass;
use crate::history::error::HistoryError;
use crate::history::point::Files;
use crate::history::repo::Repo;
use crate::history::revision::Revision;
use crate::model::load::LoadError;
use crate::model::world::{World as _, WorldError};
use crate::packet::stored::{self, StoredError};
use crate::packet::view::{AcceptedFinding, Packet};
use crate::task::book::{Book, BookError};
use crate::task::changes::{Changes, between_packets};
use crate::task::check::{Judged, judge};
use crate::task::plan::plan;
use crate::task::selection::{Selection, UnknownName};
use crate::task::sentences::{self, SentencesError};
use crate::trust::approval::Meaning;
use crate::trust::digest::Digest;
use crate::trust::form::FormFault;
use crate::trust::issue::{self, Hand, Refusal};
use crate::trust::ledger::Sealed;
use crate::trust::manifest::{Manifest, Removed, Resolved, Revised, Source, Trigger, Waived};
use crate::trust::place;
use crate::trust::record::Entry;
use crate::trust::root::Root;
use crate::trust::store::Store as _;
use crate::trust::verdict::Verdict;
use crate::trust::word::{self, CommitId, OneLine, Person, Role, Seq, WordFault};
use std::collections::{BTreeMap, BTreeSet};

/// The most bytes of one source.
const MOST: u64 = 64 << 20;

/// What a person wants to have approved.
#[derive(Clone, Debug)]
pub struct Wish<'a> {
    /// What the change is, in one line.
    pub title: &'a str,
    /// Why it is made, in one line.
    pub reason: &'a str,
    /// What set it off.
    pub trigger: Trigger,
    /// The documents, as typed; none for all.
    pub documents: &'a [String],
    /// The last day of a temporary change.
    pub until: Option<Date>,
    /// A higher class than the computed one.
    pub class: Option<RiskClass>,
}

/// A change that can be signed.
#[derive(Clone, Debug)]
pub struct Prepared {
    /// What is signed.
    pub manifest: Manifest,
    /// The packets it brings, by digest.
    pub packets: BTreeMap<Digest, Vec<u8>>,
    /// What it changes in meaning against what is in force.
    pub changes: Changes,
}

/// Why a change cannot be made ready.
#[derive(Debug, thiserror::Error)]
pub enum PrepareError {
    /// The history.
    #[error(transparent)]
    History(#[from] HistoryError),
    /// The statements.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The binder.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A file of it.
    #[error(transparent)]
    World(#[from] WorldError),
    /// The sentences.
    #[error(transparent)]
    Sentences(#[from] SentencesError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
    /// The ledger cannot be relied on.
    #[error("nothing can be prepared while this stands: {0}")]
    Stopped(Box<Verdict>),
    /// Nobody was given a role yet.
    #[error("nobody has been given the right to prepare anything in this binder yet")]
    NoPeople,
    /// Packets that have errors.
    #[error("the binder has errors where these packets would be made: {}", .0.join(", "))]
    Unsound(Vec<String>),
    /// Sentences nobody accepted.
    #[error("`{document}` holds sentences whose actions nobody has accepted: {open}")]
    Unaccepted {
        /// The document.
        document: String,
        /// How many.
        open: usize,
    },
    /// A temporary change that is over before it begins.
    #[error("the last day of the temporary change, {0}, is past")]
    Past(Date),
    /// Nothing differs.
    #[error("every packet is as it is in force already: there is nothing to approve")]
    Same,
    /// The class was lowered.
    #[error("the change is of the class `{computed}`; it can be raised by hand and never lowered")]
    Lowered {
        /// The computed class.
        computed: RiskClass,
    },
    /// What is in force cannot be read.
    #[error("the packet of `{document}` on `{tag}` that is in force cannot be read: {why}")]
    InForce {
        /// The document.
        document: String,
        /// The machine.
        tag: String,
        /// Why.
        why: String,
    },
    /// A packet that could not be read back.
    #[error(transparent)]
    Stored(#[from] StoredError),
    /// A line that cannot stand in a statement.
    #[error("{0}")]
    Word(#[from] WordFault),
    /// It would not be believed.
    #[error("{0}")]
    Refused(#[from] Refusal),
}

impl From<FormFault> for PrepareError {
    fn from(fault: FormFault) -> Self {
        Self::Refused(fault.into())
    }
}

/// Returns the change that leads from what is in force to the binder as it was last saved.
///
/// # Errors
/// A [`PrepareError`] where it is not fit to be approved, or nothing differs.
pub fn prepare(
    repo: &Repo,
    book: &Book<'_>,
    person: &Person,
    wish: &Wish<'_>,
    today: Date,
) -> Result<Prepared, PrepareError> {
    if let Some(verdict) = book.stops() {
        return Err(PrepareError::Stopped(Box::new(verdict.clone())));
    }
    let root = &book.ledger.root().ok_or(PrepareError::NoPeople)?.root;
    if let Some(until) = wish.until.filter(|until| *until < today) {
        return Err(PrepareError::Past(until));
    }
    let state = book.files.state();
    let world = Revision::at(repo, state, today)?;
    let judged = judge(&world)?;
    let selection = Selection::of(&judged.binder, wish.documents, &[])?;
    let now = compiled(&judged, &selection)?;
    let change = difference(book, &selection, now, wish.until)?;
    if change.resolved.is_empty() && change.removed.is_empty() {
        return Err(PrepareError::Same);
    }
    are_accepted(&world, &change.documents)?;
    let changes = between_packets(each(&change.before), each(&change.now));
    let now = between_packets(each(&change.current), each(&change.now));
    let class = class(book, changes.class.max(now.class), &change, wish.class)?;
    let manifest = Manifest {
        repository: root.repository.clone(),
        title: OneLine::parse(wish.title)?,
        reason: OneLine::parse(wish.reason)?,
        trigger: wish.trigger,
        prepared_by: person.clone(),
        class,
        commit: CommitId::parse(&state.to_string())?,
        until: wish.until,
        documents: change.documents.iter().map(|document| revised(book, document)).collect(),
        sources: sources(&world, &judged, &change)?,
        resolved: change.resolved,
        removed: change.removed,
        waivers: waivers(change.now.values())?,
    };
    Ok(Prepared { manifest, packets: change.packets, changes })
}

/// Returns the files by which a person hands a change over, signed.
///
/// # Errors
/// A [`PrepareError`] where the key or the role is not the person's.
pub fn sign(
    book: &Book<'_>,
    root: &Root,
    prepared: &Prepared,
    hand: Hand<'_>,
) -> Result<(Digest, Files), PrepareError> {
    let bytes = prepared.manifest.to_bytes()?;
    let digest = Digest::of(&bytes);
    let role = Role::parse(word::PREPARE)?;
    let issued = issue::statement(&book.files, root, &digest, hand, (&role, Meaning::Prepared))?;
    let mut files: Files = issued.files.into_iter().map(|(path, bytes)| (path, Some(bytes))).collect();
    files.insert(place::manifest(&digest), Some(bytes));
    for (packet, bytes) in &prepared.packets {
        files.insert(place::packet(packet), Some(bytes.clone()));
    }
    // What is there already is the same bytes, and is not written again.
    files.retain(|path, _| book.files.read(path).is_ok_and(|there| there.is_none()));
    Ok((digest, files))
}

/// Every packet of the selected documents; an error in one of them is an error of the change.
fn compiled(judged: &Judged, selection: &Selection) -> Result<Packets, PrepareError> {
    let plan = plan(judged);
    let unsound = plan.suppressed.iter().map(|one| (DocumentNumber::new(&one.document), Tag::new(&one.tag)));
    let unsound: Vec<String> = unsound
        .filter(|(document, tag)| selection.has(document, tag))
        .map(|(document, tag)| format!("{document} on {tag}"))
        .collect();
    if !unsound.is_empty() {
        return Err(PrepareError::Unsound(unsound));
    }
    let wanted = plan.packets.iter().filter(|planned| selection.has(planned.document(), planned.tag()));
    let packet = |planned: &crate::task::plan::Planned<'_>| {
        let key = (planned.document().clone(), planned.tag().clone());
        (key, planned.compiled(&judged.binder, &judged.figures))
    };
    Ok(wanted.map(packet).collect())
}

/// Packets by document and machine.
pub(crate) type Packets = BTreeMap<(DocumentNumber, Tag), Packet>;

/// Returns each packet with what it is for.
pub(crate) fn each(packets: &Packets) -> impl Iterator<Item = (DocumentNumber, Tag, Packet)> {
    packets.iter().map(|((document, tag), packet)| (document.clone(), tag.clone(), packet.clone()))
}

/// What a change is compared with, by document and machine.
///
/// A permanent change is held against what stands when every temporary one has run out: held against the temporary one
/// itself, what was approved for some days would become permanent without anybody reading it.
pub(crate) struct Base(BTreeMap<(DocumentNumber, Tag), Digest>);

impl Base {
    /// Returns what a change with this last day, or with none, is compared with.
    pub(crate) fn of(book: &Book<'_>, until: Option<Date>) -> Self {
        let key = |document: &DocumentNumber, tag: &Tag| (document.clone(), tag.clone());
        if until.is_some() {
            let rows = book.ledger.table().rows();
            return Self(rows.map(|(document, tag, row)| (key(document, tag), row.packet)).collect());
        }
        let last = Date::parse("9999-12-31").expect("it is a day");
        let rows = book.ledger.in_force(last).into_iter();
        Self(rows.map(|row| ((row.document, row.tag), row.packet)).collect())
    }

    /// Returns the packet a machine's new one is compared with.
    pub(crate) fn packet(&self, document: &DocumentNumber, tag: &Tag) -> Option<Digest> {
        self.0.get(&(document.clone(), tag.clone())).copied()
    }
}

/// What differs from what is in force.
struct Difference {
    documents: BTreeSet<DocumentNumber>,
    resolved: Vec<Resolved>,
    removed: Vec<Removed>,
    packets: BTreeMap<Digest, Vec<u8>>,
    /// What it is compared with.
    before: Packets,
    /// What is current, temporary or not.
    current: Packets,
    now: Packets,
}

fn difference(
    book: &Book<'_>,
    selection: &Selection,
    now: Packets,
    until: Option<Date>,
) -> Result<Difference, PrepareError> {
    let mut change = Difference {
        documents: BTreeSet::new(),
        resolved: Vec::new(),
        removed: Vec::new(),
        packets: BTreeMap::new(),
        before: Packets::new(),
        current: Packets::new(),
        now: Packets::new(),
    };
    let base = Base::of(book, until);
    for (document, tag, row) in book.ledger.table().rows() {
        if selection.has(document, tag) && !now.contains_key(&(document.clone(), tag.clone())) {
            change.removed.push(Removed { document: document.clone(), tag: tag.clone() });
            change.documents.insert(document.clone());
            let packet = in_force(book, document, tag, &row.packet)?;
            change.before.insert((document.clone(), tag.clone()), packet.clone());
            change.current.insert((document.clone(), tag.clone()), packet);
        }
    }
    for ((document, tag), packet) in now {
        let bytes = stored::write(&packet)?;
        let digest = Digest::of(&bytes);
        let (row, standing) = (book.ledger.packet(&document, &tag), base.packet(&document, &tag));
        if row == Some(digest) && standing == Some(digest) {
            continue;
        }
        if let Some(old) = row {
            change.current.insert((document.clone(), tag.clone()), in_force(book, &document, &tag, &old)?);
        }
        if let Some(old) = standing {
            change.before.insert((document.clone(), tag.clone()), in_force(book, &document, &tag, &old)?);
        }
        change.documents.insert(document.clone());
        change.packets.insert(digest, bytes);
        change.resolved.push(Resolved { digest, document: document.clone(), tag: tag.clone() });
        change.now.insert((document, tag), packet);
    }
    change.resolved.sort_by(|a, b| (&a.document, &a.tag).cmp(&(&b.document, &b.tag)));
    change.removed.sort_by(|a, b| (&a.document, &a.tag).cmp(&(&b.document, &b.tag)));
    Ok(change)
}

/// Returns a stored packet that the ledger names.
///
/// # Errors
/// [`PrepareError::InForce`] where its bytes are missing, are others, or cannot be read by this program.
pub fn in_force(
    book: &Book<'_>,
    document: &DocumentNumber,
    tag: &Tag,
    digest: &Digest,
) -> Result<Packet, PrepareError> {
    let no = |why: String| PrepareError::InForce { document: document.to_string(), tag: tag.to_string(), why };
    let bytes = book.files.read(&place::packet(digest)).map_err(|error| no(error.to_string()))?;
    let bytes = bytes.ok_or_else(|| no("it is not there".to_owned()))?;
    if Digest::of(&bytes) != *digest {
        return Err(no("its bytes are not those that were approved".to_owned()));
    }
    stored::read(&bytes).map_err(|error| no(error.to_string()))
}

/// Returns every packet that the ledger names as current, whatever the day.
///
/// # Errors
/// As [`in_force`].
pub fn current(book: &Book<'_>) -> Result<Vec<(DocumentNumber, Tag, Packet)>, PrepareError> {
    let of = |(document, tag, row): (&DocumentNumber, &Tag, &crate::trust::table::Row)| {
        Ok((document.clone(), tag.clone(), in_force(book, document, tag, &row.packet)?))
    };
    book.ledger.table().rows().map(of).collect()
}

/// Returns as what and why a machine's packet was withdrawn, where nothing came in its place since.
#[must_use]
pub fn withdrawn(book: &Book<'_>, document: &DocumentNumber, tag: &Tag) -> Option<(Seq, OneLine)> {
    if book.ledger.packet(document, tag).is_some() {
        return None;
    }
    let brought = |sealed: &&Sealed| {
        sealed
            .release
            .as_ref()
            .is_some_and(|released| released.resolved.iter().any(|own| own.document == *document && own.tag == *tag))
    };
    let last = book.ledger.sealed().iter().rev().find(brought)?.release.as_ref()?.manifest;
    book.ledger.sealed().iter().find_map(|sealed| match &sealed.record.entry {
        Entry::Withdraw(own) if own.manifest == last => Some((sealed.record.seq, own.reason.clone())),
        _ => None,
    })
}

/// A sentence whose actions nobody accepted may be read otherwise by the next program; no approval could cover it.
fn are_accepted(world: &Revision, documents: &BTreeSet<DocumentNumber>) -> Result<(), PrepareError> {
    for document in documents {
        let lines = match sentences::of(world, document.as_str(), &[]) {
            Ok(found) => found.lines,
            // A document that is gone has no sentences any more.
            Err(SentencesError::Unknown(_) | SentencesError::Nothing { .. }) => continue,
            Err(error) => return Err(error.into()),
        };
        let open = lines.iter().filter(|line| !line.standing.starts_with("accepted")).count();
        if open > 0 {
            return Err(PrepareError::Unaccepted { document: document.to_string(), open });
        }
    }
    Ok(())
}

/// The class is computed. A document that was never released is new in everything, cautions and isolation among it; what was
/// withdrawn was withdrawn for a reason.
fn class(
    book: &Book<'_>,
    found: Option<RiskClass>,
    change: &Difference,
    wished: Option<RiskClass>,
) -> Result<RiskClass, PrepareError> {
    let is_new = change.documents.iter().any(|document| book.ledger.last_revision(document).is_none());
    let comes_back = change.resolved.iter().any(|own| withdrawn(book, &own.document, &own.tag).is_some());
    let computed = if is_new || comes_back { RiskClass::Safety } else { found.unwrap_or(RiskClass::Wording) };
    match wished {
        Some(wished) if wished < computed => Err(PrepareError::Lowered { computed }),
        Some(wished) => Ok(wished),
        None => Ok(computed),
    }
}

fn revised(book: &Book<'_>, document: &DocumentNumber) -> Revised {
    let last = book.ledger.last_revision(document);
    Revised {
        document: document.clone(),
        revision: last.map_or(1, |(revision, _)| revision + 1),
        previous: last.map(|(_, manifest)| manifest),
    }
}

/// Everything the packets were made of: the registers, the documents with their accepted actions, figures and templates.
/// Calibration days change weekly and are no part of it.
fn sources(world: &Revision, judged: &Judged, change: &Difference) -> Result<Vec<Source>, PrepareError> {
    const REGISTERS: [&str; 5] = ["binder.yaml", "crib.yaml", "fleet.yaml", "verbs.yaml", "waivers.yaml"];
    let texts = &judged.binder.texts;
    let mut own: BTreeSet<String> = BTreeSet::new();
    for document in &change.documents {
        let Some(procedure) = judged.binder.procedure(document) else { continue };
        let path = texts.get(procedure.file).path().to_string();
        own.insert(path.strip_suffix(".md").map(|stem| format!("{stem}.actions")).unwrap_or_default());
        own.insert(path);
    }
    own.extend(change.now.values().flat_map(|packet| packet.figures.iter().map(|figure| figure.path.clone())));
    let is_source = |path: &&BinderPath| {
        let path = path.as_str();
        REGISTERS.contains(&path)
            || path.starts_with("families/")
            || path.starts_with("templates/")
            || own.contains(path)
    };
    let mut sources = Vec::new();
    for path in world.list()?.files.iter().filter(is_source) {
        sources.push(Source { digest: Digest::of(&world.read(path, MOST)?), path: path.clone() });
    }
    sources.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(sources)
}

fn waivers<'p>(packets: impl Iterator<Item = &'p Packet>) -> Result<Vec<Waived>, PrepareError> {
    let mut waivers: BTreeMap<(Digest, String, Option<Tag>), Waived> = BTreeMap::new();
    for packet in packets {
        for accepted in &packet.accepted_findings {
            let one = waived(accepted, Tag::new(&packet.tag))?;
            waivers.insert((one.digest, one.rule.clone(), one.tag.clone()), one);
        }
    }
    Ok(waivers.into_values().collect())
}

fn waived(accepted: &AcceptedFinding, tag: Tag) -> Result<Waived, PrepareError> {
    let words = format!("{}\n{}\n{}\n", accepted.finding, accepted.reason, accepted.by);
    Ok(Waived {
        digest: Digest::of(words.as_bytes()),
        rule: accepted.rule.clone(),
        tag: Some(tag),
        until: word::date(&accepted.until)?,
    })
}
