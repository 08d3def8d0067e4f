//! What was saved, in the words of the trade: which documents a state touched, what was signed, and who wrote which line.

use crate::base::path::is_protected;
use crate::history::error::HistoryError;
use crate::history::past::{Deed, LineOf, Saved};
use crate::history::repo::Repo;
use crate::model::load::load;
use crate::task::folder::FolderError;
use crate::trust::approval::Approval;
use crate::trust::digest::Digest;
use crate::trust::place::{self, Side};
use crate::trust::record::{Entry, Record};
use crate::workspace::disk::Disk;
use serde::Serialize;
use std::collections::BTreeMap;

/// One state, as a list shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PastState {
    /// The first letters of its name.
    pub state: String,
    /// The day.
    pub day: String,
    /// Who saved it.
    pub who: String,
    /// With which words.
    pub words: String,
    /// What it touched, in words.
    pub touched: Vec<String>,
}

/// One line of a file, as a list shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PastLine {
    /// The line.
    pub line: usize,
    /// The day it was changed last.
    pub day: String,
    /// By whom.
    pub who: String,
    /// The state that brought it.
    pub state: String,
    /// With which words.
    pub words: String,
    /// What it says.
    pub text: String,
}

/// The documents of a binder by their files.
pub struct Documents {
    numbers: BTreeMap<String, String>,
}

impl Documents {
    /// Reads which file holds which document; a binder that cannot be read has files only.
    #[must_use]
    pub fn of(disk: &Disk) -> Self {
        let mut numbers = BTreeMap::new();
        if let Ok((binder, _)) = load(disk) {
            for procedure in &binder.procedures {
                let path = binder.texts.locate(procedure.document.span).0.to_string();
                numbers.insert(path, procedure.document.value.to_string());
            }
        }
        Self { numbers }
    }

    /// Returns the file that a person means by its path or by the number of its document.
    #[must_use]
    pub fn file(&self, named: &str) -> Option<String> {
        let by_number = self.numbers.iter().find(|(_, number)| number.eq_ignore_ascii_case(named));
        by_number.map(|(path, _)| path.clone())
    }

    /// Returns a file as it is called: by its number too.
    #[must_use]
    pub fn called(&self, path: &str) -> String {
        self.numbers.get(path).map_or_else(|| path.to_owned(), |number| format!("{number} ({path})"))
    }
}

/// Returns the states up to the last one, the newest first; only those that touched a file where one is named.
///
/// # Errors
/// A [`FolderError`].
pub fn history(
    repo: &Repo,
    documents: &Documents,
    path: Option<&str>,
    most: usize,
) -> Result<Vec<PastState>, FolderError> {
    let past = repo.past(repo.last()?, path, most)?;
    if past.is_empty() && path.is_some() {
        return Err(FolderError::NoFile(path.unwrap_or_default().to_owned()));
    }
    past.into_iter().map(|saved| shown(repo, documents, &saved)).collect()
}

/// Returns a state as a list shows it.
///
/// # Errors
/// A [`FolderError`] where its files are not there.
pub fn shown(repo: &Repo, documents: &Documents, saved: &Saved) -> Result<PastState, FolderError> {
    Ok(PastState {
        state: saved.state.short(),
        day: day(saved.second),
        who: saved.who.clone(),
        words: saved.words.lines().next().unwrap_or_default().to_owned(),
        touched: touched(repo, documents, saved)?,
    })
}

/// Returns the day of a second.
#[must_use]
pub fn day(second: i64) -> String {
    let day = u64::try_from(second).ok().and_then(crate::base::date::Date::at_second);
    day.map_or_else(|| "?".to_owned(), |day| day.to_string())
}

fn touched(repo: &Repo, documents: &Documents, saved: &Saved) -> Result<Vec<String>, FolderError> {
    let mut words = Vec::new();
    let mut content = None;
    for one in &saved.files {
        if !is_protected(&one.path) {
            if one.path.starts_with('.') {
                continue;
            }
            let deed = match one.deed {
                Deed::New => " new",
                Deed::Changed => "",
                Deed::Gone => " taken away",
            };
            words.push(format!("{}{deed}", documents.called(&one.path)));
            continue;
        }
        if content.is_none() {
            content = Some(repo.content(Some(saved.state))?);
        }
        let kept = content.as_ref().and_then(|content| content.get(&one.path)).filter(|kept| kept.is_file());
        let bytes = kept.map(|kept| repo.bytes(*kept)).transpose()?;
        words.extend(bytes.and_then(|bytes| signed(&one.path, &bytes)));
    }
    Ok(words)
}

/// Returns what a signed file says, in a few words; none where another file says it. It was not verified: `audit` does that.
fn signed(path: &str, bytes: &[u8]) -> Option<String> {
    if let Some(seq) = place::record_at(path) {
        return Some(match Record::parse(bytes).ok()?.entry {
            Entry::Release(_) => format!("released as {seq}"),
            Entry::Withdraw(_) => format!("withdrawn by {seq}"),
            Entry::Root => format!("other people and keys from {seq} on"),
            Entry::Compromised { .. } => format!("a key was reported lost or stolen by {seq}"),
            Entry::Heartbeat => format!("a sign of life, {seq}"),
        });
    }
    if let Some(number) = path.strip_prefix("trust/").and_then(|name| name.strip_suffix(".root")) {
        return Some(format!("people and keys, version {number}"));
    }
    let manifest = path.strip_prefix("approvals/").and_then(|rest| rest.split_once('/'))?;
    let digest = Digest::parse(manifest.0)?;
    if manifest.1 == "manifest" {
        return Some(format!("prepared for approval: {}", digest.short()));
    }
    let (side, person, _) = place::statement_at(&digest, path)?;
    if side == Side::Prepare {
        return None;
    }
    let meaning = Approval::parse(bytes).ok()?.meaning.as_str();
    Some(format!("{meaning}, says {person}"))
}

/// Returns who wrote the lines of a file.
///
/// # Errors
/// A [`FolderError`] where it was never saved.
pub fn who(repo: &Repo, path: &str, (first, last): (usize, usize)) -> Result<Vec<PastLine>, FolderError> {
    let lines = repo.lines(path, first, last).map_err(|error| match error {
        HistoryError::NoState(path) => FolderError::NoFile(path),
        error => error.into(),
    })?;
    let line = |one: LineOf| PastLine {
        line: one.line,
        day: day(one.second),
        who: one.who,
        state: one.state.short(),
        words: one.words,
        text: one.text,
    };
    Ok(lines.into_iter().map(line).collect())
}
