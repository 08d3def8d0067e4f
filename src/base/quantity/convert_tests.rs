//! What a conversion keeps, and what it refuses; factors against published ones stand in `tests/published`.

use super::*;
use proptest::prelude::*;
use std::str::FromStr as _;

fn quantity(text: &str) -> Quantity {
    Quantity::parse(text).expect(text)
}

fn unit(text: &str) -> Unit {
    Unit::parse(text).expect(text)
}

fn shown(from: &str, to: &str) -> String {
    quantity(from).in_unit(unit(to)).map_or_else(|fault| fault.to_string(), |it| it.to_string().replace('\u{a0}', " "))
}

/// 36 ft as 11.0 m is the example of NIST SP 811, B.7.2 (from memory).
#[test]
fn significant_digits_are_kept() {
    for (from, to, wanted) in [
        ("36 ft", "m", "11.0 m"),
        ("25 lbf·ft", "N·m", "34 N·m"),
        ("25.0 lbf·ft", "N·m", "33.9 N·m"),
        ("44 N·m", "lbf·ft", "32.5 lbf·ft"),
        ("1.10 N·m", "N·m", "1.10 N·m"),
        ("0.0020 in", "mm", "0.051 mm"),
        ("3 bar", "psi", "44 psi"),
        ("0 N·m", "lbf·ft", "0 lbf·ft"),
        ("85 °C", "°F", "185 °F"),
        ("-40.0 °F", "°C", "-40.0 °C"),
        ("10 Δ°C", "Δ°F", "18 Δ°F"),
        ("1500 rpm", "Hz", "25.00 Hz"),
    ] {
        assert_eq!(shown(from, to), wanted, "{from} in {to}");
    }
}

#[test]
fn what_is_not_the_same_thing_is_refused() {
    assert!(shown("44 N·m", "mm").contains("is a torque"));
    assert!(shown("10 Δ°C", "°F").contains("one is never the other"));
    assert!(shown("6 months", "d").contains("the calendar decides"));
    assert!(shown("-300 °C", "°F").contains("below absolute zero"));
    assert!(shown("-1 K", "°C").contains("below absolute zero"));
    assert!(shown("-2 kg", "lb").contains("less than nothing"));
}

#[test]
fn limits_are_rounded_inward_when_they_are_converted() {
    let inward = |text: &str, to: &str, step: &str| {
        let limit = Limit::parse(text).expect(text).inward(unit(to), Decimal::from_str(step).expect(step));
        limit.map_or_else(|fault| fault.to_string(), |limit| limit.to_string().replace('\u{a0}', " "))
    };
    assert_eq!(inward("40 to 50 N·m", "lbf·ft", "0.5"), "30.0 to 36.5 lbf·ft");
    assert_eq!(inward("50 N·m or less", "lbf·ft", "0.1"), "36.8 lbf·ft or less");
    assert_eq!(inward("50 N·m or more", "lbf·ft", "0.1"), "36.9 lbf·ft or more");
    assert_eq!(inward("1 in or less", "mm", "0.1"), "25.4 mm or less");
    assert!(inward("25.1 to 25.2 mm", "in", "0.1").contains("no step of"));
    assert!(inward("exactly 1 mm", "in", "0.01").contains("no step of"));
    assert_eq!(inward("exactly 0 bar", "psi", "0.1"), "exactly 0.0 psi");
    assert!(inward("1 in or less", "mm", "0").contains("above zero"));
}

/// The largest number that can be written fits between all units, and comes back as it was.
#[test]
fn nothing_that_can_be_written_overflows() {
    for from in Unit::all() {
        for to in Unit::all().filter(|to| to.dimension() == from.dimension()) {
            let number = Decimal::from_str("999999999.999999999").expect("typed by hand");
            match (Quantity { number, unit: from }.exactly_in(to), from.scale().and(to.scale())) {
                (Ok(_), _) | (Err(ConversionFault::Calendar(_)), None) => {}
                (other, _) => panic!("{from:?} in {to:?}: {other:?}"),
            }
        }
    }
}

fn any_number() -> impl Strategy<Value = Decimal> {
    (-999_999_999_i64..=999_999_999, 0_u32..=6).prop_map(|(mantissa, scale)| Decimal::new(mantissa, scale))
}

fn any_pair() -> impl Strategy<Value = (Unit, Unit)> {
    let convertible: Vec<Unit> = Unit::all().filter(|unit| unit.scale().is_some()).collect();
    let pairs: Vec<(Unit, Unit)> = convertible
        .iter()
        .flat_map(|from| convertible.iter().map(move |to| (*from, *to)))
        .filter(|(from, to)| from.dimension() == to.dimension())
        .collect();
    proptest::sample::select(pairs)
}

proptest! {
    /// There and back gives the number that was written, exactly: nothing is lost before somebody rounds.
    #[test]
    fn units_round_trip(number in any_number(), (from, to) in any_pair()) {
        let Ok(there) = (Quantity { number, unit: from }).exactly_in(to) else { return Ok(()) };
        let (from, to) = (from.scale().expect("convertible"), to.scale().expect("convertible"));
        let shift = Exact::new(to.offset.0, to.offset.1).and_then(|o| o.plus((-from.offset.0, from.offset.1)));
        let back = there.times(to.factor).and_then(|base| {
            let shift = shift?;
            base.plus((shift.numerator, shift.denominator))?.times((from.factor.1, from.factor.0))
        });
        prop_assert_eq!(back, Some(Exact::of(number)));
    }

    /// More stays more, in every unit.
    #[test]
    fn conversion_is_monotone(a in any_number(), b in any_number(), (from, to) in any_pair()) {
        let exact = |number| (Quantity { number, unit: from }).exactly_in(to);
        let (Ok(first), Ok(second)) = (exact(a), exact(b)) else { return Ok(()) };
        let (first, second) = (first.rounded(6, Rounding::Down), second.rounded(6, Rounding::Down));
        let (Some(first), Some(second)) = (first, second) else { return Ok(()) };
        let keeps_order = if a <= b { first <= second } else { first >= second };
        prop_assert!(keeps_order);
    }

    /// A limit that was rounded inward lies within what it was, and within a step of it.
    #[test]
    fn rounding_inward_never_widens(low in 1_i64..999_999, width in 0_i64..999_999, scale in 0_u32..4, (from, to) in any_pair()) {
        let step = Decimal::new(1, scale);
        let range = Range { low: Decimal::new(low, 3), high: Decimal::new(low + width, 3), unit: from };
        let Ok(inward) = range.inward(to, step) else { return Ok(()) };
        let exact = |number| (Quantity { number, unit: from }).exactly_in(to).expect("it was converted");
        let at = |number: Decimal| Exact::of(number);
        let not_above = |a: Exact, b: Exact| {
            let difference = b.plus((-a.numerator, a.denominator));
            difference.is_none_or(|difference| difference.numerator >= 0)
        };
        prop_assert!(not_above(exact(range.low), at(inward.low)));
        prop_assert!(not_above(at(inward.high), exact(range.high)));
        prop_assert!(not_above(at(inward.low - step), exact(range.low)));
    }
}
