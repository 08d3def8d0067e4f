//! Steps that are left out as the reverse of others.
//!
//! ## What is found
//! `In reverse order`, `reverse of removal`, `the opposite order`. The order in which fasteners are loosened or
//! tightened may be called reverse.
//!
//! ## On the floor
//! Everything that is not the reverse of removal is left out: what is new, what is greased, the torque, the measurement,
//! the hold. That is why it is a warning.
//!
//! ## How to mend it
//! Write the steps out. They are short, and each of their values is filled in for the machine.

use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::REVERSE_ORDER;
use crate::rules::{Found, Rule};
use std::ops::Range;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: REVERSE_ORDER,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("reverse_order.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.is_worked_to()) {
        let Some(range) = reverse(saying) else { continue };
        let message = format!("`{}` leaves the steps out", saying.shown(range.clone()));
        let finding = Finding::warning(REVERSE_ORDER, message)
            .at(saying.span(range))
            .floor("new parts, grease, torques and holds are no reverse of anything, and are forgotten")
            .help("write the steps out");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Words of the order in which fasteners are turned.
const TURNED: [&str; 9] =
    ["loosen", "loosening", "slacken", "slackening", "tighten", "tightening", "untighten", "sequence", "pattern"];

/// Returns the words that say that steps are the reverse of others.
fn reverse(saying: &Saying<'_>) -> Option<Range<usize>> {
    let (_, range) = saying.find(&[
        "reverse order",
        "reverse the order",
        "reversed order",
        "reverse sequence",
        "reverse of",
        "reverse the removal",
        "reverse the disassembly",
        "reverse the dismantling",
        "reverse removal",
        "reverse procedure",
        "reverse the procedure",
        "reverse the steps",
        "reverse manner",
        "opposite order",
        "reversal of",
        "inverse order",
        "in reverse",
    ])?;
    let is_gear =
        saying.word(range.end) == "gear" || saying.has(&["gear", "polarity", "direction", "flow", "rotation"]);
    (!saying.has(&TURNED) && !is_gear).then_some(range)
}

#[cfg(test)]
mod tests {
    use super::reverse;
    use crate::analysis::wording::said;

    #[test]
    fn only_steps_are_left_out() {
        for (text, wanted) in [
            ("Refit the parts in reverse order.", true),
            ("Refitting is the reverse of removal.", true),
            ("Assemble in the opposite order.", true),
            ("Loosen the bolts in the reverse order of the numbers.", false),
            ("Run the belt in reverse direction.", false),
            ("Turn the lever to reverse.", false),
        ] {
            assert_eq!(reverse(&said(text)).is_some(), wanted, "{text}");
        }
    }
}
