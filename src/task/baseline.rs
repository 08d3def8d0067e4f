//! A baseline: the findings of a binder on the day it was adopted, so that a check tells what is new; it makes nothing
//! printable, since a build never reads it.
//!
//! It is sorted and has one finding a line, so that a review of it shows what was mended. A finding is known for the tags it
//! had then; for another machine it is new. What is wrong with waivers is never known: each has a day of its own.

use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::rule::{EXPIRED_WAIVER, IDLE_WAIVER};
use crate::rules::RULE_SET;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The number of this form; a higher one is refused.
const FORMAT: u32 = 1;

/// Why a text is no baseline.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BaselineError {
    /// It was written by something else, or by hand.
    #[error("it is not a baseline of this program")]
    Foreign,
    /// It was written by a newer program.
    #[error("it has format {0}, this program reads format {FORMAT}: update the program")]
    Newer(u32),
}

/// The findings that are known.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Baseline {
    entries: BTreeSet<Entry>,
}

/// One finding, in the order it is sorted by.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
struct Entry {
    document: String,
    rule: String,
    message: String,
    fingerprint: String,
    tags: BTreeSet<String>,
}

/// What is read before anything else is trusted.
#[derive(Deserialize)]
struct Head {
    #[serde(rename = "matchmark-baseline")]
    format: u32,
}

#[derive(Deserialize)]
struct Form {
    findings: Vec<Entry>,
}

/// What a baseline makes of findings.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Compared {
    /// What it does not list, in reading order.
    pub new: Vec<Finding>,
    /// What it lists, in reading order.
    pub known: Vec<Finding>,
}

impl Baseline {
    /// Returns the baseline that lists these findings.
    #[must_use]
    pub fn of(findings: &[Finding]) -> Self {
        Self { entries: findings.iter().filter(|finding| is_listed(finding)).map(entry).collect() }
    }

    /// Reads a baseline.
    ///
    /// # Errors
    /// A [`BaselineError`] where the bytes are none.
    pub fn parse(bytes: &[u8]) -> Result<Self, BaselineError> {
        let head: Head = serde_json::from_slice(bytes).map_err(|_| BaselineError::Foreign)?;
        if head.format > FORMAT {
            return Err(BaselineError::Newer(head.format));
        }
        let form: Form = serde_json::from_slice(bytes).map_err(|_| BaselineError::Foreign)?;
        Ok(Self { entries: form.findings.into_iter().collect() })
    }

    /// Returns it as JSON, sorted, one finding a line.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let line = |entry: &Entry| serde_json::to_string(entry).expect("an entry holds only text");
        let lines: Vec<String> = self.entries.iter().map(line).collect();
        let head = format!("\"matchmark-baseline\": {FORMAT},\n\"rule-set\": {RULE_SET}");
        let list = if lines.is_empty() { String::new() } else { format!("\n{}\n", lines.join(",\n")) };
        format!("{{\n{head},\n\"findings\": [{list}]\n}}\n").into_bytes()
    }

    /// Returns how many findings it lists.
    #[must_use]
    pub fn count(&self) -> usize {
        self.entries.len()
    }

    /// Sorts findings by whether they are listed; one that is listed for some of its tags is new for the others.
    #[must_use]
    pub fn compare(&self, findings: &[Finding]) -> Compared {
        let mut by_print: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        let mut for_all: BTreeSet<&str> = BTreeSet::new();
        for entry in &self.entries {
            by_print.entry(&entry.fingerprint).or_default().extend(entry.tags.iter().map(String::as_str));
            if entry.tags.is_empty() {
                for_all.insert(&entry.fingerprint);
            }
        }
        let mut compared = Compared::default();
        for finding in findings {
            let tags = by_print.get(finding.fingerprint.as_str()).filter(|_| is_listed(finding));
            let is_known = |tag: &Tag| tags.is_some_and(|tags| tags.contains(tag.as_str()));
            let (known, new): (BTreeSet<Tag>, BTreeSet<Tag>) = finding.tags.iter().cloned().partition(is_known);
            let is_known_for_all = is_listed(finding) && for_all.contains(finding.fingerprint.as_str());
            if finding.tags.is_empty() {
                (if is_known_for_all { &mut compared.known } else { &mut compared.new }).push(finding.clone());
                continue;
            }
            for (tags, part) in [(new, &mut compared.new), (known, &mut compared.known)] {
                if !tags.is_empty() {
                    part.push(Finding { tags, ..finding.clone() });
                }
            }
        }
        compared
    }

    /// Returns how many of the findings it lists are not among these.
    #[must_use]
    pub fn gone(&self, findings: &[Finding]) -> usize {
        let found: BTreeSet<&str> = findings.iter().map(|finding| finding.fingerprint.as_str()).collect();
        self.entries.iter().filter(|entry| !found.contains(entry.fingerprint.as_str())).count()
    }
}

fn is_listed(finding: &Finding) -> bool {
    ![EXPIRED_WAIVER, IDLE_WAIVER].contains(&finding.rule)
}

fn entry(finding: &Finding) -> Entry {
    Entry {
        document: finding.document.as_ref().map_or("", DocumentNumber::as_str).to_owned(),
        rule: finding.rule.0.to_owned(),
        message: finding.message.clone(),
        fingerprint: finding.fingerprint.clone(),
        tags: finding.tags.iter().map(ToString::to_string).collect(),
    }
}
