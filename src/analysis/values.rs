//! The one value a name has on one machine: which row, which end, which digits; it never falls back on a neighbour's.

use crate::analysis::effectivity;
use crate::analysis::job::{Answer, Job};
use crate::base::finding::Finding;
use crate::base::name::{CribId, Name, nearest};
use crate::base::quantity::{Limit, Quantity, QuantityFault, Rounding};
use crate::base::rule::{AMBIGUOUS_VALUE, MISSING_VALUE, NOT_HELD, UNDECLARED_NAME, WRONG_KIND};
use crate::base::text::{Placed, Span};
use crate::model::crib::{Item, Kind};
use crate::model::prose::{Part, Prose};
use crate::model::value::{Computed, Definition, Key, Row, Table, Take, Value};
use rust_decimal::Decimal;

/// How often a computed limit may lean on another.
const COMPUTED_DEPTH: usize = 4;

/// A piece of a resolved sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Resolved {
    /// Words as written.
    Words(String),
    /// A value, as it is printed.
    Value(String),
}

impl Job<'_> {
    /// Returns the value of a name on this machine.
    ///
    /// # Errors
    /// A finding where there is none, more than one, or no such name.
    pub fn value(&self, name: &Placed<Name>) -> Answer<Value> {
        self.value_at_depth(name, 0)
    }

    fn value_at_depth(&self, name: &Placed<Name>, depth: usize) -> Answer<Value> {
        self.ask(&name.value);
        if self.family.option(&name.value).is_some() {
            let choice = self.choice(&name.value).ok_or_else(|| self.no_choice(&name.value, name.span))?;
            return Ok(Value::Text(choice.value.clone()));
        }
        if self.family.tag_values.iter().any(|own| own.value == name.value) {
            let own = self.machine.values.iter().find(|(own, _)| own.value == name.value);
            return own.map(|(_, value)| value.clone()).ok_or_else(|| self.no_tag_value(name));
        }
        match self.definition(&name.value) {
            Some(Definition::Constant(_, Some(value))) => Ok(value.clone()),
            Some(Definition::Constant(own, None)) => Err(open_constant(own, name)),
            Some(Definition::Column(table, column)) => self.cell(name, table, column),
            Some(Definition::Computed(computed)) if depth < COMPUTED_DEPTH => self.computed(name, computed, depth + 1),
            Some(Definition::Computed(_)) => Err(boxed(wrong_kind(name, "it is computed from itself"))),
            None => Err(self.undeclared(name)),
        }
    }

    /// Returns where a value is defined: by the procedure itself, else by the family.
    fn definition(&self, name: &Name) -> Option<Definition<'_>> {
        self.procedure.values.find(name).or_else(|| self.family.values.find(name))
    }

    /// Returns whether a text names an option or value, rather than standing for itself.
    fn is_value_name(&self, text: &str) -> bool {
        let name = Name::new(text);
        self.family.option(&name).is_some()
            || self.family.tag_values.iter().any(|own| own.value == name)
            || self.definition(&name).is_some()
    }

    /// Returns the value a text names, or the value it is.
    ///
    /// # Errors
    /// As [`Job::value`].
    pub fn value_or_literal(&self, text: &Placed<String>) -> Answer<Value> {
        if self.is_value_name(&text.value) {
            return self.value(&Placed::new(Name::new(&text.value), text.span));
        }
        let id = CribId::new(text.value.trim());
        Ok(if self.binder.crib.find(&id).is_some() {
            Value::Crib(id)
        } else {
            Value::Text(text.value.trim().to_owned())
        })
    }

    fn cell(&self, name: &Placed<Name>, table: &Table, column: usize) -> Answer<Value> {
        for (at, option) in table.by.iter().enumerate() {
            self.consult(&option.value);
            let decides = table.rows.iter().any(|row| row.keys[at] != Key::Any);
            if decides && self.family.option(&option.value).is_some() && self.machine.choice(&option.value).is_none() {
                return Err(self.no_choice(&option.value, name.span));
            }
        }
        match effectivity::rows(table, self.machine).as_slice() {
            [row] => {
                let cell = &row.cells[column];
                let hole = || {
                    boxed(
                        self.hole(name, table)
                            .at(cell.span)
                            .label("this cell is empty")
                            .also(name.span, "it is needed here"),
                    )
                };
                cell.value.clone().ok_or_else(hole)
            }
            [] => Err(boxed(
                self.hole(name, table)
                    .at(table.columns[column].span)
                    .label("no row is for it")
                    .also(name.span, "it is needed here"),
            )),
            rows => Err(boxed(self.overlap(name, table, rows))),
        }
    }

    /// Says in words which combination a table was asked for (`size 4, rubber VMQ`).
    fn asked_for(&self, table: &Table) -> String {
        let words = table.by.iter().map(|option| {
            let choice = self.machine.choice(&option.value).map_or("?", |choice| choice.value.as_str());
            format!("{} {choice}", option.value)
        });
        words.collect::<Vec<_>>().join(", ")
    }

    fn hole(&self, name: &Placed<Name>, table: &Table) -> Finding {
        Finding::error(MISSING_VALUE, format!("`{}` has no value for {}", name.value, self.asked_for(table)))
            .floor("the fitter would stand at the machine without this number")
            .help("fill the cell from the maker's data or a measurement and name the source; never copy a neighbour's")
    }

    fn overlap(&self, name: &Placed<Name>, table: &Table, rows: &[&Row]) -> Finding {
        let message = format!("`{}` has {} rows for {}", name.value, rows.len(), self.asked_for(table));
        let finding = Finding::error(AMBIGUOUS_VALUE, message)
            .at(rows[0].span)
            .label("this row is for it")
            .floor("nobody could say which of the numbers is meant")
            .help("exactly one row may be for a machine; narrow one of them or take it out");
        rows[1..].iter().fold(finding, |finding, row| finding.also(row.span, "and so is this one"))
    }

    fn no_tag_value(&self, name: &Placed<Name>) -> Box<Finding> {
        let message = format!("the fleet does not give its `{}`", name.value);
        let help = "count or measure it at the machine and write it under its `values:` in `fleet.yaml`";
        boxed(
            Finding::error(MISSING_VALUE, message)
                .at(self.machine.tag.span)
                .also(name.span, "it is needed here")
                .help(help),
        )
    }

    fn undeclared(&self, name: &Placed<Name>) -> Box<Finding> {
        let own = self.procedure.values.definitions().chain(self.family.values.definitions());
        let names: Vec<&str> = own
            .map(|definition| definition.name().value.as_str())
            .chain(self.family.options.iter().map(|option| option.name.value.as_str()))
            .chain(self.family.tag_values.iter().map(|name| name.value.as_str()))
            .collect();
        let near = nearest(name.value.as_str(), names.iter().copied());
        let help = near.map_or_else(
            || format!("define it in `families/`, or use one of: {}", names.join(", ")),
            |near| format!("did you mean `{near}`?"),
        );
        let message = format!("`{}` is no value of family {}", name.value, self.family.id.value);
        boxed(
            Finding::error(UNDECLARED_NAME, message)
                .at(name.span)
                .floor("a brace would stand where the number belongs")
                .help(help),
        )
    }

    fn computed(&self, name: &Placed<Name>, computed: &Computed, depth: usize) -> Answer<Value> {
        let Value::Count(count) = self.value_at_depth(&computed.count, depth)? else {
            return Err(boxed(wrong_kind(&computed.count, "a computed limit multiplies a whole number of things")));
        };
        let (low, high, unit) = match self.value_at_depth(&computed.times, depth)? {
            Value::Range(range) => (range.low, range.high, range.unit),
            Value::Quantity(quantity) => (quantity.number, quantity.number, quantity.unit),
            _ => return Err(boxed(wrong_kind(&computed.times, "a computed limit multiplies a quantity or a range"))),
        };
        let resolution = self.resolution(&computed.instrument, name.span)?;
        if resolution.unit != unit || resolution.number <= Decimal::ZERO {
            let why = format!("its instrument shows {}, the limit is in {}", resolution.unit.symbol(), unit.symbol());
            return Err(boxed(wrong_kind(&computed.name, &why)));
        }
        let count = Decimal::from(count);
        let (number, rounding) = match computed.take {
            Take::Low => (low * count, Rounding::Up),
            Take::High => (high * count, Rounding::Down),
            Take::Middle => ((low + high) / Decimal::TWO * count, Rounding::Nearest),
        };
        Ok(Value::Quantity(Quantity { number, unit }.rounded(resolution.number, rounding)))
    }

    /// Returns the smallest step an instrument shows.
    ///
    /// # Errors
    /// A finding where the crib does not hold it, or does not say its resolution.
    pub fn resolution(&self, instrument: &Placed<String>, needed: Span) -> Answer<Quantity> {
        let item = self.held(&self.value_or_literal(instrument)?, instrument.span)?;
        match item.kind {
            Kind::Instrument { resolution: Some(resolution), .. } => Ok(resolution),
            _ => Err(boxed(
                Finding::error(MISSING_VALUE, format!("`{}` has no resolution", item.id.value))
                    .at(item.id.span)
                    .also(needed, "a limit is rounded to it here")
                    .help("write its smallest step into `crib.yaml`, for example `resolution: 0.02 mm`"),
            )),
        }
    }

    /// Returns the crib's item for a value.
    ///
    /// # Errors
    /// A finding where the crib does not hold it.
    pub fn held(&self, value: &Value, span: Span) -> Answer<&Item> {
        let text = match value {
            Value::Crib(id) => id.as_str(),
            Value::Text(text) => text.as_str(),
            _ => "",
        };
        self.binder.crib.find_text(text).ok_or_else(|| {
            let near = nearest(text, self.binder.crib.items.iter().map(|item| item.id.value.as_str()));
            let help = near.map_or("enter it in `crib.yaml`, or use what the plant has".to_owned(), |near| {
                format!("did you mean `{near}`?")
            });
            let finding = Finding::error(NOT_HELD, format!("the crib does not hold `{text}`"));
            boxed(finding.at(span).floor("the fitter would walk back for a tool that is not there").help(help))
        })
    }

    /// Returns the text a value is printed as.
    #[must_use]
    pub fn shown(&self, value: &Value) -> String {
        match value {
            Value::Quantity(quantity) => quantity.to_string(),
            Value::Range(range) => range.to_string(),
            Value::Limit(limit) => limit.to_string(),
            Value::Count(count) => count.to_string(),
            Value::Text(text) => text.clone(),
            Value::Crib(id) => {
                self.binder.crib.find(id).map_or_else(|| id.to_string(), |item| format!("{id} {}", item.name))
            }
        }
    }

    /// Resolves a sentence.
    ///
    /// # Errors
    /// A finding for the first value in it that this machine does not have.
    pub fn sentence(&self, prose: &Prose) -> Answer<Vec<Resolved>> {
        let piece = |part: &Part| match part {
            Part::Words(words) => Ok(Resolved::Words(words.clone())),
            Part::Value(name) => self.value(name).map(|value| Resolved::Value(self.shown(&value))),
        };
        prose.parts.iter().map(piece).collect()
    }

    /// Resolves a sentence to one plain text.
    ///
    /// # Errors
    /// As [`Job::sentence`].
    pub fn text(&self, prose: &Prose) -> Answer<String> {
        let pieces = self.sentence(prose)?;
        Ok(pieces
            .iter()
            .map(|piece| match piece {
                Resolved::Words(text) | Resolved::Value(text) => text.as_str(),
            })
            .collect())
    }

    /// Resolves a sentence that names something: an identifier of the crib stays an identifier.
    ///
    /// # Errors
    /// As [`Job::sentence`].
    pub fn reference(&self, prose: &Prose) -> Answer<Placed<String>> {
        if let Some(name) = prose.single_value()
            && let Value::Crib(id) = self.value(name)?
        {
            return Ok(Placed::new(id.to_string(), prose.span));
        }
        Ok(Placed::new(self.text(prose)?.trim().to_owned(), prose.span))
    }

    /// Resolves a limit.
    ///
    /// # Errors
    /// As [`Job::sentence`], and where the resolved text is no limit.
    pub fn limit(&self, prose: &Prose) -> Answer<Limit> {
        let text = self.text(prose)?;
        Limit::parse(&text).map_err(|fault| boxed(bad_limit(&text, &fault, prose.span)))
    }
}

fn open_constant(own: &Placed<Name>, needed: &Placed<Name>) -> Box<Finding> {
    boxed(
        Finding::error(MISSING_VALUE, format!("`{}` has no value yet", own.value))
            .at(own.span)
            .label("it is still to be found out")
            .also(needed.span, "it is needed here")
            .floor("the fitter would stand at the machine without this number")
            .help("fill it in from the maker's data or a measurement and name the source; never copy a neighbour's"),
    )
}

fn bad_limit(text: &str, fault: &QuantityFault, span: Span) -> Finding {
    Finding::error(WRONG_KIND, format!("`{}` is no limit: {fault}", text.replace('\u{a0}', " ")))
        .at(span)
        .floor("the fitter could not decide whether a reading is good")
        .help("write it as `24.7 to 25.3 mm`, `40 °C or less`, `19.95 mm or more` or `exactly 0 bar`")
}

/// Returns a finding that a value is of another kind than is needed.
#[must_use]
pub fn wrong_kind(name: &Placed<Name>, why: &str) -> Finding {
    Finding::error(WRONG_KIND, format!("`{}` cannot be used here: {why}", name.value)).at(name.span)
}

/// Boxes a finding, as an [`Answer`] carries it.
#[must_use]
pub fn boxed(finding: Finding) -> Box<Finding> {
    Box::new(finding)
}
