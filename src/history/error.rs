//! Why a repository could not be read or written, in words for people who never heard of git; it knows no exit code.

use git2::{ErrorClass, ErrorCode};
use std::path::PathBuf;

/// Why the history of a binder could not be read or written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum HistoryError {
    /// The binder's folder is no repository of its own.
    #[error("the binder in `{0}` keeps no history yet")]
    None(String),
    /// The repository is kept in a way in which the program does not write.
    #[error("this binder's history cannot be used: {0}")]
    Unfit(String),
    /// Nothing was ever saved.
    #[error("nothing has been saved in this binder yet")]
    Empty,
    /// No such state.
    #[error("there is no state `{0}` in the history of this binder")]
    NoState(String),
    /// Objects are missing: what is there is not enough to decide anything.
    #[error("the history is not whole: {0}")]
    Incomplete(String),
    /// Another program is writing.
    #[error("another program is writing to this binder: {0}")]
    Busy(String),
    /// A file with which git keeps others out is in the way, and was not taken back for some seconds.
    #[error("`{}` is in the way: another program is writing to this binder, or one was interrupted while it did", .0.display())]
    Left(PathBuf),
    /// Somebody else saved in the meantime.
    #[error("the binder was saved by somebody else in the meantime; nothing was written")]
    Moved,
    /// The platform or the repository refused.
    #[error("the history cannot be read or written: {0}")]
    Failed(String),
}

impl From<git2::Error> for HistoryError {
    fn from(error: git2::Error) -> Self {
        let told = error.message().to_owned();
        match (error.code(), error.class()) {
            (ErrorCode::Locked, _) => lock_in(&told).map_or(Self::Busy(told), Self::Left),
            (ErrorCode::Modified, _) => Self::Moved,
            (ErrorCode::NotFound, ErrorClass::Odb) => Self::Incomplete(told),
            (ErrorCode::Owner, _) => Self::Unfit(format!("it belongs to another user of this computer ({told})")),
            _ => Self::Failed(told),
        }
    }
}

/// Returns the lock file that git's words name.
fn lock_in(told: &str) -> Option<PathBuf> {
    let named = told.split('\'').nth(1).filter(|path| !path.is_empty())?;
    Some(PathBuf::from(if named.rsplit_once('.').is_some_and(|(_, end)| end == "lock") {
        named.to_owned()
    } else {
        format!("{named}.lock")
    }))
}
