//! Findings and results as one JSON document for programs; keys stand in a fixed order and are only ever added.

use crate::analysis::working::Working;
use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::text::{Span, Texts};
use crate::model::waiver::Waived;
use crate::report::clean;
use crate::report::tally::Tally;
use crate::report::told::Told;
use serde::Serialize;
use std::fmt::Write as _;

/// The number of this form of JSON; a reader refuses a higher one.
pub const SCHEMA: u32 = 1;

/// What a command found.
#[derive(Debug, Serialize)]
struct Found<'a> {
    schema: u32,
    findings: Vec<Entry<'a>>,
    summary: Tally,
}

/// What a check found, accepted and knew before.
#[derive(Debug, Serialize)]
struct Checked<'a> {
    schema: u32,
    findings: Vec<Entry<'a>>,
    summary: Tally,
    rule_set: u32,
    waived: Vec<WaivedEntry<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    baseline: Option<BaselineSum<'a>>,
}

/// A finding with the waiver that accepts it.
#[derive(Debug, Serialize)]
struct WaivedEntry<'a> {
    finding: Entry<'a>,
    reason: &'a str,
    by: &'a str,
    until: String,
    place: Place<'a>,
}

/// What a baseline makes of the findings.
#[derive(Debug, Serialize)]
struct BaselineSum<'a> {
    known: Vec<Entry<'a>>,
    gone: usize,
}

/// What a build found and made.
#[derive(Debug, Serialize)]
struct Build<'a> {
    schema: u32,
    findings: Vec<Entry<'a>>,
    summary: Tally,
    /// Where the outputs are, as it was given.
    folder: String,
    outputs: Vec<OutputLine>,
    suppressed: Vec<SuppressedLine>,
}

/// One output of a build.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OutputLine {
    /// Its path below the output folder.
    pub path: String,
    /// `written` or `kept`.
    pub state: &'static str,
}

/// One output that was not built.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SuppressedLine {
    /// The document.
    pub document: String,
    /// The tag.
    pub tag: String,
    /// Why, in words or by the name of the rule.
    pub reasons: Vec<String>,
}

/// A list of any kind under its schema number.
#[derive(Debug, Serialize)]
struct List<'a, T: Serialize> {
    schema: u32,
    list: &'a [T],
}

#[derive(Debug, Serialize)]
struct Entry<'a> {
    rule: &'static str,
    severity: &'static str,
    message: &'a str,
    place: Option<Place<'a>>,
    label: &'a str,
    also: Vec<Also<'a>>,
    document: Option<&'a str>,
    tags: Vec<&'a str>,
    floor: &'a str,
    help: &'a str,
    fingerprint: &'a str,
}

#[derive(Debug, Serialize)]
struct Place<'a> {
    path: &'a str,
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

#[derive(Debug, Serialize)]
struct Also<'a> {
    place: Place<'a>,
    label: &'a str,
}

/// Returns the document of what a check found.
#[must_use]
pub fn findings(findings: &[Finding], texts: &Texts) -> String {
    document(&Found { schema: SCHEMA, findings: entries(findings, texts), summary: Tally::of(findings) })
}

/// Returns the document of a check.
#[must_use]
pub fn check(told: &Told<'_>) -> String {
    document(&Checked {
        schema: SCHEMA,
        findings: entries(told.findings, told.texts),
        summary: Tally::of(told.findings),
        rule_set: told.rule_set,
        waived: told.waived.iter().map(|one| accepted(one, told.texts)).collect(),
        baseline: told
            .baseline
            .map(|baseline| BaselineSum { known: entries(baseline.known, told.texts), gone: baseline.gone }),
    })
}

fn accepted<'a>(one: &'a Waived, texts: &'a Texts) -> WaivedEntry<'a> {
    let waiver = &one.waiver;
    WaivedEntry {
        finding: entry(&one.finding, texts),
        reason: &waiver.reason,
        by: &waiver.by,
        until: waiver.until.value.to_string(),
        place: place(waiver.span, texts),
    }
}

/// Returns the document of a build.
#[must_use]
pub fn build(
    findings: &[Finding],
    texts: &Texts,
    folder: &str,
    outputs: Vec<OutputLine>,
    suppressed: Vec<SuppressedLine>,
) -> String {
    document(&Build {
        schema: SCHEMA,
        findings: entries(findings, texts),
        summary: Tally::of(findings),
        folder: folder.to_owned(),
        outputs,
        suppressed,
    })
}

/// A computed figure under its schema number.
#[derive(Debug, Serialize)]
struct Computed<'a> {
    schema: u32,
    calculation: &'static str,
    #[serde(flatten)]
    working: &'a Working,
}

/// Returns a computed figure as a document; `figure` and `band` are unrounded.
#[must_use]
pub fn working(calculation: &'static str, working: &Working) -> String {
    document(&Computed { schema: SCHEMA, calculation, working })
}

/// Returns one result, under the number of this form.
pub fn one<T: Serialize>(result: &T) -> String {
    #[derive(Serialize)]
    struct One<'a, T> {
        schema: u32,
        #[serde(flatten)]
        result: &'a T,
    }
    document(&One { schema: SCHEMA, result })
}

/// Returns a list as a document.
#[must_use]
pub fn list<T: Serialize>(list: &[T]) -> String {
    document(&List { schema: SCHEMA, list })
}

fn document<T: Serialize>(value: &T) -> String {
    let mut text = serde_json::to_string_pretty(value).expect("a document holds only text, numbers and lists");
    text.push('\n');
    harmless(text)
}

/// Writes what could drive a terminal or turn a line about as an escape: only strings hold such characters, and they stay
/// the same strings.
fn harmless(text: String) -> String {
    let is_harmless = |c: char| c == '\n' || clean::shown(c) == c;
    if text.chars().all(is_harmless) {
        return text;
    }
    let mut safe = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if is_harmless(c) {
            safe.push(c);
        } else {
            for unit in c.encode_utf16(&mut [0; 2]) {
                let _ = write!(safe, "\\u{unit:04x}");
            }
        }
    }
    safe
}

fn entries<'a>(findings: &'a [Finding], texts: &'a Texts) -> Vec<Entry<'a>> {
    findings.iter().map(|finding| entry(finding, texts)).collect()
}

fn entry<'a>(finding: &'a Finding, texts: &'a Texts) -> Entry<'a> {
    Entry {
        rule: finding.rule.0,
        severity: finding.severity.word(),
        message: &finding.message,
        place: finding.span.map(|span| place(span, texts)),
        label: &finding.label,
        also: finding.also.iter().map(|(span, label)| Also { place: place(*span, texts), label }).collect(),
        document: finding.document.as_ref().map(DocumentNumber::as_str),
        tags: finding.tags.iter().map(Tag::as_str).collect(),
        floor: &finding.floor,
        help: &finding.help,
        fingerprint: &finding.fingerprint,
    }
}

fn place(span: Span, texts: &Texts) -> Place<'_> {
    let (path, start) = texts.locate(span);
    let end = texts.get(span.file).position(span.end as usize);
    Place { path: path.as_str(), line: start.line, column: start.column, end_line: end.line, end_column: end.column }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::finding::RuleId;
    use crate::base::path::BinderPath;

    #[test]
    fn the_keys_stand_in_a_fixed_order() {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.yaml").unwrap(), "x\ny·z\n".to_owned());
        let finding = Finding::error(RuleId("missing-value"), "no value")
            .at(Span::new(file, 2, 6))
            .label("here")
            .document(&DocumentNumber::new("MP-PA-101"))
            .tags([Tag::new("P-2"), Tag::new("P-1")]);
        let text = findings(&[finding], &texts);
        insta::assert_snapshot!(text, @r#"
        {
          "schema": 1,
          "findings": [
            {
              "rule": "missing-value",
              "severity": "error",
              "message": "no value",
              "place": {
                "path": "a.yaml",
                "line": 2,
                "column": 1,
                "end_line": 2,
                "end_column": 4
              },
              "label": "here",
              "also": [],
              "document": "MP-PA-101",
              "tags": [
                "P-1",
                "P-2"
              ],
              "floor": "",
              "help": "",
              "fingerprint": ""
            }
          ],
          "summary": {
            "errors": 1,
            "warnings": 0,
            "notes": 0
          }
        }
        "#);
        let read: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(read["findings"][0]["place"]["end_column"], 4);
    }

    #[test]
    fn nothing_in_a_document_drives_a_terminal_and_its_strings_stay() {
        let name = "a\u{1b}[31m\u{9b}b\u{202e}c\u{e0041}\u{7f}".to_owned();
        let text = list(std::slice::from_ref(&name));
        assert!(text.chars().all(|c| c == '\n' || clean::shown(c) == c), "{text:?}");
        let read: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(read["list"][0], name.as_str());
    }
}
