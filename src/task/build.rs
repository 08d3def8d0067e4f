//! Makes every packet, card and index of a binder that no error suppresses, and puts them into place all at once.

use crate::base::name::{DocumentNumber, Tag};
use crate::base::stamp::{DRAFT_MARK, Stamp};
use crate::model::binder::Registers;
use crate::model::load::LoadError;
use crate::packet::standing;
use crate::render::error::RenderError;
use crate::render::site::{SiteEntry, SiteView};
use crate::task::check::{Judged, judge};
use crate::task::crew;
use crate::task::manifest::{Face, Kind, Manifest, Output, Refused, SCHEMA, Suppressed};
use crate::task::plan::Planned;
#[cfg(feature = "pdf")]
use crate::task::plan::Shared;
use crate::task::plan::{Plan, plan};
#[cfg(feature = "pdf")]
use crate::task::printing::CardSheet;
use crate::task::printing::{BUILD, Made, PacketSheet, Printer, Sorted, Wanted};
use crate::task::selection::{Selection, UnknownName, in_words};
use crate::workspace::disk::Disk;
use crate::workspace::outputs::{Committed, OutputError, Outputs};
use sha2::{Digest as _, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Told how far a build has come; called from several threads.
pub trait Progress: Sync {
    /// The work has begun and will take so many strides.
    fn begin(&self, strides: usize);
    /// One of them is done.
    fn stride(&self);
}

/// What to build.
#[derive(Clone, Debug)]
pub struct BuildOrder<'a> {
    /// Where the outputs go.
    pub out: &'a Path,
    /// Documents that were asked for, as typed; none for all.
    pub documents: &'a [String],
    /// Tags that were asked for, as typed; none for all.
    pub tags: &'a [String],
}

/// What a build found and made.
#[derive(Debug)]
pub struct Built {
    /// The binder and what is wrong with it.
    pub judged: Judged,
    /// What was asked for.
    pub selection: Selection,
    /// What was made.
    pub manifest: Manifest,
    /// Paths of the outputs that were written anew, in order.
    pub written: Vec<String>,
    /// What it did to the output folder.
    pub committed: Committed,
}

/// Why nothing was built. The last good outputs are still in place.
#[derive(Debug, thiserror::Error)]
pub enum BuildError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
    /// No procedure that was asked for is for any of the machines.
    #[error("no procedure that was asked for is for {tags}")]
    Nothing {
        /// The machines, in words.
        tags: String,
    },
    /// A register cannot be read, so that nothing can be decided.
    #[error("a register cannot be read, so nothing can be built; what was built before is still there")]
    Undecided(Box<Judged>),
    /// A template of the binder cannot be used.
    #[error(transparent)]
    Template(#[from] RenderError),
    /// The outputs cannot be written.
    #[error(transparent)]
    Output(#[from] OutputError),
}

/// Builds a binder.
///
/// # Errors
/// A [`BuildError`] where nothing could be built; an author's mistakes suppress outputs and are no such error.
pub fn build(disk: &Disk, order: &BuildOrder<'_>, progress: &dyn Progress) -> Result<Built, BuildError> {
    let mut judged = judge(disk)?;
    if judged.binder.registers == Registers::Broken {
        return Err(BuildError::Undecided(Box::new(judged)));
    }
    let selection = Selection::of(&judged.binder, order.documents, order.tags)?;
    if !selection.is_all() && selection.is_for_nothing(&judged.binder) {
        return Err(BuildError::Nothing { tags: in_words(order.tags) });
    }
    let outputs = Outputs::begin(order.out, disk.root())?;
    // Only the renderers need the bytes from here on, and they know no paths of a binder.
    let figures = std::mem::take(&mut judged.binder.figures);
    let figures = figures.into_iter().map(|(path, bytes)| (path.to_string(), bytes)).collect();
    let printer = Printer::new(&judged.binder.templates, judged.binder.settings.paper, figures, &outputs)?;
    let plan = plan(&judged);
    let mut made = make(&printer, &judged, &plan, &selection, progress)?;
    let view = site(&judged, &plan, &selection, &made);
    made.sort_in(printer.index(&view)?);
    let written = std::mem::take(&mut made.written);
    let manifest = manifest(&judged, &plan, made);
    drop(printer);
    let committed = outputs.commit(&manifest.to_bytes())?;
    Ok(Built { judged, selection, manifest, written, committed })
}

/// One stride of the work.
#[derive(Clone, Copy)]
enum Work {
    Packet(usize),
    #[cfg(feature = "pdf")]
    Card(usize),
}

/// Makes packets and cards on all processors; each is written as soon as it is made and then forgotten.
fn make(
    printer: &Printer<'_>,
    judged: &Judged,
    plan: &Plan<'_>,
    selection: &Selection,
    progress: &dyn Progress,
) -> Result<Sorted, OutputError> {
    let work = (0..plan.packets.len()).map(Work::Packet);
    #[cfg(feature = "pdf")]
    let work = work.chain((0..plan.faces.len()).map(Work::Card));
    let work: Vec<Work> = work.collect();
    progress.begin(work.len());
    let wanted = |packet: usize| selection.has(plan.packets[packet].document(), plan.packets[packet].tag());
    let made = crew::each(work.len(), |at| {
        let made = match work[at] {
            Work::Packet(at) => draft_packet(printer, judged, &plan.packets[at], Wanted::of(wanted(at))),
            #[cfg(feature = "pdf")]
            Work::Card(at) => {
                let face = &plan.faces[at];
                let is_wanted = face.packets.iter().any(|packet| wanted(*packet));
                draft_card(printer, judged, (plan, face), Wanted::of(is_wanted)).map(|made| vec![made])
            }
        };
        progress.stride();
        made
    })?;
    let mut sorted = Sorted::default();
    made.into_iter().flatten().for_each(|made| sorted.sort_in(made));
    Ok(sorted)
}

fn draft_packet(
    printer: &Printer<'_>,
    judged: &Judged,
    planned: &Planned<'_>,
    wanted: Wanted,
) -> Result<Vec<Made>, OutputError> {
    let stamp = Stamp::draft(&planned.packet.digest);
    let sheet = PacketSheet {
        document: planned.document(),
        tag: planned.tag(),
        identity: &planned.packet,
        face: &planned.face,
        stamp: &stamp,
        since: None,
    };
    printer.packet(&sheet, wanted, || planned.compiled(&judged.binder, &judged.figures))
}

/// Tags with the same face have the same card, so any of their packets will do.
#[cfg(feature = "pdf")]
fn draft_card(
    printer: &Printer<'_>,
    judged: &Judged,
    (plan, face): (&Plan<'_>, &Shared),
    wanted: Wanted,
) -> Result<Made, OutputError> {
    let tags: Vec<String> = face.packets.iter().map(|at| plan.packets[*at].tag().to_string()).collect();
    let stamp = Stamp::draft(&face.identity.digest);
    let first = &plan.packets[face.packets[0]];
    let sheet = CardSheet {
        document: &face.document,
        path: &face.card,
        identity: &face.identity,
        tags: &tags,
        print: &first.print,
        stamp: &stamp,
    };
    printer.card(&sheet, wanted, || first.compiled(&judged.binder, &judged.figures).card)
}

fn manifest(judged: &Judged, plan: &Plan<'_>, made: Sorted) -> Manifest {
    let Sorted { mut outputs, mut refused, .. } = made;
    outputs.sort();
    refused.sort_by(|a, b| a.path.cmp(&b.path));
    let paths: BTreeSet<&str> = outputs.iter().map(|output| output.path.as_str()).collect();
    let face = |shared: &crate::task::plan::Shared| Face {
        document: shared.document.to_string(),
        words: shared.identity.words.clone(),
        digest: shared.identity.digest.clone(),
        tags: shared.packets.iter().map(|at| plan.packets[*at].tag().to_string()).collect(),
        card: paths.get(shared.card.as_str()).map(|path| (*path).to_owned()),
    };
    Manifest {
        schema: SCHEMA,
        plant: judged.binder.settings.plant.clone(),
        program: env!("CARGO_PKG_VERSION"),
        build: BUILD,
        faces: plan.faces.iter().map(face).collect(),
        suppressed: plan.suppressed.clone(),
        outputs,
        refused,
    }
}

/// Returns what the index lists: everything that was asked for, and everything else that is still true.
fn site(judged: &Judged, plan: &Plan<'_>, selection: &Selection, made: &Sorted) -> SiteView {
    let settings = &judged.binder.settings;
    let mut not_checked: Vec<String> = Vec::new();
    for line in plan.packets.iter().flat_map(|packet| &packet.not_checked) {
        if !not_checked.contains(line) {
            not_checked.push(line.clone());
        }
    }
    let mut source = Sha256::new();
    plan.packets.iter().for_each(|packet| source.update(&packet.packet.digest));
    let mut entries = built_entries(judged, plan, selection, made);
    entries.extend(suppressed_entries(judged, plan, selection));
    SiteView {
        plant: settings.plant.clone(),
        language: settings.language.clone(),
        mark: DRAFT_MARK.to_owned(),
        source: data_encoding::HEXLOWER.encode(&source.finalize())[..12].to_owned(),
        record: String::new(),
        as_of: String::new(),
        entries,
        not_checked,
        deference: standing::deference(),
    }
}

fn built_entries(judged: &Judged, plan: &Plan<'_>, selection: &Selection, made: &Sorted) -> Vec<SiteEntry> {
    let outputs: BTreeMap<&str, &Output> = made.outputs.iter().map(|output| (output.path.as_str(), output)).collect();
    let refused: BTreeMap<&str, &Refused> = made.refused.iter().map(|one| (one.path.as_str(), one)).collect();
    let mut entries = Vec::new();
    for face in &plan.faces {
        for packet in face.packets.iter().map(|at| &plan.packets[*at]) {
            let html = packet.path("html").to_string();
            let pdf = packet.path("pdf").to_string();
            let paths = [html.as_str(), pdf.as_str(), face.card.as_str()];
            let there = |path: &str| outputs.get(path).map(|output| output.path.clone());
            if !selection.has(packet.document(), packet.tag()) && paths.iter().all(|path| there(path).is_none()) {
                continue;
            }
            let reasons = paths.iter().filter_map(|path| refused.get(path));
            let reasons: Vec<String> = reasons.map(|one| format!("{}: {}", one.kind.words(), one.reason)).collect();
            let mut entry = entry(judged, packet.document(), packet.tag());
            entry.missing = reasons.join("; ");
            entry.packet_html = there(&html);
            entry.packet_pdf = there(&pdf);
            entry.card_pdf = there(face.card.as_str());
            if entry.packet_html.is_some() || entry.packet_pdf.is_some() {
                entry.packet_words.clone_from(&packet.packet.words);
            }
            if entry.card_pdf.is_some() {
                entry.card_words.clone_from(&packet.face.words);
            }
            entries.push(entry);
        }
    }
    entries
}

fn suppressed_entries(judged: &Judged, plan: &Plan<'_>, selection: &Selection) -> Vec<SiteEntry> {
    let mut entries = Vec::new();
    for suppressed in &plan.suppressed {
        let (document, tag) = (DocumentNumber::new(&suppressed.document), Tag::new(&suppressed.tag));
        if selection.has(&document, &tag) {
            let mut entry = entry(judged, &document, &tag);
            let reasons: Vec<&str> = suppressed.reasons.iter().map(|reason| reason.message.as_str()).collect();
            entry.missing = format!("not made, the binder has an error: {}", reasons.join("; "));
            entries.push(entry);
        }
    }
    entries
}

/// Returns the entry of a document for a tag, without any output yet.
fn entry(judged: &Judged, document: &DocumentNumber, tag: &Tag) -> SiteEntry {
    let procedure = judged.binder.procedure(document).expect("only documents of the binder are planned");
    let machine = judged.binder.machine(tag).expect("only tags of the fleet are planned");
    let family = judged.binder.family(&procedure.family.value);
    SiteEntry {
        tag: tag.to_string(),
        place: machine.place.clone(),
        family: family.map_or_else(String::new, |family| format!("{}, {}", family.id.value, family.name)),
        document: document.to_string(),
        title: procedure.title.value.clone(),
        revision: String::new(),
        effective: String::new(),
        last_day: String::new(),
        packet_words: String::new(),
        card_words: String::new(),
        packet_html: None,
        packet_pdf: None,
        card_pdf: None,
        missing: String::new(),
    }
}

impl Built {
    /// Returns what was not made for lack of a sound layout, among what was asked for.
    pub fn refused(&self) -> impl Iterator<Item = &Refused> {
        self.manifest.refused.iter().filter(|one| self.is_asked(&one.document, &one.tags))
    }

    /// Returns what an error in the binder suppressed, among what was asked for.
    pub fn suppressed(&self) -> impl Iterator<Item = &Suppressed> {
        let asked = |one: &&Suppressed| self.is_asked(&one.document, std::slice::from_ref(&one.tag));
        self.manifest.suppressed.iter().filter(asked)
    }

    /// Returns the outputs of a kind.
    pub fn of_kind(&self, kind: Kind) -> impl Iterator<Item = &Output> {
        self.manifest.outputs.iter().filter(move |output| output.kind == kind)
    }

    fn is_asked(&self, document: &str, tags: &[String]) -> bool {
        document.is_empty() || tags.iter().any(|tag| self.selection.has(&DocumentNumber::new(document), &Tag::new(tag)))
    }
}

#[cfg(test)]
#[path = "build_tests.rs"]
mod tests;
