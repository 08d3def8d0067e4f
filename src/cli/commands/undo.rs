//! `undo`: says what would be taken back, asks once, takes it back, and says how to get it again.

use crate::cli::commands::history::file;
use crate::cli::commands::save::tell_left;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::folder_arguments::Undo;
use crate::cli::io::Io;
use crate::report::clean;
use crate::report::tally::counted;
use crate::task::folder::{Folder, author};
use crate::task::open::open;
use crate::task::past::{Documents, day};
use crate::task::undo::{self, Plan, Undone};
use crate::workspace::clock;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &Undo, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let documents = Documents::of(&disk);
    let folder = Folder::open(disk)?;
    tell_left(&folder.left, io)?;
    let named: Vec<String> = asked.files.iter().map(|named| file(io, folder.root(), &documents, named)).collect();
    let plan = undo::plan(&folder, &named, asked.to.as_deref())?;
    let (what, files) = match &plan {
        Plan::Nothing => {
            writeln!(io.out, "There is nothing to take back.")?;
            return Ok(Exit::Clean);
        }
        Plan::Unsaved { files } => ("what is not saved is taken back".to_owned(), files),
        Plan::Last { saved, files } => {
            let (short, day, who) = (saved.state.short(), day(saved.second), clean::line(&saved.who).into_owned());
            let words = clean::line(saved.words.lines().next().unwrap_or_default()).into_owned();
            (
                format!(
                    "everything is saved; the last save, {short} of {day} by {who} ({words}), is taken back by a new one"
                ),
                files,
            )
        }
        Plan::To { saved, files, .. } => (format!("these files go back to {}", saved.state.short()), files),
    };
    writeln!(io.err, "{what}:")?;
    for path in files {
        writeln!(io.err, "  {}", clean::line(path))?;
    }
    if asked.dry_run {
        writeln!(io.err, "nothing was written")?;
        return Ok(Exit::Clean);
    }
    let is_asked_for = !named.is_empty() || asked.to.is_some() || asked.yes;
    if !is_asked_for && !agreed(io)? {
        return Ok(Exit::Findings);
    }
    let author = author(Some(&folder.repo), asked.name.as_deref(), &io.user, clock::now()?)?;
    let undone = undo::undo(&folder, &plan, &author)?;
    tell(&undone, files.len(), io)
}

fn agreed(io: &mut Io) -> Result<bool, Failure> {
    if !io.is_asked() {
        return Err(Failure::new(Exit::Usage, "nobody was asked, so nothing was taken back")
            .hint("`matchmark undo --yes` asks nothing; or name the files"));
    }
    let answer = io.ask("Take it back? [y/n] ")?;
    let is_agreed = answer.is_some_and(|answer| matches!(answer.trim(), "y" | "yes"));
    if !is_agreed {
        writeln!(io.err, "nothing was taken back")?;
    }
    Ok(is_agreed)
}

fn tell(undone: &Undone, count: usize, io: &mut Io) -> Result<Exit, Failure> {
    match undone.state {
        Some(state) => writeln!(io.out, "Took back {} as {}.", counted(count, "file"), state.short())?,
        None => writeln!(io.out, "Took back {}.", counted(count, "file"))?,
    }
    if let Some(aside) = undone.aside {
        let short = aside.short();
        writeln!(io.err, "what stood there is kept as {short}; `matchmark undo --to {short}` brings it back")?;
    } else if undone.state.is_some() {
        writeln!(io.err, "`matchmark undo` once more takes this back")?;
    }
    for path in &undone.left {
        writeln!(io.err, "left as it is: {}", clean::line(path))?;
    }
    Ok(if undone.left.is_empty() { Exit::Clean } else { Exit::Findings })
}
