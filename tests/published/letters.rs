//! Heights of letters by reading distance.

use crate::agreement::{Agreement, Deviation};
use matchmark::base::letter::{by_two_hundredth, cap_height_mm, on_a_label, on_a_sign};

/// Distance (mm), minutes of arc, height (mm).
///
/// Source: h = 2 · D · tan(θ / 2) with 16 to 24 min (FAA HF-STD-001), 16 min (NUREG-0700), 16 and better 20 to 22 min (ISO 9241-3):
/// rules found on three public pages, numbers computed by another hand.
#[rustfmt::skip]
const BY_ANGLE: [(f64, f64, &str); 16] = [
    (350.0, 16.0, "1.63"),
    (350.0, 20.0, "2.04"),
    (350.0, 24.0, "2.44"),
    (500.0, 16.0, "2.33"),
    (500.0, 22.0, "3.20"),
    (500.0, 24.0, "3.49"),
    (700.0, 20.0, "4.07"),
    (700.0, 22.0, "4.48"),
    (1000.0, 16.0, "4.65"),
    (1000.0, 20.0, "5.82"),
    (1000.0, 24.0, "6.98"),
    (2000.0, 16.0, "9.31"),
    (2000.0, 22.0, "12.80"),
    (2000.0, 24.0, "13.96"),
    (3000.0, 20.0, "17.45"),
    (3000.0, 22.0, "19.20"),
];

/// Distance and height (mm): one in two hundred. Source: common sign practice; EN 1838; from memory.
#[rustfmt::skip]
const BY_TWO_HUNDREDTH: [(f64, &str); 4] = [
    (500.0, "2.50"),
    (700.0, "3.50"),
    (2000.0, "10.00"),
    (5000.0, "25.00"),
];

/// Distance and height (mm). Source: ANSI Z535.2 and Z535.4, annex B; from memory, doubtful.
#[rustfmt::skip]
const ON_A_SIGN: [(f64, &str); 5] = [
    (609.6, "4.06"),
    (914.4, "6.10"),
    (1828.8, "9.65"),
    (3048.0, "12.70"),
    (9144.0, "30.48"),
];

/// Distance and height (mm). Source: MIL-STD-1472, size of labels by distance; from memory.
const ON_A_LABEL: [(f64, f64); 6] =
    [(501.0, 4.7), (1000.0, 4.7), (1001.0, 9.4), (2000.0, 9.4), (4001.0, 38.0), (8000.0, 38.0)];

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (distance, minutes, printed) in BY_ANGLE {
        worst.hold_printed(&format!("{distance} mm, {minutes} min"), cap_height_mm(distance, minutes), printed, 0.0);
    }
    for (distance, printed) in BY_TWO_HUNDREDTH {
        worst.hold_printed(&format!("{distance} mm, 1/200"), by_two_hundredth(distance), printed, 0.0);
    }
    for (distance, printed) in ON_A_SIGN {
        worst.hold_printed(&format!("{distance} mm, sign"), on_a_sign(distance), printed, 0.0);
    }
    for (distance, height) in ON_A_LABEL {
        worst.hold(&format!("{distance} mm, label"), on_a_label(distance).expect("a known step"), height, 0.0);
    }
    Agreement {
        table: "heights of letters",
        // The three steps of the labels are held at both of their ends.
        rows: BY_ANGLE.len() + BY_TWO_HUNDREDTH.len() + ON_A_SIGN.len() + ON_A_LABEL.len() / 2,
        worst,
        tolerance: "half of the last digit printed",
        source: "FAA HF-STD-001, NUREG-0700 and ISO 9241-3 found; sign practice, ANSI Z535 and MIL-STD-1472 from memory",
    }
}

#[test]
fn heights_agree() {
    agreement();
    assert_eq!((on_a_label(500.0), on_a_label(3000.0)), (None, None));
}
