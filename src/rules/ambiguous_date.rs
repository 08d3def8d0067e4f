//! A date that can be read in two ways.
//!
//! ## What is found
//! A date in figures, such as `03/04/27` or `3.4.2027`, that is another day when day, month and year are taken in
//! another order.
//!
//! ## On the floor
//! The third of April or the fourth of March: a calibration or a shelf life is judged by the wrong day. That is why it
//! is a warning.
//!
//! ## How to mend it
//! Write `2027-04-03` (ISO 8601) or `3 Apr 2027`.

use crate::analysis::wording::Writing;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::AMBIGUOUS_DATE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: AMBIGUOUS_DATE,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("ambiguous_date.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        for at in (0..saying.words.len()).filter(|at| readings(saying.word(*at)) > 1) {
            let finding = Finding::warning(AMBIGUOUS_DATE, format!("`{}` can be two days", saying.word(at)))
                .at(saying.span(at..at + 1))
                .floor("day and month are taken the wrong way round")
                .help("write `2027-04-03`, or the month as a word");
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}

/// Returns as how many different days a text can be read.
fn readings(text: &str) -> usize {
    let Some(mark) = text.chars().find(|c| matches!(c, '/' | '.' | '-')) else { return 0 };
    let parts: Vec<&str> = text.split(mark).collect();
    let is_figures = |part: &&str| (1..=2).contains(&part.len()) || part.len() == 4;
    let digits = parts.iter().all(|part| is_figures(part) && part.bytes().all(|byte| byte.is_ascii_digit()));
    let [a, b, c] = parts.as_slice() else { return 0 };
    if !digits {
        return 0;
    }
    let mut days: Vec<(&str, u32, u32)> = [(c, b, a), (c, a, b), (a, b, c)]
        .into_iter()
        // A year has two digits or four, and is never the short part of a section number (`4.1.2`).
        .filter(|(year, month, day)| year.len() > 1 && month.len() < 3 && day.len() < 3)
        .filter_map(|(year, month, day)| Some((*year, month.parse().ok()?, day.parse().ok()?)))
        .filter(|(_, month, day)| (1..=12).contains(month) && (1..=31).contains(day))
        .collect();
    days.sort_unstable();
    days.dedup();
    days.len()
}

#[cfg(test)]
mod tests {
    use super::readings;

    #[test]
    fn a_date_is_ambiguous_where_another_order_is_another_day() {
        for (text, count) in [
            ("03/04/27", 3),
            ("3.4.2027", 2),
            ("03-04-2027", 2),
            ("2027-04-03", 1),
            ("25/12/2027", 1),
            ("4/4/2027", 1),
            ("4.1.2", 0),
            ("1/2", 0),
            ("192.168.0.1", 0),
            ("10.20.300", 0),
        ] {
            assert_eq!(readings(text), count, "{text}");
        }
    }
}
