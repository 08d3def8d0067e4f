//! Values and where they come from: constants, tables by options, computed limits; it chooses no row.

use crate::base::name::{CribId, Name};
use crate::base::quantity::{Limit, Quantity, QuantityFault, Range};
use crate::base::text::{Placed, Span};
use std::collections::BTreeSet;

/// A value as read from a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// A number with a unit.
    Quantity(Quantity),
    /// From one quantity to another.
    Range(Range),
    /// A limit in words (`40 °C or less`).
    Limit(Limit),
    /// A whole number of things.
    Count(u32),
    /// Something the crib holds.
    Crib(CribId),
    /// Words.
    Text(String),
}

impl Value {
    /// Reads a value; `crib` tells which words are identifiers of the crib.
    ///
    /// # Errors
    /// A [`QuantityFault`] where the text looks like a number but can be read in more than one way.
    pub fn read(text: &str, crib: &BTreeSet<CribId>) -> Result<Self, QuantityFault> {
        let text = text.trim();
        let id = CribId::new(text);
        if crib.contains(&id) {
            return Ok(Self::Crib(id));
        }
        if !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit()) {
            return text.parse().map(Self::Count).map_err(|_| QuantityFault::NoUnit(text.to_owned()));
        }
        let as_quantity = match Quantity::parse(text) {
            Ok(quantity) => return Ok(Self::Quantity(quantity)),
            Err(fault) => fault,
        };
        let as_limit = match limit(text) {
            Ok(value) => return Ok(value),
            Err(fault) => fault,
        };
        let dangerous = [as_quantity, as_limit].into_iter().find(|fault| is_dangerous(text, fault));
        dangerous.map_or_else(|| Ok(Self::Text(text.to_owned())), Err)
    }

    /// Returns a word for the kind of value, to compare the cells of a column.
    #[must_use]
    pub fn kind(&self) -> String {
        match self {
            Self::Quantity(quantity) => format!("a quantity in {}", quantity.unit.symbol()),
            Self::Range(range) => format!("a range in {}", range.unit.symbol()),
            Self::Limit(limit) => format!("a limit in {}", limit.symbol()),
            Self::Count(_) => "a count".to_owned(),
            Self::Crib(_) => "an item of the crib".to_owned(),
            Self::Text(_) => "a text".to_owned(),
        }
    }
}

fn limit(text: &str) -> Result<Value, QuantityFault> {
    Limit::parse(text).map(|limit| match limit {
        Limit::Within(range) => Value::Range(range),
        other => Value::Limit(other),
    })
}

/// Returns whether a text that is no quantity would be taken for one by a reader.
fn is_dangerous(text: &str, fault: &QuantityFault) -> bool {
    let numeric = text.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '-');
    match fault {
        QuantityFault::NakedPoint(_)
        | QuantityFault::Comma(_)
        | QuantityFault::Reversed(_)
        | QuantityFault::TooManyDigits(_) => true,
        QuantityFault::Arithmetic(inner) => numeric && (inner.contains(['±', '–', '—']) || is_hyphenated(text)),
        QuantityFault::NoUnit(_) => numeric && text.contains('.'),
        QuantityFault::NoNumber(_)
        | QuantityFault::UnknownUnit(_)
        | QuantityFault::AmbiguousUnit(..)
        | QuantityFault::TwoReadings(_) => false,
    }
}

/// Returns whether a hyphen in the text stands before a quantity (`2.0-2.5 bar`), unlike the one in a part number.
fn is_hyphenated(text: &str) -> bool {
    text.match_indices('-').any(|(at, _)| at > 0 && Quantity::parse(&text[at + 1..]).is_ok())
}

/// A table of values by one or more options.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// The options that choose a row.
    pub by: Vec<Placed<Name>>,
    /// The values it holds.
    pub columns: Vec<Placed<Name>>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// Where the numbers come from, in the author's words; may be empty.
    pub source: String,
    /// Where it is written.
    pub span: Span,
}

/// A row of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// One key for each option of `by`.
    pub keys: Vec<Key>,
    /// One cell for each column.
    pub cells: Vec<Cell>,
    /// Where it is written.
    pub span: Span,
}

/// Which choices of an option a row is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Key {
    /// Every choice.
    Any,
    /// One of these.
    Among(Vec<Placed<String>>),
}

/// A cell of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cell {
    /// The value; none for a hole (`unknown`, `~` or nothing).
    pub value: Option<Value>,
    /// Where it is written.
    pub span: Span,
}

/// A limit that is computed: a count times a quantity, rounded inward to an instrument's resolution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Computed {
    /// Its name.
    pub name: Placed<Name>,
    /// The count, by the name of a value.
    pub count: Placed<Name>,
    /// The quantity or range, by the name of a value.
    pub times: Placed<Name>,
    /// Which end is computed.
    pub take: Take,
    /// The instrument whose resolution it is rounded to: a value's name or an identifier of the crib.
    pub instrument: Placed<String>,
}

/// Which end of a range is taken, which decides how the result is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Take {
    /// The lower end, rounded up.
    Low,
    /// The upper end, rounded down.
    High,
    /// The middle, rounded to the nearest step.
    Middle,
}

/// All values a register or procedure defines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Values {
    /// Values that are the same for every tag; none for a hole, which still hides a value of this name further out.
    pub constants: Vec<(Placed<Name>, Option<Value>)>,
    /// Tables.
    pub tables: Vec<Table>,
    /// Computed limits.
    pub computed: Vec<Computed>,
}

/// Where one value comes from.
#[derive(Clone, Copy, Debug)]
pub enum Definition<'a> {
    /// A constant.
    Constant(&'a Placed<Name>, Option<&'a Value>),
    /// A column of a table.
    Column(&'a Table, usize),
    /// A computed limit.
    Computed(&'a Computed),
}

impl<'a> Definition<'a> {
    /// Returns the defining name with its place.
    #[must_use]
    pub fn name(&self) -> &'a Placed<Name> {
        match self {
            Self::Constant(name, _) => name,
            Self::Column(table, index) => &table.columns[*index],
            Self::Computed(computed) => &computed.name,
        }
    }
}

impl Values {
    /// Returns every definition in the order written.
    pub fn definitions(&self) -> impl Iterator<Item = Definition<'_>> {
        let constants = self.constants.iter().map(|(name, value)| Definition::Constant(name, value.as_ref()));
        let columns =
            self.tables.iter().flat_map(|table| (0..table.columns.len()).map(|index| Definition::Column(table, index)));
        constants.chain(columns).chain(self.computed.iter().map(Definition::Computed))
    }

    /// Returns the first definition of a name.
    #[must_use]
    pub fn find(&self, name: &Name) -> Option<Definition<'_>> {
        self.definitions().find(|definition| definition.name().value == *name)
    }
}
