//! A binder as it was in one state of its history: read from objects, never from the open folder; it knows no newer state.

use crate::base::date::Date;
use crate::base::limits::{FILES, FOLDERS};
use crate::base::path::{BinderPath, is_protected};
use crate::base::twins;
use crate::history::error::HistoryError;
use crate::history::listing::Objects;
use crate::history::loose::Loose;
use crate::history::repo::{Repo, StateId};
use crate::model::world::{Listing, Refusal, Refused, World, WorldError};
use git2::{ObjectType, Oid, Repository, Tree};
use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The mode of a link in a tree.
const LINK: i32 = 0o120_000;

/// One state of a binder.
pub struct Revision {
    git: Mutex<Repository>,
    files: BTreeMap<BinderPath, Oid>,
    refused: Vec<Refused>,
    today: Date,
}

impl Revision {
    /// Returns the binder as it was at `state`; `today` decides only what has run out.
    ///
    /// # Errors
    /// A [`HistoryError`] where its list of files is not there.
    pub fn at(repo: &Repo, state: StateId, today: Date) -> Result<Self, HistoryError> {
        let git = Repository::open(repo.git.path())?;
        let (mut files, mut refused) = (BTreeMap::new(), Vec::new());
        {
            Objects::of(&git)?.sound_whole(state.0)?;
            let tree = git.find_commit(state.0)?.tree()?;
            let mut walk = Walk { git: &git, files: &mut files, refused: &mut refused };
            walk.folder("", &tree, 0)?;
        }
        refused.sort();
        Ok(Self { git: Mutex::new(git), files, refused, today })
    }

    fn git(&self) -> MutexGuard<'_, Repository> {
        self.git.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn bytes(&self, path: &BinderPath, most: u64) -> Result<Bounded, WorldError> {
        let id = self.files.get(path).ok_or_else(|| WorldError::Missing(path.to_string()))?;
        let git = self.git();
        let cannot = |error: &git2::Error| WorldError::Unreadable {
            path: path.to_string(),
            reason: format!("it is not in the history: {}", error.message()),
        };
        let sound = Loose::of(&git).sound(*id);
        sound.map_err(|error| WorldError::Unreadable { path: path.to_string(), reason: error.to_string() })?;
        // The length first: what is too large is never taken in.
        let odb = git.odb().map_err(|error| cannot(&error))?;
        let (length, _) = odb.read_header(*id).map_err(|error| cannot(&error))?;
        let blob = git.find_blob(*id).map_err(|error| cannot(&error))?;
        let kept = blob.content().len().min(usize::try_from(most).unwrap_or(usize::MAX));
        Ok(Bounded { bytes: blob.content()[..kept].to_vec(), is_whole: length as u64 <= most })
    }
}

struct Bounded {
    bytes: Vec<u8>,
    is_whole: bool,
}

impl World for Revision {
    fn list(&self) -> Result<Listing, WorldError> {
        Ok(Listing { files: self.files.keys().cloned().collect(), refused: self.refused.clone() })
    }

    fn read(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
        let found = self.bytes(path, most)?;
        if found.is_whole { Ok(found.bytes) } else { Err(WorldError::TooLarge { path: path.to_string(), limit: most }) }
    }

    fn head(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
        Ok(self.bytes(path, most)?.bytes)
    }

    fn today(&self) -> Result<Date, WorldError> {
        Ok(self.today)
    }
}

/// A walk through the folders of a state.
struct Walk<'a> {
    git: &'a Repository,
    files: &'a mut BTreeMap<BinderPath, Oid>,
    refused: &'a mut Vec<Refused>,
}

impl Walk<'_> {
    fn folder(&mut self, within: &str, tree: &Tree<'_>, depth: usize) -> Result<(), HistoryError> {
        let names: Vec<String> = tree.iter().filter_map(|entry| entry.name().ok().map(str::to_owned)).collect();
        let twins = twins::of(names.iter().map(String::as_str));
        for entry in tree {
            let Ok(plain) = entry.name() else {
                self.refuse(format!("{within}{}", String::from_utf8_lossy(entry.name_bytes())), Refusal::Name);
                continue;
            };
            let name = format!("{within}{plain}");
            // As on a disk: hidden names and what the program keeps for itself are no part of the binder's content.
            if plain.starts_with('.') || (within.is_empty() && is_protected(&format!("{plain}/"))) {
                continue;
            }
            if self.files.len() + self.refused.len() >= FILES {
                self.refuse(name, Refusal::TooMany);
                return Ok(());
            }
            if twins.contains(plain) {
                self.refuse(name, Refusal::CaseTwin);
                continue;
            }
            match (entry.kind(), BinderPath::parse(&name)) {
                _ if entry.filemode() == LINK => self.refuse(name, Refusal::Link),
                (Some(ObjectType::Tree), Ok(_)) if depth >= FOLDERS => self.refuse(name, Refusal::Depth),
                (Some(ObjectType::Tree), Ok(_)) => {
                    let below = self.git.find_tree(entry.id())?;
                    self.folder(&format!("{name}/"), &below, depth + 1)?;
                }
                (Some(ObjectType::Blob), Ok(path)) => {
                    self.files.insert(path, entry.id());
                }
                (_, Err(_)) => self.refuse(name, Refusal::Name),
                _ => self.refuse(name, Refusal::Special),
            }
        }
        Ok(())
    }

    fn refuse(&mut self, name: String, why: Refusal) {
        self.refused.push(Refused { name, why });
    }
}
