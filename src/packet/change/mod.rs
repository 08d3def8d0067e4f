//! What differs in meaning between two packets of one machine; it knows no revision, and judges no words it cannot read.
//!
//! A packet is taken apart into facts (a torque, a limit, a part, a hold point) and steps. Facts are compared by name, steps
//! by what they say and do, wherever they stand. Reflowed and renumbered text is no change.

mod fact;
pub mod since;
mod step;

use crate::base::risk::RiskClass;
use crate::packet::view::Packet;
use serde::Serialize;

/// What a change is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Area {
    /// Energies, points and how zero energy is proved.
    Isolation,
    /// Cautions and precautions.
    Caution,
    /// Hold points.
    Hold,
    /// Personal protection.
    Protection,
    /// Fluids.
    Fluid,
    /// Options of the machine and what the procedure is for.
    Machine,
    /// Steps: there, gone, elsewhere, or doing something else.
    Step,
    /// Torques, their states, wrenches and patterns.
    Torque,
    /// Readings, their limits and what to do outside them.
    Reading,
    /// New parts.
    Part,
    /// Tools and instruments.
    Tool,
    /// A number within a sentence.
    Number,
    /// Figures.
    Figure,
    /// Words.
    Words,
}

impl Area {
    /// Every area, from the largest consequence to the least.
    pub const ALL: [Self; 14] = [
        Self::Isolation,
        Self::Caution,
        Self::Hold,
        Self::Protection,
        Self::Fluid,
        Self::Machine,
        Self::Step,
        Self::Torque,
        Self::Reading,
        Self::Part,
        Self::Tool,
        Self::Number,
        Self::Figure,
        Self::Words,
    ];

    /// Returns the class of a change in it.
    #[must_use]
    pub const fn class(self) -> RiskClass {
        match self {
            Self::Isolation | Self::Caution | Self::Hold | Self::Protection | Self::Fluid => RiskClass::Safety,
            Self::Machine => RiskClass::Applicability,
            Self::Step => RiskClass::Sequence,
            Self::Torque | Self::Reading | Self::Part | Self::Tool | Self::Number | Self::Figure => RiskClass::Value,
            Self::Words => RiskClass::Wording,
        }
    }

    /// Returns its name in the plural, as in `all torques`.
    #[must_use]
    pub const fn plural(self) -> &'static str {
        match self {
            Self::Isolation => "isolation points and proofs",
            Self::Caution => "cautions",
            Self::Hold => "hold points",
            Self::Protection => "protection",
            Self::Fluid => "fluids",
            Self::Machine => "options of the machine",
            Self::Step => "steps and their order",
            Self::Torque => "torques",
            Self::Reading => "readings and limits",
            Self::Part => "parts",
            Self::Tool => "tools and instruments",
            Self::Number => "other numbers",
            Self::Figure => "figures",
            Self::Words => "words",
        }
    }
}

/// One thing that is not as it was.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Change {
    /// How much it can matter.
    pub class: RiskClass,
    /// What it is about.
    pub area: Area,
    /// What differs (`torque of casing closure, final`).
    pub what: String,
    /// As it was; empty where it was not there.
    pub from: String,
    /// As it is; empty where it is gone.
    pub to: String,
    /// What the reader must know beside it; may be empty.
    pub remark: String,
}

impl Change {
    /// Returns a change of a fact, its class raised where it is taken away.
    fn of(area: Area, what: impl Into<String>, from: impl Into<String>, to: impl Into<String>) -> Self {
        let (from, to) = (from.into(), to.into());
        let class = if to.is_empty() { of_removal(area.class()) } else { area.class() };
        Self { class, area, what: what.into(), from, to, remark: String::new() }
    }
}

/// Returns the class of the same change where something is taken away: one higher.
const fn of_removal(class: RiskClass) -> RiskClass {
    match class {
        RiskClass::Wording => RiskClass::Value,
        RiskClass::Value => RiskClass::Sequence,
        RiskClass::Sequence | RiskClass::Safety => RiskClass::Safety,
        RiskClass::Applicability => RiskClass::Applicability,
    }
}

/// Returns what differs between two packets of a machine, the largest consequence first.
#[must_use]
pub fn between(old: &Packet, new: &Packet) -> Vec<Change> {
    let mut changes = fact::changes(old, new);
    changes.extend(step::changes(old, new, &changes));
    changes.sort_by(|a, b| b.class.cmp(&a.class).then_with(|| a.cmp(b)));
    changes.dedup();
    changes
}

/// Returns the change of a machine that gets its first packet, or loses it.
#[must_use]
pub fn coming_or_going(is_new: bool) -> Change {
    let (from, to) = if is_new { ("", "for this machine") } else { ("for this machine", "") };
    Change::of(Area::Machine, "the procedure", from, to)
}
