//! Torque tools: permissible deviation by type and class, range, recalibration.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::fastener::tool::{RECALIBRATION, ToolClass, lowest};
use matchmark::base::quantity::Range;
use rust_decimal::Decimal;

/// Type, classes, torque (N·m), deviation in percent.
///
/// Source: ISO 6789-1:2017 5.1.5. Type II A was found in a tool's manual (which reviews the 2003 edition); the others are from memory.
const DEVIATIONS: [(&str, &[&str], f64, u32); 9] = [
    ("II", &["A", "B", "C"], 10.0, 6),
    ("II", &["A", "B", "C"], 10.01, 4),
    ("II", &["A", "B", "C"], 500.0, 4),
    ("II", &["D", "E", "F", "G"], 5.0, 6),
    ("II", &["D", "E", "F", "G"], 50.0, 6),
    ("I", &["B", "C", "E"], 10.0, 6),
    ("I", &["B", "C", "E"], 10.01, 4),
    ("I", &["A", "D"], 5.0, 6),
    ("I", &["A", "D"], 50.0, 6),
];

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (kind, letters, torque, percent) in DEVIATIONS {
        for letter in letters {
            let own = ToolClass::parse(kind, letter).expect(letter).deviation(torque);
            worst.hold(&format!("type {kind} class {letter}"), f64::from(own), f64::from(percent), 0.0);
        }
    }
    Agreement {
        table: "torque tools",
        rows: DEVIATIONS.len(),
        worst,
        tolerance: "exact",
        source: "ISO 6789-1:2017 5.1.5: class II A found, the others from memory",
    }
}

#[test]
fn tools_agree() {
    agreement();
    assert_eq!(ToolClass::parse("II", "H"), None);
    assert_eq!(ToolClass::parse("III", "A"), None);
    // ISO 6789-1:2017 5.3: 12 months or 5000 cycles (from memory).
    assert_eq!(RECALIBRATION, (12, 5000));
    // ISO 6789-1:2017 5.1.3: a range begins at the lowest mark (found: a tool maker's article). ISO 6789:2003 calibrated from 20 % of the
    // highest: a site may keep to it (found: a tool's manual; common practice).
    let range = Range::parse("10 to 60 N·m").expect("typed by hand");
    assert_eq!(lowest(&range, None), Decimal::from(10));
    assert_eq!(lowest(&range, Some(Decimal::new(2, 1))), Decimal::from(12));
}
