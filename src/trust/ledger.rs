//! The ledger read from its first record to its last, each judged by the root in force at its place; it knows no clock.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::risk::RiskClass;
use crate::trust::chain::{Anchor, Chain, Rooted};
use crate::trust::digest::Digest;
use crate::trust::key::PublicKey;
use crate::trust::manifest::{Manifest, Removed, Resolved, Revised};
use crate::trust::place;
use crate::trust::record::{Entry, Named, Record, Release, Withdrawal};
use crate::trust::signature::Namespace;
use crate::trust::store::{Store, Unreadable};
use crate::trust::table::Table;
use crate::trust::verdict::{Code, Severity, Verdict};
use crate::trust::weigh::Authentic;
use crate::trust::word::{Moment, OneLine, Person, RELEASE, RepositoryId, Seq};
use std::collections::BTreeMap;

/// How far a clock may be behind the record before, in seconds.
const CLOCK_SLACK: i64 = 600;

/// A ledger as far as it could be followed.
#[derive(Clone, Debug)]
pub struct Ledger {
    pub(super) anchor: Anchor,
    pub(super) chain: Chain,
    pub(super) sealed: Vec<Sealed>,
    pub(super) released: BTreeMap<Digest, Seq>,
    pub(super) withdrawn: BTreeMap<Digest, Seq>,
    pub(super) documents: BTreeMap<DocumentNumber, (u32, Digest)>,
    pub(super) table: Table,
    verdicts: Vec<Verdict>,
    is_whole: bool,
}

/// A record that follows the one before and is signed by who may seal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// What it says.
    pub record: Record,
    /// The digest of its bytes.
    pub digest: Digest,
    /// The key that sealed it.
    pub key: PublicKey,
    /// What it released, if it did.
    pub release: Option<Released>,
}

/// A change that was released.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Released {
    /// The digest of the manifest.
    pub manifest: Digest,
    /// What the change is.
    pub title: OneLine,
    /// Why it was made.
    pub reason: OneLine,
    /// Its class.
    pub class: RiskClass,
    /// Who made it.
    pub prepared_by: Person,
    /// The first day it is in force.
    pub effective: Date,
    /// The last day, for a temporary change.
    pub until: Option<Date>,
    /// The documents with their new revisions.
    pub documents: Vec<Revised>,
    /// The packets it brought.
    pub resolved: Vec<Resolved>,
    /// The machines it took out.
    pub removed: Vec<Removed>,
    /// The approvals that count.
    pub approvals: Vec<Authentic>,
    /// The statement of who made it.
    pub preparation: Option<Authentic>,
    /// Why it does not count, and what is worth knowing of it.
    pub faults: Vec<Verdict>,
}

impl Released {
    /// Tells whether the release counts.
    #[must_use]
    pub fn counts(&self) -> bool {
        !self.faults.iter().any(Verdict::is_fault)
    }
}

/// What an audit ends with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing was found.
    Clean,
    /// Something was found.
    Findings,
    /// Too little is there to decide; never the same as clean.
    Undecided,
}

impl Outcome {
    /// Returns what an audit ends with that finds these.
    #[must_use]
    pub fn of(verdicts: &[Verdict]) -> Self {
        if verdicts.iter().any(|verdict| verdict.severity == Severity::Incomplete) {
            Self::Undecided
        } else if verdicts.iter().any(Verdict::is_fault) {
            Self::Findings
        } else {
            Self::Clean
        }
    }
}

impl Ledger {
    /// Returns the ledger of a store, read to its end or to the first record that does not follow.
    #[must_use]
    pub fn read(store: &dyn Store, anchor: Anchor) -> Self {
        let mut ledger = Self {
            anchor,
            chain: Chain::default(),
            sealed: Vec::new(),
            released: BTreeMap::new(),
            withdrawn: BTreeMap::new(),
            documents: BTreeMap::new(),
            table: Table::default(),
            verdicts: Vec::new(),
            is_whole: true,
        };
        ledger.advance(store);
        ledger
    }

    /// Reads the records that were added since; what was read before is not read again.
    pub fn advance(&mut self, store: &dyn Store) {
        while self.is_whole {
            let Some(seq) = self.next_seq() else { break };
            match self.step(store, seq) {
                Ok(true) => {}
                Ok(false) => break,
                Err(verdicts) => {
                    self.verdicts.extend(verdicts.into_iter().map(|verdict| verdict.at(seq)));
                    self.is_whole = false;
                }
            }
        }
        self.look_beyond(store);
    }

    /// Returns the place of the next record; none where the ledger is full.
    #[must_use]
    pub fn next_seq(&self) -> Option<Seq> {
        self.sealed.last().map_or(Some(Seq::FIRST), |sealed| sealed.record.seq.next())
    }

    /// A record after the last one means that one between was taken out.
    fn look_beyond(&mut self, store: &dyn Store) {
        if !self.is_whole {
            return;
        }
        let last = self.sealed.last().map_or(0, |sealed| sealed.record.seq.number());
        // A signature without its record is a trace as good as the record.
        let seq_of = |path: &String| place::record_at(path.strip_suffix(".sig").unwrap_or(path));
        let beyond = store.paths(place::LEDGER).iter().filter_map(seq_of).max();
        match beyond.filter(|seq| seq.number() > last) {
            Some(beyond) => {
                let missing = self.next_seq().unwrap_or(beyond);
                let told = format!("the record is not there, and there are traces up to {beyond}: one was taken out");
                self.verdicts.push(Verdict::new(Code::LedgerGap, place::record(missing), told).at(missing));
                self.is_whole = false;
            }
            None if last == 0 => {
                self.verdicts.push(Verdict::new(Code::Missing, place::LEDGER, "there is no ledger"));
                self.is_whole = false;
            }
            None => {}
        }
    }

    /// Reads the record at `seq`; returns whether there was one.
    fn step(&mut self, store: &dyn Store, seq: Seq) -> Result<bool, Vec<Verdict>> {
        let path = place::record(seq);
        let Some(bytes) = store.read(&path).map_err(|error| unreadable(&error))? else { return Ok(false) };
        let record = Record::parse(&bytes).map_err(|fault| vec![Verdict::of_form(&path, &fault)])?;
        self.follows(&record, seq, &path)?;
        let warnings = self.enter_root(store, &record, &path)?;
        let Some(rooted) = self.chain.last() else { return Err(vec![no_root(&path)]) };
        let armour = store.read(&place::signature(&path)).map_err(|error| unreadable(&error))?;
        let key = sealed_by(store, rooted, &record, (&bytes, armour.as_deref()), &path)?;
        let release = match &record.entry {
            Entry::Release(release) => Some(self.judge(store, &record, release).map_err(|verdict| vec![*verdict])?),
            Entry::Withdraw(_) | Entry::Root | Entry::Compromised { .. } | Entry::Heartbeat => None,
        };
        self.verdicts.extend(warnings.into_iter().map(|warning| warning.at(seq)));
        self.enter(&record, release.as_ref());
        self.sealed.push(Sealed { digest: Digest::of(&bytes), record, key, release });
        Ok(true)
    }

    fn follows(&mut self, record: &Record, seq: Seq, path: &str) -> Result<(), Vec<Verdict>> {
        let no = |code, told: String| Err(vec![Verdict::new(code, path, told)]);
        if record.seq != seq {
            return no(Code::LedgerGap, format!("record {} stands at the place of {seq}", record.seq));
        }
        let last = self.sealed.last();
        let prev = last.map(|last| last.digest);
        if record.prev != prev {
            let told = "it does not follow the record before it";
            return Err(vec![Verdict::new(Code::LedgerChain, path, told).digests(prev, record.prev)]);
        }
        if let Some(repository) = self.repository()
            && *repository != record.repository
        {
            return no(Code::Repository, format!("it belongs to the repository {}", record.repository));
        }
        if let Some(last) = last
            && record.signed_at.unix_second() + CLOCK_SLACK < last.record.signed_at.unix_second()
        {
            let told = format!("it was signed at {}, before the record it follows", record.signed_at);
            self.verdicts.push(Verdict::new(Code::Clock, path, told).at(seq));
        }
        Ok(())
    }

    /// Takes in the root that a record brings, or checks that it names the one in force.
    fn enter_root(&mut self, store: &dyn Store, record: &Record, path: &str) -> Result<Vec<Verdict>, Vec<Verdict>> {
        let mut warnings = Vec::new();
        if record.entry == Entry::Root {
            warnings = self.chain.extend(store, self.anchor).map_err(|error| unreadable(&error))?;
            if warnings.iter().any(Verdict::is_fault) {
                return Err(warnings);
            }
        }
        let Some(last) = self.chain.last() else { return Err(vec![no_root(path)]) };
        if last.name() != record.root {
            let told = format!("it names root {}, and root {} is in force here", record.root.number, last.root.number);
            let verdict = Verdict::new(Code::RootChain, path, told);
            return Err(vec![verdict.digests(Some(last.digest), Some(record.root.digest))]);
        }
        if last.root.repository != record.repository {
            let told = format!("it belongs to the repository {}", record.repository);
            return Err(vec![Verdict::new(Code::Repository, path, told)]);
        }
        Ok(warnings)
    }

    /// Takes in what a record that follows changes.
    fn enter(&mut self, record: &Record, release: Option<&Released>) {
        let seq = record.seq;
        if let Some(released) = release {
            // A change that came twice is in force from its first release on; what was withdrawn does not come back with it.
            if *self.released.entry(released.manifest).or_insert(seq) == seq {
                for revised in &released.documents {
                    self.documents.insert(revised.document.clone(), (revised.revision, released.manifest));
                }
                self.table.release(released.manifest, &released.documents, &released.resolved, &released.removed);
            }
            self.verdicts.extend(released.faults.iter().cloned().map(|fault| fault.at(seq)));
        }
        if let Entry::Withdraw(withdrawal) = &record.entry {
            self.withdraw(withdrawal, seq, &place::record(seq));
        }
    }

    fn withdraw(&mut self, withdrawal: &Withdrawal, seq: Seq, path: &str) {
        if !self.released.contains_key(&withdrawal.manifest) || self.withdrawn.contains_key(&withdrawal.manifest) {
            let told = format!("{} was never released, or was withdrawn before", withdrawal.manifest.short());
            self.verdicts.push(Verdict::new(Code::NotReleased, path, told).at(seq));
            return;
        }
        self.withdrawn.insert(withdrawal.manifest, seq);
        self.table.withdraw(withdrawal.manifest);
        let current = self.table.digest();
        if current != withdrawal.current {
            let told = "what it calls current is not what is current after it";
            let verdict = Verdict::new(Code::Current, path, told).digests(Some(current), Some(withdrawal.current));
            self.verdicts.push(verdict.at(seq));
        }
    }

    /// Returns the id of the repository; none before the first record.
    #[must_use]
    pub fn repository(&self) -> Option<&RepositoryId> {
        self.chain.last().map(|rooted| &rooted.root.repository)
    }

    /// Returns the root in force after the last record.
    #[must_use]
    pub fn root(&self) -> Option<&Rooted> {
        self.chain.last()
    }

    /// Returns every root so far.
    #[must_use]
    pub fn chain(&self) -> &Chain {
        &self.chain
    }

    /// Returns what the first root was held against.
    #[must_use]
    pub fn anchor(&self) -> Anchor {
        self.anchor
    }

    /// Returns the records, the first one first.
    #[must_use]
    pub fn sealed(&self) -> &[Sealed] {
        &self.sealed
    }

    /// Returns the record at a place.
    #[must_use]
    pub fn at(&self, seq: Seq) -> Option<&Sealed> {
        self.sealed.get(usize::try_from(seq.number()).ok()?.checked_sub(1)?)
    }

    /// Returns the record that withdrew a manifest, if one did.
    #[must_use]
    pub fn withdrawal_of(&self, manifest: &Digest) -> Option<Seq> {
        self.withdrawn.get(manifest).copied()
    }

    /// Returns the record that released a manifest.
    #[must_use]
    pub fn release_of(&self, manifest: &Digest) -> Option<&Sealed> {
        self.released.get(manifest).and_then(|seq| self.at(*seq))
    }

    /// Returns the last revision of a document and its manifest.
    #[must_use]
    pub fn last_revision(&self, document: &DocumentNumber) -> Option<(u32, Digest)> {
        self.documents.get(document).copied()
    }

    /// Returns what is current after the last record, whatever the day.
    #[must_use]
    pub fn table(&self) -> &Table {
        &self.table
    }

    /// Tells whether every record that is there was followed; where not, nobody knows what is in force.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.is_whole
    }

    /// Returns everything that is not as it should be, gravest first.
    #[must_use]
    pub fn verdicts(&self) -> Vec<Verdict> {
        let mut verdicts = self.verdicts.clone();
        verdicts.extend(self.suspects());
        verdicts.sort_by(|a, b| (a.severity, a.seq, &a.object).cmp(&(b.severity, b.seq, &b.object)));
        verdicts
    }

    /// Returns what an audit of this ledger ends with.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        Outcome::of(&self.verdicts())
    }

    /// Returns the next record, still to be signed; none where the ledger is full, has no root or was not followed.
    #[must_use]
    pub fn next_record(&self, entry: Entry, person: &Person, signed_at: Moment) -> Option<Record> {
        let rooted = self.root().filter(|_| self.is_whole)?;
        Some(Record {
            repository: rooted.root.repository.clone(),
            seq: self.next_seq()?,
            prev: self.sealed.last().map(|sealed| sealed.digest),
            root: rooted.name(),
            entry,
            person: person.clone(),
            signed_at,
        })
    }

    /// Returns the entry that releases a change on these approvals.
    #[must_use]
    pub fn release_entry(
        &self,
        (digest, manifest): (Digest, &Manifest),
        approvals: &[Authentic],
        effective: Date,
        review_by: Option<Date>,
    ) -> Entry {
        let mut table = self.table.clone();
        table.release(digest, &manifest.documents, &manifest.resolved, &manifest.removed);
        let named = |own: &Authentic| Named { person: own.approval.person.clone(), digest: own.digest };
        let mut approvals: Vec<Named> = approvals.iter().map(named).collect();
        approvals.sort();
        Entry::Release(Release { manifest: digest, approvals, effective, current: table.digest(), review_by })
    }

    /// Returns the entry that withdraws what a manifest brought.
    #[must_use]
    pub fn withdraw_entry(&self, manifest: Digest, reason: OneLine, effective: Date) -> Entry {
        let mut table = self.table.clone();
        table.withdraw(manifest);
        Entry::Withdraw(Withdrawal { manifest, reason, effective, current: table.digest() })
    }

    /// Returns what would be wrong with a record if it were sealed now; nothing is changed by asking.
    ///
    /// # Errors
    /// [`Unreadable`] where a file cannot be had.
    pub fn rehearse(&self, store: &dyn Store, record: &Record) -> Result<Vec<Verdict>, Unreadable> {
        let mut trial = self.clone();
        let known = trial.verdicts.len();
        let path = place::record(record.seq);
        let Some(seq) = self.next_seq() else {
            return Ok(vec![Verdict::new(Code::LedgerGap, path, "the ledger is full")]);
        };
        let checked = trial.follows(record, seq, &path).and_then(|()| trial.enter_root(store, record, &path));
        if let Err(verdicts) = checked {
            return Ok(verdicts);
        }
        if let Some(rooted) = trial.chain.last()
            && !rooted.root.has_role(&record.person, RELEASE)
        {
            return Ok(vec![not_a_releaser(&path, record, rooted)]);
        }
        let release = match &record.entry {
            Entry::Release(release) => match trial.judge(store, record, release) {
                Ok(released) => Some(released),
                Err(verdict) => return Ok(vec![*verdict]),
            },
            Entry::Withdraw(_) | Entry::Root | Entry::Compromised { .. } | Entry::Heartbeat => None,
        };
        trial.enter(record, release.as_ref());
        Ok(trial.verdicts.split_off(known))
    }

    /// Returns the packet that is in the table for a document on a machine.
    #[must_use]
    pub fn packet(&self, document: &DocumentNumber, tag: &Tag) -> Option<Digest> {
        self.table.row(document, tag).map(|row| row.packet)
    }
}

/// Returns the key that sealed a record, if it is one of a person who may.
fn sealed_by(
    store: &dyn Store,
    rooted: &Rooted,
    record: &Record,
    (bytes, armour): (&[u8], Option<&[u8]>),
    path: &str,
) -> Result<PublicKey, Vec<Verdict>> {
    let no = |code, told: String| vec![Verdict::new(code, path, told).by(&record.person)];
    let armour = armour.ok_or_else(|| no(Code::SignatureForm, "the signature is missing".to_owned()))?;
    let key = store
        .signer(Namespace::Release, bytes, armour)
        .map_err(|fault| vec![Verdict::of_signature(&place::signature(path), &fault).by(&record.person)])?;
    if !rooted.root.holds(&record.person, &key) {
        let (person, number) = (&record.person, rooted.root.number);
        return Err(no(
            Code::KeyNotInForce,
            format!("it is signed with a key that is not one of `{person}` in root {number}"),
        ));
    }
    if !rooted.root.has_role(&record.person, RELEASE) {
        return Err(vec![not_a_releaser(path, record, rooted)]);
    }
    Ok(key)
}

fn not_a_releaser(path: &str, record: &Record, rooted: &Rooted) -> Verdict {
    let told = format!("`{}` has not the role `{RELEASE}` in root {}", record.person, rooted.root.number);
    Verdict::new(Code::Role, path, told).by(&record.person)
}

fn no_root(path: &str) -> Verdict {
    Verdict::new(Code::RootChain, path, "no root is in force here: the first record of a ledger brings root 1")
}

pub(super) fn cannot_read(error: &Unreadable) -> Verdict {
    Verdict::new(Code::Missing, &error.path, error.to_string())
}

fn unreadable(error: &Unreadable) -> Vec<Verdict> {
    vec![cannot_read(error)]
}
