//! ISO metric threads, coarse: dimensions and stress areas.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::fastener::thread::Thread;

/// Size, diameter, pitch, d2, d1, d3 (mm), stress area by the formula and as tabulated (mm²).
///
/// Sources: ISO 261 and ISO 262 (pitches: found in an open table of standard parts, which agrees), ISO 724 (d2, d1) and ISO 898-1 clause 9.1
/// (d3, stress area): computed from formulas that are from memory; the tabulated areas were found in two web tables of ISO 898-1.
#[rustfmt::skip]
#[expect(clippy::approx_constant, reason = "the root diameter of M4 is no circle's ratio")]
#[expect(clippy::type_complexity, reason = "a row is a row of the table")]
const ROWS: [(&str, f64, f64, f64, f64, f64, f64, f64); 20] = [
    ("M3", 3.0, 0.5, 2.675, 2.459, 2.387, 5.031, 5.03),
    ("M3.5", 3.5, 0.6, 3.110, 2.850, 2.764, 6.775, 6.78),
    ("M4", 4.0, 0.7, 3.545, 3.242, 3.141, 8.779, 8.78),
    ("M5", 5.0, 0.8, 4.480, 4.134, 4.019, 14.183, 14.2),
    ("M6", 6.0, 1.0, 5.350, 4.917, 4.773, 20.123, 20.1),
    ("M7", 7.0, 1.0, 6.350, 5.917, 5.773, 28.860, 28.9),
    ("M8", 8.0, 1.25, 7.188, 6.647, 6.466, 36.609, 36.6),
    ("M10", 10.0, 1.5, 9.026, 8.376, 8.160, 57.990, 58.0),
    ("M12", 12.0, 1.75, 10.863, 10.106, 9.853, 84.267, 84.3),
    ("M14", 14.0, 2.0, 12.701, 11.835, 11.546, 115.439, 115.0),
    ("M16", 16.0, 2.0, 14.701, 13.835, 13.546, 156.668, 157.0),
    ("M18", 18.0, 2.5, 16.376, 15.294, 14.933, 192.473, 192.0),
    ("M20", 20.0, 2.5, 18.376, 17.294, 16.933, 244.794, 245.0),
    ("M22", 22.0, 2.5, 20.376, 19.294, 18.933, 303.399, 303.0),
    ("M24", 24.0, 3.0, 22.051, 20.752, 20.319, 352.504, 353.0),
    ("M27", 27.0, 3.0, 25.051, 23.752, 23.319, 459.406, 459.0),
    ("M30", 30.0, 3.5, 27.727, 26.211, 25.706, 560.587, 561.0),
    ("M33", 33.0, 3.5, 30.727, 29.211, 28.706, 693.553, 694.0),
    ("M36", 36.0, 4.0, 33.402, 31.670, 31.093, 816.723, 817.0),
    ("M39", 39.0, 4.0, 36.402, 34.670, 34.093, 975.753, 976.0),
];

/// Tabulated areas are rounded to three digits: half of the last one is at most 0.5 %.
const TABULATED: f64 = 0.005;
/// Computed columns are typed to a thousandth; half of it, and a little for the halfway cases.
const THOUSANDTH: f64 = 0.000_501;

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (size, diameter, pitch, d2, d1, d3, computed, tabulated) in ROWS {
        let thread = Thread::parse(size).expect(size);
        for (own, typed) in [
            (thread.diameter, diameter),
            (thread.pitch, pitch),
            (thread.pitch_diameter(), d2),
            (thread.minor_diameter(), d1),
            (thread.root_diameter().expect("metric"), d3),
            (thread.stress_area(), computed),
        ] {
            assert!((own - typed).abs() <= THOUSANDTH, "{size}: {own} and {typed}");
        }
        worst.hold(size, thread.stress_area(), tabulated, TABULATED);
    }
    Agreement {
        table: "stress areas of metric coarse threads",
        rows: ROWS.len(),
        worst,
        tolerance: "0.5 % (three digits printed); d2, d1, d3 to 0.001 mm",
        source: "ISO 898-1 tables, found in two web tables; ISO 724 and ISO 898-1 formulas",
    }
}

#[test]
fn metric_threads_agree() {
    agreement();
}
