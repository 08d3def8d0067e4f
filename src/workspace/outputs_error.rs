//! Why outputs could not be written, in words that say what to do; it touches no disk.

use std::io;
use std::path::{Path, PathBuf};

/// Why outputs could not be written. The last good outputs are then still in place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OutputError {
    /// The folder holds something else.
    #[error("`{}` is not empty and was not written by this program; name an empty or a new folder with `--out`", .0.display())]
    Foreign(PathBuf),
    /// The folder is the binder, or the binder lies in it.
    #[error("`{}` holds the binder itself; name another folder with `--out`, for example `out`", .0.display())]
    HoldsBinder(PathBuf),
    /// Another build is writing there.
    #[error("another build is writing into `{}`; wait until it has finished, or name another folder with `--out`", .0.display())]
    Busy(PathBuf),
    /// Two outputs would have the same name, at least on a disk that knows no upper and lower case.
    #[error("two outputs would both be called `{0}`; rename one of the tags or documents")]
    Twice(String),
    /// The platform refused.
    #[error("cannot {doing} `{}`: {reason}; {remedy}", .path.display())]
    Refused {
        /// What was tried (`write`).
        doing: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What went wrong.
        reason: String,
        /// What to do.
        remedy: &'static str,
    },
}

/// The codes Windows gives where another program holds a file: a sharing violation, and a locked range.
const HELD: [i32; 2] = [32, 33];

impl OutputError {
    /// Returns the error for what the platform answered when `path` was to be written, moved or removed.
    pub(crate) fn refused(doing: &'static str, path: &Path, error: &io::Error) -> Self {
        let held = cfg!(windows) && error.raw_os_error().is_some_and(|code| HELD.contains(&code));
        let (reason, remedy) = match error.kind() {
            _ if held => ("it is open in another program".to_owned(), "close it there and build again"),
            io::ErrorKind::PermissionDenied => (
                "permission denied".to_owned(),
                "close it if it is open in a viewer, or choose a folder you may write to with `--out`",
            ),
            io::ErrorKind::ReadOnlyFilesystem => {
                ("the disk is read-only".to_owned(), "choose a folder on another disk with `--out`")
            }
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                ("the disk is full".to_owned(), "make room and build again; what was built before is still there")
            }
            io::ErrorKind::NotADirectory | io::ErrorKind::IsADirectory | io::ErrorKind::DirectoryNotEmpty => (
                "a file stands where a folder is needed, or the other way round".to_owned(),
                "move it away and build again",
            ),
            _ => (error.to_string(), "build again; what was built before is still there"),
        };
        Self::Refused { doing, path: path.to_owned(), reason, remedy }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_is_said_in_plain_words() {
        let error = OutputError::refused("write", Path::new("out/x.pdf"), &io::Error::from(io::ErrorKind::StorageFull));
        assert_eq!(
            error.to_string(),
            "cannot write `out/x.pdf`: the disk is full; make room and build again; what was built before is still there"
        );
    }
}
