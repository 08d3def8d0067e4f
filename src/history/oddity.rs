//! What in a repository shows other objects, another order or less than there is; it is looked for, never followed.

use crate::history::error::HistoryError;
use crate::history::repo::Repo;
use crate::trust::verdict::{Code, Verdict};

impl Repo {
    /// Returns what of the repository's own settings and names could show something else than was saved.
    ///
    /// libgit2 reads no replaced objects; stock git would, so that two people would see two things.
    ///
    /// # Errors
    /// A [`HistoryError`] where the references cannot be listed.
    pub fn oddities(&self) -> Result<Vec<Verdict>, HistoryError> {
        let mut verdicts = Vec::new();
        for reference in self.git.references_glob("refs/replace/*")? {
            let name = reference?.name().unwrap_or("refs/replace/?").to_owned();
            let told = "git would show another object in place of this one; nothing here was read through it";
            verdicts.push(Verdict::new(Code::Replace, name, told));
        }
        let grafts = self.git.path().join("info").join("grafts");
        if grafts.exists() {
            let told = "git would take states for others' successors than they name themselves";
            verdicts.push(Verdict::new(Code::Graft, "info/grafts", told));
        }
        if self.git.is_shallow() || self.git.path().join("shallow").exists() {
            let told = "this copy begins in the middle of the history; `git fetch --unshallow` brings the rest";
            verdicts.push(Verdict::new(Code::Partial, "shallow", told));
        }
        for reference in self.git.references_glob("refs/tags/rel/*")? {
            let name = reference?.name().unwrap_or("refs/tags/?").to_owned();
            verdicts.push(Verdict::new(Code::Tag, name, "a tag can be moved and still verify; nothing rests on it"));
        }
        Ok(verdicts)
    }
}
