//! A limit written as a figure plus or minus another.
//!
//! ## What is found
//! `±`, `+/-` or `plus or minus` in a sentence that is worked to.
//!
//! ## On the floor
//! The fitter has to work out both ends, in the noise and with gloves on; a mistake in the head is not seen on the
//! paper.
//!
//! ## How to mend it
//! Write both ends, rounded inward to what the instrument shows: `24.7 to 25.3 mm`. (DOE-STD-1029-92, chapters 3 and 4.)
//! It is a warning because a wrong end is a wrong limit.

use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::PLUS_MINUS_LIMIT;
use crate::rules::{Found, Rule};
use std::ops::Range;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: PLUS_MINUS_LIMIT,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("plus_minus_limit.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        let Some(range) = plus_minus(saying) else { continue };
        let finding = Finding::warning(
            PLUS_MINUS_LIMIT,
            format!("`{}` is no limit one can read off", saying.shown(range.clone())),
        )
        .at(saying.span(range))
        .floor("both ends have to be worked out in the head, and a mistake there is not seen on the paper")
        .help("write both ends, rounded inward to what the instrument shows: `24.7 to 25.3 mm`");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Returns the tokens of a plus-minus sign with the figure behind it.
fn plus_minus(saying: &Saying<'_>) -> Option<Range<usize>> {
    let sign = saying.words.iter().position(|word| word.contains('±')).map(|at| at..at + 1);
    let sign = sign.or_else(|| {
        saying.find(&["+ / -", "+ / −", "plus or minus", "plus / minus", "plus/minus"]).map(|(_, range)| range)
    })?;
    let with_number = sign.end + usize::from(saying.number(sign.end).is_some());
    Some(sign.start..with_number + usize::from(saying.unit(with_number).is_some()))
}

#[cfg(test)]
mod tests {
    use super::plus_minus;
    use crate::analysis::wording::said;

    #[test]
    fn each_way_to_write_it_is_seen() {
        let seen = |text: &str| plus_minus(&said(text)).map(|range| said(text).shown(range));
        assert_eq!(seen("Set it to 25.0 ± 0.3 mm.").as_deref(), Some("± 0.3 mm"));
        assert_eq!(seen("Set it to 25±0.3 mm.").as_deref(), Some("25±0.3 mm"));
        assert_eq!(seen("Set it to 25 +/- 0.3 mm.").as_deref(), Some("+/- 0.3 mm"));
        assert_eq!(seen("Set it to 25 mm plus or minus 0.3.").as_deref(), Some("plus or minus 0.3"));
        assert_eq!(seen("Connect the plus and the minus wire."), None);
    }
}
