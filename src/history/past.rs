//! What was saved, by whom, when and with which words: state by state, and line by line of one file.

use crate::history::error::HistoryError;
use crate::history::repo::{Repo, StateId};
use git2::{BlameOptions, Commit, Delta, Sort};

/// One state, for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saved {
    /// The state.
    pub state: StateId,
    /// Seconds since 1970.
    pub second: i64,
    /// Who saved it.
    pub who: String,
    /// With which words.
    pub words: String,
    /// What it touched, held against the state before it, in order of the paths.
    pub files: Vec<Touched>,
    /// How many states stand before it: none before the first, two where two lines came together.
    pub before: usize,
}

/// A file that a state touched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Touched {
    /// The file.
    pub path: String,
    /// What was done to it.
    pub deed: Deed,
}

/// What was done to a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deed {
    /// It is new.
    New,
    /// It is other than before.
    Changed,
    /// It was taken away.
    Gone,
}

/// Who wrote a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineOf {
    /// The line, from 1.
    pub line: usize,
    /// What it says.
    pub text: String,
    /// The state that brought it.
    pub state: StateId,
    /// Seconds since 1970.
    pub second: i64,
    /// Who saved it.
    pub who: String,
    /// With which words.
    pub words: String,
}

impl Repo {
    /// Returns what is known of one state.
    ///
    /// # Errors
    /// A [`HistoryError`] where it is missing.
    pub fn saved(&self, state: StateId) -> Result<Saved, HistoryError> {
        let commit = self.whole()?.find_commit(state.0)?;
        let author = commit.author();
        Ok(Saved {
            state,
            second: author.when().seconds(),
            who: String::from_utf8_lossy(author.name_bytes()).into_owned(),
            words: String::from_utf8_lossy(commit.message_bytes()).trim().to_owned(),
            files: self.touched(&commit)?,
            before: commit.parent_count(),
        })
    }

    fn touched(&self, commit: &Commit<'_>) -> Result<Vec<Touched>, HistoryError> {
        let before = commit.parents().next().map(|before| before.tree()).transpose()?;
        let diff = self.whole()?.diff_tree_to_tree(before.as_ref(), Some(&commit.tree()?), None)?;
        let touched = |delta: git2::DiffDelta<'_>| {
            let path = delta.new_file().path_bytes().or_else(|| delta.old_file().path_bytes())?;
            let deed = match delta.status() {
                Delta::Added => Deed::New,
                Delta::Deleted => Deed::Gone,
                _ => Deed::Changed,
            };
            Some(Touched { path: String::from_utf8_lossy(path).into_owned(), deed })
        };
        Ok(diff.deltas().filter_map(touched).collect())
    }

    /// Returns the states up to `state`, the newest first, `most` of them at most; only those that touched `path` where one
    /// is given.
    ///
    /// # Errors
    /// A [`HistoryError`] where a state is missing.
    pub fn past(&self, state: StateId, path: Option<&str>, most: usize) -> Result<Vec<Saved>, HistoryError> {
        let mut walk = self.whole()?.revwalk()?;
        walk.set_sorting(Sort::TOPOLOGICAL | Sort::TIME)?;
        walk.push(state.0)?;
        let mut found = Vec::new();
        for id in walk {
            if found.len() == most {
                break;
            }
            let commit = self.git.find_commit(id?)?;
            if let Some(path) = path {
                let of = |commit: &Commit<'_>| {
                    commit.tree().ok().and_then(|tree| tree.get_path(path.as_ref()).ok().map(|entry| entry.id()))
                };
                let own = of(&commit);
                let is_old = commit.parents().any(|before| of(&before) == own);
                if is_old || (commit.parent_count() == 0 && own.is_none()) {
                    continue;
                }
            }
            found.push(self.saved(StateId(commit.id()))?);
        }
        Ok(found)
    }

    /// Returns who wrote the lines `first` to `last` of a file as it was saved last.
    ///
    /// # Errors
    /// A [`HistoryError`] where the file was never saved.
    pub fn lines(&self, path: &str, first: usize, last: usize) -> Result<Vec<LineOf>, HistoryError> {
        let tip = self.last()?;
        let git = self.whole()?;
        let tree = git.find_commit(tip.0)?.tree()?;
        let entry = tree.get_path(path.as_ref()).map_err(|_| HistoryError::NoState(path.to_owned()))?;
        let blob = git.find_blob(entry.id())?;
        let text = String::from_utf8_lossy(blob.content()).into_owned();
        let count = text.lines().count();
        let last = last.min(count);
        if first > last {
            return Ok(Vec::new());
        }
        let mut options = BlameOptions::new();
        options.newest_commit(tip.0).min_line(first).max_line(last);
        let blame = git.blame_file(path.as_ref(), Some(&mut options))?;
        let mut lines = Vec::new();
        for (number, text) in text.lines().enumerate().skip(first - 1).take(last + 1 - first) {
            let Some(hunk) = blame.get_line(number + 1) else { continue };
            let commit = git.find_commit(hunk.final_commit_id())?;
            let author = commit.author();
            lines.push(LineOf {
                line: number + 1,
                text: text.to_owned(),
                state: StateId(commit.id()),
                second: author.when().seconds(),
                who: String::from_utf8_lossy(author.name_bytes()).into_owned(),
                words: commit.summary().ok().flatten().unwrap_or_default().to_owned(),
            });
        }
        Ok(lines)
    }
}
