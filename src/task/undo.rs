//! Takes back what was not saved, or the last save. Nothing a person wrote is lost by it, and no state is ever taken out.

use crate::base::path::is_protected;
use crate::history::content::{Kept, Turn, is_kept};
use crate::history::past::Saved;
use crate::history::point::{Author, Files};
use crate::history::repo::StateId;
use crate::task::folder::{Folder, FolderError};
use crate::task::save::{self, in_words};
use crate::workspace::open_folder::{self, Stands};

/// What is taken back.
#[derive(Clone, Debug)]
pub enum Plan {
    /// These files of the open folder go back to what was saved last.
    Unsaved {
        /// The files.
        files: Vec<String>,
    },
    /// The last save is taken back by a new state.
    Last {
        /// The save.
        saved: Saved,
        /// The files that change.
        files: Vec<String>,
    },
    /// These files go to what they were in a state.
    To {
        /// The state.
        saved: Saved,
        /// Whether it was only kept aside; then nothing is saved.
        is_aside: bool,
        /// The files that change.
        files: Vec<String>,
    },
    /// There is nothing to take back.
    Nothing,
}

/// What was done.
#[derive(Clone, Debug, Default)]
pub struct Undone {
    /// The state in which the text that was in the folder is kept.
    pub aside: Option<StateId>,
    /// The new state.
    pub state: Option<StateId>,
    /// Files that were neither as before nor as after, and were left.
    pub left: Vec<String>,
}

/// Returns what would be taken back. `named` are files; none means all.
///
/// # Errors
/// A [`FolderError`].
pub fn plan(folder: &Folder, named: &[String], to: Option<&str>) -> Result<Plan, FolderError> {
    let tip = folder.repo.last()?;
    let unsaved = unsaved(folder)?;
    let now = folder.repo.content(Some(tip))?;
    if let Some(to) = to {
        let state = folder.repo.state(to)?;
        let then = folder.repo.content(Some(state))?;
        let is_known =
            |name: &str| now.contains_key(name) || then.contains_key(name) || unsaved.contains(&name.to_owned());
        refuse_unknown(named, &is_known)?;
        let mut files: Vec<String> = unsaved.clone();
        files.extend(folder.repo.turns(Some(tip), Some(state))?.into_iter().map(|turn| turn.path));
        files.sort();
        files.dedup();
        files.retain(|path| !is_kept(path) && is_among(path, named));
        files.retain(|path| !holds(folder, path, then.get(path).copied()));
        let is_aside = folder.repo.is_aside(state);
        return Ok(if files.is_empty() {
            Plan::Nothing
        } else {
            Plan::To { saved: folder.repo.saved(state)?, is_aside, files }
        });
    }
    refuse_unknown(named, &|name| now.contains_key(name) || unsaved.contains(&name.to_owned()))?;
    let files: Vec<String> = unsaved.iter().filter(|path| is_among(path, named)).cloned().collect();
    if !files.is_empty() {
        return Ok(Plan::Unsaved { files });
    }
    if !named.is_empty() || !unsaved.is_empty() {
        return Ok(Plan::Nothing);
    }
    let saved = folder.repo.saved(tip)?;
    match saved.before {
        0 => return Err(FolderError::First),
        1 => {}
        _ => return Err(FolderError::Union),
    }
    let files: Vec<String> = saved.files.iter().map(|one| one.path.clone()).filter(|path| !is_kept(path)).collect();
    if files.is_empty() {
        let signed = saved.files.iter().any(|one| is_protected(&one.path));
        let told = "the last state holds what was signed, and that is never taken back; `matchmark withdraw` takes a release off \
                    the floor, `matchmark take-back` an approval";
        return if signed { Err(FolderError::Signed(told.to_owned())) } else { Ok(Plan::Nothing) };
    }
    Ok(Plan::Last { saved, files })
}

/// Does what was planned.
///
/// # Errors
/// A [`FolderError`]. Each file is then as before or as after, and the same again finishes.
pub fn undo(folder: &Folder, plan: &Plan, author: &Author) -> Result<Undone, FolderError> {
    let tip = folder.repo.last()?;
    let mut undone = Undone::default();
    match plan {
        Plan::Nothing => {}
        Plan::Unsaved { files } => {
            undone.aside = keep_aside(folder, files, author)?;
            undone.left = lay(folder, files, Some(tip))?;
        }
        Plan::To { saved, is_aside: true, files } => {
            undone.aside = keep_aside(folder, files, author)?;
            undone.left = lay(folder, files, Some(saved.state))?;
        }
        Plan::To { saved, is_aside: false, files } => {
            undone.aside = keep_aside(folder, files, author)?;
            undone.left = lay(folder, files, Some(tip))?;
            let words = format!("Back to {} ({})", saved.state.short(), saved.words.lines().next().unwrap_or_default());
            let state = make(folder, (tip, saved.state), files, &words, author)?;
            undone.left.extend(folder.advance(tip, state, &words)?);
            undone.state = Some(state);
        }
        Plan::Last { saved, files } => {
            let before = folder.repo.before(tip)?.ok_or(FolderError::First)?;
            let words = format!("Took back {} ({})", tip.short(), saved.words.lines().next().unwrap_or_default());
            let state = make(folder, (tip, before), files, &words, author)?;
            undone.left = folder.advance(tip, state, &words)?;
            undone.state = Some(state);
        }
    }
    Ok(undone)
}

/// Returns the names of what is not saved.
///
/// # Errors
/// A [`FolderError`].
pub fn unsaved(folder: &Folder) -> Result<Vec<String>, FolderError> {
    match save::pending(&folder.disk, Some(&folder.repo)) {
        Ok(pending) => Ok(pending.files.into_keys().filter(|path| !is_kept(path)).collect()),
        // They are changes, whatever else they are.
        Err(FolderError::Marks(marks)) => Ok(marks
            .iter()
            .filter_map(|mark| mark.trim_matches('`').rsplit_once(':'))
            .map(|(path, _)| path.to_owned())
            .collect()),
        Err(error) => Err(error),
    }
}

fn refuse_unknown(named: &[String], is_known: &dyn Fn(&str) -> bool) -> Result<(), FolderError> {
    for name in named {
        if is_protected(name) {
            return Err(FolderError::Signed(format!("`{name}` was signed, and is never taken back")));
        }
        if !is_known(name) {
            return Err(FolderError::NoFile(name.clone()));
        }
    }
    Ok(())
}

fn is_among(path: &str, named: &[String]) -> bool {
    named.is_empty() || named.iter().any(|name| name == path)
}

fn holds(folder: &Folder, path: &str, kept: Option<Kept>) -> bool {
    match (open_folder::stands(folder.root(), path), kept) {
        (Stands::Nothing, None) => true,
        (Stands::File(bytes), Some(kept)) => kept.holds(&bytes),
        _ => false,
    }
}

/// Keeps what stands in the open folder at these paths, where it differs from what was saved last.
fn keep_aside(folder: &Folder, files: &[String], author: &Author) -> Result<Option<StateId>, FolderError> {
    let tip = folder.repo.content(folder.repo.tip()?)?;
    let mut kept = Files::new();
    for path in files {
        match (open_folder::stands(folder.root(), path), tip.get(path)) {
            (Stands::File(bytes), was) if !was.is_some_and(|was| was.holds(&bytes)) => {
                drop(kept.insert(path.clone(), Some(bytes)));
            }
            (Stands::Nothing, Some(_)) => drop(kept.insert(path.clone(), None)),
            _ => {}
        }
    }
    if kept.is_empty() {
        return Ok(None);
    }
    let touched: Vec<_> = kept
        .iter()
        .map(|(path, bytes)| crate::history::past::Touched {
            path: path.clone(),
            deed: if bytes.is_some() { crate::history::past::Deed::Changed } else { crate::history::past::Deed::Gone },
        })
        .collect();
    Ok(Some(folder.repo.keep_aside(&kept, &format!("Not saved: {}", in_words(&touched)), author)?))
}

/// Brings these files of the open folder to what they are in a state, whatever stands there now: it was kept aside.
fn lay(folder: &Folder, files: &[String], state: Option<StateId>) -> Result<Vec<String>, FolderError> {
    let content = folder.repo.content(state)?;
    let mut left = Vec::new();
    // What goes makes room for what comes.
    let (here, gone): (Vec<&String>, Vec<&String>) = files.iter().partition(|path| content.contains_key(*path));
    for path in gone.into_iter().chain(here) {
        match (content.get(path), open_folder::stands(folder.root(), path)) {
            (Some(kept), Stands::File(bytes)) if kept.holds(&bytes) => {}
            (_, Stands::Other) => left.push(path.clone()),
            (Some(kept), _) if kept.is_file() => open_folder::write(folder.root(), path, &folder.repo.bytes(*kept)?)?,
            (Some(_), _) => left.push(path.clone()),
            (None, Stands::File(_)) => open_folder::remove(folder.root(), path)?,
            (None, Stands::Nothing) => {}
        }
    }
    Ok(left)
}

/// Returns the state that follows `tip` with these files as they are in `then`.
fn make(
    folder: &Folder,
    (tip, then): (StateId, StateId),
    files: &[String],
    words: &str,
    author: &Author,
) -> Result<StateId, FolderError> {
    let then = folder.repo.content(Some(then))?;
    let turns: Vec<Turn> =
        files.iter().map(|path| Turn { path: path.clone(), before: None, after: then.get(path).copied() }).collect();
    Ok(folder.repo.state_with(tip, &turns, words, author)?)
}
