//! The one shared place of a binder: which places may be named, what was last seen there, and how states get to and from a folder.
//!
//! It reaches no network, and nothing is ever forced: a place takes a state only where that state grew from what it has.

use crate::history::error::HistoryError;
use crate::history::listing::Objects;
use crate::history::loose::Loose;
use crate::history::point::{TRIES, WAIT};
use crate::history::repo::{Repo, StateId, keep_synced};
use git2::{ConfigLevel, ErrorCode, Oid, Repository, RepositoryInitOptions, RepositoryOpenFlags, Sort, Tree};
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::thread;

/// How git calls the one shared place.
const NAME: &str = "origin";
/// What was last seen there. Git itself never moves it, so that a place that was turned back is noticed.
const SEEN: &str = "refs/matchmark/seen";

/// Where the binder is shared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// A folder of this computer or of a shared drive.
    Folder(PathBuf),
    /// What only git itself reaches: `https://` or `ssh`.
    Network(String),
}

/// Why a place is not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlaceFault {
    /// It would be taken for an option or a program, or holds signs that no address has.
    #[error("`{0}` is no address of a shared place: only `https://`, `ssh://`, `name@computer:path` and folders are")]
    Form(String),
    /// It carries a password.
    #[error("the address holds a password, which would lie open in the binder; leave it out and git asks for it")]
    Password,
}

/// What came of sending.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sent {
    /// The shared place has our last state now.
    Sent(StateId),
    /// It had it already.
    Already(StateId),
    /// Somebody else was faster; nothing was sent. Bring theirs in first.
    Behind,
    /// This binder is shared with nobody.
    NoPlace,
    /// The shared place refused, with its own words. They were written by others.
    Refused(String),
}

impl Place {
    /// Reads an address as it was typed; `folder` is where a path is seen from.
    ///
    /// # Errors
    /// A [`PlaceFault`] where it could run something or is none of the allowed kinds.
    pub fn parse(typed: &str, folder: &Path) -> Result<Self, PlaceFault> {
        let wrong = || PlaceFault::Form(typed.to_owned());
        let is_plain = !typed.is_empty() && typed == typed.trim() && !typed.chars().any(char::is_control);
        if !is_plain || typed.starts_with('-') || typed.contains("::") {
            return Err(wrong());
        }
        if let Some((scheme, rest)) = typed.split_once("://") {
            if scheme == "file" {
                let path = Path::new(rest);
                return if path.is_absolute() { Ok(Self::Folder(path.to_owned())) } else { Err(wrong()) };
            }
            if !matches!(scheme, "https" | "ssh") {
                return Err(wrong());
            }
            let host = rest.split('/').next().unwrap_or_default();
            let (user, host) = host.rsplit_once('@').map_or(("", host), |(user, host)| (user, host));
            if user.contains(':') {
                return Err(PlaceFault::Password);
            }
            return if is_host(host) && !user.starts_with('-') {
                Ok(Self::Network(typed.to_owned()))
            } else {
                Err(wrong())
            };
        }
        if let Some((user, host, path)) = by_ssh(typed) {
            let is_good = is_host(host) && !user.starts_with('-') && !path.is_empty() && !path.starts_with('-');
            return if is_good && !user.contains(':') { Ok(Self::Network(typed.to_owned())) } else { Err(wrong()) };
        }
        let place = folder.join(typed);
        Ok(Self::Folder(std::path::absolute(&place).unwrap_or(place)))
    }

    /// Returns the address as it is kept.
    #[must_use]
    pub fn address(&self) -> String {
        match self {
            Self::Folder(folder) => folder.display().to_string(),
            Self::Network(address) => address.clone(),
        }
    }
}

fn is_host(host: &str) -> bool {
    let name = host.split(':').next().unwrap_or_default();
    !name.is_empty()
        && !host.starts_with('-')
        && host.chars().all(|c| c.is_ascii_alphanumeric() || ".-:[]_".contains(c))
}

/// Returns the parts of `user@computer:path`; a path with a drive letter or with `/` before the colon is a folder.
fn by_ssh(typed: &str) -> Option<(&str, &str, &str)> {
    let (before, path) = typed.split_once(':')?;
    if before.contains(['/', '\\']) || before.len() == 1 {
        return None;
    }
    let (user, host) = before.split_once('@').unwrap_or(("", before));
    Some((user, host, path))
}

impl Repo {
    /// Returns where this binder is shared; none where it is not. What a mailed copy names is judged like what is typed.
    ///
    /// # Errors
    /// [`HistoryError::Unfit`] where the repository names a place that must not be used.
    pub fn place(&self) -> Result<Option<Place>, HistoryError> {
        let config = self.git.config()?.snapshot()?;
        let address = match config.get_str(&format!("remote.{NAME}.url")) {
            Ok(address) => address.to_owned(),
            Err(error) if error.code() == ErrorCode::NotFound => return Ok(None),
            Err(error) => return Err(error.into()),
        };
        Place::parse(&address, self.folder()).map(Some).map_err(|fault| HistoryError::Unfit(fault.to_string()))
    }

    /// Sets where this binder is shared.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be noted.
    pub fn share(&self, place: &Place) -> Result<(), HistoryError> {
        let mut config = self.git.config()?.open_level(ConfigLevel::Local)?;
        config.set_str(&format!("remote.{NAME}.url"), &place.address())?;
        // What git needs when somebody uses it by hand.
        Ok(config.set_str(&format!("remote.{NAME}.fetch"), &format!("+refs/heads/*:refs/remotes/{NAME}/*"))?)
    }

    /// Returns the full name of the line that is shared.
    ///
    /// # Errors
    /// As [`Repo::is_at_rest`].
    pub fn shared_line(&self) -> Result<String, HistoryError> {
        self.line()
    }

    /// Returns what was last seen in the shared place.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be told.
    pub fn seen(&self) -> Result<Option<StateId>, HistoryError> {
        match self.git.find_reference(SEEN) {
            Ok(reference) => Ok(Some(self.named(&reference)?)),
            Err(error) if error.code() == ErrorCode::NotFound => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Remembers what was seen in the shared place.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be noted.
    pub fn see(&self, state: StateId) -> Result<(), HistoryError> {
        self.git.reference(SEEN, state.0, true, "seen in the shared place")?;
        if let Some(line) = self.line()?.strip_prefix("refs/heads/") {
            self.git.reference(&format!("refs/remotes/{NAME}/{line}"), state.0, true, "seen in the shared place")?;
        }
        Ok(())
    }

    /// Forgets what was seen: the binder is shared elsewhere from now on.
    ///
    /// # Errors
    /// A [`HistoryError`] where it cannot be noted.
    pub fn forget_seen(&self) -> Result<(), HistoryError> {
        match self.git.find_reference(SEEN) {
            Ok(mut reference) => Ok(reference.delete()?),
            Err(error) if error.code() == ErrorCode::NotFound => Ok(()),
            Err(error) => Err(error.into()),
        }
    }

    /// Returns the state of this name, if all of it is here.
    #[must_use]
    pub fn has(&self, id: &str) -> Option<StateId> {
        let id = Oid::from_str(id).ok()?;
        let mut objects = Objects::of(&self.git).ok()?;
        let tree = objects.state(id).ok()?.tree;
        objects.listing(tree).ok()?;
        Some(StateId(id))
    }

    /// Returns the folder of the objects, for git itself.
    #[must_use]
    pub fn object_folder(&self) -> PathBuf {
        self.git.commondir().join("objects")
    }

    /// Fetches what a shared folder ends with; none where nothing was sent there yet.
    ///
    /// # Errors
    /// A [`HistoryError`] where it is no shared folder, or its objects are not whole.
    pub fn look(&self, folder: &Path) -> Result<Option<StateId>, HistoryError> {
        let place = shared(folder)?;
        let Some(there) = end_of(&place, &self.line()?)? else { return Ok(None) };
        Loose::of(&place).all_sound()?;
        carry(&place, &self.git, there, [self.tip()?, self.seen()?])?;
        Ok(Some(StateId(there)))
    }

    /// Sends our last state to a shared folder, if the folder still ends where our state grew from.
    ///
    /// # Errors
    /// A [`HistoryError`] where the folder cannot be written.
    pub fn send_to(&self, folder: &Path) -> Result<Sent, HistoryError> {
        let (place, tip, line) = (shared(folder)?, self.last()?, self.line()?);
        let there = end_of(&place, &line)?;
        if there == Some(tip.0) {
            return Ok(Sent::Already(tip));
        }
        match there {
            Some(there) if self.commit(StateId(there)).is_err() || !self.grew_from(tip, StateId(there))? => {
                return Ok(Sent::Behind);
            }
            _ => {}
        }
        carry(self.whole()?, &place, tip.0, [there.map(StateId), None])?;
        // The one point at which it counts there: only if nobody sent anything since it was looked at.
        for _ in 0..TRIES {
            let moved = match there {
                Some(there) => place.reference_matching(&line, tip.0, true, there, "sent").map(|_| ()),
                None => place.reference(&line, tip.0, false, "sent").map(|_| ()),
            };
            match moved {
                Ok(()) => return Ok(Sent::Sent(tip)),
                Err(error) if error.code() == ErrorCode::Locked => thread::sleep(WAIT),
                Err(error) if matches!(error.code(), ErrorCode::Modified | ErrorCode::Exists) => {
                    return Ok(Sent::Behind);
                }
                Err(error) => return Err(error.into()),
            }
        }
        // Nobody holds a lock that long: a command that was ended left it there.
        Err(HistoryError::Left(place.commondir().join(format!("{line}.lock"))))
    }
}

/// Makes an empty shared folder.
///
/// # Errors
/// A [`HistoryError`] where the platform refuses.
pub fn make_shared(folder: &Path) -> Result<(), HistoryError> {
    let mut options = RepositoryInitOptions::new();
    options.bare(true).no_reinit(true).initial_head("main").external_template(false);
    Repository::init_opts(folder, &options)?;
    Ok(())
}

fn shared(folder: &Path) -> Result<Repository, HistoryError> {
    let none: [&OsStr; 0] = [];
    let shown = folder.display();
    let place = Repository::open_ext(folder, RepositoryOpenFlags::NO_SEARCH, none).map_err(|error| match error.code() {
        ErrorCode::NotFound => HistoryError::Unfit(format!("the shared folder `{shown}` is not there, or is none")),
        ErrorCode::Owner => HistoryError::Unfit(format!(
            "the shared folder `{shown}` belongs to another user of this computer, and was not opened; if you trust them: \
             git config --global --add safe.directory '{shown}'"
        )),
        _ => error.into(),
    })?;
    if !place.is_bare() {
        return Err(HistoryError::Unfit(format!(
            "`{shown}` is somebody's open binder and no shared folder; name a folder that is kept for sharing alone"
        )));
    }
    keep_synced(&place)?;
    Ok(place)
}

fn end_of(place: &Repository, line: &str) -> Result<Option<Oid>, HistoryError> {
    match place.find_reference(line) {
        Ok(reference) => {
            let target = reference.resolve()?.target();
            let id = target.ok_or_else(|| HistoryError::Failed("a reference names nothing".to_owned()))?;
            Loose::of(place).sound(id)?;
            Ok(Some(place.find_commit(id)?.id()))
        }
        Err(error) if error.code() == ErrorCode::NotFound => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// Copies a state and everything it rests on, each object after those it names, so that one that is there is there as a whole.
fn carry(from: &Repository, to: &Repository, want: Oid, have: [Option<StateId>; 2]) -> Result<(), HistoryError> {
    let (source, target) = (from.odb()?, to.odb()?);
    if target.exists(want) {
        return Ok(());
    }
    let mut walk = from.revwalk()?;
    walk.set_sorting(Sort::TOPOLOGICAL | Sort::REVERSE)?;
    walk.push(want)?;
    for state in have.into_iter().flatten() {
        if source.exists(state.0) && target.exists(state.0) {
            walk.hide(state.0)?;
        }
    }
    let gone = |error: git2::Error| match error.code() {
        ErrorCode::NotFound => HistoryError::Incomplete(error.message().to_owned()),
        _ => error.into(),
    };
    for id in walk {
        let id = id.map_err(gone)?;
        if target.exists(id) {
            continue;
        }
        let commit = from.find_commit(id).map_err(gone)?;
        let mut copy = Copy { from, source: &source, target: &target };
        copy.tree(&commit.tree().map_err(gone)?).map_err(gone)?;
        copy.object(id).map_err(gone)?;
    }
    Ok(())
}

struct Copy<'a> {
    from: &'a Repository,
    source: &'a git2::Odb<'a>,
    target: &'a git2::Odb<'a>,
}

impl Copy<'_> {
    fn tree(&mut self, tree: &Tree<'_>) -> Result<(), git2::Error> {
        if self.target.exists(tree.id()) {
            return Ok(());
        }
        for entry in tree {
            match entry.kind() {
                Some(git2::ObjectType::Tree) => self.tree(&self.from.find_tree(entry.id())?)?,
                Some(git2::ObjectType::Blob) => self.object(entry.id())?,
                // Another repository's state is named, not held.
                _ => {}
            }
        }
        self.object(tree.id())
    }

    fn object(&mut self, id: Oid) -> Result<(), git2::Error> {
        if self.target.exists(id) {
            return Ok(());
        }
        let object = self.source.read(id)?;
        self.target.write(object.kind(), object.data()).map(|_| ())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_can_run_nothing_is_a_place() {
        let parse = |typed: &str| Place::parse(typed, Path::new("/home/c"));
        for bad in [
            "ext::sh -c id",
            "-oProxyCommand=id",
            "--upload-pack=id",
            "ssh://-oProxyCommand=id/x",
            "http://a/b",
            "git://a/b",
            "a@-b:c",
            "fd::17",
            "file://relative",
            "host:-x",
            "",
            " /x",
            "/x\n",
            "ssh://a b/c",
            "transport::address",
        ] {
            assert!(parse(bad).is_err(), "{bad}");
        }
        assert_eq!(parse("https://a:secret@b/c"), Err(PlaceFault::Password));
        for good in ["https://host/x.git", "ssh://git@host:2222/x.git", "git@host:x.git", "https://me@host/x"] {
            assert_eq!(parse(good), Ok(Place::Network(good.to_owned())));
        }
        assert_eq!(parse("/srv/x.git"), Ok(Place::Folder("/srv/x.git".into())));
        assert_eq!(parse("file:///srv/x.git"), Ok(Place::Folder("/srv/x.git".into())));
        assert_eq!(parse("x.git"), Ok(Place::Folder("/home/c/x.git".into())));
    }
}
