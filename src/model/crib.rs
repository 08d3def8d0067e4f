//! The crib: tools, torque tools, instruments and fluids the plant holds; it knows no calibration date's meaning and no procedure.

use crate::base::finding::Finding;
use crate::base::name::{CribId, Name};
use crate::base::quantity::{Dimension, Quantity, Range};
use crate::base::rule::BAD_QUANTITY;
use crate::base::text::{Placed, Span};
use crate::model::drive::{self, Drive};
use crate::model::fields::{Fields, text_at, texts_at};
use crate::model::nut_factor;
use crate::model::opening::{self, Opening};
use crate::source::yaml::Node;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// Everything the crib holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Crib {
    /// The items, in the order written.
    pub items: Vec<Item>,
    /// The lock kit, if the plant has one.
    pub locks: Option<CribId>,
}

/// One thing in the crib.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// Its identifier.
    pub id: Placed<CribId>,
    /// Its plain name.
    pub name: String,
    /// Other names that people use for it.
    pub also: Vec<Placed<Name>>,
    /// Everything it is called besides its number: its plain name, what stands of it before a comma, and its other names.
    pub called: Vec<Name>,
    /// What it is.
    pub kind: Kind,
}

/// What a thing in the crib is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A plain tool.
    Tool {
        /// Verbs that need it although no sentence names it.
        verbs: Vec<Placed<String>>,
        /// The heads it fits; empty where the crib does not say.
        openings: Vec<Opening>,
        /// Of an adapter on a torque wrench: from the drive to the fastener.
        reach: Option<Quantity>,
        /// What it sits on: the drive of the wrench that turns it.
        drive: Option<Drive>,
        /// Of an adapter between two drives: the one at its other end.
        to_drive: Option<Drive>,
    },
    /// The lock kit.
    Locks,
    /// A torque tool.
    TorqueTool {
        /// From its lowest mark to its full scale (ISO 6789-1:2017 begins a tool's range at the lowest mark).
        range: Option<Range>,
        /// Its drive.
        drive: Option<Drive>,
        /// Lever length.
        lever: Option<Quantity>,
        /// The step between two marks.
        graduation: Option<Quantity>,
        /// Type and class by ISO 6789-1 (`II A`); may be empty.
        class: String,
    },
    /// A measuring instrument.
    Instrument {
        /// What it spans.
        range: Option<Range>,
        /// The smallest step it shows.
        resolution: Option<Quantity>,
        /// True where its pointer goes through twice the offset in one turn.
        shows_total: bool,
    },
    /// A fluid or consumable.
    Fluid {
        /// Where it may be used, in words; may be empty.
        zone: String,
        /// Rubbers with `yes`, `no` or `n/a`.
        rubber: Vec<(String, String)>,
        /// Nut factors of threads with this fluid on them, by material: `steel`, `stainless`.
        nut_factors: Vec<(String, Decimal)>,
    },
}

impl Crib {
    /// Returns the item with this identifier.
    #[must_use]
    pub fn find(&self, id: &CribId) -> Option<&Item> {
        self.items.iter().find(|item| item.id.value == *id)
    }

    /// Returns the item whose identifier is `text`.
    #[must_use]
    pub fn find_text(&self, text: &str) -> Option<&Item> {
        self.items.iter().find(|item| item.id.value.as_str() == text.trim())
    }

    /// Returns all identifiers.
    #[must_use]
    pub fn ids(&self) -> BTreeSet<CribId> {
        self.items.iter().map(|item| item.id.value.clone()).collect()
    }

    /// Reads `crib.yaml`.
    pub fn read(node: &Node, fields: &mut Fields<'_>) -> Self {
        let mut crib = Self::default();
        for (key, kind) in [
            ("tools", tool as fn(&Node, &mut Fields<'_>) -> Kind),
            ("torque-tools", torque_tool),
            ("instruments", instrument),
            ("fluids", fluid),
        ] {
            for entry in node.get(key).map(Node::items).unwrap_or_default() {
                let kind = kind(entry, fields);
                crib.items.extend(item(entry, kind, fields));
            }
        }
        if let Some(locks) = node.get("locks").and_then(|locks| item(locks, Kind::Locks, fields)) {
            crib.locks = Some(locks.id.value.clone());
            crib.items.push(locks);
        }
        crib
    }
}

fn item(node: &Node, kind: Kind, fields: &mut Fields<'_>) -> Option<Item> {
    let id = node.get("id")?.placed()?;
    let id = Placed::new(CribId::new(id.value.trim()), id.span);
    let (name, also) = (text_at(node, "name"), fields.names_at(node, "also"));
    let short = name.split(',').next().unwrap_or_default();
    let called = [name.as_str(), short].map(Name::new).into_iter().chain(also.iter().map(|also| also.value.clone()));
    Some(Item { id, called: called.collect(), name, also, kind })
}

fn tool(node: &Node, fields: &mut Fields<'_>) -> Kind {
    Kind::Tool {
        verbs: texts_at(node, "for"),
        openings: opening::read(node, fields),
        reach: step(node, "reach", Dimension::Length, fields),
        drive: drive::read(node, "drive"),
        to_drive: drive::read(node, "to-drive"),
    }
}

fn torque_tool(node: &Node, fields: &mut Fields<'_>) -> Kind {
    Kind::TorqueTool {
        range: range(node, fields),
        drive: drive::read(node, "drive"),
        lever: quantity(node, "lever", fields),
        graduation: step(node, "graduation", Dimension::Torque, fields),
        class: text_at(node, "class"),
    }
}

fn instrument(node: &Node, fields: &mut Fields<'_>) -> Kind {
    Kind::Instrument {
        range: range(node, fields),
        resolution: quantity(node, "resolution", fields),
        shows_total: text_at(node, "shows") == "total",
    }
}

fn fluid(node: &Node, fields: &mut Fields<'_>) -> Kind {
    let verdicts = node.get("rubber").map(Node::entries).unwrap_or_default();
    let rubber =
        verdicts.iter().filter_map(|(rubber, verdict)| Some((rubber.value.clone(), verdict.text()?.to_owned())));
    let factors = node.get("nut-factor").map(Node::entries).unwrap_or_default();
    let factor = |(material, factor): &(Placed<String>, Node)| {
        nut_factor::read(factor, fields).map(|factor| (material.value.clone(), factor))
    };
    Kind::Fluid {
        zone: text_at(node, "zone"),
        rubber: rubber.collect(),
        nut_factors: factors.iter().filter_map(factor).collect(),
    }
}

fn range(node: &Node, fields: &mut Fields<'_>) -> Option<Range> {
    let node = node.get("range")?;
    match Range::parse(node.text()?) {
        Ok(range) => Some(range),
        Err(fault) => not_a(&format!("a range such as `5 to 25 N·m`: {fault}"), node.span, fields),
    }
}

fn quantity(node: &Node, key: &str, fields: &mut Fields<'_>) -> Option<Quantity> {
    let node = node.get(key)?;
    match Quantity::parse(node.text()?) {
        Ok(quantity) => Some(quantity),
        Err(fault) => not_a(&format!("a number with its unit, such as `0.02 mm`: {fault}"), node.span, fields),
    }
}

/// Returns a quantity above zero of a dimension.
fn step(node: &Node, key: &str, dimension: Dimension, fields: &mut Fields<'_>) -> Option<Quantity> {
    let own = quantity(node, key, fields)?;
    if own.unit.dimension() == dimension && own.number > Decimal::ZERO {
        return Some(own);
    }
    let what = if dimension == Dimension::Torque { "a torque above zero" } else { "a length above zero" };
    not_a(what, node.get(key)?.span, fields)
}

fn not_a<T>(what: &str, span: Span, fields: &mut Fields<'_>) -> Option<T> {
    fields.findings.push(Finding::error(BAD_QUANTITY, format!("this must be {what}")).at(span));
    None
}

/// When a tool's calibration runs out; what changes weekly and is no part of an approval.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Calibration {
    /// The tool or instrument.
    pub id: Placed<String>,
    /// The last day it may be used, as written (`2027-03-01`).
    pub due: Placed<String>,
}

/// Reads `crib-status.yaml`.
#[must_use]
pub fn read_status(node: &Node) -> Vec<Calibration> {
    let entries = node.get("calibration").map(Node::items).unwrap_or_default();
    let calibration =
        |entry: &Node| Some(Calibration { id: entry.get("id")?.placed()?, due: entry.get("due")?.placed()? });
    entries.iter().filter_map(calibration).collect()
}
