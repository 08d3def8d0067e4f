//! What a reading on an instrument means: a dial's total against the offset, the step against the limit; it knows no crib.

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
    fn a_step_shows_what_lies_on_it() {
        assert!(shows(decimal("0.05"), decimal("0.01")));
        assert!(shows(decimal("0.50"), decimal("0.05")));
        assert!(!shows(decimal("0.52"), decimal("0.05")));
        assert!(!shows(decimal("0.5"), decimal("0")));
    }
}
