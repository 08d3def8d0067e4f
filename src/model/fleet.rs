//! The fleet: every installed machine with its options, place and isolation points; it knows no procedure.

use crate::base::name::{FamilyId, Name, Tag};
use crate::base::text::{Placed, Span};
use crate::model::fields::{self, Fields, text_at};
use crate::model::value::Value;
use crate::source::yaml::Node;

/// One installed machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Machine {
    /// Its tag.
    pub tag: Placed<Tag>,
    /// Its family.
    pub family: Placed<FamilyId>,
    /// Where it stands.
    pub place: String,
    /// The choice of each option, in the order written.
    pub options: Vec<(Placed<Name>, Placed<String>)>,
    /// Values of this machine alone.
    pub values: Vec<(Placed<Name>, Value)>,
    /// Boundaries it has in addition to its family's.
    pub boundaries: Vec<Placed<Name>>,
    /// Where its energies are cut off.
    pub isolation: Vec<IsolationPoint>,
    /// The whole entry.
    pub span: Span,
}

/// A valve, isolator or the like that cuts off one boundary.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IsolationPoint {
    /// Its own tag.
    pub point: String,
    /// The boundary.
    pub boundary: Placed<Name>,
    /// What it is.
    pub kind: String,
    /// The position that isolates.
    pub position: String,
}

impl Machine {
    /// Returns this machine's choice of an option.
    #[must_use]
    pub fn choice(&self, option: &Name) -> Option<&Placed<String>> {
        self.options.iter().find(|(own, _)| own.value == *option).map(|(_, choice)| choice)
    }
}

/// Reads `fleet.yaml`.
pub fn read(node: &Node, fields: &mut Fields<'_>) -> Vec<Machine> {
    let entries = node.get("tags").map(Node::items).unwrap_or_default();
    entries.iter().filter_map(|entry| machine(entry, fields)).collect()
}

fn machine(node: &Node, fields: &mut Fields<'_>) -> Option<Machine> {
    let tag = node.get("tag")?.placed()?;
    let family = node.get("family")?.placed()?;
    let mut options = Vec::new();
    for (key, choice) in node.get("options").map(Node::entries).unwrap_or_default() {
        let name = fields::name(key);
        options.extend(choice.placed().map(|choice| (name, choice)));
    }
    let mut values = Vec::new();
    for (key, value) in node.get("values").map(Node::entries).unwrap_or_default() {
        let name = fields::name(key);
        values.extend(fields.value(value).map(|value| (name, value)));
    }
    let isolation = node.get("isolation").map(Node::items).unwrap_or_default();
    Some(Machine {
        tag: Placed::new(Tag::new(tag.value.trim()), tag.span),
        family: Placed::new(FamilyId::new(family.value.trim()), family.span),
        place: text_at(node, "place"),
        options,
        values,
        boundaries: fields.names_at(node, "boundaries"),
        isolation: isolation.iter().filter_map(|point| isolation_point(point, fields)).collect(),
        span: node.span,
    })
}

fn isolation_point(node: &Node, fields: &mut Fields<'_>) -> Option<IsolationPoint> {
    Some(IsolationPoint {
        point: text_at(node, "point"),
        boundary: fields.name_at(node, "boundary")?,
        kind: text_at(node, "kind"),
        position: text_at(node, "position"),
    })
}
