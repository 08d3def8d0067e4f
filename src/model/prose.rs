//! An author's sentence outside the steps, with the values it names; nothing in it is resolved yet.

use crate::base::finding::{Bounded, Finding};
use crate::base::name::Name;
use crate::base::rule::BRACE_SYNTAX;
use crate::base::text::{Placed, Span};
use crate::source::brace::{self, Piece};

/// A sentence in a register or front matter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prose {
    /// Words and values in order.
    pub parts: Vec<Part>,
    /// Where it is written.
    pub span: Span,
}

/// A part of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// Words as written.
    Words(String),
    /// The name of a value.
    Value(Placed<Name>),
}

impl Prose {
    /// Reads a sentence; a brace with a keyword has no place in it and is told.
    #[must_use]
    pub fn read(text: &Placed<String>) -> (Self, Bounded) {
        // A quoted scalar begins one byte after its quote; only places depend on this, no text does.
        let quote = usize::from(text.span.range().len() > text.value.len());
        let start = text.span.range().start + quote;
        let (pieces, mut findings) = brace::split(text.span.file, &text.value, start);
        let mut parts = Vec::new();
        for piece in pieces {
            match piece {
                Piece::Words(words) => parts.push(Part::Words(words)),
                Piece::Value(name) => parts.push(Part::Value(name)),
                Piece::Keyword { keyword, rest } => findings.push(
                    Finding::error(BRACE_SYNTAX, format!("`{{{keyword} ...}}` has a meaning only inside a step"))
                        .at(rest.span)
                        .help("write the words out, or move them into a step"),
                ),
            }
        }
        (Self { parts, span: text.span }, findings)
    }

    /// Returns the sentence as plain words, with `filled_in` where a value stands.
    #[must_use]
    pub fn plain(&self, filled_in: &str) -> String {
        let plain = |part: &Part| match part {
            Part::Words(words) => words.clone(),
            Part::Value(_) => filled_in.to_owned(),
        };
        self.parts.iter().map(plain).collect()
    }

    /// Returns the values the sentence names.
    pub fn values(&self) -> impl Iterator<Item = &Placed<Name>> {
        self.parts.iter().filter_map(|part| match part {
            Part::Value(name) => Some(name),
            Part::Words(_) => None,
        })
    }

    /// Returns the only value of a sentence that is nothing else than one brace.
    #[must_use]
    pub fn single_value(&self) -> Option<&Placed<Name>> {
        match self.parts.as_slice() {
            [Part::Value(name)] => Some(name),
            _ => None,
        }
    }
}
