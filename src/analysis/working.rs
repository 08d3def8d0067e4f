//! A computed figure with all it rests on: formula, what was given, the result with its band, each constant with its source; it computes nothing.

use serde::Serialize;
use std::borrow::Cow;

/// How a figure or a constant is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Read in a published table or page.
    Found,
    /// Follows from a published formula.
    Computed,
    /// Typed from memory: hold it against the standard before you rely on it.
    Memory,
    /// Common practice of the trade, for which no source is named.
    Practice,
    /// Given by the plant, or by whoever asked.
    Given,
}

impl Known {
    /// Returns the words printed for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Found => "found in print",
            Self::Computed => "computed",
            Self::Memory => "from memory",
            Self::Practice => "common practice, no source",
            Self::Given => "given",
        }
    }
}

/// Where a constant is from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Source {
    /// The standard, table or page.
    pub text: Cow<'static, str>,
    /// How it is known.
    pub known: Known,
}

impl Source {
    /// Returns a source that is typed into the program.
    #[must_use]
    pub const fn of(text: &'static str, known: Known) -> Self {
        Self { text: Cow::Borrowed(text), known }
    }

    /// Returns the source of what was given.
    #[must_use]
    pub fn given(text: impl Into<String>) -> Self {
        Self { text: Cow::Owned(text.into()), known: Known::Given }
    }
}

/// One thing that was given.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Given {
    /// Its name, in words.
    pub name: &'static str,
    /// Its symbol in the formula; may be empty.
    pub symbol: &'static str,
    /// As it is shown.
    pub shown: String,
}

/// One result.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outcome {
    /// Its name, in words.
    pub name: &'static str,
    /// Its symbol in the formula; may be empty.
    pub symbol: &'static str,
    /// The figure, unrounded.
    pub figure: f64,
    /// What it may be instead, given the scatter; the lower end first.
    pub band: Option<(f64, f64)>,
    /// Its unit; may be empty.
    pub unit: &'static str,
}

/// A result that is no figure of a formula: a day, a verdict, a decimal that is exact.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Statement {
    /// Its name, in words.
    pub name: Cow<'static, str>,
    /// As it is shown.
    pub shown: String,
}

/// A constant with its source.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Constant {
    /// Its name, in words.
    pub name: Cow<'static, str>,
    /// As it is shown.
    pub shown: String,
    /// Where it is from.
    pub source: Source,
}

/// A computed figure with all it rests on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Working {
    /// What was computed, in words.
    pub title: String,
    /// The formula.
    pub formula: &'static str,
    /// What was given.
    pub given: Vec<Given>,
    /// The results; the first is what was asked for.
    pub results: Vec<Outcome>,
    /// Results that are no figures of a formula.
    pub statements: Vec<Statement>,
    /// The constants used.
    pub constants: Vec<Constant>,
    /// What else should be known; a sentence each.
    pub remarks: Vec<String>,
    /// What the figure is not.
    pub caution: &'static str,
}

/// Why there is no figure.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Refusal {
    /// What cannot be computed, and why.
    pub message: String,
    /// What to do instead; may be empty.
    pub hint: String,
}

impl Refusal {
    /// Returns a refusal with nothing to do about it yet.
    pub fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), hint: String::new() }
    }

    /// Sets what to do instead.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
}

impl Outcome {
    /// Returns the result as it is shown: three digits that count, its band, its unit.
    #[must_use]
    pub fn shown(&self) -> String {
        let figure = significant(self.figure, 3);
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        match self.band {
            None => format!("{figure}{unit}"),
            Some((low, high)) => {
                format!("{figure}{unit} (from {} to {}{unit})", significant(low, 3), significant(high, 3))
            }
        }
    }
}

/// Returns a number with this many digits that count, never in powers of ten.
#[must_use]
pub fn significant(number: f64, digits: usize) -> String {
    let scientific = format!("{number:.*e}", digits.saturating_sub(1));
    let Some((_, exponent)) = scientific.split_once('e') else { return scientific };
    let exponent: i32 = exponent.parse().unwrap_or(0);
    let decimals = i32::try_from(digits).unwrap_or(3) - 1 - exponent;
    let rounded: f64 = scientific.parse().unwrap_or(number);
    format!("{rounded:.*}", usize::try_from(decimals).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_the_digits_that_count() {
        assert_eq!(significant(42.708_333, 3), "42.7");
        assert_eq!(significant(506.815, 3), "507");
        assert_eq!(significant(112.6, 3), "113");
        assert_eq!(significant(0.158_72, 3), "0.159");
        assert_eq!(significant(9.999, 3), "10.0");
        assert_eq!(significant(42_708.3, 3), "42700");
        assert_eq!(significant(0.0, 3), "0.00");
    }

    #[test]
    fn a_result_is_shown_with_its_band() {
        let outcome = Outcome { name: "preload", symbol: "F", figure: 42.7083, band: Some((32.85, 61.01)), unit: "kN" };
        assert_eq!(outcome.shown(), "42.7 kN (from 32.9 to 61.0 kN)");
    }
}
