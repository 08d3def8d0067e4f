//! `accept`: shows each new, changed or uncertain reading, asks once, and keeps what was accepted in a file.

use crate::base::path::BinderPath;
use crate::cli::arguments::Accept;
use crate::cli::commands::read::beneath;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::{Io, Stream};
use crate::report::tally::counted;
use crate::task::accept::{self, Question, Reply};
use crate::task::open::open;
use crate::task::sentences::{self, SentenceLine, Sentences};
use crate::workspace::new_files;
use std::io::Write as _;
use std::path::Path;

/// What may be answered, shown at the first question and after `?`.
const KEYS: &str = "  Enter or y = so it is    e = write it yourself    n = leave it open\n  \
                    a = so it is, and every other that was read with certainty    q = stop and keep the answers";

pub(super) fn run(asked: &Accept, io: &mut Io) -> Result<Exit, Failure> {
    let disk = open(&io.place(asked.binder.as_deref().unwrap_or(Path::new(""))))?;
    let sentences = sentences::of(&disk, &asked.document, &[])?;
    if sentences.is_damaged {
        let message = format!("`{}` cannot be read whole, so nothing was written over it", sentences.file);
        let hint = "`matchmark check` says which lines; keep one of two people's answers, or take the file away to answer anew";
        return Err(Failure::new(Exit::Undecided, message).hint(hint));
    }
    let lines = &sentences.lines;
    let mut replies = given(asked, &sentences)?;
    let is_asked = io.in_stream != Stream::Pipe && !asked.no_input;
    if !is_asked && !asked.certain && asked.written.is_empty() {
        let failure = Failure::new(Exit::Usage, "nobody was asked and nothing was answered, so nothing was written");
        return Err(failure.hint("at a terminal you are asked; elsewhere `--certain` and `--as` answer"));
    }
    let mut clerk = Clerk { sentences: &sentences, replies: &mut replies, certain: asked.certain, is_done: false };
    if is_asked {
        clerk.ask(io)?;
    }
    clerk.settle();
    let mut kept = Vec::new();
    for (line, reply) in lines.iter().zip(&replies) {
        let reply = reply.as_ref().unwrap_or(&Reply::LeaveOpen);
        kept.push(
            accept::accepted(line, reply)
                .map_err(|error| Failure::new(Exit::Usage, format!("`{}`: {error}", line.sentence)))?,
        );
    }
    let open = kept.iter().filter(|one| one.is_none()).count();
    write(asked, disk.root(), &sentences.file, sentences.text(&kept), io)?;
    writeln!(io.err, "{}; {open} still open", counted(kept.len() - open, "accepted reading"))?;
    if open > 0 {
        writeln!(io.err, "what is open cannot be proved: `matchmark read {}` shows it", asked.document)?;
    }
    Ok(if open == 0 { Exit::Clean } else { Exit::Findings })
}

fn write(asked: &Accept, root: &Path, path: &BinderPath, text: String, io: &mut Io) -> Result<(), Failure> {
    if asked.dry_run {
        io.out.write_all(text.as_bytes())?;
        io.out.flush()?;
        writeln!(io.err, "nothing was written; this would be {path}")?;
        return Ok(());
    }
    let places = new_files::replace(root, &[(path.clone(), text.into_bytes())])?;
    writeln!(io.out, "{}", io.shown(&places[0]))?;
    io.out.flush()?;
    Ok(())
}

/// Returns the replies that were given with the command: `--as "SENTENCE=ACTIONS"`, by key or by the sentence's words.
fn given(asked: &Accept, sentences: &Sentences) -> Result<Vec<Option<Reply>>, Failure> {
    let lines = &sentences.lines;
    let mut replies = vec![None; lines.len()];
    for typed in &asked.written {
        let Some((which, actions)) = typed.split_once('=') else {
            return Err(Failure::new(Exit::Usage, format!("`{typed}` does not say what the sentence does"))
                .hint("write `--as \"Fit it.=on key\"`"));
        };
        let which = which.trim();
        if let Some(objection) = sentences.objection(actions) {
            return Err(Failure::new(Exit::Usage, format!("`{}`: {objection}", actions.trim())));
        }
        let mut found = false;
        for (line, reply) in lines.iter().zip(&mut replies) {
            if line.key == which || line.sentence == which {
                *reply = Some(Reply::Written(actions.trim().to_owned()));
                found = true;
            }
        }
        if !found {
            return Err(Failure::new(Exit::Usage, format!("no sentence of the procedure is `{which}`"))
                .hint("`matchmark read DOCUMENT` shows its sentences"));
        }
    }
    Ok(replies)
}

/// Walks through the readings with the author.
struct Clerk<'a> {
    sentences: &'a Sentences,
    replies: &'a mut Vec<Option<Reply>>,
    /// True where every reading that is certain is accepted without being asked about.
    certain: bool,
    is_done: bool,
}

impl Clerk<'_> {
    fn ask(&mut self, io: &mut Io) -> Result<(), Failure> {
        let mut is_first = true;
        for (at, line) in self.sentences.lines.iter().enumerate() {
            let question = accept::question(line);
            let is_asked = match question {
                Question::None => false,
                Question::New => !self.certain,
                Question::Changed | Question::Open => true,
            };
            if self.is_done || !is_asked || self.replies[at].is_some() {
                continue;
            }
            show(line, io)?;
            if std::mem::take(&mut is_first) {
                writeln!(io.err, "{KEYS}")?;
            }
            self.replies[at] = self.reply(line, io)?;
        }
        Ok(())
    }

    fn reply(&mut self, line: &SentenceLine, io: &mut Io) -> Result<Option<Reply>, Failure> {
        loop {
            write!(io.err, "> ")?;
            io.err.flush()?;
            let mut typed = String::new();
            if io.input.read_line(&mut typed)? == 0 {
                self.is_done = true;
                return Ok(None);
            }
            match typed.trim() {
                "" | "y" | "yes" if line.class != "not read" => return Ok(Some(Reply::AsRead)),
                "n" | "no" => return Ok(Some(Reply::LeaveOpen)),
                "q" => {
                    self.is_done = true;
                    return Ok(None);
                }
                "a" => {
                    self.certain = true;
                    let is_sure = line.why.is_empty();
                    return Ok(Some(if is_sure { Reply::AsRead } else { Reply::LeaveOpen }));
                }
                "e" => {
                    writeln!(
                        io.err,
                        "  what it does, for example `off guard screw x2; off guard half x2`, or `nothing`:"
                    )?;
                }
                "" | "y" | "yes" | "?" => writeln!(io.err, "{KEYS}")?,
                text => match self.sentences.objection(text) {
                    None => return Ok(Some(Reply::Written(text.to_owned()))),
                    Some(why) => writeln!(io.err, "  {why}")?,
                },
            }
        }
    }

    /// Gives every reading its reply that needs no question any more.
    fn settle(&mut self) {
        for (line, reply) in self.sentences.lines.iter().zip(self.replies.iter_mut()) {
            if reply.is_none() && self.certain && accept::question(line) == Question::New {
                *reply = Some(Reply::AsRead);
            }
        }
    }
}

fn show(line: &SentenceLine, io: &mut Io) -> Result<(), Failure> {
    writeln!(io.err, "\n{}, step {} ({}:{})", line.stage, line.step, line.path, line.line)?;
    writeln!(io.err, "  {}", line.sentence)?;
    for told in beneath(line) {
        writeln!(io.err, "    {told}")?;
    }
    Ok(())
}
