//! What is wrong in what the author wrote, as data; it does not print and does not know where files are.

use crate::base::name::{DocumentNumber, Tag};
use crate::base::text::Span;
use std::collections::BTreeSet;

/// The stable name of a rule, in kebab case, named for the offence (`missing-value`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub &'static str);

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The outputs it names are not written.
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

    /// Returns whether this finding keeps the output of `tag` in `document` from being written.
    #[must_use]
    pub fn suppresses(&self, document: &DocumentNumber, tag: &Tag) -> bool {
        self.severity == Severity::Error
            && self.document.as_ref().is_none_or(|own| own == document)
            && (self.tags.is_empty() || self.tags.contains(tag))
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
