//! `propose`: what a procedure would add to the registers, as lines to paste or as a list for a program.

use crate::cli::arguments::{Common, Sentences};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::table::Table;
use crate::report::tally::counted;
use crate::task::open::open;
use crate::task::propose::{self, ProposedLine};
use crate::task::snippet::snippet;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &Sentences, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let proposed = propose::of(&disk, &asked.document, &asked.tags)?;
    let lines = &proposed.lines;
    let text = show::list(lines, &table(lines), common.format);
    io.out.write_all(text.unwrap_or_else(|| snippet(lines)).as_bytes())?;
    io.out.flush()?;
    let sure = lines.iter().filter(|line| line.sure).count();
    let [sentences, now, then] = proposed.sentences;
    let open = lines.len() - sure;
    writeln!(io.err, "{}, {open} of them a question; no register was written", counted(lines.len(), "proposal"))?;
    writeln!(io.err, "{}: {now} not read now, {then} if everything were taken", counted(sentences, "sentence"))?;
    Ok(Exit::Clean)
}

fn table(lines: &[ProposedLine]) -> Table {
    let row = |line: &ProposedLine| {
        let cells = [
            line.register.clone(),
            line.field.to_owned(),
            line.name.clone(),
            line.count.map_or_else(String::new, |count| count.to_string()),
            line.only.clone(),
            if line.single_use { "yes" } else { "" }.to_owned(),
            line.others.join("; "),
            line.steps.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
            line.sentence.clone(),
            if line.sure { "sure" } else { "question" }.to_owned(),
            line.question.clone(),
        ];
        cells.to_vec()
    };
    let head = vec![
        "register", "field", "name", "count", "only", "single-use", "others", "steps", "sentence", "standing", "question",
    ];
    Table { head, rows: lines.iter().map(row).collect() }
}
