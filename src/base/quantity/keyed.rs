//! Quantities as a person keys them in at a bench: forms with one reading are taken and normalised, forms with two are refused.

use crate::base::quantity::{NO_BREAK_SPACE, Quantity, QuantityFault, Range};
use std::borrow::Cow;

impl Quantity {
    /// Returns the quantity that was keyed in: `12,5 Nm` is 12.5 N·m, `.5 mm` is 0.5 mm, `1,250 mm` is refused.
    ///
    /// What is written into a binder is read by [`Quantity::parse`], which takes neither: there it would be printed, and a
    /// copy may lose the mark.
    ///
    /// # Errors
    /// A [`QuantityFault`] where the text has no reading, or more than one.
    pub fn keyed(text: &str) -> Result<Self, QuantityFault> {
        let text = plain(text);
        Self::parse(&with_point(text.trim())?)
    }
}

impl Range {
    /// Returns the range that was keyed in (`2,79 to 2,95 mm`); one quantity is a range of no width.
    ///
    /// # Errors
    /// A [`QuantityFault`] where the text has no reading, or more than one.
    pub fn keyed(text: &str) -> Result<Self, QuantityFault> {
        let text = plain(text);
        match text.split_once(" to ") {
            Some((low, high)) => Self::parse(&format!("{} to {}", with_point(low.trim())?, with_point(high.trim())?)),
            None => Quantity::keyed(&text).map(|both| Self { low: both.number, high: both.number, unit: both.unit }),
        }
    }
}

/// Returns the text with ordinary spaces and an ordinary minus.
fn plain(text: &str) -> String {
    text.replace([NO_BREAK_SPACE, '\u{202f}', '\u{2009}'], " ").replace('\u{2212}', "-")
}

/// Returns the text with a point in its leading number, and a digit before it.
fn with_point(text: &str) -> Result<Cow<'_, str>, QuantityFault> {
    let sign = usize::from(text.starts_with('-'));
    let length =
        text[sign..].find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',')).unwrap_or(text.len() - sign);
    let (number, rest) = text[sign..].split_at(length);
    let (commas, points) = (number.matches(',').count(), number.matches('.').count());
    let two_readings = || Err(QuantityFault::TwoReadings(text.to_owned()));
    let number = match (commas, points) {
        (0, 0) => return Ok(Cow::Borrowed(text)),
        (1, 0) => {
            let (whole, part) = number.split_once(',').expect("one comma was counted");
            // Three digits behind a comma may be thousands, unless what stands before it cannot be a group of them.
            let may_be_thousands = part.len() == 3 && matches!(whole.len(), 1..=3) && !whole.starts_with('0');
            if may_be_thousands {
                return two_readings();
            }
            number.replace(',', ".")
        }
        (0, 1) => number.to_owned(),
        (0, _) => return Err(QuantityFault::NoNumber(text.to_owned())),
        _ => return two_readings(),
    };
    let zero = if number.starts_with('.') && number.len() > 1 { "0" } else { "" };
    Ok(Cow::Owned(format!("{}{zero}{number}{rest}", &text[..sign])))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        let quantity = Quantity::keyed(text);
        quantity.map_or_else(|fault| fault.to_string(), |quantity| quantity.to_string().replace(NO_BREAK_SPACE, " "))
    }

    #[test]
    fn one_reading_is_taken_and_normalised() {
        for (text, wanted) in [
            ("12,5 N·m", "12.5 N·m"),
            ("12,5Nm", "12.5 N·m"),
            ("12.50 N-m", "12.50 N·m"),
            (".5 mm", "0.5 mm"),
            (",5 mm", "0.5 mm"),
            ("-.5 mm", "-0.5 mm"),
            ("\u{2212}5 °C", "-5 °C"),
            ("0,125 mm", "0.125 mm"),
            ("1234,567 mm", "1234.567 mm"),
            ("1,2500 mm", "1.2500 mm"),
            ("1.250 mm", "1.250 mm"),
            ("25 ft-lb", "25 lbf·ft"),
            ("700mm", "700 mm"),
        ] {
            assert_eq!(shown(text), wanted, "{text}");
        }
    }

    #[test]
    fn two_readings_are_refused() {
        for text in ["1,250 mm", "12,500 N·m", "999,999 N", "1,250.5 mm", "1.250,5 mm", "1,250,000 N"] {
            assert!(shown(text).contains("can be read as thousands and as decimals"), "{text}: {}", shown(text));
        }
        for text in ["", "mm", ", mm", ". mm", "1.2.3 mm", "5, mm", "1e3 mm", "inf mm", "NaN mm", "0x10 mm", "--5 mm"] {
            assert!(Quantity::keyed(text).is_err(), "{text}: {}", shown(text));
        }
        assert!(shown("5 gal").contains("`US gal` or `imperial gal`"));
    }

    #[test]
    fn a_range_has_two_ends_or_one_figure() {
        let shown = |text: &str| Range::keyed(text).map(|range| (range.low.to_string(), range.high.to_string()));
        assert_eq!(shown("2,79 to 2,95 mm"), Ok(("2.79".to_owned(), "2.95".to_owned())));
        assert_eq!(shown("2.87 mm"), Ok(("2.87".to_owned(), "2.87".to_owned())));
        assert!(shown("2.95 to 2.79 mm").is_err());
        assert!(shown("2.79 in to 2.95 mm").is_err());
    }
}
