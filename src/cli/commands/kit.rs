//! `kit`: what to draw, as a list for a person, a program or a spreadsheet.

use crate::cli::arguments::{Common, Kit};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::human::Look;
use crate::report::table::{self, Table};
use crate::task::kit::{self, JobNeed, JoinedLine, KitError, KitLine, Kits};
use crate::task::open::open;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(arguments: &Kit, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let about = &arguments.about;
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let kits = match kit::kit(&disk, &about.documents, &about.tags) {
        Ok(kits) => kits,
        Err(KitError::Load(error)) => return Err(error.into()),
        Err(KitError::Unknown(error)) => return Err(error.into()),
        Err(error @ (KitError::Nothing { .. } | KitError::Undecided(_))) => {
            return Err(Failure::new(Exit::Undecided, error.to_string()).hint("`matchmark check` says what is wrong"));
        }
    };
    let text = if arguments.together {
        let lines = kit::together(&kits.lines);
        show::list(&lines, &joined_table(&lines), common.format).unwrap_or_else(|| joined_for_a_person(&lines))
    } else {
        show::list(&kits.lines, &whole_table(&kits.lines), common.format).unwrap_or_else(|| for_a_person(&kits))
    };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    for (document, tag, steps) in &kits.unsure {
        let steps = numbers(steps);
        writeln!(
            io.err,
            "{document} for {tag}: not read with certainty: step {steps}; what that needs is not on the list"
        )?;
    }
    if kits.without.is_empty() {
        return Ok(if kits.unsure.is_empty() { Exit::Clean } else { Exit::Findings });
    }
    let look = Look { paint: io.paint(common.color, io.err_stream), root: &io.shown(disk.root()) };
    io.err.write_all(show::findings(&kits.because, &kits.judged.binder.texts, common.format, look).as_bytes())?;
    for (document, tag) in &kits.without {
        writeln!(io.err, "no kit list of {document} for {tag}: the binder has an error that concerns it")?;
    }
    Ok(Exit::Findings)
}

/// Returns numbers of steps as they are read out (`9, 20, 27`).
fn numbers(steps: &[u32]) -> String {
    steps.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}

/// Says for what a line is drawn.
fn wanted(steps: &[u32], why: &str) -> String {
    match (steps, why) {
        ([], "") => "whole job".to_owned(),
        ([], why) => why.to_owned(),
        (steps, "") => numbers(steps),
        (steps, why) => format!("{}: {why}", numbers(steps)),
    }
}

fn counted(count: Option<u32>) -> String {
    count.map_or_else(String::new, |count| count.to_string())
}

fn whole_table(lines: &[KitLine]) -> Table {
    let row = |line: &KitLine| {
        let (count, steps) = (counted(line.count), numbers(&line.steps));
        let cells = [
            line.document.as_str(),
            &line.tag,
            line.kind,
            &line.number,
            &line.name,
            &count,
            line.unit,
            &line.detail,
            &line.bin,
            &steps,
            &line.why,
        ];
        cells.map(str::to_owned).to_vec()
    };
    Table {
        head: vec!["document", "tag", "kind", "number", "name", "count", "unit", "detail", "bin", "steps", "why"],
        rows: lines.iter().map(row).collect(),
    }
}

fn for_a_person(kits: &Kits) -> String {
    let mut text = String::new();
    for lines in kits.lines.chunk_by(|a, b| (&a.document, &a.tag) == (&b.document, &b.tag)) {
        let row = |line: &KitLine| {
            let (count, wanted) = (counted(line.count), wanted(&line.steps, &line.why));
            let cells = [line.kind, &count, &line.number, &line.name, &line.detail, &line.bin, &wanted];
            cells.map(str::to_owned).to_vec()
        };
        let head = vec!["", "count", "number", "name", "detail", "bin", "for step"];
        let table = Table { head, rows: lines.iter().map(row).collect() };
        let _ = writeln!(text, "{} for {}\n{}", lines[0].document, lines[0].tag, table::columns(&table));
    }
    text
}

/// Says which jobs need a line (`MP-PA-101 P-121: 9, 20`).
fn jobs(needs: &[JobNeed]) -> String {
    let need = |need: &JobNeed| format!("{} {}: {}", need.document, need.tag, wanted(&need.steps, &need.why));
    needs.iter().map(need).collect::<Vec<_>>().join("; ")
}

fn joined_table(lines: &[JoinedLine]) -> Table {
    let row = |line: &JoinedLine| {
        let (count, jobs) = (counted(line.count), jobs(&line.jobs));
        let cells =
            [line.kind, &line.number, &line.name, &count, line.unit, line.detail.as_str(), &line.bin, jobs.as_str()];
        cells.map(str::to_owned).to_vec()
    };
    Table {
        head: vec!["kind", "number", "name", "count", "unit", "detail", "bin", "for"],
        rows: lines.iter().map(row).collect(),
    }
}

fn joined_for_a_person(lines: &[JoinedLine]) -> String {
    let row = |line: &JoinedLine| {
        let mut tags: Vec<&str> = line.jobs.iter().map(|job| job.tag.as_str()).collect();
        tags.dedup();
        let (count, tags) = (counted(line.count), tags.join(" "));
        let cells = [line.kind, &count, &line.number, &line.name, &line.detail, &line.bin, &tags];
        cells.map(str::to_owned).to_vec()
    };
    let head = vec!["", "count", "number", "name", "detail", "bin", "for"];
    let table = Table { head, rows: lines.iter().map(row).collect() };
    format!("{}\n", table::columns(&table))
}
