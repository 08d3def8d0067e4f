//! Quantities that people read, as decimals with a unit; it never guesses a unit, a decimal mark or a missing digit.

mod convert;
mod keyed;
mod kind;
mod unit;

pub use crate::base::quantity::convert::{ConversionFault, Exact};
pub use crate::base::quantity::kind::{
    Angle, Count, Force, KindFault, Length, Mass, Pressure, Stress, Temperature, Time, Torque, Volume,
};
pub use crate::base::quantity::unit::{Dimension, Unit};

use rust_decimal::{Decimal, RoundingStrategy};
use std::fmt;
use std::str::FromStr as _;

/// How many digits a number may have before its point, and after it.
const DIGITS: usize = 9;

/// The space between a number and its unit: never broken at a line's end.
pub const NO_BREAK_SPACE: char = '\u{a0}';

/// A decimal number with a unit; digits are kept as written (`1.10` stays `1.10`).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quantity {
    /// The number.
    pub number: Decimal,
    /// The unit.
    pub unit: Unit,
}

/// From one quantity to another of the same unit, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Range {
    /// Lower end.
    pub low: Decimal,
    /// Upper end, not below `low`.
    pub high: Decimal,
    /// Unit of both.
    pub unit: Unit,
}

/// What a reading is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// This much or less.
    AtMost(Quantity),
    /// This much or more.
    AtLeast(Quantity),
    /// Between two ends, both included.
    Within(Range),
    /// Exactly this much.
    Exactly(Quantity),
    /// Exactly this many, of things that are counted.
    Count(u32),
}

/// Why a text is no quantity.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum QuantityFault {
    /// A decimal point without a digit before it.
    #[error("the decimal point of `{0}` has no digit before it; write `0{0}`")]
    NakedPoint(String),
    /// A decimal comma.
    #[error("`{0}` has a decimal comma; write a point")]
    Comma(String),
    /// No number where one should stand.
    #[error("`{0}` does not begin with a number")]
    NoNumber(String),
    /// A unit that is not known.
    #[error("`{0}` is not a unit this program knows; it knows {known}", known = known_units())]
    UnknownUnit(String),
    /// A unit that is the name of several.
    #[error("`{0}` names more than one unit; write {1}")]
    AmbiguousUnit(String, &'static str),
    /// A comma that may part thousands or decimals.
    #[error(
        "`{0}` can be read as thousands and as decimals; write a point for the decimals and nothing for the thousands"
    )]
    TwoReadings(String),
    /// A number without a unit.
    #[error("`{0}` has no unit")]
    NoUnit(String),
    /// A dash or ± between two numbers.
    #[error("`{0}` leaves arithmetic to the reader; write both ends as `24.7 to 25.3 mm`")]
    Arithmetic(String),
    /// More digits than any instrument shows; what is computed from it could not be held.
    #[error("`{0}` has more than {DIGITS} digits before or after its point")]
    TooManyDigits(String),
    /// A range whose ends are the wrong way round.
    #[error("the lower end of `{0}` is above the upper end")]
    Reversed(String),
}

/// Returns the symbols of all units, for a message.
fn known_units() -> String {
    Unit::all().map(Unit::symbol).collect::<Vec<_>>().join(", ")
}

impl Quantity {
    /// Returns the quantity written as `text` (`12.5 N·m`).
    ///
    /// # Errors
    /// A [`QuantityFault`] that says which part cannot be read in one way only.
    pub fn parse(text: &str) -> Result<Self, QuantityFault> {
        let (number, rest) = split_number(text.trim())?;
        let unit = rest.trim();
        if unit.is_empty() {
            return Err(QuantityFault::NoUnit(text.trim().to_owned()));
        }
        let fault = || match Unit::meant_by(unit) {
            Some(which) => QuantityFault::AmbiguousUnit(unit.to_owned(), which),
            None => QuantityFault::UnknownUnit(unit.to_owned()),
        };
        let unit = Unit::parse(unit).ok_or_else(fault)?;
        Ok(Self { number, unit })
    }

    /// Returns the quantity rounded to a step of `resolution`.
    #[must_use]
    pub fn rounded(self, resolution: Decimal, direction: Rounding) -> Self {
        Self { number: round_to_step(self.number, resolution, direction), unit: self.unit }
    }
}

/// Which way a number is rounded; limits are always rounded inward.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// Upward: for a lower limit.
    Up,
    /// Downward: for an upper limit.
    Down,
    /// To the nearest step, halves away from zero: for a target.
    Nearest,
}

/// Returns `number` rounded to a whole multiple of `step`, shown with the digits of `step`.
///
/// # Panics
/// Where `step` is not above zero; a resolution is checked when it is read.
#[must_use]
pub fn round_to_step(number: Decimal, step: Decimal, direction: Rounding) -> Decimal {
    assert!(step > Decimal::ZERO, "a resolution is above zero");
    let strategy = match direction {
        Rounding::Up => RoundingStrategy::ToPositiveInfinity,
        Rounding::Down => RoundingStrategy::ToNegativeInfinity,
        Rounding::Nearest => RoundingStrategy::MidpointAwayFromZero,
    };
    let mut rounded = (number / step).round_dp_with_strategy(0, strategy) * step;
    rounded.rescale(step.scale());
    rounded
}

impl Range {
    /// Returns the range written as `text` (`24.7 to 25.3 mm`).
    ///
    /// # Errors
    /// A [`QuantityFault`] that says which part cannot be read in one way only.
    pub fn parse(text: &str) -> Result<Self, QuantityFault> {
        let text = text.trim();
        let Some((low, high)) = text.split_once(" to ") else {
            return Err(QuantityFault::Arithmetic(text.to_owned()));
        };
        let high = Quantity::parse(high)?;
        let (low, rest) = split_number(low.trim())?;
        let same_unit = rest.trim().is_empty() || Unit::parse(rest.trim()) == Some(high.unit);
        if !same_unit {
            return Err(QuantityFault::UnknownUnit(rest.trim().to_owned()));
        }
        if low > high.number {
            return Err(QuantityFault::Reversed(text.to_owned()));
        }
        Ok(Self { low, high: high.number, unit: high.unit })
    }
}

impl Range {
    /// Returns whether a quantity lies in the range, its ends included; one of another unit does not.
    #[must_use]
    pub fn holds(&self, quantity: Quantity) -> bool {
        quantity.unit == self.unit && quantity.number >= self.low && quantity.number <= self.high
    }
}

impl Limit {
    /// Returns the limit written as `text`: `A to B unit`, `Q or less`, `Q or more`, `exactly Q`.
    ///
    /// # Errors
    /// A [`QuantityFault`] that says which part cannot be read in one way only.
    pub fn parse(text: &str) -> Result<Self, QuantityFault> {
        let text: String = text.replace(NO_BREAK_SPACE, " ");
        let text = text.trim();
        if let Some(quantity) = text.strip_suffix(" or less") {
            Quantity::parse(quantity).map(Self::AtMost)
        } else if let Some(quantity) = text.strip_suffix(" or more") {
            Quantity::parse(quantity).map(Self::AtLeast)
        } else if let Some(exact) = text.strip_prefix("exactly ") {
            exact.trim().parse().map(Self::Count).or_else(|_| Quantity::parse(exact).map(Self::Exactly))
        } else {
            Range::parse(text).map(Self::Within)
        }
    }

    /// Returns the symbol of the limit's unit; empty for a count.
    #[must_use]
    pub fn symbol(&self) -> &'static str {
        match self {
            Self::AtMost(quantity) | Self::AtLeast(quantity) | Self::Exactly(quantity) => quantity.unit.symbol(),
            Self::Within(range) => range.unit.symbol(),
            Self::Count(_) => "",
        }
    }
}

/// Splits a text into its leading decimal number and the rest.
fn split_number(text: &str) -> Result<(Decimal, &str), QuantityFault> {
    if text.starts_with('.') {
        return Err(QuantityFault::NakedPoint(text.to_owned()));
    }
    let sign = usize::from(text.starts_with('-'));
    let length = text[sign..].find(|c: char| !c.is_ascii_digit() && c != '.').map_or(text.len(), |at| at + sign);
    let (number, rest) = text.split_at(length);
    if rest.starts_with(',') {
        return Err(QuantityFault::Comma(text.to_owned()));
    }
    if rest.trim_start().starts_with(['±', '-', '–', '—', '+']) {
        return Err(QuantityFault::Arithmetic(text.to_owned()));
    }
    let well_formed = number.len() > sign && !number.ends_with('.');
    let (whole, part) = number[sign..].split_once('.').unwrap_or((&number[sign..], ""));
    if well_formed && (whole.len() > DIGITS || part.len() > DIGITS) {
        return Err(QuantityFault::TooManyDigits(text.to_owned()));
    }
    let parsed = well_formed.then(|| Decimal::from_str(number).ok()).flatten();
    parsed.map(|number| (number, rest)).ok_or_else(|| QuantityFault::NoNumber(text.to_owned()))
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_with_unit(f, &self.number.to_string(), self.unit)
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let nbsp = NO_BREAK_SPACE;
        // On the narrowest screen a range may be broken after its `to`, never inside a number or before a unit.
        write_with_unit(f, &format!("{}{nbsp}to {}", self.low, self.high), self.unit)
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AtMost(quantity) => write!(f, "{quantity} or less"),
            Self::AtLeast(quantity) => write!(f, "{quantity} or more"),
            Self::Exactly(quantity) => write!(f, "exactly {quantity}"),
            Self::Within(range) => write!(f, "{range}"),
            Self::Count(count) => write!(f, "exactly{NO_BREAK_SPACE}{count}"),
        }
    }
}

/// Writes number and unit; a degree or percent sign that is no unit of temperature stands close.
fn write_with_unit(f: &mut fmt::Formatter<'_>, number: &str, unit: Unit) -> fmt::Result {
    match unit.symbol() {
        "°" => write!(f, "{number}°"),
        symbol => write!(f, "{number}{NO_BREAK_SPACE}{symbol}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        Quantity::parse(text).map_or_else(|fault| fault.to_string(), |quantity| quantity.to_string())
    }

    #[test]
    fn a_quantity_has_one_reading_or_none() {
        assert_eq!(shown("1.10 Nm"), "1.10\u{a0}N·m");
        assert_eq!(shown("25 lbf-ft"), "25\u{a0}lbf·ft");
        assert_eq!(shown("-5 °C"), "-5\u{a0}°C");
        assert_eq!(shown("12.50 mm"), "12.50\u{a0}mm");
        assert_eq!(shown(".5 mm"), "the decimal point of `.5 mm` has no digit before it; write `0.5 mm`");
        assert_eq!(shown("0,5 mm"), "`0,5 mm` has a decimal comma; write a point");
        assert_eq!(shown("5"), "`5` has no unit");
        assert!(shown("5 foo").starts_with("`foo` is not a unit this program knows; it knows N·m, lbf·ft"));
        assert_eq!(shown("640 Ω"), "640\u{a0}Ω");
        assert_eq!(shown("5. mm"), "`5. mm` does not begin with a number");
        assert_eq!(shown("1.2.3 mm"), "`1.2.3 mm` does not begin with a number");
        let long = "1234567890 mm";
        assert_eq!(shown(long), format!("`{long}` has more than 9 digits before or after its point"));
        assert_eq!(shown("999999999.999999999 mm"), "999999999.999999999\u{a0}mm");
        assert!(shown("25 ± 0.3 mm").contains("leaves arithmetic"));
        assert!(shown("٢٥ N·m").contains("does not begin with a number"));
    }

    #[test]
    fn limits_are_read_in_four_forms() {
        let shown = |text: &str| {
            Limit::parse(text).map_or_else(|fault| fault.to_string(), |limit| limit.to_string().replace('\u{a0}', " "))
        };
        assert_eq!(shown("24.7 to 25.3 mm"), "24.7 to 25.3 mm");
        assert_eq!(shown("40 °C or less"), "40 °C or less");
        assert_eq!(shown("19.95 mm or more"), "19.95 mm or more");
        assert_eq!(shown("exactly 0 bar"), "exactly 0 bar");
        assert_eq!(shown("exactly 63"), "exactly 63");
        assert!(shown("25.3 to 24.7 mm").contains("above the upper end"));
        assert!(shown("24.7-25.3 mm").contains("write both ends"));
    }

    /// Rounding inward never widens a limit, and moves it by less than one step.
    #[test]
    fn rounding_is_inward() {
        let step = Decimal::new(1, 1);
        for (number, up, down) in
            [("192.15", "192.2", "192.1"), ("201.60", "201.6", "201.6"), ("469.48", "469.5", "469.4")]
        {
            let number = Decimal::from_str(number).expect("typed by hand");
            assert_eq!(round_to_step(number, step, Rounding::Up).to_string(), up);
            assert_eq!(round_to_step(number, step, Rounding::Down).to_string(), down);
        }
    }
}
