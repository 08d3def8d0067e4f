//! `save`: saves the binder as it stands, and says as what.

use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::folder_arguments::Save;
use crate::cli::io::Io;
use crate::history::error::HistoryError;
use crate::history::past::Deed;
use crate::history::repo::Repo;
use crate::report::clean;
use crate::report::tally::counted;
use crate::task::folder::{Folder, author};
use crate::task::open::open;
use crate::task::past::day;
use crate::task::save::{self, Pending};
use crate::workspace::clock;
use crate::workspace::disk::Disk;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &Save, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    if asked.dry_run {
        return show(&disk, io);
    }
    let known = Repo::open(disk.root()).ok();
    let author = author(known.as_ref(), asked.name.as_deref(), &io.user, clock::now()?)?;
    let folder = Folder::begin(disk)?;
    tell_left(&folder.left, io)?;
    let saved = save::save(&folder, asked.words.as_deref(), &author)?;
    for left in &saved.pending.left {
        writeln!(io.err, "not saved: {}", clean::line(left))?;
    }
    let exit = if saved.pending.left.is_empty() { Exit::Clean } else { Exit::Findings };
    let Some(state) = saved.state else {
        let last = folder.repo.saved(folder.repo.last()?)?;
        let (short, day) = (last.state.short(), day(last.second));
        writeln!(io.out, "Nothing has changed since {short} ({day}, {}).", clean::line(&last.who))?;
        return Ok(exit);
    };
    let count = counted(saved.pending.touched.len(), "file");
    let words = saved.words.lines().next().unwrap_or_default();
    writeln!(io.out, "Saved {count} as {}: {}", state.short(), clean::line(words))?;
    if let Some(note) = &saved.note {
        writeln!(
            io.err,
            "it is saved; only what git notes of the open folder could not be brought up to it: {}",
            clean::line(note)
        )?;
    }
    let is_shared = folder.repo.place().is_ok_and(|place| place.is_some());
    let next =
        if is_shared { "`matchmark sync` sends it to the others" } else { "`matchmark history` lists what was saved" };
    writeln!(io.err, "{next}")?;
    Ok(exit)
}

fn show(disk: &Disk, io: &mut Io) -> Result<Exit, Failure> {
    let repo = match Repo::open(disk.root()) {
        Ok(repo) => Some(repo),
        Err(HistoryError::None(_)) => None,
        Err(error) => return Err(error.into()),
    };
    let Pending { touched, left, .. } = save::pending(disk, repo.as_ref())?;
    for one in &touched {
        let deed = match one.deed {
            Deed::New => "new",
            Deed::Changed => "changed",
            Deed::Gone => "taken away",
        };
        writeln!(io.out, "{deed:<10}  {}", clean::line(&one.path))?;
    }
    for left in &left {
        writeln!(io.err, "would not be saved: {}", clean::line(left))?;
    }
    writeln!(io.err, "{} would be saved; nothing was written", counted(touched.len(), "file"))?;
    Ok(Exit::Clean)
}

/// Names the files that an interrupted command had begun with and a person changed since.
pub(super) fn tell_left(left: &[String], io: &mut Io) -> Result<(), Failure> {
    for path in left {
        writeln!(
            io.err,
            "`{}` was changed here while it was brought up to what others saved; it was left as it is, look at it",
            clean::line(path)
        )?;
    }
    Ok(())
}
