//! `kit`: what to draw, as a list for a person, a program or a spreadsheet.

use crate::cli::arguments::{About, Common};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::human::Look;
use crate::report::table::{self, Table};
use crate::task::kit::{self, KitError, KitLine, Kits};
use crate::task::open::open;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(about: &About, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let kits = match kit::kit(&disk, &about.documents, &about.tags) {
        Ok(kits) => kits,
        Err(KitError::Load(error)) => return Err(error.into()),
        Err(KitError::Unknown(error)) => return Err(error.into()),
        Err(error @ (KitError::Nothing { .. } | KitError::Undecided(_))) => {
            return Err(Failure::new(Exit::Undecided, error.to_string()).hint("`matchmark check` says what is wrong"));
        }
    };
    let text = show::list(&kits.lines, &whole_table(&kits.lines), common.format);
    io.out.write_all(text.unwrap_or_else(|| for_a_person(&kits)).as_bytes())?;
    io.out.flush()?;
    if kits.without.is_empty() {
        return Ok(Exit::Clean);
    }
    let look = Look { paint: io.paint(common.color, io.err_stream), root: &io.shown(disk.root()) };
    io.err.write_all(show::findings(&kits.because, &kits.judged.binder.texts, common.format, look).as_bytes())?;
    for (document, tag) in &kits.without {
        writeln!(io.err, "no kit list of {document} for {tag}: the binder has an error that concerns it")?;
    }
    Ok(Exit::Findings)
}

fn whole_table(lines: &[KitLine]) -> Table {
    let row = |line: &KitLine| {
        let count = line.count.map_or_else(String::new, |count| count.to_string());
        let cells = [
            &line.document,
            &line.tag,
            line.kind,
            &line.number,
            &line.name,
            &count,
            line.unit,
            &line.detail,
            &line.bin,
        ];
        cells.map(ToString::to_string).to_vec()
    };
    Table {
        head: vec!["document", "tag", "kind", "number", "name", "count", "unit", "detail", "bin"],
        rows: lines.iter().map(row).collect(),
    }
}

fn for_a_person(kits: &Kits) -> String {
    let mut text = String::new();
    for lines in kits.lines.chunk_by(|a, b| (&a.document, &a.tag) == (&b.document, &b.tag)) {
        let row = |line: &KitLine| {
            let count = line.count.map_or_else(String::new, |count| count.to_string());
            [line.kind, &count, &line.number, &line.name, &line.detail, &line.bin].map(ToString::to_string).to_vec()
        };
        let head = vec!["", "count", "number", "name", "detail", "bin"];
        let table = Table { head, rows: lines.iter().map(row).collect() };
        let _ = writeln!(text, "{} for {}\n{}", lines[0].document, lines[0].tag, table::columns(&table));
    }
    text
}
