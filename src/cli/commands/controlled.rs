//! `build --released`: prints what is in force and tells what is withheld and why.

use crate::base::text::Texts;
use crate::cli::arguments::{Build, Common, Format};
use crate::cli::commands::hand::{self, Desk};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::progress::Counter;
use crate::cli::trust_arguments::Where;
use crate::report::clean;
use crate::report::json::{self, OutputLine, SuppressedLine};
use crate::report::tally::counted;
use crate::task::book::Book;
use crate::task::controlled::{self, Controlled, ControlledError, ControlledOrder};
use crate::task::manifest::Kind;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;

pub(super) fn run(arguments: &Build, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let about = &arguments.about;
    let desk = Desk::at(io, &Where { binder: about.binder.clone() })?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let day = arguments.on.as_deref().map(hand::day).transpose()?.unwrap_or_else(|| desk.today());
    let out = io.place(&arguments.out);
    let order = ControlledOrder { out: &out, documents: &about.documents, tags: &about.tags, day };
    let made = {
        let counter = Counter::new(io.err_stream, io.err.as_mut());
        controlled::print(desk.repo(), &book, &order, &counter)?
    };
    book.remember(&desk.home)?;
    for (document, tag, why) in &made.withheld {
        writeln!(io.err, "withheld: {document} for {tag}: {}", clean::line(why))?;
    }
    for refused in &made.manifest.refused {
        let tags = refused.tags.join(" ");
        writeln!(io.err, "refused: {} of {} for {tags}: {}", refused.kind.words(), refused.document, refused.reason)?;
    }
    let answer = match common.format {
        Format::Json => document(&made, &arguments.out),
        Format::Plain => plain(&made),
        Format::Human | Format::Html | Format::Csv | Format::Sarif => summary(&made, &arguments.out),
    };
    io.out.write_all(answer.as_bytes())?;
    io.out.flush()?;
    writeln!(
        io.err,
        "what is in force on {day}; the ledger's last record is {} old",
        counted(usize::try_from(made.age).unwrap_or(0), "day")
    )?;
    let is_whole = made.withheld.is_empty() && made.manifest.refused.is_empty();
    Ok(if is_whole { Exit::Clean } else { Exit::Refused })
}

fn plain(made: &Controlled) -> String {
    output_lines(made).iter().fold(String::new(), |mut text, line| {
        let _ = writeln!(text, "{}\t{}", line.state, line.path);
        text
    })
}

fn summary(made: &Controlled, out: &Path) -> String {
    let mut text = String::new();
    let documents: BTreeSet<&str> =
        made.manifest.outputs.iter().map(|own| own.document.as_str()).filter(|own| !own.is_empty()).collect();
    for document in documents {
        let (packets, cards) = (made.count(document, Kind::PacketHtml), made.count(document, Kind::Card));
        let _ = writeln!(text, "{document}: {}, {}", counted(packets, "packet"), counted(cards, "card"));
    }
    let done = &made.committed;
    let removed = if done.removed.is_empty() { String::new() } else { format!(", {} taken away", done.removed.len()) };
    let _ = writeln!(text, "{} written, {} unchanged{removed}", counted(done.written, "file"), done.kept);
    let _ = writeln!(text, "open {}", out.join("index.html").display());
    text
}

fn output_lines(made: &Controlled) -> Vec<OutputLine> {
    let written: BTreeSet<&String> = made.written.iter().collect();
    let state = |path: &String| if written.contains(path) { "written" } else { "kept" };
    made.manifest.outputs.iter().map(|one| OutputLine { path: one.path.clone(), state: state(&one.path) }).collect()
}

fn document(made: &Controlled, out: &Path) -> String {
    let withheld = made.withheld.iter().map(|(document, tag, why)| SuppressedLine {
        document: document.to_string(),
        tag: tag.to_string(),
        reasons: vec![why.clone()],
    });
    let refused = made.manifest.refused.iter().flat_map(|one| {
        one.tags.iter().map(|tag| SuppressedLine {
            document: one.document.clone(),
            tag: tag.clone(),
            reasons: vec![format!("{}: {}", one.kind.words(), one.reason)],
        })
    });
    let not_made = withheld.chain(refused).collect();
    json::build(&[], &Texts::default(), &out.display().to_string(), output_lines(made), not_made)
}

impl From<ControlledError> for Failure {
    fn from(error: ControlledError) -> Self {
        let told = error.to_string();
        match error {
            ControlledError::Stopped(_) => {
                Self::new(Exit::Refused, told).hint("`matchmark audit` says more, and what to do")
            }
            ControlledError::Nothing(_) => {
                Self::new(Exit::Refused, told).hint("`matchmark waiting` shows what waits to be approved or released")
            }
            ControlledError::Unknown(_) => Self::new(Exit::Usage, told)
                .hint("`matchmark in-force` lists what is; nothing else may be used in its place"),
            ControlledError::Template(_) => Self::new(Exit::Undecided, told),
            ControlledError::Output(error) => error.into(),
        }
    }
}
