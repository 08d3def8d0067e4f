//! How large a QR code must be for what it holds and how far it is read from; it draws none.

/// How much of a code may be lost (ISO/IEC 18004): about 7, 15, 25 and 30 per cent; the percentages are from memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Recovery {
    /// About 7 %.
    Low,
    /// About 15 %.
    Medium,
    /// About 25 %.
    Quartile,
    /// About 30 %.
    High,
}

/// How the characters of a text are packed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Packing {
    /// Digits alone: three in ten bits.
    Numeric,
    /// Digits, capitals and nine signs: two in eleven bits.
    Alphanumeric,
    /// Bytes.
    Byte,
}

/// White space around a code, in modules on every side (ISO/IEC 18004).
pub const QUIET_MODULES: u32 = 4;

/// A code is read from ten times its width: a rule of thumb of the trade, not of ISO/IEC 18004.
pub const DISTANCE_PER_WIDTH: f64 = 10.0;

/// Data bytes of versions 1 to 10 for low, medium, quartile and high recovery: ISO/IEC 18004, table 7 (from memory; 27 of
/// the 40 are held against found figures in `tests/published`).
const DATA_BYTES: [[u32; 4]; 10] = [
    [19, 16, 13, 9],
    [34, 28, 22, 16],
    [55, 44, 34, 26],
    [80, 64, 48, 36],
    [108, 86, 62, 46],
    [136, 108, 76, 60],
    [156, 124, 88, 66],
    [194, 154, 110, 86],
    [232, 182, 132, 100],
    [274, 216, 154, 122],
];

/// Returns how many modules a side has; none for a version that is not known here (1 to 10 are).
#[must_use]
pub fn modules(version: u32) -> Option<u32> {
    (1..=10).contains(&version).then(|| 17 + 4 * version)
}

/// Returns how many bits of data a version holds; none for a version that is not known here.
#[must_use]
pub fn data_bits(version: u32, recovery: Recovery) -> Option<u32> {
    let row = DATA_BYTES.get(usize::try_from(version).ok()?.checked_sub(1)?)?;
    let column = match recovery {
        Recovery::Low => 0,
        Recovery::Medium => 1,
        Recovery::Quartile => 2,
        Recovery::High => 3,
    };
    Some(row[column] * 8)
}

/// Returns how many characters a version holds in one packing; none for a version that is not known here.
#[must_use]
pub fn capacity(version: u32, recovery: Recovery, packing: Packing) -> Option<u32> {
    // Four bits say the packing; how many say the length depends on packing and version (ISO/IEC 18004, table 3).
    let length_bits = match (packing, version) {
        (Packing::Numeric, ..=9) => 10,
        (Packing::Numeric, _) => 12,
        (Packing::Alphanumeric, ..=9) => 9,
        (Packing::Alphanumeric, _) => 11,
        (Packing::Byte, ..=9) => 8,
        (Packing::Byte, _) => 16,
    };
    let bits = data_bits(version, recovery)?.checked_sub(4 + length_bits)?;
    Some(match packing {
        Packing::Numeric => {
            let rest = match bits % 10 {
                7..=9 => 2,
                4..=6 => 1,
                _ => 0,
            };
            bits / 10 * 3 + rest
        }
        Packing::Alphanumeric => bits / 11 * 2 + u32::from(bits % 11 >= 6),
        Packing::Byte => bits / 8,
    })
}

/// Returns the packing a text allows.
#[must_use]
pub fn packing(text: &str) -> Packing {
    let is_alphanumeric = |byte: u8| byte.is_ascii_digit() || byte.is_ascii_uppercase() || b" $%*+-./:".contains(&byte);
    if text.bytes().all(|byte| byte.is_ascii_digit()) {
        Packing::Numeric
    } else if text.bytes().all(is_alphanumeric) {
        Packing::Alphanumeric
    } else {
        Packing::Byte
    }
}

/// Returns the smallest version that holds a text; none where version 10 does not.
#[must_use]
pub fn version_for(text: &str, recovery: Recovery) -> Option<u32> {
    let packing = packing(text);
    let length = u32::try_from(text.len()).ok()?;
    (1..=10).find(|version| capacity(*version, recovery, packing).is_some_and(|most| length <= most))
}

/// Returns the width of the code alone, in millimetres, that is read from a distance by the rule of thumb.
#[must_use]
pub fn width_for(distance_mm: f64) -> f64 {
    distance_mm / DISTANCE_PER_WIDTH
}

/// Returns the width of a code and the width with its white space, in millimetres, for a module of this size.
#[must_use]
pub fn widths(modules: u32, module_mm: f64) -> (f64, f64) {
    (f64::from(modules) * module_mm, f64::from(modules + 2 * QUIET_MODULES) * module_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_recovery_holds_less_and_a_larger_version_holds_more() {
        let levels = [Recovery::Low, Recovery::Medium, Recovery::Quartile, Recovery::High];
        for version in 1..=10 {
            for pair in levels.windows(2) {
                assert!(data_bits(version, pair[0]) > data_bits(version, pair[1]));
            }
            for level in levels {
                assert!(data_bits(version, level) < data_bits(version + 1, level) || version == 10);
            }
        }
        assert_eq!(
            (modules(0), modules(11), data_bits(0, Recovery::Low), data_bits(11, Recovery::Low)),
            (None, None, None, None)
        );
    }

    #[test]
    fn a_text_gets_the_smallest_version_that_holds_it() {
        assert_eq!(version_for("MM:P-121/MP-PA-101", Recovery::Medium), Some(1));
        assert_eq!(version_for("mm:P-121/MP-PA-101", Recovery::Medium), Some(2));
        assert_eq!(version_for(&"x".repeat(400), Recovery::Medium), None);
        assert_eq!(packing("0123"), Packing::Numeric);
    }
}
