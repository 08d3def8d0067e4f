//! What every command that signs needs: the binder's history, the person's key, and the one way a signed thing is put in.

use crate::base::date::Date;
use crate::cli::commands::save::tell_left;
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::cli::trust_arguments::{Signing, Where};
use crate::history::point::{Author, Files};
use crate::history::remote::Sent;
use crate::history::repo::{Repo, StateId};
use crate::report::clean;
use crate::task::folder::Folder;
use crate::task::keys::{self, KeyError};
use crate::task::open::open;
use crate::task::{save, sync};
use crate::trust::key::{KeyFault, SigningKey};
use crate::trust::root::Root;
use crate::trust::word::{Moment, OneLine, Person};
use crate::workspace::home::Home;
use crate::workspace::stock_git::Asking;
use crate::workspace::{clock, named_file};
use std::io::{BufRead as _, Write as _};
use std::path::{Path, PathBuf};

/// How often a passphrase may be typed.
const TRIES: usize = 3;

/// A binder with its history, and what is kept for the user.
pub(super) struct Desk {
    pub(super) home: Home,
    binder: Opened,
    pub(super) folder: PathBuf,
    /// The moment at which the command was typed; one for the whole command.
    pub(super) now: Moment,
}

/// A binder's history, to be read or to be written.
enum Opened {
    /// No lock is taken and nothing is finished: it works on a medium that cannot be written.
    ToRead(Repo),
    /// Nobody else writes meanwhile, and what an interrupted command left is finished.
    ToWrite(Folder),
}

impl Desk {
    /// Opens a binder to read its history.
    pub(super) fn at(io: &Io, place: &Where) -> Result<Self, Failure> {
        let disk = open(&io.place(place.binder.as_deref().unwrap_or(Path::new(""))))?;
        let folder = disk.root().to_owned();
        Ok(Self { home: io.home()?, binder: Opened::ToRead(Repo::open(disk.root())?), folder, now: now()? })
    }

    /// Opens a binder to sign something in it.
    pub(super) fn to_sign(io: &mut Io, place: &Where) -> Result<Self, Failure> {
        let disk = open(&io.place(place.binder.as_deref().unwrap_or(Path::new(""))))?;
        let root = disk.root().to_owned();
        let home = io.home()?;
        let folder = Folder::open(disk)?;
        tell_left(&folder.left, io)?;
        Ok(Self { home, binder: Opened::ToWrite(folder), folder: root, now: now()? })
    }

    pub(super) fn repo(&self) -> &Repo {
        match &self.binder {
            Opened::ToRead(repo) => repo,
            Opened::ToWrite(folder) => &folder.repo,
        }
    }

    pub(super) fn today(&self) -> Date {
        self.now.date()
    }

    /// Refuses where the open folder holds what was not saved: nobody could say whether it was meant to go along.
    pub(super) fn is_saved(&self) -> Result<(), Failure> {
        let disk = open(&self.folder)?;
        let pending = save::pending(&disk, Some(self.repo()))?;
        let names: Vec<&str> = pending.touched.iter().map(|own| own.path.as_str()).collect();
        if names.is_empty() {
            return Ok(());
        }
        Err(Failure::new(Exit::Refused, format!("there are changes that are not saved: {}", names.join(", ")))
            .hint("`matchmark save` saves them, `matchmark undo` takes them back"))
    }

    /// Sends what was signed to the place everybody shares; before it is there, it does not count as done.
    pub(super) fn send(&self, io: &mut Io, done: &str) -> Result<Exit, Failure> {
        let asking = if io.is_asked() { Asking::Person } else { Asking::Nobody };
        let (exit, told) = match sync::send(self.repo(), asking) {
            Ok(Sent::Sent(_) | Sent::Already(_)) => (Exit::Clean, String::new()),
            Ok(Sent::NoPlace) => {
                (Exit::Clean, "this binder is shared with nobody, so it counts as it is here".to_owned())
            }
            Ok(Sent::Behind) => (Exit::Findings, "somebody saved at the same time".to_owned()),
            Ok(Sent::Refused(words)) => {
                (Exit::Refused, format!("the shared place refused it: {}", clean::line(&words)))
            }
            Err(error) => (Exit::Undecided, error.to_string()),
        };
        if exit == Exit::Clean {
            writeln!(io.out, "{done}")?;
            io.out.flush()?;
            if !told.is_empty() {
                writeln!(io.err, "{told}")?;
            }
        } else {
            writeln!(io.err, "It is signed here and NOT in force yet: {told}.")?;
            writeln!(
                io.err,
                "  hint: `matchmark sync` brings in what others did and sends it; it says whether it still stands"
            )?;
        }
        Ok(exit)
    }

    /// Puts signed files into the state that follows `base`, and lays them out in the open folder.
    pub(super) fn put(
        &self,
        io: &mut Io,
        base: StateId,
        files: &Files,
        (words, person): (&str, &Person),
    ) -> Result<StateId, Failure> {
        let author = Author { name: person.to_string(), address: person.principal(), second: self.now.unix_second() };
        let made = self.repo().put(Some(base), files, words, &author)?;
        if let Err(error) = self.repo().lay_out(files.keys().cloned()) {
            writeln!(io.err, "it is done and kept; only the open folder could not be brought up to it: {error}")?;
        }
        Ok(made)
    }
}

/// Returns the moment it is.
pub(super) fn now() -> Result<Moment, Failure> {
    let second = clock::now()?;
    Moment::at_second(second).ok_or_else(|| Failure::new(Exit::Undecided, "the clock shows a time that is none"))
}

/// Finds and opens the person's key; asks for its passphrase where it has one.
pub(super) fn unlock(io: &mut Io, home: &Home, signing: &Signing) -> Result<SigningKey, Failure> {
    let named = signing.key.as_deref().map(|named| {
        if home.keys().iter().any(|own| Path::new(own) == named) { named.to_owned() } else { io.place(named) }
    });
    let file = keys::find(home, named.as_deref())?;
    let wrong = |fault: KeyFault| {
        Failure::new(Exit::Undecided, format!("the key in `{}` cannot be used: {fault}", file.path.display()))
    };
    match file.open(None) {
        Ok(key) => return Ok(key),
        Err(KeyFault::Locked) => {}
        Err(fault) => return Err(wrong(fault)),
    }
    if let Some(given) = &signing.passphrase_file {
        let phrase = phrase_in(io, given)?;
        return file.open(Some(phrase.as_bytes())).map_err(wrong);
    }
    if !io.is_asked() {
        return Err(Failure::new(Exit::Usage, "the key is locked, and nobody can be asked for its passphrase")
            .hint("`--passphrase-file` names a file with it"));
    }
    for _ in 0..TRIES {
        let question = format!("passphrase of {}: ", file.path.display());
        let Some(phrase) = io.ask_secret(&question)? else { break };
        match file.open(Some(phrase.as_bytes())) {
            Ok(key) => return Ok(key),
            Err(KeyFault::WrongPassphrase) => writeln!(io.err, "that is not it")?,
            Err(fault) => return Err(wrong(fault)),
        }
    }
    Err(Failure::new(Exit::Refused, "the key stayed locked; nothing was signed"))
}

/// Returns the first line of a file with a passphrase, or of the input.
pub(super) fn phrase_in(io: &mut Io, file: &Path) -> Result<String, Failure> {
    if file == Path::new("-") {
        let mut line = String::new();
        io.input.read_line(&mut line)?;
        return Ok(line.trim_end_matches(['\n', '\r']).to_owned());
    }
    let bytes = named_file::read(&io.place(file))?;
    let text = String::from_utf8_lossy(&bytes).into_owned();
    Ok(text.lines().next().unwrap_or_default().to_owned())
}

/// Returns whose key it is.
pub(super) fn person(root: &Root, key: &SigningKey) -> Result<Person, Failure> {
    root.owner(&key.public()).cloned().ok_or_else(|| {
        Failure::new(Exit::Refused, "this key belongs to nobody in the list of people that is in force")
            .hint("`matchmark people show` shows the list; `matchmark key show` shows your keys")
    })
}

/// Returns the day that was typed.
pub(super) fn day(typed: &str) -> Result<Date, Failure> {
    Date::parse(typed).map_err(|_| {
        Failure::new(Exit::Usage, format!("`{typed}` is no day")).hint("write year, month and day: 2027-03-14")
    })
}

/// Returns the line that was typed, if people can read it whole.
pub(super) fn line(typed: &str) -> Result<OneLine, Failure> {
    OneLine::parse(typed.trim()).map_err(|fault| Failure::new(Exit::Usage, fault.to_string()))
}

impl From<KeyError> for Failure {
    fn from(error: KeyError) -> Self {
        let exit = match error {
            KeyError::None | KeyError::Several(_) | KeyError::Word(_) => Exit::Usage,
            KeyError::File(_) | KeyError::Chance(_) | KeyError::Fault { .. } => Exit::Undecided,
        };
        let failure = Self::new(exit, error.to_string());
        match error {
            KeyError::None => failure.hint("`matchmark key new ID` makes one; `--key` names one you have"),
            KeyError::Several(_) => failure.hint("`--key NAME` says which"),
            _ => failure,
        }
    }
}
