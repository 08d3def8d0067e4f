//! Findings one a line, for programs that read lines: `file:line:col: severity: message [rule]`; it prints nothing.

use crate::base::finding::Finding;
use crate::base::name::Tag;
use crate::base::path::BinderPath;
use crate::base::text::Texts;
use crate::report::clean;
use crate::report::human::Look;
use std::fmt::Write as _;

/// Returns one line for each finding, in the order they come; where a finding has no place, the binder's first file
/// stands for it.
#[must_use]
pub fn findings(findings: &[Finding], texts: &Texts, look: Look<'_>) -> String {
    let mut lines = String::new();
    for finding in findings {
        let place = match finding.span.map(|span| texts.locate(span)) {
            Some((path, at)) => format!("{}:{}:{}", look.path(path), at.line, at.column),
            None => format!("{}:1:1", look.path(&first_file())),
        };
        let tags: Vec<&str> = finding.tags.iter().map(Tag::as_str).collect();
        let tags = if tags.is_empty() { String::new() } else { format!(" ({})", tags.join(" ")) };
        let message = clean::line(&finding.message);
        let _ = writeln!(
            lines,
            "{place}: {}: {message}{} [{}]",
            finding.severity.word(),
            clean::line(&tags),
            finding.rule.0
        );
    }
    lines
}

/// Returns the file that stands for a binder as a whole.
fn first_file() -> BinderPath {
    BinderPath::parse("binder.yaml").expect("a plain name")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::finding::RuleId;
    use crate::base::text::Span;
    use crate::report::human::Paint;

    #[test]
    fn one_finding_is_one_line_whatever_it_holds() {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.yaml").unwrap(), "x\nyz\n".to_owned());
        let all = [
            Finding::error(RuleId("missing-value"), "no\nvalue").at(Span::new(file, 3, 4)).tags([Tag::new("P-1")]),
            Finding::note(RuleId("unused-option"), "size"),
        ];
        assert_eq!(
            findings(&all, &texts, Look { paint: Paint::Plain, root: "procedures/creamery/" }),
            "procedures/creamery/a.yaml:2:2: error: no value (P-1) [missing-value]\nprocedures/creamery/binder.yaml:1:1: note: size [unused-option]\n"
        );
    }
}
