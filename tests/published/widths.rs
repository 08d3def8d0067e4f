//! Widths across flats of heads, nuts and sockets.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::fastener::hexagon::Head;

/// Head, size, width, how many open tables of standard parts agree, how many do not.
///
/// Sources: ISO 4014, ISO 4017, ISO 4032 and ISO 272; DIN 931, DIN 933 and DIN 934; ISO 4762; ISO 4026 to ISO 4029; ISO 10642; ISO 7380-1;
/// ASME B18.3, B18.2.1, B18.2.2: held against open tables of standard parts. For M14 three of them still have the older 22 mm; for inch nuts
/// above 5/8 the one open table has means of a tolerance, and for the 9/16 head none: those widths are from memory.
#[rustfmt::skip]
const ROWS: [(Head, &str, &str, u32, u32); 121] = [
    (Head::HexagonIso, "M3", "5.5 mm", 7, 0),
    (Head::HexagonIso, "M4", "7 mm", 7, 0),
    (Head::HexagonIso, "M5", "8 mm", 7, 0),
    (Head::HexagonIso, "M6", "10 mm", 7, 0),
    (Head::HexagonIso, "M8", "13 mm", 7, 0),
    (Head::HexagonIso, "M10", "16 mm", 7, 0),
    (Head::HexagonIso, "M12", "18 mm", 7, 0),
    (Head::HexagonIso, "M14", "21 mm", 4, 3),
    (Head::HexagonIso, "M16", "24 mm", 7, 0),
    (Head::HexagonIso, "M18", "27 mm", 7, 0),
    (Head::HexagonIso, "M20", "30 mm", 7, 0),
    (Head::HexagonIso, "M22", "34 mm", 7, 0),
    (Head::HexagonIso, "M24", "36 mm", 7, 0),
    (Head::HexagonIso, "M27", "41 mm", 7, 0),
    (Head::HexagonIso, "M30", "46 mm", 7, 0),
    (Head::HexagonIso, "M33", "50 mm", 7, 0),
    (Head::HexagonIso, "M36", "55 mm", 7, 0),
    (Head::HexagonDin, "M3", "5.5 mm", 2, 0),
    (Head::HexagonDin, "M4", "7 mm", 2, 0),
    (Head::HexagonDin, "M5", "8 mm", 2, 0),
    (Head::HexagonDin, "M6", "10 mm", 2, 0),
    (Head::HexagonDin, "M8", "13 mm", 2, 0),
    (Head::HexagonDin, "M10", "17 mm", 2, 0),
    (Head::HexagonDin, "M12", "19 mm", 2, 0),
    (Head::HexagonDin, "M14", "22 mm", 2, 0),
    (Head::HexagonDin, "M16", "24 mm", 2, 0),
    (Head::HexagonDin, "M18", "27 mm", 2, 0),
    (Head::HexagonDin, "M20", "30 mm", 2, 0),
    (Head::HexagonDin, "M22", "32 mm", 2, 0),
    (Head::HexagonDin, "M24", "36 mm", 2, 0),
    (Head::HexagonDin, "M27", "41 mm", 2, 0),
    (Head::HexagonDin, "M30", "46 mm", 2, 0),
    (Head::HexagonDin, "M36", "55 mm", 2, 0),
    (Head::SocketIso, "M3", "2.5 mm", 3, 0),
    (Head::SocketIso, "M4", "3 mm", 3, 0),
    (Head::SocketIso, "M5", "4 mm", 3, 0),
    (Head::SocketIso, "M6", "5 mm", 3, 0),
    (Head::SocketIso, "M8", "6 mm", 3, 0),
    (Head::SocketIso, "M10", "8 mm", 3, 0),
    (Head::SocketIso, "M12", "10 mm", 3, 0),
    (Head::SocketIso, "M14", "12 mm", 3, 0),
    (Head::SocketIso, "M16", "14 mm", 3, 0),
    (Head::SocketIso, "M20", "17 mm", 3, 0),
    (Head::SocketIso, "M24", "19 mm", 3, 0),
    (Head::SocketIso, "M30", "22 mm", 3, 0),
    (Head::SocketIso, "M36", "27 mm", 3, 0),
    (Head::SetScrewIso, "M3", "1.5 mm", 4, 0),
    (Head::SetScrewIso, "M4", "2 mm", 4, 0),
    (Head::SetScrewIso, "M5", "2.5 mm", 4, 0),
    (Head::SetScrewIso, "M6", "3 mm", 4, 0),
    (Head::SetScrewIso, "M8", "4 mm", 4, 0),
    (Head::SetScrewIso, "M10", "5 mm", 4, 0),
    (Head::SetScrewIso, "M12", "6 mm", 4, 0),
    (Head::SetScrewIso, "M16", "8 mm", 4, 0),
    (Head::SetScrewIso, "M20", "10 mm", 4, 0),
    (Head::SetScrewIso, "M24", "12 mm", 2, 0),
    (Head::CountersunkIso, "M3", "2 mm", 2, 0),
    (Head::CountersunkIso, "M4", "2.5 mm", 2, 0),
    (Head::CountersunkIso, "M5", "3 mm", 2, 0),
    (Head::CountersunkIso, "M6", "4 mm", 2, 0),
    (Head::CountersunkIso, "M8", "5 mm", 2, 0),
    (Head::CountersunkIso, "M10", "6 mm", 2, 0),
    (Head::CountersunkIso, "M12", "8 mm", 2, 0),
    (Head::CountersunkIso, "M16", "10 mm", 2, 0),
    (Head::CountersunkIso, "M20", "12 mm", 2, 0),
    (Head::ButtonIso, "M3", "2 mm", 1, 0),
    (Head::ButtonIso, "M4", "2.5 mm", 1, 0),
    (Head::ButtonIso, "M5", "3 mm", 1, 0),
    (Head::ButtonIso, "M6", "4 mm", 1, 0),
    (Head::ButtonIso, "M8", "5 mm", 1, 0),
    (Head::ButtonIso, "M10", "6 mm", 1, 0),
    (Head::ButtonIso, "M12", "8 mm", 1, 0),
    (Head::ButtonIso, "M16", "10 mm", 1, 0),
    (Head::SocketInch, "#4", "3/32 in", 1, 0),
    (Head::SocketInch, "#5", "3/32 in", 1, 0),
    (Head::SocketInch, "#6", "7/64 in", 1, 0),
    (Head::SocketInch, "#8", "9/64 in", 1, 0),
    (Head::SocketInch, "#10", "5/32 in", 1, 0),
    (Head::SocketInch, "1/4", "3/16 in", 1, 0),
    (Head::SocketInch, "5/16", "1/4 in", 1, 0),
    (Head::SocketInch, "3/8", "5/16 in", 1, 0),
    (Head::SocketInch, "7/16", "3/8 in", 1, 0),
    (Head::SocketInch, "1/2", "3/8 in", 1, 0),
    (Head::SocketInch, "5/8", "1/2 in", 1, 0),
    (Head::SocketInch, "3/4", "5/8 in", 1, 0),
    (Head::SocketInch, "7/8", "3/4 in", 1, 0),
    (Head::SocketInch, "1", "3/4 in", 1, 0),
    (Head::SetScrewInch, "#4", "0.050 in", 1, 0),
    (Head::SetScrewInch, "#5", "1/16 in", 1, 0),
    (Head::SetScrewInch, "#6", "1/16 in", 1, 0),
    (Head::SetScrewInch, "#8", "5/64 in", 1, 0),
    (Head::SetScrewInch, "#10", "3/32 in", 1, 0),
    (Head::SetScrewInch, "1/4", "1/8 in", 1, 0),
    (Head::SetScrewInch, "5/16", "5/32 in", 1, 0),
    (Head::SetScrewInch, "3/8", "3/16 in", 1, 0),
    (Head::SetScrewInch, "7/16", "7/32 in", 1, 0),
    (Head::SetScrewInch, "1/2", "1/4 in", 1, 0),
    (Head::SetScrewInch, "5/8", "5/16 in", 1, 0),
    (Head::SetScrewInch, "3/4", "3/8 in", 1, 0),
    (Head::SetScrewInch, "7/8", "1/2 in", 1, 0),
    (Head::SetScrewInch, "1", "9/16 in", 1, 0),
    (Head::HexagonInchHead, "1/4", "7/16 in", 1, 0),
    (Head::HexagonInchHead, "5/16", "1/2 in", 1, 0),
    (Head::HexagonInchHead, "3/8", "9/16 in", 1, 0),
    (Head::HexagonInchHead, "7/16", "5/8 in", 1, 0),
    (Head::HexagonInchHead, "1/2", "3/4 in", 1, 0),
    (Head::HexagonInchHead, "9/16", "13/16 in", 0, 0),
    (Head::HexagonInchHead, "5/8", "15/16 in", 1, 0),
    (Head::HexagonInchHead, "3/4", "1-1/8 in", 1, 0),
    (Head::HexagonInchHead, "7/8", "1-5/16 in", 1, 0),
    (Head::HexagonInchHead, "1", "1-1/2 in", 1, 0),
    (Head::HexagonInchNut, "1/4", "7/16 in", 1, 0),
    (Head::HexagonInchNut, "5/16", "1/2 in", 1, 0),
    (Head::HexagonInchNut, "3/8", "9/16 in", 1, 0),
    (Head::HexagonInchNut, "7/16", "11/16 in", 1, 0),
    (Head::HexagonInchNut, "1/2", "3/4 in", 1, 0),
    (Head::HexagonInchNut, "9/16", "7/8 in", 1, 0),
    (Head::HexagonInchNut, "5/8", "15/16 in", 1, 0),
    (Head::HexagonInchNut, "3/4", "1-1/8 in", 0, 1),
    (Head::HexagonInchNut, "7/8", "1-5/16 in", 0, 1),
    (Head::HexagonInchNut, "1", "1-1/2 in", 0, 1),
];

/// Returns a width as it is typed here in mm.
fn millimetres(width: &str) -> f64 {
    let (number, unit) = width.split_once(' ').expect("a number and a unit");
    let (whole, part) = number.split_once('-').unwrap_or(("0", number));
    let part = part.split_once('/').map_or_else(
        || part.parse::<f64>().expect("a number"),
        |(above, below)| above.parse::<f64>().expect("a number") / below.parse::<f64>().expect("a number"),
    );
    let number = whole.parse::<f64>().expect("a number") + part;
    if unit == "in" { number * 25.4 } else { number }
}

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (head, size, width, agree, disagree) in ROWS {
        let own = head.width_of(size).unwrap_or_else(|| panic!("{head:?} {size}"));
        assert_eq!(own.shown(), width, "{head:?} {size}");
        assert!(agree + disagree > 0 || size == "9/16", "{head:?} {size} is held against nothing");
        worst.hold(size, own.millimetres(), millimetres(width), 0.0);
    }
    Agreement {
        table: "widths across flats",
        rows: ROWS.len(),
        worst,
        tolerance: "exact",
        source: "ISO, DIN and ASME standards of heads and nuts, held against open tables of standard parts",
    }
}

/// The standards differ at these sizes, and nowhere else.
#[test]
fn widths_agree_and_the_standards_differ_where_they_do() {
    agreement();
    let width = |head, size| ROWS.iter().find(|row| row.0 == head && row.1 == size).map(|row| row.2);
    let differ = |one, two| -> Vec<&str> {
        let here = ROWS.iter().filter(|row| row.0 == one);
        here.filter(|row| width(two, row.1).is_some_and(|other| other != row.2)).map(|row| row.1).collect()
    };
    assert_eq!(differ(Head::HexagonIso, Head::HexagonDin), ["M10", "M12", "M14", "M22"]);
    assert_eq!(differ(Head::HexagonInchHead, Head::HexagonInchNut), ["7/16", "9/16"]);
}
