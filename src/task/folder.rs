//! The open folder and its history, used by one command at a time; what an interrupted command left is finished first.

use crate::base::path::is_protected;
use crate::history::content::{Kept, Turn};
use crate::history::error::HistoryError;
use crate::history::point::Author;
use crate::history::repo::{Repo, StateId};
use crate::model::load::LoadError;
use crate::model::world::WorldError;
use crate::workspace::disk::Disk;
use crate::workspace::lock::{self, Lock, LockError};
use crate::workspace::named_file::NamedFileError;
use crate::workspace::open_folder::{self, Stands};
use crate::workspace::stock_git::StockGitError;
use std::path::{Path, PathBuf};

/// A binder's open folder with its history, held by this command alone.
pub struct Folder {
    /// The open folder.
    pub disk: Disk,
    /// The history.
    pub repo: Repo,
    /// What an interrupted command had left, and what could not be finished of it.
    pub left: Vec<String>,
    _lock: Lock,
}

/// Why a command about the open folder did nothing.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// The history.
    #[error(transparent)]
    History(#[from] HistoryError),
    /// Another command is at it.
    #[error(transparent)]
    Lock(#[from] LockError),
    /// A file.
    #[error(transparent)]
    File(#[from] NamedFileError),
    /// The folder.
    #[error(transparent)]
    World(#[from] WorldError),
    /// The binder.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// The user's git.
    #[error(transparent)]
    Git(#[from] StockGitError),
    /// The binder lies in a folder that git already keeps as a whole.
    #[error("the binder lies in `{}`, which is kept by git as a whole; it cannot keep a history of its own there", .0.display())]
    Around(PathBuf),
    /// A file holds two people's lines with the marks of an unfinished union between them.
    #[error("{} hold the marks that git leaves between two people's lines (`<<<<<<<`); nothing was saved", .0.join(", "))]
    Marks(Vec<String>),
    /// The folder has more files than are looked through.
    #[error(
        "the binder holds more files than are looked through, so that what is gone cannot be told from what was not seen; nothing was saved"
    )]
    TooMany,
    /// Nobody is named.
    #[error("it is not known who saves")]
    Nobody,
    /// There are changes that were not saved.
    #[error("there are changes that are not saved: {}", .0.join(", "))]
    Unsaved(Vec<String>),
    /// No such file in either state.
    #[error("`{0}` is neither in the open folder nor in what was saved")]
    NoFile(String),
    /// What was signed is never taken back.
    #[error("{0}")]
    Signed(String),
    /// There is nothing before.
    #[error("there is no state before the first one")]
    First,
    /// The last state brought two lines together.
    #[error("the last state brought in what others saved; it is not known which of it is to be taken back")]
    Union,
    /// The address of the shared place.
    #[error(transparent)]
    Place(#[from] crate::history::remote::PlaceFault),
    /// The binder is shared with nobody.
    #[error("this binder is shared with nobody yet")]
    NoPlace,
    /// The shared place cannot be reached; the words are another computer's.
    #[error("the shared place cannot be reached: {0}")]
    Unreached(String),
    /// The shared place ends before what was seen there.
    #[error("{0}")]
    Rewound(String),
    /// Others are faster again and again.
    #[error("others save faster than this can be brought together; nothing was sent")]
    Chased,
    /// The folder to copy into holds something.
    #[error("`{}` is not empty; name a new folder to copy the binder into", .0.display())]
    Taken(PathBuf),
    /// The shared place is empty.
    #[error("nothing has been sent to the shared place yet")]
    EmptyPlace,
}

impl Folder {
    /// Opens a binder that has a history, and finishes what an interrupted command left.
    ///
    /// # Errors
    /// A [`FolderError`].
    pub fn open(disk: Disk) -> Result<Self, FolderError> {
        let repo = Repo::open(disk.root())?;
        let lock = lock::take(&repo.lock_file())?;
        repo.is_at_rest()?;
        let mut folder = Self { disk, repo, left: Vec::new(), _lock: lock };
        folder.left = folder.finish()?;
        Ok(folder)
    }

    /// Opens a binder, and begins its history where it has none.
    ///
    /// # Errors
    /// A [`FolderError`].
    pub fn begin(disk: Disk) -> Result<Self, FolderError> {
        match Repo::open(disk.root()) {
            Err(HistoryError::None(_)) => {
                if let Some(outer) = Repo::around(disk.root()) {
                    return Err(FolderError::Around(outer));
                }
                let make = |aside: &Path| Repo::make(aside).map(|_| ()).map_err(FolderError::from);
                open_folder::begin(disk.root(), ".git", make)?;
            }
            Err(error) => return Err(error.into()),
            Ok(_) => {}
        }
        Self::open(disk)
    }

    /// Returns the folder.
    #[must_use]
    pub fn root(&self) -> &Path {
        self.disk.root()
    }

    /// Lets the binder follow `to`, and brings the open folder up to it.
    ///
    /// The open folder is noted as behind before the binder moves, so that whoever comes next brings it up if this is ended.
    /// Returns what was left as it was.
    ///
    /// # Errors
    /// A [`FolderError`]; the binder then follows `to` as a whole or not at all.
    pub fn advance(&self, from: StateId, to: StateId, words: &str) -> Result<Vec<String>, FolderError> {
        self.repo.begin_turn(from)?;
        if let Err(error) = self.repo.go_on(Some(from), to, words) {
            self.repo.end_turn()?;
            return Err(error.into());
        }
        self.finish()
    }

    /// Brings the open folder up to the last state where a command was ended on the way to it, and puts signed files back
    /// that are missing or cut off. What a person wrote there in the meantime is left, and named.
    fn finish(&self) -> Result<Vec<String>, FolderError> {
        let mut left = Vec::new();
        let Some(tip) = self.repo.tip()? else { return Ok(left) };
        if let Some(shown) = self.repo.open_turn()? {
            if shown != tip {
                left = self.lay(&self.repo.turns(Some(shown), Some(tip))?)?;
                self.repo.lay_out([])?;
            }
            self.repo.end_turn()?;
        }
        let signed = self.repo.content(Some(tip))?;
        let protected = signed.iter().filter(|(path, _)| is_protected(path));
        let missing: Vec<String> =
            protected.filter(|(path, kept)| self.is_cut_off(path, **kept)).map(|(path, _)| path.clone()).collect();
        if !missing.is_empty() {
            self.repo.lay_out(missing)?;
        }
        Ok(left)
    }

    /// Tells whether a file is missing, or holds only the beginning of what is kept: a command was ended while it wrote it.
    fn is_cut_off(&self, path: &str, kept: Kept) -> bool {
        match open_folder::stands(self.root(), path) {
            Stands::Nothing => true,
            Stands::File(bytes) if kept.is_file() && !kept.holds(&bytes) => {
                self.repo.bytes(kept).is_ok_and(|whole| whole.starts_with(&bytes))
            }
            _ => false,
        }
    }

    /// Brings files of the open folder from one state to another, each as a whole. Returns those that were neither and were left.
    ///
    /// # Errors
    /// A [`FolderError`] where the platform refuses; each file is then old or new, and the same again finishes.
    pub fn lay(&self, turns: &[Turn]) -> Result<Vec<String>, FolderError> {
        let mut left = Vec::new();
        // What goes makes room for what comes: a folder may stand where a file was, and the other way round.
        let (gone, here): (Vec<&Turn>, Vec<&Turn>) = turns.iter().partition(|turn| turn.after.is_none());
        for turn in gone.into_iter().chain(here) {
            let stands = open_folder::stands(self.root(), &turn.path);
            let holds = |kept: Option<Kept>| match (&stands, kept) {
                (Stands::Nothing, None) => true,
                (Stands::File(bytes), Some(kept)) => kept.holds(bytes),
                _ => false,
            };
            if holds(turn.after) {
                continue;
            }
            if !holds(turn.before) {
                left.push(turn.path.clone());
                continue;
            }
            match turn.after {
                Some(after) if after.is_file() => {
                    open_folder::write(self.root(), &turn.path, &self.repo.bytes(after)?)?;
                }
                Some(_) => left.push(turn.path.clone()),
                None => open_folder::remove(self.root(), &turn.path)?,
            }
        }
        Ok(left)
    }
}

/// Returns who saves: as named, else as git knows them, else as the computer does.
///
/// # Errors
/// [`FolderError::Nobody`].
pub fn author(repo: Option<&Repo>, named: Option<&str>, user: &str, second: u64) -> Result<Author, FolderError> {
    let second = i64::try_from(second).unwrap_or(i64::MAX);
    let plain = |name: &str| name.chars().filter(|c| !c.is_control() && !"<>".contains(*c)).collect::<String>();
    if let (None, Some((name, address))) = (named, repo.and_then(Repo::configured_author)) {
        return Ok(Author { name: plain(&name), address: plain(&address), second });
    }
    let name = plain(named.unwrap_or(user)).trim().to_owned();
    let id: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    let id = id.trim_matches('-');
    if name.is_empty() {
        return Err(FolderError::Nobody);
    }
    let id = if id.is_empty() { "somebody" } else { id };
    Ok(Author { name, address: format!("{id}@binder.invalid"), second })
}
