//! Saves the open folder as a new state: every file that a binder shows, byte for byte as it stands there.
//!
//! What was signed and what is hidden is never taken from the open folder.

use crate::base::limits::SAVED_BYTES;
use crate::base::path::is_protected;
use crate::history::content::{Content, is_kept};
use crate::history::error::HistoryError;
use crate::history::past::{Deed, Touched};
use crate::history::point::{Author, Files};
use crate::history::repo::{Repo, StateId};
use crate::model::world::{Refusal, World as _, WorldError};
use crate::task::folder::{Folder, FolderError};
use crate::workspace::disk::Disk;
use crate::workspace::open_folder::{self, Stands};

/// What a new repository says of the files that git must leave alone.
const ATTRIBUTES: &str = "# Bytes are kept as they are: what was approved is what is kept.\n* -text\n\
    trust/** -text -diff\napprovals/** -text -diff\nresolved/** -text -diff\nledger/** -text -diff\nregister/** -text -diff\n";
/// And which of them are made and not written.
const IGNORED: &str = "# What is built is made again from what is saved; what begins like this a command was writing when it was ended.\n/out/\n\
    .tmp*\n";
/// How often it is looked again where others save at the same time.
const TRIES: usize = 50;
/// How many files a state's own words name.
const NAMED: usize = 3;

/// What would be saved.
#[derive(Clone, Debug, Default)]
pub struct Pending {
    /// The files, as the next state has them.
    pub files: Files,
    /// What is new, other or gone, by path.
    pub touched: Vec<Touched>,
    /// What is in the open folder and is not saved, each with the reason.
    pub left: Vec<String>,
}

/// What was saved.
#[derive(Clone, Debug)]
pub struct SavedNow {
    /// The new state; none where nothing has changed.
    pub state: Option<StateId>,
    /// Its words.
    pub words: String,
    /// What was found.
    pub pending: Pending,
    /// What could not be done after it was saved.
    pub note: Option<String>,
}

/// Returns what of the open folder differs from the last state. `repo` is none where nothing was ever saved.
///
/// # Errors
/// A [`FolderError`] where nothing may be saved.
pub fn pending(disk: &Disk, repo: Option<&Repo>) -> Result<Pending, FolderError> {
    let tip = repo.map(Repo::tip).transpose()?.flatten();
    let last = match repo {
        Some(repo) => repo.content(tip)?,
        None => Content::new(),
    };
    let listing = disk.list()?;
    let mut pending = Pending::default();
    let mut marks = Vec::new();
    for refused in &listing.refused {
        if refused.why == Refusal::TooMany {
            return Err(FolderError::TooMany);
        }
        pending.left.push(format!("{}: {}", refused.name, refused.why));
    }
    for path in &listing.files {
        let was = last.get(path.as_str());
        if was.is_none() && repo.is_some_and(|repo| repo.is_ignored(path.as_str())) {
            continue;
        }
        let bytes = match disk.read(path, SAVED_BYTES) {
            Ok(bytes) => bytes,
            // Taken away while it was looked at: it is gone, as the next look will find.
            Err(WorldError::Missing(_)) => continue,
            Err(error) => {
                pending.left.push(error.to_string());
                continue;
            }
        };
        if was.is_some_and(|was| was.holds(&bytes)) {
            continue;
        }
        if let Some(line) = mark(&bytes) {
            marks.push(format!("`{path}:{line}`"));
        }
        let deed = if was.is_some() { Deed::Changed } else { Deed::New };
        pending.touched.push(Touched { path: path.to_string(), deed });
        pending.files.insert(path.to_string(), Some(bytes));
    }
    if !marks.is_empty() {
        return Err(FolderError::Marks(marks));
    }
    gone(disk, &last, &mut pending);
    signed(disk, &last, &mut pending);
    begun(disk, &last, &mut pending);
    pending.touched.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(pending)
}

/// What the last state has and the folder has not. What stands there and was passed over is not gone.
fn gone(disk: &Disk, last: &Content, pending: &mut Pending) {
    for path in last.keys().filter(|path| !is_kept(path) && !pending.files.contains_key(*path)) {
        let stands = open_folder::stands(disk.root(), path);
        // A folder of this name stands there now if files in it are saved.
        let became_folder =
            stands == Stands::Other && pending.files.keys().any(|new| new.starts_with(&format!("{path}/")));
        if stands == Stands::Nothing || became_folder {
            pending.touched.push(Touched { path: path.clone(), deed: Deed::Gone });
        }
    }
    let gone = pending.touched.iter().filter(|one| one.deed == Deed::Gone).map(|one| (one.path.clone(), None));
    let gone: Vec<_> = gone.collect();
    pending.files.extend(gone);
}

/// What was signed stays as it was; where the open folder says something else, that is told.
fn signed(disk: &Disk, last: &Content, pending: &mut Pending) {
    for (path, kept) in last.iter().filter(|(path, _)| is_protected(path)) {
        let is_other = match open_folder::stands(disk.root(), path) {
            Stands::Nothing => false,
            Stands::File(bytes) => !kept.holds(&bytes),
            Stands::Other => true,
        };
        if is_other {
            pending.left.push(format!(
                "{path}: it was signed and stays as it was signed; the open folder holds something else (delete it there, and it comes back)"
            ));
        }
    }
}

/// The two files by which git leaves the bytes alone, for a state that has none.
fn begun(disk: &Disk, last: &Content, pending: &mut Pending) {
    for (path, ours) in [(".gitattributes", ATTRIBUTES), (".gitignore", IGNORED)] {
        if last.contains_key(path) {
            continue;
        }
        let bytes = match open_folder::stands(disk.root(), path) {
            Stands::File(bytes) => bytes,
            Stands::Nothing => ours.as_bytes().to_vec(),
            Stands::Other => continue,
        };
        pending.files.insert(path.to_owned(), Some(bytes));
        pending.touched.push(Touched { path: path.to_owned(), deed: Deed::New });
    }
}

/// Returns the line on which the marks of an unfinished union begin.
fn mark(bytes: &[u8]) -> Option<usize> {
    if memchr::memchr(0, bytes).is_some() {
        return None;
    }
    let is_mark = |line: &[u8]| {
        [b'<', b'>', b'|'].iter().any(|sign| {
            line.len() >= 7
                && line[..7].iter().all(|byte| byte == sign)
                && line.get(7).is_none_or(|byte| b" \r".contains(byte))
        })
    };
    bytes.split(|byte| *byte == b'\n').position(is_mark).map(|at| at + 1)
}

/// Saves what is pending; where others save at the same time, it looks again.
///
/// # Errors
/// A [`FolderError`]; nothing was saved then.
pub fn save(folder: &Folder, words: Option<&str>, author: &Author) -> Result<SavedNow, FolderError> {
    for _ in 0..TRIES {
        let base = folder.repo.tip()?;
        let pending = pending(&folder.disk, Some(&folder.repo))?;
        let words = words.map(str::trim).filter(|words| !words.is_empty());
        let first = || "The binder as it was first saved".to_owned();
        let own = || if base.is_none() { first() } else { in_words(&pending.touched) };
        let words = words.map_or_else(own, str::to_owned);
        if pending.files.is_empty() {
            // Where a save was ended between the state and the open folder, this is the rest of it.
            let note = settle(folder).err().map(|error| error.to_string());
            return Ok(SavedNow { state: None, words, pending, note });
        }
        match folder.repo.put(base, &pending.files, &words, author) {
            Ok(state) => {
                let note = settle(folder).err().map(|error| error.to_string());
                return Ok(SavedNow { state: Some(state), words, pending, note });
            }
            Err(HistoryError::Moved) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Err(FolderError::Chased)
}

/// Writes the hidden files that a first state brought, where they are missing, and notes that everything is saved.
fn settle(folder: &Folder) -> Result<(), FolderError> {
    let content = folder.repo.content(folder.repo.tip()?)?;
    for path in [".gitattributes", ".gitignore"] {
        let Some(kept) = content.get(path).filter(|kept| kept.is_file()) else { continue };
        if open_folder::stands(folder.root(), path) == Stands::Nothing {
            open_folder::write(folder.root(), path, &folder.repo.bytes(*kept)?)?;
        }
    }
    Ok(folder.repo.lay_out([])?)
}

/// Returns what changed, as the words of a state that was given none.
#[must_use]
pub fn in_words(touched: &[Touched]) -> String {
    let hidden = |one: &&Touched| !one.path.starts_with('.');
    let named: Vec<&Touched> = touched.iter().filter(hidden).collect();
    let one = |touched: &&Touched| {
        let deed = match touched.deed {
            Deed::New => "new",
            Deed::Changed => "changed",
            Deed::Gone => "taken away",
        };
        format!("{} {deed}", touched.path)
    };
    let mut words: Vec<String> = named.iter().take(NAMED).map(one).collect();
    match named.len().saturating_sub(NAMED) {
        0 if words.is_empty() => "What git is told about this binder".to_owned(),
        0 => words.join(", "),
        1 => {
            words.push("and one more file".to_owned());
            words.join(", ")
        }
        more => {
            words.push(format!("and {more} more files"));
            words.join(", ")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_marks_and_a_heading_is_none() {
        assert_eq!(mark(b"a\n<<<<<<< ours\nb\n"), Some(2));
        assert_eq!(mark(b"a\n>>>>>>> theirs\r\n"), Some(2));
        assert_eq!(mark(b"Title\n=======\n\n>>> quote\n<<<<<<<<\n"), None);
        assert_eq!(mark(b"\0<<<<<<< x\n"), None);
    }

    #[test]
    fn a_state_without_words_says_what_changed() {
        let touched = |path: &str, deed| Touched { path: path.to_owned(), deed };
        assert_eq!(in_words(&[touched("seals/a.md", Deed::Changed)]), "seals/a.md changed");
        let many: Vec<Touched> = (0..6).map(|n| touched(&format!("{n}.md"), Deed::New)).collect();
        assert_eq!(in_words(&many), "0.md new, 1.md new, 2.md new, and 3 more files");
        assert_eq!(in_words(&[touched(".gitignore", Deed::New)]), "What git is told about this binder");
    }
}
