//! What a check has to tell, sorted by what became of it: found, accepted, known before; it sorts nothing itself.

use crate::base::finding::{Finding, RuleId, Severity};
use crate::base::text::Texts;
use crate::model::waiver::Waived;

/// Everything a check tells.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The texts the findings point into.
    pub texts: &'a Texts,
    /// The number of the set of rules.
    pub rule_set: u32,
    /// What is found and counts.
    pub findings: &'a [Finding],
    /// What is found and accepted by a waiver.
    pub waived: &'a [Waived],
    /// What a baseline makes of it; none where none was given.
    pub baseline: Option<Baseline<'a>>,
    /// Whether everything could be looked at.
    pub reach: Reach,
}

/// What a baseline makes of the findings.
#[derive(Clone, Copy, Debug)]
pub struct Baseline<'a> {
    /// The findings it lists; they do not count.
    pub known: &'a [Finding],
    /// How many of those it lists are no longer found.
    pub gone: usize,
}

/// How far a check came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Everything was looked at.
    Whole,
    /// A register cannot be read, so most was not looked at.
    Cut,
}

/// A rule with its manual page, as it is told beside its findings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RulePage {
    /// Its stable name.
    pub id: RuleId,
    /// How much its findings weigh.
    pub severity: Severity,
    /// Its first sentence.
    pub title: String,
    /// The page, in Markdown.
    pub page: String,
    /// Whether a waiver can accept what it finds.
    pub waivable: bool,
}
