//! What an earlier way through the history showed where nothing was wrong: kept by the user, outside of the binder; it decides nothing.
//!
//! A state names everything that came before it by digests, so what was good up to a state stays good. What does not fit is no
//! memory: it is thrown away, and every state is followed again.

use crate::history::repo::StateId;
use crate::trust::digest::Digest;
use crate::trust::place;
use git2::Oid;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// The first line. What is held against a state changes: a new number, and everything is looked at again.
const FORM: &str = "way v1";

/// What stood before a state that brought a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Before {
    /// The states before it.
    pub(super) states: Vec<StateId>,
    /// The folder of the change that the record is about, and the names that stood in it in one of them.
    pub(super) folder: Option<(String, BTreeSet<String>)>,
}

/// For each record, what stood before each state that brought it.
pub(super) type Brought = BTreeMap<String, Vec<Before>>;

/// A state up to which every state was found good.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Known {
    pub(super) tip: StateId,
    /// The tip and every state it grew from.
    pub(super) states: BTreeSet<StateId>,
    pub(super) brought: Brought,
}

impl Known {
    /// Returns the state.
    #[must_use]
    pub fn tip(&self) -> StateId {
        self.tip
    }

    /// Returns what `bytes` remember; none where they are damaged or of another form: it is then as if nothing were remembered.
    #[must_use]
    pub fn parse(bytes: &[u8]) -> Option<Self> {
        let text = std::str::from_utf8(bytes).ok()?;
        let (body, last) = text.strip_suffix('\n')?.rsplit_once('\n')?;
        let digest = Digest::parse(last.strip_prefix("digest: ")?)?;
        if Digest::of(body.as_bytes()) != digest {
            return None;
        }
        let mut lines = body.lines();
        if lines.next()? != FORM {
            return None;
        }
        let tip = state(lines.next()?.strip_prefix("tip: ")?)?;
        let mut known = Self { tip, states: BTreeSet::new(), brought: Brought::new() };
        for line in lines {
            let (kind, rest) = line.split_once(' ')?;
            match kind {
                "state" => {
                    known.states.insert(state(rest)?);
                }
                "record" => {
                    let (path, before) = record(rest)?;
                    known.brought.entry(path).or_default().push(before);
                }
                _ => return None,
            }
        }
        known.states.contains(&tip).then_some(known)
    }

    /// Returns the bytes to keep.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut out = format!("{FORM}\ntip: {}", self.tip);
        for state in &self.states {
            let _ = write!(out, "\nstate {state}");
        }
        for (path, before) in self.brought.iter().flat_map(|(path, every)| every.iter().map(move |one| (path, one))) {
            let states: Vec<String> = before.states.iter().map(ToString::to_string).collect();
            let states = if states.is_empty() { "none".to_owned() } else { states.join(",") };
            let _ = write!(out, "\nrecord {path} {states}");
            if let Some((folder, names)) = &before.folder {
                let _ = write!(out, " {folder}");
                for name in names {
                    let _ = write!(out, " {name}");
                }
            }
        }
        let digest = Digest::of(out.as_bytes());
        let _ = writeln!(out, "\ndigest: {digest}");
        out.into_bytes()
    }
}

fn state(text: &str) -> Option<StateId> {
    (text.len() == 40).then(|| Oid::from_str(text).ok()).flatten().map(StateId)
}

fn record(text: &str) -> Option<(String, Before)> {
    let mut words = text.split(' ');
    let path = words.next().filter(|path| place::record_at(path).is_some())?;
    let states = match words.next()? {
        "none" => Vec::new(),
        states => states.split(',').map(state).collect::<Option<_>>()?,
    };
    let Some(folder) = words.next() else { return Some((path.to_owned(), Before { states, folder: None })) };
    Digest::parse(folder.strip_prefix("approvals/")?.strip_suffix('/')?)?;
    let folder = Some((folder.to_owned(), words.map(str::to_owned).collect()));
    Some((path.to_owned(), Before { states, folder }))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known() -> Known {
        let id = |digit: &str| StateId(Oid::from_str(&digit.repeat(40)).unwrap());
        let names = ["alice.approve", "manifest"].map(str::to_owned).into();
        let folder = Some((format!("approvals/{}/", Digest::of(b"m")), names));
        let brought = Brought::from([
            ("ledger/000/000001.record".to_owned(), vec![Before { states: vec![], folder: None }]),
            (
                "ledger/000/000002.record".to_owned(),
                vec![Before { states: vec![id("a"), id("b")], folder }, Before { states: vec![id("a")], folder: None }],
            ),
        ]);
        Known { tip: id("c"), states: [id("a"), id("b"), id("c")].into(), brought }
    }

    #[test]
    fn it_is_read_as_it_is_written_and_what_is_damaged_is_nothing() {
        let bytes = known().to_bytes();
        assert_eq!(Known::parse(&bytes), Some(known()));
        for at in 0..bytes.len() {
            let mut other = bytes.clone();
            other[at] ^= 1;
            assert_eq!(Known::parse(&other), None, "{at}");
            assert_eq!(Known::parse(&bytes[..at]), None, "{at}");
        }
        assert_eq!(Known::parse(b""), None);
        // Whole, and of a form that this program does not write.
        let text = String::from_utf8(bytes).unwrap();
        let body = text.rsplit_once("\ndigest: ").unwrap().0.replace("way v1", "way v2");
        let other = format!("{body}\ndigest: {}\n", Digest::of(body.as_bytes()));
        assert_eq!(Known::parse(other.as_bytes()), None);
    }
}
