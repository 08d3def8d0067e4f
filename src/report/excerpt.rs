//! The few lines of a text that a finding points at, made safe and cut to what can be read; it draws nothing.

use crate::base::text::{Span, Text};
use crate::report::clean;
use std::ops::Range;

/// The longest line that is shown, in bytes; nobody writes a longer one by hand.
const WIDEST: usize = 4_000;
/// The most lines of one place that are shown.
const TALLEST: usize = 4;
/// Places this many lines apart are shown in one excerpt.
const NEAR: usize = 6;

/// A place in a text with the words beside it.
pub(crate) struct Pointer<'a> {
    pub(crate) span: Span,
    pub(crate) words: &'a str,
    pub(crate) weight: Weight,
}

/// Whether a place is the one the finding is about.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Weight {
    Main,
    Further,
}

/// Lines that are shown together.
pub(crate) struct Excerpt {
    /// The lines, safe to print, with the end of each where it is cut; none where they are too long to show.
    pub(crate) source: Option<String>,
    /// The number of the first.
    pub(crate) first_line: usize,
    /// Line and column of the most important place, as an editor counts them.
    pub(crate) line: usize,
    pub(crate) column: usize,
    /// Where in `source` the marks stand; the main one alone where nothing is shown.
    pub(crate) marks: Vec<Mark>,
}

/// A stretch of an excerpt's source that is underlined.
pub(crate) struct Mark {
    pub(crate) range: Range<usize>,
    pub(crate) words: String,
    pub(crate) weight: Weight,
}

/// Returns the excerpts that show all `pointers`, which point into `text`; the one with the main place comes first.
pub(crate) fn of(text: &Text, pointers: &[Pointer<'_>]) -> Vec<Excerpt> {
    let mut placed: Vec<(Range<usize>, &Pointer<'_>)> =
        pointers.iter().map(|pointer| (lines_of(text, pointer.span), pointer)).collect();
    placed.sort_by_key(|(lines, pointer)| (lines.start, pointer.span));
    let mut groups: Vec<Vec<(Range<usize>, &Pointer<'_>)>> = Vec::new();
    for (lines, pointer) in placed {
        match groups.last_mut() {
            Some(group) if group.iter().any(|(other, _)| lines.start <= other.end + NEAR) => {
                group.push((lines, pointer));
            }
            _ => groups.push(vec![(lines, pointer)]),
        }
    }
    let mut excerpts: Vec<Excerpt> = groups.iter().map(|group| excerpt(text, group)).collect();
    excerpts.sort_by_key(|excerpt| !excerpt.marks.iter().any(|mark| mark.weight == Weight::Main));
    excerpts
}

/// Returns the lines of a span, counted from 1, no more of them than are shown.
fn lines_of(text: &Text, span: Span) -> Range<usize> {
    let first = text.position(span.start as usize).line;
    let last = text.position(last_byte(span)).line;
    first..(last + 1).min(first + TALLEST)
}

/// Returns the last byte of a span, so that a span that ends with a line does not reach into the next.
fn last_byte(span: Span) -> usize {
    (span.end as usize).saturating_sub(1).max(span.start as usize)
}

fn excerpt(text: &Text, group: &[(Range<usize>, &Pointer<'_>)]) -> Excerpt {
    let first_line = group.iter().map(|(lines, _)| lines.start).min().expect("a group holds a pointer");
    let last_line = group.iter().map(|(lines, _)| lines.end).max().expect("a group holds a pointer");
    let main = group.iter().find(|(_, pointer)| pointer.weight == Weight::Main).unwrap_or(&group[0]);
    let place = text.position(main.1.span.start as usize);
    let lines = text.line(first_line).start..text.line(last_line - 1).end;
    let marks = vec![Mark { range: 0..0, words: clean::line(main.1.words).into_owned(), weight: main.1.weight }];
    let mut excerpt = Excerpt { source: None, first_line, line: place.line, column: place.column, marks };
    if (first_line..last_line).all(|line| text.line(line).len() <= WIDEST) {
        let shown = Shown::new(&text.content()[lines.clone()], lines.start);
        excerpt.marks = group.iter().map(|(own, pointer)| shown.mark(text.line(own.end - 1).end, pointer)).collect();
        excerpt.source = Some(shown.source);
    }
    excerpt
}

/// Lines made safe, with the way from the bytes of the text to theirs.
struct Shown {
    source: String,
    /// For every character: its byte in the text and in `source`.
    bytes: Vec<(usize, usize)>,
}

impl Shown {
    fn new(content: &str, start: usize) -> Self {
        let content = content.trim_end_matches(['\n', '\r']);
        let mut shown = Self { source: String::with_capacity(content.len()), bytes: Vec::new() };
        for (at, c) in content.char_indices() {
            shown.bytes.push((start + at, shown.source.len()));
            shown.source.push(if c == '\n' { c } else { clean::shown(c) });
        }
        shown.bytes.push((start + content.len(), shown.source.len()));
        shown
    }

    fn mark(&self, last: usize, pointer: &Pointer<'_>) -> Mark {
        let start = self.at(pointer.span.start as usize);
        let stop = self.at((pointer.span.end as usize).min(last)).max(start);
        let stop = start + self.source[start..stop].trim_end().len();
        Mark { range: start..stop, words: clean::line(pointer.words).into_owned(), weight: pointer.weight }
    }

    /// Returns where the character at byte `at` of the text stands in the source.
    fn at(&self, at: usize) -> usize {
        let next = self.bytes.partition_point(|(before, _)| *before < at);
        self.bytes.get(next).map_or(self.source.len(), |(_, after)| *after)
    }
}
