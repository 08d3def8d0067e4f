//! The sheet a packet is printed on; it knows no margins.

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
