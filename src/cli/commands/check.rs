//! `check`: the findings are the answer and go to the data stream; the sum of them is a message.

use crate::base::finding::Finding;
use crate::cli::arguments::{Check, Common, Format};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::model::binder::Registers;
use crate::report::human::Look;
use crate::report::tally::Tally;
use crate::task::check::{Judged, judge};
use crate::task::open::open;
use crate::task::selection::Selection;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(check: &Check, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let about = &check.about;
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let root = io.shown(disk.root());
    let judged = judge(&disk)?;
    if judged.binder.registers == Registers::Broken {
        // No name can be looked up in a register that is not there, so everything is shown.
        show_findings(&judged, &judged.findings, &root, common, io)?;
        writeln!(
            io.err,
            "{}; a register cannot be read, so the rest was not checked",
            Tally::of(&judged.findings).words()
        )?;
        return Ok(Exit::Undecided);
    }
    let selection = Selection::of(&judged.binder, &about.documents, &about.tags)?;
    let findings: Vec<Finding> =
        judged.findings.iter().filter(|finding| selection.concerns(finding)).cloned().collect();
    show_findings(&judged, &findings, &root, common, io)?;
    let (sound, all) = judged.sound_jobs(&selection);
    writeln!(io.err, "{}; {sound} of {all} packets can be built", Tally::of(&findings).words())?;
    if common.format == Format::Human && !findings.is_empty() {
        writeln!(io.err, "`matchmark explain RULE` says more about what stands in [brackets]")?;
    }
    Ok(show::exit_of(&findings, check.fail_on))
}

fn show_findings(
    judged: &Judged,
    findings: &[Finding],
    root: &str,
    common: &Common,
    io: &mut Io,
) -> Result<(), Failure> {
    let look = Look { paint: io.paint(common.color, io.out_stream), root };
    io.out.write_all(show::findings(findings, &judged.binder.texts, common.format, look).as_bytes())?;
    // The sum below goes another way and must not overtake.
    io.out.flush()?;
    Ok(())
}
