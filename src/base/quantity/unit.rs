//! The units a plant's tools show, with exact factors; it knows no number and accepts no unit that is the name of several.

use std::fmt;

/// What a unit measures; quantities of different dimensions are never compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Turning moment.
    Torque,
    /// Length.
    Length,
    /// Force.
    Force,
    /// Pressure and stress.
    Pressure,
    /// Temperature on a scale.
    Temperature,
    /// Difference of two temperatures: no offset between its units.
    TemperatureDifference,
    /// Mass.
    Mass,
    /// Volume.
    Volume,
    /// Duration.
    Time,
    /// Plane angle.
    Angle,
    /// Turns per time, and other frequencies.
    Frequency,
    /// Distance per time, as of vibration.
    Velocity,
    /// Volume per time.
    Flow,
    /// Electrical tension.
    Voltage,
    /// Electrical current.
    Current,
    /// Electrical resistance.
    Resistance,
    /// Power.
    Power,
    /// Level of sound.
    Sound,
    /// Acidity.
    Acidity,
    /// A share of a whole.
    Share,
}

impl Dimension {
    /// Returns its name in plain words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Torque => "torque",
            Self::Length => "length",
            Self::Force => "force",
            Self::Pressure => "pressure or stress",
            Self::Temperature => "temperature",
            Self::TemperatureDifference => "temperature difference",
            Self::Mass => "mass",
            Self::Volume => "volume",
            Self::Time => "time",
            Self::Angle => "angle",
            Self::Frequency => "speed of turning or frequency",
            Self::Velocity => "velocity",
            Self::Flow => "flow",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Resistance => "resistance",
            Self::Power => "power",
            Self::Sound => "level of sound",
            Self::Acidity => "acidity",
            Self::Share => "share",
        }
    }
}

/// A unit of measure, as shown and as it may be written.
#[derive(Clone, Copy)]
pub struct Unit(&'static Entry);

/// What is known of a unit.
struct Entry {
    symbol: &'static str,
    dimension: Dimension,
    also: &'static [&'static str],
    scale: Option<Scale>,
}

/// How a unit lies on its dimension's base unit: `base = number · factor + offset`, both as exact fractions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Scale {
    pub(super) factor: (i128, i128),
    pub(super) offset: (i128, i128),
}

// A symbol names one unit, so it stands for the whole entry.
impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.0.symbol == other.0.symbol
    }
}

impl Eq for Unit {}

impl Unit {
    /// Returns the symbol that is printed.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        self.0.symbol
    }

    /// Returns what it measures.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        self.0.dimension
    }

    /// Returns how it lies on the base unit; none where the calendar decides (a month has no fixed length).
    pub(super) fn scale(self) -> Option<Scale> {
        self.0.scale
    }

    /// Returns the unit written as `text`, by its symbol or one of its accepted spellings.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        UNITS.iter().find(|unit| unit.symbol == text || unit.also.contains(&text)).map(Self)
    }

    /// Returns what to write instead of a word that is the name of several units.
    #[must_use]
    pub fn meant_by(text: &str) -> Option<&'static str> {
        AMBIGUOUS.iter().find(|(word, _)| *word == text).map(|(_, which)| *which)
    }

    /// Returns every unit, for lists and near-miss hints.
    pub fn all() -> impl Iterator<Item = Self> {
        UNITS.iter().map(Self)
    }

    /// Returns where the factor of this unit comes from.
    #[must_use]
    pub fn source(self) -> &'static str {
        match self.0.dimension {
            Dimension::Temperature | Dimension::TemperatureDifference => {
                "NIST SP 811, appendix B: °F = °C · 9/5 + 32, K = °C + 273.15; a difference has no offset"
            }
            _ => {
                "exact definitions: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s², 1 US gal = 231 in³, \
                 1 imperial gal = 4.54609 L (NIST SP 811, appendix B)"
            }
        }
    }
}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.symbol)
    }
}

/// Words that name several units, and what to write. That they are mixed up is common practice, no source.
const AMBIGUOUS: [(&str, &str); 11] = [
    ("gal", "`US gal` or `imperial gal`"),
    ("gallon", "`US gal` or `imperial gal`"),
    ("gallons", "`US gal` or `imperial gal`"),
    ("gpm", "`US gal/min` or `L/min`"),
    ("ton", "`t` (1000 kg) or `long ton`"),
    ("tons", "`t` (1000 kg) or `long ton`"),
    ("oz", "`g` for a mass, `mL` for a volume, `ozf·in` for a torque"),
    ("kg·m", "`kgf·m` for a torque"),
    ("kgm", "`kgf·m` for a torque"),
    ("mil", "`thou` (0.001 in) or `mm`"),
    ("M", "`MPa`, `m` or `months`"),
];

const fn unit(
    symbol: &'static str,
    dimension: Dimension,
    also: &'static [&'static str],
    factor: (i128, i128),
) -> Entry {
    Entry { symbol, dimension, also, scale: Some(Scale { factor, offset: (0, 1) }) }
}

const fn shifted(
    symbol: &'static str,
    also: &'static [&'static str],
    factor: (i128, i128),
    offset: (i128, i128),
) -> Entry {
    Entry { symbol, dimension: Dimension::Temperature, also, scale: Some(Scale { factor, offset }) }
}

/// One pound-force in newtons: 0.45359237 kg · 9.80665 m/s².
const LBF: (i128, i128) = (8_896_443_230_521, 2_000_000_000_000);
/// One cubic foot in litres: 3.048³ dm³.
const CUBIC_FOOT: (i128, i128) = (28_316_846_592, 1_000_000_000);
/// One US gallon in litres: 231 cubic inches.
const US_GALLON: (i128, i128) = (473_176_473, 125_000_000);

/// The units a plant's tools show, with their factors to N·m, mm, N, Pa, K, kg, L, s, °, Hz, mm/s, L/min, V, A, Ω, W.
///
/// Symbols: SI brochure, 9th edition, and NIST SP 811 for inch units. Factors: the definitions 1 in = 25.4 mm,
/// 1 lb = 0.45359237 kg, standard gravity 9.80665 m/s², 1 US gallon = 231 in³, 1 imperial gallon = 4.54609 L (NIST SP 811,
/// appendix B), multiplied out exactly.
static UNITS: [Entry; 81] = [
    unit("N·m", Dimension::Torque, &["Nm", "N m", "N-m", "N.m", "N⋅m"], (1, 1)),
    unit(
        "lbf·ft",
        Dimension::Torque,
        &[
            "lbf ft", "lbf-ft", "ft·lbf", "ft-lbf", "ft lbf", "lbf⋅ft", "lb·ft", "lb-ft", "lb ft", "ft·lb", "ft-lb",
            "ft lb",
        ],
        (3_389_544_870_828_501, 2_500_000_000_000_000),
    ),
    unit(
        "lbf·in",
        Dimension::Torque,
        &[
            "lbf in", "lbf-in", "in·lbf", "in-lbf", "in lbf", "lbf⋅in", "lb·in", "lb-in", "lb in", "in·lb", "in-lb",
            "in lb",
        ],
        (1_129_848_290_276_167, 10_000_000_000_000_000),
    ),
    unit("kgf·m", Dimension::Torque, &["kgf m", "kgf-m", "kgf⋅m"], (196_133, 20_000)),
    unit(
        "ozf·in",
        Dimension::Torque,
        &["ozf in", "ozf-in", "ozf⋅in", "in·ozf", "in-ozf"],
        (1_129_848_290_276_167, 160_000_000_000_000_000),
    ),
    unit("kgf·cm", Dimension::Torque, &["kgf cm", "kgf-cm", "kgf⋅cm"], (196_133, 2_000_000)),
    unit("cN·m", Dimension::Torque, &["cNm", "cN m", "cN-m", "cN⋅m"], (1, 100)),
    unit("daN·m", Dimension::Torque, &["daNm", "daN m", "daN-m", "daN⋅m"], (10, 1)),
    unit("mm", Dimension::Length, &[], (1, 1)),
    unit("cm", Dimension::Length, &[], (10, 1)),
    unit("m", Dimension::Length, &[], (1000, 1)),
    unit("µm", Dimension::Length, &["μm", "um"], (1, 1000)),
    unit("in", Dimension::Length, &["inch"], (127, 5)),
    unit("ft", Dimension::Length, &[], (1524, 5)),
    unit("thou", Dimension::Length, &[], (127, 5000)),
    unit("N", Dimension::Force, &[], (1, 1)),
    unit("kN", Dimension::Force, &[], (1000, 1)),
    unit("lbf", Dimension::Force, &[], LBF),
    unit("kip", Dimension::Force, &[], (8_896_443_230_521, 2_000_000_000)),
    unit("kgf", Dimension::Force, &[], (196_133, 20_000)),
    unit("bar", Dimension::Pressure, &[], (100_000, 1)),
    unit("mbar", Dimension::Pressure, &[], (100, 1)),
    unit("Pa", Dimension::Pressure, &[], (1, 1)),
    unit("kPa", Dimension::Pressure, &[], (1000, 1)),
    unit("MPa", Dimension::Pressure, &[], (1_000_000, 1)),
    unit("N/mm²", Dimension::Pressure, &["N/mm2"], (1_000_000, 1)),
    unit("psi", Dimension::Pressure, &[], (8_896_443_230_521, 1_290_320_000)),
    unit("ksi", Dimension::Pressure, &[], (8_896_443_230_521, 1_290_320)),
    unit("kgf/cm²", Dimension::Pressure, &["kgf/cm2"], (196_133, 2)),
    unit("torr", Dimension::Pressure, &["Torr"], (20_265, 152)),
    shifted("°C", &["degC", "℃"], (1, 1), (5463, 20)),
    shifted("°F", &["degF", "℉"], (5, 9), (45_967, 180)),
    shifted("K", &["\u{212a}"], (1, 1), (0, 1)),
    unit("Δ°C", Dimension::TemperatureDifference, &["ΔdegC", "∆°C"], (1, 1)),
    unit("Δ°F", Dimension::TemperatureDifference, &["ΔdegF", "∆°F"], (5, 9)),
    unit("kg", Dimension::Mass, &[], (1, 1)),
    unit("g", Dimension::Mass, &[], (1, 1000)),
    unit("lb", Dimension::Mass, &[], (45_359_237, 100_000_000)),
    unit("t", Dimension::Mass, &[], (1000, 1)),
    unit("long ton", Dimension::Mass, &[], (317_514_659, 312_500)),
    unit("L", Dimension::Volume, &["l", "litre", "litres"], (1, 1)),
    unit("mL", Dimension::Volume, &["ml"], (1, 1000)),
    unit("cm³", Dimension::Volume, &["cm3"], (1, 1000)),
    unit("m³", Dimension::Volume, &["m3"], (1000, 1)),
    unit("ft³", Dimension::Volume, &["ft3"], CUBIC_FOOT),
    unit("US gal", Dimension::Volume, &["US gallon", "US gallons"], US_GALLON),
    unit("imperial gal", Dimension::Volume, &["imperial gallon", "imperial gallons"], (454_609, 100_000)),
    unit("L/min", Dimension::Flow, &["l/min"], (1, 1)),
    unit("L/h", Dimension::Flow, &["l/h"], (1, 60)),
    unit("m³/h", Dimension::Flow, &["m3/h"], (50, 3)),
    unit("US gal/min", Dimension::Flow, &[], US_GALLON),
    unit("ft³/min", Dimension::Flow, &["ft3/min"], CUBIC_FOOT),
    unit("s", Dimension::Time, &["second", "seconds"], (1, 1)),
    unit("min", Dimension::Time, &["minute", "minutes"], (60, 1)),
    unit("h", Dimension::Time, &["hour", "hours"], (3600, 1)),
    unit("d", Dimension::Time, &["day", "days"], (86_400, 1)),
    unit("°", Dimension::Angle, &["deg", "degree", "degrees"], (1, 1)),
    unit("turn", Dimension::Angle, &["turns"], (360, 1)),
    unit("arcmin", Dimension::Angle, &[], (1, 60)),
    unit("rpm", Dimension::Frequency, &["r/min", "1/min"], (1, 60)),
    unit("Hz", Dimension::Frequency, &[], (1, 1)),
    unit("kHz", Dimension::Frequency, &[], (1000, 1)),
    unit("mm/s", Dimension::Velocity, &[], (1, 1)),
    unit("m/s", Dimension::Velocity, &[], (1000, 1)),
    unit("in/s", Dimension::Velocity, &[], (127, 5)),
    unit("V", Dimension::Voltage, &[], (1, 1)),
    unit("mV", Dimension::Voltage, &[], (1, 1000)),
    unit("kV", Dimension::Voltage, &[], (1000, 1)),
    unit("A", Dimension::Current, &[], (1, 1)),
    unit("mA", Dimension::Current, &[], (1, 1000)),
    unit("Ω", Dimension::Resistance, &["Ω", "ohm"], (1, 1)),
    unit("kΩ", Dimension::Resistance, &["kΩ", "kohm"], (1000, 1)),
    unit("MΩ", Dimension::Resistance, &["MΩ", "Mohm"], (1_000_000, 1)),
    unit("W", Dimension::Power, &[], (1, 1)),
    unit("kW", Dimension::Power, &[], (1000, 1)),
    unit("dB", Dimension::Sound, &[], (1, 1)),
    unit("pH", Dimension::Acidity, &[], (1, 1)),
    unit("%", Dimension::Share, &["percent"], (1, 1)),
    Entry { symbol: "months", dimension: Dimension::Time, also: &["month"], scale: None },
    Entry { symbol: "years", dimension: Dimension::Time, also: &["year"], scale: None },
    unit("weeks", Dimension::Time, &["week"], (604_800, 1)),
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_spelling_names_two_units() {
        let mut seen = BTreeSet::new();
        for unit in Unit::all() {
            let own: BTreeSet<&str> = unit.0.also.iter().copied().chain([unit.symbol()]).collect();
            for spelling in own {
                assert!(seen.insert(spelling), "`{spelling}` names two units");
                assert_eq!(Unit::meant_by(spelling), None, "`{spelling}` is a unit and is called ambiguous");
            }
        }
    }
}
