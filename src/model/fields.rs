//! Reading typed fields out of a tree that its schema has already judged; a field of the wrong form is passed over here, never guessed.

use crate::base::finding::{Bounded, Finding};
use crate::base::name::{CribId, Name};
use crate::base::rule::{BAD_QUANTITY, ROW_LENGTH};
use crate::base::text::Placed;
use crate::model::only::{self, Only};
use crate::model::prose::Prose;
use crate::model::value::{Cell, Computed, Key, Row, Table, Take, Value, Values};
use crate::source::yaml::Node;
use std::collections::BTreeSet;

/// What authors write into a cell that is still to be found out, in small letters.
const HOLES: [&str; 9] = ["unknown", "-", "–", "?", "??", "???", "tbd", "n/a", "xxx"];

fn is_hole(text: &str) -> bool {
    HOLES.contains(&text.trim().to_lowercase().as_str())
}

/// Collects findings while the fields of one file are read.
#[derive(Debug)]
pub struct Fields<'a> {
    /// Identifiers of the crib, to tell them from words.
    pub crib: &'a BTreeSet<CribId>,
    /// What was found on the way.
    pub findings: Bounded,
}

impl<'a> Fields<'a> {
    /// Returns a reader that knows the crib's identifiers.
    #[must_use]
    pub fn new(crib: &'a BTreeSet<CribId>) -> Self {
        Self { crib, findings: Bounded::default() }
    }

    /// Returns the name under `key`.
    pub fn name_at(&mut self, node: &Node, key: &str) -> Option<Placed<Name>> {
        let text = node.get(key).and_then(Node::placed)?;
        Some(name(&text))
    }

    /// Returns the names listed under `key`.
    pub fn names_at(&mut self, node: &Node, key: &str) -> Vec<Placed<Name>> {
        let texts: Vec<_> =
            node.get(key).map(Node::items).unwrap_or_default().iter().filter_map(Node::placed).collect();
        texts.iter().map(name).collect()
    }

    /// Returns the sentence of a scalar.
    pub fn prose(&mut self, node: &Node) -> Option<Prose> {
        let (prose, findings) = Prose::read(&node.placed()?);
        self.findings.absorb(findings);
        Some(prose)
    }

    /// Returns the sentence under `key`.
    pub fn prose_at(&mut self, node: &Node, key: &str) -> Option<Prose> {
        node.get(key).and_then(|value| self.prose(value))
    }

    /// Returns the sentences under `key`: one, or a list of them.
    pub fn proses_at(&mut self, node: &Node, key: &str) -> Vec<Prose> {
        let Some(value) = node.get(key) else { return Vec::new() };
        let single = std::slice::from_ref(value);
        let items = if value.items().is_empty() { single } else { value.items() };
        items.iter().filter_map(|item| self.prose(item)).collect()
    }

    /// Returns the effectivity under `only`.
    pub fn only(&mut self, node: &Node) -> Option<Only> {
        self.only_at(node, "only")
    }

    /// Returns the effectivity under `key`.
    pub fn only_at(&mut self, node: &Node, key: &str) -> Option<Only> {
        let text = node.get(key).and_then(Node::placed)?;
        match only::parse(&text) {
            Ok(only) => Some(only),
            Err(finding) => {
                self.findings.push(*finding);
                None
            }
        }
    }

    /// Returns the value of a scalar; none for a hole.
    pub fn value(&mut self, node: &Node) -> Option<Value> {
        let text = node.text().filter(|text| !is_hole(text))?;
        match Value::read(text, self.crib) {
            Ok(value) => Some(value),
            Err(fault) => {
                self.findings.push(
                    Finding::error(BAD_QUANTITY, fault.to_string())
                        .at(node.span)
                        .floor("a lost point or a wrong unit is ten times too much or too little"),
                );
                None
            }
        }
    }

    /// Returns everything a register or procedure defines under `values`, `tables` and `computed`.
    pub fn values(&mut self, node: &Node) -> Values {
        let mut values = Values::default();
        for (key, value) in node.get("values").map(Node::entries).unwrap_or_default() {
            let name = name(key);
            let value = self.value(value);
            values.constants.push((name, value));
        }
        for table in node.get("tables").map(Node::items).unwrap_or_default() {
            let table = self.table(table);
            values.tables.push(table);
        }
        for computed in node.get("computed").map(Node::items).unwrap_or_default() {
            values.computed.extend(self.computed(computed));
        }
        values
    }

    fn table(&mut self, node: &Node) -> Table {
        let by = self.names_at(node, "by");
        let columns = self.names_at(node, "columns");
        let width = by.len() + columns.len();
        let mut rows = Vec::new();
        for row in node.get("rows").map(Node::items).unwrap_or_default() {
            if row.items().len() == width {
                let (keys, cells) = row.items().split_at(by.len());
                let keys = keys.iter().map(key).collect();
                let cells = cells.iter().map(|cell| Cell { value: self.value(cell), span: cell.span }).collect();
                rows.push(Row { keys, cells, span: row.span });
            } else {
                self.row_length(row, &by, &columns);
            }
        }
        let source = text_at(node, "source");
        Table { by, columns, rows, source, span: node.span }
    }

    fn row_length(&mut self, row: &Node, by: &[Placed<Name>], columns: &[Placed<Name>]) {
        let wanted = by.iter().chain(columns).map(|name| name.value.as_str()).collect::<Vec<_>>().join(", ");
        let message = format!("this row has {} cells, its table has {}", row.items().len(), by.len() + columns.len());
        self.findings.push(
            Finding::error(ROW_LENGTH, message)
                .at(row.span)
                .label(format!("wanted: {wanted}"))
                .floor("every number after the missing cell would stand under the wrong heading")
                .help("write `unknown` where a cell is still to be found out"),
        );
    }

    fn computed(&mut self, node: &Node) -> Option<Computed> {
        let mut factors = self.names_at(node, "multiply").into_iter();
        Some(Computed {
            name: self.name_at(node, "value")?,
            count: factors.next()?,
            times: factors.next()?,
            take: match node.get("take")?.text()? {
                "low" => Take::Low,
                "high" => Take::High,
                _ => Take::Middle,
            },
            instrument: node.get("instrument")?.placed()?,
        })
    }
}

/// Returns a name with its place; that it begins with no keyword is the schema's business.
#[must_use]
pub fn name(text: &Placed<String>) -> Placed<Name> {
    Placed::new(Name::new(&text.value), text.span)
}

fn key(node: &Node) -> Key {
    if node.text() == Some("any") {
        return Key::Any;
    }
    let single = std::slice::from_ref(node);
    let items = if node.items().is_empty() { single } else { node.items() };
    Key::Among(items.iter().filter_map(Node::placed).collect())
}

/// Returns the text under `key`, or an empty one.
#[must_use]
pub fn text_at(node: &Node, key: &str) -> String {
    node.get(key).and_then(Node::text).unwrap_or_default().trim().to_owned()
}

/// Returns the texts listed under `key`.
#[must_use]
pub fn texts_at(node: &Node, key: &str) -> Vec<Placed<String>> {
    node.get(key).map(Node::items).unwrap_or_default().iter().filter_map(Node::placed).collect()
}

/// Returns whether the field under `key` says `yes`.
#[must_use]
pub fn is_yes(node: &Node, key: &str) -> bool {
    matches!(node.get(key).and_then(Node::text), Some("yes" | "true"))
}
