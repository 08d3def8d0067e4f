//! A step's words cut into sentences and tokens that keep their places; it knows no verb and no name.

use crate::base::name::Name;
use crate::base::text::Span;
use crate::model::procedure::{Block, Inline, Step};
use crate::model::prose::{Part, Prose};

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
                    let to = at.clamp(from, text.len());
                    cutter.words(&text[from..to], place);
                    from = to;
                    place = next.unwrap_or(place);
                }
            }
            Inline::Value(name) => {
                cutter.push(TokenKind::Value(name.value.clone()), name.span, &format!("{{{}}}", name.value));
            }
            Inline::See(label) => {
                cutter.push(TokenKind::See(label.value.clone()), label.span, &format!("{{see {}}}", label.value));
            }
            Inline::Link { text, target } => cutter.words(text, target.span),
        }
    }
    cutter.finish();
    cutter.sentences
}

/// Returns the sentences of a line of the front matter.
#[must_use]
pub fn of_prose(prose: &Prose) -> Vec<Sentence> {
    let length = |part: &Part| match part {
        Part::Words(words) => words.len(),
        Part::Value(name) => name.span.range().len(),
    };
    let written: usize = prose.parts.iter().map(length).sum();
    // A quoted scalar begins one byte after its quote. Where escapes or folded lines made the text shorter than its source,
    // places are near and never outside.
    let quote = usize::from(prose.span.range().len() > written);
    let mut cutter = Cutter::default();
    let mut place = Span { start: (prose.span.start + narrow(quote)).min(prose.span.end), ..prose.span };
    for part in &prose.parts {
        match part {
            Part::Words(words) => {
                cutter.words(words, place);
                place.start = (place.start + narrow(words.len())).min(place.end);
            }
            Part::Value(name) => {
                cutter.push(TokenKind::Value(name.value.clone()), name.span, &format!("{{{}}}", name.value));
                place.start = name.span.end.clamp(place.start, place.end);
            }
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
    /// True after a mark that ends a sentence, where white space comes next.
    ended: bool,
}

impl Cutter {
    /// Takes a run of words that stands at `place`.
    fn words(&mut self, text: &str, place: Span) {
        let mut rest = text;
        while let Some(first) = rest.chars().next() {
            let at = text.len() - rest.len();
            let length = if first.is_whitespace() {
                if self.ended {
                    self.finish();
                }
                self.apart = true;
                first.len_utf8()
            } else {
                let (kind, length) = token(rest);
                let ends = match kind {
                    TokenKind::Mark('.') => !self.is_abbreviated(&rest[length..]),
                    TokenKind::Mark('!' | '?') => true,
                    // A bracket or quotation mark that closes still belongs to the sentence that ended.
                    TokenKind::Mark(')' | ']' | '"' | '”' | '\'' | '’') => self.ended,
                    _ => false,
                };
                self.push(kind, within(place, at, length), &rest[..length]);
                self.ended = ends;
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
        self.ended = false;
        self.text.push_str(shown);
        self.tokens.push(Token { kind, span });
    }

    /// Returns whether a point that comes now belongs to a shortened word, with `after` behind it.
    fn is_abbreviated(&self, after: &str) -> bool {
        let Some(TokenKind::Word(word)) = self.tokens.last().map(|token| &token.kind).filter(|_| !self.apart) else {
            return false;
        };
        let word = word.to_lowercase();
        let before = self.tokens.len().checked_sub(2).map(|at| &self.tokens[at].kind);
        let is_initials = word.chars().count() == 1 && before == Some(&TokenKind::Mark('.'));
        let next = after.trim_start().chars().next();
        // After a number it is a unit, and a unit is not shortened.
        let is_unit = matches!(before, Some(TokenKind::Number(_)));
        let goes_on = !is_unit && next.is_some_and(|c| c.is_ascii_digit() || c.is_lowercase());
        is_initials || SHORTENED.contains(&word.as_str()) || (goes_on && SHORTENED_OR_LAST.contains(&word.as_str()))
    }

    fn finish(&mut self) {
        let tokens = std::mem::take(&mut self.tokens);
        let text = std::mem::take(&mut self.text);
        self.apart = false;
        self.ended = false;
        let says_something = tokens.iter().any(|token| !matches!(token.kind, TokenKind::Mark(_)));
        if let (true, Some(first), Some(last)) = (says_something, tokens.first(), tokens.last()) {
            let span = Span { end: last.span.end.max(first.span.end), ..first.span };
            self.sentences.push(Sentence { text, span, tokens });
        }
    }
}

/// Shortened words after which a sentence goes on.
const SHORTENED: [&str; 11] = ["approx", "ca", "cf", "dia", "fig", "figs", "incl", "nos", "ref", "resp", "vs"];
/// Shortened words after which it goes on only with a number or a small letter (`Fit No. 3.`, `Wait 5 min. Record it.`).
const SHORTENED_OR_LAST: [&str; 8] = ["etc", "ft", "in", "max", "min", "no", "sec", "temp"];

/// Returns the place of a stretch of a run; where an escape made the run shorter than its source, it ends with the run.
fn within(place: Span, at: usize, length: usize) -> Span {
    let start = (place.start + narrow(at)).min(place.end);
    Span { start, end: (start + narrow(length)).min(place.end), ..place }
}

fn narrow(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

/// Returns the token a text begins with, and its length in bytes. The text begins with no white space.
fn token(text: &str) -> (TokenKind, usize) {
    let first = text.chars().next().expect("the caller saw a character");
    let length: usize =
        text.char_indices().take_while(|(at, c)| is_inside(text, *at, *c)).map(|(_, c)| c.len_utf8()).sum();
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
    if c.is_alphanumeric() || matches!(c, '·' | '⋅' | '°' | '%' | '±' | '×' | '_' | '#') {
        return true;
    }
    let before = text[..at].chars().next_back();
    let after = text[at + c.len_utf8()..].chars().next();
    match c {
        '-' | '/' | '\'' | '’' | '+' => {
            before.is_some_and(char::is_alphanumeric) && after.is_some_and(char::is_alphanumeric)
        }
        '.' | ',' => before.is_none_or(|c| c.is_ascii_digit()) && after.is_some_and(|c| c.is_ascii_digit()),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::path::BinderPath;
    use crate::base::text::{Placed, Texts};

    fn front(text: &str) -> (Texts, Vec<Sentence>) {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.md").expect("a plain name"), format!("x: {text}\n"));
        let quoted = text.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
        let value = Placed::new(quoted.unwrap_or(text).to_owned(), Span::new(file, 3, 3 + text.len()));
        let (prose, findings) = Prose::read(&value);
        assert_eq!(findings.count(), 0);
        (texts, of_prose(&prose))
    }

    fn cut(text: &str) -> Vec<String> {
        front(text).1.into_iter().map(|sentence| sentence.text).collect()
    }

    fn kinds(text: &str) -> Vec<String> {
        let sentences = front(text).1;
        let kind = |token: Token| match token.kind {
            TokenKind::Word(word) => format!("word {word}"),
            TokenKind::Number(number) => format!("number {number}"),
            TokenKind::Value(name) => format!("value {name}"),
            TokenKind::See(name) => format!("see {name}"),
            TokenKind::Mark(mark) => format!("mark {mark}"),
        };
        sentences.into_iter().flat_map(|sentence| sentence.tokens).map(kind).collect()
    }

    #[test]
    fn a_point_before_white_space_ends_a_sentence() {
        assert_eq!(
            cut("Fit it. Tighten it to 2.5 N·m! Wait 5 min."),
            ["Fit it.", "Tighten it to 2.5 N·m!", "Wait 5 min."]
        );
        assert_eq!(cut("Fit it (see above.) Wait."), ["Fit it (see above.)", "Wait."]);
        assert_eq!(cut("Press “START.” Wait."), ["Press “START.”", "Wait."]);
        assert_eq!(cut("Open V-1A.B now. . ."), ["Open V-1A.B now."]);
    }

    #[test]
    fn a_shortened_word_ends_none() {
        assert_eq!(cut("Add approx. 2 L. Wait."), ["Add approx. 2 L.", "Wait."]);
        assert_eq!(cut("Use a solvent, e.g. L-07, here. Wait."), ["Use a solvent, e.g. L-07, here.", "Wait."]);
        assert_eq!(
            cut("Fit No. 3. Wait 5 min. 2 persons lift it."),
            ["Fit No. 3.", "Wait 5 min.", "2 persons lift it."]
        );
        assert_eq!(cut("Set it to max. speed. The answer is no."), ["Set it to max. speed.", "The answer is no."]);
        assert_eq!(cut("Set it to approx. {gap}. Wait."), ["Set it to approx. {gap}.", "Wait."]);
    }

    #[test]
    fn words_numbers_values_and_marks_are_told_apart() {
        assert_eq!(
            kinds("Set O-ring 2.0 to {gap}, .5 or 0,5 N·m (1/2)."),
            [
                "word Set",
                "word O-ring",
                "number 2.0",
                "word to",
                "value gap",
                "mark ,",
                "number .5",
                "word or",
                "number 0,5",
                "word N·m",
                "mark (",
                "word 1/2",
                "mark )",
                "mark ."
            ]
        );
        assert_eq!(kinds("TW-2's 5 N⋅m"), ["word TW-2's", "number 5", "word N⋅m"]);
        assert_eq!(kinds("a, b;c -5"), ["word a", "mark ,", "word b", "mark ;", "word c", "mark -", "number 5"]);
    }

    #[test]
    fn every_token_stands_where_it_was_written() {
        for text in ["Ö {a} b. C to {d e} N·m.", "\"Fit it: {gap} here. Ünd  so.\""] {
            let (texts, sentences) = front(text);
            for token in sentences.iter().flat_map(|sentence| &sentence.tokens) {
                let shown = match &token.kind {
                    TokenKind::Word(text) | TokenKind::Number(text) => text.clone(),
                    TokenKind::Value(name) | TokenKind::See(name) => format!("{{{name}}}"),
                    TokenKind::Mark(mark) => mark.to_string(),
                };
                assert_eq!(texts.slice(token.span), shown);
            }
        }
    }
}
