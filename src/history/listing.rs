//! Folders and states as the object store holds them, byte for byte: no replaced object, graft or setting is asked.

use crate::history::error::HistoryError;
use crate::history::loose::Loose;
use git2::{ErrorCode, ObjectType, Odb, Oid};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// A plain file, and a folder, as listings name them.
pub(super) const PLAIN: &[u8] = b"100644";
pub(super) const FOLDER: &[u8] = b"40000";

/// How many bytes of listings are kept at hand: those of a state and of the one before it are asked for again at once.
const KEPT: usize = 32 << 20;

/// One entry of a folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Entry<'a> {
    pub(super) mode: &'a [u8],
    pub(super) name: &'a [u8],
    pub(super) id: Oid,
}

impl<'a> Entry<'a> {
    pub(super) fn shown(&self) -> Cow<'a, str> {
        String::from_utf8_lossy(self.name)
    }

    pub(super) fn is_folder(&self) -> bool {
        self.mode == FOLDER
    }

    /// Returns whether this entry stands before another: git sorts a folder as if its name ended with `/`.
    pub(super) fn is_before(&self, other: &Self) -> bool {
        let end = |entry: &Self| if entry.is_folder() { &b"/"[..] } else { &b""[..] };
        self.name.iter().chain(end(self)).lt(other.name.iter().chain(end(other)))
    }
}

/// Returns the entries of a folder's bytes: mode, a space, name, a zero, twenty bytes. What is cut off ends it.
pub(super) fn entries(bytes: &[u8]) -> Entries<'_> {
    Entries { rest: bytes }
}

/// The entries of a folder, and what is left where it is cut off.
pub(super) struct Entries<'a> {
    pub(super) rest: &'a [u8],
}

impl<'a> Iterator for Entries<'a> {
    type Item = Entry<'a>;

    fn next(&mut self) -> Option<Entry<'a>> {
        let space = memchr::memchr(b' ', self.rest)?;
        let end = space + 1 + memchr::memchr(0, &self.rest[space + 1..])?;
        let id = self.rest.get(end + 1..end + 21)?;
        let name = &self.rest[space + 1..end];
        let entry = Entry { mode: &self.rest[..space], name, id: Oid::from_bytes(id).ok()? };
        self.rest = &self.rest[end + 21..];
        Some(entry)
    }
}

/// Returns what is wrong with a listing as such: two readers could see two things in it.
pub(super) fn fault(bytes: &[u8]) -> Option<&'static str> {
    let mut all = entries(bytes);
    let mut last: Option<Entry<'_>> = None;
    for entry in all.by_ref() {
        if last.is_some_and(|last| !last.is_before(&entry) || last.name == entry.name) {
            return Some("its list of names is out of order, or names one twice");
        }
        last = Some(entry);
    }
    (!all.rest.is_empty()).then_some("its list of names is cut off")
}

/// A state as it names itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct State {
    pub(super) tree: Oid,
    pub(super) before: Vec<Oid>,
}

/// The objects of a repository, the last listings kept at hand.
pub(super) struct Objects<'r> {
    odb: Odb<'r>,
    loose: Loose,
    kept: BTreeMap<Oid, Rc<[u8]>>,
    bytes: usize,
}

impl<'r> Objects<'r> {
    pub(super) fn of(git: &'r git2::Repository) -> Result<Self, HistoryError> {
        Ok(Self { odb: git.odb()?, loose: Loose::of(git), kept: BTreeMap::new(), bytes: 0 })
    }

    /// Returns the bytes of an object; what is another kind of thing has none.
    fn read(&self, id: Oid, kind: ObjectType) -> Result<Vec<u8>, HistoryError> {
        if let Some((found, bytes)) = self.loose.read(id)? {
            return Ok(if found == kind { bytes } else { Vec::new() });
        }
        let object = self.odb.read(id).map_err(|error| match error.code() {
            ErrorCode::NotFound => HistoryError::Incomplete(format!("the object {id} is missing")),
            _ => HistoryError::Incomplete(format!("the object {id} is damaged ({})", error.message())),
        })?;
        Ok(if object.kind() == kind { object.data().to_vec() } else { Vec::new() })
    }

    /// Returns a state with the states that it names as those before it, whatever a graft says.
    pub(super) fn state(&self, id: Oid) -> Result<State, HistoryError> {
        let bytes = self.read(id, ObjectType::Commit)?;
        let mut state = State { tree: Oid::ZERO_SHA1, before: Vec::new() };
        for line in bytes.split(|byte| *byte == b'\n').take_while(|line| !line.is_empty()) {
            let id = |hex: &[u8]| std::str::from_utf8(hex).ok().and_then(|hex| Oid::from_str(hex).ok());
            if let Some(tree) = line.strip_prefix(b"tree ") {
                state.tree = id(tree).unwrap_or(Oid::ZERO_SHA1);
            } else if let Some(parent) = line.strip_prefix(b"parent ").and_then(id) {
                state.before.push(parent);
            }
        }
        if state.tree.is_zero() {
            return Err(HistoryError::Incomplete(format!("the state {id} is damaged")));
        }
        Ok(state)
    }

    /// Returns the bytes of a folder.
    pub(super) fn listing(&mut self, id: Oid) -> Result<Rc<[u8]>, HistoryError> {
        if let Some(kept) = self.kept.get(&id) {
            return Ok(Rc::clone(kept));
        }
        let bytes: Rc<[u8]> = self.read(id, ObjectType::Tree)?.into();
        if self.bytes > KEPT {
            self.kept.clear();
            self.bytes = 0;
        }
        self.bytes += bytes.len() + 64;
        self.kept.insert(id, Rc::clone(&bytes));
        Ok(bytes)
    }

    /// Tells whether anything stands at a path in a state.
    pub(super) fn stands(&mut self, state: Oid, path: &str) -> Result<bool, HistoryError> {
        let tree = self.state(state)?.tree;
        Ok(self.at(tree, path)?.is_some())
    }

    /// Returns what stands at a path below a folder: its mode and git's name of it.
    pub(super) fn at(&mut self, folder: Oid, path: &str) -> Result<Option<(Vec<u8>, Oid)>, HistoryError> {
        let mut at = (FOLDER.to_vec(), folder);
        for name in path.split('/') {
            match self.entry(at.1, name)? {
                Some(found) => at = found,
                None => return Ok(None),
            }
        }
        Ok(Some(at))
    }

    /// Checks that libgit2 can read a state, its folders, and those on the way to these paths, whatever is damaged in them.
    pub(super) fn sound<'p>(&mut self, state: Oid, paths: impl Iterator<Item = &'p str>) -> Result<(), HistoryError> {
        let tree = self.state(state)?.tree;
        self.listing(tree)?;
        for path in paths {
            let mut folder = tree;
            for name in path.split('/') {
                match self.entry(folder, name)? {
                    Some((mode, id)) if mode == FOLDER => folder = id,
                    _ => break,
                }
                self.listing(folder)?;
            }
        }
        Ok(())
    }

    /// Checks that libgit2 can read every folder of a state.
    pub(super) fn sound_whole(&mut self, state: Oid) -> Result<(), HistoryError> {
        let mut open = vec![self.state(state)?.tree];
        let mut seen = BTreeSet::new();
        while let Some(folder) = open.pop() {
            // A small listing can name the same folder very often.
            if !seen.insert(folder) {
                continue;
            }
            let listing = self.listing(folder)?;
            open.extend(entries(&listing).filter(Entry::is_folder).map(|entry| entry.id));
        }
        Ok(())
    }

    /// Returns the bytes of a file.
    pub(super) fn file(&self, id: Oid) -> Result<Vec<u8>, HistoryError> {
        self.read(id, ObjectType::Blob)
    }

    /// Returns the entry of a folder with a name.
    pub(super) fn entry(&mut self, folder: Oid, name: &str) -> Result<Option<(Vec<u8>, Oid)>, HistoryError> {
        let listing = self.listing(folder)?;
        let found = entries(&listing).find(|entry| entry.name == name.as_bytes());
        Ok(found.map(|entry| (entry.mode.to_vec(), entry.id)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn listing(names: &[(&str, &str)]) -> Vec<u8> {
        let entry = |(mode, name): &(&str, &str)| [mode.as_bytes(), b" ", name.as_bytes(), b"\0", &[7; 20]].concat();
        names.iter().flat_map(entry).collect()
    }

    #[test]
    fn a_listing_has_one_order_and_every_name_once() {
        let good = listing(&[("100644", "a"), ("100644", "a.b"), ("40000", "a0"), ("100644", "b")]);
        assert_eq!(fault(&good), None);
        assert_eq!(entries(&good).count(), 4);
        for bad in [
            listing(&[("100644", "b"), ("100644", "a")]),
            listing(&[("100644", "a"), ("100644", "a")]),
            listing(&[("100644", "a"), ("40000", "a")]),
            listing(&[("40000", "a"), ("100644", "a.b")]),
            good[..good.len() - 1].to_vec(),
        ] {
            assert!(fault(&bad).is_some(), "{:?}", String::from_utf8_lossy(&bad));
        }
    }
}
