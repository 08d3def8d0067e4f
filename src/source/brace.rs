//! Braces in an author's sentence: where they begin and end and what their first word is; it knows no values.

use crate::base::finding::{Bounded, Finding};
use crate::base::name::{KEYWORDS, Name};
use crate::base::rule::BRACE_SYNTAX;
use crate::base::text::{FileId, Placed, Span};

/// The longest brace that names something, in characters; the schemas let no name be longer.
const NAME_CHARACTERS: usize = 80 + "caution ".len();
/// The longest brace that says for which machines a step is, or how to read it.
const EFFECTIVITY_CHARACTERS: usize = 200 + "only ".len();

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Words outside braces.
    Words(String),
    /// `{keyword rest}`: the keyword and the words after it.
    Keyword {
        /// One of [`KEYWORDS`].
        keyword: &'static str,
        /// What follows it, folded to single spaces.
        rest: Placed<String>,
    },
    /// `{name}`: the name of a value.
    Value(Placed<Name>),
}

impl Piece {
    /// Returns the same brace as one that stands at `span`; words stay as they are.
    #[must_use]
    pub fn at(self, span: Span) -> Self {
        match self {
            Self::Words(words) => Self::Words(words),
            Self::Keyword { keyword, rest } => Self::Keyword { keyword, rest: Placed::new(rest.value, span) },
            Self::Value(name) => Self::Value(Placed::new(name.value, span)),
        }
    }
}

/// Splits `text`, which stands at byte `start` of `file`, at its braces.
///
/// Unbalanced, nested and empty braces are findings and stay in the words.
#[must_use]
pub fn split(file: FileId, text: &str, start: usize) -> (Vec<Piece>, Bounded) {
    let mut pieces = Vec::new();
    let mut findings = Bounded::default();
    let mut rest = text;
    let place = |from: usize, to: usize| Span::new(file, start + from, start + to);
    while let Some(open) = rest.find(['{', '}']) {
        let base = text.len() - rest.len();
        let found = brace_at(rest, open);
        push_words(&mut pieces, &rest[..open]);
        match found {
            Ok(end) => {
                let span = place(base + open, base + end);
                pieces.push(piece(&rest[open + 1..end - 1], span));
                rest = &rest[end..];
            }
            Err(why) => {
                findings.push(fault(why).at(place(base + open, base + open + 1)));
                push_words(&mut pieces, &rest[open..=open]);
                rest = &rest[open + 1..];
            }
        }
    }
    push_words(&mut pieces, rest);
    (pieces, findings)
}

fn push_words(pieces: &mut Vec<Piece>, words: &str) {
    match pieces.last_mut() {
        _ if words.is_empty() => {}
        Some(Piece::Words(last)) => last.push_str(words),
        _ => pieces.push(Piece::Words(words.to_owned())),
    }
}

/// Returns the end of the brace that opens at `open`, or why it is none.
fn brace_at(text: &str, open: usize) -> Result<usize, &'static str> {
    if text[open..].starts_with('}') {
        return Err("this `}` closes nothing");
    }
    let inner = &text[open + 1..];
    match inner.find(['{', '}']) {
        Some(at) if inner[at..].starts_with('}') && inner[..at].trim().is_empty() => Err("this brace is empty"),
        Some(at) if inner[at..].starts_with('}') && is_too_long(&inner[..at]) => {
            Err("this brace is too long for a name")
        }
        Some(at) if inner[at..].starts_with('}') => Ok(open + 1 + at + 1),
        Some(_) => Err("a brace cannot stand inside a brace"),
        None => Err("this `{` is not closed in its run of text"),
    }
}

/// Returns whether a brace holds more than any name, or any effectivity, is long.
fn is_too_long(inner: &str) -> bool {
    let is_sentence = inner.split_whitespace().next().is_some_and(|word| matches!(word, "only" | "do"));
    let limit = if is_sentence { EFFECTIVITY_CHARACTERS } else { NAME_CHARACTERS };
    inner.chars().nth(limit).is_some()
}

fn piece(inner: &str, span: Span) -> Piece {
    let words: Vec<&str> = inner.split_whitespace().collect();
    let keyword = KEYWORDS.into_iter().find(|keyword| words.first() == Some(keyword));
    match keyword {
        Some(keyword) => Piece::Keyword { keyword, rest: Placed::new(words[1..].join(" "), span) },
        None => Piece::Value(Placed::new(Name::new(inner), span)),
    }
}

fn fault(why: &str) -> Finding {
    Finding::error(BRACE_SYNTAX, why.to_owned())
        .floor("the words in the brace would be printed as they stand")
        .help("write `{name}` in one run of plain text; for a brace as a character write `\\{`")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::path::BinderPath;
    use crate::base::text::Texts;

    /// Splits `text` and draws the pieces as `words|value:x|only:rest`, findings as `!column message`.
    fn drawn(text: &str) -> String {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.md").expect("plain"), text.to_owned());
        let (pieces, findings) = split(file, text, 0);
        let piece = |piece: &Piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Keyword { keyword, rest } => format!("{keyword}:{}", rest.value),
            Piece::Value(name) => format!("value:{}", name.value),
        };
        let told = |finding: &Finding| format!("!{} {}", finding.span.expect("placed").start, finding.message);
        pieces.iter().map(piece).chain(findings.told().iter().map(told)).collect::<Vec<_>>().join("|")
    }

    #[test]
    fn the_first_word_decides() {
        assert_eq!(drawn("Tighten to { nut  torque }."), "Tighten to |value:nut torque|.");
        assert_eq!(drawn("Go. {only size 2, 3} {as nut}"), "Go. |only:size 2, 3| |as:nut");
        assert_eq!(drawn("{recorder}"), "value:recorder");
        assert_eq!(drawn("plain"), "plain");
    }

    #[test]
    fn a_broken_brace_is_told_and_kept() {
        assert_eq!(drawn("a {b"), "a {b|!2 this `{` is not closed in its run of text");
        assert!(
            drawn(&format!("{{as {}}}", "a".repeat(120_000)))
                .ends_with("|!0 this brace is too long for a name|!120004 this `}` closes nothing")
        );
        assert_eq!(drawn("a} b"), "a} b|!1 this `}` closes nothing");
        assert_eq!(drawn("{}x"), "{}x|!0 this brace is empty|!1 this `}` closes nothing");
        assert_eq!(drawn("{a {b}"), "{a |value:b|!0 a brace cannot stand inside a brace");
    }
}
