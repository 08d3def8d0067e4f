//! What becomes of our unsent states when the others saved too: one state that follows both, or ours again behind theirs.

use crate::base::path::is_protected;
use crate::history::content::Turn;
use crate::history::error::HistoryError;
use crate::history::merge::{Clerk, Matter, Plan, Question};
use crate::history::merge_text::{Clash, Side};
use crate::history::point::Author;
use crate::history::repo::{Repo, StateId};
use git2::{Sort, Time};
use std::collections::BTreeSet;

/// What came of two lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum United {
    /// Ours is where theirs is, or theirs has all of ours: nothing has to be made.
    Theirs(StateId),
    /// Ours has all of theirs.
    Ours(StateId),
    /// A new state that follows both.
    Both(StateId),
    /// Our unsent states behind theirs, without what was signed here and raced with what is signed there.
    Behind(StateId, Lost),
    /// A question was left open; nothing was written.
    Open,
}

/// What the others were faster with.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lost {
    /// The paths that are not in our line any more, in order.
    pub paths: Vec<String>,
}

impl Repo {
    /// Returns the state that holds what both sides have; the binder does not follow it yet.
    ///
    /// # Errors
    /// A [`HistoryError`] where the two are no one binder, or what was signed was changed.
    pub fn unite(
        &self,
        ours: StateId,
        theirs: StateId,
        author: &Author,
        clerk: &mut dyn Clerk,
    ) -> Result<United, HistoryError> {
        if self.grew_from(theirs, ours)? {
            return Ok(United::Theirs(theirs));
        }
        if self.grew_from(ours, theirs)? {
            return Ok(United::Ours(ours));
        }
        let base = self.parting(ours, theirs)?;
        let raced = self.raced(base, ours, theirs)?;
        if !raced.is_empty() {
            return self.again(ours, theirs, raced, clerk);
        }
        let Some(plan) = self.three(Some(base), ours, theirs)?.union(clerk)? else { return Ok(United::Open) };
        let tree = self.git.find_tree(self.tree_with(ours, &plan)?)?;
        let other = self.commit(theirs)?;
        let words = format!("Brought in what {} saved", other.author().name().unwrap_or("others"));
        Ok(United::Both(self.state_of(&tree, &[ours, theirs], &words, author)?))
    }

    /// Puts our unsent states behind theirs, one by one, without what lost the race.
    fn again(
        &self,
        ours: StateId,
        theirs: StateId,
        raced: Vec<String>,
        clerk: &mut dyn Clerk,
    ) -> Result<United, HistoryError> {
        if let Some(path) = raced.iter().find(|path| path.starts_with("register/")) {
            return Err(HistoryError::Unfit(format!(
                "`{path}` was written here and in the shared place: one writer kept its register in two copies; nothing was \
                 brought in, and the copy with the fewer entries has to be entered again under another name"
            )));
        }
        let there = self.content(Some(theirs))?;
        let mut lost: BTreeSet<String> = raced.into_iter().collect();
        // A record rests on the one before it, and one that lost takes with it all that follow it.
        let mine = self.content(Some(ours))?;
        lost.extend(mine.keys().filter(|path| path.starts_with("ledger/") && !there.contains_key(*path)).cloned());
        // A signature of a raced statement stands or falls with it.
        let beside: Vec<String> =
            lost.iter().map(|path| format!("{path}.sig")).filter(|path| mine.contains_key(path)).collect();
        lost.extend(beside);
        let mut last = theirs;
        for state in self.unsent(ours, theirs)? {
            let commit = self.commit(state)?;
            let Ok(before) = commit.parent_id(0) else { continue };
            // Seen from theirs, ours is what comes; the person still calls it ours.
            let mut turned = Turned(clerk);
            let mut three = self.three(Some(StateId(before)), last, state)?;
            three.theirs.retain(|path, _| !lost.contains(path) || there.contains_key(path));
            for (path, kept) in &there {
                if lost.contains(path) {
                    three.theirs.insert(path.clone(), *kept);
                }
            }
            three.base.retain(|path, _| !is_protected(path));
            let Some(plan) = three.union(&mut turned)? else { return Ok(United::Open) };
            let tree = self.git.find_tree(self.tree_with(last, &plan)?)?;
            if tree.id() == self.commit(last)?.tree_id() {
                continue;
            }
            let author = Author {
                name: commit.author().name().unwrap_or("somebody").to_owned(),
                address: commit.author().email().unwrap_or("somebody@binder.invalid").to_owned(),
                second: seconds(commit.author().when()),
            };
            last = self.state_of(&tree, &[last], commit.message().unwrap_or_default(), &author)?;
        }
        lost.retain(|path| mine.get(path) != there.get(path) && mine.contains_key(path));
        Ok(United::Behind(last, Lost { paths: lost.into_iter().collect() }))
    }

    /// Returns our states that the other line has not, the first one first.
    ///
    /// # Errors
    /// A [`HistoryError`] where a state is missing.
    pub fn unsent(&self, ours: StateId, theirs: StateId) -> Result<Vec<StateId>, HistoryError> {
        let mut walk = self.whole()?.revwalk()?;
        walk.set_sorting(Sort::TOPOLOGICAL | Sort::REVERSE)?;
        walk.push(ours.0)?;
        walk.hide(theirs.0)?;
        walk.map(|id| Ok(StateId(id?))).collect()
    }

    /// Returns the state that follows `base` with these files as each of them is afterwards; the binder does not follow it yet.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be written.
    pub fn state_with(
        &self,
        base: StateId,
        turns: &[Turn],
        words: &str,
        author: &Author,
    ) -> Result<StateId, HistoryError> {
        let plan: Plan = turns.iter().map(|turn| (turn.path.clone(), turn.after)).collect();
        let tree = self.git.find_tree(self.tree_with(base, &plan)?)?;
        self.state_of(&tree, &[base], words, author)
    }

    /// Returns the state before a state; the first of them where it brought two lines together.
    ///
    /// # Errors
    /// A [`HistoryError`] where it is missing.
    pub fn before(&self, state: StateId) -> Result<Option<StateId>, HistoryError> {
        Ok(self.commit(state)?.parent_ids().next().map(StateId))
    }

    /// Lets the binder follow `to` in place of `from`; the open folder is told by [`Repo::begin_turn`].
    ///
    /// # Errors
    /// [`HistoryError::Moved`] where it no longer follows `from`.
    pub fn go_on(&self, from: Option<StateId>, to: StateId, words: &str) -> Result<(), HistoryError> {
        self.follow(from, to, words)
    }
}

fn seconds(time: Time) -> i64 {
    time.seconds()
}

/// A clerk who is shown the sides the other way round.
struct Turned<'a>(&'a mut dyn Clerk);

impl Clerk for Turned<'_> {
    fn choose(&mut self, question: &Question) -> Option<Side> {
        let matter = match &question.matter {
            Matter::Lines(clash) => Matter::Lines(Clash {
                base: clash.base.clone(),
                ours: clash.theirs.clone(),
                theirs: clash.ours.clone(),
                our_line: clash.their_line,
                their_line: clash.our_line,
            }),
            Matter::GoneHere => Matter::GoneThere,
            Matter::GoneThere => Matter::GoneHere,
            Matter::Whole | Matter::Unreadable => question.matter.clone(),
        };
        let turned = Question {
            path: question.path.clone(),
            matter,
            our_author: question.their_author.clone(),
            their_author: question.our_author.clone(),
        };
        self.0.choose(&turned).map(|side| match side {
            Side::Ours => Side::Theirs,
            Side::Theirs => Side::Ours,
        })
    }

    fn can_be_read(&self, path: &str, text: &str) -> bool {
        self.0.can_be_read(path, text)
    }
}
