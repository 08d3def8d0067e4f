//! Single files of the open folder: what stands at a path, written whole or not at all, taken away; it does not know why.

use crate::workspace::named_file::{self, NamedFileError};
use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// What stands at a path of the open folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stands {
    /// Nothing.
    Nothing,
    /// A plain file with these bytes.
    File(Vec<u8>),
    /// Something else: a folder, a link, a file that is too large or cannot be read.
    Other,
}

/// Returns what stands at `path` below `folder`; nothing is read through a link.
#[must_use]
pub fn stands(folder: &Path, path: &str) -> Stands {
    let mut place = folder.to_owned();
    for part in path.split('/') {
        place.push(part);
        match fs::symlink_metadata(&place) {
            Ok(found) if found.is_symlink() => return Stands::Other,
            Ok(_) => {}
            Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
                return Stands::Nothing;
            }
            Err(_) => return Stands::Other,
        }
    }
    named_file::read(&place).map_or(Stands::Other, Stands::File)
}

/// Writes a file below `folder`: afterwards it is wholly the new one or wholly the old one, and may be run if the old one could.
///
/// # Errors
/// A [`NamedFileError`] where the platform refuses, or a link leads elsewhere.
pub fn write(folder: &Path, path: &str, bytes: &[u8]) -> Result<(), NamedFileError> {
    let place = place(folder, path);
    let no = |reason: String| NamedFileError::Unwritable { path: place.clone(), reason };
    let within = place.parent().expect("a file lies in a folder");
    let mut way = folder.to_owned();
    for part in path.split('/') {
        way.push(part);
        if fs::symlink_metadata(&way).is_ok_and(|found| found.is_symlink()) {
            return Err(no("a link stands there, and nothing is written through one".to_owned()));
        }
    }
    fs::create_dir_all(within).map_err(|error| no(error.to_string()))?;
    let mode = fs::metadata(&place).map(|found| found.permissions()).ok();
    named_file::write(&place, bytes)?;
    if let Some(mode) = mode {
        let _ = fs::set_permissions(&place, mode);
    }
    named_file::sync_folder(within);
    Ok(())
}

/// Takes a file below `folder` away, and the folders that are empty then.
///
/// # Errors
/// A [`NamedFileError`] where the platform refuses.
pub fn remove(folder: &Path, path: &str) -> Result<(), NamedFileError> {
    let place = place(folder, path);
    match fs::remove_file(&place) {
        Ok(()) => {}
        Err(error) if error.kind() == ErrorKind::NotFound => {}
        Err(error) => return Err(NamedFileError::Unwritable { path: place, reason: error.to_string() }),
    }
    let above = place.ancestors().skip(1).take_while(|one| *one != folder);
    // Stops at the first folder that holds anything.
    let _ = above.take_while(|one| fs::remove_dir(one).is_ok()).count();
    Ok(())
}

/// Lets `make` make something in a folder aside, and then puts `name` of it into `folder` in one go: there as a whole or not at
/// all. What is there already stays.
///
/// # Errors
/// What `make` returned, or a [`NamedFileError`] where the platform refuses.
pub fn begin<E: From<NamedFileError>>(
    folder: &Path,
    name: &str,
    make: impl FnOnce(&Path) -> Result<(), E>,
) -> Result<(), E> {
    let no = |error: io::Error| NamedFileError::Unwritable { path: folder.join(name), reason: error.to_string() };
    let staged = tempfile::tempdir_in(folder).map_err(no)?;
    make(staged.path())?;
    let place = folder.join(name);
    match fs::rename(staged.path().join(name), &place) {
        Ok(()) => named_file::sync_folder(folder),
        // Somebody else began it at the same time.
        Err(_) if place.exists() => {}
        Err(error) => return Err(no(error).into()),
    }
    Ok(())
}

/// Returns whether a folder is missing or holds nothing.
#[must_use]
pub fn is_free(folder: &Path) -> bool {
    match fs::read_dir(folder) {
        Ok(mut entries) => entries.next().is_none(),
        Err(error) => error.kind() == ErrorKind::NotFound,
    }
}

/// Returns whether a folder is there.
#[must_use]
pub fn is_folder(folder: &Path) -> bool {
    folder.is_dir()
}

/// Makes a folder that is missing.
///
/// # Errors
/// A [`NamedFileError`] where the platform refuses.
pub fn make(folder: &Path) -> Result<(), NamedFileError> {
    fs::create_dir_all(folder)
        .map_err(|error| NamedFileError::Unwritable { path: folder.to_owned(), reason: error.to_string() })
}

fn place(folder: &Path, path: &str) -> PathBuf {
    path.split('/').fold(folder.to_owned(), |place, part| place.join(part))
}
