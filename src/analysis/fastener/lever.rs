//! The setting of a torque wrench with an adapter that lengthens or shortens its lever; a straight extension on the drive's axis needs none.

use crate::analysis::working::Refusal;
use std::f64::consts::PI;

/// The formula: moments about the drive of the wrench.
pub const FORMULA: &str = "M = T L / (L + E cos a)";

/// A wrench with an adapter: L from the middle of the grip to the drive, E from the drive to the fastener, both in mm; a, the
/// angle between them, is nought in line with the handle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lever {
    length: f64,
    reach: f64,
    cosine: f64,
}

impl Lever {
    /// Returns the lever.
    ///
    /// # Errors
    /// A refusal where the wrench has no length, the adapter reaches back, the angle is beyond a half turn, or the fastener
    /// would lie at the hand or behind it.
    pub fn new(length: f64, reach: f64, degrees: f64) -> Result<Self, Refusal> {
        if !(length.is_finite() && length > 0.0) {
            return Err(Refusal::new("the wrench has no length")
                .hint("measure from the middle of the grip to the middle of the drive"));
        }
        if !(reach.is_finite() && reach >= 0.0) {
            return Err(Refusal::new("the adapter has no length")
                .hint("measure from the middle of the drive to the middle of the fastener"));
        }
        if !(0.0..=180.0).contains(&degrees) {
            return Err(Refusal::new("the angle of the adapter must be from 0° to 180°")
                .hint("0° is in line with the handle, 90° across it, 180° back along it"));
        }
        let cosine = cosine_of_degrees(degrees);
        if length + reach * cosine <= length * 1e-6 {
            return Err(Refusal::new("the fastener would lie at the hand or behind it"));
        }
        Ok(Self { length, reach, cosine })
    }

    /// Returns what the wrench is set to, so that the fastener gets `torque`.
    #[must_use]
    pub fn setting(self, torque: f64) -> f64 {
        torque * self.length / (self.length + self.reach * self.cosine)
    }

    /// Returns what the fastener gets where the wrench is set to `setting`.
    #[must_use]
    pub fn torque(self, setting: f64) -> f64 {
        setting * (self.length + self.reach * self.cosine) / self.length
    }
}

/// Returns the cosine of an angle from 0° to 180°, by its series: the last bits of the library's differ between platforms.
fn cosine_of_degrees(degrees: f64) -> f64 {
    if degrees > 90.0 {
        return -cosine_of_degrees(180.0 - degrees);
    }
    // At 60° and 90° the result is exact, as a reader expects it to be.
    if degrees > 45.0 {
        return sine_series((90.0 - degrees) * PI / 180.0);
    }
    let half = sine_series(degrees / 2.0 * PI / 180.0);
    1.0 - 2.0 * half * half
}

/// Returns the sine of a small angle in radians; eight terms are exact to the last bit below half a radian and near it up to one.
fn sine_series(angle: f64) -> f64 {
    let square = angle * angle;
    let mut term = angle;
    let mut sum = angle;
    for step in 1..9_u32 {
        term *= -square / f64::from(2 * step * (2 * step + 1));
        sum += term;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_series_agrees_with_the_library() {
        for degrees in 0..=1800 {
            let degrees = f64::from(degrees) / 10.0;
            #[expect(clippy::disallowed_methods, reason = "held against, to more digits than ever differ")]
            let library = (degrees * PI / 180.0).cos();
            assert!((cosine_of_degrees(degrees) - library).abs() < 1e-15, "{degrees}");
        }
        assert_eq!(cosine_of_degrees(90.0).to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn what_is_no_lever_is_refused() {
        let refused = |length, reach, degrees| Lever::new(length, reach, degrees).expect_err("refused").message;
        assert_eq!(refused(0.0, 50.0, 0.0), "the wrench has no length");
        assert_eq!(refused(-400.0, 50.0, 0.0), "the wrench has no length");
        assert_eq!(refused(f64::NAN, 50.0, 0.0), "the wrench has no length");
        assert_eq!(refused(f64::INFINITY, 50.0, 0.0), "the wrench has no length");
        assert_eq!(refused(400.0, -1.0, 0.0), "the adapter has no length");
        assert_eq!(refused(400.0, 50.0, 181.0), "the angle of the adapter must be from 0° to 180°");
        assert_eq!(refused(400.0, 50.0, f64::NAN), "the angle of the adapter must be from 0° to 180°");
        assert_eq!(refused(400.0, 400.0, 180.0), "the fastener would lie at the hand or behind it");
    }
}
