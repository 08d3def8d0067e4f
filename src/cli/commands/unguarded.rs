//! `unguarded`: which mistakes nothing would show, worst first.

use crate::cli::arguments::{About, Common};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::table::Table;
use crate::task::open::open;
use crate::task::unguarded::{self, Line, Unguarded, UnguardedError};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(about: &About, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let found = unguarded::unguarded(&disk, &about.documents, &about.tags);
    let found = found.map_err(|error| match error {
        UnguardedError::Load(error) => Failure::from(error),
        UnguardedError::Unknown(error) => Failure::from(error),
        UnguardedError::Undecided | UnguardedError::Nothing { .. } => {
            Failure::new(Exit::Undecided, error.to_string()).hint("`matchmark check` says what is wrong")
        }
    })?;
    let text = show::list(&found.lines, &table(&found.lines), common.format);
    io.out.write_all(text.unwrap_or_else(|| for_a_person(&found)).as_bytes())?;
    io.out.flush()?;
    for (document, tag, why) in &found.without {
        writeln!(io.err, "nothing is said of {document} for {tag}: {why}")?;
    }
    Ok(if found.without.is_empty() { Exit::Clean } else { Exit::Findings })
}

fn table(lines: &[Line]) -> Table {
    let row = |line: &Line| {
        let (step, tags, rules) = (line.step.to_string(), line.tags.join(" "), line.rules.join(" "));
        let cells = [
            line.consequence.word(),
            &line.document,
            &step,
            &tags,
            &line.done,
            &line.unnoticed,
            line.fails.words(),
            &rules,
            &line.guard,
            &line.sentence,
            &line.place,
        ];
        cells.map(str::to_owned).to_vec()
    };
    Table {
        head: vec![
            "consequence",
            "document",
            "step",
            "tags",
            "done",
            "unnoticed",
            "fails",
            "rules",
            "guard",
            "sentence",
            "place",
        ],
        rows: lines.iter().map(row).collect(),
    }
}

fn for_a_person(found: &Unguarded) -> String {
    let mut text = String::new();
    for lines in found.lines.chunk_by(|a, b| a.consequence == b.consequence) {
        let _ = writeln!(text, "{}", lines[0].consequence.word());
        for line in lines {
            let _ = writeln!(text, "  {} step {} ({})  {}", line.document, line.step, line.tags.join(" "), line.place);
            let _ = writeln!(text, "      {}", line.sentence);
            let _ = writeln!(text, "      {}", line.done);
            let _ = writeln!(text, "      nothing shows: {}", line.unnoticed);
            let paper = match line.rules.as_slice() {
                [] => "no rule would say so of the paper either".to_owned(),
                rules => format!("were it the paper, `{}` would say so", rules.join("`, `")),
            };
            let _ = writeln!(text, "      fails {}: {paper}", line.fails.words());
            let _ = writeln!(text, "      guard: {}", line.guard);
        }
        text.push('\n');
    }
    let _ = writeln!(text, "{} mistakes tried, {} kinds that nothing would show", found.tried, found.lines.len());
    text.push_str("It is a map of where the work leans on memory alone. Who pays attention, it cannot know.\n");
    text
}
