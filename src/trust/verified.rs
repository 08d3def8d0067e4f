//! Signatures that were checked before and found good, by the digest of everything that was checked; it asks nobody whose they are.

use crate::trust::digest::Digest;
use crate::trust::key::PublicKey;
use crate::trust::signature::{self, Namespace, SignatureFault};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// The first line. What is asked of a signature changes: a new number, and each is checked again.
const FORM: &[u8] = b"signatures v1\n";
/// The bytes of an entry: the digest of what was checked, and the key that it fits.
const ENTRY: usize = 64;

/// Signatures that were found good, each for one purpose, message and signature file.
///
/// It is kept by the user, outside of the binder. A signature that is not in it, or that differs in one byte, is checked.
#[derive(Debug, Default)]
pub struct Verified {
    known: BTreeMap<Digest, PublicKey>,
    new: RefCell<BTreeMap<Digest, PublicKey>>,
}

impl Verified {
    /// Returns what `bytes` remember; nothing where they are damaged or of another form.
    #[must_use]
    pub fn parse(bytes: &[u8]) -> Self {
        Self { known: read(bytes).unwrap_or_default(), new: RefCell::default() }
    }

    /// Returns the bytes to keep; none where nothing came to what was known.
    #[must_use]
    pub fn to_bytes(&self) -> Option<Vec<u8>> {
        let new = self.new.borrow();
        if new.is_empty() {
            return None;
        }
        let mut bytes = FORM.to_vec();
        for (digest, key) in self.known.iter().chain(new.iter()) {
            bytes.extend(digest.bytes());
            bytes.extend(key.bytes());
        }
        let digest = Digest::of(&bytes);
        bytes.extend(digest.bytes());
        Some(bytes)
    }

    /// Returns the key that signed `message`, as [`signature::signer`] does; what was found good before is not computed again.
    ///
    /// # Errors
    /// As [`signature::signer`].
    pub fn signer(&self, purpose: Namespace, message: &[u8], armour: &[u8]) -> Result<PublicKey, SignatureFault> {
        let checked = checked(purpose, message, armour);
        let new = self.new.borrow().get(&checked).copied();
        if let Some(key) = self.known.get(&checked).copied().or(new) {
            return Ok(key);
        }
        let key = signature::signer(purpose, message, armour)?;
        self.new.borrow_mut().insert(checked, key);
        Ok(key)
    }
}

/// Returns the digest of everything that a check looks at; each part has its own length before it or in it.
fn checked(purpose: Namespace, message: &[u8], armour: &[u8]) -> Digest {
    let parts = [Digest::of(purpose.as_str().as_bytes()), Digest::of(message), Digest::of(armour)];
    Digest::of(&parts.map(|part| part.bytes()).concat())
}

fn read(bytes: &[u8]) -> Option<BTreeMap<Digest, PublicKey>> {
    let (body, digest) = bytes.split_last_chunk::<32>()?;
    if Digest::of(body).bytes() != *digest {
        return None;
    }
    let entries = body.strip_prefix(FORM)?;
    if entries.len() % ENTRY != 0 {
        return None;
    }
    // Few keys sign very much: each is looked at once.
    let mut keys = BTreeSet::new();
    let mut known = BTreeMap::new();
    for entry in entries.chunks_exact(ENTRY) {
        let (digest, key) = (entry.first_chunk::<32>()?, entry.last_chunk::<32>()?);
        let key = match keys.iter().find(|own: &&PublicKey| own.bytes() == key) {
            Some(own) => *own,
            None => PublicKey::from_bytes(*key).ok()?,
        };
        keys.insert(key);
        known.insert(Digest::from_bytes(*digest), key);
    }
    Some(known)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples::key;

    #[test]
    fn only_what_was_checked_is_known() {
        let (alice, verified) = (key("alice"), Verified::default());
        assert_eq!(verified.to_bytes(), None);
        let armour = signature::sign(Namespace::Approve, b"message\n", &alice).expect("signed");
        assert_eq!(verified.signer(Namespace::Approve, b"message\n", &armour), Ok(alice.public()));
        let kept = verified.to_bytes().expect("something new");
        let again = Verified::parse(&kept);
        assert_eq!((again.known.len(), again.to_bytes()), (1, None));
        assert_eq!(again.signer(Namespace::Approve, b"message\n", &armour), Ok(alice.public()));
        assert_eq!(again.to_bytes(), None);
        // One byte other, another purpose, another signature: each is checked, and what is bad is not kept.
        assert_eq!(again.signer(Namespace::Approve, b"massage\n", &armour), Err(SignatureFault::Wrong));
        assert!(again.signer(Namespace::Release, b"message\n", &armour).is_err());
        let other = signature::sign(Namespace::Approve, b"other\n", &alice).expect("signed");
        assert_eq!(again.signer(Namespace::Approve, b"message\n", &other), Err(SignatureFault::Wrong));
        assert_eq!(again.to_bytes(), None);
    }

    #[test]
    fn what_is_damaged_is_nothing() {
        let verified = Verified::default();
        let armour = signature::sign(Namespace::Root, b"m", &key("bob")).expect("signed");
        verified.signer(Namespace::Root, b"m", &armour).expect("good");
        let kept = verified.to_bytes().expect("something new");
        for at in 0..kept.len() {
            let mut other = kept.clone();
            other[at] ^= 1;
            assert!(Verified::parse(&other).known.is_empty(), "{at}");
            assert!(Verified::parse(&kept[..at]).known.is_empty(), "{at}");
        }
        assert_eq!(Verified::parse(&kept).known.len(), 1);
    }
}
