//! What in a repository shows other objects, another order or less than there is; it is looked for, never followed.

use crate::base::path::is_protected;
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
        // A second open folder of the same repository keeps some of this beside the first one's.
        let has = |name: &str| self.git.commondir().join(name).exists() || self.git.path().join(name).exists();
        if has("info/grafts") {
            let told = "git would take states for others' successors than they name themselves";
            verdicts.push(Verdict::new(Code::Graft, "info/grafts", told));
        }
        if self.git.is_shallow() || has("shallow") {
            let told = "this copy begins in the middle of the history; `git fetch --unshallow` brings the rest";
            verdicts.push(Verdict::new(Code::Partial, "shallow", told));
        }
        if has("objects/info/alternates") {
            let told = "parts of the history lie in another folder, so this copy is not whole by itself; \
                        `git repack -a -d` brings them here, then remove that file";
            verdicts.push(Verdict::new(Code::Partial, "objects/info/alternates", told));
        }
        if self.promises() {
            let told = "this copy may lack the contents of files (a partial clone); nothing is fetched by itself";
            verdicts.push(Verdict::new(Code::Partial, "partial clone", told));
        }
        verdicts.extend(self.unmerged());
        for reference in self.git.references_glob("refs/tags/rel/*")? {
            let name = reference?.name().unwrap_or("refs/tags/?").to_owned();
            verdicts.push(Verdict::new(Code::Tag, name, "a tag can be moved and still verify; nothing rests on it"));
        }
        Ok(verdicts)
    }

    /// Tells whether a remote promises objects that are not here.
    fn promises(&self) -> bool {
        let Ok(config) = self.git.config() else { return false };
        let Ok(mut entries) = config.entries(Some("^remote\\..*\\.(promisor|partialclonefilter)$")) else {
            return false;
        };
        entries.next().is_some()
    }

    /// Returns which protected files stand in a merge that nobody finished; what was saved before holds no trace of it.
    fn unmerged(&self) -> Vec<Verdict> {
        let Ok(index) = self.git.index() else { return Vec::new() };
        let Ok(conflicts) = index.conflicts() else { return Vec::new() };
        let sides = conflicts.flatten().filter_map(|conflict| conflict.our.or(conflict.their).or(conflict.ancestor));
        let paths =
            sides.map(|side| String::from_utf8_lossy(&side.path).into_owned()).filter(|path| is_protected(path));
        let told = "it stands in a merge that was begun and not finished; nothing was read from it. Two people released or \
                    signed at the same time: `git merge --abort` goes back to what was saved";
        paths.map(|path| Verdict::new(Code::Merge, path, told)).collect()
    }
}
