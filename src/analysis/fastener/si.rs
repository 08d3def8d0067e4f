//! Torques, lengths and forces in newton, metre and millimetre, by exact factors; it refuses every other dimension.

use crate::analysis::working::Refusal;
use crate::base::quantity::{Dimension, Quantity};
use rust_decimal::prelude::ToPrimitive as _;

/// Newton in a pound-force: 0.45359237 kg (international pound, 1959) times standard gravity 9.80665 m/s² (CGPM 1901), exact.
pub const POUND_FORCE: f64 = 4.448_221_615_260_5;
/// Millimetres in an inch (1959), exact.
pub const INCH: f64 = 25.4;
/// Newton in a kilogram-force: standard gravity (CGPM 1901), exact.
const KILOGRAM_FORCE: f64 = 9.806_65;
/// Megapascal in a thousand pounds-force on a square inch, from the two exact factors above.
pub const KSI: f64 = 1000.0 * POUND_FORCE / (INCH * INCH);

/// Returns the number of a quantity.
fn number(quantity: Quantity) -> f64 {
    quantity.number.to_f64().unwrap_or(f64::NAN)
}

/// Returns a torque in N·m; it is above zero.
///
/// # Errors
/// A refusal where it is no torque, or nothing, or below.
pub fn newton_metres(torque: Quantity) -> Result<f64, Refusal> {
    let factor = match torque.unit.symbol() {
        "N·m" => 1.0,
        "lbf·ft" => POUND_FORCE * 12.0 * INCH / 1000.0,
        "lbf·in" => POUND_FORCE * INCH / 1000.0,
        "kgf·m" => KILOGRAM_FORCE,
        "ozf·in" => POUND_FORCE / 16.0 * INCH / 1000.0,
        _ => return Err(no_such(torque, "a torque", "N·m")),
    };
    above_zero(torque, number(torque) * factor, "a torque")
}

/// Returns a length in mm; it may be zero.
///
/// # Errors
/// A refusal where it is no length, or below zero.
pub fn millimetres(length: Quantity) -> Result<f64, Refusal> {
    let factor = match length.unit.symbol() {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1000.0,
        "in" => INCH,
        "ft" => 12.0 * INCH,
        _ => return Err(no_such(length, "a length", "mm")),
    };
    let found = number(length) * factor;
    if found < 0.0 {
        Err(Refusal::new(format!("a length is not below zero, and this is {}", plain(length))))
    } else {
        Ok(found)
    }
}

/// Returns a force in N; it is above zero.
///
/// # Errors
/// A refusal where it is no force, or nothing, or below.
pub fn newtons(force: Quantity) -> Result<f64, Refusal> {
    let factor = match force.unit.symbol() {
        "N" => 1.0,
        "kN" => 1000.0,
        "lbf" => POUND_FORCE,
        _ => return Err(no_such(force, "a force", "kN")),
    };
    above_zero(force, number(force) * factor, "a force")
}

/// Returns a share, written in percent, as a number; it is above zero.
///
/// # Errors
/// A refusal where it is no percentage, or nothing, or below.
pub fn share(percent: Quantity) -> Result<f64, Refusal> {
    if percent.unit.dimension() != Dimension::Share {
        return Err(no_such(percent, "a percentage", "%"));
    }
    above_zero(percent, number(percent) / 100.0, "a percentage")
}

/// Returns an angle in degrees.
///
/// # Errors
/// A refusal where it is no angle.
pub fn degrees(angle: Quantity) -> Result<f64, Refusal> {
    match angle.unit.symbol() {
        "°" => Ok(number(angle)),
        "turn" => Ok(number(angle) * 360.0),
        _ => Err(no_such(angle, "an angle", "°")),
    }
}

fn above_zero(given: Quantity, found: f64, what: &str) -> Result<f64, Refusal> {
    if found.is_finite() && found > 0.0 {
        return Ok(found);
    }
    Err(Refusal::new(format!("{what} must be above zero, and this is {}", plain(given))))
}

fn no_such(given: Quantity, what: &str, unit: &str) -> Refusal {
    Refusal::new(format!("{what} is needed, and `{}` is none", plain(given))).hint(format!("write it in {unit}"))
}

/// Returns a quantity with a plain space before its unit.
#[must_use]
pub fn plain(quantity: Quantity) -> String {
    quantity.to_string().replace('\u{a0}', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn torque(text: &str) -> f64 {
        newton_metres(Quantity::parse(text).expect("typed by hand")).expect("a torque")
    }

    /// NIST SP 811 (2008), appendix B.8: 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m, 1 kgf·m = 9.806 65 N·m,
    /// 1 ozf·in = 7.061 552 mN·m, 1 ksi = 6.894 757 MPa; from memory, to the digits printed there.
    #[test]
    fn torques_agree_with_sp_811() {
        assert!((torque("1 lbf·ft") - 1.355_818).abs() < 5e-7);
        assert!((torque("1 lbf·in") - 0.112_984_8).abs() < 5e-8);
        assert!((torque("1 kgf·m") - 9.806_65).abs() < 1e-12);
        assert!((torque("1 ozf·in") - 0.007_061_552).abs() < 5e-10);
        assert!((KSI - 6.894_757).abs() < 5e-7);
        assert!((torque("25 lbf·ft") - 33.895_4).abs() < 5e-5);
    }

    #[test]
    fn what_is_no_torque_is_refused() {
        let refused =
            |text: &str| newton_metres(Quantity::parse(text).expect("typed by hand")).expect_err("refused").message;
        assert_eq!(refused("5 mm"), "a torque is needed, and `5 mm` is none");
        assert_eq!(refused("0 N·m"), "a torque must be above zero, and this is 0 N·m");
        assert_eq!(refused("-5 N·m"), "a torque must be above zero, and this is -5 N·m");
    }
}
