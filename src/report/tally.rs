//! How many findings there are of each weight, and the line that says so; it does not decide what they lead to.

use crate::base::finding::{Finding, Severity};

/// Findings counted by weight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Serialize)]
pub struct Tally {
    /// How many errors.
    pub errors: usize,
    /// How many warnings.
    pub warnings: usize,
    /// How many notes.
    pub notes: usize,
}

impl Tally {
    /// Returns the counts of these findings.
    #[must_use]
    pub fn of(findings: &[Finding]) -> Self {
        let count = |severity: Severity| findings.iter().filter(|finding| finding.severity == severity).count();
        Self { errors: count(Severity::Error), warnings: count(Severity::Warning), notes: count(Severity::Note) }
    }

    /// Returns the counts in words: `3 errors, 1 warning, 2 notes`, or `nothing found`.
    #[must_use]
    pub fn words(self) -> String {
        let parts = [(self.errors, "error"), (self.warnings, "warning"), (self.notes, "note")];
        let said: Vec<String> = parts.into_iter().filter(|(n, _)| *n > 0).map(|(n, word)| counted(n, word)).collect();
        if said.is_empty() { "nothing found".to_owned() } else { said.join(", ") }
    }
}

/// Returns a number with its noun, in the plural where it is not one.
#[must_use]
pub fn counted(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::finding::RuleId;

    #[test]
    fn the_counts_are_said_in_words() {
        let rule = RuleId("missing-value");
        let findings = [Finding::note(rule, "a"), Finding::error(rule, "b"), Finding::note(rule, "c")];
        assert_eq!(Tally::of(&findings).words(), "1 error, 2 notes");
        assert_eq!(Tally::of(&[]).words(), "nothing found");
    }
}
