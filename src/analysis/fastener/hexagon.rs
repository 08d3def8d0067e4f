//! Hexagons: the spanner or key that fits a head or nut, by standard, and what a head bears on; it refuses to guess between two standards.

use crate::analysis::fastener::si::INCH;
use crate::analysis::fastener::thread::Thread;

/// What is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Head {
    /// A hexagon head or nut of the ISO standards.
    HexagonIso,
    /// A hexagon head or nut of the older DIN standards: still on shelves.
    HexagonDin,
    /// The socket of a cap screw.
    SocketIso,
    /// The socket of a set screw.
    SetScrewIso,
    /// The socket of a countersunk screw.
    CountersunkIso,
    /// The socket of a button head.
    ButtonIso,
    /// The socket of an inch cap screw.
    SocketInch,
    /// The socket of an inch set screw.
    SetScrewInch,
    /// An inch hexagon head.
    HexagonInchHead,
    /// An inch hexagon nut.
    HexagonInchNut,
}

/// A width across flats.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Width {
    /// The number, as it is engraved: `16`, `5.5`, `1-1/8`.
    pub number: &'static str,
    /// `mm` or `in`.
    pub unit: &'static str,
}

impl Width {
    /// Returns it in mm.
    #[must_use]
    pub fn millimetres(self) -> f64 {
        let number = fraction(self.number).expect("the tables hold numbers and fractions");
        if self.unit == "in" { number * INCH } else { number }
    }

    /// Returns it with its unit.
    #[must_use]
    pub fn shown(self) -> String {
        format!("{} {}", self.number, self.unit)
    }
}

/// Returns the number a text such as `1-5/16`, `7/16` or `5.5` is.
fn fraction(text: &str) -> Option<f64> {
    let (whole, part) =
        text.split_once('-').map_or((0.0, text), |(whole, part)| (whole.parse().unwrap_or(f64::NAN), part));
    let part = match part.split_once('/') {
        Some((above, below)) => above.parse::<f64>().ok()? / below.parse::<f64>().ok()?,
        None => part.parse().ok()?,
    };
    Some(whole + part).filter(|number| number.is_finite())
}

type Sizes = &'static [(&'static str, &'static str)];

/// ISO 4014, ISO 4017, ISO 4032 and ISO 272. Seven open tables of standard parts agree; for M14 four say 21, as ISO 272
/// does, and three still say 22.
const HEXAGON_ISO: Sizes = &[
    ("M3", "5.5"),
    ("M4", "7"),
    ("M5", "8"),
    ("M6", "10"),
    ("M8", "13"),
    ("M10", "16"),
    ("M12", "18"),
    ("M14", "21"),
    ("M16", "24"),
    ("M18", "27"),
    ("M20", "30"),
    ("M22", "34"),
    ("M24", "36"),
    ("M27", "41"),
    ("M30", "46"),
    ("M33", "50"),
    ("M36", "55"),
];

/// DIN 931, DIN 933 and DIN 934, withdrawn but still on shelves: they differ from ISO at M10, M12, M14 and M22. Two open
/// tables agree.
const HEXAGON_DIN: Sizes = &[
    ("M3", "5.5"),
    ("M4", "7"),
    ("M5", "8"),
    ("M6", "10"),
    ("M8", "13"),
    ("M10", "17"),
    ("M12", "19"),
    ("M14", "22"),
    ("M16", "24"),
    ("M18", "27"),
    ("M20", "30"),
    ("M22", "32"),
    ("M24", "36"),
    ("M27", "41"),
    ("M30", "46"),
    ("M36", "55"),
];

/// ISO 4762 (as DIN 912). Three open tables agree.
const SOCKET_ISO: Sizes = &[
    ("M3", "2.5"),
    ("M4", "3"),
    ("M5", "4"),
    ("M6", "5"),
    ("M8", "6"),
    ("M10", "8"),
    ("M12", "10"),
    ("M14", "12"),
    ("M16", "14"),
    ("M20", "17"),
    ("M24", "19"),
    ("M30", "22"),
    ("M36", "27"),
];

/// ISO 4026, ISO 4027, ISO 4028 and ISO 4029. Four open tables agree, two at M24.
const SET_SCREW_ISO: Sizes = &[
    ("M3", "1.5"),
    ("M4", "2"),
    ("M5", "2.5"),
    ("M6", "3"),
    ("M8", "4"),
    ("M10", "5"),
    ("M12", "6"),
    ("M16", "8"),
    ("M20", "10"),
    ("M24", "12"),
];

/// ISO 10642. Two open tables agree.
const COUNTERSUNK_ISO: Sizes = &[
    ("M3", "2"),
    ("M4", "2.5"),
    ("M5", "3"),
    ("M6", "4"),
    ("M8", "5"),
    ("M10", "6"),
    ("M12", "8"),
    ("M16", "10"),
    ("M20", "12"),
];

/// ISO 7380-1. One open table.
const BUTTON_ISO: Sizes =
    &[("M3", "2"), ("M4", "2.5"), ("M5", "3"), ("M6", "4"), ("M8", "5"), ("M10", "6"), ("M12", "8"), ("M16", "10")];

/// ASME B18.3, socket head cap screws. One open table.
const SOCKET_INCH: Sizes = &[
    ("#4", "3/32"),
    ("#5", "3/32"),
    ("#6", "7/64"),
    ("#8", "9/64"),
    ("#10", "5/32"),
    ("1/4", "3/16"),
    ("5/16", "1/4"),
    ("3/8", "5/16"),
    ("7/16", "3/8"),
    ("1/2", "3/8"),
    ("5/8", "1/2"),
    ("3/4", "5/8"),
    ("7/8", "3/4"),
    ("1", "3/4"),
];

/// ASME B18.3, set screws. One open table.
const SET_SCREW_INCH: Sizes = &[
    ("#4", "0.050"),
    ("#5", "1/16"),
    ("#6", "1/16"),
    ("#8", "5/64"),
    ("#10", "3/32"),
    ("1/4", "1/8"),
    ("5/16", "5/32"),
    ("3/8", "3/16"),
    ("7/16", "7/32"),
    ("1/2", "1/4"),
    ("5/8", "5/16"),
    ("3/4", "3/8"),
    ("7/8", "1/2"),
    ("1", "9/16"),
];

/// ASME B18.2.1, hexagon cap screws. One open table; 9/16 from memory. Heads and nuts differ at 7/16 and 9/16.
const HEXAGON_INCH_HEAD: Sizes = &[
    ("1/4", "7/16"),
    ("5/16", "1/2"),
    ("3/8", "9/16"),
    ("7/16", "5/8"),
    ("1/2", "3/4"),
    ("9/16", "13/16"),
    ("5/8", "15/16"),
    ("3/4", "1-1/8"),
    ("7/8", "1-5/16"),
    ("1", "1-1/2"),
];

/// ASME B18.2.2, hexagon nuts. One open table up to 5/8; above it that table gives means of a tolerance, and the nominal
/// widths are from memory.
const HEXAGON_INCH_NUT: Sizes = &[
    ("1/4", "7/16"),
    ("5/16", "1/2"),
    ("3/8", "9/16"),
    ("7/16", "11/16"),
    ("1/2", "3/4"),
    ("9/16", "7/8"),
    ("5/8", "15/16"),
    ("3/4", "1-1/8"),
    ("7/8", "1-5/16"),
    ("1", "1-1/2"),
];

impl Head {
    /// Every kind of head that is listed.
    pub const ALL: [Self; 10] = [
        Self::HexagonIso,
        Self::HexagonDin,
        Self::SocketIso,
        Self::SetScrewIso,
        Self::CountersunkIso,
        Self::ButtonIso,
        Self::SocketInch,
        Self::SetScrewInch,
        Self::HexagonInchHead,
        Self::HexagonInchNut,
    ];

    /// Returns the standards it is made to.
    #[must_use]
    pub fn standard(self) -> &'static str {
        match self {
            Self::HexagonIso => "ISO 4014, ISO 4017, ISO 4032",
            Self::HexagonDin => "DIN 931, DIN 933, DIN 934 (withdrawn)",
            Self::SocketIso => "ISO 4762",
            Self::SetScrewIso => "ISO 4026 to ISO 4029",
            Self::CountersunkIso => "ISO 10642",
            Self::ButtonIso => "ISO 7380-1",
            Self::SocketInch | Self::SetScrewInch => "ASME B18.3",
            Self::HexagonInchHead => "ASME B18.2.1",
            Self::HexagonInchNut => "ASME B18.2.2",
        }
    }

    /// Returns whether a key goes into it, rather than a spanner round it.
    #[must_use]
    pub fn takes_a_key(self) -> bool {
        !matches!(self, Self::HexagonIso | Self::HexagonDin | Self::HexagonInchHead | Self::HexagonInchNut)
    }

    fn table(self) -> (Sizes, &'static str) {
        match self {
            Self::HexagonIso => (HEXAGON_ISO, "mm"),
            Self::HexagonDin => (HEXAGON_DIN, "mm"),
            Self::SocketIso => (SOCKET_ISO, "mm"),
            Self::SetScrewIso => (SET_SCREW_ISO, "mm"),
            Self::CountersunkIso => (COUNTERSUNK_ISO, "mm"),
            Self::ButtonIso => (BUTTON_ISO, "mm"),
            Self::SocketInch => (SOCKET_INCH, "in"),
            Self::SetScrewInch => (SET_SCREW_INCH, "in"),
            Self::HexagonInchHead => (HEXAGON_INCH_HEAD, "in"),
            Self::HexagonInchNut => (HEXAGON_INCH_NUT, "in"),
        }
    }

    /// Returns the width across flats for a thread; none where the standard, as typed here, has none for it.
    #[must_use]
    pub fn width(self, thread: &Thread) -> Option<Width> {
        self.width_of(thread.size())
    }

    /// Returns the width across flats for a size (`M10`, `3/8`).
    #[must_use]
    pub fn width_of(self, size: &str) -> Option<Width> {
        let (sizes, unit) = self.table();
        sizes.iter().find(|(own, _)| *own == size).map(|(_, number)| Width { number, unit })
    }
}

/// Returns every head with this thread that a tool of this width, in mm, fits: a tenth of a millimetre parts two sizes that
/// are nearly the same (13 mm and 1/2 in are not).
#[must_use]
pub fn fitted_by(width: f64, thread: &Thread) -> Vec<Head> {
    let fits = |head: &Head| head.width(thread).is_some_and(|own| (own.millimetres() - width).abs() < 0.1);
    Head::ALL.into_iter().filter(fits).collect()
}

/// Returns the heads with this thread that a joint's own word for its head allows (`hexagon`, `older hexagon`, `socket`, `set
/// screw`, `countersunk`, `button`; empty for any), as far as a standard lists a width for it.
#[must_use]
pub fn heads_of(word: &str, thread: &Thread) -> Vec<Head> {
    let allowed: &[Head] = match word {
        "hexagon" => &[Head::HexagonIso, Head::HexagonInchHead, Head::HexagonInchNut],
        "older hexagon" => &[Head::HexagonDin],
        "socket" => &[Head::SocketIso, Head::SocketInch],
        "set screw" => &[Head::SetScrewIso, Head::SetScrewInch],
        "countersunk" => &[Head::CountersunkIso],
        "button" => &[Head::ButtonIso],
        _ => &Head::ALL,
    };
    allowed.iter().copied().filter(|head| head.width(thread).is_some()).collect()
}

/// Bearing of a hexagon head: least diameter of the washer face dw of ISO 4014, grade A up to M24 and B above (from memory,
/// and a table of VDI 2230 that was recomputed with them agrees), and the clearance hole dh of ISO 273, medium (from
/// memory, likewise).
const BEARING: [(&str, f64, f64); 20] = [
    ("M3", 4.57, 3.4),
    ("M4", 5.88, 4.5),
    ("M5", 6.88, 5.5),
    ("M6", 8.88, 6.6),
    ("M8", 11.63, 9.0),
    ("M10", 14.63, 11.0),
    ("M12", 16.63, 13.5),
    ("M14", 19.64, 15.5),
    ("M16", 22.49, 17.5),
    ("M18", 25.34, 20.0),
    ("M20", 28.19, 22.0),
    ("M22", 31.71, 24.0),
    ("M24", 33.61, 26.0),
    ("M27", 38.0, 30.0),
    ("M30", 42.75, 33.0),
    ("M33", 46.55, 36.0),
    ("M36", 51.11, 39.0),
    ("M39", 55.86, 42.0),
    ("M42", 59.95, 45.0),
    ("M45", 64.7, 48.0),
];

/// Returns the mean diameter of the bearing of a hexagon head or nut DKm, in mm: half of washer face and hole together.
#[must_use]
pub fn bearing_diameter(thread: &Thread) -> Option<f64> {
    BEARING.iter().find(|(size, ..)| *size == thread.size()).map(|(_, face, hole)| f64::midpoint(*face, *hole))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_standards_are_told_apart() {
        let thread = |text| Thread::parse(text).expect("typed by hand");
        assert_eq!(fitted_by(16.0, &thread("M10")), [Head::HexagonIso]);
        assert_eq!(fitted_by(17.0, &thread("M10x1")), [Head::HexagonDin]);
        assert_eq!(fitted_by(13.0, &thread("M8")), [Head::HexagonIso, Head::HexagonDin]);
        assert_eq!(fitted_by(8.0, &thread("M10")), [Head::SocketIso]);
        assert_eq!(fitted_by(19.0, &thread("M8")), []);
        let differ: Vec<&str> = HEXAGON_ISO
            .iter()
            .filter(|(size, width)| Head::HexagonDin.width_of(size).is_some_and(|din| din.number != *width))
            .map(|(size, _)| *size)
            .collect();
        assert_eq!(differ, ["M10", "M12", "M14", "M22"]);
    }

    #[test]
    fn a_word_for_a_head_allows_its_own_standard_only() {
        let thread = |text| Thread::parse(text).expect("typed by hand");
        assert_eq!(heads_of("older hexagon", &thread("M12")), [Head::HexagonDin]);
        assert_eq!(heads_of("hexagon", &thread("M12")), [Head::HexagonIso]);
        assert_eq!(heads_of("hexagon", &thread("3/8-16")), [Head::HexagonInchHead, Head::HexagonInchNut]);
        assert_eq!(heads_of("older hexagon", &thread("3/8-16")), []);
        assert_eq!(heads_of("button", &thread("M36")), []);
        assert_eq!(heads_of("", &thread("M18")), [Head::HexagonIso, Head::HexagonDin]);
    }

    #[test]
    fn every_width_is_a_number() {
        for head in Head::ALL {
            let (sizes, unit) = head.table();
            for (size, number) in sizes {
                assert!(Width { number, unit }.millimetres() > 0.5, "{size}");
            }
        }
        assert!((fraction("1-5/16").expect("a number") - 1.3125).abs() < 1e-12);
    }
}
