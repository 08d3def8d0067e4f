//! Why a command could not do what was asked, with the end it leads to and what to do next; one place for all of them.

use crate::cli::exit::Exit;
use crate::cli::io::Io;
use crate::history::error::HistoryError;
use crate::model::load::LoadError;
use crate::model::world::WorldError;
use crate::report::clean;
use crate::task::begin::NewProcedureError;
use crate::task::book::BookError;
use crate::task::folder::FolderError;
use crate::task::open::OpenError;
use crate::task::selection::UnknownName;
use crate::task::sentences::SentencesError;
use crate::workspace::lock;
use crate::workspace::named_file::NamedFileError;
use crate::workspace::new_files::NewFilesError;
use crate::workspace::outputs::OutputError;
use crate::workspace::root::RootError;
use std::io::{self, Write as _};

/// Why a command could not do what was asked.
#[derive(Debug)]
pub(crate) enum Failure {
    /// It is to be told.
    Told { exit: Exit, message: String, hints: Vec<String> },
    /// A stream could not be written.
    Stream(io::Error),
}

impl Failure {
    pub(crate) fn new(exit: Exit, message: impl Into<String>) -> Self {
        Self::Told { exit, message: message.into(), hints: Vec::new() }
    }

    /// Adds what to do next.
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        if let Self::Told { hints, .. } = &mut self {
            hints.push(hint.into());
        }
        self
    }

    /// Tells it on the error stream and returns its end.
    pub(crate) fn tell(self, io: &mut Io) -> Exit {
        match self {
            Self::Told { exit, message, hints } => {
                let _ = writeln!(io.err, "error: {}", harmless(&message));
                for hint in hints {
                    let _ = writeln!(io.err, "  hint: {}", harmless(&hint));
                }
                exit
            }
            // Whoever was reading has seen enough.
            Self::Stream(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Clean,
            Self::Stream(error) => {
                let _ = writeln!(io.err, "error: the answer cannot be written: {error}");
                Exit::Undecided
            }
        }
    }
}

/// Names out of a repository or from the platform stand in messages: none of them may drive a terminal.
fn harmless(message: &str) -> String {
    message.lines().map(clean::line).collect::<Vec<_>>().join("\n")
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        Self::Stream(error)
    }
}

impl From<OpenError> for Failure {
    fn from(error: OpenError) -> Self {
        let failure = Self::new(Exit::Undecided, error.to_string());
        match error {
            OpenError::NotFound { nearby, .. } if !nearby.is_empty() => {
                nearby.iter().fold(failure, |failure, one| failure.hint(format!("there is one in `{}`", one.display())))
            }
            OpenError::NotFound { why: RootError::NoBinder(_), .. } => {
                failure.hint("`matchmark init my-binder` begins one")
            }
            OpenError::NotFound { .. } | OpenError::World(_) => failure,
        }
    }
}

impl From<LoadError> for Failure {
    fn from(error: LoadError) -> Self {
        Self::new(Exit::Undecided, error.to_string())
    }
}

impl From<WorldError> for Failure {
    fn from(error: WorldError) -> Self {
        Self::new(Exit::Undecided, error.to_string())
    }
}

impl From<HistoryError> for Failure {
    fn from(error: HistoryError) -> Self {
        let exit = if matches!(error, HistoryError::NoState(_)) { Exit::Usage } else { Exit::Undecided };
        let failure = Self::new(exit, error.to_string());
        match error {
            HistoryError::None(_) => failure.hint("`matchmark save` begins one"),
            HistoryError::Empty => failure.hint("`matchmark save` saves the binder as it is"),
            HistoryError::NoState(_) => failure.hint("`matchmark history` lists the states"),
            HistoryError::Left(path) => {
                let age = lock::age(&path).map_or_else(String::new, |age| format!("it has been there for {age}; "));
                failure.hint(format!(
                    "{age}where no other program has this binder open, delete that file and type the command again"
                ))
            }
            HistoryError::Moved => failure.hint("look at what was saved, then type the command again"),
            HistoryError::Incomplete(_) => {
                failure.hint("this copy is not whole: copy the binder again from where it is kept")
            }
            HistoryError::Unfit(_) | HistoryError::Busy(_) | HistoryError::Failed(_) => failure,
        }
    }
}

impl From<FolderError> for Failure {
    fn from(error: FolderError) -> Self {
        let told = |exit: Exit| Self::new(exit, clean::line(&error.to_string()).into_owned());
        match error {
            FolderError::History(error) => error.into(),
            FolderError::File(error) => error.into(),
            FolderError::World(error) => error.into(),
            FolderError::Load(error) => error.into(),
            FolderError::Lock(_) => told(Exit::Undecided).hint("wait until it has ended, then type the command again"),
            FolderError::Git(_) => {
                told(Exit::Undecided).hint("install git, or share the binder in a folder that all can reach")
            }
            FolderError::Around(_) => {
                told(Exit::Usage).hint("copy the binder into a folder of its own, and save it there")
            }
            FolderError::Marks(_) => told(Exit::Findings)
                .hint("between the marks stand two people's lines: keep one of them, and delete the marks"),
            FolderError::TooMany => told(Exit::Undecided),
            FolderError::Nobody => told(Exit::Usage).hint("name yourself: `--as \"Carol Reyes\"`"),
            FolderError::Unsaved(_) => {
                told(Exit::Usage).hint("`matchmark save` saves them first; `matchmark undo` takes them back")
            }
            FolderError::NoFile(_) => {
                told(Exit::Usage).hint("name a file as it stands in the binder, or the number of a procedure")
            }
            FolderError::Signed(_) | FolderError::First | FolderError::Place(_) | FolderError::Taken(_) => {
                told(Exit::Usage)
            }
            FolderError::Union => told(Exit::Usage)
                .hint("`matchmark history` lists the states; `matchmark undo --to STATE` goes back to one of them"),
            FolderError::NoPlace => {
                told(Exit::Usage).hint("`matchmark sync --with FOLDER` shares it in a folder that all can reach")
            }
            FolderError::Unreached(_) => {
                told(Exit::Undecided).hint("nothing was sent; look at the network and the address, then type it again")
            }
            FolderError::Rewound(_) => told(Exit::Findings).hint("`matchmark audit` says what the signed records show"),
            FolderError::Chased => told(Exit::Undecided).hint("type the command again"),
            FolderError::EmptyPlace => {
                told(Exit::Undecided).hint("type `matchmark sync` on the computer that has the binder")
            }
        }
    }
}

impl From<BookError> for Failure {
    fn from(error: BookError) -> Self {
        match error {
            BookError::History(error) => error.into(),
            BookError::Home(error) => error.into(),
            BookError::Mark(_) => Self::new(Exit::Undecided, error.to_string()),
        }
    }
}

impl From<UnknownName> for Failure {
    fn from(error: UnknownName) -> Self {
        let failure = Self::new(Exit::Usage, error.to_string());
        match error.nearest {
            Some(nearest) => failure.hint(format!("did you mean `{nearest}`?")),
            None if error.kind == "tag" => failure.hint("the tags stand in `fleet.yaml`"),
            None => failure.hint("the number of a procedure stands behind `document:` in its first lines"),
        }
    }
}

impl From<SentencesError> for Failure {
    fn from(error: SentencesError) -> Self {
        match error {
            SentencesError::Load(error) => error.into(),
            SentencesError::Unknown(error) => error.into(),
            SentencesError::Undecided | SentencesError::Nothing { .. } => {
                Self::new(Exit::Undecided, error.to_string()).hint("`matchmark check` says what is wrong")
            }
        }
    }
}

impl From<OutputError> for Failure {
    fn from(error: OutputError) -> Self {
        let exit = match error {
            OutputError::Foreign(_) | OutputError::HoldsBinder(_) => Exit::Usage,
            OutputError::Busy(_) | OutputError::Twice(_) | OutputError::Refused { .. } => Exit::Undecided,
        };
        Self::new(exit, error.to_string())
    }
}

impl From<NamedFileError> for Failure {
    fn from(error: NamedFileError) -> Self {
        Self::new(Exit::Undecided, error.to_string())
    }
}

impl From<NewFilesError> for Failure {
    fn from(error: NewFilesError) -> Self {
        match &error {
            NewFilesError::Present(_) => {
                Self::new(Exit::Usage, error.to_string()).hint("name another folder, or move what is there away")
            }
            NewFilesError::Refused { .. } => Self::new(Exit::Undecided, error.to_string()),
        }
    }
}

impl From<NewProcedureError> for Failure {
    fn from(error: NewProcedureError) -> Self {
        let usage = Self::new(Exit::Usage, error.to_string());
        match error {
            NewProcedureError::Load(error) => error.into(),
            NewProcedureError::Write(error) => error.into(),
            NewProcedureError::Family { nearest: Some(nearest), .. } => {
                usage.hint(format!("did you mean `{nearest}`?"))
            }
            NewProcedureError::Family { .. } => usage.hint("begin the family first: a file in `families/`"),
            NewProcedureError::Number(_)
            | NewProcedureError::Taken { .. }
            | NewProcedureError::Title
            | NewProcedureError::Folder { .. } => usage,
        }
    }
}
