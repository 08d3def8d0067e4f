//! A family: options, boundaries, parts, joints and value tables of machines that share a design; it knows no tag.

use crate::base::finding::Finding;
use crate::base::name::{FamilyId, Name};
use crate::base::quantity::{Dimension, Quantity, Range};
use crate::base::rule::BAD_QUANTITY;
use crate::base::text::{FileId, Placed};
use crate::model::draw::{Draw, draws};
use crate::model::fields::{Fields, is_yes, text_at};
use crate::model::nut_factor;
use crate::model::only::Only;
use crate::model::prose::Prose;
use crate::model::ring::RingWritten;
use crate::model::value::Values;
use crate::source::yaml::Node;
use rust_decimal::Decimal;

/// A family of machines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Family {
    /// Its identifier.
    pub id: Placed<FamilyId>,
    /// Its plain name.
    pub name: String,
    /// What its machines differ in, in the order printed.
    pub options: Vec<OptionAxis>,
    /// Values that every tag gives for itself.
    pub tag_values: Vec<Placed<Name>>,
    /// Where energy or product comes in.
    pub boundaries: Vec<Boundary>,
    /// Parts.
    pub parts: Vec<Part>,
    /// Drains, vents and covers: what can be left open.
    pub openings: Vec<Opening>,
    /// What is put in for a job and must come out again.
    pub temporary: Vec<Temporary>,
    /// Nouns that are no part, tool or opening.
    pub moves_nothing: Vec<Placed<Name>>,
    /// Joints.
    pub joints: Vec<Joint>,
    /// Values by options.
    pub values: Values,
    /// The file it is written in.
    pub file: FileId,
}

/// An option: one thing in which machines of a family differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OptionAxis {
    /// Its name (`size`).
    pub name: Placed<Name>,
    /// What may be chosen, in order.
    pub choices: Vec<Choice>,
}

/// What may be chosen for an option.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The choice as written in the fleet (`S`).
    pub value: Placed<String>,
    /// What it stands for; may be empty.
    pub meaning: String,
}

/// A place where energy or product comes in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boundary {
    /// Its name.
    pub name: Placed<Name>,
    /// The energy.
    pub energy: String,
    /// How zero energy is proved; may be empty.
    pub prove: String,
    /// True where only tags that list it have it.
    pub optional: bool,
    /// Declared synonyms.
    pub also: Vec<Placed<Name>>,
    /// How cold and how hot it is there.
    pub temperature: Option<Range>,
}

/// A part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The register's name.
    pub name: Placed<Name>,
    /// Declared synonyms.
    pub also: Vec<Placed<Name>>,
    /// How many: a whole number or the name of a value.
    pub count: Placed<String>,
    /// Which machines have it; none for all.
    pub only: Option<Only>,
    /// True where it is never used twice.
    pub single_use: bool,
    /// The zone it lies in, in words; may be empty.
    pub contact: String,
    /// Material.
    pub material: Option<Prose>,
    /// Stores number.
    pub number: Option<Prose>,
    /// Place in stores; may be empty.
    pub bin: String,
    /// The part it belongs to.
    pub of: Option<Placed<Name>>,
    /// What must be off before it comes off, and goes on after it.
    pub held_by: Vec<Placed<Name>>,
    /// True where it must be on before the machine runs.
    pub guard: bool,
    /// The part whose place it takes.
    pub succeeds: Option<Placed<Name>>,
    /// What its thread needs, or what lifts it.
    pub tools: Vec<Draw>,
    /// The boundaries whose fluid and heat it meets in service.
    pub meets: Vec<Placed<Name>>,
    /// The O-ring it is, and its groove.
    pub ring: Option<RingWritten>,
}

/// A drain, vent or cover that is opened and shut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// The register's name.
    pub name: Placed<Name>,
    /// Declared synonyms.
    pub also: Vec<Placed<Name>>,
    /// How many: a whole number or the name of a value; none for one.
    pub count: Option<Placed<String>>,
    /// The boundaries whose energy it releases.
    pub of: Vec<Placed<Name>>,
    /// Which machines have it; none for all.
    pub only: Option<Only>,
}

/// A thing that is put in for a job and must come out again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Temporary {
    /// The register's name.
    pub name: Placed<Name>,
    /// Declared synonyms.
    pub also: Vec<Placed<Name>>,
    /// How many: a whole number or the name of a value; none for one.
    pub count: Option<Placed<String>>,
    /// Which machines it is for; none for all.
    pub only: Option<Only>,
}

/// A set of fasteners with a torque.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joint {
    /// Its name.
    pub name: Placed<Name>,
    /// The fastener, a part.
    pub fastener: Placed<Name>,
    /// Which machines have it; none for all.
    pub only: Option<Only>,
    /// Thread: a value's name or words.
    pub thread: Option<Placed<String>>,
    /// Property class; may be empty.
    pub class: String,
    /// What is turned, as written (`older hexagon`); empty where the register does not say.
    pub head: String,
    /// Lubrication state.
    pub state: Option<Prose>,
    /// Torque, by the name of a value.
    pub torque: Placed<Name>,
    /// Target or limit.
    pub role: TorqueRole,
    /// Torque tool: a value's name or an identifier of the crib.
    pub wrench: Option<Placed<String>>,
    /// The adapter between wrench and fastener, and its angle to the handle in degrees.
    pub adapter: Option<(Placed<String>, u32)>,
    /// Stages in order.
    pub stages: Vec<TorqueStage>,
    /// How the fasteners stand.
    pub pattern: JointPattern,
    /// Which way it loosens.
    pub hand: Hand,
    /// The plant's own nut factor for it; none to go by the state.
    pub nut_factor: Option<Decimal>,
}

/// Whether a torque is aimed at or must not be passed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TorqueRole {
    /// Tighten to it.
    Target,
    /// Never pass it.
    Limit,
}

/// A stage of tightening, as a share of the final torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TorqueStage {
    /// Hand tight; no figure.
    Snug,
    /// A share: numerator and denominator.
    Share(u32, u32),
    /// The whole torque.
    Final,
    /// The whole torque, once round in order until none turns any more.
    Round,
}

/// How the fasteners of a joint stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JointPattern {
    /// No pattern is drawn.
    None,
    /// On a circle, tightened crosswise.
    Cross,
    /// In two rows, tightened from opposite sides.
    Rows,
}

/// The hand of a thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Turns clockwise to tighten.
    Right,
    /// Turns clockwise to loosen.
    Left,
}

impl Family {
    /// Returns the option of this name.
    #[must_use]
    pub fn option(&self, name: &Name) -> Option<&OptionAxis> {
        self.options.iter().find(|option| option.name.value == *name)
    }

    /// Returns the part of this name or synonym.
    #[must_use]
    pub fn part(&self, name: &Name) -> Option<&Part> {
        self.parts.iter().find(|part| part.name.value == *name || part.also.iter().any(|also| also.value == *name))
    }

    /// Returns the joint of this name.
    #[must_use]
    pub fn joint(&self, name: &Name) -> Option<&Joint> {
        self.joints.iter().find(|joint| joint.name.value == *name)
    }

    /// Returns everything that only some machines have, each with a word for what it is.
    #[must_use]
    pub fn limited_things(&self) -> Vec<(&'static str, &Only)> {
        let joints = self.joints.iter().map(|joint| ("joint", &joint.only));
        let tools = self.parts.iter().flat_map(|part| &part.tools).map(|draw| ("tool", &draw.only));
        let others = joints.chain(tools).filter_map(|(what, only)| only.as_ref().map(|only| (what, only)));
        self.limited_objects().into_iter().chain(others).collect()
    }

    /// Returns what a machine has or has not, and a procedure is executed on: parts, openings and temporary items for some
    /// machines only, each with a word for what it is.
    #[must_use]
    pub fn limited_objects(&self) -> Vec<(&'static str, &Only)> {
        let parts = self.parts.iter().map(|part| ("part", &part.only));
        let openings = self.openings.iter().map(|opening| ("opening", &opening.only));
        let temporary = self.temporary.iter().map(|item| ("temporary item", &item.only));
        let all = parts.chain(openings).chain(temporary);
        all.filter_map(|(what, only)| only.as_ref().map(|only| (what, only))).collect()
    }

    /// Returns the boundary of this name.
    #[must_use]
    pub fn boundary(&self, name: &Name) -> Option<&Boundary> {
        self.boundaries.iter().find(|boundary| boundary.name.value == *name)
    }

    /// Reads a file of `families/`.
    pub fn read(node: &Node, file: FileId, fields: &mut Fields<'_>) -> Option<Self> {
        let id = node.get("family")?.placed()?;
        let list = |key: &str| node.get(key).map(Node::items).unwrap_or_default();
        Some(Self {
            id: Placed::new(FamilyId::new(id.value.trim()), id.span),
            name: text_at(node, "name"),
            options: list("options").iter().filter_map(|option| option_axis(option, fields)).collect(),
            tag_values: fields.names_at(node, "tag-values"),
            boundaries: list("boundaries").iter().filter_map(|boundary| read_boundary(boundary, fields)).collect(),
            parts: list("parts").iter().filter_map(|part| read_part(part, fields)).collect(),
            openings: list("openings").iter().filter_map(|opening| read_opening(opening, fields)).collect(),
            temporary: list("temporary").iter().filter_map(|item| read_temporary(item, fields)).collect(),
            moves_nothing: fields.names_at(node, "moves-nothing"),
            joints: list("joints").iter().filter_map(|joint| read_joint(joint, fields)).collect(),
            values: fields.values(node),
            file,
        })
    }
}

fn option_axis(node: &Node, fields: &mut Fields<'_>) -> Option<OptionAxis> {
    let values = node.get("values")?;
    let listed =
        values.items().iter().filter_map(|value| Some(Choice { value: value.placed()?, meaning: String::new() }));
    let named = values.entries().iter().map(|(value, meaning)| Choice {
        value: value.clone(),
        meaning: meaning.text().unwrap_or_default().to_owned(),
    });
    Some(OptionAxis { name: fields.name_at(node, "option")?, choices: listed.chain(named).collect() })
}

fn read_boundary(node: &Node, fields: &mut Fields<'_>) -> Option<Boundary> {
    Some(Boundary {
        name: fields.name_at(node, "boundary")?,
        energy: text_at(node, "energy"),
        prove: text_at(node, "prove"),
        optional: is_yes(node, "optional"),
        also: fields.names_at(node, "also"),
        temperature: temperature(node, fields),
    })
}

/// Reads a temperature or both ends of one.
fn temperature(node: &Node, fields: &mut Fields<'_>) -> Option<Range> {
    let node = node.get("temperature")?;
    let text = node.text()?;
    let both = Quantity::parse(text).map(|both| Range { low: both.number, high: both.number, unit: both.unit });
    let range = both.or_else(|_| Range::parse(text));
    let range = range.ok().filter(|range| range.unit.dimension() == Dimension::Temperature);
    if range.is_none() {
        let message = "this must be a temperature, or both ends of one, such as `5 to 85 °C`";
        fields.findings.push(Finding::error(BAD_QUANTITY, message).at(node.span));
    }
    range
}

fn read_part(node: &Node, fields: &mut Fields<'_>) -> Option<Part> {
    Some(Part {
        name: fields.name_at(node, "part")?,
        also: fields.names_at(node, "also"),
        count: node.get("count")?.placed()?,
        only: fields.only(node),
        single_use: is_yes(node, "single-use"),
        contact: text_at(node, "contact"),
        material: fields.prose_at(node, "material"),
        number: fields.prose_at(node, "number"),
        bin: text_at(node, "bin"),
        of: fields.name_at(node, "of"),
        held_by: fields.names_at(node, "held-by"),
        guard: is_yes(node, "guard"),
        succeeds: fields.name_at(node, "succeeds"),
        tools: draws(node.get("tools").map(Node::items).unwrap_or_default(), "tool", fields),
        meets: fields.names_at(node, "meets"),
        ring: RingWritten::read(node),
    })
}

fn read_opening(node: &Node, fields: &mut Fields<'_>) -> Option<Opening> {
    Some(Opening {
        name: fields.name_at(node, "opening")?,
        also: fields.names_at(node, "also"),
        count: node.get("count").and_then(Node::placed),
        of: fields.names_at(node, "of"),
        only: fields.only(node),
    })
}

fn read_temporary(node: &Node, fields: &mut Fields<'_>) -> Option<Temporary> {
    Some(Temporary {
        name: fields.name_at(node, "item")?,
        also: fields.names_at(node, "also"),
        count: node.get("count").and_then(Node::placed),
        only: fields.only(node),
    })
}

fn read_joint(node: &Node, fields: &mut Fields<'_>) -> Option<Joint> {
    let stages: Vec<TorqueStage> =
        node.get("stages").map(Node::items).unwrap_or_default().iter().filter_map(Node::text).map(stage).collect();
    Some(Joint {
        name: fields.name_at(node, "joint")?,
        fastener: fields.name_at(node, "fastener")?,
        only: fields.only(node),
        thread: node.get("thread").and_then(Node::placed),
        class: text_at(node, "class"),
        head: text_at(node, "head"),
        state: fields.prose_at(node, "state"),
        torque: fields.name_at(node, "torque")?,
        role: if matches!(text_at(node, "role").as_str(), "" | "target") {
            TorqueRole::Target
        } else {
            TorqueRole::Limit
        },
        wrench: node.get("wrench").and_then(Node::placed),
        adapter: adapter(node),
        stages: if stages.is_empty() { vec![TorqueStage::Final] } else { stages },
        pattern: match text_at(node, "pattern").as_str() {
            "cross" => JointPattern::Cross,
            "rows" => JointPattern::Rows,
            _ => JointPattern::None,
        },
        hand: if text_at(node, "hand") == "left" { Hand::Left } else { Hand::Right },
        nut_factor: node.get("nut-factor").and_then(|factor| nut_factor::read(factor, fields)),
    })
}

fn adapter(node: &Node) -> Option<(Placed<String>, u32)> {
    let angle = text_at(node, "adapter-angle");
    Some((node.get("adapter")?.placed()?, angle.strip_suffix('°')?.trim().parse().ok()?))
}

fn stage(text: &str) -> TorqueStage {
    if let Some(percent) = text.strip_suffix('%').and_then(|number| number.trim().parse().ok()) {
        return if percent == 100 { TorqueStage::Final } else { TorqueStage::Share(percent, 100) };
    }
    match text {
        "snug" => TorqueStage::Snug,
        "third" => TorqueStage::Share(1, 3),
        "half" => TorqueStage::Share(1, 2),
        "two thirds" => TorqueStage::Share(2, 3),
        "round" => TorqueStage::Round,
        _ => TorqueStage::Final,
    }
}
