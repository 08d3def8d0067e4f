//! Assembly preload and torque at 90 % of the yield, fine threads: VDI 2230-1.

use crate::agreement::{Agreement, Deviation, assembly};

/// Size, class, friction in thread and under head, preload (kN) and torque (N·m) computed, preload and torque as the table has them.
///
/// Source: a fastener catalogue's table after VDI 2230 (editions 2001 and 2003), 90 % of the least yield: found. The computed columns were
/// made with the formula by another hand.
#[rustfmt::skip]
const ROWS: [(&str, &str, f64, f64, f64, &str, &str); 42] = [
    ("M8x1", "8.8", 0.1, 20.73, 22.83, "20.7", "22.8"),
    ("M8x1", "10.9", 0.1, 30.45, 33.53, "30.4", "33.5"),
    ("M8x1", "8.8", 0.12, 20.24, 26.11, "20.2", "26.1"),
    ("M8x1", "10.9", 0.12, 29.73, 38.34, "29.7", "38.3"),
    ("M8x1", "8.8", 0.14, 19.73, 29.16, "19.7", "29.2"),
    ("M8x1", "10.9", 0.14, 28.98, 42.83, "28.9", "42.8"),
    ("M10x1.25", "8.8", 0.1, 32.39, 44.47, "32.4", "44"),
    ("M10x1.25", "10.9", 0.1, 47.57, 65.31, "47.5", "65"),
    ("M10x1.25", "8.8", 0.12, 31.63, 50.85, "31.6", "51"),
    ("M10x1.25", "10.9", 0.12, 46.46, 74.68, "46.4", "75"),
    ("M10x1.25", "8.8", 0.14, 30.83, 56.79, "30.8", "57"),
    ("M10x1.25", "10.9", 0.14, 45.28, 83.41, "45.2", "83"),
    ("M12x1.25", "8.8", 0.1, 49.15, 78.70, "49.1", "79"),
    ("M12x1.25", "10.9", 0.1, 72.18, 115.59, "72.1", "116"),
    ("M12x1.25", "8.8", 0.12, 48.04, 90.40, "48.0", "90"),
    ("M12x1.25", "10.9", 0.12, 70.56, 132.77, "70.5", "133"),
    ("M12x1.25", "8.8", 0.14, 46.87, 101.32, "46.8", "101"),
    ("M12x1.25", "10.9", 0.14, 68.84, 148.82, "68.7", "149"),
    ("M14x1.5", "8.8", 0.1, 66.40, 124.37, "66.4", "124"),
    ("M14x1.5", "10.9", 0.1, 97.53, 182.67, "97.5", "182"),
    ("M14x1.5", "8.8", 0.12, 64.90, 142.75, "64.8", "142"),
    ("M14x1.5", "10.9", 0.12, 95.32, 209.67, "95.2", "209"),
    ("M14x1.5", "8.8", 0.14, 63.31, 159.92, "63.2", "159"),
    ("M14x1.5", "10.9", 0.14, 92.98, 234.89, "92.9", "234"),
    ("M16x1.5", "8.8", 0.1, 89.63, 189.25, "89.6", "189"),
    ("M16x1.5", "10.9", 0.1, 131.64, 277.96, "131.6", "278"),
    ("M16x1.5", "8.8", 0.12, 87.66, 217.90, "87.6", "218"),
    ("M16x1.5", "10.9", 0.12, 128.75, 320.04, "128.7", "320"),
    ("M16x1.5", "8.8", 0.14, 85.55, 244.69, "85.5", "244"),
    ("M16x1.5", "10.9", 0.14, 125.66, 359.39, "125.5", "359"),
    ("M18x1.5", "8.8", 0.1, 119.96, 283.10, "120", "283"),
    ("M18x1.5", "10.9", 0.1, 170.85, 403.21, "171", "403"),
    ("M18x1.5", "8.8", 0.12, 117.38, 326.79, "117", "327"),
    ("M18x1.5", "10.9", 0.12, 167.18, 465.43, "167", "465"),
    ("M20x1.5", "8.8", 0.12, 147.88, 454.01, "148", "454"),
    ("M20x1.5", "10.9", 0.12, 210.61, 646.62, "211", "646"),
    ("M24x2", "8.8", 0.1, 213.26, 666.80, "213", "666"),
    ("M24x2", "10.9", 0.1, 303.74, 949.68, "304", "949"),
    ("M24x2", "8.8", 0.12, 208.68, 769.60, "209", "769"),
    ("M24x2", "10.9", 0.12, 297.21, 1096.10, "297", "1095"),
    ("M24x2", "8.8", 0.14, 203.76, 865.84, "204", "865"),
    ("M24x2", "10.9", 0.14, 290.20, 1233.16, "290", "1232"),
];

/// Beside half of the last digit printed: the bearing of the head, and where the table was rounded on the way.
const TABLE: f64 = 0.005;
/// The bearing of the head is typed here to a hundredth of a millimetre, there to a tenth.
const COMPUTED: f64 = 0.004;

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    let mut computed = Deviation::default();
    for (size, class, friction, own_preload, own_torque, table_preload, table_torque) in ROWS {
        let name = format!("{size} {class} at {friction}");
        let (preload, torque) = assembly(size, class, friction);
        computed.hold(&name, preload, own_preload, COMPUTED);
        computed.hold(&name, torque, own_torque, COMPUTED);
        worst.hold_printed(&name, preload, table_preload, TABLE);
        worst.hold_printed(&name, torque, table_torque, TABLE);
    }
    Agreement {
        table: "assembly preload and torque, fine threads",
        rows: ROWS.len(),
        worst,
        tolerance: "half of the last digit printed and 0.5 %; 0.4 % to the computed columns",
        source: "a catalogue's table after VDI 2230-1, found",
    }
}

#[test]
fn assembly_preloads_of_fine_threads_agree() {
    agreement();
}
