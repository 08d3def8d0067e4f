//! Everything that is wrong with a binder: reading, rules, and every packet compiled for every tag; it writes nothing.

use crate::analysis::effectivity;
use crate::analysis::job::joined;
use crate::base::date::Date;
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
use crate::task::runs;
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

/// Reads and judges a binder. It asks for today's date only where there are waivers or days of calibration, to see which of
/// them have run out.
///
/// # Errors
/// A [`LoadError`] where there is no binder, or one this program cannot read.
pub fn judge(world: &dyn World) -> Result<Judged, LoadError> {
    let (binder, mut findings) = load(world)?;
    findings.extend(rules::check(&binder));
    let figures = figure_digests(&binder.figures);
    let is_whole = binder.registers == Registers::Whole;
    let has_days = is_whole && !(binder.waivers.is_empty() && binder.calibration.is_empty());
    let today = if has_days { Some(world.today()?) } else { None };
    if is_whole {
        findings.extend(executed(&binder, &figures, today));
    }
    let mut findings = sorted(findings);
    fingerprint::mark(&mut findings, &binder.texts);
    // Of what was not looked at, nobody can say whether it is still found.
    let Sorted { findings, waived } = match today {
        Some(today) if !binder.waivers.is_empty() => waive::sort(findings, &binder, today),
        _ => Sorted { findings, waived: Vec::new() },
    };
    Ok(Judged { binder, figures, findings, waived })
}

/// Returns every procedure with each machine it is for, in order of documents, then of the fleet.
#[must_use]
pub fn jobs(binder: &Binder) -> Vec<(&Procedure, &Machine)> {
    let of = |procedure| effectivity::scope(binder, procedure).into_iter().map(move |machine| (procedure, machine));
    binder.procedures.iter().flat_map(of).collect()
}

/// Executes every job on paper and compiles its packet; returns what the rules say of it, and what keeps its packet from being
/// whole. A procedure of a family that is not there is told by a rule.
fn executed(binder: &Binder, figures: &FigureDigests, today: Option<Date>) -> Vec<Finding> {
    let verbs = Verbs::with(&binder.verbs);
    let procedures = binder.procedures.par_iter();
    let told: Vec<(Tag, Finding)> =
        procedures.flat_map_iter(|procedure| of_procedure(binder, figures, procedure, &verbs, today)).collect();
    joined(told)
}

fn of_procedure(
    binder: &Binder,
    figures: &FigureDigests,
    procedure: &Procedure,
    verbs: &Verbs,
    today: Option<Date>,
) -> Vec<(Tag, Finding)> {
    let mut told = Vec::new();
    runs::each_run(
        binder,
        procedure,
        verbs,
        |_| true,
        |run| {
            let mut found = compile(run, figures).err().unwrap_or_default();
            // Where the fleet does not say an option, nobody knows which steps there are.
            if run.job.undecided().is_empty() {
                found.extend(rules::judged(run));
                found.extend(today.iter().flat_map(|today| rules::judged_on(run, *today)));
            }
            let document = &procedure.document.value;
            told.extend(found.into_iter().map(|finding| (run.job.tag().clone(), finding.document(document))));
        },
    );
    told
}
