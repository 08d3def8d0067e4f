//! `read`: each sentence beside what it was read as, for a person or a program.

use crate::cli::arguments::{Common, Sentences};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::show;
use crate::report::table::Table;
use crate::report::tally::counted;
use crate::task::open::open;
use crate::task::sentences::{self, SentenceLine};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &Sentences, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let lines = sentences::of(&disk, &asked.document, &asked.tags)?.lines;
    let text = show::list(&lines, &table(&lines), common.format);
    io.out.write_all(text.unwrap_or_else(|| for_a_person(&lines)).as_bytes())?;
    io.out.flush()?;
    writeln!(io.err, "{}", summed_up(&lines))?;
    let is_sure = lines.iter().all(|line| line.why.is_empty() || line.accepted.is_some());
    Ok(if is_sure { Exit::Clean } else { Exit::Findings })
}

fn table(lines: &[SentenceLine]) -> Table {
    let row = |line: &SentenceLine| {
        let cells = [
            line.document.clone(),
            line.step.to_string(),
            line.tags.join(" "),
            line.class.to_owned(),
            line.standing.to_owned(),
            line.sentence.clone(),
            line.read_as.clone(),
            line.accepted.clone().unwrap_or_default(),
            line.why.join("; "),
        ];
        cells.to_vec()
    };
    let head = vec!["document", "step", "tags", "class", "standing", "sentence", "read as", "accepted", "why"];
    Table { head, rows: lines.iter().map(row).collect() }
}

fn for_a_person(lines: &[SentenceLine]) -> String {
    let mut text = String::new();
    let mut stage = "";
    let mut step = 0;
    for line in lines {
        if stage != line.stage {
            stage = &line.stage;
            let _ = writeln!(text, "{}{stage}", if text.is_empty() { "" } else { "\n" });
        }
        let number = if step == line.step { String::new() } else { line.step.to_string() };
        step = line.step;
        let _ = writeln!(text, "{number:>4}  {}", line.sentence);
        for told in beneath(line) {
            let _ = writeln!(text, "        {told}");
        }
    }
    text
}

/// Returns the lines that stand beneath a sentence.
pub(super) fn beneath(line: &SentenceLine) -> Vec<String> {
    let mark = match (line.standing, line.class) {
        ("accepted", _) => '=',
        ("accepted otherwise", _) => '~',
        (_, "not read") => '!',
        (_, "uncertain") => '?',
        _ => '+',
    };
    let doing = match (&line.accepted, line.class) {
        (Some(accepted), _) => accepted.clone(),
        (None, "not read") => "not read".to_owned(),
        (None, "uncertain") => format!("perhaps: {}", line.read_as),
        (None, _) => line.read_as.clone(),
    };
    let tags = if line.everywhere { String::new() } else { format!("   on {}", line.tags.join(" ")) };
    let mut told = vec![format!("{mark} {doing}{tags}")];
    if line.standing == "accepted otherwise" {
        told.push(format!("  now it would be read as: {}", line.read_as));
    }
    if line.accepted.is_none() {
        told.extend(line.why.iter().map(|why| format!("  {why}")));
    }
    told
}

fn summed_up(lines: &[SentenceLine]) -> String {
    let of = |class: &str| lines.iter().filter(|line| line.class == class).count();
    let accepted = lines.iter().filter(|line| line.standing == "accepted").count();
    format!(
        "{}: {} read, {} move nothing, {} uncertain, {} not read; {accepted} accepted\n\
         = accepted   + to be shown to you   ? uncertain   ! not read   ~ accepted, and would be read otherwise now",
        counted(lines.len(), "reading"),
        of("read"),
        of("moves nothing"),
        of("uncertain"),
        of("not read"),
    )
}
