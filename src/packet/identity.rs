//! The digest and the check words by which a packet or a face is recognised; it knows nothing of who approved them.

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::sync::LazyLock;

/// How a person recognises a content.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Identity {
    /// SHA-256 of the canonical JSON, in hex.
    pub digest: String,
    /// Two short words derived from the digest (`amber tile`).
    pub words: String,
}

/// The word list: 1,024 short words, one a line, in a fixed order.
static WORDS: LazyLock<Vec<&str>> = LazyLock::new(|| include_str!("words.txt").lines().collect());

/// Returns the identity of any view value: the digest of its JSON in declaration order.
#[must_use]
pub fn of<T: Serialize>(view: &T) -> Identity {
    let bytes = serde_json::to_vec(view).expect("a view holds only text, numbers and lists");
    let digest = Sha256::digest(&bytes);
    Identity { digest: data_encoding::HEXLOWER.encode(&digest), words: words(&digest) }
}

/// Returns two words for the first twenty bits of a digest.
fn words(digest: &[u8]) -> String {
    let bits = u32::from_be_bytes([0, digest[0], digest[1], digest[2]]);
    let first = (bits >> 14) as usize;
    let second = ((bits >> 4) & 0x3ff) as usize;
    format!("{} {}", WORDS[first], WORDS[second])
}
