//! Quantities by what they measure, so that a torque is never handed over as a length; it converts nothing by itself.

use crate::base::quantity::{ConversionFault, Dimension, Quantity, QuantityFault, Unit};
use rust_decimal::Decimal;

/// Why a text or quantity is not of the kind that is wanted.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KindFault {
    /// It cannot be read.
    #[error(transparent)]
    Unread(#[from] QuantityFault),
    /// It measures something else.
    #[error("`{found}` is no {wanted}")]
    Other {
        /// The quantity.
        found: String,
        /// What was wanted.
        wanted: &'static str,
    },
    /// It is zero or less, and cannot be.
    #[error("`{0}` must be above zero")]
    NotAboveZero(String),
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident, $dimension:ident, $word:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub struct $name(Quantity);

        impl $name {
            /// Returns what was keyed in, if it is of this kind.
            ///
            /// # Errors
            /// A [`KindFault`] where it has no reading, more than one, or measures something else.
            pub fn keyed(text: &str) -> Result<Self, KindFault> {
                Self::try_from(Quantity::keyed(text)?)
            }

            /// Returns the quantity.
            #[must_use]
            pub fn quantity(self) -> Quantity {
                self.0
            }

            /// Returns the number in a unit as floating point, for formulas.
            ///
            /// # Errors
            /// See [`Quantity::exactly_in`].
            pub fn float_in(self, unit: Unit) -> Result<f64, ConversionFault> {
                self.0.float_in(unit)
            }

            /// Returns it, if it is above zero.
            ///
            /// # Errors
            /// [`KindFault::NotAboveZero`].
            pub fn above_zero(self) -> Result<Self, KindFault> {
                if self.0.number > Decimal::ZERO { Ok(self) } else { Err(KindFault::NotAboveZero(shown(self.0))) }
            }
        }

        impl TryFrom<Quantity> for $name {
            type Error = KindFault;

            fn try_from(quantity: Quantity) -> Result<Self, KindFault> {
                if quantity.unit.dimension() == Dimension::$dimension {
                    return Ok(Self(quantity));
                }
                Err(KindFault::Other { found: shown(quantity), wanted: $word })
            }
        }
    )*};
}

kinds! {
    /// A turning moment.
    Torque, Torque, "torque";
    /// A length.
    Length, Length, "length";
    /// A force.
    Force, Force, "force";
    /// Force over area within a solid.
    Stress, Pressure, "stress";
    /// A pressure; whether over ambient or absolute is for the words beside it.
    Pressure, Pressure, "pressure";
    /// A temperature on a scale.
    Temperature, Temperature, "temperature";
    /// A mass.
    Mass, Mass, "mass";
    /// A volume.
    Volume, Volume, "volume";
    /// A duration.
    Time, Time, "time";
    /// A plane angle.
    Angle, Angle, "angle";
}

/// How many of things that are counted: never a decimal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Count(pub u32);

fn shown(quantity: Quantity) -> String {
    format!("{} {}", quantity.number, quantity.unit.symbol())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_torque_is_no_length() {
        let told = |result: Result<Length, KindFault>| result.map_err(|fault| fault.to_string()).map(|_| ());
        assert_eq!(told(Length::keyed("44 N·m")), Err("`44 N·m` is no length".to_owned()));
        assert_eq!(
            told(Length::keyed("0 mm").and_then(Length::above_zero)),
            Err("`0 mm` must be above zero".to_owned())
        );
        assert!(told(Length::keyed("-3 mm").and_then(Length::above_zero)).is_err());
        let torque = Torque::keyed("44 Nm").expect("a torque").quantity();
        assert_eq!(torque.unit.symbol(), "N·m");
    }
}
