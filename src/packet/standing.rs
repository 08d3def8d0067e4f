//! The sentences that stand on every packet and card whatever its procedure says; they claim nothing that was not done.

use crate::analysis::job::Job;

/// What every packet and card defers to; isolation and stored energy stand first.
const DEFERENCE: [&str; 4] = [
    "Before any work: isolate and lock every energy of this machine, release what is stored, and prove zero.",
    "The equipment maker's instructions, local codes and the site's lockout and permit rules come before this document.",
    "Where they differ from it, or anything is not as described: stop and ask the supervisor.",
    "Only for competent people who are trained for this job and authorised on this site.",
];

/// Returns what a packet or card defers to.
#[must_use]
pub fn deference() -> Vec<String> {
    DEFERENCE.map(str::to_owned).to_vec()
}

/// Returns what nothing has checked yet in this job, in plain words.
#[must_use]
pub fn not_checked(job: &Job<'_>) -> Vec<String> {
    let mut lines = vec![
        "The sentences were not read by the program: nobody has followed what is taken off, opened, locked or fitted again."
            .to_owned(),
        "The torques were not recomputed from thread, class and lubrication.".to_owned(),
        "The fluids were not held against the rubber of this machine.".to_owned(),
        "Whether the machine is as the fleet register says.".to_owned(),
    ];
    let language = &job.procedure.language;
    if !language.is_empty() && language != "en" {
        lines.push(format!("The wording: this procedure is written in `{language}`, and only English is checked."));
    }
    let unsourced =
        job.family.values.tables.iter().chain(&job.procedure.values.tables).filter(|table| table.source.is_empty());
    let count = unsourced.count();
    if count > 0 {
        lines.push(format!("The numbers of {count} value tables: no source is written beside them."));
    }
    lines
}
