//! From one unit to another by exact fractions, rounded once and in a stated direction; it never converts what the calendar or another dimension decides.

use crate::base::quantity::unit::{Dimension, Scale, Unit};
use crate::base::quantity::{Limit, Quantity, Range, Rounding};
use rust_decimal::Decimal;

/// An exact fraction: what a conversion gives before anybody rounds it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exact {
    numerator: i128,
    /// Above zero, and without a divisor in common with the numerator.
    denominator: i128,
}

/// Why a quantity is not given in another unit.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ConversionFault {
    /// They measure different things.
    #[error("`{from}` is a {from_word}, `{to}` is a {to_word}; one is never the other", from = .0.symbol(), from_word = .0.dimension().word(), to = .1.symbol(), to_word = .1.dimension().word())]
    Dimensions(Unit, Unit),
    /// A month has no fixed length.
    #[error("`{0:?}` has no fixed length; the calendar decides")]
    Calendar(Unit),
    /// There is no such temperature.
    #[error("`{0}` is below absolute zero")]
    BelowAbsoluteZero(String),
    /// There is no such mass, volume or the like.
    #[error("`{0}` is less than nothing")]
    Negative(String),
    /// More digits than can be computed with exactly.
    #[error("`{0}` has too many digits to be converted exactly")]
    TooManyDigits(String),
    /// Rounded inward, nothing is left between the ends.
    #[error("no step of `{step}` lies within `{limit}`; take a finer instrument, never a wider limit")]
    NothingLeft {
        /// The limit.
        limit: String,
        /// The step.
        step: String,
    },
    /// A step that is no step.
    #[error("a step must be above zero")]
    Step,
}

impl Exact {
    /// Returns the fraction of two whole numbers; none where the lower one is zero or they are too large.
    #[must_use]
    pub fn new(numerator: i128, denominator: i128) -> Option<Self> {
        let divisor = common_divisor(numerator, denominator)?;
        let sign = denominator.signum();
        Some(Self { numerator: numerator / divisor * sign, denominator: denominator / divisor * sign })
    }

    /// Returns a decimal as a fraction.
    #[must_use]
    pub fn of(number: Decimal) -> Self {
        let number = number.normalize();
        let denominator = 10_i128.pow(number.scale());
        Self::new(number.mantissa(), denominator).expect("a decimal has at most 28 places and 96 bits")
    }

    fn times(self, (numerator, denominator): (i128, i128)) -> Option<Self> {
        let other = Self::new(numerator, denominator)?;
        // Crosswise first: what can be cancelled never grows.
        let left = common_divisor(self.numerator, other.denominator)?;
        let right = common_divisor(other.numerator, self.denominator)?;
        let numerator = (self.numerator / left).checked_mul(other.numerator / right)?;
        let denominator = (self.denominator / right).checked_mul(other.denominator / left)?;
        Self::new(numerator, denominator)
    }

    fn plus(self, (numerator, denominator): (i128, i128)) -> Option<Self> {
        let sum = self.numerator.checked_mul(denominator)?.checked_add(numerator.checked_mul(self.denominator)?)?;
        Self::new(sum, self.denominator.checked_mul(denominator)?)
    }

    /// Returns the fraction rounded to so many decimals; none where it has more digits than a decimal holds.
    #[must_use]
    pub fn rounded(self, decimals: u32, direction: Rounding) -> Option<Decimal> {
        let mut whole = self.numerator.checked_div_euclid(self.denominator)?;
        let mut rest = self.numerator.checked_rem_euclid(self.denominator)?;
        for _ in 0..decimals {
            rest = rest.checked_mul(10)?;
            whole = whole.checked_mul(10)?.checked_add(rest / self.denominator)?;
            rest %= self.denominator;
        }
        // `whole` is rounded down so far, and `rest` is what lies above it.
        let up = match direction {
            Rounding::Down => false,
            Rounding::Up => rest > 0,
            Rounding::Nearest => {
                let twice = rest.checked_mul(2)?;
                twice > self.denominator || (twice == self.denominator && self.numerator > 0)
            }
        };
        Decimal::try_from_i128_with_scale(whole.checked_add(i128::from(up))?, decimals).ok()
    }

    /// Returns the fraction rounded to a whole multiple of `step`, shown with the digits of `step`.
    #[must_use]
    pub fn rounded_to_step(self, step: Decimal, direction: Rounding) -> Option<Decimal> {
        let step_fraction = Self::of(step);
        let steps = self.times((step_fraction.denominator, step_fraction.numerator))?.rounded(0, direction)?;
        let mut rounded = steps.checked_mul(step)?;
        rounded.rescale(step.scale());
        Some(rounded)
    }

    /// Returns the fraction as a decimal where it is one of at most `places` places.
    #[must_use]
    pub fn decimal(self, places: u32) -> Option<Decimal> {
        let down = self.rounded(places, Rounding::Down)?;
        (Self::of(down) == self).then(|| down.normalize())
    }

    /// Returns the fraction with so many significant digits.
    #[must_use]
    pub fn significant(self, digits: u32) -> Option<Decimal> {
        let mut decimals = 0;
        // The first digit that is not zero is looked for; one more decimal each time.
        for _ in 0..24 {
            let number = self.rounded(decimals, Rounding::Nearest)?;
            if number.is_zero() && self.numerator != 0 || significant_digits(number) < digits {
                decimals += 1;
            } else {
                return Some(number);
            }
        }
        self.rounded(decimals, Rounding::Nearest)
    }

    /// Returns whether the first digit of this is as large as that of `other`, or larger.
    fn leads(self, other: Decimal) -> bool {
        self.significant(6).is_some_and(|number| first_digit(number) >= first_digit(other))
    }
}

/// Returns the greatest whole number that divides both, at least one; none where the second is zero.
fn common_divisor(first: i128, second: i128) -> Option<i128> {
    let (mut first, mut second) = (first.checked_abs()?, second.checked_abs()?);
    if second == 0 {
        return None;
    }
    while second != 0 {
        (first, second) = (second, first % second);
    }
    Some(first.max(1))
}

/// Returns how many digits of a number are significant, as it is written: trailing zeros count, leading ones do not.
fn significant_digits(number: Decimal) -> u32 {
    let digits = number.mantissa().unsigned_abs().checked_ilog10().map_or(0, |log| log + 1);
    digits.max(1)
}

fn first_digit(number: Decimal) -> u128 {
    let mut digits = number.mantissa().unsigned_abs();
    while digits >= 10 {
        digits /= 10;
    }
    digits
}

impl Quantity {
    /// Returns this quantity in another unit, as an exact fraction.
    ///
    /// # Errors
    /// A [`ConversionFault`] where the units measure different things, where the calendar decides, or where there is no
    /// such quantity (below absolute zero).
    pub fn exactly_in(self, unit: Unit) -> Result<Exact, ConversionFault> {
        if self.unit.dimension() != unit.dimension() {
            return Err(ConversionFault::Dimensions(self.unit, unit));
        }
        self.has_sense()?;
        if self.unit == unit {
            return Ok(Exact::of(self.number));
        }
        let scale = |unit: Unit| unit.scale().ok_or(ConversionFault::Calendar(unit));
        let (from, to) = (scale(self.unit)?, scale(unit)?);
        converted(self.number, from, to).ok_or_else(|| ConversionFault::TooManyDigits(self.shown()))
    }

    /// Returns this quantity in another unit with as many significant digits as it has, one more where the first digit
    /// becomes smaller: NIST SP 811, B.7.2 (36 ft is 11.0 m; from memory).
    ///
    /// # Errors
    /// See [`Quantity::exactly_in`].
    pub fn in_unit(self, unit: Unit) -> Result<Self, ConversionFault> {
        let exact = self.exactly_in(unit)?;
        if self.unit == unit {
            return Ok(self);
        }
        let fault = || ConversionFault::TooManyDigits(self.shown());
        if self.unit.dimension() == Dimension::Temperature {
            // A temperature keeps its decimals: what is significant depends on where zero lies.
            let number = exact.rounded(self.number.scale(), Rounding::Nearest).ok_or_else(fault)?;
            return Ok(Self { number, unit });
        }
        let digits = significant_digits(self.number) + u32::from(!exact.leads(self.number));
        let number = exact.significant(digits).ok_or_else(fault)?;
        Ok(Self { number, unit })
    }

    /// Returns this quantity in another unit, rounded in a stated direction to a whole multiple of `step`.
    ///
    /// # Errors
    /// See [`Quantity::exactly_in`]; [`ConversionFault::Step`] where the step is not above zero.
    pub fn in_steps(self, unit: Unit, step: Decimal, direction: Rounding) -> Result<Self, ConversionFault> {
        if step <= Decimal::ZERO {
            return Err(ConversionFault::Step);
        }
        let exact = self.exactly_in(unit)?;
        let number = exact.rounded_to_step(step, direction);
        number.map(|number| Self { number, unit }).ok_or_else(|| ConversionFault::TooManyDigits(self.shown()))
    }

    /// Returns the number in another unit as floating point, for formulas.
    ///
    /// # Errors
    /// See [`Quantity::exactly_in`].
    pub fn float_in(self, unit: Unit) -> Result<f64, ConversionFault> {
        let exact = self.exactly_in(unit)?;
        #[expect(clippy::cast_precision_loss, reason = "formulas are floating point; limits never are")]
        let float = exact.numerator as f64 / exact.denominator as f64;
        Ok(float)
    }

    /// Refuses what does not exist: less than absolute zero, a mass or volume below nothing.
    fn has_sense(self) -> Result<(), ConversionFault> {
        match (self.unit.dimension(), self.unit.scale()) {
            (Dimension::Temperature, Some(scale)) => {
                let kelvin = Exact::of(self.number).times(scale.factor).and_then(|number| number.plus(scale.offset));
                let kelvin = kelvin.ok_or_else(|| ConversionFault::TooManyDigits(self.shown()))?;
                if kelvin.numerator < 0 { Err(ConversionFault::BelowAbsoluteZero(self.shown())) } else { Ok(()) }
            }
            (Dimension::Mass | Dimension::Volume | Dimension::Time, _) if self.number < Decimal::ZERO => {
                Err(ConversionFault::Negative(self.shown()))
            }
            _ => Ok(()),
        }
    }

    /// Returns the quantity in one line, for a message.
    fn shown(self) -> String {
        format!("{} {}", self.number, self.unit.symbol())
    }
}

fn converted(number: Decimal, from: Scale, to: Scale) -> Option<Exact> {
    let ratio = Exact::new(from.factor.0, from.factor.1)?.times((to.factor.1, to.factor.0))?;
    let number = Exact::of(number);
    if from.offset == to.offset && ratio.numerator == ratio.denominator {
        return Some(number);
    }
    let scaled = number.times((ratio.numerator, ratio.denominator))?;
    if from.offset.0 == 0 && to.offset.0 == 0 {
        return Some(scaled);
    }
    let shift = Exact::new(from.offset.0, from.offset.1)?.plus((-to.offset.0, to.offset.1))?;
    let shift = shift.times((to.factor.1, to.factor.0))?;
    scaled.plus((shift.numerator, shift.denominator))
}

impl Range {
    /// Returns the range in another unit, both ends rounded inward to `step`.
    ///
    /// # Errors
    /// A [`ConversionFault`], also where no step lies between the ends.
    pub fn inward(self, unit: Unit, step: Decimal) -> Result<Self, ConversionFault> {
        let end = |number, direction| Quantity { number, unit: self.unit }.in_steps(unit, step, direction);
        let (low, high) = (end(self.low, Rounding::Up)?.number, end(self.high, Rounding::Down)?.number);
        if low > high {
            let limit = format!("{} to {} {}", self.low, self.high, self.unit.symbol());
            return Err(ConversionFault::NothingLeft { limit, step: format!("{step} {}", unit.symbol()) });
        }
        Ok(Self { low, high, unit })
    }
}

impl Limit {
    /// Returns the limit in another unit, rounded inward to `step`: it never allows what it did not allow before.
    ///
    /// # Errors
    /// A [`ConversionFault`], also where an exact figure is no step, or no step lies between the ends.
    pub fn inward(self, unit: Unit, step: Decimal) -> Result<Self, ConversionFault> {
        match self {
            Self::AtMost(end) => end.in_steps(unit, step, Rounding::Down).map(Self::AtMost),
            Self::AtLeast(end) => end.in_steps(unit, step, Rounding::Up).map(Self::AtLeast),
            Self::Within(range) => range.inward(unit, step).map(Self::Within),
            Self::Exactly(end) => {
                let both = Range { low: end.number, high: end.number, unit: end.unit }.inward(unit, step)?;
                Ok(Self::Exactly(Quantity { number: both.low, unit }))
            }
            Self::Count(count) => Ok(Self::Count(count)),
        }
    }
}

#[cfg(test)]
#[path = "convert_tests.rs"]
mod tests;
