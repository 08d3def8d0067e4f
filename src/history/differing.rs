//! How the protected folders of a state differ from those of a state before it: what is new, and what was taken back; it
//! follows no history.

use crate::base::path::PROTECTED;
use crate::history::error::HistoryError;
use crate::history::listing::{Entry, FOLDER, Objects, PLAIN, entries, fault};
use crate::history::walk::short;
use crate::trust::verdict::{Code, Verdict};
use git2::Oid;
use std::collections::BTreeMap;
use std::rc::Rc;

/// How deep protected folders go; what lies deeper is not looked into.
pub(super) const DEPTH: usize = 4;
/// How many files one state can bring; nobody writes more, and a small listing can name the same folder very often.
const MOST_NEW: usize = 2_000_000;
/// How much is told of one state, before the rest is only counted.
const MOST_TOLD: usize = 40;

/// The differences that were found so far.
pub(super) struct Differing<'a, 'r> {
    objects: &'a mut Objects<'r>,
    state: Oid,
    added: BTreeMap<String, Oid>,
    verdicts: Vec<Verdict>,
    untold: usize,
}

/// An entry of a state's own folder: mode and git's name.
pub(super) type Root = (Vec<u8>, Oid);

impl<'a, 'r> Differing<'a, 'r> {
    pub(super) fn of(objects: &'a mut Objects<'r>, state: Oid) -> Self {
        Self { objects, state, added: BTreeMap::new(), verdicts: Vec::new(), untold: 0 }
    }

    /// Returns the new files with git's names of them, and what is not as it should be.
    pub(super) fn told(mut self) -> (BTreeMap<String, Oid>, Vec<Verdict>) {
        if self.untold > 0 {
            let told = format!("{} more files were changed, taken out or have no plain form", self.untold);
            self.untold = 0;
            self.verdicts.push(self.verdict(Code::AppendOnly, "the same state".to_owned(), &told));
        }
        (self.added, self.verdicts)
    }

    /// Tells of names beside the protected folders that some disk would take for one of them.
    pub(super) fn roots(&mut self, own: &BTreeMap<String, Oid>, before: &BTreeMap<String, Oid>) {
        for (name, id) in own {
            if before.get(name) != Some(id) {
                self.say(Code::TreeForm, name.clone(), "some computers would take it for a protected folder");
            }
        }
    }

    /// Compares one protected folder.
    pub(super) fn root(&mut self, name: &str, old: Option<&Root>, now: Option<&Root>) -> Result<(), HistoryError> {
        if old == now {
            return Ok(());
        }
        let folder = |root: Option<&Root>| root.filter(|(mode, _)| mode == FOLDER).map(|(_, id)| *id);
        if let Some((mode, _)) = now.filter(|(mode, _)| mode != FOLDER) {
            self.say(Code::TreeForm, name.trim_end_matches('/').to_owned(), not_plain(mode));
        }
        match (folder(old), folder(now)) {
            (Some(old), None) => self.emptied(name, old),
            (old, now) => self.folder(name, old, now),
        }
    }

    fn folder(&mut self, within: &str, old: Option<Oid>, now: Option<Oid>) -> Result<(), HistoryError> {
        if old == now {
            return Ok(());
        }
        if within.matches('/').count() > DEPTH {
            self.say(Code::TreeForm, within.to_owned(), "no protected file lies so deep; it was not looked into");
            return Ok(());
        }
        let (old, now) = (self.listing(old)?, self.listing(now)?);
        if let Some(told) = fault(&now) {
            self.say(Code::TreeForm, within.to_owned(), told);
        }
        let (mut olds, mut nows) = (entries(&old).peekable(), entries(&now).peekable());
        loop {
            match (olds.peek().copied(), nows.peek().copied()) {
                (None, None) => return Ok(()),
                (Some(before), Some(after)) if before.name == after.name => {
                    if before != after {
                        self.other(within, before, after)?;
                    }
                    olds.next();
                    nows.next();
                }
                (Some(before), after) if after.is_none_or(|after| before.is_before(&after)) => {
                    self.gone(within, before)?;
                    olds.next();
                }
                (_, Some(after)) => {
                    self.came(within, after)?;
                    nows.next();
                }
                (Some(_), None) => unreachable!("an entry without a partner is gone"),
            }
        }
    }

    fn listing(&mut self, folder: Option<Oid>) -> Result<Rc<[u8]>, HistoryError> {
        folder.map_or_else(|| Ok(Rc::from([])), |id| self.objects.listing(id))
    }

    fn verdict(&self, code: Code, path: String, told: &str) -> Verdict {
        Verdict::new(code, path, format!("{told} in the state {}", short(self.state)))
    }

    fn say(&mut self, code: Code, path: String, told: &str) {
        if self.verdicts.len() < MOST_TOLD {
            self.verdicts.push(self.verdict(code, path, told));
        } else {
            self.untold += 1;
        }
    }

    fn other(&mut self, within: &str, before: Entry<'_>, after: Entry<'_>) -> Result<(), HistoryError> {
        let path = format!("{within}{}", after.shown());
        if before.is_folder() && after.is_folder() {
            return self.folder(&format!("{path}/"), Some(before.id), Some(after.id));
        }
        self.say(Code::AppendOnly, path.clone(), "a file that is written once was changed");
        self.form(&path, after);
        Ok(())
    }

    fn gone(&mut self, within: &str, before: Entry<'_>) -> Result<(), HistoryError> {
        let path = format!("{within}{}", before.shown());
        if before.is_folder() {
            return self.emptied(&format!("{path}/"), before.id);
        }
        self.say(Code::AppendOnly, path, "a file that is written once was taken out");
        Ok(())
    }

    /// A folder that is no longer there: told once, unless nothing was in it.
    fn emptied(&mut self, within: &str, old: Oid) -> Result<(), HistoryError> {
        let listing = self.objects.listing(old)?;
        if listing.is_empty() {
            return Ok(());
        }
        if PROTECTED.contains(&within) || entries(&listing).count() > MOST_TOLD {
            self.say(Code::AppendOnly, within.to_owned(), "everything in it, which is written once, was taken out");
            return Ok(());
        }
        for entry in entries(&listing) {
            self.gone(within, entry)?;
        }
        Ok(())
    }

    fn came(&mut self, within: &str, after: Entry<'_>) -> Result<(), HistoryError> {
        let path = format!("{within}{}", after.shown());
        self.form(&path, after);
        if after.is_folder() {
            return self.folder(&format!("{path}/"), None, Some(after.id));
        }
        if self.added.len() >= MOST_NEW {
            return Err(HistoryError::Unfit(format!(
                "the state {} brings more than {MOST_NEW} protected files",
                short(self.state)
            )));
        }
        self.added.insert(path, after.id);
        Ok(())
    }

    /// What is written once is a plain file with a plain name: no link, no program, no repository, no pointer to elsewhere.
    /// Without capitals no two names can be one file on a disk that ignores them.
    fn form(&mut self, path: &str, entry: Entry<'_>) {
        let is_plain = |byte: &u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b"._-".contains(byte);
        if entry.mode != PLAIN && entry.mode != FOLDER {
            self.say(Code::TreeForm, path.to_owned(), not_plain(entry.mode));
        } else if entry.name.is_empty() || !entry.name.iter().all(is_plain) {
            self.say(Code::TreeForm, path.to_owned(), "its name holds other signs than small letters and digits");
        } else if entry.name.starts_with(b".") {
            self.say(Code::TreeForm, path.to_owned(), "its name begins with a dot, which no protected file does");
        }
    }
}

/// Says what stands where only plain files and folders may.
fn not_plain(mode: &[u8]) -> &'static str {
    match mode {
        b"120000" => "it is a link to another place and no plain file",
        b"160000" => "it is a pointer to another repository and no plain file",
        b"100755" => "it is marked as a program and no plain file",
        PLAIN => "a file stands in place of a protected folder",
        _ => "it is no plain file",
    }
}
