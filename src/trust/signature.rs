//! Signatures as OpenSSH makes and checks them (SSHSIG), Ed25519 only and in one spelling; it knows no person.

use crate::trust::key::{PublicKey, SigningKey};
use ed25519_dalek::{Signature as Raw, VerifyingKey};
use ssh_key::{Algorithm, HashAlg, LineEnding, SshSig};

/// The most bytes of a signature file.
pub const MOST_BYTES: usize = 2 << 10;

/// What a signature is for: one made for another purpose does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Namespace {
    /// A statement about a manifest by who approves.
    Approve,
    /// A statement about a manifest by who made it.
    Prepare,
    /// A record of the ledger.
    Release,
    /// A root.
    Root,
}

impl Namespace {
    /// Returns the namespace as `ssh-keygen -n` takes it.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Approve => "approve.v1@matchmark",
            Self::Prepare => "prepare.v1@matchmark",
            Self::Release => "release.v1@matchmark",
            Self::Root => "root.v1@matchmark",
        }
    }
}

/// Why a signature does not count.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SignatureFault {
    /// It is not written as `ssh-keygen` writes it.
    #[error("the signature file is not as `ssh-keygen` writes it ({0})")]
    Form(&'static str),
    /// It was made for another purpose.
    #[error("the signature was made for `{0}`, not for this")]
    Namespace(String),
    /// The signed bytes are others, or the key is another.
    #[error("the signature is not one of these bytes")]
    Wrong,
}

/// Returns the key that signed `message` for this purpose.
///
/// Whose key it is, and whether it holds, is not asked here.
///
/// # Errors
/// A [`SignatureFault`] where the file is not in the one form, is for another purpose, or does not sign these bytes.
pub fn signer(purpose: Namespace, message: &[u8], armour: &[u8]) -> Result<PublicKey, SignatureFault> {
    let signature = in_form(armour)?;
    if signature.namespace() != purpose.as_str() {
        return Err(SignatureFault::Namespace(signature.namespace().chars().take(40).collect()));
    }
    let key = signature.public_key().ed25519().ok_or(SignatureFault::Form("it is no Ed25519 signature"))?;
    let key = PublicKey::from_bytes(key.0).map_err(|_| SignatureFault::Form("its key is worthless"))?;
    let raw = Raw::from_slice(signature.signature_bytes()).map_err(|_| SignatureFault::Wrong)?;
    let signed =
        SshSig::signed_data(purpose.as_str(), signature.hash_alg(), message).map_err(|_| SignatureFault::Wrong)?;
    // Strictly: no key and no signature that would also fit other bytes.
    let verifying = VerifyingKey::from_bytes(key.bytes()).map_err(|_| SignatureFault::Wrong)?;
    verifying.verify_strict(&signed, &raw).map_err(|_| SignatureFault::Wrong)?;
    Ok(key)
}

/// Returns the signature in a file that is written as `ssh-keygen` would write it.
fn in_form(armour: &[u8]) -> Result<SshSig, SignatureFault> {
    let form = |why| Err(SignatureFault::Form(why));
    if armour.len() > MOST_BYTES {
        return form("it is too large");
    }
    if armour.contains(&b'\r') {
        return form("it holds carriage returns");
    }
    let Ok(signature) = SshSig::from_pem(armour) else { return form("it cannot be read") };
    // One spelling only: no text around it, no other line breaks.
    if signature.to_pem(LineEnding::LF).ok().is_none_or(|text| text.as_bytes() != armour) {
        return form("it is spelled otherwise");
    }
    if signature.version() != SshSig::VERSION || !signature.reserved().is_empty() {
        return form("it is of another version");
    }
    if signature.algorithm() != Algorithm::Ed25519 || !matches!(signature.hash_alg(), HashAlg::Sha256 | HashAlg::Sha512)
    {
        return form("it is no Ed25519 signature");
    }
    Ok(signature)
}

/// Returns the signature file of `message` by this key for this purpose, as `ssh-keygen -Y sign` would make it.
///
/// # Errors
/// A [`SignatureFault`] where the key cannot sign; what is returned was checked.
pub fn sign(purpose: Namespace, message: &[u8], key: &SigningKey) -> Result<Vec<u8>, SignatureFault> {
    let signature = key.key.sign(purpose.as_str(), HashAlg::Sha512, message).map_err(|_| SignatureFault::Wrong)?;
    let armour = signature.to_pem(LineEnding::LF).map_err(|_| SignatureFault::Wrong)?.into_bytes();
    match signer(purpose, message, &armour)? {
        by if by == key.public() => Ok(armour),
        _ => Err(SignatureFault::Wrong),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples::key;

    #[test]
    fn a_signature_is_for_one_message_one_purpose_and_one_key() {
        let alice = key("alice");
        let armour = sign(Namespace::Approve, b"message\n", &alice).expect("signed");
        assert_eq!(signer(Namespace::Approve, b"message\n", &armour), Ok(alice.public()));
        assert_eq!(signer(Namespace::Approve, b"message", &armour), Err(SignatureFault::Wrong));
        let other = Err(SignatureFault::Namespace("approve.v1@matchmark".to_owned()));
        assert_eq!(signer(Namespace::Release, b"message\n", &armour), other);
        assert_ne!(alice.public(), key("bob").public());
    }

    #[test]
    fn a_signature_has_one_spelling() {
        let text = String::from_utf8(sign(Namespace::Root, b"m", &key("alice")).expect("signed")).expect("ASCII");
        let lines: Vec<&str> = text.lines().collect();
        let body = lines[1..lines.len() - 1].concat();
        let wrapped: Vec<&str> = body.as_bytes().chunks(64).map(|line| str::from_utf8(line).expect("ASCII")).collect();
        let again = |lines: &str| format!("{}\n{lines}\n{}\n", lines_first(&text), lines_last(&text));
        assert_eq!(again(&lines[1..lines.len() - 1].join("\n")), text, "the case itself");
        for other in [
            format!("{text}junk\n"),
            format!("{text}\n"),
            format!("\n{text}"),
            format!("junk\n{text}"),
            text.replace('\n', "\r\n"),
            text.trim_end().to_owned(),
            again(&wrapped.join("\n")),
            again(&body),
            format!("{text}{text}"),
        ] {
            assert!(matches!(signer(Namespace::Root, b"m", other.as_bytes()), Err(SignatureFault::Form(_))), "{other}");
        }
    }

    fn lines_first(text: &str) -> &str {
        text.lines().next().expect("a line")
    }

    fn lines_last(text: &str) -> &str {
        text.lines().last().expect("a line")
    }
}
