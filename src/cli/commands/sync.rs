//! `sync`: brings in what others saved and sends what is ours; where two changed the same, it shows both and asks.

use crate::cli::arguments::{Common, Format};
use crate::cli::commands::save::tell_left;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::folder_arguments::Sync;
use crate::cli::io::Io;
use crate::cli::show;
use crate::history::merge::{Matter, Question};
use crate::history::merge_text::Side;
use crate::history::remote::Sent;
use crate::report::clean;
use crate::report::human::Look;
use crate::report::tally::counted;
use crate::task::folder::{Folder, author};
use crate::task::open::open;
use crate::task::past::{self, Documents};
use crate::task::sync::{self, Asked, Chooser, Synced};
use crate::workspace::clock;
use crate::workspace::stock_git::Asking;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

/// How many of the others' saves a person is shown.
const SHOWN: usize = 12;

pub(super) fn run(asked: &Sync, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let place = io.place(asked.binder.as_deref().unwrap_or(Path::new("")));
    let asking = if io.is_asked() { Asking::Person } else { Asking::Nobody };
    let from = crate::workspace::root::whole(&io.place(Path::new("")));
    if let Some(typed) = &asked.copy_of {
        let folder = sync::copy(&place, typed, &from, asking)?;
        let last = folder.repo.last()?;
        writeln!(io.out, "Copied the binder into `{}`, as it was saved last ({}).", io.shown(&place), last.short())?;
        writeln!(io.err, "`matchmark check {}` looks at it", io.shown(&place))?;
        return Ok(Exit::Clean);
    }
    let keep = kept(&asked.keep)?;
    let disk = open(&place)?;
    let documents = Documents::of(&disk);
    let folder = Folder::open(disk)?;
    tell_left(&folder.left, io)?;
    let author = author(Some(&folder.repo), asked.name.as_deref(), &io.user, clock::now()?)?;
    let wanted = Asked { with: asked.with.as_deref(), from: &from, author: &author, asking, put_back: asked.put_back };
    let mut asker = Asker { io, keep: &keep, open: Vec::new(), is_stopped: false, count: 0 };
    let synced = sync::sync(&folder, &wanted, &mut asker)?;
    let open = asker.open;
    if synced.is_open {
        return stopped(&open, io);
    }
    tell(&folder, &documents, &synced, common, io)
}

fn kept(typed: &[String]) -> Result<Vec<(String, Side)>, Failure> {
    let one = |pair: &[String]| match pair[0].as_str() {
        "ours" => Ok((pair[1].clone(), Side::Ours)),
        "theirs" => Ok((pair[1].clone(), Side::Theirs)),
        other => Err(Failure::new(Exit::Usage, format!("`{other}` is neither `ours` nor `theirs`"))
            .hint("`matchmark sync --keep theirs fleet.yaml`")),
    };
    typed.chunks(2).map(one).collect()
}

fn stopped(open: &[String], io: &mut Io) -> Result<Exit, Failure> {
    writeln!(io.err, "\nnothing was brought in and nothing was sent; your saves are as they were")?;
    let mut open = open.to_vec();
    open.dedup();
    let keep: Vec<String> = open.iter().map(|path| format!("--keep ours {}", clean::line(path))).collect();
    writeln!(io.err, "  at a terminal you are asked; or: matchmark sync {}", keep.join(" "))?;
    writeln!(io.err, "  (`theirs` instead of `ours` keeps what the other person saved)")?;
    Ok(Exit::Findings)
}

fn tell(
    folder: &Folder,
    documents: &Documents,
    synced: &Synced,
    common: &Common,
    io: &mut Io,
) -> Result<Exit, Failure> {
    let mut exit = Exit::Clean;
    if synced.is_new_place {
        writeln!(io.err, "the shared folder was made")?;
    }
    if !synced.brought.is_empty() {
        writeln!(io.out, "Brought in {}:", counted(synced.brought.len(), "save"))?;
        for saved in synced.brought.iter().take(SHOWN) {
            let one = past::shown(&folder.repo, documents, saved)?;
            writeln!(io.out, "  {}  {}  {}: {}", one.state, one.day, clean::line(&one.who), clean::line(&one.words))?;
        }
        if synced.brought.len() > SHOWN {
            writeln!(io.out, "  and {} more: `matchmark history`", synced.brought.len() - SHOWN)?;
        }
    }
    for (path, by) in &synced.lost {
        exit = Exit::Findings;
        writeln!(io.err, "{}", lost(path, by))?;
    }
    if let Some((findings, texts)) = &synced.found {
        exit = Exit::Findings;
        let root = io.shown(folder.root());
        let look = Look { paint: io.paint(common.color, io.err_stream), root: &root };
        write!(io.err, "\n{}", show::findings(findings, texts, Format::Human, look))?;
        writeln!(io.err, "the two saves together are wrong where each alone was not; mend it, then `matchmark save`")?;
    }
    tell_left(&synced.left, io)?;
    match &synced.end {
        Some(Sent::Sent(_)) => writeln!(io.out, "Sent {}.", counted(synced.sent, "save"))?,
        Some(Sent::Already(_)) if synced.brought.is_empty() => writeln!(io.out, "Nothing new on either side.")?,
        Some(Sent::Refused(words)) => {
            exit = Exit::Findings;
            writeln!(io.err, "the shared place refused what you saved; it is still saved here. It says:")?;
            for line in words.lines() {
                writeln!(io.err, "  {}", clean::line(line))?;
            }
        }
        _ => {}
    }
    for seq in &synced.records {
        writeln!(io.out, "{seq} counts from now on: the shared place has it.")?;
    }
    Ok(exit)
}

fn lost(path: &str, by: &str) -> String {
    let by = clean::line(by);
    match crate::trust::place::record_at(path) {
        Some(seq) => format!(
            "{seq} was released by {by} at the same time, and theirs counts; yours is not released. \
             Look with `matchmark waiting`, then type `matchmark release` again"
        ),
        None => {
            format!("`{}` was signed by {by} at the same time, and theirs counts; yours does not", clean::line(path))
        }
    }
}

/// Asks a person where two changed the same; answers by itself only where it was told so with the command.
struct Asker<'a> {
    io: &'a mut Io,
    keep: &'a [(String, Side)],
    open: Vec<String>,
    is_stopped: bool,
    count: usize,
}

impl Chooser for Asker<'_> {
    fn choose(&mut self, question: &Question) -> Option<Side> {
        if let Some((_, side)) = self.keep.iter().find(|(path, _)| *path == question.path) {
            return Some(*side);
        }
        let chosen = if self.is_stopped { None } else { self.ask(question).ok().flatten() };
        if chosen.is_none() {
            self.open.push(question.path.clone());
        }
        chosen
    }
}

impl Asker<'_> {
    fn ask(&mut self, question: &Question) -> Result<Option<Side>, Failure> {
        self.count += 1;
        write!(self.io.err, "{}", words(question))?;
        if !self.io.is_asked() {
            return Ok(None);
        }
        loop {
            let answer = self.io.ask("  o = keep yours   t = keep theirs   q = stop, and write nothing\n> ")?;
            match answer.as_deref().map(str::trim) {
                Some("o" | "ours") => return Ok(Some(Side::Ours)),
                Some("t" | "theirs") => return Ok(Some(Side::Theirs)),
                Some("q") | None => {
                    self.is_stopped = true;
                    return Ok(None);
                }
                Some(_) => {}
            }
        }
    }
}

fn words(question: &Question) -> String {
    let path = clean::line(&question.path);
    let (ours, theirs) = (clean::line(&question.our_author), clean::line(&question.their_author));
    match &question.matter {
        Matter::Lines(clash) => format!(
            "\n{path}: you and {theirs} changed the same\n  it was:\n{}  yours ({ours}), line {}:\n{}  theirs ({theirs}), line {}:\n{}",
            quoted(&clash.base),
            clash.our_line,
            quoted(&clash.ours),
            clash.their_line,
            quoted(&clash.theirs)
        ),
        Matter::Whole => {
            format!("\n{path}: {ours} and {theirs} both made or changed it, and only one of the two can stand\n")
        }
        Matter::GoneHere => {
            format!("\n{path}: {ours} took it away, and {theirs} changed it (ours: away; theirs: kept)\n")
        }
        Matter::GoneThere => {
            format!("\n{path}: {theirs} took it away, and {ours} changed it (ours: kept; theirs: away)\n")
        }
        Matter::Unreadable => {
            format!("\n{path}: {ours} and {theirs} changed different lines, but together they can no longer be read\n")
        }
    }
}

fn quoted(text: &str) -> String {
    if text.is_empty() {
        return "    (nothing)\n".to_owned();
    }
    let mut quoted = String::new();
    for line in text.lines() {
        let _ = writeln!(quoted, "    {}", clean::line(line));
    }
    quoted
}
