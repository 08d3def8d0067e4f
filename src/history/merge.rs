//! Two lines of states brought together: a file that one of them touched is taken, one that both touched is asked about.
//!
//! What was signed is only ever added to. It writes no open folder and decides nothing that a person must decide.

use crate::base::path::is_protected;
use crate::history::content::{Content, Kept};
use crate::history::error::HistoryError;
use crate::history::listing::Objects;
use crate::history::merge_text::{Clash, Piece, Side, pieces, settled};
use crate::history::repo::{Repo, StateId};
use crate::history::units::{Cut, cut_of};
use git2::{Delta, DiffFindOptions, Oid, Sort};
use std::collections::{BTreeMap, BTreeSet};

/// What is asked of a person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The file.
    pub path: String,
    /// What is in doubt.
    pub matter: Matter,
    /// Who changed it here last.
    pub our_author: String,
    /// Who changed it on the other side last.
    pub their_author: String,
}

/// What two people did to one file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Matter {
    /// Both changed the same step, row or line.
    Lines(Clash),
    /// Both changed a file that cannot be taken apart, or both began it.
    Whole,
    /// We took it away, the others changed it.
    GoneHere,
    /// The others took it away, we changed it.
    GoneThere,
    /// The lines of both, put together, can no longer be read.
    Unreadable,
}

/// Who decides what the program must not.
pub trait Clerk {
    /// Returns which side is kept; none where nobody decided, so that nothing is written.
    fn choose(&mut self, question: &Question) -> Option<Side>;
    /// Tells whether a text that comes of two can still be read.
    fn can_be_read(&self, path: &str, text: &str) -> bool;
}

/// Three states of every file.
pub(super) struct Three<'a> {
    pub(super) repo: &'a Repo,
    pub(super) base: Content,
    pub(super) ours: Content,
    pub(super) theirs: Content,
    /// Where authors are looked for.
    pub(super) our_state: StateId,
    pub(super) their_state: StateId,
    pub(super) base_state: Option<StateId>,
}

/// The files of the union, where they are not the same on both sides.
pub(super) type Plan = BTreeMap<String, Option<Kept>>;

impl Repo {
    /// Returns the state from which two lines grew apart.
    ///
    /// # Errors
    /// [`HistoryError::Unfit`] where they never were one.
    pub fn parting(&self, ours: StateId, theirs: StateId) -> Result<StateId, HistoryError> {
        match self.whole()?.merge_base(ours.0, theirs.0) {
            Ok(id) => Ok(StateId(id)),
            Err(error) if error.code() == git2::ErrorCode::NotFound => Err(HistoryError::Unfit(
                "the shared place holds another binder: the two have no state in common".to_owned(),
            )),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns what was signed on both sides under one name with different bytes since they grew apart: two were at it at once.
    ///
    /// # Errors
    /// [`HistoryError::Unfit`] where the other side changed what is written once.
    pub fn raced(&self, base: StateId, ours: StateId, theirs: StateId) -> Result<Vec<String>, HistoryError> {
        let (base, ours, theirs) = (self.content(Some(base))?, self.content(Some(ours))?, self.content(Some(theirs))?);
        let signed = base.iter().filter(|(path, _)| is_protected(path));
        for (path, kept) in signed {
            if theirs.get(path).is_none_or(|their| their != kept) {
                return Err(HistoryError::Unfit(format!(
                    "`{path}` is written once, and the shared place has changed it or taken it away; nothing was brought in"
                )));
            }
        }
        let new = ours.iter().filter(|(path, _)| is_protected(path) && !base.contains_key(*path));
        Ok(new
            .filter(|(path, kept)| theirs.get(*path).is_some_and(|their| their != *kept))
            .map(|(p, _)| p.clone())
            .collect())
    }

    pub(super) fn three(
        &self,
        base: Option<StateId>,
        ours: StateId,
        theirs: StateId,
    ) -> Result<Three<'_>, HistoryError> {
        Ok(Three {
            repo: self,
            base: self.content(base)?,
            ours: self.content(Some(ours))?,
            theirs: self.content(Some(theirs))?,
            our_state: ours,
            their_state: theirs,
            base_state: base,
        })
    }

    /// Returns the tree of a state with these files in place of its own.
    pub(super) fn tree_with(&self, onto: StateId, plan: &Plan) -> Result<Oid, HistoryError> {
        use git2::build::TreeUpdateBuilder;
        Objects::of(&self.git)?.sound(onto.0, plan.keys().map(String::as_str))?;
        let tree = self.git.find_commit(onto.0)?.tree()?;
        let tree = self.without(&tree, plan.iter().filter(|(_, kept)| kept.is_none()).map(|(path, _)| path))?;
        let mut update = TreeUpdateBuilder::new();
        for (path, kept) in plan {
            if let Some(kept) = kept {
                update.upsert(path.as_str(), kept.id, mode(*kept));
            }
        }
        Ok(update.create_updated(&self.git, &tree)?)
    }

    /// Returns who changed a file last on the way from `base` to `state`.
    fn last_author(&self, path: &str, base: Option<StateId>, state: StateId) -> Result<String, HistoryError> {
        let mut walk = self.whole()?.revwalk()?;
        walk.set_sorting(Sort::TOPOLOGICAL)?;
        walk.push(state.0)?;
        if let Some(base) = base {
            walk.hide(base.0)?;
        }
        for id in walk {
            let commit = self.git.find_commit(id?)?;
            let of = |commit: &git2::Commit<'_>| {
                commit.tree().ok().and_then(|tree| tree.get_path(path.as_ref()).ok().map(|entry| entry.id()))
            };
            if commit.parents().next().is_none_or(|before| of(&before) != of(&commit)) {
                return Ok(commit.author().name().unwrap_or("somebody").to_owned());
            }
        }
        Ok("somebody".to_owned())
    }

    /// Returns the new path of each file that was given another name between two states.
    fn renamed(&self, from: StateId, to: StateId) -> Result<BTreeMap<String, String>, HistoryError> {
        let git = self.whole()?;
        let tree = |state: StateId| git.find_commit(state.0).and_then(|commit| commit.tree());
        let mut diff = git.diff_tree_to_tree(Some(&tree(from)?), Some(&tree(to)?), None)?;
        diff.find_similar(Some(DiffFindOptions::new().renames(true)))?;
        let text = |path: Option<&std::path::Path>| path.and_then(|path| path.to_str()).map(str::to_owned);
        let pairs = diff.deltas().filter(|delta| delta.status() == Delta::Renamed);
        let pairs = pairs.filter_map(|delta| Some((text(delta.old_file().path())?, text(delta.new_file().path())?)));
        Ok(pairs.filter(|(old, _)| !is_protected(old)).collect())
    }
}

fn mode(kept: Kept) -> git2::FileMode {
    match kept.mode {
        0o100_755 => git2::FileMode::BlobExecutable,
        0o120_000 => git2::FileMode::Link,
        0o160_000 => git2::FileMode::Commit,
        _ => git2::FileMode::Blob,
    }
}

/// What a file is in the union; none where it is gone.
struct Decided(Option<Kept>);

impl Three<'_> {
    /// Returns in which files the union differs from ours; none where a question was left open.
    pub(super) fn union(&mut self, clerk: &mut dyn Clerk) -> Result<Option<Plan>, HistoryError> {
        let before = self.ours.clone();
        self.follow_names()?;
        let paths: BTreeSet<String> =
            self.base.keys().chain(self.ours.keys()).chain(self.theirs.keys()).cloned().collect();
        let mut plan: Plan =
            before.keys().filter(|path| !paths.contains(*path)).map(|path| (path.clone(), None)).collect();
        let mut is_whole = true;
        for path in paths {
            let of = |content: &Content| content.get(&path).copied();
            let (base, ours, theirs) = (of(&self.base), of(&self.ours), of(&self.theirs));
            if is_protected(&path) {
                // Both sides only add.
                plan.insert(path, theirs.or(ours));
            } else if ours == theirs || theirs == base {
                plan.insert(path, ours);
            } else if ours == base {
                plan.insert(path, theirs);
            } else {
                match self.both(&path, [base, ours, theirs], clerk)? {
                    Some(Decided(kept)) => drop(plan.insert(path, kept)),
                    None => is_whole = false,
                }
            }
        }
        plan.retain(|path, kept| before.get(path) != kept.as_ref());
        Ok(is_whole.then_some(plan))
    }

    /// A file that one side renamed and the other changed is changed under its new name.
    fn follow_names(&mut self) -> Result<(), HistoryError> {
        let Some(base) = self.base_state else { return Ok(()) };
        let renames =
            [(self.repo.renamed(base, self.our_state)?, true), (self.repo.renamed(base, self.their_state)?, false)];
        for (renamed, is_ours) in renames {
            for (old, new) in renamed {
                let other = if is_ours { &mut self.theirs } else { &mut self.ours };
                let Some(was) = self.base.get(&old).copied() else { continue };
                let is_changed = other.get(&old).is_some_and(|kept| *kept != was);
                if is_changed && !other.contains_key(&new) && !self.base.contains_key(&new) {
                    let kept = other.remove(&old).expect("it is there");
                    other.insert(new.clone(), kept);
                    self.base.remove(&old);
                    self.base.insert(new, was);
                }
            }
        }
        Ok(())
    }

    fn both(
        &self,
        path: &str,
        [base, ours, theirs]: [Option<Kept>; 3],
        clerk: &mut dyn Clerk,
    ) -> Result<Option<Decided>, HistoryError> {
        let whole = |matter: Matter, clerk: &mut dyn Clerk| -> Result<Option<Decided>, HistoryError> {
            let side = clerk.choose(&self.question(path, matter)?);
            Ok(side.map(|side| Decided(if side == Side::Ours { ours } else { theirs })))
        };
        let (ours_kept, theirs_kept) = match (ours, theirs) {
            (None, _) => return whole(Matter::GoneHere, clerk),
            (_, None) => return whole(Matter::GoneThere, clerk),
            (Some(ours), Some(theirs)) => (ours, theirs),
        };
        let cut = cut_of(path);
        let text = |kept: Option<Kept>| -> Result<Option<String>, HistoryError> {
            let Some(kept) = kept else { return Ok(Some(String::new())) };
            if !kept.is_file() {
                return Ok(None);
            }
            Ok(String::from_utf8(self.repo.bytes(kept)?).ok())
        };
        let texts = (text(base)?, text(ours)?, text(theirs)?);
        let (Some(base_text), Some(our_text), Some(their_text)) = texts else { return whole(Matter::Whole, clerk) };
        if cut == Cut::Whole || base.is_none() {
            return whole(Matter::Whole, clerk);
        }
        let three = [base_text.as_str(), &our_text, &their_text];
        let pieces = pieces(three[0], three[1], three[2], cut);
        let mut sides = Vec::new();
        let mut is_open = false;
        for piece in &pieces {
            let Piece::Clash(clash) = piece else { continue };
            match clerk.choose(&self.question(path, Matter::Lines(clash.clone()))?) {
                Some(side) => sides.push(side),
                None => is_open = true,
            }
        }
        if is_open {
            return Ok(None);
        }
        let text = settled(&pieces, &sides, cut, three).expect("every clash is settled");
        if !clerk.can_be_read(path, &text) {
            return whole(Matter::Unreadable, clerk);
        }
        let mode = if ours_kept.mode == theirs_kept.mode || base.is_some_and(|base| base.mode == theirs_kept.mode) {
            ours_kept.mode
        } else {
            theirs_kept.mode
        };
        Ok(Some(Decided(Some(Kept { id: self.repo.git.blob(text.as_bytes())?, mode }))))
    }

    fn question(&self, path: &str, matter: Matter) -> Result<Question, HistoryError> {
        Ok(Question {
            path: path.to_owned(),
            matter,
            our_author: self.repo.last_author(path, self.base_state, self.our_state)?,
            their_author: self.repo.last_author(path, self.base_state, self.their_state)?,
        })
    }
}
