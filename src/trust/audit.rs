//! What an audit says first: what was believed, how far the ledger goes and how old it is; it is told the time.

use crate::trust::chain::Anchor;
use crate::trust::ledger::Ledger;
use crate::trust::place;
use crate::trust::verdict::{Code, Verdict};
use crate::trust::word::Moment;

/// How far a clock may be ahead of now, in seconds.
const CLOCK_SLACK: i64 = 600;

impl Ledger {
    /// Returns the line that every audit begins with.
    #[must_use]
    pub fn headline(&self, now: Moment) -> String {
        let (Some(first), Some(root), Some(last)) = (self.chain().roots().first(), self.root(), self.sealed().last())
        else {
            return "trust: no ledger could be followed".to_owned();
        };
        let believed = match self.anchor() {
            Anchor::Pinned(_) => "pinned",
            Anchor::FirstUse => "TOFU",
        };
        let whole = if self.is_whole() { "" } else { " (not followed to its end)" };
        format!(
            "trust: genesis {} ({believed}), root v{}, ledger {}{whole}, as of {}, {} days old",
            first.digest,
            root.root.number,
            last.record.seq,
            last.record.signed_at,
            self.age_in_days(now).unwrap_or(0)
        )
    }

    /// Returns how many whole days ago the last record was signed, as its signer's clock says; none before any record.
    #[must_use]
    pub fn age_in_days(&self, now: Moment) -> Option<i64> {
        let last = self.sealed().last()?.record.signed_at;
        Some((now.unix_second() - last.unix_second()).max(0) / 86_400)
    }

    /// Returns the records that were signed by a clock ahead of this one.
    #[must_use]
    pub fn signed_ahead(&self, now: Moment) -> Vec<Verdict> {
        let is_ahead = |moment: Moment| moment.unix_second() > now.unix_second() + CLOCK_SLACK;
        let records = self.sealed().iter().map(|sealed| &sealed.record).filter(|record| is_ahead(record.signed_at));
        let verdict = |record: &crate::trust::record::Record| {
            let told = format!("it was signed at {}, which is still to come", record.signed_at);
            Verdict::new(Code::Clock, place::record(record.seq), told).at(record.seq).by(&record.person)
        };
        records.map(verdict).collect()
    }
}
