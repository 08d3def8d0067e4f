//! Controlled output: the stored packets that the ledger names, printed with their stamp; nothing else is ever printed as released.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::path::BinderPath;
use crate::base::stamp::{self, Control, Stamp};
use crate::history::repo::Repo;
use crate::history::revision::Revision;
use crate::model::load::load;
use crate::model::world::World as _;
use crate::packet::change::since::Since;
use crate::packet::identity::{self, Identity};
use crate::packet::standing;
use crate::packet::view::Packet;
use crate::render::error::RenderError;
use crate::render::site::{SiteEntry, SiteView};
use crate::task::book::Book;
use crate::task::build::Progress;
use crate::task::crew;
use crate::task::manifest::{Face, Kind, Manifest, Output, Refused, SCHEMA};
use crate::task::plan::output_path;
use crate::task::prepare::in_force as stored;
#[cfg(feature = "pdf")]
use crate::task::printing::CardSheet;
use crate::task::printing::{BUILD, Made, PacketSheet, Printer, Sorted, Wanted};
use crate::trust::digest::Digest;
use crate::trust::in_force::InForce;
use crate::trust::ledger::{Released, Sealed};
use crate::trust::place;
use crate::trust::release;
use crate::trust::verdict::Verdict;
use crate::workspace::outputs::{Committed, OutputError, Outputs};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The most bytes of a figure.
const MOST: u64 = 64 << 20;

/// What to print.
#[derive(Clone, Debug)]
pub struct ControlledOrder<'a> {
    /// Where the outputs go.
    pub out: &'a Path,
    /// Documents that were asked for, as typed; none for all.
    pub documents: &'a [String],
    /// Tags that were asked for, as typed; none for all.
    pub tags: &'a [String],
    /// The day for which it is printed.
    pub day: Date,
}

/// What was printed.
#[derive(Debug)]
pub struct Controlled {
    /// What was made.
    pub manifest: Manifest,
    /// Paths of the outputs that were written anew, in order.
    pub written: Vec<String>,
    /// What it did to the output folder.
    pub committed: Committed,
    /// What is in force and may not be used: document, machine, why.
    pub withheld: Vec<(DocumentNumber, Tag, String)>,
    /// How many days old the ledger's last record is.
    pub age: i64,
}

/// Why nothing was printed. The last good outputs are still in place.
#[derive(Debug, thiserror::Error)]
pub enum ControlledError {
    /// The ledger cannot be relied on.
    #[error("nothing is printed as released while this stands: {0}")]
    Stopped(Box<Verdict>),
    /// Nothing is released.
    #[error("nothing that was asked for is in force on {0}")]
    Nothing(Date),
    /// A name that no release holds on that day. No other is offered: it may be a machine whose packet was withdrawn.
    #[error("nothing is in force for `{0}`")]
    Unknown(String),
    /// A template of the binder cannot be used.
    #[error(transparent)]
    Template(#[from] RenderError),
    /// The outputs cannot be written.
    #[error(transparent)]
    Output(#[from] OutputError),
}

/// A packet in force, with everything that stands around it.
struct Sheet {
    row: InForce,
    packet: Packet,
    identity: Identity,
    face: Identity,
    stamp: Stamp,
    since: Since,
    /// The record with which the face of its card came.
    face_from: usize,
}

/// A card with the machines that share it.
struct Card {
    document: DocumentNumber,
    identity: Identity,
    path: BinderPath,
    /// Places in the sheets.
    sheets: Vec<usize>,
    #[cfg_attr(not(feature = "pdf"), expect(dead_code, reason = "only a card that is printed bears it"))]
    stamp: Stamp,
}

/// Prints what is in force on a day.
///
/// # Errors
/// A [`ControlledError`] where nothing may be printed.
pub fn print(
    repo: &Repo,
    book: &Book<'_>,
    order: &ControlledOrder<'_>,
    progress: &dyn Progress,
) -> Result<Controlled, ControlledError> {
    if let Some(verdict) = book.stops() {
        return Err(ControlledError::Stopped(Box::new(verdict.clone())));
    }
    let rows = book.ledger.in_force(order.day);
    let asked = Asked::of(&rows, order)?;
    let mut withheld = Vec::new();
    let mut sheets = Vec::new();
    let shared = repo.place().ok().flatten().map(|_| repo.seen().ok().flatten());
    for row in rows {
        let (document, tag) = (row.document.clone(), row.tag.clone());
        // What the shared place does not have yet may still lose against what it has.
        let is_sent = shared.is_none_or(|seen| seen.is_some_and(|seen| repo.holds(seen, &place::record(row.seq))));
        let made =
            if is_sent { sheet(book, row) } else { Err("its release was not sent to the shared place yet".to_owned()) };
        match made {
            Ok(sheet) => sheets.push(sheet),
            Err(why) => withheld.push((document, tag, why)),
        }
    }
    let outputs = Outputs::begin(order.out, repo.folder())?;
    let presses = presses(repo, book, &sheets, order.day, &outputs, &mut withheld)?;
    sheets.retain(|sheet| presses.contains_key(&sheet.row.manifest));
    // A card and its check words depend on every machine that shares it, whatever was asked for.
    tell_apart(&mut sheets);
    let cards = cards(book, &sheets, &mut withheld);
    withheld.retain(|(document, tag, _)| asked.has(document, tag));
    let mut made = make(&presses, &sheets, &cards, &asked, progress)?;
    let view = site(book, order.day, (&sheets, &cards, &asked), (&made, &withheld));
    made.sort_in(
        Printer::new(&BTreeMap::new(), crate::base::paper::Paper::A4, BTreeMap::new(), &outputs)?.index(&view)?,
    );
    let Sorted { outputs: mut made, refused, written } = made;
    made.sort();
    let plant = sheets.first().map(|sheet| sheet.packet.plant.clone()).unwrap_or_default();
    let manifest = manifest(plant, (made, refused), &sheets, &cards);
    drop(presses);
    let committed = outputs.commit(&manifest.to_bytes())?;
    let age = book.ledger.sealed().last().map_or(0, |last| days_between(last.record.signed_at.date(), order.day));
    Ok(Controlled { manifest, written, committed, withheld, age })
}

fn days_between(from: Date, to: Date) -> i64 {
    i64::from((to.day_number() - from.day_number()).max(0))
}

/// What was asked for: names as typed; none of a kind for all of it.
struct Asked<'a> {
    documents: &'a [String],
    tags: &'a [String],
}

impl<'a> Asked<'a> {
    /// Returns what was asked for; a name that no row has is refused.
    fn of(rows: &[InForce], order: &ControlledOrder<'a>) -> Result<Self, ControlledError> {
        if rows.is_empty() {
            return Err(ControlledError::Nothing(order.day));
        }
        let asked = Self { documents: order.documents, tags: order.tags };
        let documents: Vec<&str> = rows.iter().map(|row| row.document.as_str()).collect();
        let tags: Vec<&str> = rows.iter().map(|row| row.tag.as_str()).collect();
        for (typed, known) in [(order.documents, &documents), (order.tags, &tags)] {
            if let Some(unknown) = typed.iter().find(|typed| !known.iter().any(|own| is_called(typed, own))) {
                return Err(ControlledError::Unknown(unknown.clone()));
            }
        }
        if rows.iter().any(|row| asked.has(&row.document, &row.tag)) {
            Ok(asked)
        } else {
            Err(ControlledError::Nothing(order.day))
        }
    }

    fn has(&self, document: &DocumentNumber, tag: &Tag) -> bool {
        let has = |names: &[String], own: &str| names.is_empty() || names.iter().any(|typed| is_called(typed, own));
        has(self.documents, document.as_str()) && has(self.tags, tag.as_str())
    }
}

fn is_called(typed: &str, own: &str) -> bool {
    own.eq_ignore_ascii_case(typed.trim())
}

/// Returns everything that is printed for a row, or why it is withheld.
fn sheet(book: &Book<'_>, row: InForce) -> Result<Sheet, String> {
    if !row.is_usable() {
        let codes: Vec<&str> = row.doubts.iter().map(|code| code.as_str()).collect();
        return Err(format!("its release does not count ({})", codes.join(", ")));
    }
    let told = |error: crate::task::prepare::PrepareError| error.to_string();
    let packet = stored(book, &row.document, &row.tag, &row.packet).map_err(told)?;
    let face = identity::of(&packet.card);
    let came = releases(book, &row.document, &row.tag);
    let at = came.iter().position(|(sealed, ..)| sealed.record.seq == row.seq).unwrap_or(0);
    let revision = |place: usize| came.get(place).map_or(0, |(_, released, _)| revision_of(released, &row.document));
    let before = came.get(..at).unwrap_or_default();
    let stood = before.iter().rposition(|(_, released, _)| stands(book, released));
    let since = match stood.or(at.checked_sub(1)) {
        Some(place) => {
            let older = stored(book, &row.document, &row.tag, &came[place].2).map_err(told)?;
            Since::between(&revision(place).to_string(), &older, &packet)
        }
        None => Since::first(),
    };
    // The card is as old as its face: back to the first of the releases in a row that have this face. A card of a release that
    // was withdrawn, does not count or was only temporary came down, so the face began anew after it.
    let mut face_from = at;
    for (place, (_, released, digest)) in before.iter().enumerate().rev() {
        if !stands(book, released) {
            break;
        }
        let older = stored(book, &row.document, &row.tag, digest).map_err(told)?;
        if identity::of(&older.card).digest != face.digest {
            break;
        }
        face_from = place;
    }
    let (sealed, released, _) = came.get(at).ok_or("its release is not in the ledger")?;
    let source = row.packet.to_string();
    let stamp =
        stamp(book, sealed, released, &Said { row: &row, source: &source, card_revision: revision(face_from) })?;
    let face_from = came.get(face_from).and_then(|(sealed, ..)| place_of(book, sealed)).unwrap_or_default();
    Ok(Sheet { identity: identity::of(&packet), row, packet, face, stamp, since, face_from })
}

/// Tells whether what a release brought holds until something comes in its place.
fn stands(book: &Book<'_>, released: &Released) -> bool {
    released.counts() && released.until.is_none() && book.ledger.withdrawn_on(&released.manifest).is_none()
}

fn place_of(book: &Book<'_>, sealed: &Sealed) -> Option<usize> {
    book.ledger.sealed().iter().position(|own| own.record.seq == sealed.record.seq)
}

/// Returns the releases that brought a document to a machine, the first one first, each with its packet.
fn releases<'b>(book: &'b Book<'_>, document: &DocumentNumber, tag: &Tag) -> Vec<(&'b Sealed, &'b Released, Digest)> {
    let own = |sealed: &'b Sealed| {
        let released = sealed.release.as_ref()?;
        let own = released.resolved.iter().find(|own| own.document == *document && own.tag == *tag)?;
        Some((sealed, released, own.digest))
    };
    let is_first = |sealed: &&Sealed| {
        sealed.release.as_ref().is_some_and(|own| {
            book.ledger.release_of(&own.manifest).is_some_and(|first| first.record.seq == sealed.record.seq)
        })
    };
    book.ledger.sealed().iter().filter(is_first).filter_map(own).collect()
}

fn revision_of(released: &Released, document: &DocumentNumber) -> u32 {
    released.documents.iter().find(|own| own.document == *document).map_or(0, |own| own.revision)
}

/// What a stamp says of one output.
struct Said<'a> {
    row: &'a InForce,
    source: &'a str,
    card_revision: u32,
}

fn stamp(book: &Book<'_>, sealed: &Sealed, released: &Released, said: &Said<'_>) -> Result<Stamp, String> {
    let last = book.ledger.sealed().last().ok_or("the ledger is empty")?;
    let review = match &sealed.record.entry {
        crate::trust::record::Entry::Release(own) => own.review_by.or(released.until),
        _ => None,
    };
    let review = review.ok_or("its release names no day by which it is looked at again")?;
    let signed = |own: &crate::trust::weigh::Authentic, meaning: &str| stamp::Approval {
        name: own.approval.name.to_string(),
        time: own.approval.signed_at.to_string(),
        meaning: meaning.to_owned(),
    };
    let prepared = released.preparation.iter().map(|own| signed(own, stamp::PREPARED));
    let approvals = prepared.chain(released.approvals.iter().map(|own| signed(own, stamp::APPROVED))).collect();
    Stamp::controlled(&Control {
        revision: revision_of(released, &said.row.document),
        card_revision: said.card_revision,
        effective: &released.effective.to_string(),
        last_day: released.until.map(|until| until.to_string()).as_deref(),
        review_by: &review.to_string(),
        source: said.source,
        seq: u64::from(sealed.record.seq.number()),
        record: &sealed.digest.to_string(),
        as_of: &last.record.signed_at.date().to_string(),
        approvals,
    })
    .map_err(|fault| fault.to_string())
}

/// Faces of one document that would have the same check words get others.
fn tell_apart(sheets: &mut [Sheet]) {
    let mut by_document: BTreeMap<DocumentNumber, BTreeMap<String, Identity>> = BTreeMap::new();
    for sheet in sheets.iter() {
        let faces = by_document.entry(sheet.row.document.clone()).or_default();
        faces.insert(sheet.face.digest.clone(), sheet.face.clone());
    }
    for faces in by_document.values_mut() {
        identity::tell_apart(&mut faces.values_mut().collect::<Vec<_>>());
    }
    for sheet in sheets.iter_mut() {
        let known = by_document.get(&sheet.row.document).and_then(|faces| faces.get(&sheet.face.digest));
        if let Some(known) = known {
            sheet.face = known.clone();
        }
    }
}

/// Returns the cards: machines with the same face share one. It is stamped with the release with which its face came first.
fn cards(book: &Book<'_>, sheets: &[Sheet], withheld: &mut Vec<(DocumentNumber, Tag, String)>) -> Vec<Card> {
    let mut shared: BTreeMap<(DocumentNumber, String), Vec<usize>> = BTreeMap::new();
    for (at, sheet) in sheets.iter().enumerate() {
        shared.entry((sheet.row.document.clone(), sheet.face.digest.clone())).or_default().push(at);
    }
    let mut cards = Vec::new();
    for ((document, digest), own) in shared {
        let Some(first) = own.iter().map(|at| &sheets[*at]).min_by_key(|sheet| sheet.face_from) else { continue };
        match card_stamp(book, first, &digest) {
            Ok(stamp) => {
                let path = output_path("cards", &document, &first.face.words.replace(' ', "-"), "pdf");
                cards.push(Card { document, identity: first.face.clone(), path, sheets: own, stamp });
            }
            Err(why) => {
                let tags = own.iter().map(|at| &sheets[*at].row.tag);
                withheld.extend(tags.map(|tag| (document.clone(), tag.clone(), format!("its card: {why}"))));
            }
        }
    }
    cards
}

/// Returns the stamp of the release with which the face of a card came.
fn card_stamp(book: &Book<'_>, first: &Sheet, digest: &str) -> Result<Stamp, String> {
    let sealed = book.ledger.sealed().get(first.face_from);
    let (sealed, released) = sealed
        .and_then(|sealed| Some((sealed, sealed.release.as_ref()?)))
        .ok_or("the release with which it came is not in the ledger")?;
    let card_revision = revision_of(released, &first.row.document);
    stamp(book, sealed, released, &Said { row: &first.row, source: digest, card_revision })
}

/// Returns a printer for each release that is printed from: with the templates, the paper and the figures that were approved.
fn presses<'o>(
    repo: &Repo,
    book: &Book<'_>,
    sheets: &[Sheet],
    day: Date,
    outputs: &'o Outputs,
    withheld: &mut Vec<(DocumentNumber, Tag, String)>,
) -> Result<BTreeMap<Digest, Printer<'o>>, ControlledError> {
    let mut presses = BTreeMap::new();
    for manifest in sheets.iter().map(|sheet| sheet.row.manifest).collect::<BTreeSet<_>>() {
        match press(repo, book, &manifest, sheets, day, outputs)? {
            Ok(printer) => drop(presses.insert(manifest, printer)),
            Err(why) => {
                for sheet in sheets.iter().filter(|sheet| sheet.row.manifest == manifest) {
                    withheld.push((sheet.row.document.clone(), sheet.row.tag.clone(), why.clone()));
                }
            }
        }
    }
    Ok(presses)
}

fn press<'o>(
    repo: &Repo,
    book: &Book<'_>,
    digest: &Digest,
    sheets: &[Sheet],
    day: Date,
    outputs: &'o Outputs,
) -> Result<Result<Printer<'o>, String>, ControlledError> {
    let manifest = match release::manifest(&book.files, digest) {
        Ok(manifest) => manifest,
        Err(verdict) => return Ok(Err(verdict.to_string())),
    };
    let world = repo.state(manifest.commit.as_str()).and_then(|state| Revision::at(repo, state, day));
    let world = match world {
        Ok(world) => world,
        Err(error) => return Ok(Err(format!("the sources that were approved are not in this copy: {error}"))),
    };
    let read = |path: &str| world.read(&BinderPath::parse(path).ok()?, MOST).ok();
    if let Some(wrong) = release::sources(&manifest, |path| read(path).map(|bytes| Digest::of(&bytes))).first() {
        return Ok(Err(format!("`{}`: {}", wrong.object, wrong.told)));
    }
    let mut figures = BTreeMap::new();
    for figure in sheets.iter().filter(|own| own.row.manifest == *digest).flat_map(|own| &own.packet.figures) {
        match read(&figure.path).filter(|bytes| Digest::of(bytes).to_string() == figure.digest) {
            Some(bytes) => drop(figures.insert(figure.path.clone(), bytes)),
            None => return Ok(Err(format!("the drawing `{}` that was approved is not there", figure.path))),
        }
    }
    let binder = match load(&world) {
        Ok((binder, _)) => binder,
        Err(error) => return Ok(Err(error.to_string())),
    };
    Ok(Ok(Printer::new(&binder.templates, binder.settings.paper, figures.into_iter().collect(), outputs)?))
}

fn make(
    presses: &BTreeMap<Digest, Printer<'_>>,
    sheets: &[Sheet],
    cards: &[Card],
    asked: &Asked<'_>,
    progress: &dyn Progress,
) -> Result<Sorted, OutputError> {
    let packet = |sheet: &Sheet| -> Result<Vec<Made>, OutputError> {
        let Some(printer) = presses.get(&sheet.row.manifest) else { return Ok(Vec::new()) };
        let order = PacketSheet {
            document: &sheet.row.document,
            tag: &sheet.row.tag,
            identity: &sheet.identity,
            face: &sheet.face,
            stamp: &sheet.stamp,
            since: Some(&sheet.since),
        };
        let wanted = Wanted::of(asked.has(&sheet.row.document, &sheet.row.tag));
        printer.packet(&order, wanted, || sheet.packet.clone())
    };
    progress.begin(sheets.len() + cards.len());
    let made = crew::each(sheets.len() + cards.len(), |at| {
        let made = match sheets.get(at) {
            Some(sheet) => packet(sheet),
            None => card(presses, sheets, &cards[at - sheets.len()], asked),
        };
        progress.stride();
        made
    })?;
    let mut sorted = Sorted::default();
    made.into_iter().flatten().for_each(|made| sorted.sort_in(made));
    Ok(sorted)
}

#[cfg(feature = "pdf")]
fn card(
    presses: &BTreeMap<Digest, Printer<'_>>,
    sheets: &[Sheet],
    card: &Card,
    asked: &Asked<'_>,
) -> Result<Vec<Made>, OutputError> {
    let first = &sheets[card.sheets[0]];
    let (Some(printer), Some(print)) = (presses.get(&first.row.manifest), &first.packet.print) else {
        return Ok(Vec::new());
    };
    let tags: Vec<String> = card.sheets.iter().map(|at| sheets[*at].row.tag.to_string()).collect();
    let order = CardSheet {
        document: &card.document,
        path: &card.path,
        identity: &card.identity,
        tags: &tags,
        print,
        stamp: &card.stamp,
    };
    let is_asked = card.sheets.iter().any(|at| asked.has(&sheets[*at].row.document, &sheets[*at].row.tag));
    printer.card(&order, Wanted::of(is_asked), || first.packet.card.clone()).map(|made| vec![made])
}

#[cfg(not(feature = "pdf"))]
#[expect(clippy::unnecessary_wraps, reason = "it is called as where there are cards")]
fn card(_: &BTreeMap<Digest, Printer<'_>>, _: &[Sheet], _: &Card, _: &Asked<'_>) -> Result<Vec<Made>, OutputError> {
    Ok(Vec::new())
}

fn manifest(
    plant: String,
    (outputs, refused): (Vec<Output>, Vec<Refused>),
    sheets: &[Sheet],
    cards: &[Card],
) -> Manifest {
    let paths: BTreeSet<&str> = outputs.iter().map(|output| output.path.as_str()).collect();
    let face = |card: &Card| Face {
        document: card.document.to_string(),
        words: card.identity.words.clone(),
        digest: card.identity.digest.clone(),
        tags: card.sheets.iter().map(|at| sheets[*at].row.tag.to_string()).collect(),
        card: paths.get(card.path.as_str()).map(|path| (*path).to_owned()),
    };
    Manifest {
        schema: SCHEMA,
        plant,
        program: env!("CARGO_PKG_VERSION"),
        build: BUILD,
        faces: cards.iter().map(face).collect(),
        suppressed: Vec::new(),
        outputs,
        refused,
    }
}

/// Returns the index of what is in force; what is withheld stands in it with its reason.
fn site(
    book: &Book<'_>,
    day: Date,
    (sheets, cards, asked): (&[Sheet], &[Card], &Asked<'_>),
    (made, withheld): (&Sorted, &[(DocumentNumber, Tag, String)]),
) -> SiteView {
    let paths: BTreeSet<&str> = made.outputs.iter().map(|output| output.path.as_str()).collect();
    let there = |path: BinderPath| paths.contains(path.as_str()).then(|| path.to_string());
    let mut not_checked: Vec<String> = Vec::new();
    let mut entries = Vec::new();
    for (at, sheet) in sheets.iter().enumerate() {
        let (document, tag) = (&sheet.row.document, sheet.row.tag.as_str());
        let card = cards.iter().find(|card| card.sheets.contains(&at));
        let own: BTreeSet<String> =
            ["html", "pdf"].map(|ending| output_path("packets", document, tag, ending).to_string()).into();
        let is_there = own.iter().any(|path| paths.contains(path.as_str()))
            || card.is_some_and(|card| paths.contains(card.path.as_str()));
        if !asked.has(document, &sheet.row.tag) && !is_there {
            continue;
        }
        let refused = made
            .refused
            .iter()
            .filter(|one| own.contains(&one.path) || card.is_some_and(|card| card.path.as_str() == one.path));
        let mut missing: Vec<String> = refused.map(|one| format!("{}: {}", one.kind.words(), one.reason)).collect();
        missing.extend(
            withheld.iter().filter(|(of, on, _)| of == document && on.as_str() == tag).map(|(.., why)| why.clone()),
        );
        for line in &sheet.packet.not_checked {
            if !not_checked.contains(line) {
                not_checked.push(line.clone());
            }
        }
        let mut entry = SiteEntry { missing: missing.join("; "), ..entry(sheet) };
        entry.packet_html = there(output_path("packets", document, tag, "html"));
        entry.packet_pdf = there(output_path("packets", document, tag, "pdf"));
        entry.card_pdf = card.and_then(|card| there(card.path.clone()));
        if entry.packet_html.is_some() || entry.packet_pdf.is_some() {
            entry.packet_words.clone_from(&sheet.identity.words);
        }
        if entry.card_pdf.is_some() {
            entry.card_words.clone_from(&sheet.face.words);
        }
        entries.push(entry);
    }
    let has_sheet = |document: &DocumentNumber, tag: &Tag| {
        sheets.iter().any(|sheet| sheet.row.document == *document && sheet.row.tag == *tag)
    };
    for (document, tag, why) in withheld.iter().filter(|(document, tag, _)| !has_sheet(document, tag)) {
        entries.push(withheld_entry(document, tag, why));
    }
    let last = book.ledger.sealed().last();
    SiteView {
        plant: sheets.first().map(|sheet| sheet.packet.plant.clone()).unwrap_or_default(),
        language: sheets.first().map_or_else(|| "en".to_owned(), |sheet| sheet.packet.language.clone()),
        mark: String::new(),
        source: format!("what is in force on {day}"),
        record: last.map(|last| format!("{} {}", last.record.seq, last.digest.short())).unwrap_or_default(),
        as_of: last.map(|last| last.record.signed_at.date().to_string()).unwrap_or_default(),
        entries,
        not_checked,
        deference: standing::deference(),
    }
}

fn entry(sheet: &Sheet) -> SiteEntry {
    SiteEntry {
        tag: sheet.row.tag.to_string(),
        place: sheet.packet.place.clone(),
        family: format!("{}, {}", sheet.packet.family.id, sheet.packet.family.name),
        document: sheet.row.document.to_string(),
        title: sheet.packet.title.clone(),
        revision: sheet.row.revision.to_string(),
        effective: sheet.row.effective.to_string(),
        last_day: sheet.row.until.map(|until| until.to_string()).unwrap_or_default(),
        packet_words: String::new(),
        card_words: String::new(),
        packet_html: None,
        packet_pdf: None,
        card_pdf: None,
        missing: String::new(),
    }
}

/// Of what is withheld nothing is known but its name: its packet is not believed.
fn withheld_entry(document: &DocumentNumber, tag: &Tag, why: &str) -> SiteEntry {
    SiteEntry {
        tag: tag.to_string(),
        place: String::new(),
        family: String::new(),
        document: document.to_string(),
        title: String::new(),
        revision: String::new(),
        effective: String::new(),
        last_day: String::new(),
        packet_words: String::new(),
        card_words: String::new(),
        packet_html: None,
        packet_pdf: None,
        card_pdf: None,
        missing: format!("not printed: {why}"),
    }
}

impl Controlled {
    /// Returns how many outputs of a kind there are for a document.
    #[must_use]
    pub fn count(&self, document: &str, kind: Kind) -> usize {
        self.manifest.outputs.iter().filter(|output| output.kind == kind && output.document == document).count()
    }
}
