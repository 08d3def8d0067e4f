//! `audit`: everything that is wrong with approvals, releases and history, gravest first.

use crate::cli::arguments::{Common, Format};
use crate::cli::audit_arguments::AuditAsked;
use crate::cli::commands::hand;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::history::repo::Repo;
use crate::report::tally::counted;
use crate::report::{clean, json};
use crate::task::audit::{Audit, Entry};
use crate::task::book::{Book, Way};
use crate::task::open::open;
use crate::trust::ledger::Outcome;
use crate::trust::word::Seq;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

/// How many packets a finding names, before the rest is counted.
const NAMED: usize = 12;

pub(super) fn run(asked: &AuditAsked, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let since = asked.since.as_deref().map(place).transpose()?;
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let home = io.home()?;
    let repo = Repo::open(disk.root())?;
    let book = Book::read_by(&repo, &home, if asked.afresh { Way::Afresh } else { Way::On })?;
    let audit = Audit::of(&book, disk.root(), hand::now()?, since)?;
    let text = match common.format {
        Format::Json => json::one(&audit),
        Format::Plain => plain(&audit),
        Format::Human | Format::Html | Format::Csv | Format::Sarif => for_a_person(&audit),
    };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    if let Err(error) = book.remember(&home) {
        let told = error.to_string();
        writeln!(io.err, "warning: what was seen cannot be remembered: {}", clean::line(&told))?;
        writeln!(io.err, "  hint: the next audit on this computer would not notice a ledger that was set back")?;
    }
    Ok(match audit.outcome() {
        Outcome::Clean => Exit::Clean,
        Outcome::Findings => Exit::Findings,
        Outcome::Undecided => Exit::Undecided,
    })
}

/// Returns the place of the ledger that was typed, with or without its leading zeros.
pub(super) fn place(text: &str) -> Result<Seq, Failure> {
    let number = (text.len() <= 6).then(|| text.parse().ok()).flatten();
    number.and_then(Seq::new).ok_or_else(|| {
        Failure::new(Exit::Usage, format!("`{}` is no place of a ledger", clean::line(text)))
            .hint("a place is a number of up to six digits: `000123`")
    })
}

fn plain(audit: &Audit) -> String {
    let mut text = format!("{}\n", clean::line(&audit.headline));
    for entry in &audit.verdicts {
        let packets: Vec<String> =
            entry.packets.iter().map(|one| format!("{} {} {}", one.document, one.revision, one.tag)).collect();
        let concerned = if entry.everything { "everything".to_owned() } else { packets.join(", ") };
        let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".to_owned());
        let cells = [
            entry.severity.to_owned(),
            entry.code.to_owned(),
            entry.object.clone(),
            or_none(&entry.seq),
            or_none(&entry.who),
            or_none(&entry.expected),
            or_none(&entry.found),
            entry.told.clone(),
            concerned,
            entry.next.clone(),
        ];
        let cells: Vec<String> = cells.iter().map(|cell| clean::line(cell).into_owned()).collect();
        let _ = writeln!(text, "{}", cells.join("\t"));
    }
    let _ = writeln!(text, "{}", audit.outcome);
    text
}

fn for_a_person(audit: &Audit) -> String {
    let mut text = format!("{}\n", clean::line(&audit.headline));
    for words in &audit.protections.words {
        let _ = writeln!(text, "  {}", clean::line(words));
    }
    text.push('\n');
    for entry in &audit.verdicts {
        text.push_str(&one(entry));
    }
    text.push_str(&ending(audit));
    text
}

fn one(entry: &Entry) -> String {
    let mut text = format!("{} {} {}\n", entry.severity, entry.code, clean::line(&entry.object));
    let mut line = |words: &str| {
        let _ = writeln!(text, "  {}", clean::line(words));
    };
    line(&entry.told);
    match (&entry.seq, &entry.who) {
        (Some(seq), Some(who)) => line(&format!("at {seq}, by {who}")),
        (Some(seq), None) => line(&format!("at {seq}")),
        (None, Some(who)) => line(&format!("by {who}")),
        (None, None) => {}
    }
    if let Some(expected) = &entry.expected {
        line(&format!("expected {expected}"));
    }
    if entry.expected.is_some() || entry.found.is_some() {
        line(&format!("found    {}", entry.found.as_deref().unwrap_or("none")));
    }
    if entry.everything {
        line("concerns every packet and card of this binder");
    }
    let named: Vec<String> = entry
        .packets
        .iter()
        .take(NAMED)
        .map(|one| format!("{} revision {} on {}", one.document, one.revision, one.tag))
        .collect();
    if !named.is_empty() {
        let more = entry.packets.len() - named.len();
        let more = if more == 0 { String::new() } else { format!(" and {more} more") };
        line(&format!("concerns {}{more}", named.join(", ")));
    }
    line(&format!("next: {}", entry.next));
    text.push('\n');
    text
}

fn ending(audit: &Audit) -> String {
    let reach = &audit.reach;
    let mut text = format!(
        "looked at {}, {}, {} with packets and sources, {}",
        counted(reach.states, "state"),
        counted(reach.records, "record"),
        counted(reach.releases, "release"),
        counted(reach.files, "protected file"),
    );
    if reach.compared < reach.files {
        let _ = write!(text, " ({} of them compared with the open folder)", reach.compared);
    }
    if reach.remembered > 0 {
        let _ = write!(
            text,
            "; {} of the states had been looked through before (`--afresh` does it again)",
            reach.remembered
        );
    }
    text.push('\n');
    if audit.earlier > 0 {
        let _ = writeln!(text, "{} about earlier records: not listed", counted(audit.earlier, "finding"));
    }
    text.push_str(match audit.outcome() {
        Outcome::Clean if audit.verdicts.is_empty() => "nothing was found\n",
        Outcome::Clean => "nothing was found that speaks against a release\n",
        Outcome::Findings => "something was found: see above\n",
        Outcome::Undecided => "UNDECIDED: too little is here to say that anything is good\n",
    });
    text
}
