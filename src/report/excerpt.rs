//! The few lines of a text that a finding points at, made safe and cut to what can be read; it draws nothing.

use crate::base::text::{Span, Text};
use crate::report::clean;
use std::ops::Range;

/// The longest stretch of one line that is shown, in characters.
const WIDEST: usize = 200;
/// How many characters stand before the place where a long line is cut.
const LEAD: usize = 40;
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
    /// The lines, safe to print.
    pub(crate) source: String,
    /// The number of the first.
    pub(crate) first_line: usize,
    /// Line and column of the most important place, as an editor counts them.
    pub(crate) line: usize,
    pub(crate) column: usize,
    /// Where in `source` the marks stand.
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
            Some(group) if group.iter().any(|(other, _)| lines.start <= other.end + NEAR) => group.push((lines, pointer)),
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
    let mut source = String::new();
    let mut marks: Vec<Mark> = Vec::new();
    // Byte offsets before and after cleaning, for every character that is shown.
    let mut shown: Vec<(usize, usize)> = Vec::new();
    for line in first_line..last_line {
        let range = text.line(line);
        let content = &text.content()[range.clone()];
        let wanted = group.iter().filter(|(lines, _)| lines.contains(&line));
        let first_mark = wanted.map(|(_, pointer)| (pointer.span.start as usize).max(range.start) - range.start).min();
        append(&mut source, &mut shown, &range, &content[..content.trim_end_matches(['\n', '\r']).len()], first_mark);
    }
    let end = source.trim_end_matches('\n').len();
    source.truncate(end);
    for (lines, pointer) in group {
        let from = pointer.span.start as usize;
        let to = (pointer.span.end as usize).min(text.line(lines.end - 1).end).max(from);
        let start = cleaned(&shown, from).min(end);
        let stop = cleaned(&shown, to).min(end).max(start);
        let stop = start + source[start..stop].trim_end().len();
        marks.push(Mark { range: start..stop, words: clean::line(pointer.words).into_owned(), weight: pointer.weight });
    }
    let main = group.iter().find(|(_, pointer)| pointer.weight == Weight::Main).unwrap_or(&group[0]);
    let place = text.position(main.1.span.start as usize);
    Excerpt { source, first_line, line: place.line, column: place.column, marks }
}

/// Appends one line, cut around `mark` where it is too long, and notes where each of its characters went.
fn append(
    source: &mut String,
    shown: &mut Vec<(usize, usize)>,
    line: &Range<usize>,
    content: &str,
    mark: Option<usize>,
) {
    let mark = content.floor_char_boundary(mark.unwrap_or(0));
    let is_long = content.chars().nth(WIDEST).is_some();
    let lead = content[..mark].char_indices().rev().nth(LEAD).map_or(0, |(at, _)| at);
    let start = if is_long { lead } else { 0 };
    if start > 0 {
        source.push_str("... ");
    }
    for (at, c) in content[start..].char_indices().take(WIDEST) {
        shown.push((line.start + start + at, source.len()));
        source.push(clean::shown(c));
    }
    let stop = shown.last().map_or(line.start, |(at, _)| *at + 1);
    if is_long && stop < line.start + content.len() {
        source.push_str(" ...");
    }
    shown.push((line.start + content.len(), source.len()));
    source.push('\n');
}

/// Returns where the character at byte `at` of the text stands in the cleaned source.
fn cleaned(shown: &[(usize, usize)], at: usize) -> usize {
    let next = shown.partition_point(|(before, _)| *before < at);
    shown.get(next).or(shown.last()).map_or(0, |(_, after)| *after)
}
