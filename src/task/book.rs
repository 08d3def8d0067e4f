//! A binder's statements, read and judged once for every command that rests on them; it prints nothing and decides no change.

use crate::history::error::HistoryError;
use crate::history::known::Known;
use crate::history::protected::Protected;
use crate::history::repo::{Repo, StateId};
use crate::trust::chain::Anchor;
use crate::trust::digest::Digest;
use crate::trust::ledger::{Ledger, Outcome};
use crate::trust::mark::Mark;
use crate::trust::place;
use crate::trust::root::Root;
use crate::trust::store::Store as _;
use crate::trust::stray::strays;
use crate::trust::verdict::{Code, Verdict};
use crate::trust::verified::Verified;
use crate::workspace::home::Home;
use crate::workspace::named_file::NamedFileError;
use std::path::Path;

/// The statements of a binder as they stand in its last state.
pub struct Book<'r> {
    /// The files.
    pub files: Protected<'r>,
    /// The ledger, read as far as it could be followed.
    pub ledger: Ledger,
    /// What was seen last, if anything.
    pub seen: Option<Mark>,
    /// What the history, the marks and the ledger say, gravest first.
    verdicts: Vec<Verdict>,
    /// What is remembered under each name, as far as it is.
    marks: Vec<Option<Mark>>,
    names: Names,
    /// Whether the last record is where everybody sees it.
    is_sent: bool,
    /// Up to which state the history was known to be good.
    known: Option<StateId>,
}

/// Whether what was followed and found good before is followed again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// From where it is known on.
    On,
    /// From the first state.
    Afresh,
}

/// Why the statements could not be read at all.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// The history.
    #[error(transparent)]
    History(#[from] HistoryError),
    /// What is remembered outside of the binder.
    #[error(transparent)]
    Home(#[from] NamedFileError),
    /// What is remembered is damaged: nobody can say what was seen last.
    #[error("what was seen last of this binder is damaged ({0}); nothing is decided until it is looked at")]
    Mark(String),
}

/// Under which names things are remembered: by the folder, and by the repository that was found in it.
///
/// By the folder, since whoever swaps the repository would choose its id; by the id, since a fresh copy has a new folder.
struct Names {
    folder: String,
    repository: Option<String>,
}

impl Names {
    fn of(folder: String, files: &Protected<'_>) -> Self {
        let first = files.read(&place::root(1)).ok().flatten().and_then(|bytes| Root::parse(&bytes).ok());
        Self { folder, repository: first.map(|root| root.repository.to_string()) }
    }

    fn of_folder(folder: &Path) -> String {
        // The place is told by the platform; a folder that cannot be told is taken as it was named.
        let place = std::path::absolute(folder).unwrap_or_else(|_| folder.to_owned());
        format!("folder-{}", Digest::of(place.to_string_lossy().as_bytes()).short())
    }

    fn all(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.folder.as_str()).chain(self.repository.as_deref())
    }
}

impl<'r> Book<'r> {
    /// Reads the statements of the last state, holds them against what was believed and seen before, and judges them.
    ///
    /// # Errors
    /// A [`BookError`] where there is no history, or what is remembered of it cannot be read.
    pub fn read(repo: &'r Repo, home: &Home) -> Result<Self, BookError> {
        Self::read_by(repo, home, Way::On)
    }

    /// As [`Book::read`]; the history is followed from where it is known on, or as if nothing were known of it.
    ///
    /// # Errors
    /// As [`Book::read`].
    pub fn read_by(repo: &'r Repo, home: &Home, way: Way) -> Result<Self, BookError> {
        let folder = Names::of_folder(repo.folder());
        // What cannot be read is as good as nothing: it saves time and decides nothing.
        let kept = |name: String| match way {
            Way::On => home.remembered(&name).ok().flatten(),
            Way::Afresh => None,
        };
        let known = kept(followed(&folder)).and_then(|bytes| Known::parse(&bytes));
        let verified = kept(signatures(&folder)).map(|bytes| Verified::parse(&bytes));
        let files = Protected::at(repo, repo.last()?, known.as_ref())?.with(verified.unwrap_or_default());
        let known = known.map(|known| known.tip()).filter(|_| files.passage().remembered() > 0);
        let names = Names::of(folder, &files);
        let anchor = believed(home, &names)?;
        let ledger = Ledger::read(&files, anchor);
        let mut verdicts = repo.oddities()?;
        verdicts.extend_from_slice(files.passage().verdicts());
        verdicts.extend(ledger.verdicts());
        verdicts.extend(strays(&files));
        let marks = names.all().map(|name| mark(home, name)).collect::<Result<Vec<_>, _>>()?;
        for mark in marks.iter().flatten() {
            let found = mark.compare(&ledger);
            verdicts.extend(found.filter(|found| !verdicts.contains(found)));
        }
        let seen = marks.iter().flatten().max_by_key(|mark| mark.seq).cloned();
        verdicts.sort_by(|a, b| (a.severity, a.seq, &a.object).cmp(&(b.severity, b.seq, &b.object)));
        let is_sent = is_sent(repo, &ledger);
        Ok(Self { files, ledger, seen, verdicts, marks, names, is_sent, known })
    }

    /// Returns everything that is not as it should be, gravest first.
    #[must_use]
    pub fn verdicts(&self) -> &[Verdict] {
        &self.verdicts
    }

    /// Returns what an audit ends with.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        Outcome::of(&self.verdicts)
    }

    /// Tells whether a code is about the ledger and the history as a whole, and not about one release.
    #[must_use]
    pub fn is_of_the_whole(code: Code) -> bool {
        matches!(
            code,
            Code::Anchor
                | Code::Rollback
                | Code::Fork
                | Code::AppendOnly
                | Code::TreeForm
                | Code::Replace
                | Code::Graft
                | Code::Repository
                | Code::RootUnsigned
                | Code::RootThreshold
                | Code::RootChain
                | Code::RosterForm
                | Code::LedgerGap
                | Code::LedgerChain
                | Code::Partial
                | Code::Newer
                | Code::Missing
        )
    }

    /// Returns why nothing may be signed or printed on the ground of this ledger; none where it may.
    ///
    /// A release that does not count keeps only its own packets from being printed; what touches the ledger as a whole
    /// keeps everything.
    #[must_use]
    pub fn stops(&self) -> Option<&Verdict> {
        let is_grave = |verdict: &&Verdict| {
            // A merge that nobody finished is written over by whoever saves next.
            verdict.is_fault() && (Self::is_of_the_whole(verdict.code) || verdict.code == Code::Merge)
        };
        let grave = self.verdicts.iter().find(is_grave);
        grave.or_else(|| self.verdicts.iter().find(|verdict| verdict.is_fault() && !self.ledger.is_whole()))
    }

    /// Remembers the last record as seen, outside of the binder, if nothing speaks against the ledger as a whole.
    ///
    /// # Errors
    /// A [`BookError`] where it cannot be written.
    pub fn remember(&self, home: &Home) -> Result<(), BookError> {
        // What the shared place does not have yet may lose against what it has: it was not seen by anybody else.
        let is_sure = self.is_sent && self.stops().is_none();
        let Some(mark) = Mark::of(&self.ledger).filter(|_| is_sure) else { return Ok(()) };
        let stale = self.names.all().zip(&self.marks).filter(|(_, own)| own.as_ref() != Some(&mark));
        for (name, _) in stale {
            home.remember(&format!("{name}.mark"), &mark.to_bytes())?;
        }
        self.remember_way(home)
    }

    /// Remembers the way to the last state as followed and found good, if nothing was found on it and nothing is missing.
    ///
    /// By the folder alone: of another copy nobody has seen whether all of it is there.
    fn remember_way(&self, home: &Home) -> Result<(), BookError> {
        if let Some(bytes) = self.files.verified().to_bytes() {
            home.remember(&signatures(&self.names.folder), &bytes)?;
        }
        let tip = self.files.state();
        if self.known == Some(tip) || self.outcome() == Outcome::Undecided {
            return Ok(());
        }
        let Some(known) = self.files.passage().known(tip) else { return Ok(()) };
        Ok(home.remember(&followed(&self.names.folder), &known.to_bytes())?)
    }

    /// Pins the digest of the first root as it was made known on paper.
    ///
    /// # Errors
    /// A [`BookError`] where it cannot be written.
    pub fn believe(&self, home: &Home, first: Digest) -> Result<(), BookError> {
        for name in self.names.all() {
            home.remember(&format!("{name}.trust"), format!("{first}\n").as_bytes())?;
        }
        Ok(())
    }

    /// Pins a digest for this folder alone: whatever is shown there, the paper is believed.
    ///
    /// # Errors
    /// A [`BookError`] where it cannot be written.
    pub fn believe_here(&self, home: &Home, first: Digest) -> Result<(), BookError> {
        Ok(home.remember(&format!("{}.trust", self.names.folder), format!("{first}\n").as_bytes())?)
    }
}

/// Tells whether the last record is in the shared place, or there is none.
fn is_sent(repo: &Repo, ledger: &Ledger) -> bool {
    let Ok(place) = repo.place() else { return false };
    let Some(last) = ledger.sealed().last().filter(|_| place.is_some()) else { return true };
    repo.seen().ok().flatten().is_some_and(|seen| repo.holds(seen, &place::record(last.record.seq)))
}

/// Returns under which name it is remembered up to where the history was followed.
fn followed(folder: &str) -> String {
    format!("{folder}.way")
}

/// Returns under which name it is remembered which signatures were checked.
fn signatures(folder: &str) -> String {
    format!("{folder}.signatures")
}

fn mark(home: &Home, name: &str) -> Result<Option<Mark>, BookError> {
    let Some(bytes) = home.remembered(&format!("{name}.mark"))? else { return Ok(None) };
    Mark::parse(&bytes)
        .map(Some)
        .map_err(|fault| BookError::Mark(format!("{}/{name}.mark: {fault}", home.state.display())))
}

/// Returns what the first root is held against: what was pinned for the folder or for the repository, else what is found first.
fn believed(home: &Home, names: &Names) -> Result<Anchor, BookError> {
    for name in names.all() {
        let file = format!("{name}.trust");
        let Some(bytes) = home.remembered(&file)? else { continue };
        let text = String::from_utf8_lossy(&bytes).trim().to_owned();
        let digest = Digest::parse(&text);
        return digest
            .map(Anchor::Pinned)
            .ok_or_else(|| BookError::Mark(format!("{}/{file} holds no digest", home.state.display())));
    }
    Ok(Anchor::FirstUse)
}
