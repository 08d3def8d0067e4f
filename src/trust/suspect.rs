//! What is in doubt once a key is known to be stolen; it takes nothing out of force by itself.

use crate::trust::key::PublicKey;
use crate::trust::ledger::{Ledger, Sealed};
use crate::trust::place;
use crate::trust::record::Entry;
use crate::trust::verdict::{Code, Severity, Verdict};
use crate::trust::word::{Person, Seq};

/// A key that is known to be stolen.
struct Stolen<'a> {
    person: &'a Person,
    since: Seq,
    /// Where that was recorded.
    told: Seq,
    /// What the person held when it happened.
    keys: Vec<PublicKey>,
}

impl Stolen<'_> {
    /// From when it happened until it was recorded, every signature of the person is in doubt; later, only those of the keys
    /// that the person held when it happened.
    fn touches(&self, seq: Seq, key: &PublicKey) -> bool {
        seq >= self.since && (seq < self.told || self.keys.contains(key))
    }
}

impl Ledger {
    /// Returns what rests on a signature that is in doubt.
    #[must_use]
    pub fn suspects(&self) -> Vec<Verdict> {
        let stolen: Vec<Stolen<'_>> = self.sealed.iter().filter_map(|sealed| self.stolen(sealed)).collect();
        if stolen.is_empty() {
            return Vec::new();
        }
        self.sealed.iter().flat_map(|sealed| stolen.iter().filter_map(|stolen| self.suspect(sealed, stolen))).collect()
    }

    fn stolen<'a>(&self, sealed: &'a Sealed) -> Option<Stolen<'a>> {
        let Entry::Compromised { person, since, .. } = &sealed.record.entry else { return None };
        // A place that is still to come is taken for the place of the record itself.
        let then = self.at(*since).unwrap_or(sealed);
        let then = self.chain.root(then.record.root.number);
        let keys = then.into_iter().flat_map(|rooted| &rooted.root.keys);
        let keys = keys.filter(|held| held.person == *person).map(|held| held.key).collect();
        Some(Stolen { person, since: *since, told: sealed.record.seq, keys })
    }

    fn suspect(&self, sealed: &Sealed, stolen: &Stolen<'_>) -> Option<Verdict> {
        let seq = sealed.record.seq;
        let has_sealed = sealed.record.person == *stolen.person && stolen.touches(seq, &sealed.key);
        let statements =
            sealed.release.iter().flat_map(|released| released.approvals.iter().chain(&released.preparation));
        let has_signed = |own: &crate::trust::weigh::Authentic| {
            own.approval.person == *stolen.person && stolen.touches(seq, &own.key)
        };
        let signed = statements.into_iter().any(has_signed);
        let has_rooted = sealed.record.entry == Entry::Root
            && seq >= stolen.since
            && self
                .chain
                .root(sealed.record.root.number)
                .is_some_and(|rooted| rooted.signed_by.contains(stolen.person.as_str()))
            && seq < stolen.told;
        // Who records that his own key was stolen may well do so with the next one.
        if !(has_sealed || signed || has_rooted) || (seq == stolen.told && !signed) {
            return None;
        }
        let told = format!(
            "it rests on a signature of `{}`, whose key is in doubt since {}; withdraw it, or approve and release it anew",
            stolen.person, stolen.since
        );
        let mut verdict = Verdict::new(Code::Suspect, place::record(seq), told).by(stolen.person).at(seq);
        // What nobody works from any more endangers nobody.
        let is_current = |manifest| self.table.rows().any(|(_, _, row)| row.manifest == manifest);
        if sealed.release.as_ref().is_some_and(|released| !is_current(released.manifest)) {
            verdict.severity = Severity::Invalid;
        }
        Some(verdict)
    }
}
