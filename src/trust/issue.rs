//! Statements, records and roots as they are signed and put into their places; nothing is issued that would not be believed.

use crate::trust::approval::{Approval, Meaning};
use crate::trust::digest::Digest;
use crate::trust::form::FormFault;
use crate::trust::key::SigningKey;
use crate::trust::ledger::Ledger;
use crate::trust::place::{self, Side};
use crate::trust::record::Record;
use crate::trust::root::{RECOVERY, Root};
use crate::trust::signature::{self, Namespace, SignatureFault};
use crate::trust::store::{Store, Unreadable};
use crate::trust::verdict::Verdict;
use crate::trust::weigh;
use crate::trust::word::{Moment, Person, RELEASE, ROOT, Role};

/// Files that belong into the repository together, and all or none of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Issued {
    /// Paths and bytes.
    pub files: Vec<(String, Vec<u8>)>,
    /// The digest of the statement itself.
    pub digest: Digest,
}

/// Why nothing is issued.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The key is not one of this person.
    #[error("this key is not one of `{0}` in the root in force")]
    NotYourKey(String),
    /// The person is not in the root, or has not this role.
    #[error("`{person}` has not the role `{role}` in the root in force")]
    NotYourRole {
        /// The person.
        person: Person,
        /// The role.
        role: String,
    },
    /// It would not be believed.
    #[error("{0}")]
    Verdict(Box<Verdict>),
    /// It cannot be written.
    #[error(transparent)]
    Form(#[from] FormFault),
    /// It cannot be signed.
    #[error(transparent)]
    Signature(#[from] SignatureFault),
    /// A file cannot be had.
    #[error(transparent)]
    Unreadable(#[from] Unreadable),
}

/// Who says something, with which key and when.
#[derive(Clone, Copy, Debug)]
pub struct Hand<'a> {
    /// The person.
    pub person: &'a Person,
    /// The private key.
    pub key: &'a SigningKey,
    /// The moment that is shown.
    pub at: Moment,
}

/// Returns what a person says of a manifest, signed, at the next free place.
///
/// # Errors
/// A [`Refusal`] where the key or the role is not the person's, or it would not be believed.
pub fn statement(
    store: &dyn Store,
    root: &Root,
    manifest: &Digest,
    hand: Hand<'_>,
    (role, meaning): (&Role, Meaning),
) -> Result<Issued, Refusal> {
    if !root.has_role(hand.person, role.as_str()) {
        return Err(Refusal::NotYourRole { person: hand.person.clone(), role: role.to_string() });
    }
    is_own_key(root, hand)?;
    let name = root.member(hand.person).map(|member| member.name.clone());
    let name = name.ok_or_else(|| Refusal::NotYourKey(hand.person.to_string()))?;
    let (side, purpose) = match meaning {
        Meaning::Prepared => (Side::Prepare, Namespace::Prepare),
        Meaning::Reviewed | Meaning::ApprovedForUse | Meaning::Refused(_) | Meaning::Retracted(_) => {
            (Side::Approve, Namespace::Approve)
        }
    };
    let approval = Approval {
        repository: root.repository.clone(),
        manifest: *manifest,
        person: hand.person.clone(),
        name,
        role: role.clone(),
        meaning,
        signed_at: hand.at,
    };
    let bytes = approval.to_bytes()?;
    let armour = signature::sign(purpose, &bytes, hand.key)?;
    let path = next_statement(store, manifest, side, hand.person);
    weigh::authentic(store, root, manifest, &path, &bytes, Some(&armour)).map_err(Refusal::Verdict)?;
    Ok(issued(path, bytes, armour))
}

/// Returns a record, signed, at its place.
///
/// # Errors
/// A [`Refusal`] where the key or the role is not the person's, or where [`Ledger::rehearse`] finds a fault.
pub fn record(store: &dyn Store, ledger: &Ledger, record: &Record, key: &SigningKey) -> Result<Issued, Refusal> {
    if let Some(fault) = ledger.rehearse(store, record)?.into_iter().find(Verdict::is_fault) {
        return Err(Refusal::Verdict(Box::new(fault)));
    }
    // A record that brings a new root is sealed under the new one.
    let number = record.root.number;
    let path = place::root(number);
    let root = store.read(&path)?.map(|bytes| Root::parse(&bytes)).transpose()?;
    let root = root.ok_or(Unreadable { path, reason: "it is not there".to_owned() })?;
    if !root.has_role(&record.person, RELEASE) {
        return Err(Refusal::NotYourRole { person: record.person.clone(), role: RELEASE.to_owned() });
    }
    is_own_key(&root, Hand { person: &record.person, key, at: record.signed_at })?;
    let bytes = record.to_bytes()?;
    let armour = signature::sign(Namespace::Release, &bytes, key)?;
    Ok(issued(place::record(record.seq), bytes, armour))
}

/// Returns a root with the roster that follows from it, still to be signed by its holders.
///
/// # Errors
/// A [`Refusal`] where the root contradicts itself.
pub fn root(root: &Root) -> Result<Issued, Refusal> {
    let bytes = root.to_bytes()?;
    let digest = Digest::of(&bytes);
    let files = vec![(place::root(root.number), bytes), (place::allowed_signers(root.number), root.allowed_signers())];
    Ok(Issued { files, digest })
}

/// Returns the signature of a holder under a root; none as the person stands for the recovery key.
///
/// # Errors
/// A [`Refusal`] where the key is no holder's under this root nor under the one before.
pub fn root_signature(
    root: &Root,
    before: Option<&Root>,
    holder: Option<&Person>,
    key: &SigningKey,
) -> Result<Issued, Refusal> {
    let holds = |root: &Root| match holder {
        None => root.recovery == Some(key.public()),
        Some(person) => root.has_role(person, ROOT) && root.holds(person, &key.public()),
    };
    let name = holder.map_or(RECOVERY, Person::as_str);
    if !holds(root) && !before.is_some_and(holds) {
        return Err(Refusal::NotYourKey(name.to_owned()));
    }
    let bytes = root.to_bytes()?;
    let armour = signature::sign(Namespace::Root, &bytes, key)?;
    let files = vec![(place::root_signature(root.number, name), armour)];
    Ok(Issued { files, digest: Digest::of(&bytes) })
}

/// Returns the path of the next statement of a person about a manifest.
#[must_use]
pub fn next_statement(store: &dyn Store, manifest: &Digest, side: Side, person: &Person) -> String {
    let taken = store.paths(&place::folder(manifest)).into_iter();
    let own = taken.filter_map(|path| place::statement_at(manifest, &path));
    let last = own.filter(|(its, by, _)| *its == side && by == person).map(|(_, _, nth)| nth).max();
    place::statement(manifest, side, person, last.unwrap_or(0) + 1)
}

fn is_own_key(root: &Root, hand: Hand<'_>) -> Result<(), Refusal> {
    if root.holds(hand.person, &hand.key.public()) { Ok(()) } else { Err(Refusal::NotYourKey(hand.person.to_string())) }
}

fn issued(path: String, bytes: Vec<u8>, armour: Vec<u8>) -> Issued {
    let digest = Digest::of(&bytes);
    Issued { files: vec![(place::signature(&path), armour), (path, bytes)], digest }
}
