//! What to draw from stores and crib for a tag; it prints no list and takes nothing from any.

use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Tag};
use crate::model::binder::Registers;
use crate::model::load::LoadError;
use crate::model::world::World;
use crate::packet::view::{Kit, KitItem, KitPart};
use crate::task::check::{Judged, judge};
use crate::task::plan::plan;
use crate::task::selection::{Selection, UnknownName, in_words};
use serde::Serialize;
use std::collections::BTreeMap;

/// One line of a kit list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KitLine {
    /// Document number.
    pub document: String,
    /// The machine.
    pub tag: String,
    /// What it is: `part`, `fluid`, `tool`, `torque tool`, `instrument`, `lock`, `temporary item` or `protection`.
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
    /// Numbers of the steps that use it; empty where it is for the whole job.
    pub steps: Vec<u32>,
    /// Why it is drawn, where the steps do not say it all; may be empty.
    pub why: String,
}

/// One line of a list for several jobs together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct JoinedLine {
    /// What it is, as in [`KitLine`].
    pub kind: &'static str,
    /// The crib's number, or the stores number of a part; may be empty.
    pub number: String,
    /// Plain name.
    pub name: String,
    /// How many for all jobs; none where it is drawn as needed.
    pub count: Option<u32>,
    /// The unit of the count.
    pub unit: &'static str,
    /// Range, resolution, material or zone; may be empty.
    pub detail: String,
    /// Where it lies in stores; may be empty.
    pub bin: String,
    /// The jobs that need it.
    pub jobs: Vec<JobNeed>,
}

/// What one job needs of something.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct JobNeed {
    /// Document number.
    pub document: String,
    /// The machine.
    pub tag: String,
    /// How many; none where it is drawn as needed.
    pub count: Option<u32>,
    /// Numbers of the steps that use it; empty where it is for the whole job.
    pub steps: Vec<u32>,
    /// Why it is drawn, where the steps do not say it all; may be empty.
    pub why: String,
}

/// The kit lists of a command.
#[derive(Debug)]
pub struct Kits {
    /// The binder and what is wrong with it.
    pub judged: Judged,
    /// The lines, in order of documents, then of the fleet, then of the list.
    pub lines: Vec<KitLine>,
    /// Document and tag of lists with steps that were not read with certainty: what those need is not on the list.
    pub unsure: Vec<(DocumentNumber, Tag, Vec<u32>)>,
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
    let mut unsure = Vec::new();
    for planned in plan.packets.iter().filter(|one| selection.has(one.document(), one.tag())) {
        let packet = planned.compiled(&judged.binder, &judged.figures);
        lines.extend(of_packet(&packet.document, &packet.tag, &packet.kit));
        if !packet.kit.unsure.is_empty() {
            unsure.push((planned.document().clone(), planned.tag().clone(), packet.kit.unsure));
        }
    }
    let suppressed = plan.suppressed.iter().map(|one| (DocumentNumber::new(&one.document), Tag::new(&one.tag)));
    let without: Vec<(DocumentNumber, Tag)> =
        suppressed.filter(|(document, tag)| selection.has(document, tag)).collect();
    let is_cause = |finding: &&Finding| without.iter().any(|(document, tag)| finding.suppresses(document, tag));
    let because: Vec<Finding> = judged.findings.iter().filter(is_cause).cloned().collect();
    if lines.is_empty() && without.is_empty() {
        return Err(KitError::Nothing { tags: in_words(tags) });
    }
    Ok(Kits { judged, lines, unsure, without, because })
}

/// Returns the lines of several jobs as one list, for whoever does them one after another: new parts add up, one tool serves
/// all. Locks add up over the machines, which may be locked at the same time; two jobs on one machine share its locks.
#[must_use]
pub fn together(lines: &[KitLine]) -> Vec<JoinedLine> {
    let mut joined: Vec<JoinedLine> = Vec::new();
    for line in lines {
        let is_same = |own: &&mut JoinedLine| {
            (own.kind, &own.number, &own.name, &own.detail, &own.bin)
                == (line.kind, &line.number, &line.name, &line.detail, &line.bin)
        };
        let need = JobNeed {
            document: line.document.clone(),
            tag: line.tag.clone(),
            count: line.count,
            steps: line.steps.clone(),
            why: line.why.clone(),
        };
        match joined.iter_mut().find(is_same) {
            Some(own) => own.jobs.push(need),
            None => joined.push(JoinedLine {
                kind: line.kind,
                number: line.number.clone(),
                name: line.name.clone(),
                count: None,
                unit: line.unit,
                detail: line.detail.clone(),
                bin: line.bin.clone(),
                jobs: vec![need],
            }),
        }
    }
    for line in &mut joined {
        line.count = count_of(line.kind, &line.jobs);
    }
    // The sort is stable: inside a kind, lines stay in the order of the jobs.
    joined.sort_by_key(|line| KINDS.iter().position(|kind| *kind == line.kind));
    joined
}

/// The kinds of lines, in the order of a list.
const KINDS: [&str; 8] = ["part", "fluid", "tool", "torque tool", "instrument", "lock", "temporary item", "protection"];

fn count_of(kind: &str, jobs: &[JobNeed]) -> Option<u32> {
    let counts = || jobs.iter().map(|job| job.count);
    match kind {
        "part" => counts().try_fold(0_u32, |sum, count| Some(sum.saturating_add(count?))),
        "lock" => {
            let mut by_tag: BTreeMap<&str, u32> = BTreeMap::new();
            for job in jobs {
                let most = by_tag.entry(&job.tag).or_default();
                *most = (*most).max(job.count?);
            }
            Some(by_tag.into_values().fold(0, u32::saturating_add))
        }
        _ => counts().try_fold(0, |most: u32, count| Some(most.max(count?))),
    }
}

fn of_packet(document: &str, tag: &str, kit: &Kit) -> Vec<KitLine> {
    let item = |kind: &'static str, item: &KitItem| {
        // How much of a fluid a job takes stands in no register.
        let count = (kind != "fluid").then_some(item.count);
        KitLine {
            document: document.to_owned(),
            tag: tag.to_owned(),
            kind,
            number: item.id.clone(),
            name: item.name.clone(),
            count,
            unit: if count.is_some() { "each" } else { "as needed" },
            detail: plain(&item.detail),
            bin: String::new(),
            steps: item.steps.clone(),
            why: item.why.clone(),
        }
    };
    let part = |part: &KitPart| KitLine {
        document: document.to_owned(),
        tag: tag.to_owned(),
        kind: "part",
        number: part.number.clone(),
        name: part.name.clone(),
        count: Some(part.count),
        unit: "each",
        detail: plain(&part.material),
        bin: part.bin.clone(),
        steps: part.steps.clone(),
        why: part.why.clone(),
    };
    let worn = |(at, name): (usize, &String)| KitLine {
        document: document.to_owned(),
        tag: tag.to_owned(),
        kind: "protection",
        number: String::new(),
        name: name.clone(),
        count: Some(1),
        unit: "each",
        detail: String::new(),
        bin: String::new(),
        steps: kit.protection_steps.get(at).cloned().unwrap_or_default(),
        why: String::new(),
    };
    let groups: [(&'static str, &[KitItem]); 6] = [
        ("fluid", &kit.fluids),
        ("tool", &kit.tools),
        ("torque tool", &kit.torque_tools),
        ("instrument", &kit.instruments),
        ("lock", &kit.locks),
        ("temporary item", &kit.temporary),
    ];
    let items = groups.into_iter().flat_map(|(kind, items)| items.iter().map(move |own| item(kind, own)));
    kit.parts.iter().map(part).chain(items).chain(kit.protection.iter().enumerate().map(worn)).collect()
}

/// Returns a text for a list, in which a number and its unit are joined by a plain space.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}
