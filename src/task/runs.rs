//! Every selected job executed on paper, one after another; what comes of a run is for the caller.

use crate::analysis::job::Job;
use crate::analysis::run::{Readings, Run};
use crate::base::finding::Finding;
use crate::language::noun::Vocabulary;
use crate::language::reader::read_step;
use crate::language::verb::Verbs;
use crate::model::binder::Binder;
use crate::model::fleet::Machine;
use crate::model::procedure::{Procedure, Step};
use crate::packet::compile::{FigureDigests, compile};
use crate::packet::view::Packet;
use crate::task::check::jobs;
use crate::task::selection::Selection;

/// Executes every selected job on paper and hands it to `take`; machines that name everything alike are read once.
pub(crate) fn each_run(binder: &Binder, selection: &Selection, take: &mut dyn FnMut(&Run<'_, '_>)) {
    let verbs = Verbs::with(&binder.verbs);
    let read = |step: &Step, vocabulary: &Vocabulary| read_step(step, vocabulary, &verbs);
    for group in jobs(binder).chunk_by(|(a, _), (b, _)| std::ptr::eq(*a, *b)) {
        let mut readings = Readings::new(&read);
        for (procedure, machine) in group {
            if !selection.has(&procedure.document.value, &machine.tag.value) {
                continue;
            }
            if let Some(job) = Job::new(binder, procedure, machine) {
                take(&Run::of(&job, &mut readings));
            }
        }
    }
}

/// Compiles the packet of one procedure for one machine.
///
/// # Errors
/// Everything that keeps it from being complete; nothing where the procedure's family is not in the binder.
pub fn packet(
    binder: &Binder,
    figures: &FigureDigests,
    procedure: &Procedure,
    machine: &Machine,
) -> Result<Packet, Vec<Finding>> {
    let job = Job::new(binder, procedure, machine).ok_or_else(Vec::new)?;
    let verbs = Verbs::with(&binder.verbs);
    let read = |step: &Step, vocabulary: &Vocabulary| read_step(step, vocabulary, &verbs);
    compile(&Run::of(&job, &mut Readings::new(&read)), figures)
}
