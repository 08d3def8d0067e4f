//! Settings of a torque wrench with an adapter.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::fastener::lever::Lever;

/// Torque at the fastener, lever, adapter, angle (degrees), setting, and what the fastener gets where nobody corrects.
///
/// Source: statics (moments about the drive); two calculator pages have the formula, and one of them the first two rows: found. The
/// other rows were computed by another hand. A page with the rule "correct only at 90°" is wrong.
const ROWS: [(f64, f64, f64, f64, f64, f64); 6] = [
    (80.0, 400.0, 50.0, 0.0, 71.111, 90.0),
    (80.0, 400.0, 50.0, 90.0, 80.0, 80.0),
    (60.0, 18.0, 3.0, 45.0, 53.674, 67.071),
    (60.0, 18.0, 3.0, 90.0, 60.0, 60.0),
    (25.0, 300.0, 75.0, 0.0, 20.0, 31.25),
    (25.0, 300.0, 75.0, 30.0, 20.551, 30.413),
];

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (torque, length, reach, angle, setting, uncorrected) in ROWS {
        let name = format!("{torque}, {length} and {reach} at {angle}°");
        let lever = Lever::new(length, reach, angle).expect(&name);
        // Typed to a thousandth.
        worst.hold(&name, lever.setting(torque), setting, 0.000_51 / setting);
        worst.hold(&name, lever.torque(torque), uncorrected, 0.000_51 / uncorrected);
    }
    Agreement {
        table: "wrench settings with an adapter",
        rows: ROWS.len(),
        worst,
        tolerance: "0.0005 of the unit",
        source: "statics; two rows found on a calculator page, four computed by another hand",
    }
}

#[test]
fn settings_agree() {
    agreement();
}
