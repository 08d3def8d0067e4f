//! `faces`: which machines share a card, and which options never made a difference.

use crate::cli::arguments::{About, Common};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::table::{self, Table};
use crate::report::tally::counted;
use crate::task::faces::{self, FaceTags, FacesError, ProcedureFaces};
use crate::task::open::open;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(about: &About, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let (_, all) = faces::faces(&disk, &about.documents, &about.tags).map_err(|error| match error {
        FacesError::Load(error) => Failure::from(error),
        FacesError::Unknown(error) => Failure::from(error),
    })?;
    let text = show::list(&all, &whole_table(&all), common.format);
    io.out.write_all(text.unwrap_or_else(|| all.iter().map(for_a_person).collect()).as_bytes())?;
    io.out.flush()?;
    if all.iter().all(|one| one.without.is_empty()) {
        return Ok(Exit::Clean);
    }
    writeln!(io.err, "some machines have no card, since the binder has errors: `matchmark check` says which")?;
    Ok(Exit::Findings)
}

fn because(face: &FaceTags) -> String {
    let choices: Vec<String> = face.because.iter().map(|one| format!("{} {}", one.option, one.value)).collect();
    choices.join(", ")
}

fn whole_table(all: &[ProcedureFaces]) -> Table {
    let rows = all.iter().flat_map(|one| {
        one.faces.iter().map(|face| {
            vec![one.document.clone(), face.words.clone(), face.tags.join(" "), because(face), face.digest.clone()]
        })
    });
    Table { head: vec!["document", "check words", "tags", "because", "digest"], rows: rows.collect() }
}

fn for_a_person(one: &ProcedureFaces) -> String {
    let tags: usize = one.faces.iter().map(|face| face.tags.len()).sum();
    let mut text = format!(
        "{} {}: {} for {}\n",
        one.document,
        one.title,
        counted(one.faces.len(), "card face"),
        counted(tags, "machine")
    );
    let row = |face: &FaceTags| vec![String::new(), face.words.clone(), face.tags.join(" "), because(face)];
    let table =
        Table { head: vec!["", "check words", "machines", "because"], rows: one.faces.iter().map(row).collect() };
    text.push_str(&table::columns(&table));
    if !one.idle.is_empty() {
        let _ = writeln!(text, "  never made a difference: {}", one.idle.join(", "));
    }
    if !one.without.is_empty() {
        let _ = writeln!(text, "  without a card, for an error in the binder: {}", one.without.join(" "));
    }
    text.push('\n');
    text
}
