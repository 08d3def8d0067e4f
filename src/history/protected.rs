//! The protected files of one state, as the verifier reads them: blobs out of the object store, whatever the open folder holds.

use crate::base::path::PROTECTED;
use crate::history::differing::DEPTH;
use crate::history::error::HistoryError;
use crate::history::known::Known;
use crate::history::listing::{FOLDER, Objects, PLAIN, entries};
use crate::history::repo::{Repo, StateId};
use crate::history::walk::Passage;
use crate::trust::key::PublicKey;
use crate::trust::place;
use crate::trust::signature::{Namespace, SignatureFault};
use crate::trust::store::{Store, Unreadable};
use crate::trust::verified::Verified;
use crate::trust::word::Seq;
use git2::{OdbLookupFlags, Oid};
use std::collections::BTreeMap;

/// How many protected files a binder may have: ten times what a large plant releases in a life.
const MOST: usize = 2_000_000;

/// The protected files of one state.
pub struct Protected<'r> {
    repo: &'r Repo,
    state: StateId,
    files: BTreeMap<String, Entry>,
    passage: Passage,
    verified: Verified,
}

/// What stands at a protected path.
#[derive(Clone, Copy)]
enum Entry {
    Plain(Oid),
    Other,
}

impl<'r> Protected<'r> {
    /// Returns the protected files as they stand at `state`, with the history that brought them there, from where it is known on.
    ///
    /// # Errors
    /// A [`HistoryError`] where the history cannot be followed.
    pub fn at(repo: &'r Repo, state: StateId, known: Option<&Known>) -> Result<Self, HistoryError> {
        let passage = Passage::of(repo, state, known)?;
        let mut objects = Objects::of(&repo.git)?;
        let tree = objects.state(state.0)?.tree;
        let mut files = BTreeMap::new();
        for folder in PROTECTED {
            let name = folder.trim_end_matches('/');
            match objects.entry(tree, name)? {
                Some((mode, below)) if mode == FOLDER => collect(&mut objects, folder, below, 0, &mut files)?,
                Some(_) => {
                    files.insert(name.to_owned(), Entry::Other);
                }
                None => {}
            }
        }
        Ok(Self { repo, state, files, passage, verified: Verified::default() })
    }

    /// Returns the same files, of which these signatures were found good before.
    #[must_use]
    pub fn with(mut self, verified: Verified) -> Self {
        self.verified = verified;
        self
    }

    /// Returns the signatures that were found good, before and now.
    #[must_use]
    pub fn verified(&self) -> &Verified {
        &self.verified
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
    objects: &mut Objects<'_>,
    within: &str,
    folder: Oid,
    depth: usize,
    files: &mut BTreeMap<String, Entry>,
) -> Result<(), HistoryError> {
    let listing = objects.listing(folder)?;
    for entry in entries(&listing) {
        if files.len() >= MOST {
            return Err(HistoryError::Unfit(format!("it holds more than {MOST} protected files")));
        }
        // A name that is no text can be none of ours; the walk through the history says so.
        let name = format!("{within}{}", entry.shown());
        match entry.mode {
            PLAIN => {
                files.insert(name, Entry::Plain(entry.id));
            }
            FOLDER if depth < DEPTH => collect(objects, &format!("{name}/"), entry.id, depth + 1, files)?,
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
            Some(Entry::Plain(id)) => {
                let objects = Objects::of(&self.repo.git).map_err(|error| no(&error.to_string()))?;
                objects.file(*id).map(Some).map_err(|error| no(&error.to_string()))
            }
        }
    }

    fn paths(&self, start: &str) -> Vec<String> {
        let from = self.files.range(start.to_owned()..);
        from.map(|(path, _)| path.clone()).take_while(|path| path.starts_with(start)).collect()
    }

    fn signer(&self, purpose: Namespace, message: &[u8], armour: &[u8]) -> Result<PublicKey, SignatureFault> {
        self.verified.signer(purpose, message, armour)
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
