//! Where each protected file stands; it knows no disk and no repository.

use crate::trust::digest::Digest;
use crate::trust::word::{Person, Seq};

/// Whether a statement is about making or about approving.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// By who made the change.
    Prepare,
    /// By who approves, refuses or retracts.
    Approve,
}

impl Side {
    fn ending(self) -> &'static str {
        match self {
            Self::Prepare => "prepare",
            Self::Approve => "approve",
        }
    }
}

/// Returns the path of a root.
#[must_use]
pub fn root(number: u32) -> String {
    format!("trust/{number}.root")
}

/// Returns the path of a holder's signature of a root; the holder is an id or `recovery`.
#[must_use]
pub fn root_signature(number: u32, holder: &str) -> String {
    format!("trust/{number}.root.{holder}.sig")
}

/// Returns the path of the roster of a root.
#[must_use]
pub fn allowed_signers(number: u32) -> String {
    format!("trust/{number}.allowed_signers")
}

/// Returns the folder of the statements about a manifest.
#[must_use]
pub fn folder(manifest: &Digest) -> String {
    format!("approvals/{manifest}/")
}

/// Returns the path of a manifest.
#[must_use]
pub fn manifest(digest: &Digest) -> String {
    format!("approvals/{digest}/manifest")
}

/// Returns the path of what a person says of a manifest for the `nth` time, from 1.
#[must_use]
pub fn statement(manifest: &Digest, side: Side, person: &Person, nth: u32) -> String {
    let ending = side.ending();
    match nth {
        1 => format!("approvals/{manifest}/{person}.{ending}"),
        _ => format!("approvals/{manifest}/{person}.{nth}.{ending}"),
    }
}

/// Returns whose statement a path in the folder of a manifest is, and the how manieth.
#[must_use]
pub fn statement_at(manifest: &Digest, path: &str) -> Option<(Side, Person, u32)> {
    let name = path.strip_prefix(&folder(manifest))?;
    let (rest, ending) = name.rsplit_once('.')?;
    let side = [Side::Prepare, Side::Approve].into_iter().find(|side| side.ending() == ending)?;
    let (person, nth) = match rest.split_once('.') {
        None => (rest, 1),
        Some((person, nth)) => (person, crate::trust::word::count(nth).ok().filter(|nth| *nth > 1)?),
    };
    Some((side, Person::parse(person).ok()?, nth))
}

/// Returns the path of a compiled packet.
#[must_use]
pub fn packet(digest: &Digest) -> String {
    let text = digest.to_string();
    format!("resolved/{}/{text}.json", &text[..2])
}

/// The folder of the ledger.
pub const LEDGER: &str = "ledger/";

/// Returns the path of a record.
#[must_use]
pub fn record(seq: Seq) -> String {
    format!("{LEDGER}{:03}/{seq}.record", seq.number() / 1000)
}

/// Returns the place of the record at a path.
#[must_use]
pub fn record_at(path: &str) -> Option<Seq> {
    let name = path.strip_suffix(".record")?;
    let seq = Seq::parse(name.rsplit('/').next()?).ok()?;
    (record(seq) == path).then_some(seq)
}

/// Returns the path of the signature of what stands at `path`.
#[must_use]
pub fn signature(path: &str) -> String {
    format!("{path}.sig")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_read_as_it_is_made() {
        let digest = Digest::of(b"abc");
        let alice = Person::parse("alice").expect("an id");
        for (side, nth) in [(Side::Approve, 1), (Side::Prepare, 1), (Side::Approve, 12)] {
            let path = statement(&digest, side, &alice, nth);
            assert_eq!(statement_at(&digest, &path), Some((side, alice.clone(), nth)), "{path}");
        }
        for name in ["alice.1.approve", "alice.02.approve", "alice.approve.sig", "manifest", "a/b.approve", "A.approve"]
        {
            assert_eq!(statement_at(&digest, &format!("{}{name}", folder(&digest))), None, "{name}");
        }
        let seq = Seq::new(123_456).expect("a place");
        assert_eq!(record(seq), "ledger/123/123456.record");
        assert_eq!(record_at("ledger/123/123456.record"), Some(seq));
        assert_eq!(record_at("ledger/000/123456.record"), None);
    }
}
