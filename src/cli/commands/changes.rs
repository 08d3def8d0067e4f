//! `changes`: what changed in meaning since another state of the binder, the largest consequence first.

use crate::cli::arguments::{ChangesAsked, Common, Format};
use crate::cli::commands::hand::Desk;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::Where;
use crate::history::revision::Revision;
use crate::model::world::World;
use crate::packet::change::Area;
use crate::report::clean;
use crate::report::json;
use crate::report::table::{self, Table};
use crate::report::tally::counted;
use crate::task::book::Book;
use crate::task::changes::{Changes, ChangesError, Group, Unchanged, between_states, since_packets};
use crate::task::changes_page::{Heading, changes_page};
use crate::task::open::open;
use crate::task::prepare::current;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &ChangesAsked, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let (found, heading) = compared(asked, io)?;
    let text = match common.format {
        Format::Json => json::one(&found),
        Format::Csv => table::csv(&whole_table(&found)),
        Format::Plain => table::plain(&whole_table(&found)),
        Format::Html => page(&found, &heading)?,
        Format::Human | Format::Sarif => for_a_person(&found),
    };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    let (packets, told) = (found.packets, found.packets - found.untold.len());
    let class =
        found.class.map_or_else(|| "nothing changed".to_owned(), |class| format!("class of the change: {class}"));
    writeln!(io.err, "{class}; {} of {} are as they were", found.same, counted(told, "packet"))?;
    if told == packets {
        return Ok(Exit::Clean);
    }
    writeln!(io.err, "{} cannot be compared, since the binder has errors there", counted(packets - told, "packet"))?;
    Ok(Exit::Findings)
}

/// What is compared with what, in words.
struct Sides {
    from: String,
    to: String,
}

/// Compares the two states that were named: without `--from` what is in force, without `--to` the open folder.
fn compared(asked: &ChangesAsked, io: &Io) -> Result<(Changes, Sides), Failure> {
    let about = &asked.about;
    let place = Where { binder: about.binder.clone() };
    let open_now = open(&io.place(about.binder.as_deref().unwrap_or(Path::new(""))))?;
    let now: Box<dyn World> = match &asked.to {
        Some(named) => as_saved(&Desk::at(io, &place)?, named)?,
        None => Box::new(open_now),
    };
    let to = asked.to.as_ref().map_or_else(|| "the binder as it is".to_owned(), |named| format!("the state {named}"));
    let (found, from) = match &asked.from {
        None => {
            let desk = Desk::at(io, &place)?;
            let book = Book::read(desk.repo(), &desk.home)?;
            if let Some(verdict) = book.stops() {
                return Err(Failure::new(Exit::Undecided, format!("what is in force cannot be told: {verdict}"))
                    .hint("`--from` names a state or a folder to compare with"));
            }
            let found = since_packets(current(&book)?, &*now, &about.documents, &about.tags);
            (found, "what is released".to_owned())
        }
        Some(named) => {
            let folder = open(&io.place(Path::new(named))).ok();
            let from = if folder.is_some() { format!("the binder in {named}") } else { format!("the state {named}") };
            let before: Box<dyn World> = match folder {
                Some(folder) => Box::new(folder),
                None => as_saved(&Desk::at(io, &place)?, named)?,
            };
            (between_states(&*before, &*now, &about.documents, &about.tags), from)
        }
    };
    let found = found.map_err(|error| match error {
        ChangesError::Unknown(error) => Failure::from(error),
        other => {
            Failure::new(Exit::Undecided, other.to_string()).hint("`matchmark check` says what is wrong with a binder")
        }
    })?;
    Ok((found, Sides { from, to }))
}

fn as_saved(desk: &Desk, named: &str) -> Result<Box<dyn World>, Failure> {
    Ok(Box::new(Revision::at(desk.repo(), desk.repo().state(named)?, desk.today())?))
}

fn page(found: &Changes, sides: &Sides) -> Result<String, Failure> {
    let heading = Heading { from: &sides.from, to: &sides.to };
    changes_page(found, heading).map_err(|error| Failure::new(Exit::Fault, error.to_string()))
}

fn whole_table(found: &Changes) -> Table {
    let row = |own: &Group| {
        let change = &own.change;
        let area = format!("{:?}", change.area).to_lowercase();
        let (what, from, to) = (change.what.clone(), change.from.clone(), change.to.clone());
        vec![
            change.class.to_string(),
            own.document.clone(),
            area,
            what,
            from,
            to,
            change.remark.clone(),
            own.tags.join(" "),
        ]
    };
    let head = vec!["class", "document", "about", "what", "from", "to", "remark", "tags"];
    Table { head, rows: found.changes.iter().map(row).collect() }
}

pub(super) fn for_a_person(found: &Changes) -> String {
    let mut text = String::new();
    let mut class = None;
    for own in &found.changes {
        if class != Some(own.change.class) {
            let _ = writeln!(text, "{}{}", if class.is_some() { "\n" } else { "" }, own.change.class);
            class = Some(own.change.class);
        }
        text.push_str(&one(own));
    }
    if !found.changes.is_empty() {
        text.push('\n');
    }
    for own in &found.unchanged {
        text.push_str(&as_before(own));
    }
    for own in &found.untold {
        let _ =
            writeln!(text, "{} {}: no packet can be made of the binder {}", own.document, own.tag, state(own.state));
    }
    text
}

fn state(state: &str) -> &'static str {
    if state == "before" { "as it was" } else { "as it is" }
}

fn one(own: &Group) -> String {
    let change = &own.change;
    let line = match (change.from.is_empty(), change.to.is_empty()) {
        (true, _) => format!("new: {}: {}", change.what, change.to),
        (_, true) => format!("gone: {}: {}", change.what, change.from),
        _ => format!("{}: {} -> {}", change.what, change.from, change.to),
    };
    let mut text = format!("  {}  {}\n", own.document, clean::line(&line));
    if !change.remark.is_empty() {
        let _ = writeln!(text, "      {}", clean::line(&change.remark));
    }
    let _ = writeln!(text, "      {}", own.tags.join(" "));
    text
}

fn as_before(own: &Unchanged) -> String {
    let areas: Vec<&str> = own.areas.iter().copied().map(Area::plural).collect();
    format!("{}: as before on every machine: {}\n", own.document, areas.join(", "))
}
