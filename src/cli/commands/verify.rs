//! `verify`: the commands by which anybody checks a release without this program.

use crate::cli::arguments::{Common, Format};
use crate::cli::audit_arguments::VerifyAsked;
use crate::cli::commands::audit::place;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::history::repo::Repo;
use crate::report::{clean, json};
use crate::task::book::Book;
use crate::task::open::open;
use crate::trust::ledger::{Ledger, Sealed};
use crate::trust::verdict::Verdict;
use crate::trust::{release, stock, word};
use serde::Serialize;
use std::io::Write as _;
use std::path::Path;

/// The answer for a program.
#[derive(Serialize)]
struct Answer {
    seq: String,
    record: String,
    manifest: String,
    counts: bool,
    commands: Vec<String>,
}

pub(super) fn run(asked: &VerifyAsked, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let repo = Repo::open(disk.root())?;
    let book = Book::read(&repo, &io.home()?)?;
    let sealed = find(&book.ledger, &asked.release)?;
    let released = sealed.release.as_ref().ok_or_else(|| {
        let told = format!(
            "{} is a record of the kind `{}` and released nothing",
            sealed.record.seq,
            sealed.record.entry.kind()
        );
        Failure::new(Exit::Usage, told).hint("`matchmark in-force` shows which places released something")
    })?;
    let manifest = release::manifest(&book.files, &released.manifest)
        .map_err(|verdict| Failure::new(Exit::Undecided, clean::line(&verdict.to_string()).into_owned()))?;
    let commands = stock::commands(&book.ledger, sealed, &manifest).unwrap_or_default();
    let text = if common.format == Format::Json {
        json::one(&Answer {
            seq: sealed.record.seq.to_string(),
            record: sealed.digest.to_string(),
            manifest: released.manifest.to_string(),
            counts: released.counts() && book.stops().is_none(),
            commands,
        })
    } else {
        commands.into_iter().map(|line| line + "\n").collect()
    };
    let title = released.title.to_string();
    writeln!(
        io.err,
        "Run these in the folder of the binder, or of any clone of it, with `sh`: they end with `good` if release {} ({}) is what it says.",
        sealed.record.seq,
        clean::line(&title)
    )?;
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    let faults: Vec<&Verdict> = released.faults.iter().filter(|fault| fault.is_fault()).chain(book.stops()).collect();
    for fault in &faults {
        writeln!(io.err, "warning: it does not count: {}", clean::line(&fault.to_string()))?;
    }
    if let Some(from) = book.ledger.withdrawn_on(&released.manifest) {
        writeln!(io.err, "warning: it was withdrawn: from {from} it is out of force, whatever the commands say of it")?;
    }
    Ok(if faults.is_empty() { Exit::Clean } else { Exit::Findings })
}

fn find<'a>(ledger: &'a Ledger, named: &str) -> Result<&'a Sealed, Failure> {
    let none = |told: String| {
        Failure::new(Exit::Usage, told).hint("`matchmark in-force` lists what was released, with its places")
    };
    let shown = clean::line(named);
    if named.bytes().all(|b| b.is_ascii_digit()) {
        let seq = place(named)?;
        return ledger.at(seq).ok_or_else(|| none(format!("the ledger has no record {seq} that could be followed")));
    }
    let document = word::document(named).map_err(|fault| none(format!("`{shown}`: {fault}")))?;
    let manifest = ledger.last_revision(&document).map(|(_, manifest)| manifest);
    let sealed = manifest.and_then(|manifest| ledger.release_of(&manifest));
    sealed.ok_or_else(|| none(format!("no release of this binder names `{shown}`")))
}
