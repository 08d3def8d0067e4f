//! `history`: what was saved, the newest first.

use crate::cli::arguments::Common;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::folder_arguments::History;
use crate::cli::io::Io;
use crate::cli::show;
use crate::history::repo::Repo;
use crate::report::clean;
use crate::report::table::Table;
use crate::task::open::open;
use crate::task::past::{self, Documents, PastState};
use crate::workspace::root::whole;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

/// How many files of a state a person is shown.
const SHOWN: usize = 6;

pub(super) fn run(asked: &History, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let repo = Repo::open(disk.root())?;
    let documents = Documents::of(&disk);
    let path = asked.file.as_deref().map(|named| file(io, disk.root(), &documents, named));
    let states = past::history(&repo, &documents, path.as_deref(), asked.last)?;
    let text = show::list(&states, &table(&states), common.format);
    io.out.write_all(text.unwrap_or_else(|| for_a_person(&states)).as_bytes())?;
    io.out.flush()?;
    if states.len() == asked.last {
        writeln!(io.err, "there may be more: `--last {}` lists more of them", asked.last.saturating_mul(4))?;
    }
    Ok(Exit::Clean)
}

/// Returns the file of the binder that was named: by a document's number, or as it is seen from the current folder.
pub(super) fn file(io: &Io, root: &Path, documents: &Documents, named: &str) -> String {
    if let Some(path) = documents.file(named) {
        return path;
    }
    let place = whole(&io.place(Path::new(named)));
    let inside = place.strip_prefix(whole(root)).ok();
    let inside = inside.and_then(|path| path.to_str()).filter(|path| !path.is_empty());
    inside.map_or_else(|| named.to_owned(), |path| path.replace(std::path::MAIN_SEPARATOR, "/"))
}

fn table(states: &[PastState]) -> Table {
    let row = |one: &PastState| {
        vec![one.state.clone(), one.day.clone(), one.who.clone(), one.words.clone(), one.touched.join("; ")]
    };
    Table { head: vec!["state", "day", "who", "words", "touched"], rows: states.iter().map(row).collect() }
}

fn for_a_person(states: &[PastState]) -> String {
    let mut text = String::new();
    for one in states {
        let (who, words) = (clean::line(&one.who), clean::line(&one.words));
        let _ = writeln!(text, "{}  {}  {who}: {words}", one.state, one.day);
        for touched in
            one.touched.iter().take(SHOWN).filter(|touched| one.touched.len() > 1 || !words.contains(*touched))
        {
            let _ = writeln!(text, "    {}", clean::line(touched));
        }
        if one.touched.len() > SHOWN {
            let _ = writeln!(text, "    and {} more", one.touched.len() - SHOWN);
        }
    }
    text
}
