//! The way from the first state to one state: which state brought each record, and whether any took back what is written once.
//!
//! Each state is held against *every* state before it, so that nothing is lost in a union of two lines.

use crate::base::path::PROTECTED;
use crate::history::error::HistoryError;
use crate::history::repo::{Repo, StateId};
use crate::trust::place;
use crate::trust::verdict::{Code, Verdict};
use git2::{ErrorCode, ObjectType, Odb, Oid, Repository, Sort};
use std::collections::{BTreeMap, BTreeSet};

/// A plain file, and a folder, as trees name them.
const PLAIN: &[u8] = b"100644";
const FOLDER: &[u8] = b"40000";

/// What the way to a state shows.
#[derive(Clone, Debug, Default)]
pub struct Passage {
    /// For each record, the states before the one that brought it.
    brought: BTreeMap<String, Vec<StateId>>,
    /// What was taken back, and what is no plain file.
    verdicts: Vec<Verdict>,
    states: usize,
}

impl Passage {
    /// Follows the way to `state`.
    ///
    /// # Errors
    /// A [`HistoryError`] where a state on the way is missing.
    pub fn of(repo: &Repo, state: StateId) -> Result<Self, HistoryError> {
        let mut passage = Self::default();
        for id in order(&repo.git, state)? {
            passage.state(&repo.git, id)?;
        }
        Ok(passage)
    }

    /// Returns what was taken back or is no plain file, in the order of the states.
    #[must_use]
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// Returns how many states there are.
    #[must_use]
    pub fn states(&self) -> usize {
        self.states
    }

    /// Tells whether a path stood in the state to which a record was added.
    pub(super) fn stood_before(&self, repo: &Repo, path: &str, record: &str) -> bool {
        let stood = |before: &StateId| {
            let tree = repo.git.find_commit(before.0).and_then(|commit| commit.tree());
            tree.is_ok_and(|tree| tree.get_path(path.as_ref()).is_ok())
        };
        self.brought.get(record).is_some_and(|before| before.iter().any(stood))
    }

    fn state(&mut self, git: &Repository, id: Oid) -> Result<(), HistoryError> {
        let commit = git.find_commit(id)?;
        let odb = git.odb()?;
        let parents: Vec<Oid> = commit.parent_ids().collect();
        let own = protected(git, commit.tree_id())?;
        let before = parents
            .iter()
            .map(|parent| protected(git, git.find_commit(*parent)?.tree_id()))
            .collect::<Result<Vec<_>, HistoryError>>()?;
        let mut new: Option<BTreeSet<String>> = None;
        let none = BTreeMap::new();
        let bases: Vec<&BTreeMap<&str, Oid>> = if before.is_empty() { vec![&none] } else { before.iter().collect() };
        for base in bases {
            let mut added = BTreeSet::new();
            for folder in PROTECTED {
                let (old, now) = (base.get(folder).copied(), own.get(folder).copied());
                let mut differing = Differing { odb: &odb, state: id, added: &mut added, verdicts: &mut self.verdicts };
                differing.folder(folder, old, now)?;
            }
            // New is what no state before had.
            new = Some(match new {
                None => added,
                Some(others) => others.intersection(&added).cloned().collect(),
            });
        }
        let before: Vec<StateId> = parents.into_iter().map(StateId).collect();
        for path in new.unwrap_or_default() {
            if place::record_at(&path).is_some() {
                self.brought.entry(path).or_insert_with(|| before.clone());
            }
        }
        self.states += 1;
        Ok(())
    }
}

/// Returns every state up to `state`, each after those before it.
fn order(git: &Repository, state: StateId) -> Result<Vec<Oid>, HistoryError> {
    let mut walk = git.revwalk()?;
    walk.set_sorting(Sort::TOPOLOGICAL | Sort::REVERSE)?;
    walk.push(state.0)?;
    let ids: Result<Vec<Oid>, git2::Error> = walk.collect();
    ids.map_err(|error| match error.code() {
        ErrorCode::NotFound => HistoryError::Incomplete(error.message().to_owned()),
        _ => error.into(),
    })
}

/// Returns git's names of the protected folders of a tree.
fn protected(git: &Repository, tree: Oid) -> Result<BTreeMap<&'static str, Oid>, HistoryError> {
    let tree = git.find_tree(tree)?;
    let of = |folder: &'static str| tree.get_name(folder.trim_end_matches('/')).map(|entry| (folder, entry.id()));
    Ok(PROTECTED.into_iter().filter_map(of).collect())
}

/// How a folder differs from the same folder in a state before.
struct Differing<'a> {
    odb: &'a Odb<'a>,
    state: Oid,
    added: &'a mut BTreeSet<String>,
    verdicts: &'a mut Vec<Verdict>,
}

impl Differing<'_> {
    fn folder(&mut self, within: &str, old: Option<Oid>, now: Option<Oid>) -> Result<(), HistoryError> {
        if old == now {
            return Ok(());
        }
        let (old, now) = (self.listing(old)?, self.listing(now)?);
        let (mut olds, mut nows) = (entries(&old).peekable(), entries(&now).peekable());
        loop {
            match (olds.peek().copied(), nows.peek().copied()) {
                (None, None) => return Ok(()),
                (Some(before), Some(after)) if before.name == after.name => {
                    if (before.mode, before.id) != (after.mode, after.id) {
                        self.other(within, before, after)?;
                    }
                    olds.next();
                    nows.next();
                }
                (Some(before), after) if after.is_none_or(|after| before.key() < after.key()) => {
                    self.gone(within, before)?;
                    olds.next();
                }
                (_, Some(after)) => {
                    self.new(within, after)?;
                    nows.next();
                }
                (Some(_), None) => unreachable!("an entry without a partner is gone"),
            }
        }
    }

    fn listing(&self, tree: Option<Oid>) -> Result<Vec<u8>, HistoryError> {
        let Some(tree) = tree else { return Ok(Vec::new()) };
        let object = self.odb.read(tree)?;
        // What stands at the place of a folder and is none has no entries; that it is no folder is told where it came.
        Ok(if object.kind() == ObjectType::Tree { object.data().to_vec() } else { Vec::new() })
    }

    fn say(&mut self, code: Code, path: String, told: &str) {
        let state = &self.state.to_string()[..8];
        self.verdicts.push(Verdict::new(code, path, format!("{told} in the state {state}")));
    }

    fn other(&mut self, within: &str, before: Entry<'_>, after: Entry<'_>) -> Result<(), HistoryError> {
        let path = format!("{within}{}", after.shown());
        if before.mode == FOLDER && after.mode == FOLDER {
            return self.folder(&format!("{path}/"), Some(before.id), Some(after.id));
        }
        self.say(Code::AppendOnly, path.clone(), "a file that is written once was changed");
        self.form(&path, after);
        Ok(())
    }

    fn gone(&mut self, within: &str, before: Entry<'_>) -> Result<(), HistoryError> {
        let path = format!("{within}{}", before.shown());
        if before.mode == FOLDER {
            return self.folder(&format!("{path}/"), Some(before.id), None);
        }
        self.say(Code::AppendOnly, path, "a file that is written once was taken out");
        Ok(())
    }

    fn new(&mut self, within: &str, after: Entry<'_>) -> Result<(), HistoryError> {
        let path = format!("{within}{}", after.shown());
        self.form(&path, after);
        if after.mode == FOLDER {
            return self.folder(&format!("{path}/"), None, Some(after.id));
        }
        self.added.insert(path);
        Ok(())
    }

    /// What is written once is a plain file with a plain name: no link, no program, no repository, no pointer to elsewhere.
    /// Without capitals no two names can be one file on a disk that ignores them.
    fn form(&mut self, path: &str, entry: Entry<'_>) {
        let is_plain = |byte: &u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b"._-".contains(byte);
        if entry.mode != PLAIN && entry.mode != FOLDER {
            self.say(Code::TreeForm, path.to_owned(), "it is no plain file (a link, a program or another repository)");
        } else if !entry.name.iter().all(is_plain) {
            self.say(Code::TreeForm, path.to_owned(), "its name holds other signs than small letters and digits");
        }
    }
}

/// One entry of a folder, as git keeps it.
#[derive(Clone, Copy)]
struct Entry<'a> {
    mode: &'a [u8],
    name: &'a [u8],
    id: Oid,
}

impl<'a> Entry<'a> {
    fn shown(&self) -> std::borrow::Cow<'a, str> {
        String::from_utf8_lossy(self.name)
    }

    /// Returns by what git sorts it: a folder as if its name ended with `/`.
    fn key(&self) -> Vec<u8> {
        let mut key = self.name.to_vec();
        if self.mode == FOLDER {
            key.push(b'/');
        }
        key
    }
}

/// Returns the entries of a folder's bytes: mode, a space, name, a zero, twenty bytes. What is cut off ends it.
fn entries(bytes: &[u8]) -> impl Iterator<Item = Entry<'_>> {
    let mut rest = bytes;
    std::iter::from_fn(move || {
        let space = memchr::memchr(b' ', rest)?;
        let end = space + 1 + memchr::memchr(0, &rest[space + 1..])?;
        let id = rest.get(end + 1..end + 21)?;
        let entry = Entry { mode: &rest[..space], name: &rest[space + 1..end], id: Oid::from_bytes(id).ok()? };
        rest = &rest[end + 21..];
        Some(entry)
    })
}
