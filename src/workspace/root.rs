//! Finds the folder of a binder; it knows nothing of what a binder holds but the name of its first file.

use std::fs;
use std::path::{Component, Path, PathBuf};

/// The file that makes a folder a binder.
pub const MARKER: &str = "binder.yaml";

/// Why no binder was found.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RootError {
    /// The path that was given does not exist.
    #[error("`{}` is not there", .0.display())]
    Missing(PathBuf),
    /// Neither the folder nor one above it is a binder.
    #[error("there is no binder in {} or above it: no `{MARKER}` was found", words(.0))]
    NoBinder(PathBuf),
}

/// Returns how a folder is called in a message.
fn words(folder: &Path) -> String {
    if folder == Path::new(".") { "this folder".to_owned() } else { format!("`{}`", folder.display()) }
}

/// Returns the folder of the binder that `start` is, or lies in.
///
/// `start` may be any folder or file of the binder, as seen from the working folder.
///
/// # Errors
/// A [`RootError`] where `start` is missing or lies in no binder.
pub fn find(start: &Path) -> Result<PathBuf, RootError> {
    if start.join(MARKER).is_file() {
        return Ok(start.to_owned());
    }
    if !start.exists() {
        return Err(RootError::Missing(start.to_owned()));
    }
    let found = whole(start).ancestors().find(|folder| folder.join(MARKER).is_file()).map(Path::to_owned);
    found.ok_or_else(|| RootError::NoBinder(start.to_owned()))
}

/// Returns `path` from the top of the disk, without `.` and `..`, whether or not anything is there.
///
/// It does not ask the disk, which on Windows would answer in a spelling that many programs refuse.
#[must_use]
pub fn whole(path: &Path) -> PathBuf {
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let mut whole = PathBuf::new();
    for part in absolute.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                whole.pop();
            }
            other => whole.push(other),
        }
    }
    whole
}

/// Returns the binders that lie directly or one folder deeper in `folder`, sorted, to be offered where `folder` is none.
#[must_use]
pub fn below(folder: &Path) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> = folders(folder)
        .flat_map(|one| std::iter::once(one.clone()).chain(folders(&one)).collect::<Vec<_>>())
        .filter(|one| one.join(MARKER).is_file())
        .collect();
    // What is found in `.` is called as it would be typed.
    for one in &mut found {
        *one = one.strip_prefix(".").unwrap_or(one).to_owned();
    }
    found.sort();
    found
}

fn folders(folder: &Path) -> impl Iterator<Item = PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    entries.filter(|entry| entry.file_type().is_ok_and(|kind| kind.is_dir())).map(|entry| entry.path())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_climbs_to_the_binder_and_offers_those_below() {
        let folder = tempfile::tempdir().unwrap();
        let binder = folder.path().join("procedures/creamery");
        fs::create_dir_all(binder.join("seals")).unwrap();
        fs::write(binder.join(MARKER), "").unwrap();
        fs::write(binder.join("seals/a.md"), "").unwrap();
        assert_eq!(find(&binder), Ok(binder.clone()));
        assert_eq!(find(&binder.join("seals")), Ok(binder.clone()));
        assert_eq!(find(&binder.join("seals/a.md")), Ok(binder.clone()));
        assert_eq!(find(folder.path()), Err(RootError::NoBinder(folder.path().to_owned())));
        // The folder above a binder is not the binder.
        assert_eq!(find(&binder.join("..")), Err(RootError::NoBinder(binder.join(".."))));
        assert_eq!(below(folder.path()), std::slice::from_ref(&binder));
        assert_eq!(find(&binder.join("none")), Err(RootError::Missing(binder.join("none"))));
    }
}
