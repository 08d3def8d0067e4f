//! Sheets, cards and pouches.

use crate::agreement::{Agreement, Deviation};
use matchmark::base::paper::Sheet;

/// Name, short and long side (mm), both in points.
///
/// Sources: ISO 216 (from memory; its own construction holds, and A4 was found in a PDF), ISO/IEC 7810, ANSI/ASME Y14.1 (from memory).
#[rustfmt::skip]
const SHEETS: [(&str, f64, f64, &str, &str); 15] = [
    ("A0", 841.0, 1189.0, "2383.94", "3370.39"),
    ("A1", 594.0, 841.0, "1683.78", "2383.94"),
    ("A2", 420.0, 594.0, "1190.55", "1683.78"),
    ("A3", 297.0, 420.0, "841.89", "1190.55"),
    ("A4", 210.0, 297.0, "595.28", "841.89"),
    ("A5", 148.0, 210.0, "419.53", "595.28"),
    ("A6", 105.0, 148.0, "297.64", "419.53"),
    ("A7", 74.0, 105.0, "209.76", "297.64"),
    ("A8", 52.0, 74.0, "147.40", "209.76"),
    ("ID-1", 53.98, 85.6, "153.01", "242.65"),
    ("ID-2", 74.0, 105.0, "209.76", "297.64"),
    ("ID-3", 88.0, 125.0, "249.45", "354.33"),
    ("US Letter", 215.9, 279.4, "612.00", "792.00"),
    ("US Legal", 215.9, 355.6, "612.00", "1008.00"),
    ("US Tabloid", 279.4, 431.8, "792.00", "1224.00"),
];

/// Sheet, short and long side of its pouch (mm): a sealed border of 3 mm, a quarter of an inch for US Letter. Source: trade practice, from memory.
const POUCHES: [(&str, f64, f64); 5] = [
    ("US Letter", 228.6, 292.1),
    ("A4", 216.0, 303.0),
    ("A5", 154.0, 216.0),
    ("A6", 111.0, 154.0),
    ("A3", 303.0, 426.0),
];

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (name, short, long, short_points, long_points) in SHEETS {
        let own = Sheet::named(name).expect(name);
        worst.hold(name, f64::from(own.short) / 100.0, short, 0.0);
        worst.hold(name, f64::from(own.long) / 100.0, long, 0.0);
        worst.hold_printed(name, own.points().0, short_points, 0.0);
        worst.hold_printed(name, own.points().1, long_points, 0.0);
    }
    for (name, short, long) in POUCHES {
        let own = Sheet::named(name).and_then(Sheet::pouch).expect(name);
        worst.hold(name, f64::from(own.0) / 100.0, short, 0.0);
        worst.hold(name, f64::from(own.1) / 100.0, long, 0.0);
    }
    Agreement {
        table: "sheets, cards and pouches",
        rows: SHEETS.len() + POUCHES.len(),
        worst,
        tolerance: "exact; points to half of the last digit printed",
        source: "ISO 216, ISO/IEC 7810, ANSI/ASME Y14.1 and trade practice, from memory; A4 found in a PDF",
    }
}

#[test]
fn sheets_agree() {
    agreement();
}
