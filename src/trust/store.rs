//! The protected files as the verifier is shown them; where they come from is not known here.

use crate::trust::key::PublicKey;
use crate::trust::place;
use crate::trust::signature::{self, Namespace, SignatureFault};
use crate::trust::word::Seq;
use std::collections::BTreeMap;

/// The protected files of one state of a repository, taken from where they were committed and never from an open folder.
pub trait Store {
    /// Returns the bytes at a path, or none where nothing stands there.
    ///
    /// # Errors
    /// [`Unreadable`] where something stands there that cannot be had: a missing object, a link, a file of another kind.
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, Unreadable>;

    /// Returns every path that begins with `start`, in order.
    fn paths(&self, start: &str) -> Vec<String>;

    /// Tells whether the path already stood in the state to which the record at `seq` was added.
    ///
    /// Whose order this is: that of the history, of which each commit names its parents, never that of a clock.
    fn stood_before(&self, path: &str, seq: Seq) -> bool;

    /// Returns the key that signed `message` for this purpose; where it is remembered that it was checked, nothing is computed.
    ///
    /// # Errors
    /// As [`signature::signer`].
    fn signer(&self, purpose: Namespace, message: &[u8], armour: &[u8]) -> Result<PublicKey, SignatureFault> {
        signature::signer(purpose, message, armour)
    }
}

/// What cannot be had.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{path}` cannot be read: {reason}")]
pub struct Unreadable {
    /// The path.
    pub path: String,
    /// Why.
    pub reason: String,
}

/// Protected files held in memory, in the order in which they came.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    files: BTreeMap<String, (Vec<u8>, u32)>,
}

impl Shelf {
    /// Puts a file in; it counts as having come after every record that is there.
    pub fn put(&mut self, path: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        let last = self.files.keys().filter_map(|path| place::record_at(path)).max();
        self.files.insert(path.into(), (bytes.into(), last.map_or(0, Seq::number)));
    }

    /// Takes a file out.
    pub fn take(&mut self, path: &str) -> Option<Vec<u8>> {
        self.files.remove(path).map(|(bytes, _)| bytes)
    }

    /// Changes the bytes of a file and leaves when it came.
    pub fn change(&mut self, path: &str, bytes: impl Into<Vec<u8>>) {
        if let Some((own, _)) = self.files.get_mut(path) {
            *own = bytes.into();
        }
    }

    /// Returns every path with its bytes, in order.
    pub fn files(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.files.iter().map(|(path, (bytes, _))| (path.as_str(), bytes.as_slice()))
    }
}

impl Store for Shelf {
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, Unreadable> {
        Ok(self.files.get(path).map(|(bytes, _)| bytes.clone()))
    }

    fn paths(&self, start: &str) -> Vec<String> {
        let from = self.files.range(start.to_owned()..);
        from.map(|(path, _)| path.clone()).take_while(|path| path.starts_with(start)).collect()
    }

    fn stood_before(&self, path: &str, seq: Seq) -> bool {
        self.files.get(path).is_some_and(|(_, after)| *after < seq.number())
    }
}

/// Files that are about to be added, over those that are there; they came after every record.
pub struct Over<'a> {
    below: Option<&'a dyn Store>,
    new: BTreeMap<String, Vec<u8>>,
}

impl<'a> Over<'a> {
    /// Returns a store with these files more.
    #[must_use]
    pub fn new(below: Option<&'a dyn Store>, new: impl IntoIterator<Item = (String, Vec<u8>)>) -> Self {
        Self { below, new: new.into_iter().collect() }
    }
}

impl Store for Over<'_> {
    fn read(&self, path: &str) -> Result<Option<Vec<u8>>, Unreadable> {
        match (self.new.get(path), self.below) {
            (Some(bytes), _) => Ok(Some(bytes.clone())),
            (None, Some(below)) => below.read(path),
            (None, None) => Ok(None),
        }
    }

    fn paths(&self, start: &str) -> Vec<String> {
        let mut paths = self.below.map(|below| below.paths(start)).unwrap_or_default();
        paths.extend(self.new.keys().filter(|path| path.starts_with(start)).cloned());
        paths.sort();
        paths.dedup();
        paths
    }

    fn stood_before(&self, path: &str, seq: Seq) -> bool {
        self.below.is_some_and(|below| below.stood_before(path, seq))
    }

    fn signer(&self, purpose: Namespace, message: &[u8], armour: &[u8]) -> Result<PublicKey, SignatureFault> {
        match self.below {
            Some(below) => below.signer(purpose, message, armour),
            None => signature::signer(purpose, message, armour),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_came_before_a_record_stood_before_it() {
        let mut shelf = Shelf::default();
        shelf.put("a", "1");
        shelf.put("ledger/000/000001.record", "r");
        shelf.put("b", "2");
        assert!(shelf.stood_before("a", Seq::FIRST));
        assert!(!shelf.stood_before("b", Seq::FIRST));
        assert!(Seq::FIRST.next().is_some_and(|next| shelf.stood_before("b", next)));
        assert_eq!(shelf.paths("ledger/"), ["ledger/000/000001.record"]);
    }
}
