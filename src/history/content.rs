//! The files of a state by path, and what a state would change in the open folder; it reads no open folder.

use crate::base::path::is_protected;
use crate::history::error::HistoryError;
use crate::history::listing::{Objects, entries};
use crate::history::loose::Loose;
use crate::history::point::{Author, Files};
use crate::history::repo::{Repo, StateId};
use git2::{ObjectType, Oid, RepositoryState};
use std::collections::BTreeMap;

/// How deep folders are followed.
const DEPTH: usize = 64;

/// One file of a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    pub(super) id: Oid,
    pub(super) mode: i32,
}

impl Kept {
    /// Tells whether these bytes are the file's.
    #[must_use]
    pub fn holds(self, bytes: &[u8]) -> bool {
        self.is_file() && Oid::hash_object(ObjectType::Blob, bytes).is_ok_and(|id| id == self.id)
    }

    /// Tells whether it is a plain file, whether or not it may be run.
    #[must_use]
    pub fn is_file(self) -> bool {
        matches!(self.mode, 0o100_644 | 0o100_755 | 0o100_664)
    }
}

/// The files of a state, by path. A name that is no text is none of the program's and is left out.
pub type Content = BTreeMap<String, Kept>;

/// What the open folder would hold before and after the binder follows another state.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// The file.
    pub path: String,
    /// What was there before; none where nothing was.
    pub before: Option<Kept>,
    /// What is there afterwards; none where nothing is.
    pub after: Option<Kept>,
}

impl Repo {
    /// Returns the files of a state; none of none.
    ///
    /// # Errors
    /// A [`HistoryError`] where its lists of files are not there.
    pub fn content(&self, state: Option<StateId>) -> Result<Content, HistoryError> {
        let mut content = Content::new();
        if let Some(state) = state {
            let mut objects = Objects::of(&self.git)?;
            let tree = objects.state(state.0)?.tree;
            below(&mut objects, "", tree, 0, &mut content)?;
        }
        Ok(content)
    }

    /// Returns the bytes of a file.
    ///
    /// # Errors
    /// A [`HistoryError`] where they are missing.
    pub fn bytes(&self, kept: Kept) -> Result<Vec<u8>, HistoryError> {
        Loose::of(&self.git).sound(kept.id)?;
        Ok(self.git.find_blob(kept.id)?.content().to_vec())
    }

    /// Returns in which files two states differ, in order of their paths.
    ///
    /// # Errors
    /// A [`HistoryError`] where a state is missing.
    pub fn turns(&self, from: Option<StateId>, to: Option<StateId>) -> Result<Vec<Turn>, HistoryError> {
        let (from, to) = (self.content(from)?, self.content(to)?);
        let mut paths: Vec<&String> = from.keys().chain(to.keys().filter(|path| !from.contains_key(*path))).collect();
        paths.sort();
        let turn =
            |path: &String| Turn { path: path.clone(), before: from.get(path).copied(), after: to.get(path).copied() };
        Ok(paths.into_iter().map(turn).filter(|turn| turn.before != turn.after).collect())
    }

    /// Tells whether git would pass over a file that is new in the open folder.
    #[must_use]
    pub fn is_ignored(&self, path: &str) -> bool {
        self.git.is_path_ignored(path).unwrap_or(false)
    }

    /// Returns the name and address that git was told to use, if it was told.
    #[must_use]
    pub fn configured_author(&self) -> Option<(String, String)> {
        let config = self.git.config().and_then(|mut config| config.snapshot()).ok()?;
        let of = |key: &str| config.get_string(key).ok().filter(|value| !value.trim().is_empty());
        Some((of("user.name")?, of("user.email")?))
    }

    /// Refuses where a union or another work of git was begun in the open folder and not ended.
    ///
    /// # Errors
    /// [`HistoryError::Unfit`].
    pub fn is_at_rest(&self) -> Result<(), HistoryError> {
        self.line()?;
        if self.git.state() == RepositoryState::Clean && !self.git.index()?.has_conflicts() {
            return Ok(());
        }
        let told = "another program began to bring two histories together in this folder and did not end it \
                    (`git status` says what); end it there, or take it back with `git merge --abort`";
        Err(HistoryError::Unfit(told.to_owned()))
    }

    /// Keeps files aside in a state that nothing follows, and returns its name; nothing of it is lost until a person takes
    /// the reference away.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be written.
    pub fn keep_aside(&self, files: &Files, words: &str, author: &Author) -> Result<StateId, HistoryError> {
        let tip = self.tip()?;
        let tree = self.tree_of(tip, files)?;
        let before: Vec<StateId> = tip.into_iter().collect();
        let made = self.state_of(&tree, &before, words, author)?;
        self.git.reference(&format!("{ASIDE}{made}"), made.0, true, "kept aside")?;
        Ok(made)
    }

    /// Tells whether a state was kept aside.
    #[must_use]
    pub fn is_aside(&self, state: StateId) -> bool {
        self.git.find_reference(&format!("{ASIDE}{state}")).is_ok()
    }

    /// Notes that the open folder still shows `from` while the binder goes on to follow another state.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be written.
    pub fn begin_turn(&self, from: StateId) -> Result<(), HistoryError> {
        self.git.reference(SHOWN, from.0, true, "the open folder shows this")?;
        Ok(())
    }

    /// Notes that the open folder shows the last state.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be written.
    pub fn end_turn(&self) -> Result<(), HistoryError> {
        match self.git.find_reference(SHOWN) {
            Ok(mut reference) => Ok(reference.delete()?),
            Err(error) if error.code() == git2::ErrorCode::NotFound => Ok(()),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns the state that the open folder still shows where a command was ended on its way to another.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be told.
    pub fn open_turn(&self) -> Result<Option<StateId>, HistoryError> {
        match self.git.find_reference(SHOWN) {
            Ok(reference) => Ok(Some(self.named(&reference)?)),
            Err(error) if error.code() == git2::ErrorCode::NotFound => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns the file that says who uses the open folder.
    #[must_use]
    pub fn lock_file(&self) -> std::path::PathBuf {
        self.git.path().join("matchmark.lock")
    }

    /// Returns a git repository around the binder's folder that would keep the binder's files too, if it has none of its own.
    #[must_use]
    pub fn around(folder: &std::path::Path) -> Option<std::path::PathBuf> {
        let outer = git2::Repository::discover(folder).ok()?;
        let top = outer.workdir()?.to_owned();
        let whole = folder.canonicalize().ok()?;
        let inside = whole.strip_prefix(top.canonicalize().ok()?).ok()?.to_owned();
        (!inside.as_os_str().is_empty() && !outer.is_path_ignored(&inside).unwrap_or(false)).then_some(top)
    }
}

fn below(
    objects: &mut Objects<'_>,
    within: &str,
    tree: Oid,
    depth: usize,
    content: &mut Content,
) -> Result<(), HistoryError> {
    let listing = objects.listing(tree)?;
    let damaged = || HistoryError::Incomplete(format!("the list of files {tree} is damaged"));
    // What is no list of files reads as one without any; taken for such, everything in it would be gone.
    if listing.is_empty() && Oid::hash_object(ObjectType::Tree, &[])? != tree {
        return Err(damaged());
    }
    let mut all = entries(&listing);
    for entry in all.by_ref() {
        let Ok(name) = std::str::from_utf8(entry.name) else { continue };
        let path = format!("{within}{name}");
        match mode(entry.mode).ok_or_else(damaged)? {
            TREE if depth < DEPTH => below(objects, &format!("{path}/"), entry.id, depth + 1, content)?,
            TREE => {}
            mode => {
                content.insert(path, Kept { id: entry.id, mode });
            }
        }
    }
    if all.rest.is_empty() { Ok(()) } else { Err(damaged()) }
}

/// Returns the mode that a listing names, as git takes it: of a file nothing counts but whether it may be run.
fn mode(bytes: &[u8]) -> Option<i32> {
    let mode = i32::from_str_radix(std::str::from_utf8(bytes).ok()?, 8).ok()?;
    Some(match mode & 0o170_000 {
        TREE => TREE,
        _ if mode & 0o111 != 0 => 0o100_755,
        kind @ (0o160_000 | 0o120_000) => kind,
        _ => 0o100_644,
    })
}

/// The mode of a folder.
const TREE: i32 = 0o040_000;

/// Where states are kept that nothing follows.
const ASIDE: &str = "refs/matchmark/aside/";
/// Names the state that the open folder shows while it is on the way to another.
const SHOWN: &str = "refs/matchmark/shown";

/// Tells whether a path is kept from one state to the next whatever the open folder holds: what was signed, and hidden names.
#[must_use]
pub fn is_kept(path: &str) -> bool {
    is_protected(path) || path.split('/').any(|part| part.starts_with('.'))
}
