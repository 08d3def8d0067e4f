//! The user's own `git`, for places that only it reaches: found by its whole path, and run where no setting of a binder counts.
//!
//! It runs in an empty repository of its own that only shares the binder's objects: what a mailed binder's settings would run,
//! it never reads. What the user set for himself (how ssh is called, where passwords lie) counts.

use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Settings that let nothing run, whoever set them otherwise.
const TAMED: [&str; 10] = [
    "core.hooksPath=/dev/null",
    "core.fsmonitor=false",
    "protocol.ext.allow=never",
    "protocol.file.allow=never",
    "protocol.http.allow=never",
    "gc.auto=0",
    "maintenance.auto=false",
    "core.fsync=all",
    "transfer.fsckObjects=true",
    "push.recurseSubmodules=no",
];

/// Why git did not do what was asked.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StockGitError {
    /// There is none.
    #[error("this address is reached by `git`, and no `git` was found on this computer")]
    Missing,
    /// It could not be run.
    #[error("`git` cannot be run: {0}")]
    Failed(String),
}

/// Whether git may ask the person for a password.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asking {
    /// A person sits there.
    Person,
    /// Nobody does.
    Nobody,
}

/// What git answered. Its words come from other computers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Whether it did what was asked.
    pub is_done: bool,
    /// For programs.
    pub out: String,
    /// For people.
    pub words: String,
}

/// A git to run, and the empty repository that it runs in.
#[derive(Debug)]
pub struct StockGit {
    program: PathBuf,
    stage: tempfile::TempDir,
    objects: PathBuf,
    asking: Asking,
}

impl StockGit {
    /// Finds git and makes it a place to run in. `known` are states that the binder has: they need not be sent again.
    ///
    /// # Errors
    /// A [`StockGitError`].
    pub fn new(objects: &Path, known: &[String], asking: Asking) -> Result<Self, StockGitError> {
        let path = std::env::var_os("PATH").unwrap_or_default();
        let program = find(&path).ok_or(StockGitError::Missing)?;
        let failed = |error: io::Error| StockGitError::Failed(error.to_string());
        let stage = tempfile::tempdir().map_err(failed)?;
        let at = stage.path();
        for folder in ["objects", "refs/heads"] {
            fs::create_dir_all(at.join(folder)).map_err(failed)?;
        }
        fs::write(at.join("HEAD"), "ref: refs/heads/none\n").map_err(failed)?;
        fs::write(at.join("config"), "[core]\n\trepositoryformatversion = 0\n\tbare = true\n").map_err(failed)?;
        for (number, state) in known.iter().enumerate() {
            fs::write(at.join(format!("refs/heads/known{number}")), format!("{state}\n")).map_err(failed)?;
        }
        let objects = std::path::absolute(objects).map_err(failed)?;
        Ok(Self { program, stage, objects, asking })
    }

    /// Returns git's whole path.
    #[must_use]
    pub fn program(&self) -> &Path {
        &self.program
    }

    /// Runs git with these words.
    ///
    /// # Errors
    /// A [`StockGitError`] where it cannot be run.
    pub fn run(&self, words: &[&str]) -> Result<Answer, StockGitError> {
        let mut command = Command::new(&self.program);
        for setting in TAMED {
            command.args(["-c", setting]);
        }
        for (name, _) in std::env::vars_os().filter(|(name, _)| is_gits(name)) {
            command.env_remove(name);
        }
        command
            .args(words)
            .current_dir(self.stage.path())
            .env("LC_ALL", "C")
            .env("GIT_DIR", self.stage.path())
            .env("GIT_OBJECT_DIRECTORY", &self.objects)
            .env("GIT_NO_REPLACE_OBJECTS", "1")
            .stdin(Stdio::null());
        if self.asking == Asking::Nobody {
            command.env("GIT_TERMINAL_PROMPT", "0");
        }
        let output = command.output().map_err(|error| StockGitError::Failed(error.to_string()))?;
        Ok(Answer {
            is_done: output.status.success(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            words: String::from_utf8_lossy(&output.stderr).trim().to_owned(),
        })
    }
}

fn is_gits(name: &OsString) -> bool {
    name.to_string_lossy().to_ascii_uppercase().starts_with("GIT_")
}

/// Returns the first `git` of the folders in `path`; never one in the current folder, whichever way it is named.
fn find(path: &std::ffi::OsStr) -> Option<PathBuf> {
    let name = if cfg!(windows) { "git.exe" } else { "git" };
    let here = std::env::current_dir().ok();
    let folders = std::env::split_paths(path).filter(|folder| folder.is_absolute() && Some(folder) != here.as_ref());
    folders.map(|folder| folder.join(name)).find(|program| program.is_file())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_git_in_the_current_folder_is_never_found() {
        let folder = tempfile::tempdir().unwrap();
        let name = if cfg!(windows) { "git.exe" } else { "git" };
        fs::write(folder.path().join(name), "").unwrap();
        assert_eq!(find(folder.path().as_os_str()), Some(folder.path().join(name)));
        assert_eq!(find(std::ffi::OsStr::new(".")), None);
        assert_eq!(find(std::ffi::OsStr::new("")), None);
        assert!(is_gits(&"GIT_DIR".into()) && is_gits(&"git_dir".into()) && !is_gits(&"GITHUB".into()));
    }
}
