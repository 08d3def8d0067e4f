//! A SHA-256 digest as statements write it; it does not know what the bytes mean.

use sha2::{Digest as _, Sha256};
use std::fmt;

/// The SHA-256 digest of some bytes, written as 64 lower-case hexadecimal digits as `sha256sum` prints it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// Returns the digest of `bytes`.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// Returns the digest that `text` writes; none where it is not exactly 64 lower-case hexadecimal digits.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        if text.len() != 64 {
            return None;
        }
        let bytes = data_encoding::HEXLOWER.decode(text.as_bytes()).ok()?;
        bytes.try_into().ok().map(Self)
    }

    /// Returns the digest whose bytes these are.
    #[must_use]
    pub(super) fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Returns its bytes.
    #[must_use]
    pub(super) fn bytes(&self) -> [u8; 32] {
        self.0
    }

    /// Returns the first twelve digits, for people.
    #[must_use]
    pub fn short(&self) -> String {
        self.to_string()[..12].to_owned()
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&data_encoding::HEXLOWER.encode(&self.0))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4, the examples that the standard's authors published: SHA-256 of `abc`.
    #[test]
    fn the_digest_is_that_of_the_standard_and_is_read_in_one_form_only() {
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Digest::of(b"abc").to_string(), abc);
        assert_eq!(Digest::parse(abc), Some(Digest::of(b"abc")));
        for text in [&abc[1..], &abc.to_uppercase(), &format!("{abc}0"), &format!(" {}", &abc[1..]), "none"] {
            assert_eq!(Digest::parse(text), None, "{text}");
        }
    }
}
