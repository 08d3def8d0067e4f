//! One file that the user names, in or beside a binder: read within a limit, written as a whole or not at all; it does not
//! know what it says.

use std::fs::{self, File};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

/// The most bytes that are read.
const MOST: u64 = 64 << 20;

/// Why a file was not read or written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NamedFileError {
    /// It is not there.
    #[error("`{}` is not there", .0.display())]
    Missing(PathBuf),
    /// The platform refused to read it, or it is no plain file or far too large.
    #[error("`{}` cannot be read: {reason}", .path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the platform said.
        reason: String,
    },
    /// The platform refused to write it; what was there before is still there.
    #[error("cannot write `{}`: {reason}; what was there is still there", .path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What the platform said.
        reason: String,
    },
}

/// Returns the bytes of a file.
///
/// # Errors
/// A [`NamedFileError`] where it is not there, is no plain file, or cannot be read.
pub fn read(path: &Path) -> Result<Vec<u8>, NamedFileError> {
    let failed = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => NamedFileError::Missing(path.to_owned()),
        _ => unreadable(path, &error.to_string()),
    };
    // A pipe or a device would block or never end.
    if !fs::metadata(path).map_err(failed)?.is_file() {
        return Err(unreadable(path, "it is not a file"));
    }
    let mut bytes = Vec::new();
    File::open(path).map_err(failed)?.take(MOST + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > MOST { Err(unreadable(path, "it is far too large")) } else { Ok(bytes) }
}

/// Writes a file: afterwards it is wholly the new one, or wholly the old one.
///
/// # Errors
/// A [`NamedFileError`] where the platform refuses.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), NamedFileError> {
    whole(path, bytes).map_err(|error| NamedFileError::Unwritable { path: path.to_owned(), reason: error.to_string() })
}

fn whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    // Others who share the folder read it too, as they read every other file of it.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut staged = builder.tempfile_in(folder)?;
    staged.write_all(bytes)?;
    staged.as_file().sync_all()?;
    staged.persist(path).map_err(|error| error.error)?;
    Ok(())
}

/// Asks the platform to put the names in a folder onto the disk; where it cannot, the names follow later by themselves.
pub(crate) fn sync_folder(folder: &Path) {
    #[cfg(unix)]
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = folder;
}

fn unreadable(path: &Path, reason: &str) -> NamedFileError {
    NamedFileError::Unreadable { path: path.to_owned(), reason: reason.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_old_one_or_the_new_one() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("known.json");
        assert_eq!(read(&path), Err(NamedFileError::Missing(path.clone())));
        write(&path, b"one").unwrap();
        write(&path, b"two").unwrap();
        assert_eq!(read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing is left beside it");
        assert!(matches!(read(folder.path()), Err(NamedFileError::Unreadable { .. })));
        let inside = path.join("x.json");
        assert!(matches!(write(&inside, b"x"), Err(NamedFileError::Unwritable { .. })));
        assert_eq!(read(&path).unwrap(), b"two");
    }
}
