//! Jobs executed on paper, one procedure after another; what comes of a run is for the caller.

use crate::analysis::effectivity;
use crate::analysis::job::Job;
use crate::analysis::run::{Readings, Run};
use crate::base::finding::Finding;
use crate::base::name::Tag;
use crate::language::verb::Verbs;
use crate::model::binder::Binder;
use crate::model::fleet::Machine;
use crate::model::procedure::Procedure;
use crate::packet::compile::{FigureDigests, compile};
use crate::packet::view::Packet;

/// Executes a procedure on paper for each wanted machine it is for, in the order of the fleet, and hands each run to `take`.
/// Machines that name everything alike are read once.
pub(crate) fn each_run(
    binder: &Binder,
    procedure: &Procedure,
    verbs: &Verbs,
    wanted: impl Fn(&Tag) -> bool,
    mut take: impl FnMut(&Run<'_, '_>),
) {
    let mut readings = Readings::with(verbs);
    for machine in effectivity::scope(binder, procedure) {
        let job = Job::new(binder, procedure, machine).filter(|job| wanted(job.tag()));
        if let Some(job) = job {
            take(&Run::of(&job, &mut readings));
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
    compile(&Run::of(&job, &mut Readings::with(&verbs)), figures)
}
