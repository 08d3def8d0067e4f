//! What the program keeps for one user outside of every binder: private keys, and what was seen and believed last; it reads neither.

use crate::workspace::named_file::{self, NamedFileError};
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// The user's own folders; both may be missing until something is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Home {
    /// For keys (`~/.config/matchmark`).
    pub config: PathBuf,
    /// For what was seen last (`~/.local/state/matchmark`).
    pub state: PathBuf,
}

impl Home {
    /// Returns where the private key called `name` is or would be.
    #[must_use]
    pub fn key(&self, name: &str) -> PathBuf {
        self.config.join("keys").join(name)
    }

    /// Returns the names of the private keys that are kept here, sorted.
    #[must_use]
    pub fn keys(&self) -> Vec<String> {
        let Ok(found) = fs::read_dir(self.config.join("keys")) else { return Vec::new() };
        let names = found.flatten().filter_map(|entry| entry.file_name().into_string().ok());
        let mut names: Vec<String> =
            names.filter(|name| !name.starts_with('.') && Path::new(name).extension().is_none()).collect();
        names.sort();
        names
    }

    /// Keeps a new private key that only its user may read, and its public half beside it; nothing is ever written over.
    ///
    /// # Errors
    /// A [`NamedFileError`] where one of that name is there, or the platform refuses.
    pub fn keep_key(&self, name: &str, private: &str, public: &str) -> Result<PathBuf, NamedFileError> {
        let path = self.key(name);
        let no = |reason: String| NamedFileError::Unwritable { path: path.clone(), reason };
        if path.symlink_metadata().is_ok() {
            return Err(no("there is one already, and a key is never written over".to_owned()));
        }
        let folder = path.parent().expect("a key lies in a folder");
        fs::create_dir_all(folder).map_err(|error| no(error.to_string()))?;
        named_file::write(&path.with_extension("pub"), public.as_bytes())?;
        // A temporary file is readable by its user alone, from its first moment on.
        let mut staged = tempfile::NamedTempFile::new_in(folder).map_err(|error| no(error.to_string()))?;
        staged.write_all(private.as_bytes()).map_err(|error| no(error.to_string()))?;
        staged.as_file().sync_all().map_err(|error| no(error.to_string()))?;
        staged.persist_noclobber(&path).map_err(|error| no(error.error.to_string()))?;
        named_file::sync_folder(folder);
        Ok(path)
    }

    /// Returns what is remembered under a name; none where nothing is.
    ///
    /// # Errors
    /// A [`NamedFileError`] where something is remembered and cannot be read: that is not the same as nothing.
    pub fn remembered(&self, name: &str) -> Result<Option<Vec<u8>>, NamedFileError> {
        match named_file::read(&self.state.join(name)) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(NamedFileError::Missing(_)) => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// Remembers bytes under a name in place of what was there; they are on the disk when this returns.
    ///
    /// # Errors
    /// A [`NamedFileError`] where the platform refuses.
    pub fn remember(&self, name: &str, bytes: &[u8]) -> Result<(), NamedFileError> {
        let path = self.state.join(name);
        fs::create_dir_all(&self.state)
            .map_err(|error| NamedFileError::Unwritable { path: path.clone(), reason: error.to_string() })?;
        named_file::write(&path, bytes)?;
        named_file::sync_folder(&self.state);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_kept_once_and_for_one_user() {
        let folder = tempfile::tempdir().unwrap();
        let home = Home { config: folder.path().join("config"), state: folder.path().join("state") };
        assert_eq!(home.keys(), Vec::<String>::new());
        let path = home.keep_key("carol", "private", "public\n").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "private");
        assert_eq!(home.keys(), ["carol"]);
        assert!(home.keep_key("carol", "other", "other").is_err());
        assert_eq!(fs::read_to_string(&path).unwrap(), "private");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn what_is_remembered_is_the_last_that_was_said() {
        let folder = tempfile::tempdir().unwrap();
        let home = Home { config: folder.path().join("config"), state: folder.path().join("state") };
        assert_eq!(home.remembered("a.mark").unwrap(), None);
        home.remember("a.mark", b"1").unwrap();
        home.remember("a.mark", b"2").unwrap();
        assert_eq!(home.remembered("a.mark").unwrap().as_deref(), Some(&b"2"[..]));
        fs::create_dir(home.state.join("b.mark")).unwrap();
        assert!(home.remembered("b.mark").is_err());
    }
}
