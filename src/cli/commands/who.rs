//! `who`: who changed each line of a file last.

use crate::cli::arguments::Common;
use crate::cli::commands::history::file;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::folder_arguments::Who;
use crate::cli::io::Io;
use crate::cli::show;
use crate::history::repo::Repo;
use crate::report::clean;
use crate::report::table::Table;
use crate::task::open::open;
use crate::task::past::{self, Documents, PastLine};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

/// How many lines are looked at where none are named.
const MOST: usize = 5_000;

pub(super) fn run(asked: &Who, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let repo = Repo::open(disk.root())?;
    let path = file(io, disk.root(), &Documents::of(&disk), &asked.file);
    let range = asked.lines.as_deref().map_or(Some((1, MOST)), lines).ok_or_else(|| {
        Failure::new(Exit::Usage, "the lines are one number, or two with a hyphen between them")
            .hint("`matchmark who MP-PA-101 10-30`")
    })?;
    let lines = past::who(&repo, &path, range)?;
    let text = show::list(&lines, &table(&lines), common.format);
    io.out.write_all(text.unwrap_or_else(|| for_a_person(&lines)).as_bytes())?;
    io.out.flush()?;
    writeln!(io.err, "{path} as it was saved last")?;
    Ok(Exit::Clean)
}

fn lines(typed: &str) -> Option<(usize, usize)> {
    let (first, last) = typed.split_once('-').unwrap_or((typed, typed));
    let (first, last): (usize, usize) = (first.parse().ok()?, last.parse().ok()?);
    (first > 0 && first <= last).then(|| (first, last.min(first.saturating_add(MOST))))
}

fn table(lines: &[PastLine]) -> Table {
    let row = |one: &PastLine| {
        let line = one.line.to_string();
        [&line, &one.day, &one.who, &one.state, &one.words, &one.text].map(String::clone).to_vec()
    };
    Table { head: vec!["line", "day", "who", "state", "words", "text"], rows: lines.iter().map(row).collect() }
}

fn for_a_person(lines: &[PastLine]) -> String {
    let mut text = String::new();
    for group in lines.chunk_by(|a, b| a.state == b.state) {
        let first = &group[0];
        let (who, words) = (clean::line(&first.who), clean::line(&first.words));
        let _ = writeln!(text, "{}  {}  {who}: {words}", first.day, first.state);
        for one in group {
            let _ = writeln!(text, "{:>5}  {}", one.line, clean::line(&one.text));
        }
    }
    text
}
