//! The one point at which a new state of a binder counts: everything is written aside, then one reference moves or does not.

use crate::history::error::HistoryError;
use crate::history::listing::Objects;
use crate::history::loose::Loose;
use crate::history::repo::{Repo, StateId};
use git2::build::{CheckoutBuilder, TreeUpdateBuilder};
use git2::{ErrorCode, FileMode, Signature, Time, Tree};
use std::collections::BTreeMap;
use std::thread;
use std::time::Duration;

/// How often a lock of another program is tried again, and how long between.
pub(super) const TRIES: u32 = 100;
pub(super) const WAIT: Duration = Duration::from_millis(50);
/// The mode of a file that may be run.
const PROGRAM: i32 = 0o100_755;

/// Who made a state, and when, as the history shows it. Nothing is decided by either.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Author {
    /// The name.
    pub name: String,
    /// The address; git wants one, whatever it is.
    pub address: String,
    /// Seconds since 1970 in UTC.
    pub second: i64,
}

/// Files that are new, other or gone, by path.
pub type Files = BTreeMap<String, Option<Vec<u8>>>;

impl Author {
    fn signature(&self) -> Result<Signature<'static>, HistoryError> {
        Ok(Signature::new(&self.name, &self.address, &Time::new(self.second, 0))?)
    }
}

impl Repo {
    /// Makes the state that follows `base`, with these files new, other or gone, and lets the binder follow it.
    ///
    /// Until the last step nothing has happened; after it everything has. The open folder is not touched.
    ///
    /// # Errors
    /// [`HistoryError::Moved`] where `base` is no longer the last state; nothing was written then.
    pub fn put(
        &self,
        base: Option<StateId>,
        files: &Files,
        words: &str,
        author: &Author,
    ) -> Result<StateId, HistoryError> {
        let tree = self.tree_of(base, files)?;
        let parents: Vec<StateId> = base.into_iter().collect();
        let made = self.state_of(&tree, &parents, words, author)?;
        self.follow(base, made, words)?;
        Ok(made)
    }

    /// Returns a state with this tree and these states before it; nothing follows it yet.
    pub(super) fn state_of(
        &self,
        tree: &Tree<'_>,
        before: &[StateId],
        words: &str,
        author: &Author,
    ) -> Result<StateId, HistoryError> {
        let parents = before.iter().map(|id| self.commit(*id)).collect::<Result<Vec<_>, _>>()?;
        let signature = author.signature()?;
        let parents: Vec<_> = parents.iter().collect();
        Ok(StateId(self.git.commit(None, &signature, &signature, words, tree, &parents)?))
    }

    /// Returns the tree of `base` with these files new, other or gone.
    pub(super) fn tree_of(&self, base: Option<StateId>, files: &Files) -> Result<Tree<'_>, HistoryError> {
        let tree = match base {
            Some(base) => {
                Objects::of(&self.git)?.sound(base.0, files.keys().map(String::as_str))?;
                self.git.find_commit(base.0)?.tree()?
            }
            None => self.git.find_tree(self.git.treebuilder(None)?.write()?)?,
        };
        let tree = self.without(&tree, files.iter().filter(|(_, bytes)| bytes.is_none()).map(|(path, _)| path))?;
        let mut update = TreeUpdateBuilder::new();
        let mut any = false;
        for (path, bytes) in files {
            let Some(bytes) = bytes else { continue };
            // What could be run can be run afterwards.
            let can_run = tree.get_path(path.as_ref()).is_ok_and(|entry| entry.filemode() == PROGRAM);
            let mode = if can_run { FileMode::BlobExecutable } else { FileMode::Blob };
            update.upsert(path.as_str(), self.git.blob(bytes)?, mode);
            any = true;
        }
        if !any {
            return Ok(tree);
        }
        let id = update.create_updated(&self.git, &tree)?;
        Ok(self.git.find_tree(id)?)
    }

    /// Returns a tree without these files: taken out first, so that a folder may stand where a file was.
    pub(super) fn without<'t>(
        &'t self,
        tree: &Tree<'t>,
        paths: impl Iterator<Item = impl AsRef<str>>,
    ) -> Result<Tree<'t>, HistoryError> {
        let mut update = TreeUpdateBuilder::new();
        let mut any = false;
        for path in paths.filter(|path| tree.get_path(path.as_ref().as_ref()).is_ok()) {
            update.remove(path.as_ref());
            any = true;
        }
        if !any {
            return Ok(tree.clone());
        }
        let id = update.create_updated(&self.git, tree)?;
        Ok(self.git.find_tree(id)?)
    }

    /// Moves the line from `from` to `to`, if it still stands there. This is the commit point.
    pub(super) fn follow(&self, from: Option<StateId>, to: StateId, words: &str) -> Result<(), HistoryError> {
        let line = self.line()?;
        let said = words.lines().next().unwrap_or_default();
        for _ in 0..TRIES {
            let moved = match from {
                Some(from) => self.git.reference_matching(&line, to.0, true, from.0, said).map(|_| ()),
                None => self.git.reference(&line, to.0, false, said).map(|_| ()),
            };
            match moved {
                Ok(()) => return Ok(()),
                Err(error) if error.code() == ErrorCode::Locked => thread::sleep(WAIT),
                Err(error) if matches!(error.code(), ErrorCode::Modified | ErrorCode::Exists) => {
                    return Err(HistoryError::Moved);
                }
                Err(error) => return Err(error.into()),
            }
        }
        Err(HistoryError::Left(self.git.commondir().join(format!("{line}.lock"))))
    }

    /// Writes these files of the last state into the open folder, byte for byte, and notes that they are saved.
    ///
    /// The state counts whether this succeeds or not; nothing that was signed is ever read from the open folder.
    ///
    /// # Errors
    /// A [`HistoryError`] where the folder cannot be written.
    pub fn lay_out(&self, paths: impl IntoIterator<Item = String>) -> Result<(), HistoryError> {
        let Some(tip) = self.tip()? else { return Ok(()) };
        let mut objects = Objects::of(&self.git)?;
        objects.sound_whole(tip.0)?;
        let tree = self.git.find_commit(tip.0)?.tree()?;
        self.note(&tree)?;
        let mut checkout = CheckoutBuilder::new();
        checkout.force().disable_filters(true).disable_pathspec_match(true).update_index(true);
        let mut any = false;
        for path in paths {
            if let Some((_, id)) = objects.at(tree.id(), &path)? {
                Loose::of(&self.git).sound(id)?;
            }
            checkout.path(path);
            any = true;
        }
        if any {
            self.git.checkout_tree(tree.as_object(), Some(&mut checkout))?;
        }
        Ok(())
    }

    /// Notes the last state as the one that the open folder holds, so that git shows only what differs from it.
    fn note(&self, tree: &Tree<'_>) -> Result<(), HistoryError> {
        let mut index = self.git.index()?;
        index.read(true)?;
        index.read_tree(tree)?;
        index.write().map_err(|error| match error.code() {
            // libgit2 does not name it.
            ErrorCode::Locked => HistoryError::Left(self.git.path().join("index.lock")),
            _ => error.into(),
        })
    }
}
