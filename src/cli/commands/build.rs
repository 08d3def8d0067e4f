//! `build`: what was made is the answer; what was found and how far it has come are messages.

use crate::base::finding::{Finding, Severity};
use crate::cli::arguments::{Build, Common, Format};
use crate::cli::commands::controlled;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::progress::Counter;
use crate::cli::show;
use crate::report::human::Look;
use crate::report::json::{self, OutputLine, SuppressedLine};
use crate::report::tally::{Tally, counted};
use crate::task::build::{self, BuildError, BuildOrder, Built};
use crate::task::manifest::Kind;
use crate::task::open::open;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(arguments: &Build, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    if arguments.released {
        return controlled::run(arguments, common, io);
    }
    let about = &arguments.about;
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let root = io.shown(disk.root());
    let out = io.place(&arguments.out);
    let order = BuildOrder { out: &out, documents: &about.documents, tags: &about.tags };
    let built = {
        let counter = Counter::new(io.err_stream, io.err.as_mut());
        build::build(&disk, &order, &counter)
    };
    let built = match built {
        Ok(built) => built,
        Err(error) => return failed(error, &root, common, io),
    };
    let findings: Vec<Finding> =
        built.judged.findings.iter().filter(|finding| built.selection.concerns(finding)).cloned().collect();
    if common.format == Format::Json {
        io.out.write_all(document(&built, &findings, &arguments.out).as_bytes())?;
    } else {
        tell(&built, &findings, &root, common, io)?;
        let answer = match common.format {
            Format::Plain => lines(&built),
            Format::Human | Format::Json | Format::Csv | Format::Sarif | Format::Html => {
                summary(&built, &arguments.out)
            }
        };
        io.out.write_all(answer.as_bytes())?;
    }
    if built.refused().next().is_some() {
        return Ok(Exit::Refused);
    }
    let exit = show::exit_of(&findings, arguments.fail_on);
    // Whatever was asked for and not made is no success, even where the fault lies in nothing that was asked for.
    Ok(if built.suppressed().next().is_some() && exit == Exit::Clean { Exit::Findings } else { exit })
}

/// Tells on the error stream what was found and what was refused.
fn tell(built: &Built, findings: &[Finding], root: &str, common: &Common, io: &mut Io) -> Result<(), Failure> {
    let look = Look { paint: io.paint(common.color, io.err_stream), root };
    // Whoever builds wants to know what is not made and what to look at; the notes are for a check.
    let heavy: Vec<Finding> = findings.iter().filter(|one| one.severity != Severity::Note).cloned().collect();
    let text = show::findings(&heavy, &built.judged.binder.texts, common.format, look);
    io.err.write_all(text.as_bytes())?;
    for refused in built.refused() {
        let tags = refused.tags.join(" ");
        writeln!(io.err, "refused: {} of {} for {tags}: {}", refused.kind.words(), refused.document, refused.reason)?;
    }
    let accepted = built.judged.waived.iter().filter(|one| built.selection.concerns(&one.finding)).count();
    if accepted > 0 {
        writeln!(io.err, "{} accepted by the plant; the packets they concern name them", counted(accepted, "finding"))?;
    }
    if !findings.is_empty() {
        let more = if heavy.len() == findings.len() { "" } else { "; `matchmark check` shows the notes" };
        writeln!(io.err, "{}{more}", Tally::of(findings).words())?;
    }
    Ok(())
}

fn summary(built: &Built, out: &Path) -> String {
    let mut text = String::new();
    for procedure in &built.judged.binder.procedures {
        let number = procedure.document.value.as_str();
        let of = |kind| built.of_kind(kind).filter(|output| output.document == number).count();
        let (packets, cards) = (of(Kind::PacketHtml), of(Kind::Card));
        let suppressed: Vec<&str> =
            built.suppressed().filter(|one| one.document == number).map(|one| one.tag.as_str()).collect();
        if packets + cards + suppressed.len() == 0 {
            continue;
        }
        let _ = write!(text, "{number}: {}, {}", counted(packets, "packet"), counted(cards, "card"));
        if !suppressed.is_empty() {
            let _ = write!(text, "; not made for {}", suppressed.join(" "));
        }
        text.push('\n');
    }
    let done = &built.committed;
    let removed = if done.removed.is_empty() { String::new() } else { format!(", {} taken away", done.removed.len()) };
    let _ = writeln!(text, "{} written, {} unchanged{removed}", counted(done.written, "file"), done.kept);
    let _ = writeln!(text, "open {}", out.join("index.html").display());
    text
}

fn lines(built: &Built) -> String {
    let lines = output_lines(built).into_iter().map(|line| format!("{}\t{}\n", line.state, line.path));
    let removed = built.committed.removed.iter().map(|path| format!("removed\t{path}\n"));
    lines.chain(removed).collect()
}

fn output_lines(built: &Built) -> Vec<OutputLine> {
    let written: BTreeSet<&String> = built.written.iter().collect();
    let state = |path: &String| if written.contains(path) { "written" } else { "kept" };
    built.manifest.outputs.iter().map(|one| OutputLine { path: one.path.clone(), state: state(&one.path) }).collect()
}

fn document(built: &Built, findings: &[Finding], out: &Path) -> String {
    let suppressed = built.suppressed().map(|one| SuppressedLine {
        document: one.document.clone(),
        tag: one.tag.clone(),
        reasons: one.reasons.iter().map(|reason| format!("{}: {}", reason.rule, reason.message)).collect(),
    });
    let refused = built.refused().flat_map(|one| {
        one.tags.iter().map(|tag| SuppressedLine {
            document: one.document.clone(),
            tag: tag.clone(),
            reasons: vec![format!("{}: {}", one.kind.words(), one.reason)],
        })
    });
    let not_made = suppressed.chain(refused).collect();
    let texts = &built.judged.binder.texts;
    json::build(findings, texts, &out.display().to_string(), output_lines(built), not_made)
}

fn failed(error: BuildError, root: &str, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let message = error.to_string();
    match error {
        BuildError::Load(error) => Err(error.into()),
        BuildError::Unknown(error) => Err(error.into()),
        BuildError::Output(error) => Err(error.into()),
        BuildError::Template(_) => Err(Failure::new(Exit::Undecided, message)),
        BuildError::Nothing { .. } => {
            Err(Failure::new(Exit::Undecided, message).hint("`matchmark check` says what is wrong"))
        }
        BuildError::Undecided(judged) => {
            let look = Look { paint: io.paint(common.color, io.err_stream), root };
            let text = show::findings(&judged.findings, &judged.binder.texts, common.format, look);
            io.err.write_all(text.as_bytes())?;
            Err(Failure::new(Exit::Undecided, message))
        }
    }
}
