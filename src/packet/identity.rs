//! The digest and the check words by which a packet or a face is recognised; it knows nothing of who approved them.

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeSet;
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
    Identity { digest: data_encoding::HEXLOWER.encode(&digest), words: words(&digest, 0) }
}

/// Returns the check words of a packet whose digest this is, as its pages print them; none where it is no digest.
#[must_use]
pub fn words_of(digest: &str) -> Option<String> {
    let bytes = data_encoding::HEXLOWER.decode(digest.as_bytes()).ok().filter(|bytes| bytes.len() == 32)?;
    Some(words(&bytes, 0))
}

/// Gives identities that must be told apart, such as the faces of one document, words of their own.
///
/// In the order of their digests, one whose words are taken goes on to the next twenty bits of its digest; so the words
/// depend on nothing but the set, and hardly ever on more than one of it.
pub fn tell_apart(identities: &mut [&mut Identity]) {
    identities.sort_by(|a, b| a.digest.cmp(&b.digest));
    let mut taken = BTreeSet::new();
    for identity in identities {
        let digest = data_encoding::HEXLOWER.decode(identity.digest.as_bytes()).unwrap_or_default();
        let mut others = (1..DRAWS).map(|draw| words(&digest, draw)).filter(|words| !taken.contains(words));
        if taken.contains(&identity.words)
            && let Some(words) = others.next()
        {
            identity.words = words;
        }
        taken.insert(identity.words.clone());
    }
}

/// How often twenty bits can be drawn from a digest of 256.
const DRAWS: usize = 12;

/// Returns two words for the twenty bits of a digest at a draw; none of it for a digest that is too short.
fn words(digest: &[u8], draw: usize) -> String {
    let bit = |at: usize| digest.get(at / 8).map_or(0, |byte| usize::from(byte >> (7 - at % 8) & 1));
    let number = |from: usize| (from..from + 10).fold(0, |number, at| number << 1 | bit(at));
    let from = draw * 20;
    format!("{} {}", WORDS[number(from)], WORDS[number(from + 10)])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn identity(digest: &str) -> Identity {
        let bytes = data_encoding::HEXLOWER.decode(digest.as_bytes()).expect("hex");
        Identity { digest: digest.to_owned(), words: words(&bytes, 0) }
    }

    /// The twenty bits 00000 are the first word twice; fffff are the last word twice; the words are in order.
    #[test]
    fn words_are_the_bits_of_the_digest() {
        let list = &*WORDS;
        assert_eq!(list.len(), 1024);
        assert_eq!(identity(&"0".repeat(64)).words, format!("{} {}", list[0], list[0]));
        assert_eq!(identity(&"f".repeat(64)).words, format!("{} {}", list[1023], list[1023]));
        // 0x00400 = 0000000001 0000000000: the second word, then the first.
        assert_eq!(identity(&format!("00400{}", "0".repeat(59))).words, format!("{} {}", list[1], list[0]));
    }

    #[test]
    fn faces_with_the_same_words_are_told_apart_whatever_their_order() {
        let same = |tail: &str| identity(&format!("12345{tail}{}", "7".repeat(59 - tail.len())));
        let (mut a, mut b, mut c) = (same("a"), same("b"), identity(&"5".repeat(64)));
        assert_eq!(a.words, b.words);
        let before = (a.words.clone(), c.words.clone());
        tell_apart(&mut [&mut b, &mut c, &mut a]);
        assert_ne!(a.words, b.words);
        assert_eq!((a.words.clone(), c.words), before, "only the later digest changes");
        let (mut a2, mut b2) = (same("a"), same("b"));
        tell_apart(&mut [&mut a2, &mut b2]);
        assert_eq!((a2.words, b2.words), (a.words, b.words));
    }
}
