//! The outside as a binder sees it: a few files to list and read; it knows neither disk nor git.

use crate::base::date::Date;
use crate::base::path::BinderPath;

/// Where a binder's bytes come from: a folder, a revision, or a map in a test.
pub trait World: Sync {
    /// Returns every file of the binder, sorted by path, and what could not be taken in.
    ///
    /// # Errors
    /// A [`WorldError`] where the root itself cannot be listed.
    fn list(&self) -> Result<Listing, WorldError>;

    /// Returns the bytes of one file, reading no more than `most` of them.
    ///
    /// # Errors
    /// A [`WorldError`] where the file is missing, larger than `most`, or cannot be read.
    fn read(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError>;

    /// Returns the first bytes of one file, `most` of them at most, however large it is.
    ///
    /// # Errors
    /// A [`WorldError`] where the file is missing or cannot be read.
    fn head(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError>;

    /// Returns today's date in UTC. Only a judgement of what has run out may ask for it; nothing that is printed holds it.
    ///
    /// # Errors
    /// A [`WorldError`] where the date was given from outside and cannot be read.
    fn today(&self) -> Result<Date, WorldError>;
}

/// The files of a binder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Listing {
    /// Files in order of their paths.
    pub files: Vec<BinderPath>,
    /// Names that were passed over, in order, each with the reason.
    pub refused: Vec<Refused>,
}

impl Listing {
    /// Returns whether the binder holds this file.
    #[must_use]
    pub fn has(&self, path: &BinderPath) -> bool {
        self.files.binary_search(path).is_ok()
    }
}

/// A name in the folder that is no part of the binder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Refused {
    /// The name as found, with `/`.
    pub name: String,
    /// Why it was passed over.
    pub why: Refusal,
}

/// Why a name was passed over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum Refusal {
    /// A symbolic link: it may loop or lead out of the binder.
    #[error("it is a link; a binder holds files, not links")]
    Link,
    /// A name that some platform cannot hold.
    #[error("Windows or another platform cannot hold this name")]
    Name,
    /// Two names that differ only in upper and lower case.
    #[error("another name differs from it only in upper and lower case")]
    CaseTwin,
    /// Folders nested deeper than the limit.
    #[error("it lies more than {} folders deep", crate::base::limits::FOLDERS)]
    Depth,
    /// Neither file nor folder (a socket, a device).
    #[error("it is neither a file nor a folder")]
    Special,
    /// The file or folder cannot be read.
    #[error("it cannot be read; look at its permissions")]
    Unreadable,
    /// More files than the limit.
    #[error("the binder holds more than {} files", crate::base::limits::FILES)]
    TooMany,
}

/// Why a binder could not be read at all, or one of its files.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WorldError {
    /// No such file.
    #[error("`{0}` is not there")]
    Missing(String),
    /// Larger than was asked for.
    #[error("`{path}` is larger than the limit of {limit} bytes")]
    TooLarge {
        /// The file.
        path: String,
        /// The limit.
        limit: u64,
    },
    /// Nobody can say what day it is.
    #[error("today's date cannot be told: {0}")]
    NoDate(String),
    /// The platform refused.
    #[error("`{path}` cannot be read: {reason}")]
    Unreadable {
        /// The file.
        path: String,
        /// What the platform said.
        reason: String,
    },
}
