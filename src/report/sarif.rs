//! Findings as SARIF 2.1.0 (OASIS standard, 27 March 2020), for code hosts and viewers; it prints nothing.
//!
//! Paths are relative and columns count characters. What a waiver accepts is a suppressed result, and a baseline tells what
//! is new from what is known. The same findings give the same bytes: no time, no machine, no absolute path is in it.

use crate::base::finding::{Finding, Severity};
use crate::base::name::{DocumentNumber, Tag};
use crate::base::path::BinderPath;
use crate::base::text::{Span, Texts};
use crate::model::waiver::Waiver;
use crate::report::clean;
use crate::report::human::Look;
use crate::report::told::{Reach, RulePage, Told};
use serde::Serialize;
use std::collections::BTreeMap;

/// Where the standard's schema is.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";
/// What the paths are relative to: the folder the reader is in, mostly the top of a repository.
const BASE: &str = "%SRCROOT%";
/// The key of our fingerprints, with the number of the way they are made (3.27.17).
const FINGERPRINT: &str = "matchmarkFinding/v1";

#[derive(Serialize)]
struct Log<'a> {
    #[serde(rename = "$schema")]
    schema: &'static str,
    version: &'static str,
    runs: [Run<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'a> {
    tool: Tool<'a>,
    invocations: [Invocation; 1],
    original_uri_base_ids: BTreeMap<&'static str, Described>,
    column_kind: &'static str,
    results: Vec<Outcome<'a>>,
}

#[derive(Serialize)]
struct Tool<'a> {
    driver: Driver<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Driver<'a> {
    name: &'static str,
    version: &'static str,
    semantic_version: &'static str,
    rules: Vec<Descriptor<'a>>,
    properties: DriverProperties,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct DriverProperties {
    rule_set: u32,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Descriptor<'a> {
    id: &'static str,
    short_description: Words,
    full_description: Words,
    help: Help<'a>,
    default_configuration: Configuration,
    properties: DescriptorProperties,
}

#[derive(Serialize)]
struct DescriptorProperties {
    waivable: bool,
}

#[derive(Serialize)]
struct Help<'a> {
    text: &'a str,
    markdown: &'a str,
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Invocation {
    execution_successful: bool,
}

#[derive(Serialize)]
struct Described {
    description: Words,
}

#[derive(Serialize)]
struct Words {
    text: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Outcome<'a> {
    rule_id: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rule_index: Option<usize>,
    level: &'static str,
    message: Words,
    locations: [Location; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
    partial_fingerprints: BTreeMap<&'static str, &'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    baseline_state: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    suppressions: Option<Vec<Suppression<'a>>>,
    properties: Properties<'a>,
}

#[derive(Serialize)]
struct Properties<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    document: Option<&'a str>,
    machines: Vec<&'a str>,
    tags: Vec<&'a str>,
}

#[derive(Serialize)]
struct Suppression<'a> {
    kind: &'static str,
    status: &'static str,
    justification: &'a str,
    location: Location,
    properties: SuppressionProperties<'a>,
}

#[derive(Serialize)]
struct SuppressionProperties<'a> {
    by: &'a str,
    until: String,
}

#[derive(Serialize)]
struct Location {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<usize>,
    #[serde(rename = "physicalLocation")]
    place: Physical,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Words>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Physical {
    artifact_location: Artifact,
    #[serde(skip_serializing_if = "Option::is_none")]
    region: Option<Region>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Artifact {
    uri: String,
    uri_base_id: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

/// Returns the log of a check; `rules` are all rules, in the order of their names, and `look` says where the binder is.
#[must_use]
pub fn log(told: &Told<'_>, rules: &[RulePage], look: Look<'_>) -> String {
    let scene = Scene { texts: told.texts, rules, root: root(look.root) };
    let state = |state| told.baseline.is_some().then_some(state);
    let found = told.findings.iter().map(|finding| scene.outcome(finding, state("new"), None));
    let known = told.baseline.iter().flat_map(|baseline| baseline.known);
    let known = known.map(|finding| scene.outcome(finding, state("unchanged"), None));
    let waived = told.waived.iter().map(|one| scene.outcome(&one.finding, state("unchanged"), Some(&one.waiver)));
    let driver = Driver {
        name: "matchmark",
        version: env!("CARGO_PKG_VERSION"),
        semantic_version: env!("CARGO_PKG_VERSION"),
        rules: rules.iter().map(descriptor).collect(),
        properties: DriverProperties { rule_set: told.rule_set },
    };
    let base = words("the folder the check was run in, mostly the top of the repository");
    let run = Run {
        tool: Tool { driver },
        invocations: [Invocation { execution_successful: told.reach == Reach::Whole }],
        original_uri_base_ids: BTreeMap::from([(BASE, Described { description: base })]),
        column_kind: "unicodeCodePoints",
        results: found.chain(known).chain(waived).collect(),
    };
    let log = Log { schema: SCHEMA, version: "2.1.0", runs: [run] };
    let mut text = serde_json::to_string_pretty(&log).expect("a log holds only text, numbers and lists");
    text.push('\n');
    text
}

/// What is the same for all results.
struct Scene<'a> {
    texts: &'a Texts,
    rules: &'a [RulePage],
    root: String,
}

impl Scene<'_> {
    fn outcome<'f>(
        &self,
        finding: &'f Finding,
        state: Option<&'static str>,
        waiver: Option<&'f Waiver>,
    ) -> Outcome<'f> {
        let main = finding.span.map_or_else(|| self.binder(), |span| self.location(None, span, &finding.label));
        let further = finding.also.iter().enumerate();
        let machines: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        Outcome {
            rule_id: finding.rule.0,
            rule_index: self.rules.iter().position(|rule| rule.id == finding.rule),
            level: level(finding.severity),
            message: Words { text: literal(&message(finding)) },
            locations: [main],
            related_locations: further.map(|(at, (span, label))| self.location(Some(at + 1), *span, label)).collect(),
            partial_fingerprints: BTreeMap::from([(FINGERPRINT, finding.fingerprint.as_str())]),
            baseline_state: state,
            suppressions: waiver.map(|waiver| vec![self.suppression(waiver)]),
            properties: Properties {
                document: finding.document.as_ref().map(DocumentNumber::as_str),
                tags: machines.clone(),
                machines,
            },
        }
    }

    fn suppression<'w>(&self, waiver: &'w Waiver) -> Suppression<'w> {
        Suppression {
            kind: "external",
            status: "accepted",
            justification: &waiver.reason,
            location: self.location(None, waiver.span, ""),
            properties: SuppressionProperties { by: &waiver.by, until: waiver.until.value.to_string() },
        }
    }

    fn location(&self, id: Option<usize>, span: Span, label: &str) -> Location {
        let (path, start) = self.texts.locate(span);
        let end = self.texts.get(span.file).position(span.end as usize);
        let region =
            Region { start_line: start.line, start_column: start.column, end_line: end.line, end_column: end.column };
        let message = Some(Words { text: literal(&words(label).text) }).filter(|words| !words.text.is_empty());
        let place = Physical { artifact_location: self.artifact(path), region: Some(region) };
        Location { id, place, message }
    }

    /// Returns the binder's first file, which stands for the binder as a whole.
    fn binder(&self) -> Location {
        let path = BinderPath::parse("binder.yaml").expect("a plain name");
        let place = Physical { artifact_location: self.artifact(&path), region: None };
        Location { id: None, place, message: None }
    }

    fn artifact(&self, path: &BinderPath) -> Artifact {
        Artifact { uri: uri(&format!("{}{path}", self.root)), uri_base_id: BASE }
    }
}

fn descriptor(rule: &RulePage) -> Descriptor<'_> {
    Descriptor {
        id: rule.id.0,
        short_description: words(&format!("{}.", rule.title)),
        full_description: words(found_section(&rule.page)),
        help: Help { text: &rule.page, markdown: &rule.page },
        default_configuration: Configuration { level: level(rule.severity) },
        properties: DescriptorProperties { waivable: rule.waivable },
    }
}

/// Returns what stands under `## What is found`, or the whole page where nothing does.
fn found_section(page: &str) -> &str {
    let section = page.split_once("## What is found").map_or(page, |(_, rest)| rest);
    section.split("\n## ").next().unwrap_or(section)
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// Returns what is wrong, what it means and how to mend it as sentences, since many viewers show nothing else.
fn message(finding: &Finding) -> String {
    let mut sentences = vec![sentence(&finding.message)];
    for (name, text) in [("On the floor", &finding.floor), ("How to mend it", &finding.help)] {
        if !text.is_empty() {
            sentences.push(format!("{name}: {}", sentence(text)));
        }
    }
    sentences.join(" ")
}

fn sentence(text: &str) -> String {
    let text = clean::line(text.trim());
    let end = if text.ends_with(['.', '?', '!']) { "" } else { "." };
    format!("{text}{end}")
}

/// Returns a text as a message string, in which a brace is written twice, since `{0}` would be a placeholder (3.11.5).
fn literal(text: &str) -> String {
    text.replace('{', "{{").replace('}', "}}")
}

/// Returns a text as one line in which every character is harmless.
fn words(text: &str) -> Words {
    let one = text.split_whitespace().collect::<Vec<_>>().join(" ");
    Words { text: clean::line(&one).into_owned() }
}

/// Returns what stands before every path: nothing where the binder does not lie below the reader's folder, since an
/// absolute path would be true on one computer only.
fn root(shown: &str) -> String {
    let shown = shown.replace('\\', "/");
    let parts: Vec<&str> = shown.split('/').filter(|part| !matches!(*part, "" | ".")).collect();
    let is_below = !shown.starts_with('/') && !parts.iter().any(|part| *part == ".." || part.contains(':'));
    if is_below && !parts.is_empty() { format!("{}/", parts.join("/")) } else { String::new() }
}

/// Returns a path as a relative reference (RFC 3986, 3.3): what is not unreserved or a slash is percent-encoded.
fn uri(path: &str) -> String {
    use std::fmt::Write as _;
    let mut uri = String::new();
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~' | b'/') {
            uri.push(char::from(byte));
        } else {
            let _ = write!(uri, "%{byte:02X}");
        }
    }
    uri
}

#[cfg(test)]
#[path = "sarif_tests.rs"]
mod tests;
