//! `calc convert`: one quantity or limit in another unit, exactly and as it should be shown; a limit never grows.

use crate::analysis::working::{Constant, Given, Known, Refusal, Source, Statement, Working};
use crate::base::quantity::{Dimension, Exact, Limit, NO_BREAK_SPACE, Quantity, Range, Rounding, Unit};
use rust_decimal::Decimal;
use std::borrow::Cow;
use std::fmt::Write as _;
use std::str::FromStr as _;

/// A question for another unit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ConvertAsked {
    /// The quantity or limit.
    pub quantity: String,
    /// The unit.
    pub unit: String,
    /// The step of the instrument.
    pub step: Option<String>,
}

/// How many digits of a fraction that never ends are shown.
const DIGITS: u32 = 15;

/// How many decimals an exact decimal may have to be shown in full.
const PLACES: u32 = 20;

/// Returns a quantity or limit in another unit.
///
/// # Errors
/// A refusal where it has no reading or more than one, or is no such quantity.
pub fn convert(asked: &ConvertAsked) -> Result<Working, Refusal> {
    let unit = unit(&asked.unit)?;
    let step = asked.step.as_deref().map(step).transpose()?;
    match (limit(&asked.quantity)?, step) {
        (Some(limit), Some(step)) => of_limit(limit, unit, step),
        (Some(_), None) => Err(Refusal::new("a limit is rounded inward, and nobody said to which step")
            .hint("add `--step` with the step that the instrument shows")),
        (None, step) => of_quantity(quantity(&asked.quantity)?, unit, step),
    }
}

/// Returns the answers to conversions, a line each (`44 N·m in lbf·ft`), and how many were refused.
#[must_use]
pub fn batch(text: &str) -> (String, usize) {
    let (mut answers, mut refused) = (String::new(), 0);
    for line in text.lines() {
        match line.rsplit_once(" in ").ok_or_else(|| Refusal::new("a line is `QUANTITY in UNIT`")).and_then(one) {
            Ok(number) => {
                let _ = writeln!(answers, "{number}");
            }
            Err(refusal) => {
                refused += 1;
                let _ = writeln!(answers, "refused: {}", refusal.message);
            }
        }
    }
    (answers, refused)
}

fn one((from, to): (&str, &str)) -> Result<String, Refusal> {
    let exact = exactly(quantity(from)?, unit(to)?)?;
    Ok(shown(exact).trim_end_matches(" …").to_owned())
}

fn of_quantity(quantity: Quantity, unit: Unit, step: Option<Decimal>) -> Result<Working, Refusal> {
    let exact = exactly(quantity, unit)?;
    let symbol = unit.symbol();
    let mut statements = vec![statement("exactly", format!("{} {symbol}", shown(exact)))];
    let kept = quantity.in_unit(unit).map_err(|fault| Refusal::new(fault.to_string()))?;
    statements.push(statement("with the digits that were given", plain(&kept.to_string())));
    if let Some(step) = step {
        let stepped =
            quantity.in_steps(unit, step, Rounding::Nearest).map_err(|fault| Refusal::new(fault.to_string()))?;
        statements.push(statement("to the nearest step", plain(&stepped.to_string())));
    }
    let mut working = working(&plain(&quantity.to_string()), quantity.unit, unit, statements);
    working.constants.push(Constant {
        name: "digits".into(),
        shown: "as many as were given, one more where the first digit becomes smaller".to_owned(),
        source: Source::of("NIST SP 811, B.7.2", Known::Memory),
    });
    Ok(working)
}

fn of_limit(limit: Limit, unit: Unit, step: Decimal) -> Result<Working, Refusal> {
    let inward = limit.inward(unit, step).map_err(|fault| Refusal::new(fault.to_string()))?;
    let from = match limit {
        Limit::AtMost(end) | Limit::AtLeast(end) | Limit::Exactly(end) => end.unit,
        Limit::Within(range) => range.unit,
        Limit::Count(_) => return Err(Refusal::new("things that are counted have no unit")),
    };
    let statements = vec![statement("rounded inward to the step", plain(&inward.to_string()))];
    let mut working = working(&plain(&limit.to_string()), from, unit, statements);
    working.given.push(Given {
        name: "step of the instrument",
        symbol: "",
        shown: format!("{step} {}", unit.symbol()),
    });
    Ok(working)
}

fn working(given: &str, from: Unit, to: Unit, statements: Vec<Statement>) -> Working {
    let is_temperature = from.dimension() == Dimension::Temperature;
    let shifted =
        "number in B = (number in A · factor of A + offset of A − offset of B) / factor of B, as exact fractions";
    let scaled = "number in B = number in A · factor of A / factor of B, as exact fractions";
    let source = |unit: Unit| Constant {
        name: Cow::Owned(format!("factor of {}", unit.symbol())),
        shown: one_in_base(unit),
        source: Source::of(unit.source(), Known::Computed),
    };
    let mut remarks = Vec::new();
    if from.dimension() == Dimension::Pressure {
        remarks.push(
            "A pressure over ambient stays one over ambient: gauge and absolute are not told apart here.".to_owned(),
        );
    }
    if is_temperature {
        remarks.push("For a difference of temperatures write Δ°C or Δ°F: it has no offset.".to_owned());
    }
    Working {
        title: format!("{given} in {}", to.symbol()),
        formula: if is_temperature { shifted } else { scaled },
        given: vec![
            Given { name: "quantity", symbol: "A", shown: given.to_owned() },
            Given { name: "unit wanted", symbol: "B", shown: to.symbol().to_owned() },
        ],
        results: Vec::new(),
        statements,
        constants: vec![source(from), source(to)],
        remarks,
        caution: "a conversion makes no value right: the maker's figure in the maker's unit stands above it",
    }
}

/// Returns one of a unit in the first unit of its dimension, for the eye.
fn one_in_base(unit: Unit) -> String {
    let base = Unit::all().find(|base| base.dimension() == unit.dimension()).unwrap_or(unit);
    let exact = Quantity { number: Decimal::ONE, unit }.exactly_in(base);
    exact.map_or_else(
        |fault| fault.to_string(),
        |exact| format!("1 {} = {} {}", unit.symbol(), shown(exact), base.symbol()),
    )
}

/// Returns a fraction in full where it is a decimal, else with fifteen digits and a mark that it goes on.
fn shown(exact: Exact) -> String {
    match exact.decimal(PLACES) {
        Some(decimal) => decimal.to_string(),
        None => exact.significant(DIGITS).map_or_else(String::new, |decimal| format!("{decimal} …")),
    }
}

fn exactly(quantity: Quantity, unit: Unit) -> Result<Exact, Refusal> {
    quantity.exactly_in(unit).map_err(|fault| Refusal::new(fault.to_string()))
}

fn statement(name: &'static str, shown: String) -> Statement {
    Statement { name: name.into(), shown }
}

/// Returns the limit that was keyed in; none where it is a plain quantity.
fn limit(text: &str) -> Result<Option<Limit>, Refusal> {
    let text = text.replace(NO_BREAK_SPACE, " ");
    let text = text.trim();
    if let Some(end) = text.strip_suffix(" or less") {
        return quantity(end).map(Limit::AtMost).map(Some);
    }
    if let Some(end) = text.strip_suffix(" or more") {
        return quantity(end).map(Limit::AtLeast).map(Some);
    }
    if let Some(end) = text.strip_prefix("exactly ") {
        return quantity(end).map(Limit::Exactly).map(Some);
    }
    if text.contains(" to ") {
        return Range::keyed(text).map(Limit::Within).map(Some).map_err(|fault| Refusal::new(fault.to_string()));
    }
    Ok(None)
}

fn quantity(text: &str) -> Result<Quantity, Refusal> {
    Quantity::keyed(text).map_err(|fault| Refusal::new(fault.to_string()))
}

fn unit(text: &str) -> Result<Unit, Refusal> {
    let text = text.trim();
    Unit::parse(text).ok_or_else(|| {
        if let Some(which) = Unit::meant_by(text) {
            return Refusal::new(format!("`{text}` names more than one unit")).hint(format!("write {which}"));
        }
        let known = Unit::all().map(Unit::symbol).collect::<Vec<_>>().join(", ");
        Refusal::new(format!("`{text}` is not a unit this program knows")).hint(format!("it knows {known}"))
    })
}

fn step(text: &str) -> Result<Decimal, Refusal> {
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && text.len() <= 12;
    let step = Decimal::from_str(text).ok().filter(|step| is_plain && *step > Decimal::ZERO);
    step.ok_or_else(|| Refusal::new(format!("a step is a number above zero, and `{text}` is none")).hint("write `0.5`"))
}

/// Returns a text with ordinary spaces.
fn plain(text: &str) -> String {
    text.replace(NO_BREAK_SPACE, " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(quantity: &str, unit: &str, step: Option<&str>) -> String {
        let asked = ConvertAsked { quantity: quantity.into(), unit: unit.into(), step: step.map(str::to_owned) };
        convert(&asked).map_or_else(
            |refusal| refusal.message,
            |working| working.statements.iter().map(|one| one.shown.as_str()).collect::<Vec<_>>().join("; "),
        )
    }

    /// From the factors of NIST SP 811, appendix B, multiplied out as fractions.
    #[test]
    fn a_quantity_is_told_exactly_and_with_its_digits() {
        assert_eq!(said("1 lbf·ft", "N·m", None), "1.3558179483314004 N·m; 1 N·m");
        assert_eq!(said("12,5 Nm", "lbf-in", None), "110.634322391590 … lbf·in; 111 lbf·in");
        assert_eq!(said("85 °C", "°F", None), "185 °F; 185 °F");
        assert_eq!(said("44 N·m", "lbf·ft", Some("0.5")), "32.4527345681997 … lbf·ft; 32.5 lbf·ft; 32.5 lbf·ft");
        assert_eq!(said("40 to 50 N·m", "lbf·ft", Some("0.5")), "30.0 to 36.5 lbf·ft");
    }

    #[test]
    fn bad_input_is_a_refusal_and_never_a_number() {
        for (quantity, unit, step) in [
            ("1,250 N·m", "lbf·ft", None),
            ("44", "lbf·ft", None),
            ("44 N·m", "mm", None),
            ("44 N·m", "furlong", None),
            ("5 US gal", "gal", None),
            ("inf N·m", "lbf·ft", None),
            ("1e400 N·m", "lbf·ft", None),
            ("-300 °C", "K", None),
            ("40 to 50 N·m", "lbf·ft", None),
            ("40 N·m to 50 lbf·ft", "lbf·ft", Some("1")),
            ("44 N·m", "lbf·ft", Some("0")),
            ("44 N·m", "lbf·ft", Some("-1")),
            ("44 N·m", "lbf·ft", Some("1e9")),
            ("", "", None),
        ] {
            let asked = ConvertAsked { quantity: quantity.into(), unit: unit.into(), step: step.map(str::to_owned) };
            assert!(convert(&asked).is_err(), "{quantity} in {unit}");
        }
    }

    #[test]
    fn a_batch_answers_line_by_line() {
        let (answers, refused) = batch("1 in in mm\n2 bar in psi\nnonsense\n1,250 mm in in\n");
        assert_eq!(refused, 2);
        let lines: Vec<&str> = answers.lines().collect();
        assert_eq!(lines[..2], ["25.4", "29.0075475460418"]);
        assert!(lines[2].starts_with("refused: ") && lines[3].starts_with("refused: "));
    }
}
