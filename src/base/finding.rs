//! What is wrong in what the author wrote, as data; it does not print and does not know where files are.

use crate::base::limits;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::text::Span;
use std::collections::{BTreeMap, BTreeSet};

/// The stable name of a rule, in kebab case, named for the offence (`missing-value`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub &'static str);

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The outputs it names are not written, unless it says that it [`Stops::Nothing`].
    Error,
    /// It is built, but somebody should look.
    Warning,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// Returns the word printed for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// What an error keeps from being made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stops {
    /// The outputs of its document and tags.
    Outputs,
    /// Nothing: it is about the binder's book-keeping, and what it stands for is told by findings of its own.
    Nothing,
}

/// One mistake or remark, with everything a reader needs to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The rule it breaks.
    pub rule: RuleId,
    /// Its weight.
    pub severity: Severity,
    /// What is wrong: lower case, no full stop, names in backticks.
    pub message: String,
    /// Where; none where no text can be pointed at (a file that is missing).
    pub span: Option<Span>,
    /// A few words beside the place.
    pub label: String,
    /// Further places, each with a few words.
    pub also: Vec<(Span, String)>,
    /// What it would mean on the floor; may be empty.
    pub floor: String,
    /// How to mend it; may be empty.
    pub help: String,
    /// The document it is about; none where it touches every document.
    pub document: Option<DocumentNumber>,
    /// The tags it is true for; empty where it is true for all.
    pub tags: BTreeSet<Tag>,
    /// What it keeps from being made if it is an error.
    pub stops: Stops,
    /// What it is known by when lines have moved; empty until [`crate::base::fingerprint::mark`] has given it.
    pub fingerprint: String,
}

impl Finding {
    /// Returns an error of `rule` with a message and nothing else yet.
    pub fn error(rule: RuleId, message: impl Into<String>) -> Self {
        Self::new(rule, Severity::Error, message.into())
    }

    /// Returns a warning of `rule`.
    pub fn warning(rule: RuleId, message: impl Into<String>) -> Self {
        Self::new(rule, Severity::Warning, message.into())
    }

    /// Returns a note of `rule`.
    pub fn note(rule: RuleId, message: impl Into<String>) -> Self {
        Self::new(rule, Severity::Note, message.into())
    }

    fn new(rule: RuleId, severity: Severity, message: String) -> Self {
        Self {
            rule,
            severity,
            message,
            span: None,
            label: String::new(),
            also: Vec::new(),
            floor: String::new(),
            help: String::new(),
            document: None,
            tags: BTreeSet::new(),
            stops: Stops::Outputs,
            fingerprint: String::new(),
        }
    }

    /// Sets the place.
    #[must_use]
    pub fn at(mut self, span: Span) -> Self {
        self.span = Some(span);
        self
    }

    /// Sets the words beside the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Adds a further place.
    #[must_use]
    pub fn also(mut self, span: Span, words: impl Into<String>) -> Self {
        self.also.push((span, words.into()));
        self
    }

    /// Sets what it would mean on the floor.
    #[must_use]
    pub fn floor(mut self, floor: impl Into<String>) -> Self {
        self.floor = floor.into();
        self
    }

    /// Sets how to mend it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }

    /// Sets the document it is about.
    #[must_use]
    pub fn document(mut self, document: &DocumentNumber) -> Self {
        self.document = Some(document.clone());
        self
    }

    /// Sets the tags it is true for.
    #[must_use]
    pub fn tags(mut self, tags: impl IntoIterator<Item = Tag>) -> Self {
        self.tags = tags.into_iter().collect();
        self
    }

    /// Lets every output be made, whatever its weight.
    #[must_use]
    pub fn stops_nothing(mut self) -> Self {
        self.stops = Stops::Nothing;
        self
    }

    /// Returns whether this finding keeps the output of `tag` in `document` from being written.
    #[must_use]
    pub fn suppresses(&self, document: &DocumentNumber, tag: &Tag) -> bool {
        self.severity == Severity::Error
            && self.stops == Stops::Outputs
            && self.document.as_ref().is_none_or(|own| own == document)
            && (self.tags.is_empty() || self.tags.contains(tag))
    }
}

/// Findings of one file, each rule told at most [`limits::FINDINGS`] times; what is beyond is counted and let go.
#[derive(Clone, Debug, Default)]
pub struct Bounded {
    kept: Vec<Finding>,
    counts: BTreeMap<RuleId, usize>,
}

impl Bounded {
    /// Takes a finding in, or only counts it where its rule was told often enough.
    pub fn push(&mut self, finding: Finding) {
        let count = self.counts.entry(finding.rule).or_default();
        *count += 1;
        if *count <= limits::FINDINGS {
            self.kept.push(finding);
        }
    }

    /// Takes in what another reader of the same file found.
    pub fn absorb(&mut self, other: Self) {
        let mut beyond = other.counts;
        for finding in other.kept {
            if let Some(count) = beyond.get_mut(&finding.rule) {
                *count -= 1;
            }
            self.push(finding);
        }
        for (rule, count) in beyond {
            *self.counts.entry(rule).or_default() += count;
        }
    }

    /// Returns how many were found, the ones let go included.
    #[must_use]
    pub fn count(&self) -> usize {
        self.counts.values().sum()
    }

    /// Returns the findings, and for each rule that was told too often one that says how many more there are.
    #[must_use]
    pub fn told(self) -> Vec<Finding> {
        let mut told = self.kept;
        for (rule, count) in self.counts {
            let more = count.saturating_sub(limits::FINDINGS);
            let last = told.iter().rfind(|finding| finding.rule == rule).filter(|_| more > 0).cloned();
            told.extend(last.map(|last| Finding {
                message: format!("{more} more of this kind in this file are not listed"),
                label: String::new(),
                also: Vec::new(),
                help: "mend the ones that are listed and check again".to_owned(),
                ..last
            }));
        }
        told
    }
}

impl Extend<Finding> for Bounded {
    fn extend<T: IntoIterator<Item = Finding>>(&mut self, findings: T) {
        findings.into_iter().for_each(|finding| self.push(finding));
    }
}

/// Returns the findings in reading order: by place, then rule, then message; those without a place come first.
#[must_use]
pub fn sorted(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by(|a, b| {
        (a.span, a.severity, a.rule, &a.message, &a.tags).cmp(&(b.span, b.severity, b.rule, &b.message, &b.tags))
    });
    findings.dedup();
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_beyond_the_limit_is_counted_and_not_listed() {
        let rule = RuleId("brace-syntax");
        let mut first = Bounded::default();
        first.extend((0..70).map(|_| Finding::error(rule, "x")));
        let mut all = Bounded::default();
        all.push(Finding::error(RuleId("raw-html"), "y"));
        all.push(Finding::error(rule, "x"));
        all.absorb(first);
        assert_eq!(all.count(), 72);
        let told = all.told();
        assert_eq!(told.len(), 1 + limits::FINDINGS + 1);
        assert_eq!(told.last().expect("there are some").message, "21 more of this kind in this file are not listed");
    }
}
