//! `where-used`: where a part, tool, fluid, value or procedure is used.

use crate::cli::arguments::{Common, WhereUsed as Arguments};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::table::Table;
use crate::task::open::open;
use crate::task::where_used::{self, Place, WhereUsed, WhereUsedError};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(arguments: &Arguments, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let about = &arguments.about;
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let found = where_used::where_used(&disk, &arguments.name, &about.documents, &about.tags);
    let found = found.map_err(|error| match error {
        WhereUsedError::Load(error) => Failure::from(error),
        WhereUsedError::Unknown(error) => Failure::from(error),
        WhereUsedError::Undecided => {
            Failure::new(Exit::Undecided, error.to_string()).hint("`matchmark check` says what is wrong")
        }
    })?;
    let text = show::list(&found.places, &whole_table(&found.places), common.format);
    io.out.write_all(text.unwrap_or_else(|| for_a_person(&found)).as_bytes())?;
    io.out.flush()?;
    for document in &found.unsure {
        writeln!(io.err, "{document} has sentences that were not read with certainty; a use in them is not told")?;
    }
    Ok(if found.is_used() && found.unsure.is_empty() { Exit::Clean } else { Exit::Findings })
}

fn whole_table(places: &[Place]) -> Table {
    let row = |own: &Place| {
        let step = own.step.map_or_else(String::new, |step| step.to_string());
        let tags = own.tags.join(" ");
        let cells = [own.document.as_str(), &step, &tags, own.how.word(), &own.what, &own.sentence, &own.place];
        cells.map(str::to_owned).to_vec()
    };
    Table {
        head: vec!["document", "step", "tags", "how", "what", "sentence", "place"],
        rows: places.iter().map(row).collect(),
    }
}

fn for_a_person(found: &WhereUsed) -> String {
    let mut text = String::new();
    for thing in &found.things {
        let _ = writeln!(text, "{thing}");
    }
    for places in found.places.chunk_by(|a, b| a.document == b.document) {
        let heading = if places[0].document.is_empty() { "registers" } else { &places[0].document };
        let _ = writeln!(text, "\n{heading}");
        for own in places {
            let step = own.step.map_or_else(String::new, |step| format!("step {step}, "));
            let tags = if own.tags.is_empty() { String::new() } else { format!(" ({})", own.tags.join(" ")) };
            let what = if own.what.is_empty() { String::new() } else { format!(": {}", own.what) };
            let _ = writeln!(text, "  {step}{}{what}{tags}  {}", own.how.word(), own.place);
            if !own.sentence.is_empty() {
                let _ = writeln!(text, "      {}", own.sentence);
            }
        }
    }
    if !found.is_used() {
        text.push_str("\nnothing uses it\n");
    }
    text
}
