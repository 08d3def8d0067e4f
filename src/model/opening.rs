//! What a spanner or key of the crib fits, as sizes; which head of which standard has such a size is not known here.

use crate::base::finding::Finding;
use crate::base::quantity::{Quantity, Range, Unit};
use crate::base::rule::BAD_QUANTITY;
use crate::model::fields::Fields;
use crate::source::yaml::Node;
use rust_decimal::Decimal;
use std::str::FromStr as _;

/// How a tool grips.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grip {
    /// Round a head: a spanner, a socket.
    Spanner,
    /// Into a head: a hexagon key, a bit.
    Key,
}

/// One size, or a set from one size to another; lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// How it grips.
    pub grip: Grip,
    /// The smallest.
    pub low: Decimal,
    /// The largest; the same for a single one.
    pub high: Decimal,
    /// As written (`19 mm`, `7/16 in`, `8 to 50 mm`).
    pub shown: String,
}

impl Opening {
    /// Returns the opening written as `text`; none where it is no size in mm or in.
    #[must_use]
    pub fn parse(text: &str, grip: Grip) -> Option<Self> {
        let shown = text.trim().to_owned();
        let (low, high) = if text.contains(" to ") {
            let range = Range::parse(text).ok()?;
            (millimetres(range.low, range.unit)?, millimetres(range.high, range.unit)?)
        } else {
            let one = size(text.trim())?;
            (one, one)
        };
        (low > Decimal::ZERO).then_some(Self { grip, low, high, shown })
    }

    /// Returns whether it has a size, in millimetres.
    #[must_use]
    pub fn has(&self, size: Decimal) -> bool {
        self.low <= size && size <= self.high
    }
}

/// Returns a single size in millimetres: `19 mm`, `0.5 in`, `7/16 in`, `1-1/8 in`.
fn size(text: &str) -> Option<Decimal> {
    if let Ok(quantity) = Quantity::parse(text) {
        return millimetres(quantity.number, quantity.unit);
    }
    let (number, unit) = text.split_once(' ')?;
    let (whole, part) = number.split_once('-').unwrap_or(("0", number));
    let (above, below) = part.split_once('/')?;
    let number = |text: &str| {
        let is_short = (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
        is_short.then(|| Decimal::from_str(text).ok()).flatten()
    };
    let part = number(above)?.checked_div(number(below)?)?;
    millimetres(number(whole)?.checked_add(part)?, Unit::parse(unit.trim())?)
}

/// Returns a length in millimetres; only the units that are engraved on tools.
fn millimetres(number: Decimal, unit: Unit) -> Option<Decimal> {
    match unit.symbol() {
        "mm" => Some(number),
        "in" => number.checked_mul(Decimal::new(254, 1)),
        _ => None,
    }
}

/// Reads the sizes under `spanner` and `key`: one, or a list of them.
pub fn read(node: &Node, fields: &mut Fields<'_>) -> Vec<Opening> {
    let mut openings = Vec::new();
    for (key, grip) in [("spanner", Grip::Spanner), ("key", Grip::Key)] {
        let Some(value) = node.get(key) else { continue };
        let single = std::slice::from_ref(value);
        for item in if value.items().is_empty() { single } else { value.items() } {
            match item.text().and_then(|text| Opening::parse(text, grip)) {
                Some(opening) => openings.push(opening),
                None => fields.findings.push(
                    Finding::error(BAD_QUANTITY, "this must be a size such as `19 mm`, `7/16 in` or `8 to 50 mm`")
                        .at(item.span),
                ),
            }
        }
    }
    openings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_read_in_one_way_or_not_at_all() {
        let read = |text| {
            Opening::parse(text, Grip::Spanner)
                .map(|own| (own.low.normalize().to_string(), own.high.normalize().to_string()))
        };
        let both = |low: &str, high: &str| Some((low.to_owned(), high.to_owned()));
        assert_eq!(read("19 mm"), both("19", "19"));
        assert_eq!(read("8 to 50 mm"), both("8", "50"));
        assert_eq!(read("1/2 in"), both("12.7", "12.7"));
        assert_eq!(read("1-1/8 in"), both("28.575", "28.575"));
        for text in
            ["", "19", "0 mm", "-3 mm", "1/0 in", "1/ in", "19 bar", "50 to 8 mm", "1/2", "99999/1 in", "x/2 in"]
        {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
