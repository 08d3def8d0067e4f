//! Unified inch threads, coarse and fine: stress areas.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::fastener::thread::{Series, Thread};

/// Thread, diameter (in), threads per inch, stress area by the formula, as tabulated, and as the thread library `screw_thread_lib`
/// 0.0.6 has it (in²; nought where it has no row).
///
/// Source: ASME B1.1 appendix B, As = 0.7854 (D - 0.9743/n)², also FED-STD-H28/2B. The formula was found in the library; the
/// tabulated areas are from memory.
#[rustfmt::skip]
const ROWS: [(&str, f64, f64, f64, f64, f64); 38] = [
    ("#4-40 UNC", 0.112, 40.0, 0.00603, 0.00604, 0.0),
    ("#4-48 UNF", 0.112, 48.0, 0.00660, 0.00661, 0.0),
    ("#5-40 UNC", 0.125, 40.0, 0.00796, 0.00796, 0.0),
    ("#5-44 UNF", 0.125, 44.0, 0.00831, 0.0083, 0.0),
    ("#6-32 UNC", 0.138, 32.0, 0.00909, 0.00909, 0.0),
    ("#6-40 UNF", 0.138, 40.0, 0.01014, 0.01015, 0.0),
    ("#8-32 UNC", 0.164, 32.0, 0.01401, 0.014, 0.0),
    ("#8-36 UNF", 0.164, 36.0, 0.01473, 0.01474, 0.0),
    ("#10-24 UNC", 0.19, 24.0, 0.01753, 0.0175, 0.01753),
    ("#10-32 UNF", 0.19, 32.0, 0.01999, 0.02, 0.01999),
    ("#12-24 UNC", 0.216, 24.0, 0.02416, 0.0242, 0.0),
    ("#12-28 UNF", 0.216, 28.0, 0.02579, 0.0258, 0.0),
    ("1/4-20 UNC", 0.25, 20.0, 0.03182, 0.0318, 0.03182),
    ("1/4-28 UNF", 0.25, 28.0, 0.03637, 0.0364, 0.03637),
    ("5/16-18 UNC", 0.3125, 18.0, 0.05243, 0.0524, 0.0),
    ("5/16-24 UNF", 0.3125, 24.0, 0.05807, 0.058, 0.0),
    ("3/8-16 UNC", 0.375, 16.0, 0.07749, 0.0775, 0.0),
    ("3/8-24 UNF", 0.375, 24.0, 0.08783, 0.0878, 0.0),
    ("7/16-14 UNC", 0.4375, 14.0, 0.10631, 0.1063, 0.0),
    ("7/16-20 UNF", 0.4375, 20.0, 0.11872, 0.1187, 0.0),
    ("1/2-13 UNC", 0.5, 13.0, 0.14190, 0.1419, 0.14190),
    ("1/2-20 UNF", 0.5, 20.0, 0.15995, 0.1599, 0.15995),
    ("9/16-12 UNC", 0.5625, 12.0, 0.18194, 0.182, 0.0),
    ("9/16-18 UNF", 0.5625, 18.0, 0.20298, 0.203, 0.0),
    ("5/8-11 UNC", 0.625, 11.0, 0.22600, 0.226, 0.0),
    ("5/8-18 UNF", 0.625, 18.0, 0.25596, 0.256, 0.0),
    ("3/4-10 UNC", 0.75, 10.0, 0.33446, 0.334, 0.33446),
    ("3/4-16 UNF", 0.75, 16.0, 0.37296, 0.373, 0.37296),
    ("7/8-9 UNC", 0.875, 9.0, 0.46173, 0.462, 0.0),
    ("7/8-14 UNF", 0.875, 14.0, 0.50947, 0.509, 0.0),
    ("1-8 UNC", 1.0, 8.0, 0.60574, 0.606, 0.60575),
    ("1-12 UNF", 1.0, 12.0, 0.66304, 0.663, 0.66304),
    ("1-1/8-7 UNC", 1.125, 7.0, 0.76327, 0.763, 0.0),
    ("1-1/8-12 UNF", 1.125, 12.0, 0.85572, 0.856, 0.0),
    ("1-1/4-7 UNC", 1.25, 7.0, 0.96911, 0.969, 0.0),
    ("1-1/4-12 UNF", 1.25, 12.0, 1.07294, 1.073, 0.0),
    ("1-1/2-6 UNC", 1.5, 6.0, 1.40525, 1.405, 0.0),
    ("1-1/2-12 UNF", 1.5, 12.0, 1.58102, 1.581, 0.0),
];

/// Tabulated areas have three or four digits.
const TABULATED: f64 = 0.002;
const SQUARE_INCH: f64 = 25.4 * 25.4;

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (name, diameter, per_inch, computed, tabulated, library) in ROWS {
        let thread = Thread::parse(name).expect(name);
        assert_eq!(thread.series == Series::Unc, name.ends_with("UNC"), "{name}");
        assert!(
            (thread.diameter - diameter * 25.4).abs() < 1e-9 && (thread.pitch - 25.4 / per_inch).abs() < 1e-9,
            "{name}"
        );
        let area = thread.stress_area() / SQUARE_INCH;
        assert!((area - computed).abs() <= 0.000_005_1, "{name}: {area} and {computed}");
        if library > 0.0 {
            assert!((area - library).abs() <= 0.000_011, "{name}: {area} and {library}");
        }
        worst.hold(name, area, tabulated, TABULATED);
    }
    Agreement {
        table: "stress areas of inch threads",
        rows: ROWS.len(),
        worst,
        tolerance: "0.2 % (three or four digits printed); the formula to 0.000005 in²",
        source: "ASME B1.1 appendix B: formula found, table from memory",
    }
}

#[test]
fn inch_threads_agree() {
    agreement();
}
