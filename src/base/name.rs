//! Names and numbers by which a plant calls things, as types that cannot be mixed; it knows no register.

use std::fmt;

/// Words the braces of a procedure keep for themselves; the schemas let no name begin with one.
pub const KEYWORDS: [&str; 7] = ["only", "caution", "hold", "record", "see", "as", "do"];

/// A text of its own type, which nothing but its room can make.
macro_rules! text_type {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(String);

        impl $name {
            /// Returns the text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

pub(crate) use text_type;

macro_rules! identifier {
    ($(#[$doc:meta])* $name:ident) => {
        text_type! {
            $(#[$doc])*
            $name
        }

        impl $name {
            /// Returns the identifier as the plant writes it.
            pub fn new(text: impl Into<String>) -> Self {
                Self(text.into())
            }
        }
    };
}

identifier! {
    /// One installed machine (`P-121`).
    ///
    /// ```compile_fail
    /// use matchmark::base::name::{DocumentNumber, Tag};
    /// let tag: Tag = DocumentNumber::new("MP-PA-101");
    /// ```
    Tag
}
identifier! {
    /// The permanent number of a procedure (`MP-PA-101`).
    DocumentNumber
}
identifier! {
    /// A family of machines that share a design (`PA`).
    FamilyId
}
identifier! {
    /// A tool, instrument or fluid held in the crib (`TW-2`, `L-03`).
    CribId
}

/// A plain name from a register (`casing O-ring`), spelled as there and compared without regard to case and spacing.
#[derive(Clone, Debug)]
pub struct Name {
    shown: String,
    folded: String,
}

impl Name {
    /// Returns the name with runs of white space folded to one space.
    #[must_use]
    pub fn new(text: &str) -> Self {
        let shown = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let folded = shown.to_lowercase();
        Self { shown, folded }
    }

    /// Returns the spelling of the register.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.shown
    }

    /// Returns the form used for comparing.
    #[must_use]
    pub fn folded(&self) -> &str {
        &self.folded
    }
}

impl PartialEq for Name {
    fn eq(&self, other: &Self) -> bool {
        self.folded == other.folded
    }
}
impl Eq for Name {}
impl PartialOrd for Name {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Name {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.folded.cmp(&other.folded)
    }
}
impl std::hash::Hash for Name {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.folded.hash(state);
    }
}
impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.shown)
    }
}

/// The longest name that is compared, in characters.
const LONGEST: usize = 80;

/// Returns the candidate that `wrong` was most likely meant to be, if one is near enough.
///
/// Near means: an edit distance of at most a third of the longer word's letters; words longer than any name are not compared.
pub fn nearest<'a>(wrong: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wrong = wrong.to_lowercase();
    let letters = wrong.chars().count();
    // No name is longer than the schemas allow, and the time to compare two words grows with both.
    let is_comparable = |candidate: &&str| {
        let own = candidate.chars().take(LONGEST + 1).count();
        own.max(letters) <= LONGEST && own.abs_diff(letters) * 3 <= own.max(letters)
    };
    candidates
        .into_iter()
        .filter(is_comparable)
        .map(|candidate| (distance(&wrong, &candidate.to_lowercase()), candidate))
        .filter(|(far, candidate)| *far * 3 <= candidate.chars().count().max(wrong.chars().count()))
        .min_by(std::cmp::Ord::cmp)
        .map(|(_, candidate)| candidate)
}

/// Returns the Levenshtein distance of two words, in characters.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let swap = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = swap.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_fold_case_and_space_but_keep_their_spelling() {
        let name = Name::new("  Casing   O-ring ");
        assert_eq!(name, Name::new("casing o-ring"));
        assert_eq!(name.as_str(), "Casing O-ring");
    }

    #[test]
    fn the_nearest_name_is_near() {
        assert_eq!(nearest("nut torqe", ["nut torque", "gap"]), Some("nut torque"));
        let (long, longer) = ("a".repeat(100_000), "a".repeat(100_001));
        assert_eq!(nearest(&long, [longer.as_str()]), None);
        assert_eq!(nearest("wobble", ["nut torque", "gap"]), None);
    }
}
