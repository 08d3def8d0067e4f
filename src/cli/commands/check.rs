//! `check`: the findings are the answer and go to the data stream; the sum of them is a message.

use crate::base::finding::Finding;
use crate::cli::arguments::{Check, Common, Format};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::model::binder::Registers;
use crate::model::waiver::Waived;
use crate::report::human::Look;
use crate::report::tally::{Tally, counted};
use crate::report::told::{self, Reach, Told};
use crate::rules::RULE_SET;
use crate::task::baseline::{Baseline, BaselineError};
use crate::task::check::{Judged, judge};
use crate::task::open::open;
use crate::task::selection::Selection;
use crate::workspace::named_file::{self, NamedFileError};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(check: &Check, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let about = &check.about;
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let root = io.shown(disk.root());
    // A baseline that cannot be read must be told before anything is taken for new.
    let baseline = check.baseline.as_deref().map(|file| read(file, io)).transpose()?;
    let judged = judge(&disk)?;
    if judged.binder.registers == Registers::Broken {
        // No name can be looked up in a register that is not there, so everything is shown.
        let told = Told { reach: Reach::Cut, ..told(&judged, &judged.findings) };
        show_told(&told, &root, common, io)?;
        let sum = Tally::of(&judged.findings).words();
        writeln!(io.err, "{sum}; a register cannot be read, so the rest was not checked")?;
        return Ok(Exit::Undecided);
    }
    let selection = Selection::of(&judged.binder, &about.documents, &about.tags)?;
    if let Some(file) = &check.write_baseline {
        return write(file, &judged, io);
    }
    let concerned = |findings: &[Finding]| -> Vec<Finding> {
        findings.iter().filter(|finding| selection.concerns(finding)).cloned().collect()
    };
    // A finding may be known for one tag and new for another, so it is compared before it is selected.
    let compared = baseline.as_ref().map(|baseline| baseline.compare(&judged.findings));
    let findings = concerned(compared.as_ref().map_or(&judged.findings, |compared| &compared.new));
    let known = compared.as_ref().map(|compared| concerned(&compared.known));
    let waived: Vec<Waived> = judged.waived.iter().filter(|one| selection.concerns(&one.finding)).cloned().collect();
    let gone = baseline.as_ref().map_or(0, |baseline| baseline.gone(&judged.findings));
    let told = Told {
        waived: &waived,
        baseline: known.as_deref().map(|known| told::Baseline { known, gone }),
        ..told(&judged, &findings)
    };
    show_told(&told, &root, common, io)?;
    let (sound, all) = judged.sound_jobs(&selection);
    writeln!(io.err, "{}; {sound} of {all} packets can be built", sum(&told))?;
    if gone > 0 {
        writeln!(io.err, "{gone} of the baseline are mended or accepted; write it anew with `--write-baseline`")?;
    }
    if common.format == Format::Human && !findings.is_empty() {
        writeln!(io.err, "`matchmark explain RULE` says more about what stands in [brackets]")?;
    }
    Ok(show::exit_of(&findings, check.fail_on))
}

/// Returns findings as everything a check tells, with nothing accepted or known yet.
fn told<'a>(judged: &'a Judged, findings: &'a [Finding]) -> Told<'a> {
    let texts = &judged.binder.texts;
    Told { texts, rule_set: RULE_SET, findings, waived: &[], baseline: None, reach: Reach::Whole }
}

fn show_told(told: &Told<'_>, root: &str, common: &Common, io: &mut Io) -> Result<(), Failure> {
    let look = Look { paint: io.paint(common.color, io.out_stream), root };
    io.out.write_all(show::check(told, common.format, look).as_bytes())?;
    // The sum below goes another way and must not overtake.
    io.out.flush()?;
    Ok(())
}

/// Returns how many findings of each kind there are, in words.
fn sum(told: &Told<'_>) -> String {
    let mut sum = Tally::of(told.findings).words();
    if !told.waived.is_empty() {
        let _ = write!(sum, "; {} accepted by the plant", told.waived.len());
    }
    if let Some(baseline) = told.baseline {
        let _ = write!(sum, "; {} known from the baseline", baseline.known.len());
    }
    sum
}

fn read(file: &Path, io: &Io) -> Result<Baseline, Failure> {
    let place = io.place(file);
    Baseline::parse(&named_file::read(&place)?).map_err(|error| {
        let failure = Failure::new(Exit::Undecided, format!("`{}` cannot be used: {error}", io.shown(&place)));
        failure.hint("`matchmark check --write-baseline FILE` writes one")
    })
}

/// Writes a baseline of everything that is found, over nothing but a baseline.
fn write(file: &Path, judged: &Judged, io: &mut Io) -> Result<Exit, Failure> {
    let place = io.place(file);
    match named_file::read(&place) {
        Err(NamedFileError::Missing(_)) => {}
        Err(error) => return Err(error.into()),
        Ok(bytes) => match Baseline::parse(&bytes) {
            Ok(_) => {}
            Err(error @ (BaselineError::Foreign | BaselineError::Newer(_))) => {
                let message = format!("`{}` was not written over: {error}", io.shown(&place));
                return Err(Failure::new(Exit::Usage, message).hint("name another file, or move this one away"));
            }
        },
    }
    let baseline = Baseline::of(&judged.findings);
    named_file::write(&place, &baseline.to_bytes())?;
    let shown = io.shown(&place);
    writeln!(io.out, "{shown}")?;
    io.out.flush()?;
    let known = counted(baseline.count(), "finding");
    writeln!(io.err, "{known} listed; from now on: matchmark check --baseline {shown}")?;
    writeln!(io.err, "what is listed is still wrong, and `build` makes nothing that an error concerns")?;
    Ok(Exit::Clean)
}
