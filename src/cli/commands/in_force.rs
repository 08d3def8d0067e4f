//! `in-force`: what is in force on a day, for each procedure and machine.

use crate::base::date::Date;
use crate::cli::arguments::{Common, Format};
use crate::cli::audit_arguments::InForceAsked;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::history::repo::Repo;
use crate::model::world::World as _;
use crate::report::table::{self, Table};
use crate::report::tally::counted;
use crate::report::{clean, json};
use crate::task::book::Book;
use crate::task::in_force::{Answer, Packet, in_force};
use crate::task::open::open;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &InForceAsked, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let day = match &asked.at {
        Some(text) => Date::parse(text).map_err(|fault| {
            Failure::new(Exit::Usage, format!("`{}`: {fault}", clean::line(text))).hint("a day is written `2027-03-14`")
        })?,
        None => disk.today()?,
    };
    let repo = Repo::open(disk.root())?;
    let book = Book::read(&repo, &io.home()?)?;
    let answer = in_force(&book, day, &asked.documents, &asked.tags).map_err(|never| {
        Failure::new(Exit::Usage, clean::line(&never.to_string()).into_owned())
            .hint("`matchmark in-force` lists what was released")
    })?;
    let text = match common.format {
        Format::Json => json::one(&answer),
        Format::Plain => table::plain(&whole_table(&answer)),
        Format::Csv => table::csv(&whole_table(&answer)),
        Format::Human | Format::Html | Format::Sarif => table::columns(&for_a_person(&answer)),
    };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    let exit = told(&answer, io)?;
    let is_asked_for = !(asked.documents.is_empty() && asked.tags.is_empty());
    if exit == Exit::Clean && is_asked_for && answer.packets.is_empty() {
        writeln!(
            io.err,
            "nothing of what was asked for is in force: it was withdrawn, taken out, or has not begun yet"
        )?;
        return Ok(Exit::Findings);
    }
    Ok(exit)
}

/// Says what the list does not, and how it ends.
fn told(answer: &Answer, io: &mut Io) -> Result<Exit, Failure> {
    if let Some(stop) = &answer.stop {
        writeln!(io.err, "error: {}: {}", stop.code, clean::line(&stop.told))?;
        writeln!(io.err, "  hint: nothing of this list may be used; `matchmark audit` says what to do")?;
    }
    let (usable, all) = (answer.packets.iter().filter(|own| own.usable).count(), answer.packets.len());
    let place = answer.ledger.as_deref().unwrap_or("none");
    writeln!(
        io.err,
        "{} of {} in force on {} may be used, by the ledger up to {place}",
        usable,
        counted(all, "packet"),
        answer.at
    )?;
    Ok(if !answer.decided {
        Exit::Undecided
    } else if usable < all || answer.stop.is_some() {
        Exit::Findings
    } else {
        Exit::Clean
    })
}

fn approvers(own: &Packet) -> String {
    let one = |by: &crate::task::in_force::Approver| format!("{} ({}) {}", by.name, by.role, by.at);
    own.approved_by.iter().map(one).collect::<Vec<_>>().join("; ")
}

fn may(own: &Packet) -> String {
    if own.usable { "yes".to_owned() } else { format!("NO: {}", own.doubts.join(" ")) }
}

fn whole_table(answer: &Answer) -> Table {
    let row = |own: &Packet| {
        vec![
            own.document.clone(),
            own.tag.clone(),
            own.revision.to_string(),
            may(own),
            own.words.clone(),
            own.effective.clone(),
            own.until.clone().unwrap_or_default(),
            own.review_by.clone().unwrap_or_default(),
            own.seq.clone(),
            own.title.clone(),
            own.prepared_by.clone(),
            approvers(own),
            own.digest.clone(),
        ]
    };
    let head = vec![
        "document",
        "tag",
        "revision",
        "usable",
        "check words",
        "effective",
        "until",
        "review by",
        "ledger",
        "change",
        "prepared by",
        "approved by",
        "digest",
    ];
    Table { head, rows: answer.packets.iter().map(row).collect() }
}

fn for_a_person(answer: &Answer) -> Table {
    let row = |own: &Packet| {
        let names: Vec<&str> = own.approved_by.iter().map(|by| by.name.as_str()).collect();
        let due = if own.review_is_due { " (due)" } else { "" };
        vec![
            own.document.clone(),
            own.tag.clone(),
            own.revision.to_string(),
            may(own),
            own.words.clone(),
            own.effective.clone(),
            own.until.clone().unwrap_or_default(),
            own.review_by.as_ref().map(|by| format!("{by}{due}")).unwrap_or_default(),
            own.seq.clone(),
            names.join(", "),
        ]
    };
    let head = vec![
        "document",
        "machine",
        "revision",
        "usable",
        "check words",
        "from",
        "until",
        "review by",
        "ledger",
        "approved by",
    ];
    Table { head, rows: answer.packets.iter().map(row).collect() }
}
