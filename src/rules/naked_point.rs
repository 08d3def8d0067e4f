//! A decimal point without a digit before it.
//!
//! ## What is found
//! `.5` in a sentence. In a register it is refused as well.
//!
//! ## On the floor
//! A point that is lost under grease or in a copy makes 5 of .5: ten times the value. That is why it is an error.
//!
//! ## How to mend it
//! Write `0.5`.

use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::NAKED_POINT;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: NAKED_POINT,
    severity: Severity::Error,
    found: Found::Wording(check),
    source: include_str!("naked_point.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in &writing.sayings {
        for at in naked(saying) {
            let number = saying.shown(at..at + 1);
            let finding =
                Finding::error(NAKED_POINT, format!("the decimal point of `{number}` has no digit before it"))
                    .at(saying.span(at..at + 1))
                    .floor("a point that is lost makes it ten times as much, or more")
                    .help(format!("write `0{number}`"));
            findings.push(writing.told(saying, finding));
        }
    }
    findings
}

/// Returns the numbers that begin with their point; one that touches what stands before it is part of a name (`V.5`).
fn naked(saying: &Saying<'_>) -> Vec<usize> {
    let begins = |at: &usize| saying.number(*at).is_some_and(|number| number.starts_with('.'));
    let stands_alone =
        |at: &usize| !saying.touches_before(*at) || matches!(saying.word(at - 1), "(" | "-" | "<" | ">" | "=");
    (0..saying.words.len()).filter(begins).filter(stands_alone).collect()
}

#[cfg(test)]
mod tests {
    use super::naked;
    use crate::analysis::wording::said;

    #[test]
    fn only_a_number_that_begins_with_its_point_is_naked() {
        assert_eq!(naked(&said("Set it to .5 mm.")), [3]);
        assert_eq!(naked(&said("Set it to (.5 mm).")), [4]);
        assert!(naked(&said("Set it to 0.5 mm with fig.5 here.")).is_empty());
        assert!(naked(&said("Stop. 5 mm are left.")).is_empty());
    }
}
