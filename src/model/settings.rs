//! The binder's own settings: plant, language and how its cards are printed and read; it lays nothing out.

use crate::base::limits;
use crate::base::paper::Paper;
use crate::base::quantity::{Quantity, Unit};
use crate::model::fields::{is_yes, text_at};
use crate::source::yaml::Node;
use rust_decimal::prelude::ToPrimitive as _;

/// What `binder.yaml` says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// The plant's name.
    pub plant: String,
    /// Language of the texts.
    pub language: String,
    /// Paper of the packets.
    pub paper: Paper,
    /// The card preset a procedure uses unless it names another.
    pub card: String,
    /// Whether isolation points stand on the card.
    pub isolation: IsolationOnCard,
    /// The presets: the plant's own, then the built-in ones it did not replace.
    pub presets: Vec<Preset>,
    /// How many combinations of options are looked at.
    pub combinations: u64,
    /// The lowest torque that a torque tool is used for here, in percent of its full scale; none where the site has no such rule.
    pub wrench_from: Option<u32>,
}

/// Whether isolation points stand on the card, which gives every tag its own face.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IsolationOnCard {
    /// The card names the boundaries in words.
    Off,
    /// The card names every point.
    On,
}

/// How a card is printed and read; lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Preset {
    /// Its name.
    pub name: String,
    /// Trim width.
    pub width_mm: u32,
    /// Trim height.
    pub height_mm: u32,
    /// Reading distance.
    pub distance_mm: u32,
    /// Edge kept free for the seal of the laminate.
    pub edge_mm: u32,
    /// Punch hole: diameter, distance of its centre from the top edge, side of the square kept free around it.
    pub punch: Option<(u32, u32, u32)>,
    /// True where the sheet is turned about its short edge.
    pub flip_short: bool,
}

/// Trim sizes by name, short side first, in millimetres. A sizes: ISO 216; Letter (8.5 × 11 in): ANSI/ASME Y14.1, rounded.
const SIZES: [(&str, u32, u32); 5] =
    [("A3", 297, 420), ("A4", 210, 297), ("A5", 148, 210), ("A6", 105, 148), ("Letter", 216, 279)];

/// Returns the built-in presets. Edge, hole and free square are common practice, no source.
fn built_in() -> [Preset; 3] {
    let preset = |name: &str, size: &str, distance_mm, edge_mm, punch| {
        let (width_mm, height_mm) = trim_size(size).expect("the built-in presets name listed sizes");
        Preset { name: name.to_owned(), width_mm, height_mm, distance_mm, edge_mm, punch, flip_short: true }
    };
    [
        preset("in hand", "A5", 400, 5, Some((6, 12, 15))),
        preset("on bench", "A4", 500, 6, Some((6, 12, 15))),
        preset("on wall", "A4", 700, 6, Some((6, 12, 15))),
    ]
}

fn trim_size(name: &str) -> Option<(u32, u32)> {
    SIZES.iter().find(|(own, ..)| *own == name).map(|(_, short, long)| (*short, *long))
}

impl Settings {
    /// Reads `binder.yaml`; what it does not say has the built-in setting.
    #[must_use]
    pub fn read(node: &Node) -> Self {
        let print = node.get("print");
        let said = |key: &str| print.map(|print| text_at(print, key)).unwrap_or_default();
        let or = |text: String, default: &str| if text.is_empty() { default.to_owned() } else { text };
        let own = print.and_then(|print| print.get("cards")).map(Node::entries).unwrap_or_default();
        let mut presets: Vec<Preset> = own.iter().filter_map(|(name, node)| preset(&name.value, node)).collect();
        let replaced = |built: &Preset| own.iter().any(|(name, _)| name.value == built.name);
        presets.extend(built_in().into_iter().filter(|built| !replaced(built)));
        let limit = |key: &str| node.get("limits").map(|limits| text_at(limits, key)).unwrap_or_default();
        let percent = limit("wrench-from");
        Self {
            plant: text_at(node, "plant"),
            language: or(text_at(node, "language"), "en"),
            paper: if said("paper") == "Letter" { Paper::Letter } else { Paper::A4 },
            card: or(said("card"), "on wall"),
            isolation: if said("isolation-points") == "on card" { IsolationOnCard::On } else { IsolationOnCard::Off },
            presets,
            combinations: limit("combinations").parse().unwrap_or(limits::COMBINATIONS),
            wrench_from: percent.strip_suffix('%').and_then(|number| number.trim().parse().ok()),
        }
    }

    /// Returns the preset of this name.
    #[must_use]
    pub fn preset(&self, name: &str) -> Option<&Preset> {
        self.presets.iter().find(|preset| preset.name == name)
    }
}

fn preset(name: &str, node: &Node) -> Option<Preset> {
    let size = node.get("size")?;
    let (width, height) = match size.text() {
        Some(known) => trim_size(known)?,
        None => (millimetres(size, "width")?, millimetres(size, "height")?),
    };
    let landscape = text_at(node, "orientation") == "landscape";
    let (width_mm, height_mm) = if landscape { (height.max(width), height.min(width)) } else { (width, height) };
    let punch = node.get("punch").and_then(|punch| {
        Some((millimetres(punch, "diameter")?, millimetres(punch, "inset")?, millimetres(punch, "clear")?))
    });
    Some(Preset {
        name: name.to_owned(),
        width_mm,
        height_mm,
        distance_mm: millimetres(node, "distance")?,
        edge_mm: millimetres(node, "edge").unwrap_or(6),
        punch,
        flip_short: text_at(node, "flip") != "long edge" && !is_yes(node, "flip"),
    })
}

fn millimetres(node: &Node, key: &str) -> Option<u32> {
    let quantity = Quantity::parse(&text_at(node, key)).ok()?;
    let metre = Unit::parse("m") == Some(quantity.unit);
    let centimetre = Unit::parse("cm") == Some(quantity.unit);
    let factor = if metre {
        1000
    } else if centimetre {
        10
    } else {
        1
    };
    (quantity.number * rust_decimal::Decimal::from(factor)).to_u32()
}
