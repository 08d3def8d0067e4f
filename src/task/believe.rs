//! The digest of the first root: shown to be compared with the paper on the wall, or pinned as the paper says.

use crate::history::protected::Protected;
use crate::task::book::{Book, BookError};
use crate::trust::chain::Anchor;
use crate::trust::digest::Digest;
use crate::trust::place;
use crate::trust::store::Store as _;
use crate::workspace::home::Home;
use serde::Serialize;

/// The first root of a binder, and what this computer was told of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct First {
    /// The digest of the first root as it was found.
    pub digest: String,
    /// The same in groups, as it is printed and compared.
    pub groups: Vec<String>,
    /// The digest that was pinned; none where nothing was.
    pub pinned: Option<String>,
}

/// What became of a digest that was read from paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pinned {
    /// It is that of the first root, and is now what this computer believes.
    Now,
    /// It was pinned before.
    Before,
    /// It is not that of the first root. Nothing was pinned before, so the paper is believed: until paper and binder agree,
    /// nothing of this folder is signed or printed.
    Against(Digest),
    /// It is not that of the first root, and another one was pinned before, which stays.
    Refused(Digest),
}

/// Returns the digest of the first root as it was found; none where there is no root.
#[must_use]
pub fn found(files: &Protected<'_>) -> Option<Digest> {
    files.read(&place::root(1)).ok().flatten().map(|bytes| Digest::of(&bytes))
}

/// Returns the first root of a book; none where there is no root.
#[must_use]
pub fn first(book: &Book<'_>) -> Option<First> {
    let digest = found(&book.files)?;
    let pinned = match book.ledger.anchor() {
        Anchor::Pinned(pinned) => Some(pinned.to_string()),
        Anchor::FirstUse => None,
    };
    Some(First { digest: digest.to_string(), groups: groups(&digest), pinned })
}

/// Returns a digest as sixteen groups of four, which two people can read to each other.
#[must_use]
pub fn groups(digest: &Digest) -> Vec<String> {
    let text = digest.to_string();
    (0..16).map(|at| text[at * 4..at * 4 + 4].to_owned()).collect()
}

/// Returns the digest that was typed, whatever stands between its groups.
#[must_use]
pub fn typed(words: &[String]) -> Option<Digest> {
    let text: String = words.concat().chars().filter(|c| !matches!(c, ' ' | '-' | ':' | '\t')).collect();
    Digest::parse(&text.to_ascii_lowercase())
}

/// Pins a digest that was read from paper, if it is that of the first root that was found.
///
/// # Errors
/// A [`BookError`] where it cannot be written.
pub fn pin(book: &Book<'_>, home: &Home, paper: Digest, found: Digest) -> Result<Pinned, BookError> {
    match (book.ledger.anchor(), paper == found) {
        (Anchor::Pinned(before), true) if before == paper => Ok(Pinned::Before),
        (_, true) => {
            book.believe(home, paper)?;
            Ok(Pinned::Now)
        }
        (Anchor::FirstUse, false) => {
            book.believe_here(home, paper)?;
            Ok(Pinned::Against(found))
        }
        (Anchor::Pinned(_), false) => Ok(Pinned::Refused(found)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_typed_as_it_is_shown() {
        let digest = Digest::of(b"abc");
        let shown = groups(&digest);
        assert_eq!((shown.len(), shown[0].as_str(), shown[15].as_str()), (16, "ba78", "15ad"));
        assert_eq!(typed(&shown), Some(digest));
        assert_eq!(typed(&[shown.join(" ").to_uppercase()]), Some(digest));
        assert_eq!(typed(&shown[1..]), None);
    }
}
