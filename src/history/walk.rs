//! The way from the first state to one state: which state brought each record, and whether any took back what is written once.
//!
//! Each state is held against *every* state before it, so that nothing is lost in a union of two lines. What was followed before
//! and found good ([`Known`]) is not followed again.

use crate::base::path::PROTECTED;
use crate::history::differing::Differing;
use crate::history::error::HistoryError;
use crate::history::known::{Before, Brought, Known};
use crate::history::listing::{FOLDER, Objects, State, entries};
use crate::history::repo::{Repo, StateId};
use crate::trust::digest::Digest;
use crate::trust::place;
use crate::trust::verdict::{Code, Verdict};
use git2::{OdbLookupFlags, Oid, Repository};
use rayon::iter::ParallelIterator as _;
use rayon::slice::ParallelSlice as _;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::path::Path;

/// How many states one hand follows at a time; it reads the first one's predecessors again.
const STRIDE: usize = 64;

/// What the way to a state shows.
#[derive(Clone, Debug, Default)]
pub struct Passage {
    brought: Brought,
    /// What was taken back, and what is no plain file.
    verdicts: Vec<Verdict>,
    states: HashSet<Oid>,
    lacks: usize,
    /// How many of the states were followed before.
    remembered: usize,
}

/// The protected folders of a state, and what else could be taken for one.
struct Roots {
    folders: BTreeMap<&'static str, (Vec<u8>, Oid)>,
    twins: BTreeMap<String, Oid>,
}

impl Passage {
    /// Follows the way to `state`, from where it was followed before if it leads through there; what is missing on it is told,
    /// and the rest is followed.
    ///
    /// # Errors
    /// A [`HistoryError`] where the state itself is missing, or the objects cannot be opened.
    pub fn of(repo: &Repo, state: StateId, known: Option<&Known>) -> Result<Self, HistoryError> {
        let objects = Objects::of(&repo.git)?;
        if let Some(known) = known.filter(|known| is_here(repo, known))
            && let Ok(way) = Way::to(&objects, state, &known.states)
            && way.grew_from(state, known)
        {
            let mut passage = Self::along(repo, &way)?;
            passage.remembered = known.states.len();
            passage.states.extend(known.states.iter().map(|state| state.0));
            for (record, before) in &known.brought {
                passage.brought.entry(record.clone()).or_default().extend(before.iter().cloned());
            }
            return Ok(passage);
        }
        Self::along(repo, &Way::to(&objects, state, &BTreeSet::new())?)
    }

    fn along(repo: &Repo, way: &Way) -> Result<Self, HistoryError> {
        let place = repo.git.path();
        let strides: Vec<Self> = way
            .order
            .par_chunks(STRIDE)
            .map(|ids| Self::stride(place, way, ids))
            .collect::<Result<_, HistoryError>>()?;
        let mut passage =
            Self { states: way.states.keys().copied().collect(), lacks: way.missing.len(), ..Self::default() };
        for missing in &way.missing {
            let told = "a state of the history is missing here; copy the binder again from where it is kept whole";
            passage.verdicts.push(Verdict::new(Code::Partial, format!("state {}", short(*missing)), told));
        }
        for stride in strides {
            passage.lacks += stride.lacks;
            passage.verdicts.extend(stride.verdicts);
            for (record, before) in stride.brought {
                passage.brought.entry(record).or_default().extend(before);
            }
        }
        Ok(passage)
    }

    /// Follows some of the states, with objects of its own.
    fn stride(place: &Path, way: &Way, ids: &[Oid]) -> Result<Self, HistoryError> {
        let git = Repository::open(place)?;
        let mut objects = Objects::of(&git)?;
        let mut passage = Self::default();
        for id in ids {
            match passage.state(&mut objects, way, *id) {
                Ok(()) => {}
                Err(HistoryError::Incomplete(told)) => {
                    passage.lacks += 1;
                    let told = format!("{told}; copy the binder again from where it is kept whole");
                    passage.verdicts.push(Verdict::new(Code::Missing, format!("state {}", short(*id)), told));
                }
                Err(error) => return Err(error),
            }
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
        self.states.len()
    }

    /// Returns how many of them were followed before and found good.
    #[must_use]
    pub fn remembered(&self) -> usize {
        self.remembered
    }

    /// Returns what need not be followed again on the way to later states; none where anything is not as it should be.
    #[must_use]
    pub fn known(&self, tip: StateId) -> Option<Known> {
        let is_good = self.is_whole() && self.verdicts.is_empty() && self.states.contains(&tip.0);
        let states = || self.states.iter().copied().map(StateId).collect();
        is_good.then(|| Known { tip, states: states(), brought: self.brought.clone() })
    }

    /// Tells whether a state is on the way.
    #[must_use]
    pub fn has(&self, state: StateId) -> bool {
        self.states.contains(&state.0)
    }

    /// Tells whether every state on the way could be read.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.lacks == 0
    }

    /// Tells whether a path stood in the state to which a record was added; in each of them, if it was added more than once.
    ///
    /// Where states are missing nobody can tell, and nothing is decided: then nothing is held against a statement here.
    pub(super) fn stood_before(&self, repo: &Repo, path: &str, record: &str) -> bool {
        if !self.is_whole() {
            return true;
        }
        let Ok(mut objects) = Objects::of(&repo.git) else { return false };
        let within = |folder: &str| path.strip_prefix(folder).filter(|name| !name.contains('/'));
        let mut has = |before: &Before| match before.folder.as_ref().map(|(folder, names)| (within(folder), names)) {
            Some((Some(name), names)) => names.contains(name),
            _ => before.states.iter().any(|state| objects.stands(state.0, path).unwrap_or(false)),
        };
        self.brought.get(record).is_some_and(|every| !every.is_empty() && every.iter().all(&mut has))
    }

    fn state(&mut self, objects: &mut Objects<'_>, way: &Way, id: Oid) -> Result<(), HistoryError> {
        let Some(state) = way.states.get(&id) else { return Ok(()) };
        let own = Roots::of(objects, state.tree)?;
        let mut new: Option<BTreeMap<String, Oid>> = None;
        let known: Vec<&State> = state.before.iter().filter_map(|before| way.states.get(before)).collect();
        let mut bases: Vec<Roots> =
            known.iter().map(|before| Roots::of(objects, before.tree)).collect::<Result<_, _>>()?;
        if bases.is_empty() {
            bases.push(Roots { folders: BTreeMap::new(), twins: BTreeMap::new() });
        }
        for base in &bases {
            let mut differing = Differing::of(objects, id);
            differing.roots(&own.twins, &base.twins);
            for folder in PROTECTED {
                differing.root(folder, base.folders.get(folder), own.folders.get(folder))?;
            }
            let (added, verdicts) = differing.told();
            for verdict in verdicts {
                // A merge may differ in the same way from both.
                if !self.verdicts.contains(&verdict) {
                    self.verdicts.push(verdict);
                }
            }
            // New is what no state before had.
            new = Some(match new {
                None => added,
                Some(others) => others.into_iter().filter(|(path, _)| added.contains_key(path)).collect(),
            });
        }
        let before: Vec<StateId> = state.before.iter().copied().map(StateId).collect();
        for (path, file) in new.unwrap_or_default() {
            if place::record_at(&path).is_some() {
                let folder = folder_of(objects, file, &bases)?;
                self.brought.entry(path).or_default().push(Before { states: before.clone(), folder });
            }
        }
        Ok(())
    }
}

impl Roots {
    fn of(objects: &mut Objects<'_>, tree: Oid) -> Result<Self, HistoryError> {
        let listing = objects.listing(tree)?;
        let mut roots = Self { folders: BTreeMap::new(), twins: BTreeMap::new() };
        for entry in entries(&listing) {
            let name = entry.shown();
            let protected = PROTECTED.into_iter().find(|folder| folder.trim_end_matches('/') == name);
            if let Some(folder) = protected {
                roots.folders.insert(folder, (entry.mode.to_vec(), entry.id));
            } else if is_twin(&name) {
                roots.twins.insert(name.into_owned(), entry.id);
            }
        }
        Ok(roots)
    }
}

/// Tells whether some disk would take a name for that of a protected folder: one that ignores case, marks of direction, what
/// stands after a colon, a dot or blank at the end, or one that gives long names short ones.
fn is_twin(name: &str) -> bool {
    let shown = name.split(':').next().unwrap_or(name).trim_end_matches(['.', ' ']);
    let seen = shown.chars().filter(|c| c.is_ascii() || c.is_alphanumeric());
    let folded = seen.collect::<String>().to_uppercase().to_lowercase();
    let short = folded.split_once('~').map(|(start, _)| start);
    PROTECTED.into_iter().map(|folder| folder.trim_end_matches('/')).any(|folder| {
        folded == folder || short.is_some_and(|short| short.len() >= 2 && folder.starts_with(short) && folder.len() > 8)
    })
}

/// Tells whether every state that was followed before is in this copy: what is missing must be told.
fn is_here(repo: &Repo, known: &Known) -> bool {
    let Ok(odb) = repo.git.odb() else { return false };
    known.states.iter().all(|state| odb.exists_ext(state.0, OdbLookupFlags::NO_REFRESH))
}

/// Returns the folder of the change that a record is about, and the names that stood in it in one of the states before.
fn folder_of(
    objects: &mut Objects<'_>,
    record: Oid,
    bases: &[Roots],
) -> Result<Option<(String, BTreeSet<String>)>, HistoryError> {
    let bytes = objects.file(record)?;
    let manifest = bytes.split(|byte| *byte == b'\n').find_map(|line| line.strip_prefix(b"manifest: "));
    let manifest = manifest.and_then(|digest| std::str::from_utf8(digest).ok());
    let Some(manifest) = manifest.filter(|digest| Digest::parse(digest).is_some()) else { return Ok(None) };
    let mut names = BTreeSet::new();
    for base in bases {
        let Some((mode, approvals)) = base.folders.get("approvals/") else { continue };
        if mode != FOLDER {
            continue;
        }
        if let Some((_, id)) = objects.entry(*approvals, manifest)?.filter(|(mode, _)| mode == FOLDER) {
            let listing = objects.listing(id)?;
            names.extend(entries(&listing).filter_map(|entry| std::str::from_utf8(entry.name).ok().map(str::to_owned)));
        }
    }
    Ok(Some((format!("approvals/{manifest}/"), names)))
}

/// Returns the first letters of git's name of a state, as every message shows them.
pub(super) fn short(id: Oid) -> String {
    id.to_string()[..8].to_owned()
}

/// Every state up to one that is not known, each after those before it.
struct Way {
    /// These, and those known ones that they follow.
    states: HashMap<Oid, State>,
    order: Vec<Oid>,
    missing: BTreeSet<Oid>,
}

impl Way {
    /// Follows the states by what they name themselves, up to known ones.
    fn to(objects: &Objects<'_>, state: StateId, known: &BTreeSet<StateId>) -> Result<Self, HistoryError> {
        let mut way = Self { states: HashMap::new(), order: Vec::new(), missing: BTreeSet::new() };
        let mut open = Vec::new();
        way.states.insert(state.0, objects.state(state.0)?);
        if !known.contains(&state) {
            // Deep histories are followed without going deeper here.
            open.push((state.0, 0));
        }
        while let Some((id, next)) = open.pop() {
            let Some(before) = way.states[&id].before.get(next).copied() else {
                way.order.push(id);
                continue;
            };
            open.push((id, next + 1));
            if way.states.contains_key(&before) || way.missing.contains(&before) {
                continue;
            }
            match objects.state(before) {
                Ok(state) => {
                    way.states.insert(before, state);
                    if !known.contains(&StateId(before)) {
                        open.push((before, 0));
                    }
                }
                Err(HistoryError::Incomplete(_)) => {
                    way.missing.insert(before);
                }
                Err(error) => return Err(error),
            }
        }
        Ok(way)
    }

    /// Tells whether this way leads on from a known state. One that leads on from an older one only was turned back: then
    /// nothing is taken as known.
    fn grew_from(&self, state: StateId, known: &Known) -> bool {
        let is_next = |id: &Oid| self.states[id].before.contains(&known.tip.0);
        state == known.tip || self.order.iter().any(is_next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_disk_could_take_for_a_protected_folder() {
        for name in ["Ledger", "LEDGER", "ledger.", "trust ", "tru\u{200d}st", "tru\u{17f}t", "ledger:x", "APPROV~1"] {
            assert!(is_twin(name), "{name}");
        }
        for name in ["ledgers", "seals", "trust.md", "fleet.yaml", "ledger-notes", "t~1"] {
            assert!(!is_twin(name), "{name}");
        }
    }
}
