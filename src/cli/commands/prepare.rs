//! `prepare`: hands everything that differs from what is in force over for approval, signed by who made it.

use crate::base::risk::RiskClass;
use crate::cli::commands::approve::{called, shown};
use crate::cli::commands::hand::{self, Desk};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::{Class, Prepare, SetOff};
use crate::report::clean;
use crate::report::tally::counted;
use crate::task::book::Book;
use crate::task::prepare::{self, PrepareError, Wish};
use crate::task::waiting::{self, WaitingError};
use crate::trust::issue::Hand;
use crate::trust::manifest::Trigger;
use std::io::Write as _;

/// How many changed meanings one person can weigh at once; common practice, no source.
const MANY: usize = 7;

pub(super) fn run(asked: &Prepare, io: &mut Io) -> Result<Exit, Failure> {
    let desk = Desk::to_sign(io, &asked.place)?;
    let book = Book::read(desk.repo(), &desk.home)?;
    let root = waiting::root(&book)?;
    desk.is_saved()?;
    let key = hand::unlock(io, &desk.home, &asked.signing)?;
    let person = hand::person(root, &key)?;
    let wish = Wish {
        title: asked.title.trim(),
        reason: asked.reason.trim(),
        trigger: trigger(asked.trigger),
        documents: &asked.documents,
        until: asked.until.as_deref().map(hand::day).transpose()?,
        class: asked.class.map(class),
    };
    let prepared = prepare::prepare(desk.repo(), &book, &person, &wish, desk.today())?;
    let meanings = prepared.changes.changes.len();
    io.out.write_all(shown(&prepared.changes).as_bytes())?;
    io.out.flush()?;
    let packets = counted(prepared.manifest.resolved.len(), "packet");
    writeln!(
        io.err,
        "{packets} in {}, of the class {}",
        counted(prepared.manifest.documents.len(), "document"),
        prepared.manifest.class
    )?;
    if meanings > MANY && prepared.manifest.documents.len() > 1 {
        writeln!(io.err, "  hint: that is much to weigh at once; `--procedure` hands the documents over one by one")?;
    }
    if asked.dry_run {
        writeln!(io.err, "nothing was signed")?;
        return Ok(Exit::Clean);
    }
    if let Some(there) = waiting::same(&book, &prepared.manifest)? {
        writeln!(io.err, "it is handed over already, as {}; nothing was signed", called(&there.digest))?;
        return Ok(Exit::Clean);
    }
    let hand = Hand { person: &person, key: &key, at: desk.now };
    let (digest, files) = prepare::sign(&book, root, &prepared, hand)?;
    let words = format!("Prepared: {}", clean::line(prepared.manifest.title.as_str()));
    desk.put(io, book.files.state(), &files, (&words, &person))?;
    writeln!(io.out, "Handed over as {}: {}", called(&digest), clean::line(prepared.manifest.title.as_str()))?;
    io.out.flush()?;
    for missing in waiting::named(&Book::read(desk.repo(), &desk.home)?, Some(&digest.to_string()))?.standing.missing {
        writeln!(io.err, "It needs: {missing}")?;
    }
    writeln!(
        io.err,
        "Then: `matchmark sync` sends it; whoever may approve types `matchmark approve {}`.",
        called(&digest)
    )?;
    Ok(Exit::Clean)
}

fn trigger(asked: SetOff) -> Trigger {
    match asked {
        SetOff::Redline => Trigger::Redline,
        SetOff::Incident => Trigger::Incident,
        SetOff::Supersession => Trigger::Supersession,
        SetOff::Review => Trigger::Review,
        SetOff::None => Trigger::None,
    }
}

fn class(asked: Class) -> RiskClass {
    match asked {
        Class::Wording => RiskClass::Wording,
        Class::Value => RiskClass::Value,
        Class::Sequence => RiskClass::Sequence,
        Class::Applicability => RiskClass::Applicability,
        Class::Safety => RiskClass::Safety,
    }
}

impl From<PrepareError> for Failure {
    fn from(error: PrepareError) -> Self {
        let told = error.to_string();
        let refused = |hint: &str| Self::new(Exit::Refused, told.clone()).hint(hint);
        match error {
            PrepareError::History(error) => error.into(),
            PrepareError::Book(error) => error.into(),
            PrepareError::Load(error) => error.into(),
            PrepareError::World(error) => error.into(),
            PrepareError::Sentences(error) => error.into(),
            PrepareError::Unknown(error) => error.into(),
            PrepareError::Stopped(_) => refused("`matchmark audit` says more, and what to do"),
            PrepareError::NoPeople => refused("`matchmark people example > people.yaml` begins the list of people"),
            PrepareError::Unsound(_) => refused("`matchmark check` says what is wrong and how to mend it"),
            PrepareError::Unaccepted { document, .. } => {
                refused(&format!("`matchmark accept {document}` asks about them; then save"))
            }
            PrepareError::Past(_) => {
                Self::new(Exit::Usage, told).hint("`--until` names the last day on which it is used")
            }
            PrepareError::Same => Self::new(Exit::Usage, told).hint("`matchmark save` saves what you changed first"),
            PrepareError::InForce { .. } | PrepareError::Stored(_) => {
                Self::new(Exit::Undecided, told).hint("`matchmark audit` says what is missing")
            }
            PrepareError::Lowered { .. } | PrepareError::Word(_) => Self::new(Exit::Usage, told),
            PrepareError::Refused(_) => refused("`matchmark people show` shows who may prepare"),
        }
    }
}

impl From<WaitingError> for Failure {
    fn from(error: WaitingError) -> Self {
        let told = error.to_string();
        match error {
            WaitingError::History(error) => error.into(),
            WaitingError::Stopped(_) => {
                Self::new(Exit::Refused, told).hint("`matchmark audit` says more, and what to do")
            }
            WaitingError::NoPeople => Self::new(Exit::Refused, told)
                .hint("`matchmark people example > people.yaml` begins the list of people"),
            WaitingError::Nothing => Self::new(Exit::Usage, told)
                .hint("`matchmark prepare` hands one over; `matchmark sync` brings what others handed over"),
            WaitingError::Several(_) => {
                Self::new(Exit::Usage, told).hint("say which: its letters, or a document in it")
            }
            WaitingError::Unknown(_) => Self::new(Exit::Usage, told).hint("`matchmark waiting --all` lists them"),
            WaitingError::Refused(_) => Self::new(Exit::Refused, told).hint("`matchmark people show` shows who may"),
            WaitingError::Verdict(_) => Self::new(Exit::Refused, told).hint("`matchmark waiting` shows what it needs"),
            WaitingError::Changed(_) => Self::new(Exit::Refused, told)
                .hint("`matchmark prepare` hands the newer text over; `--as-approved` releases what was approved"),
        }
    }
}
