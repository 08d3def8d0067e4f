//! Writes files that begin something new, and never over anything that is there; it does not know what they say.

use crate::base::path::BinderPath;
use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// Why nothing was written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NewFilesError {
    /// Files of these names are there already.
    #[error("`{}` is there already; nothing was written", .0[0].display())]
    Present(Vec<PathBuf>),
    /// The platform refused.
    #[error("cannot write `{}`: {reason}; nothing was written", .path.display())]
    Refused {
        /// The file.
        path: PathBuf,
        /// What the platform said.
        reason: String,
    },
}

/// Writes all of `files` below `folder`, or none of them, and returns where they are.
///
/// # Errors
/// A [`NewFilesError`] where one of them is there already or cannot be written.
pub fn write(folder: &Path, files: &[(BinderPath, Vec<u8>)]) -> Result<Vec<PathBuf>, NewFilesError> {
    let places: Vec<PathBuf> = files.iter().map(|(path, _)| place(folder, path)).collect();
    let present: Vec<PathBuf> = places.iter().filter(|place| place.symlink_metadata().is_ok()).cloned().collect();
    if !present.is_empty() {
        return Err(NewFilesError::Present(present));
    }
    let mut begun = Begun::default();
    for (place, (_, bytes)) in places.iter().zip(files) {
        begun
            .write(place, bytes)
            .map_err(|error| NewFilesError::Refused { path: place.clone(), reason: error.to_string() })?;
    }
    begun.finish();
    Ok(places)
}

/// Writes `files` below `folder`, replacing what this program wrote there before; returns where they are.
///
/// Only for files whose content is the program's own and never an author's.
///
/// # Errors
/// A [`NewFilesError`] where one cannot be written; each one is then either old or new, never half.
pub fn replace(folder: &Path, files: &[(BinderPath, Vec<u8>)]) -> Result<Vec<PathBuf>, NewFilesError> {
    let mut places = Vec::new();
    for (path, bytes) in files {
        let place = place(folder, path);
        whole_file(&place, bytes)
            .map_err(|error| NewFilesError::Refused { path: place.clone(), reason: error.to_string() })?;
        places.push(place);
    }
    Ok(places)
}

fn whole_file(place: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = place.parent().expect("a file has a folder");
    fs::create_dir_all(folder)?;
    let mut staged = tempfile::NamedTempFile::new_in(folder)?;
    staged.write_all(bytes)?;
    staged.persist(place).map_err(|error| error.error)?;
    Ok(())
}

fn place(folder: &Path, path: &BinderPath) -> PathBuf {
    path.as_str().split('/').fold(folder.to_owned(), |place, part| place.join(part))
}

/// What has been made so far; taken away again unless it is finished.
#[derive(Default)]
struct Begun {
    files: Vec<PathBuf>,
    folders: Vec<PathBuf>,
}

impl Begun {
    fn write(&mut self, place: &Path, bytes: &[u8]) -> io::Result<()> {
        let folder = place.parent().expect("a file has a folder");
        let mut missing: Vec<PathBuf> = folder
            .ancestors()
            .take_while(|one| !one.as_os_str().is_empty() && !one.exists())
            .map(Path::to_owned)
            .collect();
        missing.reverse();
        fs::create_dir_all(folder)?;
        self.folders.append(&mut missing);
        let mut file = File::create_new(place)?;
        self.files.push(place.to_owned());
        file.write_all(bytes)
    }

    fn finish(mut self) {
        self.files.clear();
        self.folders.clear();
    }
}

impl Drop for Begun {
    fn drop(&mut self) {
        for file in self.files.iter().rev() {
            let _ = fs::remove_file(file);
        }
        for folder in self.folders.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(names: &[&str]) -> Vec<(BinderPath, Vec<u8>)> {
        names.iter().map(|name| (BinderPath::parse(name).unwrap(), name.as_bytes().to_vec())).collect()
    }

    #[test]
    fn nothing_is_overwritten_and_nothing_is_half_written() {
        let folder = tempfile::tempdir().unwrap();
        let new = folder.path().join("new/binder");
        let places = write(&new, &files(&["binder.yaml", "seals/a.md"])).unwrap();
        assert_eq!(places, [new.join("binder.yaml"), new.join("seals/a.md")]);
        assert_eq!(fs::read(new.join("seals/a.md")).unwrap(), b"seals/a.md");
        let error = write(&new, &files(&["crib.yaml", "seals/a.md"])).unwrap_err();
        assert_eq!(error, NewFilesError::Present(vec![new.join("seals/a.md")]));
        assert!(!new.join("crib.yaml").exists());
    }

    #[test]
    fn what_was_begun_is_taken_away_when_a_file_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("seals"), "a file where a folder is needed").unwrap();
        let error = write(folder.path(), &files(&["families/pa.yaml", "seals/a.md"])).unwrap_err();
        assert!(matches!(error, NewFilesError::Refused { .. }), "{error:?}");
        assert!(!folder.path().join("families").exists());
    }

    #[test]
    fn the_programs_own_files_may_be_renewed() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.json"), "old").unwrap();
        replace(folder.path(), &files(&["a.json"])).unwrap();
        assert_eq!(fs::read(folder.path().join("a.json")).unwrap(), b"a.json");
    }
}
