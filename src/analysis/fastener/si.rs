//! Torques, lengths, forces, shares and angles as the formulas here need them; it refuses every other dimension, and what cannot be.

use crate::analysis::working::Refusal;
use crate::base::quantity::{Dimension, Quantity, Unit};

/// Millimetres in an inch, exact (1959).
pub const INCH: f64 = 25.4;
/// Megapascal in a thousand pounds-force on a square inch: 0.45359237 kg times 9.80665 m/s² a pound-force, exact.
pub const KSI: f64 = 4_448.221_615_260_5 / (INCH * INCH);

/// Returns a torque in N·m; it is above zero.
///
/// # Errors
/// A refusal where it is no torque, or nothing, or below.
pub fn newton_metres(torque: Quantity) -> Result<f64, Refusal> {
    above_zero(torque, number_in(torque, Dimension::Torque, "N·m", "a torque")?, "a torque")
}

/// Returns a length in mm; it may be zero.
///
/// # Errors
/// A refusal where it is no length, or below zero.
pub fn millimetres(length: Quantity) -> Result<f64, Refusal> {
    let found = number_in(length, Dimension::Length, "mm", "a length")?;
    if found < 0.0 {
        return Err(Refusal::new(format!("a length is not below zero, and this is {}", plain(length))));
    }
    Ok(found)
}

/// Returns a force in N; it is above zero.
///
/// # Errors
/// A refusal where it is no force, or nothing, or below.
pub fn newtons(force: Quantity) -> Result<f64, Refusal> {
    above_zero(force, number_in(force, Dimension::Force, "N", "a force")?, "a force")
}

/// Returns a share, written in percent, as a number; it is above zero.
///
/// # Errors
/// A refusal where it is no percentage, or nothing, or below.
pub fn share(percent: Quantity) -> Result<f64, Refusal> {
    above_zero(percent, number_in(percent, Dimension::Share, "%", "a percentage")? / 100.0, "a percentage")
}

/// Returns an angle in degrees.
///
/// # Errors
/// A refusal where it is no angle.
pub fn degrees(angle: Quantity) -> Result<f64, Refusal> {
    number_in(angle, Dimension::Angle, "°", "an angle")
}

fn number_in(given: Quantity, dimension: Dimension, symbol: &str, what: &str) -> Result<f64, Refusal> {
    if given.unit.dimension() != dimension {
        let message = format!("{what} is needed, and `{}` is none", plain(given));
        return Err(Refusal::new(message).hint(format!("write it in {symbol}")));
    }
    let unit = Unit::parse(symbol).expect("the units of the formulas are listed");
    given.float_in(unit).map_err(|fault| Refusal::new(fault.to_string()))
}

fn above_zero(given: Quantity, found: f64, what: &str) -> Result<f64, Refusal> {
    if found.is_finite() && found > 0.0 {
        return Ok(found);
    }
    Err(Refusal::new(format!("{what} must be above zero, and this is {}", plain(given))))
}

/// Returns a quantity with a plain space before its unit.
#[must_use]
pub fn plain(quantity: Quantity) -> String {
    quantity.to_string().replace('\u{a0}', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_torque_is_refused() {
        let quantity = |text| Quantity::parse(text).expect("typed by hand");
        let refused = |text| newton_metres(quantity(text)).expect_err("refused").message;
        assert_eq!(refused("5 mm"), "a torque is needed, and `5 mm` is none");
        assert_eq!(refused("0 N·m"), "a torque must be above zero, and this is 0 N·m");
        assert_eq!(refused("-5 N·m"), "a torque must be above zero, and this is -5 N·m");
        // NIST SP 811 (2008) appendix B.8: 1 lbf·ft = 1.355 818 N·m, 1 ksi = 6.894 757 MPa; from memory.
        assert!((newton_metres(quantity("25 lbf·ft")).expect("a torque") - 33.895_45).abs() < 1e-4);
        assert!((KSI - 6.894_757).abs() < 5e-7);
    }
}
