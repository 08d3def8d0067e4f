//! QR codes: what a version holds, and how large it is printed.

use crate::agreement::{Agreement, Deviation};
use matchmark::base::qr::{
    Packing, QUIET_MODULES, Recovery, capacity, data_bits, modules, version_for, width_for, widths,
};

/// Version, modules a side, recovery, bits of data, digits, alphanumerics, bytes.
///
/// Source: ISO/IEC 18004, table 7: bits found in an independent library, characters computed from them by another hand; 38
/// alphanumerics in version 2 with medium recovery and 50 in version 3 found on the inventor's page.
#[rustfmt::skip]
const ROWS: [(u32, u32, Recovery, u32, u32, u32, u32); 27] = [
    (1, 21, Recovery::Low, 152, 41, 25, 17),
    (1, 21, Recovery::Medium, 128, 34, 20, 14),
    (1, 21, Recovery::High, 72, 17, 10, 7),
    (2, 25, Recovery::Low, 272, 77, 47, 32),
    (2, 25, Recovery::Quartile, 176, 48, 29, 20),
    (2, 25, Recovery::High, 128, 34, 20, 14),
    (3, 29, Recovery::Medium, 352, 101, 61, 42),
    (3, 29, Recovery::Quartile, 272, 77, 47, 32),
    (4, 33, Recovery::Low, 640, 187, 114, 78),
    (4, 33, Recovery::Medium, 512, 149, 90, 62),
    (4, 33, Recovery::High, 288, 82, 50, 34),
    (5, 37, Recovery::Low, 864, 255, 154, 106),
    (5, 37, Recovery::Quartile, 496, 144, 87, 60),
    (5, 37, Recovery::High, 368, 106, 64, 44),
    (6, 41, Recovery::Medium, 864, 255, 154, 106),
    (6, 41, Recovery::Quartile, 608, 178, 108, 74),
    (7, 45, Recovery::Low, 1248, 370, 224, 154),
    (7, 45, Recovery::Medium, 992, 293, 178, 122),
    (7, 45, Recovery::High, 528, 154, 93, 64),
    (8, 49, Recovery::Low, 1552, 461, 279, 192),
    (8, 49, Recovery::Quartile, 880, 259, 157, 108),
    (8, 49, Recovery::High, 688, 202, 122, 84),
    (9, 53, Recovery::Medium, 1456, 432, 262, 180),
    (9, 53, Recovery::Quartile, 1056, 312, 189, 130),
    (10, 57, Recovery::Low, 2192, 652, 395, 271),
    (10, 57, Recovery::Medium, 1728, 513, 311, 213),
    (10, 57, Recovery::High, 976, 288, 174, 119),
];

pub(crate) fn agreement() -> Agreement {
    for (version, side, recovery, bits, digits, alphanumerics, bytes) in ROWS {
        let place = format!("version {version} {recovery:?}");
        assert_eq!(modules(version), Some(side), "{place}");
        assert_eq!(data_bits(version, recovery), Some(bits), "{place}");
        let held = [Packing::Numeric, Packing::Alphanumeric, Packing::Byte]
            .map(|packing| capacity(version, recovery, packing));
        assert_eq!(held, [Some(digits), Some(alphanumerics), Some(bytes)], "{place}");
    }
    Agreement {
        table: "capacity of QR codes",
        rows: ROWS.len(),
        worst: Deviation::default(),
        tolerance: "exact",
        source: "ISO/IEC 18004, table 7: found in an independent library",
    }
}

/// Source: the inventor's page (white space, worked example); two pages with the rule of thumb of ten to one. All found.
pub(crate) fn print_rules() -> Agreement {
    let mut worst = Deviation::default();
    worst.hold("read from 300 mm", width_for(300.0), 30.0, 0.0);
    assert_eq!(QUIET_MODULES, 4);
    // 50 alphanumerics, medium recovery: version 3 of 29 modules; four dots of 400 to the inch a module.
    let text = "A".repeat(50);
    assert_eq!(version_for(&text, Recovery::Medium), Some(3));
    let (code, whole) = widths(29, 4.0 / 400.0 * 25.4);
    worst.hold("worked example, code", code, 7.366, 1e-9);
    worst.hold("worked example, with white space", whole, 9.398, 1e-9);
    // 38 alphanumerics fill version 2 with medium recovery.
    assert_eq!(capacity(2, Recovery::Medium, Packing::Alphanumeric), Some(38));
    Agreement {
        table: "printing of QR codes",
        rows: 3,
        worst,
        tolerance: "exact",
        source: "the inventor's page and two pages on reading distance, found",
    }
}

#[test]
fn codes_agree() {
    agreement();
    print_rules();
}
