//! `trust`: the digest of the first root, shown to be compared with paper, or pinned as the paper says.

use crate::cli::arguments::{Common, Format};
use crate::cli::audit_arguments::TrustAsked;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::history::repo::Repo;
use crate::report::json;
use crate::task::believe::{self, First, Pinned};
use crate::task::book::Book;
use crate::task::open::open;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(asked: &TrustAsked, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let home = io.home()?;
    let repo = Repo::open(disk.root())?;
    let book = Book::read(&repo, &home)?;
    let (Some(first), Some(found)) = (believe::first(&book), believe::found(&book.files)) else {
        return Err(Failure::new(
            Exit::Undecided,
            "this binder has no root yet: nobody can approve or release anything",
        )
        .hint("`matchmark people` begins one"));
    };
    if asked.digest.is_empty() {
        return show(&first, common, io);
    }
    let paper = believe::typed(&asked.digest).ok_or_else(|| {
        Failure::new(Exit::Usage, "that is no digest: it has 64 digits, 0 to 9 and a to f, in sixteen groups of four")
            .hint("`matchmark trust` shows how it looks")
    })?;
    match believe::pin(&book, &home, paper, found)? {
        Pinned::Now => writeln!(io.err, "pinned: from now on this computer believes no other first root here")?,
        Pinned::Before => writeln!(io.err, "it was pinned before")?,
        Pinned::Against(found) => return Err(against(&believe::groups(&found), &believe::groups(&paper)).hint(
            "the paper is believed: nothing in this folder is signed or printed until the two agree. If it was mistyped, type it again",
        )),
        Pinned::Refused(found) => return Err(against(&believe::groups(&found), &believe::groups(&paper))
            .hint("another digest was pinned before, and stays pinned; find out which paper is right")),
    }
    Ok(Exit::Clean)
}

/// Returns the refusal, with the first group that differs.
fn against(found: &[String], paper: &[String]) -> Failure {
    let at = found.iter().zip(paper).position(|(found, paper)| found != paper).unwrap_or_default();
    Failure::new(
        Exit::Refused,
        format!(
            "this is not the first root of this binder: group {} is `{}` on the paper and `{}` here. This binder is another plant's, or forged, or the digest was mistyped",
            at + 1,
            paper[at],
            found[at]
        ),
    )
}

fn show(first: &First, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let text = match common.format {
        Format::Json => json::one(first),
        Format::Plain => format!("{}\n", first.digest),
        Format::Human | Format::Html | Format::Csv | Format::Sarif => {
            first.groups.chunks(4).fold(String::new(), |text, line| text + "  " + &line.join(" ") + "\n")
        }
    };
    io.out.write_all(text.as_bytes())?;
    io.out.flush()?;
    let is_same = first.pinned.as_ref() == Some(&first.digest);
    match (&first.pinned, is_same) {
        (None, _) => writeln!(
            io.err,
            "not pinned: it is believed as it was found. Compare it with the paper on the office wall, then `matchmark trust DIGEST`"
        )?,
        (Some(_), true) => writeln!(io.err, "pinned: it is the one that this computer was told")?,
        (Some(pinned), false) => {
            return Err(Failure::new(Exit::Refused, format!("this computer was told another digest: {pinned}"))
                .hint("nothing in this folder is signed or printed until the two agree: compare with the paper"));
        }
    }
    Ok(Exit::Clean)
}
