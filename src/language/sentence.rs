//! A step's words cut into sentences and tokens that keep their places; it knows no verb and no name.

use crate::base::name::Name;
use crate::base::text::Span;
use crate::model::procedure::{Block, Inline, Step};

/// A sentence as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    /// Its words with single spaces; a value stands in braces.
    pub text: String,
    /// Where it stands.
    pub span: Span,
    /// Its tokens in order.
    pub tokens: Vec<Token>,
}

/// A word, number, value, reference or mark.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// What it is.
    pub kind: TokenKind,
    /// Where it stands.
    pub span: Span,
}

/// What a token is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TokenKind {
    /// A word as written (`O-ring`, `TW-2`, `N·m`).
    Word(String),
    /// A number as written (`2.0`).
    Number(String),
    /// The name of a value.
    Value(Name),
    /// A reference to a labelled step.
    See(Name),
    /// A mark between words (`,` `;` `:` `.` `(`).
    Mark(char),
}

/// Returns the sentences of a step in reading order; a line, list item or table cell ends a sentence.
#[must_use]
pub fn of_step(step: &Step) -> Vec<Sentence> {
    of_blocks(&step.blocks)
}

/// Returns the sentences of some blocks in reading order.
#[must_use]
pub fn of_blocks(blocks: &[Block]) -> Vec<Sentence> {
    let mut sentences = Vec::new();
    for block in blocks {
        match block {
            Block::Paragraph(line) => sentences.extend(of_line(line)),
            Block::List(items) => sentences.extend(items.iter().flat_map(|item| of_blocks(item))),
            Block::Table { head, rows } => {
                sentences.extend(head.iter().chain(rows.iter().flatten()).flat_map(|cell| of_line(cell)));
            }
            Block::Figure { .. } => {}
        }
    }
    sentences
}

/// Returns the sentences of a line.
#[must_use]
pub fn of_line(line: &[Inline]) -> Vec<Sentence> {
    let mut cutter = Cutter::default();
    for inline in line {
        match inline {
            Inline::Words { text, span, joins, .. } => {
                let mut from = 0;
                let mut place = *span;
                for (at, next) in joins.iter().map(|(at, next)| (*at, Some(*next))).chain([(text.len(), None)]) {
                    let at = at.clamp(from, text.len());
                    cutter.words(&text[from..at], place);
                    from = at;
                    place = next.unwrap_or(place);
                }
            }
            Inline::Value(name) => cutter.push(TokenKind::Value(name.value.clone()), name.span, &format!("{{{}}}", name.value)),
            Inline::See(label) => cutter.push(TokenKind::See(label.value.clone()), label.span, &format!("{{see {}}}", label.value)),
            Inline::Link { text, target } => cutter.words(text, target.span),
        }
    }
    cutter.finish();
    cutter.sentences
}

#[derive(Default)]
struct Cutter {
    sentences: Vec<Sentence>,
    text: String,
    tokens: Vec<Token>,
    /// True where white space stands before what comes next.
    apart: bool,
}

impl Cutter {
    /// Takes a run of words that stands at `place`.
    fn words(&mut self, text: &str, place: Span) {
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let at = text.len() - rest.len();
            let length = if first.is_whitespace() {
                self.apart = true;
                first.len_utf8()
            } else {
                let (kind, length) = token(rest);
                let span = within(place, at, length, text.len());
                let ends = kind == TokenKind::Mark('.') || kind == TokenKind::Mark('!') || kind == TokenKind::Mark('?');
                self.push(kind, span, &rest[..length]);
                let after = &rest[length..];
                if ends && after.chars().next().is_none_or(char::is_whitespace) {
                    self.finish();
                }
                length
            };
            rest = &rest[length..];
        }
    }

    fn push(&mut self, kind: TokenKind, span: Span, shown: &str) {
        if self.apart && !self.text.is_empty() {
            self.text.push(' ');
        }
        self.apart = false;
        self.text.push_str(shown);
        self.tokens.push(Token { kind, span });
    }

    fn finish(&mut self) {
        let tokens = std::mem::take(&mut self.tokens);
        let text = std::mem::take(&mut self.text);
        self.apart = false;
        let says_something = tokens.iter().any(|token| !matches!(token.kind, TokenKind::Mark(_)));
        if let (true, Some(first), Some(last)) = (says_something, tokens.first(), tokens.last()) {
            let span = Span { end: last.span.end.max(first.span.end), ..first.span };
            self.sentences.push(Sentence { text, span, tokens });
        }
    }
}

/// Returns the place of a stretch of a run; where an escape made the run shorter than its source, it ends with the run.
fn within(place: Span, at: usize, length: usize, _whole: usize) -> Span {
    let narrow = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    let start = (place.start + narrow(at)).min(place.end);
    Span { start, end: (start + narrow(length)).min(place.end), ..place }
}

/// Returns the token a text begins with, and its length in bytes. The text begins with no white space.
fn token(text: &str) -> (TokenKind, usize) {
    let first = text.chars().next().expect("the caller saw a character");
    let length: usize = text
        .char_indices()
        .take_while(|(at, c)| is_inside(text, *at, *c))
        .map(|(_, c)| c.len_utf8())
        .sum();
    if length == 0 {
        return (TokenKind::Mark(first), first.len_utf8());
    }
    let word = &text[..length];
    let is_number = word.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    let kind = if is_number { TokenKind::Number(word.to_owned()) } else { TokenKind::Word(word.to_owned()) };
    (kind, length)
}

/// Returns whether the character at `at` is part of a word or number: letters, digits, signs of units and fractions, and a
/// hyphen, slash, apostrophe, point or comma that stands between two of them (a comma and a point only between digits).
fn is_inside(text: &str, at: usize, c: char) -> bool {
    if c.is_alphanumeric() || matches!(c, '·' | '°' | '%' | '±' | '×' | '_' | '#' | 'µ') {
        return true;
    }
    let before = text[..at].chars().next_back();
    let after = text[at + c.len_utf8()..].chars().next();
    match c {
        '-' | '/' | '\'' | '’' | '+' => {
            before.is_some_and(char::is_alphanumeric) && after.is_some_and(char::is_alphanumeric)
        }
        '.' | ',' => {
            before.is_none_or(|c| c.is_ascii_digit()) && after.is_some_and(|c| c.is_ascii_digit())
        }
        _ => false,
    }
}
