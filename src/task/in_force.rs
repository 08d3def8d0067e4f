//! What is in force on a day, with the people behind it and why something may not be used; it prints no packet.

use crate::base::date::Date;
use crate::base::name::{DocumentNumber, Tag};
use crate::packet::identity;
use crate::task::book::Book;
use crate::trust::in_force::InForce;
use crate::trust::ledger::{Ledger, Outcome};
use crate::trust::verdict::Code;
use serde::Serialize;

/// What is in force on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// The day.
    pub at: String,
    /// How far the ledger goes.
    pub ledger: Option<String>,
    /// Whether everything could be read: otherwise nobody knows what is in force.
    pub decided: bool,
    /// What speaks against the ledger as a whole; then nothing may be used.
    pub stop: Option<Stop>,
    /// The packets, by document and machine.
    pub packets: Vec<Packet>,
}

/// What speaks against the ledger as a whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stop {
    /// The stable code.
    pub code: &'static str,
    /// In words.
    pub told: String,
}

/// One packet in force.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Packet {
    /// The document.
    pub document: String,
    /// The machine.
    pub tag: String,
    /// The revision with which it came.
    pub revision: u32,
    /// The place of its release in the ledger.
    pub seq: String,
    /// What the change was.
    pub title: String,
    /// The first day.
    pub effective: String,
    /// The last day, for a temporary change.
    pub until: Option<String>,
    /// The day by which it must be looked at again.
    pub review_by: Option<String>,
    /// Whether that day has passed.
    pub review_is_due: bool,
    /// The check words that its pages print.
    pub words: String,
    /// The digest of its bytes.
    pub digest: String,
    /// Who made it, by name.
    pub prepared_by: String,
    /// Who approved it, by name, with role and moment.
    pub approved_by: Vec<Approver>,
    /// Whether it may be used.
    pub usable: bool,
    /// Why not: codes.
    pub doubts: Vec<&'static str>,
}

/// Who approved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Approver {
    /// The name as it was signed.
    pub name: String,
    /// The role.
    pub role: String,
    /// The moment that the signer's clock showed.
    pub at: String,
}

/// A name that stands in no release.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("no release of this binder names the {kind} `{name}`")]
pub struct NeverReleased {
    /// What it is.
    pub kind: &'static str,
    /// The name.
    pub name: String,
}

/// Returns what is in force on a day for these documents and machines; for all where none are named.
///
/// # Errors
/// [`NeverReleased`] where a name stands in no release.
pub fn in_force(book: &Book<'_>, day: Date, documents: &[String], tags: &[String]) -> Result<Answer, NeverReleased> {
    known(&book.ledger, documents, tags)?;
    let stop = book.stops().map(|verdict| Stop { code: verdict.code.as_str(), told: verdict.told.clone() });
    let is_asked = |names: &[String], name: &str| names.is_empty() || names.iter().any(|own| own == name);
    let rows = book.ledger.in_force(day);
    let rows = rows
        .iter()
        .filter(|row| is_asked(documents, row.document.as_str()) && is_asked(tags, row.tag.as_str()))
        .map(|row| packet(&book.ledger, row, day, stop.as_ref()));
    Ok(Answer {
        at: day.to_string(),
        ledger: book.ledger.sealed().last().map(|last| last.record.seq.to_string()),
        decided: book.ledger.is_whole() && book.outcome() != Outcome::Undecided,
        packets: rows.collect(),
        stop,
    })
}

fn known(ledger: &Ledger, documents: &[String], tags: &[String]) -> Result<(), NeverReleased> {
    let releases = || ledger.sealed().iter().filter_map(|sealed| sealed.release.as_ref());
    let has_document = |name: &String| {
        releases().any(|own| own.documents.iter().any(|revised| revised.document == DocumentNumber::new(name)))
    };
    let has_tag = |name: &String| releases().any(|own| own.resolved.iter().any(|one| one.tag == Tag::new(name)));
    let never = |kind, name: &String| NeverReleased { kind, name: name.clone() };
    if let Some(name) = documents.iter().find(|name| !has_document(name)) {
        return Err(never("procedure", name));
    }
    match tags.iter().find(|name| !has_tag(name)) {
        Some(name) => Err(never("machine", name)),
        None => Ok(()),
    }
}

fn packet(ledger: &Ledger, row: &InForce, day: Date, stop: Option<&Stop>) -> Packet {
    let sealed = ledger.at(row.seq);
    let released = sealed.and_then(|sealed| sealed.release.as_ref());
    let name = |person: &crate::trust::word::Person| {
        let rooted = sealed.and_then(|sealed| ledger.chain().root(sealed.record.root.number));
        let member = rooted.and_then(|rooted| rooted.root.member(person));
        member.map_or_else(|| person.to_string(), |member| member.name.to_string())
    };
    let approver = |own: &crate::trust::weigh::Authentic| Approver {
        name: own.approval.name.to_string(),
        role: own.approval.role.to_string(),
        at: own.approval.signed_at.to_string(),
    };
    let digest = row.packet.to_string();
    let doubts = row.doubts.iter().copied().map(Code::as_str);
    Packet {
        document: row.document.to_string(),
        tag: row.tag.to_string(),
        revision: row.revision,
        seq: row.seq.to_string(),
        title: released.map(|own| own.title.to_string()).unwrap_or_default(),
        effective: row.effective.to_string(),
        until: row.until.map(|until| until.to_string()),
        review_by: row.review_by.map(|by| by.to_string()),
        review_is_due: row.review_by.is_some_and(|by| by < day),
        words: identity::words_of(&digest).unwrap_or_default(),
        digest,
        prepared_by: released.map(|own| name(&own.prepared_by)).unwrap_or_default(),
        approved_by: released.map(|own| own.approvals.iter().map(approver).collect()).unwrap_or_default(),
        usable: row.is_usable() && stop.is_none(),
        doubts: doubts.chain(stop.map(|stop| stop.code)).collect(),
    }
}
