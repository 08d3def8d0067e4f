//! Sheets of paper, cards and the pouches they are sealed in; it knows no margins.

use serde::Serialize;

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    #[default]
    #[serde(rename = "a4")]
    A4,
    /// 8.5 by 11 in (ANSI/ASME Y14.1 A, "Letter").
    #[serde(rename = "us-letter")]
    Letter,
}

/// A sheet by its trade name, upright, in hundredths of a millimetre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// Its name.
    pub name: &'static str,
    /// The shorter side.
    pub short: u32,
    /// The longer side.
    pub long: u32,
    /// The standard.
    pub source: &'static str,
}

/// Sheets whose pouches are known, and how far the pouch stands out on every side, in hundredths of a millimetre: 3 mm, and a
/// quarter of an inch for US Letter. Trade practice, from memory.
const POUCHES: [(&str, u32); 5] = [("A3", 300), ("A4", 300), ("A5", 300), ("A6", 300), ("US Letter", 635)];

const fn sheet(name: &'static str, short: u32, long: u32, source: &'static str) -> Sheet {
    Sheet { name, short, long, source }
}

/// Sheets and cards, the ISO series first. Typed from memory of the standards; ISO 216 is checked by its own construction.
pub static SHEETS: [Sheet; 15] = [
    sheet("A0", 84_100, 118_900, "ISO 216"),
    sheet("A1", 59_400, 84_100, "ISO 216"),
    sheet("A2", 42_000, 59_400, "ISO 216"),
    sheet("A3", 29_700, 42_000, "ISO 216"),
    sheet("A4", 21_000, 29_700, "ISO 216"),
    sheet("A5", 14_800, 21_000, "ISO 216"),
    sheet("A6", 10_500, 14_800, "ISO 216"),
    sheet("A7", 7_400, 10_500, "ISO 216"),
    sheet("A8", 5_200, 7_400, "ISO 216"),
    sheet("ID-1", 5_398, 8_560, "ISO/IEC 7810"),
    sheet("ID-2", 7_400, 10_500, "ISO/IEC 7810"),
    sheet("ID-3", 8_800, 12_500, "ISO/IEC 7810"),
    sheet("US Letter", 21_590, 27_940, "ANSI/ASME Y14.1"),
    sheet("US Legal", 21_590, 35_560, "trade size of the United States"),
    sheet("US Tabloid", 27_940, 43_180, "ANSI/ASME Y14.1"),
];

impl Sheet {
    /// Returns the sheet of a trade name, in any case of its letters.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        SHEETS.iter().find(|sheet| sheet.name.eq_ignore_ascii_case(name.trim())).copied()
    }

    /// Returns short and long side in points of 1/72 inch, as PDF has them.
    #[must_use]
    pub fn points(self) -> (f64, f64) {
        let points = |hundredths: u32| f64::from(hundredths) / 100.0 / 25.4 * 72.0;
        (points(self.short), points(self.long))
    }

    /// Returns short and long side of its pouch, in hundredths of a millimetre; none where no pouch of it is known here.
    #[must_use]
    pub fn pouch(self) -> Option<(u32, u32)> {
        let border = POUCHES.iter().find(|(name, _)| *name == self.name).map(|(_, border)| 2 * border)?;
        Some((self.short + border, self.long + border))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 216: each sheet is the one before it, halved across its longer side and rounded down.
    #[test]
    fn each_sheet_is_half_of_the_one_before() {
        for pair in SHEETS[..9].windows(2) {
            assert_eq!(pair[1].long, pair[0].short, "{}", pair[1].name);
            assert_eq!(pair[1].short / 100, pair[0].long / 200, "{}", pair[1].name);
        }
        assert_eq!(Sheet::named(" a4 ").and_then(Sheet::pouch), Some((21_600, 30_300)));
        assert_eq!(Sheet::named("US Legal").and_then(Sheet::pouch), None);
        assert_eq!(Sheet::named("A9"), None);
    }
}
