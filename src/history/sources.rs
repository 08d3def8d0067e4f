//! The sources of a binder in any of its states, by their digests; it does not know which of them was approved.

use crate::history::error::HistoryError;
use crate::history::listing::{FOLDER, Objects, PLAIN};
use crate::history::protected::Protected;
use crate::history::repo::StateId;
use crate::trust::digest::Digest;
use crate::trust::word::CommitId;
use git2::Oid;
use std::cell::RefCell;
use std::collections::HashMap;

/// What stands at a path in a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// A file with these bytes.
    File(Digest),
    /// Nothing, or no file.
    Nothing,
    /// Something whose bytes are not here, so that nobody can tell.
    Unknown,
}

/// Digests of sources; none is computed twice.
pub struct Sources<'a> {
    files: &'a Protected<'a>,
    objects: RefCell<Objects<'a>>,
    digests: RefCell<HashMap<Oid, Digest>>,
}

impl<'a> Sources<'a> {
    /// Returns the sources of the states that the one with these protected files grew from.
    ///
    /// # Errors
    /// A [`HistoryError`] where the objects cannot be opened.
    pub fn of(files: &'a Protected<'a>) -> Result<Self, HistoryError> {
        let objects = Objects::of(&files.repo().git)?;
        Ok(Self { files, objects: RefCell::new(objects), digests: RefCell::default() })
    }

    /// Returns the state that a statement names, if the last state grew from it: another one would be missing in a copy.
    #[must_use]
    pub fn state(&self, named: &CommitId) -> Option<StateId> {
        let id = StateId(Oid::from_str(named.as_str()).ok()?);
        self.files.passage().has(id).then_some(id)
    }

    /// Returns what stands at a path in a state.
    #[must_use]
    pub fn at(&self, state: StateId, path: &str) -> Stands {
        self.find(state, path).unwrap_or(Stands::Unknown)
    }

    fn find(&self, state: StateId, path: &str) -> Result<Stands, HistoryError> {
        let mut objects = self.objects.borrow_mut();
        let mut folder = objects.state(state.0)?.tree;
        let mut names = path.split('/').peekable();
        while let Some(name) = names.next() {
            let Some((mode, id)) = objects.entry(folder, name)? else { return Ok(Stands::Nothing) };
            match (names.peek(), mode.as_slice()) {
                (Some(_), FOLDER) => folder = id,
                (None, PLAIN | b"100755") => {
                    if let Some(digest) = self.digests.borrow().get(&id) {
                        return Ok(Stands::File(*digest));
                    }
                    let digest = Digest::of(&objects.file(id)?);
                    self.digests.borrow_mut().insert(id, digest);
                    return Ok(Stands::File(digest));
                }
                _ => return Ok(Stands::Nothing),
            }
        }
        Ok(Stands::Nothing)
    }
}
