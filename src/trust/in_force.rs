//! What is in force on a day, for each document and machine; it is told the day and knows no clock.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag};
use crate::trust::digest::Digest;
use crate::trust::ledger::{Ledger, Released};
use crate::trust::record::Entry;
use crate::trust::verdict::{Code, Verdict};
use crate::trust::word::Seq;
use std::collections::{BTreeMap, BTreeSet};

/// A packet that is in force on a day, or would be if its release counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InForce {
    /// The document.
    pub document: DocumentNumber,
    /// The machine.
    pub tag: Tag,
    /// The digest of the packet's bytes.
    pub packet: Digest,
    /// The revision with which it came.
    pub revision: u32,
    /// The manifest with which it came.
    pub manifest: Digest,
    /// The record that released it.
    pub seq: Seq,
    /// The first day.
    pub effective: Date,
    /// The last day, for a temporary change.
    pub until: Option<Date>,
    /// The day by which it must be looked at again.
    pub review_by: Option<Date>,
    /// Why nobody may work from it; empty where it may be used.
    pub doubts: BTreeSet<Code>,
}

impl InForce {
    /// Tells whether it may be printed and used.
    #[must_use]
    pub fn is_usable(&self) -> bool {
        self.doubts.is_empty()
    }
}

impl Ledger {
    /// Returns what is in force on a day, by document and machine.
    ///
    /// Of the releases whose day has come and has not run out, the last one decides; where it was withdrawn or took the machine
    /// out, nothing is in force and nothing older comes back. A release that does not count decides too, with its doubts: what
    /// it replaced is not brought back in silence. Where [`Ledger::is_whole`] is false the answer covers only the records that
    /// could be followed, and nothing may be printed from it.
    #[must_use]
    pub fn in_force(&self, day: Date) -> Vec<InForce> {
        let suspects = self.doubtful();
        let mut rows: BTreeMap<(DocumentNumber, Tag), InForce> = BTreeMap::new();
        for sealed in &self.sealed {
            let (Some(released), Entry::Release(release)) = (&sealed.release, &sealed.record.entry) else { continue };
            let has_come = released.effective <= day && released.until.is_none_or(|until| day <= until);
            // The same change sealed a second time changes nothing.
            if !has_come || self.released.get(&released.manifest) != Some(&sealed.record.seq) {
                continue;
            }
            for removed in &released.removed {
                rows.remove(&(removed.document.clone(), removed.tag.clone()));
            }
            let is_withdrawn = self.withdrawn_on(&released.manifest).is_some_and(|from| from <= day);
            for resolved in &released.resolved {
                let key = (resolved.document.clone(), resolved.tag.clone());
                if is_withdrawn {
                    rows.remove(&key);
                    continue;
                }
                let own = released.documents.iter().find(|revised| revised.document == resolved.document);
                let row = InForce {
                    document: resolved.document.clone(),
                    tag: resolved.tag.clone(),
                    packet: resolved.digest,
                    revision: own.map_or(0, |own| own.revision),
                    manifest: released.manifest,
                    seq: sealed.record.seq,
                    effective: released.effective,
                    until: released.until,
                    review_by: release.review_by,
                    doubts: doubts(released, suspects.contains(&sealed.record.seq)),
                };
                rows.insert(key, row);
            }
        }
        rows.into_values().collect()
    }

    /// Returns the first day on which what a manifest brought was withdrawn.
    #[must_use]
    pub fn withdrawn_on(&self, manifest: &Digest) -> Option<Date> {
        let sealed = self.at(*self.withdrawn.get(manifest)?)?;
        match &sealed.record.entry {
            Entry::Withdraw(withdrawal) => Some(withdrawal.effective),
            Entry::Release(_) | Entry::Root | Entry::Compromised { .. } | Entry::Heartbeat => None,
        }
    }

    fn doubtful(&self) -> BTreeSet<Seq> {
        self.suspects().into_iter().filter_map(|verdict| verdict.seq).collect()
    }
}

fn doubts(released: &Released, is_suspect: bool) -> BTreeSet<Code> {
    let faults = released.faults.iter().filter(|fault: &&Verdict| fault.is_fault()).map(|fault| fault.code);
    faults.chain(is_suspect.then_some(Code::Suspect)).collect()
}
