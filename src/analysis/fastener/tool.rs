//! What a torque tool may deviate by, and where its range begins; it knows no tool of any crib.

use crate::analysis::working::{Known, Source};
use crate::base::quantity::Range;
use rust_decimal::Decimal;

/// A class of torque tools of ISO 6789-1:2017.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToolClass {
    /// Type I, indicating; class A or D: torsion or bending bar, screwdriver with scale.
    IndicatingBar,
    /// Type I, indicating; class B, C or E: rigid housing with scale or dial, electronic.
    IndicatingHousing,
    /// Type II, setting; class A, B or C: wrench, graduated, fixed or ungraduated.
    SettingWrench,
    /// Type II, setting; class D, E, F or G: screwdriver, or bending bar.
    SettingDriver,
}

impl ToolClass {
    /// Returns the class of this type (`I` or `II`) and letter.
    #[must_use]
    pub fn parse(kind: &str, letter: &str) -> Option<Self> {
        match (kind, letter) {
            ("I", "A" | "D") => Some(Self::IndicatingBar),
            ("I", "B" | "C" | "E") => Some(Self::IndicatingHousing),
            ("II", "A" | "B" | "C") => Some(Self::SettingWrench),
            ("II", "D" | "E" | "F" | "G") => Some(Self::SettingDriver),
            _ => None,
        }
    }

    /// Returns the class written as `II A`.
    #[must_use]
    pub fn read(words: &str) -> Option<Self> {
        words.trim().split_once(' ').and_then(|(kind, letter)| Self::parse(kind, letter.trim()))
    }

    /// Returns by how many percent a torque in N·m may be off. The boundary of 10 N·m belongs to the wider tolerance.
    #[must_use]
    pub fn deviation(self, torque: f64) -> u32 {
        match self {
            Self::IndicatingBar | Self::SettingDriver => 6,
            Self::IndicatingHousing | Self::SettingWrench if torque <= 10.0 => 6,
            Self::IndicatingHousing | Self::SettingWrench => 4,
        }
    }

    /// Returns where the tolerance is from.
    #[must_use]
    pub fn source(self) -> Source {
        let known = if self == Self::SettingWrench { Known::Found } else { Known::Memory };
        Source::of("ISO 6789-1:2017 5.1.5", known)
    }
}

/// What a torque tool may be off by, as a share of what it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Deviation {
    /// The share: 0.04 for ±4 %.
    pub share: f64,
    /// Where it is from.
    pub source: Source,
}

impl Deviation {
    /// Returns what a tool of a class may be off by where it shows a torque in N·m.
    #[must_use]
    pub fn of_class(class: ToolClass, torque: f64) -> Self {
        Self { share: f64::from(class.deviation(torque)) / 100.0, source: class.source() }
    }

    /// Returns the share in words: `±4 %`.
    #[must_use]
    pub fn shown(&self) -> String {
        format!("±{} %", (self.share * 1e4).round() / 1e2)
    }
}

/// How the scatter of friction and what a tool may be off by make one band: each end takes both at their worst. The band of K is a
/// range of published figures and the deviation a limit; neither is a standard deviation, so there is nothing to add as squares.
pub const BAND_FORM: &str = "low: T (1 − t) at the highest friction; high: T (1 + t) at the lowest";

/// After how long a tool is calibrated again where nobody says otherwise: months, and uses (ISO 6789-1:2017 5.3, from memory).
pub const RECALIBRATION: (u32, u32) = (12, 5000);

/// Returns the lowest torque a tool is used for: its lowest mark, where the range of a tool begins (ISO 6789-1:2017
/// 5.1.3), or the site's own share of the full scale where that is higher. The 2003 edition calibrated from 20 % of the full
/// scale; many sites keep to that.
#[must_use]
pub fn lowest(range: &Range, site_share: Option<Decimal>) -> Decimal {
    site_share.map_or(range.low, |share| range.low.max(range.high * share))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_begins_at_the_lowest_mark_or_at_the_site_rule() {
        let range = Range::parse("5 to 60 N·m").expect("typed by hand");
        assert_eq!(lowest(&range, None), Decimal::from(5));
        assert_eq!(lowest(&range, Some(Decimal::new(20, 2))), Decimal::from(12));
        let short = Range::parse("20 to 60 N·m").expect("typed by hand");
        assert_eq!(lowest(&short, Some(Decimal::new(20, 2))), Decimal::from(20));
    }
}
