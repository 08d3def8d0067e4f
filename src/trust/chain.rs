//! The chain of roots: each follows the one before and carries the signatures of both; it does not know the ledger.

use crate::trust::digest::Digest;
use crate::trust::place;
use crate::trust::record::RootName;
use crate::trust::root::{RECOVERY, Root};
use crate::trust::roster;
use crate::trust::signature::Namespace;
use crate::trust::store::{Store, Unreadable};
use crate::trust::verdict::{Code, Verdict};
use crate::trust::word::{Person, ROOT};
use std::collections::BTreeSet;

/// What the first root is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The digest that was made known on paper.
    Pinned(Digest),
    /// Nobody was told: what is found first is believed, and every audit says so.
    FirstUse,
}

/// A root that is signed as it must be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rooted {
    /// What it says.
    pub root: Root,
    /// The digest of its bytes.
    pub digest: Digest,
    /// Who signed it: ids, or `recovery`.
    pub signed_by: BTreeSet<String>,
}

impl Rooted {
    /// Returns the name by which records call it.
    #[must_use]
    pub fn name(&self) -> RootName {
        RootName { number: self.root.number, digest: self.digest }
    }
}

/// Every root up to the one in force, the first one first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chain {
    roots: Vec<Rooted>,
}

/// A signature of a root, and what came of it.
enum Holder {
    Person(Person),
    Recovery,
}

impl Chain {
    /// Returns the root in force; none before the first.
    #[must_use]
    pub fn last(&self) -> Option<&Rooted> {
        self.roots.last()
    }

    /// Returns every root.
    #[must_use]
    pub fn roots(&self) -> &[Rooted] {
        &self.roots
    }

    /// Returns the root with this number.
    #[must_use]
    pub fn root(&self, number: u32) -> Option<&Rooted> {
        self.roots.get(usize::try_from(number).ok()?.checked_sub(1)?)
    }

    /// Adds the next root, read from where it stands, if it follows and is signed by the threshold of the last root and of
    /// its own; returns what keeps it out, or what is worth knowing of it.
    ///
    /// # Errors
    /// [`Unreadable`] where a file cannot be had.
    pub fn extend(&mut self, store: &dyn Store, anchor: Anchor) -> Result<Vec<Verdict>, Unreadable> {
        let number = u32::try_from(self.roots.len()).unwrap_or(u32::MAX) + 1;
        let path = place::root(number);
        let Some(bytes) = store.read(&path)? else {
            return Ok(vec![Verdict::new(Code::Missing, path, "the root is not there")]);
        };
        let root = match Root::parse(&bytes) {
            Ok(root) => root,
            Err(fault) => return Ok(vec![of_form(&path, &fault)]),
        };
        let digest = Digest::of(&bytes);
        let mut verdicts = self.follows(&root, digest, anchor, &path);
        verdicts.extend(roster_of(store, &root)?);
        let (signed_by, unsigned) = self.signed(store, &root, &bytes)?;
        verdicts.extend(unsigned);
        if !verdicts.iter().any(Verdict::is_fault) {
            self.roots.push(Rooted { root, digest, signed_by });
        }
        Ok(verdicts)
    }

    /// Returns how a root does not follow the last one.
    fn follows(&self, root: &Root, digest: Digest, anchor: Anchor, path: &str) -> Vec<Verdict> {
        let no = |code, told: String| Verdict::new(code, path, told);
        let mut verdicts = Vec::new();
        let Some(last) = self.last() else {
            if root.number != 1 {
                verdicts.push(no(Code::RootChain, format!("the first root is number {}", root.number)));
            }
            if let Anchor::Pinned(pinned) = anchor
                && pinned != digest
            {
                let told = "it is not the first root that was made known; compare the digest with the one on paper";
                verdicts.push(no(Code::Anchor, told.to_owned()).digests(Some(pinned), Some(digest)));
            }
            return verdicts;
        };
        if root.repository != last.root.repository {
            verdicts.push(no(Code::Repository, format!("it belongs to the repository {}", root.repository)));
        }
        if root.number != last.root.number + 1 {
            let told = format!("root {} follows root {}", root.number, last.root.number);
            verdicts.push(no(Code::RootChain, told));
        }
        if root.previous != Some(last.digest) {
            let told = "it does not follow the root before it".to_owned();
            verdicts.push(no(Code::RootChain, told).digests(Some(last.digest), root.previous));
        }
        verdicts.extend(self.reused(root).into_iter().map(|told| no(Code::RosterForm, told)));
        verdicts
    }

    /// Returns how a root gives away what belonged to somebody.
    fn reused(&self, root: &Root) -> Vec<String> {
        let mut told = Vec::new();
        let Some(last) = self.last() else { return told };
        for old in &last.root.persons {
            match root.member(&old.person) {
                None => told.push(format!("`{}` is no longer listed; who leaves keeps the id", old.person)),
                Some(new) if new.is_active && !old.is_active => {
                    told.push(format!("`{}` has left and is active again; give a new id", old.person));
                }
                Some(_) => {}
            }
        }
        for rooted in &self.roots {
            for held in &rooted.root.keys {
                if root.owner(&held.key).is_some_and(|owner| *owner != held.person) {
                    told.push(format!("a key of `{}` is given to somebody else", held.person));
                }
            }
        }
        told.dedup();
        told
    }

    /// Returns who signed a root, and which of the two thresholds that does not meet.
    fn signed(
        &self,
        store: &dyn Store,
        root: &Root,
        bytes: &[u8],
    ) -> Result<(BTreeSet<String>, Vec<Verdict>), Unreadable> {
        let path = place::root(root.number);
        let (mut by_old, mut by_new) = (BTreeSet::new(), BTreeSet::new());
        let mut dismissed = Vec::new();
        for file in store.paths(&format!("{path}.")) {
            let Some(holder) = file.strip_prefix(&format!("{path}.")).and_then(|rest| rest.strip_suffix(".sig")) else {
                continue;
            };
            let Some(armour) = store.read(&file)? else { continue };
            let key = match store.signer(Namespace::Root, bytes, &armour) {
                Ok(key) => key,
                Err(fault) => {
                    dismissed.push(Verdict::of_signature(&file, &fault).as_warning());
                    continue;
                }
            };
            let holder = match holder {
                RECOVERY => Holder::Recovery,
                id => match Person::parse(id) {
                    Ok(person) => Holder::Person(person),
                    Err(_) => continue,
                },
            };
            let counts = |root: &Root| match &holder {
                Holder::Recovery => root.recovery == Some(key),
                Holder::Person(person) => root.has_role(person, ROOT) && root.holds(person, &key),
            };
            let name = match &holder {
                Holder::Recovery => RECOVERY.to_owned(),
                Holder::Person(person) => person.to_string(),
            };
            let (is_old, is_new) = (self.last().is_some_and(|last| counts(&last.root)), counts(root));
            if is_old {
                by_old.insert(name.clone());
            }
            if is_new {
                by_new.insert(name);
            } else if !is_old {
                let told = "it is signed with a key that no holder of the root has";
                dismissed.push(Verdict::new(Code::KeyNotInForce, &file, told).as_warning());
            }
        }
        let mut verdicts = Vec::new();
        if let Some(last) = self.last() {
            verdicts.extend(threshold(&path, by_old.len(), last.root.policy.root, last.root.number));
        }
        verdicts.extend(threshold(&path, by_new.len(), root.policy.root, root.number));
        verdicts.extend(dismissed);
        Ok((by_old.union(&by_new).cloned().collect(), verdicts))
    }
}

/// Returns the verdict on a root that too few people of a root signed.
fn threshold(path: &str, there: usize, wanted: u32, under: u32) -> Option<Verdict> {
    if usize::try_from(wanted).is_ok_and(|wanted| there >= wanted) {
        return None;
    }
    let told = format!("{there} of {wanted} holders under root {under} have signed it");
    Some(Verdict::new(if there == 0 { Code::RootUnsigned } else { Code::RootThreshold }, path, told))
}

/// People and keys that contradict each other make a roster nobody can rely on.
fn of_form(path: &str, fault: &crate::trust::form::FormFault) -> Verdict {
    let mut verdict = Verdict::of_form(path, fault);
    if verdict.code == Code::Form {
        verdict.code = Code::RosterForm;
    }
    verdict
}

/// Returns how the file that stock `ssh-keygen` reads is not the one that follows from the root.
fn roster_of(store: &dyn Store, root: &Root) -> Result<Option<Verdict>, Unreadable> {
    let path = place::allowed_signers(root.number);
    let Some(bytes) = store.read(&path)? else {
        return Ok(Some(Verdict::new(Code::Missing, path, "the roster of the root is not there")));
    };
    if let Err(fault) = roster::read(&bytes) {
        return Ok(Some(Verdict::new(Code::RosterForm, path, fault.to_string())));
    }
    let wanted = root.allowed_signers();
    let told = "it is not the roster that follows from the root";
    let verdict =
        || Verdict::new(Code::Digest, path, told).digests(Some(Digest::of(&wanted)), Some(Digest::of(&bytes)));
    Ok((bytes != wanted).then(verdict))
}
