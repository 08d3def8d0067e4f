//! The protected files of one state, as the verifier reads them: blobs out of the object store, whatever the open folder holds.

use crate::base::path::PROTECTED;
use crate::history::differing::DEPTH;
use crate::history::error::HistoryError;
use crate::history::repo::{Repo, StateId};
use crate::history::walk::Passage;
use crate::trust::place;
use crate::trust::store::{Store, Unreadable};
use crate::trust::word::Seq;
use git2::{ErrorCode, OdbLookupFlags, Oid, Tree};
use std::collections::BTreeMap;

/// A plain file that nobody may run.
const PLAIN: i32 = 0o100_644;
/// How many protected files a binder may have: ten times what a large plant releases in a life.
const MOST: usize = 2_000_000;

/// The protected files of one state.
pub struct Protected<'r> {
    repo: &'r Repo,
    state: StateId,
    files: BTreeMap<String, Entry>,
    passage: Passage,
}

#[derive(Clone, Copy)]
enum Entry {
    Plain(Oid),
    Other,
}

impl<'r> Protected<'r> {
    /// Returns the protected files as they stand at `state`, with the history that brought them there.
    ///
    /// # Errors
    /// A [`HistoryError`] where the history cannot be followed.
    pub fn at(repo: &'r Repo, state: StateId) -> Result<Self, HistoryError> {
        let passage = Passage::of(repo, state)?;
        let tree = repo.git.find_commit(state.0)?.tree()?;
        let mut files = BTreeMap::new();
        for folder in PROTECTED {
            let name = folder.trim_end_matches('/');
            let Some(entry) = tree.get_name(name) else { continue };
            match entry.to_object(&repo.git)?.into_tree() {
                Ok(below) => collect(repo, folder, &below, 0, &mut files)?,
                Err(_) => {
                    files.insert(name.to_owned(), Entry::Other);
                }
            }
        }
        Ok(Self { repo, state, files, passage })
    }

    /// Returns the repository.
    pub(super) fn repo(&self) -> &'r Repo {
        self.repo
    }

    /// Returns how many protected files there are, and how many of them are not in this copy.
    ///
    /// # Errors
    /// A [`HistoryError`] where the objects cannot be opened.
    pub fn missing(&self) -> Result<(usize, usize), HistoryError> {
        let odb = self.repo.git.odb()?;
        let is_missing = |id: &Oid| !odb.exists_ext(*id, OdbLookupFlags::NO_REFRESH);
        Ok((self.files.len(), self.plain().filter(|(_, id)| is_missing(id)).count()))
    }

    /// Returns the state.
    #[must_use]
    pub fn state(&self) -> StateId {
        self.state
    }

    /// Returns the history that brought these files.
    #[must_use]
    pub fn passage(&self) -> &Passage {
        &self.passage
    }

    /// Returns the path and git's own name of each plain file, in order.
    pub(super) fn plain(&self) -> impl Iterator<Item = (&str, Oid)> {
        self.files.iter().filter_map(|(path, entry)| match entry {
            Entry::Plain(id) => Some((path.as_str(), *id)),
            Entry::Other => None,
        })
    }
}

fn collect(
    repo: &Repo,
    within: &str,
    tree: &Tree<'_>,
    depth: usize,
    files: &mut BTreeMap<String, Entry>,
) -> Result<(), HistoryError> {
    for entry in tree {
        if files.len() >= MOST {
            return Err(HistoryError::Unfit(format!("it holds more than {MOST} protected files")));
        }
        // A name that is no text can be none of ours; the walk through the history says so.
        let name = format!("{within}{}", String::from_utf8_lossy(entry.name_bytes()));
        match entry.filemode() {
            PLAIN => {
                files.insert(name, Entry::Plain(entry.id()));
            }
            0o040_000 if depth < DEPTH => {
                collect(repo, &format!("{name}/"), &repo.git.find_tree(entry.id())?, depth + 1, files)?;
            }
            _ => {
                files.insert(name, Entry::Other);
            }
        }
    }
    Ok(())
}

impl Store for Protected<'_> {
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, Unreadable> {
        let no = |reason: &str| Unreadable { path: path.to_owned(), reason: reason.to_owned() };
        match self.files.get(path) {
            None => Ok(None),
            Some(Entry::Other) => Err(no("it is no plain file")),
            Some(Entry::Plain(id)) => match self.repo.git.find_blob(*id) {
                Ok(blob) => Ok(Some(blob.content().to_vec())),
                Err(error) if error.code() == ErrorCode::NotFound => Err(no("its bytes are missing from the history")),
                Err(error) => Err(no(error.message())),
            },
        }
    }

    fn paths(&self, start: &str) -> Vec<String> {
        let from = self.files.range(start.to_owned()..);
        from.map(|(path, _)| path.clone()).take_while(|path| path.starts_with(start)).collect()
    }

    fn stood_before(&self, path: &str, seq: Seq) -> bool {
        let record = place::record(seq);
        // To a record that is still to come, everything stood before.
        if self.files.contains_key(&record) {
            self.passage.stood_before(self.repo, path, &record)
        } else {
            self.files.contains_key(path)
        }
    }
}
