//! Units: factors of force, torque, length, pressure, mass, volume and flow, and temperatures.

use crate::agreement::{Agreement, Deviation};
use matchmark::base::quantity::{Exact, Quantity, Rounding, Unit};

/// From, to, the factor to fifteen digits, and the factor as a fraction.
///
/// Source: the definitions 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s², 1 US gal = 231 in³, 1 imperial gal =
/// 4.54609 L (NIST SP 811, appendix B), computed exactly; found: a unit library and GNU units agree with them to 1e-12.
#[rustfmt::skip]
const FACTORS: [(&str, &str, &str, i128, i128); 28] = [
    ("lbf·ft", "N·m", "1.3558179483314", 3389544870828501, 2500000000000000),
    ("lbf·in", "N·m", "0.112984829027617", 1129848290276167, 10000000000000000),
    ("kgf·cm", "N·m", "0.0980665", 196133, 2000000),
    ("ozf·in", "N·m", "0.00706155181422604", 1129848290276167, 160000000000000000),
    ("N·m", "lbf·in", "8.85074579132718", 10000000000000000, 1129848290276167),
    ("N·m", "kgf·m", "0.101971621297793", 20000, 196133),
    ("cN·m", "N·m", "0.01", 1, 100),
    ("daN·m", "N·m", "10", 10, 1),
    ("ft", "m", "0.3048", 381, 1250),
    ("thou", "µm", "25.4", 127, 5),
    ("mm", "in", "0.0393700787401575", 5, 127),
    ("psi", "kPa", "6.89475729316836", 8896443230521, 1290320000000),
    ("bar", "kPa", "100", 100, 1),
    ("bar", "psi", "14.5037737730209", 129032000000000, 8896443230521),
    ("kgf/cm²", "bar", "0.980665", 196133, 200000),
    ("ksi", "MPa", "6.89475729316836", 8896443230521, 1290320000000),
    ("torr", "Pa", "133.322368421053", 20265, 152),
    ("lb", "kg", "0.45359237", 45359237, 100000000),
    ("kg", "lb", "2.20462262184878", 100000000, 45359237),
    ("long ton", "kg", "1016.0469088", 317514659, 312500),
    ("kgf", "N", "9.80665", 196133, 20000),
    ("kip", "kN", "4.4482216152605", 8896443230521, 2000000000000),
    ("US gal", "L", "3.785411784", 473176473, 125000000),
    ("imperial gal", "L", "4.54609", 454609, 100000),
    ("US gal/min", "L/min", "3.785411784", 473176473, 125000000),
    ("US gal/min", "m³/h", "0.22712470704", 1419529419, 6250000000),
    ("ft³/min", "m³/h", "1.69901079552", 165919023, 97656250),
    ("m³/h", "L/min", "16.6666666666667", 50, 3),
];

/// Number, from, to, and the number there. Source: NIST SP 811; computed, and found to be what a unit library gives.
#[rustfmt::skip]
const TEMPERATURES: [(&str, &str, &str, &str); 6] = [
    ("0", "°C", "°F", "32"),
    ("85", "°C", "°F", "185"),
    ("212", "°F", "°C", "100"),
    ("25", "°C", "K", "298.15"),
    ("121.1", "°C", "°F", "249.98"),
    ("10", "Δ°C", "Δ°F", "18"),
];

fn unit(symbol: &str) -> Unit {
    Unit::parse(symbol).expect(symbol)
}

fn quantity(number: &str, symbol: &str) -> Quantity {
    Quantity::parse(&format!("{number} {symbol}")).expect(symbol)
}

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (from, to, printed, numerator, denominator) in FACTORS {
        let own = quantity("1", from).exactly_in(unit(to)).expect(from);
        assert_eq!(Some(own), Exact::new(numerator, denominator), "{from} in {to}");
        let own = quantity("1", from).float_in(unit(to)).expect(from);
        worst.hold(&format!("{from} in {to}"), own, printed.parse().expect("a number"), 1e-14);
    }
    for (number, from, to, expected) in TEMPERATURES {
        let own = quantity(number, from).exactly_in(unit(to)).expect(from).rounded(2, Rounding::Nearest);
        let own = own.expect("few digits").normalize().to_string();
        assert_eq!(own, expected, "{number} {from} in {to}");
    }
    Agreement {
        table: "units",
        rows: FACTORS.len() + TEMPERATURES.len(),
        worst,
        tolerance: "exact as fractions; 1e-14 to the fifteen digits printed",
        source: "NIST SP 811, appendix B: definitions multiplied out exactly; two unit programs agree, found",
    }
}

#[test]
fn units_agree() {
    agreement();
}
