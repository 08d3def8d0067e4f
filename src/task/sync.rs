//! Brings in what others saved and sends what is ours, by way of the one shared place of a binder; nothing is ever forced.

use crate::base::date::Date;
use crate::base::finding::Finding;
use crate::base::text::Texts;
use crate::history::error::HistoryError;
use crate::history::merge::{Clerk, Question};
use crate::history::merge_text::Side;
use crate::history::past::Saved;
use crate::history::point::Author;
use crate::history::remote::{self, Place, Sent};
use crate::history::repo::{Repo, StateId};
use crate::history::revision::Revision;
use crate::history::unite::{Lost, United};
use crate::history::units::{Cut, cut_of};
use crate::model::world::World as _;
use crate::source::yaml;
use crate::task::check::judge;
use crate::task::folder::{Folder, FolderError};
use crate::task::undo::unsaved;
use crate::trust::place;
use crate::trust::word::Seq;
use crate::workspace::disk::Disk;
use crate::workspace::open_folder;
use crate::workspace::stock_git::{Asking, StockGit};
use std::path::Path;

/// How often it is begun again where others are faster.
const TRIES: usize = 10;
/// How many of the others' saves are told.
const TOLD: usize = 200;

/// Who is asked where two people changed the same.
pub trait Chooser {
    /// Returns which side is kept; none where nobody decided.
    fn choose(&mut self, question: &Question) -> Option<Side>;
}

/// What is asked for.
pub struct Asked<'a> {
    /// A new shared place, as it was typed.
    pub with: Option<&'a str>,
    /// The folder that a path is seen from.
    pub from: &'a Path,
    /// Who brings it together.
    pub author: &'a Author,
    /// Whether git may ask for a password.
    pub asking: Asking,
    /// Whether a place that was turned back gets again what it has lost.
    pub put_back: bool,
}

/// What came of it.
#[derive(Default)]
pub struct Synced {
    /// What others saved and is here now, the newest first.
    pub brought: Vec<Saved>,
    /// How many states of ours went out.
    pub sent: usize,
    /// The records that the shared place has only now: what they release or withdraw counts from here on.
    pub records: Vec<Seq>,
    /// How sending ended; none where nothing got that far.
    pub end: Option<Sent>,
    /// What was signed here and lost against what others signed at the same time, each with who was faster.
    pub lost: Vec<(String, String)>,
    /// What is wrong with the binder now and was with neither of the two.
    pub found: Option<(Vec<Finding>, Texts)>,
    /// Files of the open folder that were left as they were.
    pub left: Vec<String>,
    /// Whether a question was left open, so that nothing was brought in.
    pub is_open: bool,
    /// Whether a shared folder was made.
    pub is_new_place: bool,
}

/// Brings in and sends.
///
/// # Errors
/// A [`FolderError`]; the binder is then as before, or has brought in what others saved as a whole.
pub fn sync(folder: &Folder, asked: &Asked<'_>, chooser: &mut dyn Chooser) -> Result<Synced, FolderError> {
    let open = unsaved(folder)?;
    if !open.is_empty() {
        return Err(FolderError::Unsaved(open));
    }
    let repo = &folder.repo;
    let mut synced = Synced::default();
    if let Some(typed) = asked.with {
        synced.is_new_place = share(repo, typed, asked.from)?;
    }
    let Some(place) = repo.place()? else { return Err(FolderError::NoPlace) };
    for _ in 0..TRIES {
        let tip = repo.last()?;
        let there = fetch(repo, &place, asked.asking)?;
        rewound(repo, tip, there, asked.put_back)?;
        if let Some(there) = there {
            repo.see(there)?;
            let mut clerk = Checked(&mut *chooser);
            match repo.unite(tip, there, asked.author, &mut clerk)? {
                United::Open => {
                    synced.is_open = true;
                    return Ok(synced);
                }
                United::Ours(_) => {}
                United::Theirs(to) | United::Both(to) => {
                    if !advance(folder, tip, to, there, &mut synced)? {
                        continue;
                    }
                }
                United::Behind(to, lost) => {
                    if !advance(folder, tip, to, there, &mut synced)? {
                        continue;
                    }
                    named(repo, there, &lost, &mut synced)?;
                }
            }
        }
        let tip = repo.last()?;
        let count = match there {
            Some(there) => repo.unsent(tip, there)?.len(),
            None => repo.past(tip, None, usize::MAX)?.len(),
        };
        match send(repo, asked.asking)? {
            Sent::Behind => {}
            end => {
                if matches!(end, Sent::Sent(_)) {
                    synced.sent = count;
                    let known = repo.content(there)?;
                    let new = repo.content(Some(tip))?.into_keys().filter(|path| !known.contains_key(path));
                    synced.records = new.filter_map(|path| place::record_at(&path)).collect();
                }
                synced.end = Some(end);
                return Ok(synced);
            }
        }
    }
    Err(FolderError::Chased)
}

/// Lets the binder follow what was brought together; false where somebody saved here in the meantime.
fn advance(
    folder: &Folder,
    tip: StateId,
    to: StateId,
    there: StateId,
    synced: &mut Synced,
) -> Result<bool, FolderError> {
    if to == tip {
        return Ok(true);
    }
    let repo = &folder.repo;
    let base = repo.parting(tip, there)?;
    let brought = repo.unsent(there, base)?;
    let found = if to == there { None } else { newly_wrong(folder, to, [tip, there])? };
    match folder.advance(tip, to, "Brought in what others saved") {
        Ok(left) => synced.left.extend(left),
        Err(FolderError::History(HistoryError::Moved)) => return Ok(false),
        Err(error) => return Err(error),
    }
    if found.is_some() {
        synced.found = found;
    }
    for state in brought.iter().rev().take(TOLD) {
        synced.brought.push(repo.saved(*state)?);
    }
    Ok(true)
}

/// Returns what is wrong with the binder in `now` and with none of the states it came of.
fn newly_wrong(
    folder: &Folder,
    now: StateId,
    before: [StateId; 2],
) -> Result<Option<(Vec<Finding>, Texts)>, FolderError> {
    let today: Date = folder.disk.today()?;
    let judged = judge(&Revision::at(&folder.repo, now, today)?)?;
    let mut known = Vec::new();
    for state in before {
        // A side that cannot be judged at all knew of nothing.
        if let Ok(judged) = judge(&Revision::at(&folder.repo, state, today)?) {
            known.extend(judged.findings.into_iter().map(|finding| finding.fingerprint));
        }
    }
    let new: Vec<Finding> = judged.findings.into_iter().filter(|one| !known.contains(&one.fingerprint)).collect();
    Ok((!new.is_empty()).then_some((new, judged.binder.texts)))
}

/// Names who was faster with what was lost.
fn named(repo: &Repo, there: StateId, lost: &Lost, synced: &mut Synced) -> Result<(), FolderError> {
    for path in lost.paths.iter().filter(|path| path.rsplit_once('.').is_none_or(|(_, end)| end != "sig")) {
        let by = repo.past(there, Some(path), 1)?.into_iter().next().map(|saved| saved.who);
        let by = by.unwrap_or_else(|| "somebody else".to_owned());
        if !synced.lost.iter().any(|(known, _)| known == path) {
            synced.lost.push((path.clone(), by));
        }
    }
    Ok(())
}

/// A place that ends before what was seen there was turned back: somebody put an old copy there, or took states out.
fn rewound(repo: &Repo, tip: StateId, there: Option<StateId>, put_back: bool) -> Result<(), FolderError> {
    let Some(seen) = repo.seen()? else { return Ok(()) };
    let is_whole = match there {
        Some(there) => repo.grew_from(there, seen)?,
        None => false,
    };
    if is_whole {
        return Ok(());
    }
    let can_be_put_back = repo.grew_from(tip, seen)? && there.map_or(Ok(true), |there| repo.grew_from(tip, there))?;
    if put_back && can_be_put_back {
        return Ok(());
    }
    let last = repo.saved(seen)?;
    let day =
        Date::at_second(u64::try_from(last.second).unwrap_or(0)).map_or_else(String::new, |day| format!(" of {day}"));
    let ends = there.map_or_else(|| "is empty".to_owned(), |there| format!("ends with {}", there.short()));
    let next = if can_be_put_back {
        "; this binder still has all of it: `matchmark sync --put-back` sends it again"
    } else {
        ""
    };
    Err(FolderError::Rewound(format!(
        "the shared place {ends} and no longer holds {}{day} by {}, which was seen there before: an old copy was put in its \
         place, or states were taken out. Nothing was brought in and nothing was sent. Ask who looks after the shared place{next}",
        seen.short(),
        last.who
    )))
}

/// Sets the shared place; a folder that is missing or empty becomes one. Returns whether one was made.
fn share(repo: &Repo, typed: &str, from: &Path) -> Result<bool, FolderError> {
    let place = Place::parse(typed, from)?;
    let mut is_new = false;
    if let Place::Folder(folder) = &place {
        let is_reachable = folder.parent().is_some_and(open_folder::is_folder);
        if open_folder::is_free(folder) && is_reachable {
            remote::make_shared(folder)?;
            is_new = true;
        }
    }
    if repo.place().ok().flatten().as_ref() != Some(&place) {
        repo.forget_seen()?;
        repo.share(&place)?;
    }
    Ok(is_new)
}

/// Copies the binder of a shared place into a new folder.
///
/// # Errors
/// A [`FolderError`].
pub fn copy(target: &Path, typed: &str, from: &Path, asking: Asking) -> Result<Folder, FolderError> {
    let place = Place::parse(typed, from)?;
    if !open_folder::is_free(target) {
        return Err(FolderError::Taken(target.to_owned()));
    }
    open_folder::make(target)?;
    if let Some(outer) = Repo::around(target) {
        return Err(FolderError::Around(outer));
    }
    let repo = Repo::make(target)?;
    repo.share(&place)?;
    let there = fetch(&repo, &place, asking)?.ok_or(FolderError::EmptyPlace)?;
    repo.see(there)?;
    let folder = Folder::open(Disk::open(target)?)?;
    // The files first: a copy that was ended half-way follows nothing, and saves nothing away from the others.
    folder.lay(&folder.repo.turns(None, Some(there))?)?;
    folder.repo.go_on(None, there, "Copied from the shared place")?;
    folder.repo.lay_out([])?;
    Ok(folder)
}

/// Returns what the shared place ends with, with everything it rests on; none where nothing was sent there yet.
///
/// # Errors
/// A [`FolderError`] where it cannot be reached.
pub fn fetch(repo: &Repo, place: &Place, asking: Asking) -> Result<Option<StateId>, FolderError> {
    let address = match place {
        Place::Folder(folder) => return Ok(repo.look(folder)?),
        Place::Network(address) => address,
    };
    let git = StockGit::new(&repo.object_folder(), &known(repo)?, asking)?;
    let line = repo.shared_line()?;
    let listed = git.run(&["ls-remote", "--", address, &line])?;
    if !listed.is_done {
        return Err(FolderError::Unreached(listed.words));
    }
    let end = listed.out.lines().find_map(|one| one.split_once('\t').filter(|(_, name)| *name == line));
    let Some((id, _)) = end else { return Ok(None) };
    if let Some(state) = repo.has(id) {
        return Ok(Some(state));
    }
    let wanted = format!("+{line}:refs/heads/got");
    let plain = ["--no-tags", "--no-write-fetch-head", "--no-recurse-submodules", "--no-auto-maintenance", "--quiet"];
    let fetched = git.run(&[&["fetch"], &plain[..], &["--", address, &wanted]].concat())?;
    if !fetched.is_done {
        return Err(FolderError::Unreached(fetched.words));
    }
    let got = git.run(&["rev-parse", "--verify", "--quiet", "refs/heads/got"])?;
    let state = repo.has(got.out.trim());
    state.map(Some).ok_or_else(|| HistoryError::Incomplete("what was fetched is not there".to_owned()).into())
}

fn known(repo: &Repo) -> Result<Vec<String>, FolderError> {
    let states = [repo.tip()?, repo.seen()?];
    Ok(states.into_iter().flatten().map(|state| state.to_string()).collect())
}

/// Sends the last state to the shared place, if the place still ends where our state grew from. What is signed counts as done
/// only where this says so, or that there is no place.
///
/// # Errors
/// A [`FolderError`] where the place cannot be reached or the binder's history cannot be read; it may then have been sent or not,
/// and sending again tells.
pub fn send(repo: &Repo, asking: Asking) -> Result<Sent, FolderError> {
    let Some(place) = repo.place()? else { return Ok(Sent::NoPlace) };
    let sent = match &place {
        Place::Folder(folder) => repo.send_to(folder)?,
        Place::Network(address) => push(repo, address, asking)?,
    };
    if let Sent::Sent(state) | Sent::Already(state) = sent {
        repo.see(state)?;
    }
    Ok(sent)
}

fn push(repo: &Repo, address: &str, asking: Asking) -> Result<Sent, FolderError> {
    let tip = repo.last()?;
    let git = StockGit::new(&repo.object_folder(), &known(repo)?, asking)?;
    let what = format!("{tip}:{}", repo.shared_line()?);
    let pushed = git.run(&["push", "--porcelain", "--no-verify", "--", address, &what])?;
    if pushed.is_done {
        let is_old = pushed.out.lines().any(|line| line.starts_with('='));
        return Ok(if is_old { Sent::Already(tip) } else { Sent::Sent(tip) });
    }
    let Some(refused) = pushed.out.lines().find(|line| line.starts_with('!')) else {
        return Err(FolderError::Unreached(pushed.words));
    };
    // Somebody was faster, or is at it right now.
    let is_late = ["(fetch first)", "(non-fast-forward)", "(stale info)", "cannot lock ref", "failed to update ref"];
    if is_late.iter().any(|why| refused.contains(why)) {
        return Ok(Sent::Behind);
    }
    let why = refused.rsplit('\t').next().unwrap_or_default();
    Ok(Sent::Refused(format!("{why}\n{}", pushed.words).trim().to_owned()))
}

/// A clerk who lets nothing pass that can no longer be read.
struct Checked<'a>(&'a mut dyn Chooser);

impl Clerk for Checked<'_> {
    fn choose(&mut self, question: &Question) -> Option<Side> {
        self.0.choose(question)
    }

    fn can_be_read(&self, path: &str, text: &str) -> bool {
        let yaml_text = match cut_of(path) {
            Cut::Rows => Some(text),
            Cut::Procedure => {
                text.strip_prefix("---\n").and_then(|rest| rest.split_once("\n---")).map(|(front, _)| front)
            }
            Cut::Lines | Cut::Whole => None,
        };
        yaml_text.is_none_or(|text| {
            let mut texts = Texts::default();
            let Ok(named) = crate::base::path::BinderPath::parse(path) else { return false };
            let file = texts.add(named, text.to_owned());
            let (read, findings) = yaml::parse(file, text, 0);
            read.is_some() && findings.is_empty()
        })
    }
}
