//! Everything that is wrong with a binder: reading, rules, and every packet compiled for every tag; it writes nothing.

use crate::analysis::effectivity;
use crate::analysis::job::{Job, joined};
use crate::base::finding::{Finding, sorted};
use crate::base::fingerprint;
use crate::base::name::{DocumentNumber, Tag};
use crate::language::verb::Verbs;
use crate::model::binder::{Binder, Registers};
use crate::model::fleet::Machine;
use crate::model::load::{LoadError, load};
use crate::model::procedure::Procedure;
use crate::model::waiver::Waived;
use crate::model::world::World;
use crate::packet::compile::{FigureDigests, compile, figure_digests};
use crate::rules;
use crate::task::selection::Selection;
use crate::task::waive::{self, Sorted};
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};

/// A binder that was read and judged.
#[derive(Debug)]
pub struct Judged {
    /// The binder, as far as it could be read.
    pub binder: Binder,
    /// Digests of its figures.
    pub figures: FigureDigests,
    /// Everything that is wrong with it and not accepted, in reading order; each finding has its fingerprint.
    pub findings: Vec<Finding>,
    /// What is wrong with it and accepted by a waiver of the plant, in the order of the waivers.
    pub waived: Vec<Waived>,
}

impl Judged {
    /// Returns how many of the selected packets no error suppresses, and how many there are.
    #[must_use]
    pub fn sound_jobs(&self, selection: &Selection) -> (usize, usize) {
        let selected =
            jobs(&self.binder).into_iter().map(|(procedure, machine)| (&procedure.document.value, &machine.tag.value));
        let selected: Vec<_> = selected.filter(|(document, tag)| selection.has(document, tag)).collect();
        let is_sound =
            |document: &DocumentNumber, tag: &Tag| !self.findings.iter().any(|one| one.suppresses(document, tag));
        (selected.iter().filter(|(document, tag)| is_sound(document, tag)).count(), selected.len())
    }
}

/// Reads and judges a binder. It asks for today's date only where there are waivers, to see which of them have run out.
///
/// # Errors
/// A [`LoadError`] where there is no binder, or one this program cannot read.
pub fn judge(world: &dyn World) -> Result<Judged, LoadError> {
    let (binder, mut findings) = load(world)?;
    findings.extend(rules::check(&binder));
    let verbs = Verbs::with(&binder.verbs);
    findings.extend(rules::run(&binder, &verbs));
    let figures = figure_digests(&binder.figures);
    if binder.registers == Registers::Whole {
        findings.extend(compiling(&binder, &figures));
    }
    let mut findings = sorted(findings);
    fingerprint::mark(&mut findings, &binder.texts);
    // Of what was not looked at, nobody can say whether it is still found.
    let has_waivers = binder.registers == Registers::Whole && !binder.waivers.is_empty();
    let Sorted { findings, waived } = if has_waivers {
        waive::sort(findings, &binder, world.today()?)
    } else {
        Sorted { findings, waived: Vec::new() }
    };
    Ok(Judged { binder, figures, findings, waived })
}

/// Returns every procedure with each machine it is for, in order of documents, then of the fleet.
#[must_use]
pub fn jobs(binder: &Binder) -> Vec<(&Procedure, &Machine)> {
    let of = |procedure| effectivity::scope(binder, procedure).into_iter().map(move |machine| (procedure, machine));
    binder.procedures.iter().flat_map(of).collect()
}

/// Compiles every packet and returns what keeps some of them from being whole.
fn compiling(binder: &Binder, figures: &FigureDigests) -> Vec<Finding> {
    let trouble: Vec<Vec<(Tag, Finding)>> =
        jobs(binder).par_iter().map(|(procedure, machine)| trouble(binder, figures, procedure, machine)).collect();
    joined(trouble.into_iter().flatten())
}

fn trouble(binder: &Binder, figures: &FigureDigests, procedure: &Procedure, machine: &Machine) -> Vec<(Tag, Finding)> {
    // A procedure of a family that is not there is told by a rule.
    let Some(job) = Job::new(binder, procedure, machine) else { return Vec::new() };
    let found = compile(&job, figures).err().unwrap_or_default();
    found.into_iter().map(|finding| (job.tag().clone(), finding.document(&procedure.document.value))).collect()
}
