//! A figure that the reader has to work out.
//!
//! ## What is found
//! A multiplication, addition or share that stands in a sentence instead of its result (`63 × 3.125`, `80 % of {closure
//! torque}`, `subtract`, `calculate`). Sizes such as `M8 × 25` and amounts such as `2 × O-ring` are none.
//!
//! ## On the floor
//! Nobody multiplies by 3.125 in the noise; the result stands nowhere, so nobody can see that it is wrong. That is why
//! it is a warning. (DOE-STD-1029-92, chapters 3 and 4: the reader does not compute.)
//!
//! ## How to mend it
//! Compute it once: a `computed` limit of the family is worked out for each machine and rounded inward. For a share of a
//! torque, give the joint its `stages`.

use crate::analysis::wording::VALUE;
use crate::analysis::wording::{Saying, Writing};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::ARITHMETIC_LEFT_TO_READER;
use crate::rules::{Found, Rule};
use std::ops::Range;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ARITHMETIC_LEFT_TO_READER,
    severity: Severity::Warning,
    found: Found::Wording(check),
    source: include_str!("arithmetic_left_to_reader.rs"),
};

fn check(writing: &Writing<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for saying in writing.sayings.iter().filter(|saying| saying.place.is_worked_to()) {
        let Some(range) = arithmetic(saying) else { continue };
        let message = format!("`{}` leaves arithmetic to the reader", saying.shown(range.clone()));
        let finding = Finding::warning(ARITHMETIC_LEFT_TO_READER, message)
            .at(saying.span(range))
            .floor("the result stands nowhere, so nobody can see that it is wrong")
            .help("let it be computed under `computed:` of the family, or give the joint its stages");
        findings.push(writing.told(saying, finding));
    }
    findings
}

/// Orders to work something out.
const ORDERS: [&str; 9] =
    ["calculate", "compute", "deduct", "divide", "multiply", "subtract", "work out", "add up", "minus the"];
/// Words for a figure of which a share or multiple could be taken.
const FIGURES: [&str; 15] = [
    "torque",
    "value",
    "length",
    "pressure",
    "speed",
    "clearance",
    "gap",
    "thickness",
    "diameter",
    "reading",
    "limit",
    "figure",
    "number",
    "preload",
    VALUE,
];

/// Returns the tokens of a figure that is still to be worked out.
fn arithmetic(saying: &Saying<'_>) -> Option<Range<usize>> {
    let order = saying.find(&ORDERS).map(|(_, range)| range);
    order.or_else(|| (0..saying.words.len()).find_map(|at| product(saying, at).or_else(|| share(saying, at))))
}

/// A sign between two things of which at least one is a value, and the other a figure.
fn product(saying: &Saying<'_>, at: usize) -> Option<Range<usize>> {
    let sign = saying.word(at);
    let is_sign = matches!(sign, "×" | "x" | "*" | "÷" | "+" | "−" | "plus" | "minus" | "times");
    if !is_sign || at == 0 || at + 1 >= saying.words.len() {
        return None;
    }
    let is_plus_minus = saying.word(at + 1) == "/";
    let left = at - 1 - usize::from(at > 1 && saying.number(at - 2).is_some() && saying.unit(at - 1).is_some());
    let (before, after) = (operand(saying, left), operand(saying, at + 1));
    let worked = match (before, after) {
        // Two plain numbers are a size, unless one of them is a fraction of something.
        (Operand::Number(a), Operand::Number(b)) => sign != "x" && sign != "×" || a.contains('.') != b.contains('.'),
        (Operand::Named, Operand::Number(_)) | (Operand::Number(_) | Operand::Named, Operand::Named) => true,
        _ => false,
    };
    (worked && !is_plus_minus).then_some(left..at + 2)
}

enum Operand<'s> {
    Number(&'s str),
    /// A value, or a single letter that stands for one (`N × 3.125`).
    Named,
    Other,
}

fn operand<'s>(saying: &'s Saying<'_>, at: usize) -> Operand<'s> {
    if let Some(number) = saying.number(at) {
        return Operand::Number(number);
    }
    let word = saying.word(at);
    let is_letter = word.chars().count() == 1 && word.chars().all(char::is_alphabetic);
    if word == VALUE || is_letter { Operand::Named } else { Operand::Other }
}

/// `half of the torque`, `80 % of {closure torque}`, `twice the gap`.
fn share(saying: &Saying<'_>, at: usize) -> Option<Range<usize>> {
    let is_share =
        matches!(saying.word(at), "half" | "twice" | "double" | "%" | "percent" | "third" | "quarter" | "thirds");
    if !is_share {
        return None;
    }
    let mut end = at + 1;
    while matches!(saying.word(end), "of" | "the" | "final" | "full" | "specified" | "printed" | "given") {
        end += 1;
    }
    let is_percent = matches!(saying.word(at), "%" | "percent");
    let from = at - usize::from(is_percent && at > 0);
    let stands_apart = end > at + 1 || saying.word(end) == VALUE;
    let word = saying.word(end);
    let named = FIGURES.contains(&word) || FIGURES.contains(&saying.word(end + 1)) && !saying.is_mark(end);
    (stands_apart && named).then_some(from..end + 1)
}

#[cfg(test)]
mod tests {
    use super::arithmetic;
    use crate::analysis::wording::said;

    #[test]
    fn what_is_to_be_worked_out_is_told_from_a_size() {
        for (text, wanted) in [
            ("The limit is N × 3.125 mm.", Some("N × 3.125")),
            ("The limit is {plates} × 3.125 ± 0.075 mm.", Some("{plates} × 3.125")),
            ("Set it to 63 × 3.125 mm.", Some("63 × 3.125")),
            ("Tighten it to 80 % of {closure torque}.", Some("80 % of {closure torque}")),
            ("Tighten it to half of the final torque.", Some("half of the final torque")),
            ("Set it to {gap} + 0.2 mm.", Some("{gap} + 0.2")),
            ("Subtract the first reading from the second.", Some("Subtract")),
            ("Fit two M8 × 25 screws.", None),
            ("Fit 2 × O-ring and a plate of 20 × 30 mm.", None),
            ("Tighten it in a cross pattern, first to half, then to {closure torque}.", None),
            ("Turn it one quarter turn.", None),
            ("Add 2 L of oil.", None),
            ("Turn the shaft half a turn.", None),
            ("Fit the upper half of the casing.", None),
        ] {
            let found = arithmetic(&said(text)).map(|range| said(text).shown(range));
            assert_eq!(found.as_deref(), wanted, "{text}");
        }
    }
}
