//! Findings for a person at a terminal: place, excerpt, what it means on the floor, how to mend it; it prints nothing.
//!
//! The most important comes last, beside the prompt: notes, then warnings, then errors, each in reading order.

use crate::base::finding::{Finding, RuleId, Severity};
use crate::base::limits;
use crate::base::path::BinderPath;
use crate::base::text::{FileId, Texts};
use crate::model::waiver::Waived;
use crate::report::clean;
use crate::report::excerpt::{self, Excerpt, Pointer, Weight};
use crate::report::tally::counted;
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Whether a report may use colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paint {
    /// Characters only.
    Plain,
    /// With the colours of a terminal.
    Colour,
}

/// How findings are shown.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// Whether in colour.
    pub paint: Paint,
    /// Where the binder is, as seen by the reader, to stand before every path; empty where he is in it.
    pub root: &'a str,
}

impl Look<'_> {
    /// Returns a path of the binder as the reader can open it.
    pub(crate) fn path(&self, path: &BinderPath) -> String {
        let root = self.root.trim_end_matches('/');
        let whole = if root.is_empty() || root == "." { path.to_string() } else { format!("{root}/{path}") };
        clean::line(&whole).into_owned()
    }
}

/// How wide a report is set.
const WIDTH: usize = 120;
/// The most tags that are named one by one.
const TAGS: usize = 40;

/// Returns the findings as paragraphs of text, the most important last; empty where there are none.
#[must_use]
pub fn findings(findings: &[Finding], texts: &Texts, look: Look<'_>) -> String {
    let renderer = renderer(look.paint);
    let mut shown = String::new();
    let mut left_out: BTreeMap<(Severity, RuleId, Option<FileId>), usize> = BTreeMap::new();
    let mut told: BTreeMap<(Severity, RuleId, Option<FileId>), usize> = BTreeMap::new();
    for finding in most_important_last(findings) {
        let kind = (finding.severity, finding.rule, finding.span.map(|span| span.file));
        let count = told.entry(kind).or_default();
        *count += 1;
        let most = if finding.severity == Severity::Note { limits::NOTES } else { limits::FINDINGS };
        if *count > most {
            *left_out.entry(kind).or_default() += 1;
            continue;
        }
        shown.push_str(&one(finding, texts, look, &renderer));
        shown.push_str("\n\n");
    }
    for ((severity, rule, file), count) in left_out.into_iter().rev() {
        shown.push_str(&summed_up(severity, rule, file.map(|file| look.path(texts.get(file).path())), count));
    }
    shown
}

/// Returns what is accepted as a short list: what and where, then who answers for it until when, and why; empty where
/// there is nothing.
#[must_use]
pub fn accepted(all: &[Waived], texts: &Texts, look: Look<'_>) -> String {
    if all.is_empty() {
        return String::new();
    }
    let mut list = format!("accepted by the plant, {}:\n", counted(all.len(), "finding"));
    for one in all {
        let (finding, waiver) = (&one.finding, &one.waiver);
        let place = finding.span.map_or(String::new(), |span| {
            let (path, at) = texts.locate(span);
            format!("{}:{}:{}: ", look.path(path), at.line, at.column)
        });
        let tags = if finding.tags.is_empty() { String::new() } else { format!(" ({})", tags(finding)) };
        let told = clean::line(&finding.message);
        let _ = writeln!(list, "  {place}{told}{tags} [{}]", finding.rule.0);
        let (by, until, reason) = (clean::line(&waiver.by), waiver.until.value, clean::line(&waiver.reason));
        let _ = writeln!(list, "    {by}, until {until}: {reason}");
    }
    list.push('\n');
    list
}

/// Returns the findings from the least to the most important, each weight in reading order.
fn most_important_last(findings: &[Finding]) -> Vec<&Finding> {
    let mut ordered: Vec<&Finding> = findings.iter().collect();
    // The sort keeps the order of equals, which is the reading order they come in.
    ordered.sort_by_key(|finding| Reverse(finding.severity));
    ordered
}

fn summed_up(severity: Severity, rule: RuleId, path: Option<String>, count: usize) -> String {
    let place = path.map_or(String::new(), |path| format!(" in {path}"));
    format!("{}[{}]: and {count} more like it{place}; `--format plain` lists each\n\n", severity.word(), rule.0)
}

fn renderer(paint: Paint) -> Renderer {
    let renderer = match paint {
        Paint::Plain => Renderer::plain(),
        Paint::Colour => Renderer::styled(),
    };
    renderer.term_width(WIDTH).decor_style(DecorStyle::Ascii)
}

fn one(finding: &Finding, texts: &Texts, look: Look<'_>, renderer: &Renderer) -> String {
    let title = level(finding.severity).primary_title(clean::line(&finding.message)).id(finding.rule.0);
    let mut group = Group::with_title(title);
    for (file, excerpts) in excerpts(finding, texts) {
        let path = look.path(texts.get(file).path());
        for excerpt in excerpts {
            group = with_excerpt(group, &path, excerpt);
        }
    }
    for (name, words) in remarks(finding) {
        group = group.element(Level::NOTE.with_name(name).message(words));
    }
    renderer.render(&[group])
}

fn level(severity: Severity) -> Level<'static> {
    match severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    }
}

/// Returns the excerpts of every text the finding points into, that of its main place first.
fn excerpts(finding: &Finding, texts: &Texts) -> Vec<(FileId, Vec<Excerpt>)> {
    let main = finding.span.map(|span| Pointer { span, words: &finding.label, weight: Weight::Main });
    let also = finding.also.iter().map(|(span, words)| Pointer { span: *span, words, weight: Weight::Further });
    let mut by_file: Vec<(FileId, Vec<Pointer<'_>>)> = Vec::new();
    for pointer in main.into_iter().chain(also) {
        match by_file.iter_mut().find(|(file, _)| *file == pointer.span.file) {
            Some((_, pointers)) => pointers.push(pointer),
            None => by_file.push((pointer.span.file, vec![pointer])),
        }
    }
    by_file.into_iter().map(|(file, pointers)| (file, excerpt::of(texts.get(file), &pointers))).collect()
}

fn with_excerpt<'a>(group: Group<'a>, path: &str, excerpt: Excerpt) -> Group<'a> {
    let path = path.to_owned();
    let Some(source) = excerpt.source else {
        let words = excerpt.marks.into_iter().map(|mark| mark.words).find(|words| !words.is_empty());
        let group = group.element(Origin::path(path).line(excerpt.line).char_column(excerpt.column));
        return group.elements(words.map(|words| Level::NOTE.with_name("here").message(words)));
    };
    let annotations = excerpt.marks.into_iter().map(|mark| {
        let kind = match mark.weight {
            Weight::Main => AnnotationKind::Primary,
            Weight::Further => AnnotationKind::Context,
        };
        kind.span(mark.range).label(Some(mark.words).filter(|words| !words.is_empty()))
    });
    group.element(Snippet::source(source).path(path).line_start(excerpt.first_line).annotations(annotations))
}

/// Returns the remarks under the excerpt, each with its name.
fn remarks(finding: &Finding) -> Vec<(&'static str, String)> {
    let mut remarks = Vec::new();
    if !finding.floor.is_empty() {
        remarks.push(("on the floor", clean::line(&finding.floor).into_owned()));
    }
    if !finding.help.is_empty() {
        remarks.push(("mend", clean::line(&finding.help).into_owned()));
    }
    if !finding.tags.is_empty() {
        remarks.push(("tags", tags(finding)));
    }
    remarks
}

fn tags(finding: &Finding) -> String {
    let named: Vec<_> = finding.tags.iter().take(TAGS).map(|tag| clean::line(tag.as_str())).collect();
    let more = finding.tags.len() - named.len();
    let rest = if more == 0 { String::new() } else { format!(" and {more} more") };
    format!("{}{rest}", named.join(" "))
}

#[cfg(test)]
#[path = "human_tests.rs"]
mod tests;
