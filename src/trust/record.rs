//! One record of the ledger: a release, a withdrawal, a new root, a stolen key or a sign of life; it knows no other record.

use crate::base::date::Date;
use crate::trust::digest::Digest;
use crate::trust::form::{self, FormFault, Lines, Written, or_none, shown, words};
use crate::trust::word::{self, Moment, OneLine, Person, RepositoryId, Seq, WordFault};

/// The most bytes of a record.
pub const MOST_BYTES: usize = 64 << 10;

/// A record of the ledger.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The repository.
    pub repository: RepositoryId,
    /// Its place.
    pub seq: Seq,
    /// The digest of the record before; none for the first.
    pub prev: Option<Digest>,
    /// The root that is in force here.
    pub root: RootName,
    /// What it says.
    pub entry: Entry,
    /// Who sealed it.
    pub person: Person,
    /// When, as the signer's clock says: shown to people.
    pub signed_at: Moment,
}

/// A root by its number and its bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RootName {
    /// Its number, from 1.
    pub number: u32,
    /// The digest of its bytes.
    pub digest: Digest,
}

/// What a record says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// A change is in force from its day on.
    Release(Release),
    /// What a change brought is no longer in force.
    Withdraw(Withdrawal),
    /// The root named above is in force from here on.
    Root,
    /// What a person signed from a place on is doubtful.
    Compromised {
        /// Whose key.
        person: Person,
        /// The first place in doubt.
        since: Seq,
        /// What happened.
        reason: OneLine,
    },
    /// Nothing happened; the ledger is not older than this.
    Heartbeat,
}

/// A release.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    /// The digest of the manifest.
    pub manifest: Digest,
    /// The digests of the approvals it rests on, by person.
    pub approvals: Vec<Named>,
    /// The first day it is in force.
    pub effective: Date,
    /// The digest of the table of everything current after it.
    pub current: Digest,
    /// The day by which it must be looked at again; none where the plant sets none.
    pub review_by: Option<Date>,
}

/// A statement by its digest and its signer.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Named {
    /// Who signed it.
    pub person: Person,
    /// The digest of the statement, not of its signature.
    pub digest: Digest,
}

/// A withdrawal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withdrawal {
    /// The digest of the manifest whose packets are withdrawn.
    pub manifest: Digest,
    /// Why.
    pub reason: OneLine,
    /// The first day they are no longer in force.
    pub effective: Date,
    /// The digest of the table of everything current after it.
    pub current: Digest,
}

impl Entry {
    /// Returns the word of a record.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Release(_) => "release",
            Self::Withdraw(_) => "withdraw",
            Self::Root => "root",
            Self::Compromised { .. } => "compromised",
            Self::Heartbeat => "heartbeat",
        }
    }
}

impl Record {
    /// Returns the record that `bytes` are, if it is printed as these same bytes.
    ///
    /// # Errors
    /// A [`FormFault`] that names the line.
    pub fn parse(bytes: &[u8]) -> Result<Self, FormFault> {
        form::canonical(bytes, parse, print)
    }

    /// Returns the bytes of this record.
    ///
    /// # Errors
    /// A [`FormFault`] where a field holds what a record cannot, or a list is out of order.
    pub fn to_bytes(&self) -> Result<Vec<u8>, FormFault> {
        form::written(self, print, parse)
    }
}

fn parse(bytes: &[u8]) -> Result<Record, FormFault> {
    let mut lines = Lines::open(bytes, "record", MOST_BYTES)?;
    let kind = lines.field("kind", |text| Ok(text.to_owned()))?;
    let repository = lines.field("repository", RepositoryId::parse)?;
    let seq = lines.field("seq", Seq::parse)?;
    let prev = lines.field("prev", or_none(form::digest))?;
    let root = lines.field("root", root_name)?;
    let entry = match kind.as_str() {
        "release" => Entry::Release(release(&mut lines)?),
        "withdraw" => Entry::Withdraw(withdrawal(&mut lines)?),
        "root" => Entry::Root,
        "compromised" => {
            let (person, since) = lines.field("compromised", person_since)?;
            Entry::Compromised { person, since, reason: lines.field("reason", OneLine::parse)? }
        }
        "heartbeat" => Entry::Heartbeat,
        _ => {
            let why = "a kind is release, withdraw, root, compromised or heartbeat".to_owned();
            return Err(FormFault { line: 2, what: form::Misformed::Value { key: "kind".to_owned(), why } });
        }
    };
    let person = lines.field("person", Person::parse)?;
    let signed_at = lines.field("signed-at", Moment::parse)?;
    lines.end()?;
    if (seq == Seq::FIRST) != prev.is_none() {
        return Err(FormFault::sense("the first record follows none, and every other one follows one"));
    }
    Ok(Record { repository, seq, prev, root, entry, person, signed_at })
}

fn release(lines: &mut Lines<'_>) -> Result<Release, FormFault> {
    let manifest = lines.field("manifest", form::digest)?;
    let approvals = lines.fields("approval", named)?;
    if !approvals.is_sorted_by(|a, b| a < b) {
        return Err(FormFault::sense("the approvals are out of order, or one is there twice"));
    }
    Ok(Release {
        manifest,
        approvals,
        effective: lines.field("effective", word::date)?,
        current: lines.field("current", form::digest)?,
        review_by: lines.field("review-by", or_none(word::date))?,
    })
}

fn withdrawal(lines: &mut Lines<'_>) -> Result<Withdrawal, FormFault> {
    Ok(Withdrawal {
        manifest: lines.field("manifest", form::digest)?,
        reason: lines.field("reason", OneLine::parse)?,
        effective: lines.field("effective", word::date)?,
        current: lines.field("current", form::digest)?,
    })
}

fn root_name(text: &str) -> Result<RootName, WordFault> {
    let [number, digest] = words(text)?;
    Ok(RootName { number: word::count(number)?, digest: form::digest(digest)? })
}

fn named(text: &str) -> Result<Named, WordFault> {
    let [digest, person] = words(text)?;
    Ok(Named { person: Person::parse(person)?, digest: form::digest(digest)? })
}

fn person_since(text: &str) -> Result<(Person, Seq), WordFault> {
    let [person, since] = words(text)?;
    Ok((Person::parse(person)?, Seq::parse(since)?))
}

fn print(record: &Record) -> Vec<u8> {
    let mut out = Written::new("record");
    out.field("kind", record.entry.kind());
    out.field("repository", &record.repository);
    out.field("seq", record.seq);
    out.field("prev", shown(record.prev.as_ref()));
    out.field("root", format!("{} {}", record.root.number, record.root.digest));
    match &record.entry {
        Entry::Release(release) => {
            out.field("manifest", release.manifest);
            for approval in &release.approvals {
                out.field("approval", format!("{} {}", approval.digest, approval.person));
            }
            out.field("effective", release.effective);
            out.field("current", release.current);
            out.field("review-by", shown(release.review_by.as_ref()));
        }
        Entry::Withdraw(withdrawal) => {
            out.field("manifest", withdrawal.manifest);
            out.field("reason", &withdrawal.reason);
            out.field("effective", withdrawal.effective);
            out.field("current", withdrawal.current);
        }
        Entry::Compromised { person, since, reason } => {
            out.field("compromised", format!("{person} {since}"));
            out.field("reason", reason);
        }
        Entry::Root | Entry::Heartbeat => {}
    }
    out.field("person", &record.person);
    out.field("signed-at", record.signed_at);
    out.bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples;

    #[test]
    fn every_kind_is_read_as_it_is_written() {
        for text in samples::record_texts() {
            let record = Record::parse(text.as_bytes()).unwrap_or_else(|fault| panic!("{fault}\n{text}"));
            assert_eq!(record.to_bytes().expect("printed"), text.as_bytes());
        }
    }

    #[test]
    fn a_record_that_contradicts_itself_is_refused() {
        let [release, ..] = samples::record_texts();
        let refused = |text: String| assert!(Record::parse(text.as_bytes()).is_err(), "{text}");
        refused(release.replacen("seq: 000123", "seq: 000001", 1));
        refused(release.replacen("kind: release", "kind: withdraw", 1));
        refused(release.replacen("kind: release", "kind: recall", 1));
        refused(release.replacen(" alice", " zoe", 1));
        refused(release.replacen("effective: ", "effective:  ", 1));
    }
}
