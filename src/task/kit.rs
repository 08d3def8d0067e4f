//! What to draw from stores and crib for a tag; it prints no list and takes nothing from any.

use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Tag};
use crate::model::binder::Registers;
use crate::model::load::LoadError;
use crate::model::world::World;
use crate::packet::view::{Kit, KitItem};
use crate::task::check::{Judged, judge};
use crate::task::plan::plan;
use crate::task::selection::{Selection, UnknownName, in_words};
use serde::Serialize;

/// One line of a kit list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KitLine {
    /// Document number.
    pub document: String,
    /// The machine.
    pub tag: String,
    /// What it is: `part`, `fluid`, `tool`, `torque tool`, `instrument`, `lock` or `protection`.
    pub kind: &'static str,
    /// The crib's number, or the stores number of a part; may be empty.
    pub number: String,
    /// Plain name.
    pub name: String,
    /// How many; none where it is drawn as needed.
    pub count: Option<u32>,
    /// The unit of the count.
    pub unit: &'static str,
    /// Range, resolution, material or zone; may be empty.
    pub detail: String,
    /// Where it lies in stores; may be empty.
    pub bin: String,
}

/// The kit lists of a command.
#[derive(Debug)]
pub struct Kits {
    /// The binder and what is wrong with it.
    pub judged: Judged,
    /// The lines, in order of documents, then of the fleet, then of the list.
    pub lines: Vec<KitLine>,
    /// Document and tag of the lists that an error keeps from being whole.
    pub without: Vec<(DocumentNumber, Tag)>,
    /// The errors that do.
    pub because: Vec<Finding>,
}

/// Why there is no kit list.
#[derive(Debug, thiserror::Error)]
pub enum KitError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
    /// A register cannot be read, so that nothing can be decided.
    #[error("a register cannot be read, so there is no kit list")]
    Undecided(Box<Judged>),
    /// No procedure that was asked for is for any of the tags.
    #[error("no procedure that was asked for is for {tags}")]
    Nothing {
        /// The tags.
        tags: String,
    },
}

/// Returns what the selected procedures need for the selected tags.
///
/// # Errors
/// A [`KitError`] where there is no binder, a name is not known, or no procedure is for the tags.
pub fn kit(world: &dyn World, documents: &[String], tags: &[String]) -> Result<Kits, KitError> {
    let judged = judge(world)?;
    if judged.binder.registers == Registers::Broken {
        return Err(KitError::Undecided(Box::new(judged)));
    }
    let selection = Selection::of(&judged.binder, documents, tags)?;
    let plan = plan(&judged);
    let mut lines = Vec::new();
    for planned in plan.packets.iter().filter(|one| selection.has(one.document(), one.tag())) {
        let packet = planned.compiled(&judged.binder, &judged.figures);
        lines.extend(of_packet(&packet.document, &packet.tag, &packet.kit));
    }
    let suppressed = plan.suppressed.iter().map(|one| (DocumentNumber::new(&one.document), Tag::new(&one.tag)));
    let without: Vec<(DocumentNumber, Tag)> =
        suppressed.filter(|(document, tag)| selection.has(document, tag)).collect();
    let is_cause = |finding: &&Finding| without.iter().any(|(document, tag)| finding.suppresses(document, tag));
    let because: Vec<Finding> = judged.findings.iter().filter(is_cause).cloned().collect();
    if lines.is_empty() && without.is_empty() {
        return Err(KitError::Nothing { tags: in_words(tags) });
    }
    Ok(Kits { judged, lines, without, because })
}

fn of_packet(document: &str, tag: &str, kit: &Kit) -> Vec<KitLine> {
    let line = |kind, number: &str, name: &str, count, detail: String, bin: &str| KitLine {
        document: document.to_owned(),
        tag: tag.to_owned(),
        kind,
        number: number.to_owned(),
        name: name.to_owned(),
        count,
        unit: if count.is_some() { "each" } else { "as needed" },
        detail: plain(&detail),
        bin: bin.to_owned(),
    };
    let mut lines: Vec<KitLine> = kit
        .parts
        .iter()
        .map(|part| line("part", &part.number, &part.name, Some(part.count), part.material.clone(), &part.bin))
        .collect();
    let groups: [(&'static str, &[KitItem]); 5] = [
        ("fluid", &kit.fluids),
        ("tool", &kit.tools),
        ("torque tool", &kit.torque_tools),
        ("instrument", &kit.instruments),
        ("lock", &kit.locks),
    ];
    for (kind, items) in groups {
        for item in items {
            // How much of a fluid a job takes stands in no register.
            let count = (kind != "fluid").then_some(item.count);
            lines.push(line(kind, &item.id, &item.name, count, item.detail.clone(), ""));
        }
    }
    lines.extend(kit.protection.iter().map(|name| line("protection", "", name, Some(1), String::new(), "")));
    lines
}

/// Returns a text for a list, in which a number and its unit are joined by a plain space.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}
