//! The kit of a job: what its sentences use on one machine, and at which steps; it never takes a mention for a use.
//!
//! What the author lists in the front matter is held against what the steps use. It stays in the kit either way: whoever
//! leaves something out of a kit sends a fitter back to the crib.

use crate::analysis::job::{Answer, Job};
use crate::analysis::joint::{JointHere, within};
use crate::analysis::listed;
use crate::analysis::naming::Words;
use crate::analysis::reading::ReadingHere;
use crate::analysis::run::{Run, Standing, StepRun};
use crate::analysis::uses::{Moment, Uses, not_held, uses};
use crate::analysis::values::boxed;
use crate::base::finding::Finding;
use crate::base::limits::PARTS;
use crate::base::name::{CribId, Name};
use crate::base::text::Span;
use crate::model::crib::{Item, Kind};
use crate::model::draw::Draw;
use crate::model::family::{Family, Part};
use crate::model::procedure::Procedure;
use std::collections::{BTreeMap, BTreeSet};

/// What to draw for a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// New parts, in the order the steps need them, then what the author adds.
    pub parts: Vec<PartHere>,
    /// Everything from the crib, by identifier.
    pub items: BTreeMap<CribId, ItemHere>,
    /// What is put in for the job and comes out again.
    pub temporary: Vec<TemporaryHere>,
    /// What protects the person.
    pub protection: Vec<Worn>,
    /// Steps with a sentence that is not sure: what it needs is not in the kit.
    pub unsure: BTreeSet<u32>,
    /// Where the author's own lists and the steps differ.
    pub differences: Vec<Difference>,
    /// Tools named by a word that fits several of the crib, none of which is in the kit.
    pub vague: Vec<Vague>,
}

/// A tool named by a word that fits several of the crib.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vague {
    /// The word.
    pub word: String,
    /// Where.
    pub span: Span,
    /// The items it fits.
    pub items: Vec<CribId>,
}

/// Why something is in the kit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Need {
    /// Where it is used; nowhere where it is for the whole job, or added by the author.
    pub uses: Vec<Use>,
    /// A reason in words; empty where the steps are reason enough.
    pub why: String,
}

/// One use of something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Use {
    /// The number of the step.
    pub step: u32,
    /// The place of the sentence, or of the step.
    pub span: Span,
    /// True where a condition stands before it.
    pub conditional: bool,
    /// How it follows that it is used.
    pub because: Because,
}

/// How it follows that something is used.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Because {
    /// The sentence names it.
    Named,
    /// The family says that this part needs it.
    Part(String),
    /// The crib says that this verb needs it.
    Verb(String),
    /// This joint is tightened with it.
    Joint(String),
    /// This reading is taken with it.
    Reading(String),
    /// A lock for each isolation point.
    Points,
    /// This caution asks for it.
    Caution(String),
}

/// A new part as it is on one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartHere {
    /// The register's name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Stores number; may be empty.
    pub number: String,
    /// Material; may be empty.
    pub material: String,
    /// Place in stores; may be empty.
    pub bin: String,
    /// Why it is drawn.
    pub need: Need,
}

/// Something from the crib.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ItemHere {
    /// The item.
    pub item: Item,
    /// How many.
    pub count: u32,
    /// Why it is drawn.
    pub need: Need,
}

/// A temporary item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemporaryHere {
    /// The register's name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Why it is drawn.
    pub need: Need,
}

/// What protects the person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worn {
    /// What it is.
    pub name: String,
    /// Why it is worn; without steps, for the whole job.
    pub need: Need,
}

/// Where the author's list and the steps differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Whose list.
    pub list: List,
    /// What.
    pub name: String,
    /// Where it is listed, or used.
    pub span: Span,
    /// How.
    pub how: Differs,
}

/// A list of the front matter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// `parts`.
    Parts,
    /// `tools`.
    Tools,
    /// `fluids`.
    Fluids,
}

/// How a list and the steps differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Differs {
    /// It is listed, no step uses it, and no reason is given.
    Idle,
    /// So many are listed, and the steps use fewer.
    More(u32, u32),
    /// So many are listed, and the steps use more.
    Fewer(u32, u32),
    /// The list does not hold what a step uses.
    Missing,
}

/// What is said of something that is used only under a condition.
const IF_NEEDED: &str = "only if the condition of the step holds";

impl Need {
    /// Returns the numbers of the steps that use it, each once, in order.
    #[must_use]
    pub fn steps(&self) -> BTreeSet<u32> {
        self.uses.iter().map(|own| own.step).collect()
    }
}

impl List {
    /// Returns its key in the front matter.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Parts => "parts",
            Self::Tools => "tools",
            Self::Fluids => "fluids",
        }
    }
}

impl Kit {
    /// Returns the kit of a job, and what keeps some of it from being told.
    #[must_use]
    pub fn of<'b>(run: &Run<'_, 'b>, joints: &[JointHere<'b>], readings: &[ReadingHere<'b>]) -> (Self, Vec<Finding>) {
        let mut uses = uses(run, joints, readings);
        let mut findings = std::mem::take(&mut uses.findings);
        let mut kit = Self { protection: protection(run), unsure: unsure(run), ..Self::default() };
        kit.take(run.job, &uses, &mut findings);
        kit.say_settings(joints);
        findings.extend(listed::add(&mut kit, run, &uses));
        kit.vague = uses.vague;
        kit.vague.retain(|own| !own.items.iter().any(|id| kit.items.contains_key(id)));
        (kit, findings)
    }

    /// Takes in what the steps use.
    fn take(&mut self, job: &Job<'_>, uses: &Uses<'_>, findings: &mut Vec<Finding>) {
        for (part, count, uses) in &uses.parts {
            match within(*count, PARTS, part.count.span).and_then(|count| job.part_here(part, count, need(uses))) {
                Ok(part) => self.parts.push(part),
                Err(finding) => findings.push(*finding),
            }
        }
        for (item, count, uses) in uses.items.values() {
            let here = ItemHere { item: (*item).clone(), count: *count, need: need(uses) };
            self.items.insert(item.id.value.clone(), here);
        }
        for (name, count, uses) in &uses.temporary {
            self.temporary.push(TemporaryHere { name: name.as_str().to_owned(), count: *count, need: need(uses) });
        }
    }

    /// Says at a wrench what it is set to for a joint with an adapter: whoever draws both sets it before the job.
    fn say_settings(&mut self, joints: &[JointHere<'_>]) {
        for here in joints {
            let own = here.wrench.as_ref().and_then(|wrench| self.items.get_mut(&wrench.id.value));
            let Some(own) = own.filter(|_| here.adapter.is_some()) else { continue };
            let said = format!("{}: {}", here.joint.name.value, here.setting());
            own.need.why = if own.need.why.is_empty() { said } else { format!("{}; {said}", own.need.why) };
        }
    }

    /// Returns the items of one kind.
    pub fn kind(&self, wanted: impl Fn(&Kind) -> bool) -> impl Iterator<Item = &ItemHere> {
        self.items.values().filter(move |here| wanted(&here.item.kind))
    }
}

impl Run<'_, '_> {
    /// Returns the kit of this job, and what keeps some of it from being told.
    #[must_use]
    pub fn kit(&self) -> &(Kit, Vec<Finding>) {
        self.kit.get_or_init(|| {
            let (joints, mut findings) = self.job.joints();
            let (readings, found) = self.job.readings_here();
            findings.extend(found);
            let (kit, found) = Kit::of(self, &joints, &readings);
            findings.extend(found);
            (kit, findings)
        })
    }
}

/// Returns why something that is used so is in the kit.
fn need(uses: &[Use]) -> Need {
    let why = if uses.iter().all(|own| own.conditional) { IF_NEEDED.to_owned() } else { String::new() };
    Need { uses: uses.to_vec(), why }
}

/// Returns the numbers of steps in which a sentence is not sure.
fn unsure(run: &Run<'_, '_>) -> BTreeSet<u32> {
    let is_open = |step: &&StepRun<'_>| step.sentences.iter().any(|sentence| sentence.standing == Standing::Open);
    run.steps.iter().filter(is_open).map(|step| step.number).collect()
}

/// Returns what protects the person: what the procedure asks for, and what the cautions at its steps ask for.
fn protection(run: &Run<'_, '_>) -> Vec<Worn> {
    let procedure = run.job.procedure;
    let mut worn: Vec<Worn> = Vec::new();
    for item in &procedure.protection {
        wear(&mut worn, &item.value, Vec::new());
    }
    for caution in procedure.cautions.iter().filter(|caution| run.job.applies(caution.only.as_ref())) {
        let because = Because::Caution(caution.name.value.as_str().to_owned());
        let shown = |step: &&StepRun<'_>| step.step.cautions.iter().any(|own| own.value == caution.name.value);
        let uses = run.steps.iter().filter(shown).map(|step| {
            Moment { step: step.number, conditional: false, span: step.step.span }.because(because.clone())
        });
        let uses: Vec<Use> = uses.collect();
        for item in caution.protection.iter().filter(|_| caution.whole_job || !uses.is_empty()) {
            wear(&mut worn, &item.value, if caution.whole_job { Vec::new() } else { uses.clone() });
        }
    }
    worn
}

/// Adds a piece of protection; without uses it is worn for the whole job, and so at every step.
fn wear(worn: &mut Vec<Worn>, name: &str, uses: Vec<Use>) {
    let name = name.trim();
    match worn.iter_mut().find(|own| Name::new(&own.name) == Name::new(name)) {
        Some(own) if own.need.uses.is_empty() => {}
        Some(own) if uses.is_empty() => own.need.uses.clear(),
        Some(own) => own.need.uses.extend(uses),
        None => worn.push(Worn { name: name.to_owned(), need: Need { uses, why: String::new() } }),
    }
}

/// Returns the parts of a family that the words of a procedure name, on whichever machine.
pub(crate) fn named_parts<'b>(family: &'b Family, procedure: &Procedure) -> Vec<&'b Part> {
    let texts: Vec<Words> = procedure.words().into_iter().map(Words::of).collect();
    let is_named = |part: &&Part| {
        let names = std::iter::once(&part.name).chain(&part.also).map(|name| Words::of(name.value.as_str()));
        names.into_iter().any(|name| texts.iter().any(|text| text.name(&name)))
    };
    family.parts.iter().filter(is_named).collect()
}

impl<'b> Job<'b> {
    /// Asks for everything that may decide the kit with these parts, whatever the steps say; the answers do not matter here.
    pub(crate) fn ask_for_kit(&self, named: &[&Part]) {
        let procedure = self.procedure;
        for draw in [&procedure.tools, &procedure.fluids].into_iter().flatten() {
            if self.applies(draw.only.as_ref()) {
                let _ = self.crib_item(draw);
            }
        }
        for part in named.iter().filter(|part| self.applies(part.only.as_ref())) {
            let _ = self.count(part);
            for draw in part.tools.iter().filter(|draw| self.applies(draw.only.as_ref())) {
                let _ = self.crib_item(draw);
            }
            for prose in [&part.number, &part.material].into_iter().flatten() {
                let _ = self.text(prose);
            }
        }
    }

    /// Returns a part as it is on this machine.
    pub(crate) fn part_here(&self, part: &Part, count: u32, need: Need) -> Answer<PartHere> {
        let words = |prose: Option<&crate::model::prose::Prose>| prose.map(|prose| self.text(prose)).transpose();
        Ok(PartHere {
            name: part.name.value.as_str().to_owned(),
            count,
            number: words(part.number.as_ref())?.unwrap_or_default(),
            material: words(part.material.as_ref())?.unwrap_or_default(),
            bin: part.bin.clone(),
            need,
        })
    }

    /// Returns the item of the crib that a line names.
    pub(crate) fn crib_item(&self, draw: &Draw) -> Answer<&'b Item> {
        let reference = self.reference(&draw.what)?;
        let value = self.value_or_literal(&reference)?;
        let held = self.held(&value, reference.span)?.id.value.clone();
        let binder = self.binder;
        binder.crib.find(&held).ok_or_else(|| boxed(not_held(self, held.as_str(), reference.span)))
    }
}
