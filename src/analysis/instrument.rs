//! What a reading on an instrument means: a dial's total against the offset, the step against the limit; it knows no crib.

use crate::base::quantity::{Limit, Quantity, Range};
use rust_decimal::Decimal;

/// Returns the total that a rim dial shows over one turn for an offset of two shafts: twice the offset.
///
/// Geometry: the dial goes from `-offset` to `+offset`. Most alignment mistakes on paper are this factor of two (common
/// practice, no source).
#[must_use]
pub fn dial_total(offset: Decimal) -> Decimal {
    (offset + offset).abs()
}

/// Returns the offset behind the total that a rim dial shows over one turn: half of it.
#[must_use]
pub fn offset_of_dial_total(total: Decimal) -> Decimal {
    total.abs() / Decimal::TWO
}

/// Returns what a dial shows over one turn where an offset is at the ends of its limit. A total has no sign: of an offset that
/// may lie on either side, the nearer end counts; an open limit below zero is none.
#[must_use]
pub fn total_of_offset(limit: Limit) -> Option<Limit> {
    let total = |own: Quantity| Quantity { number: dial_total(own.number), unit: own.unit };
    Some(match limit {
        Limit::AtMost(end) | Limit::AtLeast(end) if end.number < Decimal::ZERO => return None,
        Limit::AtMost(high) => Limit::AtMost(total(high)),
        Limit::AtLeast(low) => Limit::AtLeast(total(low)),
        Limit::Exactly(only) => Limit::Exactly(total(only)),
        Limit::Count(_) => return None,
        Limit::Within(Range { low, high, unit }) => {
            let (one, two) = (dial_total(low), dial_total(high));
            if low < Decimal::ZERO && high >= Decimal::ZERO {
                return Some(Limit::AtMost(Quantity { number: one.min(two), unit }));
            }
            Limit::Within(Range { low: one.min(two), high: one.max(two), unit })
        }
    })
}

/// Returns whether an instrument's step shows a figure: it is not coarser than the last digit, or the figure lies on a step.
///
/// Common practice, no source.
#[must_use]
pub fn shows(figure: Decimal, step: Decimal) -> bool {
    step > Decimal::ZERO && (step <= Decimal::new(1, figure.scale()) || (figure % step).is_zero())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::str::FromStr as _;

    fn decimal(text: &str) -> Decimal {
        Decimal::from_str(text).expect(text)
    }

    #[test]
    fn a_dial_shows_twice_the_offset() {
        assert_eq!(dial_total(decimal("0.09")), decimal("0.18"));
        assert_eq!(dial_total(decimal("-0.05")), decimal("0.10"));
        assert_eq!(offset_of_dial_total(decimal("0.18")), decimal("0.09"));
    }

    #[test]
    fn a_limit_of_an_offset_is_doubled_and_has_no_sign() {
        let total = |text| {
            let limit = total_of_offset(Limit::parse(text).expect("typed by hand"));
            limit.map_or_else(|| "none".to_owned(), |limit| limit.to_string().replace('\u{a0}', " "))
        };
        assert_eq!(total("0.05 mm or less"), "0.10 mm or less");
        assert_eq!(total("0.02 to 0.05 mm"), "0.04 to 0.10 mm");
        assert_eq!(total("-0.05 to 0.05 mm"), "0.10 mm or less");
        assert_eq!(total("-0.03 to 0.05 mm"), "0.06 mm or less");
        assert_eq!(total("-0.05 to -0.02 mm"), "0.04 to 0.10 mm");
        assert_eq!(total("exactly 0.05 mm"), "exactly 0.10 mm");
        assert_eq!(total("-0.05 mm or more"), "none");
        assert_eq!(total("exactly 4"), "none");
    }

    #[test]
    fn a_step_shows_what_lies_on_it() {
        assert!(shows(decimal("0.05"), decimal("0.01")));
        assert!(shows(decimal("0.50"), decimal("0.05")));
        assert!(!shows(decimal("0.52"), decimal("0.05")));
        assert!(!shows(decimal("0.5"), decimal("0")));
    }
}
