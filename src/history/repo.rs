//! The repository at the root of a binder: opening one, making one, and what keeps it from being used; it reads no statement.

use crate::history::error::HistoryError;
use crate::history::listing::Objects;
use crate::history::loose::Loose;
use git2::{Commit, Reference};
use git2::{Config, ConfigLevel, ErrorCode, ObjectType, Oid, Repository, RepositoryInitOptions, RepositoryOpenFlags};
use std::cell::Cell;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

/// The name of the one line of states in a repository that the program makes.
const LINE: &str = "main";

/// The file of our own settings beside those of git, and the setting in it.
const SYNC: &str = "matchmark.config";
const SYNCED: &str = "core.fsyncObjectFiles";

/// A binder's own repository.
pub struct Repo {
    pub(super) git: Repository,
    folder: PathBuf,
    /// Whether every loose object was looked at.
    is_looked_through: Cell<bool>,
}

/// The name of a state of the binder: what git calls the commit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StateId(pub(super) Oid);

impl std::fmt::Display for StateId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl StateId {
    /// Returns the first letters of it, for people.
    #[must_use]
    pub fn short(self) -> String {
        self.0.to_string()[..8].to_owned()
    }
}

impl Repo {
    /// Opens the repository whose root is `folder`; one that lies further up is another thing's.
    ///
    /// No hook, filter or helper of the repository is ever run, and nothing outside of the folder is asked.
    ///
    /// # Errors
    /// A [`HistoryError`] where there is none, or one the program does not write to.
    pub fn open(folder: &Path) -> Result<Self, HistoryError> {
        let none: [&OsStr; 0] = [];
        let git = match Repository::open_ext(folder, RepositoryOpenFlags::NO_SEARCH, none) {
            Ok(git) => git,
            Err(error) if error.code() == ErrorCode::NotFound && folder.join(".git").symlink_metadata().is_ok() => {
                return Err(HistoryError::Unfit(format!(
                    "what its settings name is not there (core.worktree, or another folder): {}",
                    error.message()
                )));
            }
            Err(error) if error.code() == ErrorCode::NotFound => {
                return Err(HistoryError::None(folder.display().to_string()));
            }
            Err(error) if error.message().contains("extensions.partialclone") => {
                let told = "this copy was made without the contents of its files (a partial clone); nothing is decided, \
                            and nothing is fetched by itself: `git clone` without `--filter` makes a whole copy";
                return Err(HistoryError::Incomplete(told.to_owned()));
            }
            Err(error) => return Err(error.into()),
        };
        if git.is_bare() {
            return Err(HistoryError::Unfit("it has no open folder (it is a bare repository)".to_owned()));
        }
        is_its_own(&git, folder)?;
        keep_synced(&git)?;
        Ok(Self { git, folder: folder.to_owned(), is_looked_through: Cell::new(false) })
    }

    /// Makes a repository in `folder`, with everything written to the disk before it counts.
    ///
    /// # Errors
    /// A [`HistoryError`] where there is one already, or the platform refuses.
    pub fn make(folder: &Path) -> Result<Self, HistoryError> {
        let mut options = RepositoryInitOptions::new();
        options.no_reinit(true).initial_head(LINE).external_template(false);
        let git = Repository::init_opts(folder, &options)?;
        keep_synced(&git)?;
        Ok(Self { git, folder: folder.to_owned(), is_looked_through: Cell::new(false) })
    }

    /// Returns libgit2's own view, for what chooses by itself which objects it reads: all of them are looked at first, once.
    pub(super) fn whole(&self) -> Result<&Repository, HistoryError> {
        if !self.is_looked_through.get() {
            Loose::of(&self.git).all_sound()?;
            self.is_looked_through.set(true);
        }
        Ok(&self.git)
    }

    /// Returns a state as libgit2 reads it.
    pub(super) fn commit(&self, state: StateId) -> Result<Commit<'_>, HistoryError> {
        Loose::of(&self.git).sound(state.0)?;
        Ok(self.git.find_commit(state.0)?)
    }

    /// Returns the state that a reference names.
    pub(super) fn named(&self, reference: &Reference<'_>) -> Result<StateId, HistoryError> {
        let target = reference.resolve()?.target();
        let id = target.ok_or_else(|| HistoryError::Failed("a reference names nothing".to_owned()))?;
        Ok(StateId(self.commit(StateId(id))?.id()))
    }

    /// Returns the folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Returns the full name of the reference that the open folder follows.
    ///
    /// # Errors
    /// [`HistoryError::Unfit`] where it follows none.
    pub(super) fn line(&self) -> Result<String, HistoryError> {
        let head = self.git.find_reference("HEAD")?;
        let name = head.symbolic_target().ok().flatten().map(str::to_owned);
        name.ok_or_else(|| {
            HistoryError::Unfit("the open folder shows an old state and follows no line (a detached HEAD)".to_owned())
        })
    }

    /// Returns the last state; none before anything was saved.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be told.
    pub fn tip(&self) -> Result<Option<StateId>, HistoryError> {
        match self.git.head() {
            Ok(head) => Ok(Some(self.named(&head)?)),
            Err(error) if matches!(error.code(), ErrorCode::UnbornBranch | ErrorCode::NotFound) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns the last state.
    ///
    /// # Errors
    /// [`HistoryError::Empty`] before anything was saved.
    pub fn last(&self) -> Result<StateId, HistoryError> {
        self.tip()?.ok_or(HistoryError::Empty)
    }

    /// Returns the state that a person names: by the letters of it that `history` shows, or any other name git knows.
    ///
    /// # Errors
    /// [`HistoryError::NoState`] where there is none.
    pub fn state(&self, named: &str) -> Result<StateId, HistoryError> {
        let object = self.whole()?.revparse_single(named).map_err(|_| HistoryError::NoState(named.to_owned()))?;
        let commit = object.peel(ObjectType::Commit).map_err(|_| HistoryError::NoState(named.to_owned()))?;
        Ok(StateId(commit.id()))
    }

    /// Tells whether a file stands at `path` in a state.
    #[must_use]
    pub fn holds(&self, state: StateId, path: &str) -> bool {
        Objects::of(&self.git).and_then(|mut objects| objects.stands(state.0, path)).unwrap_or(false)
    }

    /// Tells whether `older` is `newer` or one of the states it grew from.
    ///
    /// # Errors
    /// A [`HistoryError`] where states are missing.
    pub fn grew_from(&self, newer: StateId, older: StateId) -> Result<bool, HistoryError> {
        Ok(newer == older || self.whole()?.graph_descendant_of(newer.0, older.0)?)
    }
}

/// Asks libgit2 to have objects and references on the disk before they count.
///
/// It believes only settings, and git itself warns at every command where this one stands in the repository's own; so it stands
/// in a file beside it that git does not read. Where that cannot be written, nothing else can.
pub(super) fn keep_synced(git: &Repository) -> Result<(), HistoryError> {
    let own = git.path().join(SYNC);
    let Ok(mut config) = Config::open(&own) else { return Ok(()) };
    let mut others = 0;
    config.entries(None)?.for_each(|entry| {
        others += usize::from(!entry.name().is_ok_and(|name| name.eq_ignore_ascii_case(SYNCED)));
    })?;
    if others > 0 {
        let told = format!("`{}` holds settings that are not ours; take the file away", own.display());
        return Err(HistoryError::Unfit(told));
    }
    if config.get_bool(SYNCED).unwrap_or(false) || config.set_bool(SYNCED, true).is_ok() {
        git.config()?.add_file(&own, ConfigLevel::App, true)?;
    }
    Ok(())
}

/// A repository whose settings name another open folder (`core.worktree`) would be read here and written there.
fn is_its_own(git: &Repository, folder: &Path) -> Result<(), HistoryError> {
    let same = |named: &Path| match (named.canonicalize(), folder.canonicalize()) {
        (Ok(named), Ok(folder)) => named == folder,
        _ => false,
    };
    match git.workdir() {
        Some(named) if same(named) => Ok(()),
        Some(named) => Err(HistoryError::Unfit(format!(
            "its settings name `{}` as its open folder (core.worktree), which is another one",
            named.display()
        ))),
        None => Err(HistoryError::Unfit("its settings name no open folder".to_owned())),
    }
}
