//! Register names found in a sentence: longest first, on singular words run together; it knows no grammar.

use crate::language::item::{Item, Kind, key, value_key};
use crate::language::listed::{self, Talk};
use crate::language::noun::{Noun, NounKind, Vocabulary};
use std::collections::HashMap;

/// A vocabulary made ready for looking names up.
#[derive(Debug)]
pub struct Lexicon<'v> {
    vocabulary: &'v Vocabulary,
    /// Nouns by their words in the singular run together, so that `back-plate`, `back plate` and `backplate` are one.
    exact: HashMap<String, Vec<usize>>,
    /// The most words a name has.
    longest: usize,
    /// Names by their last word, in the singular.
    heads: HashMap<String, Vec<Words>>,
}

#[derive(Debug)]
struct Words {
    noun: usize,
    words: Vec<String>,
}

/// A name found in a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Found {
    /// How many items it takes.
    pub(super) length: usize,
    /// What it may be; more than one where registers share the words.
    pub(super) what: FoundWhat,
}

/// What a name found may be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum FoundWhat {
    /// Nouns of the vocabulary.
    Nouns(Vec<usize>),
    /// A noun of procedure talk.
    Talk(Talk),
}

impl<'v> Lexicon<'v> {
    /// Returns the vocabulary made ready for looking names up.
    #[must_use]
    pub fn of(vocabulary: &'v Vocabulary) -> Self {
        let mut lexicon =
            Self { vocabulary, exact: HashMap::new(), longest: listed::LONGEST_TALK, heads: HashMap::new() };
        for (at, noun) in vocabulary.nouns.iter().enumerate() {
            for name in std::iter::once(&noun.name).chain(&noun.also) {
                lexicon.add(at, name);
                // A tool's name may go on with its size: `seal sleeve, 20 mm`.
                if let (NounKind::Tool | NounKind::Fluid, Some((short, _))) = (noun.kind, name.split_once(',')) {
                    lexicon.add(at, short);
                }
            }
        }
        lexicon
    }

    fn add(&mut self, noun: usize, name: &str) {
        if name.starts_with('{') {
            self.exact.entry(value_key(name.trim_matches(['{', '}']))).or_default().push(noun);
            return;
        }
        let words = words_of(name);
        let together = run_together(name);
        let Some(head) = words.last() else { return };
        self.longest = self.longest.max(words.len());
        self.heads.entry(head.clone()).or_default().push(Words { noun, words });
        let found = self.exact.entry(together).or_default();
        if !found.contains(&noun) {
            found.push(noun);
        }
    }

    /// Returns a noun.
    pub(super) fn noun(&self, at: usize) -> &'v Noun {
        &self.vocabulary.nouns[at]
    }

    /// Returns every noun.
    pub(super) fn nouns(&self) -> &'v [Noun] {
        &self.vocabulary.nouns
    }

    /// Returns the nouns that these words name exactly.
    pub(super) fn exactly(&self, name: &str) -> &[usize] {
        let together =
            if name.starts_with('{') { value_key(name.trim_matches(['{', '}'])) } else { run_together(name) };
        self.exact.get(&together).map(Vec::as_slice).unwrap_or_default()
    }

    /// Returns the nouns that the items name exactly when they stand together.
    pub(super) fn exactly_items<'i>(&self, items: impl Iterator<Item = &'i Item>) -> &[usize] {
        let together: String = items.map(|item| item.key.as_str()).collect();
        self.exact.get(&together).map(Vec::as_slice).unwrap_or_default()
    }

    /// Returns the longest name that begins at `at`; the registers go before procedure talk of the same length.
    pub(super) fn longest_at(&self, items: &[Item], at: usize) -> Option<Found> {
        let first = items.get(at)?;
        if first.kind == Kind::Value {
            let nouns = self.exact.get(&first.key)?;
            return Some(Found { length: 1, what: FoundWhat::Nouns(nouns.clone()) });
        }
        let mut together = String::new();
        let mut best = None;
        for (length, item) in items[at..].iter().take(self.longest).enumerate() {
            if !matches!(item.kind, Kind::Word | Kind::Number) {
                break;
            }
            together.push_str(&item.key);
            let what = self
                .exact
                .get(&together)
                .map(|nouns| FoundWhat::Nouns(nouns.clone()))
                .or_else(|| listed::talk(&together).map(FoundWhat::Talk));
            best = what.map(|what| Found { length: length + 1, what }).or(best);
            if item.is_owner {
                break;
            }
        }
        best
    }

    /// Returns the nouns of which the words are an ordered part that ends in the same word, in the registers' order.
    pub(super) fn shortened(&self, items: &[Item]) -> Vec<usize> {
        let words: Vec<String> = items.iter().flat_map(|item| words_of(&item.text)).collect();
        let Some(head) = words.last() else { return Vec::new() };
        let mut nouns: Vec<usize> = Vec::new();
        for name in self.heads.get(head).into_iter().flatten() {
            if is_ordered_part(&words, &name.words) && !nouns.contains(&name.noun) {
                nouns.push(name.noun);
            }
        }
        nouns.sort_unstable();
        nouns
    }

    /// Returns the value of this name without its braces, or the one reading whose name holds the words in order.
    pub(super) fn reading(&self, words: &str) -> Option<&'v Noun> {
        if let [value] = self.exact.get(&value_key(words)).map(Vec::as_slice).unwrap_or_default() {
            return Some(self.noun(*value));
        }
        let words = words_of(words);
        let mut found = self
            .nouns()
            .iter()
            .filter(|noun| noun.kind == NounKind::Reading && is_ordered_part(&words, &words_of(&noun.name)));
        found.next().filter(|_| found.next().is_none() && !words.is_empty())
    }

    /// Returns the isolation points that words select.
    pub(super) fn points(&self, words: &str) -> Vec<&'v Noun> {
        self.vocabulary.points(words)
    }
}

impl Vocabulary {
    /// Returns the isolation points that words select: those so named; if there is none, those whose name in words holds
    /// the words in order and ends alike (`product valve` selects `product in valve` and `product out valve`); if there is
    /// none, those whose name holds them in order (`cold side`).
    #[must_use]
    pub fn points(&self, words: &str) -> Vec<&Noun> {
        let together = run_together(words);
        let words = words_of(words);
        if words.is_empty() {
            return Vec::new();
        }
        let select = |fits: &dyn Fn(&str) -> bool| -> Vec<&Noun> {
            let points = self.nouns.iter().filter(|noun| noun.kind == NounKind::Point);
            points.filter(|noun| std::iter::once(&noun.name).chain(&noun.also).any(|name| fits(name))).collect()
        };
        let mut found = select(&|name| run_together(name) == together);
        if found.is_empty() {
            found = select(&|name| {
                let name = words_of(name);
                name.last() == words.last() && is_ordered_part(&words, &name)
            });
        }
        if found.is_empty() {
            found = select(&|name| is_ordered_part(&words, &words_of(name)));
        }
        found
    }
}

/// Returns the words of a name in the singular; a hyphen parts words.
fn words_of(name: &str) -> Vec<String> {
    let words = name.split(|c: char| c.is_whitespace() || c == '-' || c == '/');
    words.map(key).filter(|word| !word.is_empty()).collect()
}

/// Returns a name's words in the singular without anything between them.
fn run_together(name: &str) -> String {
    name.split_whitespace().map(key).collect()
}

/// Returns whether all of `part` stands in `whole` in the same order.
fn is_ordered_part(part: &[String], whole: &[String]) -> bool {
    let mut rest = whole.iter();
    part.iter().all(|word| rest.any(|own| own == word))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noun(kind: NounKind, name: &str, also: &[&str]) -> Noun {
        let also = also.iter().map(|also| (*also).to_owned()).collect();
        Noun { name: name.to_owned(), kind, also, count: None, of: String::new() }
    }

    #[test]
    fn words_select_isolation_points() {
        let nouns = vec![
            noun(NounKind::Point, "Q-7", &["motor isolator"]),
            noun(NounKind::Point, "V-7A", &["steam in valve", "steam valve"]),
            noun(NounKind::Point, "V-7B", &["oil out valve"]),
            noun(NounKind::Part, "valve", &[]),
        ];
        let vocabulary = Vocabulary { nouns };
        let drawn =
            |words| vocabulary.points(words).iter().map(|noun| noun.name.as_str()).collect::<Vec<_>>().join(" ");
        assert_eq!(drawn("steam valves"), "V-7A");
        assert_eq!(drawn("valve"), "V-7A V-7B");
        assert_eq!(drawn("oil"), "V-7B");
        assert_eq!(drawn("v-7b"), "V-7B");
        assert_eq!(drawn("gas valve"), "");
        assert_eq!(drawn(""), "");
    }
}
