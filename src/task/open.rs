//! Finds the binder a command is about and opens it; it reads none of it.

use crate::model::world::WorldError;
use crate::workspace::disk::Disk;
use crate::workspace::root::{self, RootError};
use std::path::{Path, PathBuf};

/// Why a binder could not be opened.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OpenError {
    /// There is none; `nearby` are those that lie below, to be offered.
    #[error("{why}")]
    NotFound {
        /// What was looked at.
        why: RootError,
        /// Binders that lie in the folder.
        nearby: Vec<PathBuf>,
    },
    /// The folder cannot be read.
    #[error(transparent)]
    World(#[from] WorldError),
}

/// Returns the binder that `start`, a folder or a file in it, belongs to.
///
/// # Errors
/// An [`OpenError`] where there is none.
pub fn open(start: &Path) -> Result<Disk, OpenError> {
    match root::find(start) {
        Ok(folder) => Ok(Disk::open(&folder)?),
        Err(why) => Err(OpenError::NotFound { why, nearby: root::below(start) }),
    }
}
