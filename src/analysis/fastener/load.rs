//! What a joint's torque makes of its bolts on one machine: preload and share of what they bear, as a band; what it cannot compute it says why.

use crate::analysis::fastener::class::{Class, Strength};
use crate::analysis::fastener::friction::{self, NutFactor, Wetness};
use crate::analysis::fastener::preload;
use crate::analysis::fastener::si;
use crate::analysis::fastener::thread::Thread;
use crate::analysis::fastener::tool::{Deviation, ToolClass};
use crate::analysis::job::Job;
use crate::analysis::joint::JointHere;
use crate::analysis::naming::is_named;
use crate::analysis::working::{Known, Source};
use crate::base::quantity::Quantity;
use crate::model::crib::{Item, Kind};
use rust_decimal::prelude::ToPrimitive as _;

/// The window a preload is commonly aimed into, as shares of proof (of yield where there is no proof).
pub const WINDOW: (f64, f64) = (0.45, 0.75);

/// Where the window is from.
pub const WINDOW_SOURCE: Source = Source::of("preload from 45 to 75 % of proof", Known::Practice);

/// A figure with what it may be instead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lower end.
    pub low: f64,
    /// The figure.
    pub nominal: f64,
    /// Upper end.
    pub high: f64,
}

impl Band {
    /// Returns every figure multiplied.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self { low: self.low * factor, nominal: self.nominal * factor, high: self.high * factor }
    }

    /// Returns the band with both ends moved out by a share.
    #[must_use]
    pub fn wider(self, share: f64) -> Self {
        Self { low: self.low * (1.0 - share), nominal: self.nominal, high: self.high * (1.0 + share) }
    }

    /// Returns a figure that is nothing else.
    #[must_use]
    pub fn exact(figure: f64) -> Self {
        Self { low: figure, nominal: figure, high: figure }
    }
}

/// What a torque makes of a bolt.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// The thread.
    pub thread: Thread,
    /// The class.
    pub class: Class,
    /// What a bolt of it bears.
    pub strength: Strength,
    /// The nut factor.
    pub factor: NutFactor,
    /// The torque, in N·m.
    pub torque: f64,
    /// What the wrench may be off by; none where its class is not known.
    pub tool: Option<Deviation>,
    /// The preload, in N: the scatter of the nut factor, and what the wrench may be off by.
    pub preload: Band,
}

/// Why a joint's preload is not computed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotComputed {
    /// The register gives no thread or no class: the fastener is not one of a standard.
    NoStandard,
    /// The thread, the class or the size is in no table.
    Refused(String),
    /// The words of the state match no state, and nothing else gives a nut factor.
    UnknownState(String),
    /// The state names a fluid for which the crib gives no nut factor on this material.
    NoNutFactor {
        /// The fluid.
        fluid: String,
        /// `steel` or `stainless`.
        material: &'static str,
    },
}

impl NotComputed {
    /// Returns the reason in words, as a packet prints it.
    #[must_use]
    pub fn in_words(&self) -> String {
        match self {
            Self::NoStandard => "the register names no thread and class of a standard".to_owned(),
            Self::Refused(why) => why.replace('`', ""),
            Self::UnknownState(state) => format!("no nut factor is known for the state \u{201c}{state}\u{201d}"),
            Self::NoNutFactor { fluid, material } => format!("the crib gives no nut factor for {fluid} on {material}"),
        }
    }
}

impl Load {
    /// Returns what a torque in N·m makes of a bolt. A low nut factor makes a high preload.
    #[must_use]
    pub fn new(thread: Thread, class: Class, strength: Strength, factor: NutFactor, torque: f64) -> Self {
        let preload = preload_band(&thread, &factor, torque);
        Self { thread, class, strength, factor, torque, tool: None, preload }
    }

    /// Returns the load with what the wrench may be off by: both ends of the preload are moved out by it.
    #[must_use]
    pub fn with_tool(self, tool: Option<Deviation>) -> Self {
        let preload = tool.as_ref().map_or(self.preload, |tool| self.preload.wider(tool.share));
        Self { tool, preload, ..self }
    }

    /// Returns the share that the nominal nut factor gives over what the wrench may be off by.
    #[must_use]
    pub fn share_by_tool(&self) -> Band {
        let share = self.tool.as_ref().map_or(0.0, |tool| tool.share);
        Band::exact(self.share().nominal).wider(share)
    }

    /// Returns the stress in the stress area, in MPa.
    #[must_use]
    pub fn stress(&self) -> Band {
        self.preload.times(1.0 / self.thread.stress_area())
    }

    /// Returns the stress as a share of proof, or of yield where the standard has no proof.
    #[must_use]
    pub fn share(&self) -> Band {
        self.stress().times(1.0 / self.strength.reference().1)
    }

    /// Returns the figures in words: `42.7 kN, 507 MPa, 113 % of yield (450 MPa)`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let (name, reference) = self.strength.reference();
        let share = self.share().nominal * 100.0;
        let kilonewtons = self.preload.nominal / 1000.0;
        format!("{kilonewtons:.1} kN, {:.0} MPa, {share:.0} % of {name} ({reference:.0} MPa)", self.stress().nominal)
    }

    /// Returns the band in words: `from 83 to 167 % with the scatter of K and ±4 % of the wrench`.
    #[must_use]
    pub fn band_in_words(&self) -> String {
        let share = self.share().times(100.0);
        let tool = self.tool.as_ref().map(|tool| format!(" and {} of the wrench", tool.shown())).unwrap_or_default();
        format!("from {:.0} to {:.0} % with the scatter of K{tool}", share.low, share.high)
    }
}

/// Returns the preload of a torque in N·m over the band of a nut factor.
#[must_use]
pub fn preload_band(thread: &Thread, factor: &NutFactor, torque: f64) -> Band {
    let of = |factor| preload::preload(factor, thread.diameter, torque);
    Band { low: of(factor.high), nominal: of(factor.nominal), high: of(factor.low) }
}

impl<'b> Job<'b> {
    /// Returns what the final torque of a joint makes of its bolts on this machine.
    ///
    /// # Errors
    /// Why it is not computed.
    pub fn load(&self, here: &JointHere<'b>) -> Result<Load, NotComputed> {
        let torque = final_torque(here).ok_or(NotComputed::NoStandard)?;
        self.load_of(here, torque)
    }

    /// Returns what some torque makes of the bolts of a joint on this machine.
    ///
    /// # Errors
    /// Why it is not computed.
    pub fn load_of(&self, here: &JointHere<'b>, torque: Quantity) -> Result<Load, NotComputed> {
        let refused = |refusal: crate::analysis::working::Refusal| NotComputed::Refused(refusal.message);
        let class = here.joint.class.trim();
        let thread = thread_words(here);
        if class.is_empty() || thread.is_empty() {
            return Err(NotComputed::NoStandard);
        }
        let thread = Thread::parse(thread).map_err(refused)?;
        let class = Class::parse(class).map_err(refused)?;
        let strength = class.strength(&thread).map_err(refused)?;
        let torque = si::newton_metres(torque).map_err(refused)?;
        let factor = self.nut_factor(here, &class)?;
        Ok(Load::new(thread, class, strength, factor, torque).with_tool(of_the_wrench(here, torque)))
    }

    /// Returns the nut factor of a joint: the joint's own, else that of the fluid its state names, else the published one.
    fn nut_factor(&self, here: &JointHere<'b>, class: &Class) -> Result<NutFactor, NotComputed> {
        let state = here.state.trim();
        let number = |number: rust_decimal::Decimal| number.to_f64().unwrap_or(f64::NAN);
        if let Some(own) = here.joint.nut_factor {
            return Ok(NutFactor::given(number(own), state, Source::given("the plant's nut factor for this joint")));
        }
        match self.fluids_in(state).as_slice() {
            [] => friction::of_state(state, class.material).ok_or_else(|| NotComputed::UnknownState(state.to_owned())),
            [fluid] => {
                let material = class.material.word();
                let id = fluid.id.value.to_string();
                let Kind::Fluid { nut_factors, .. } = &fluid.kind else {
                    return Err(NotComputed::UnknownState(state.to_owned()));
                };
                let own = nut_factors.iter().find(|(own, _)| own == material).map(|(_, own)| number(*own));
                let source = Source::given(format!("the plant's nut factor for {id} on {material}"));
                own.map(|own| NutFactor::given(own, state, source))
                    .ok_or(NotComputed::NoNutFactor { fluid: id, material })
            }
            _ => Err(NotComputed::UnknownState(state.to_owned())),
        }
    }

    /// Returns the fluids of the crib that a state names, by number or whole name: a synonym (`paste`) may be part of another
    /// fluid's name.
    #[must_use]
    pub fn fluids_in(&self, state: &str) -> Vec<&'b Item> {
        let is_fluid = |item: &&Item| matches!(item.kind, Kind::Fluid { .. });
        let binder = self.binder;
        binder.crib.items.iter().filter(is_fluid).filter(|item| names(state, item)).collect()
    }

    /// Returns what a joint's state says of its threads: a fluid of the crib is on them, or the words say.
    #[must_use]
    pub fn wetness(&self, here: &JointHere<'b>) -> Wetness {
        match (self.fluids_in(&here.state).is_empty(), friction::wetness(&here.state)) {
            (true, wetness) => wetness,
            (false, Wetness::Dry) => Wetness::Unsaid,
            (false, Wetness::Wet | Wetness::Unsaid) => Wetness::Wet,
        }
    }
}

/// Returns what the wrench of a joint may be off by at a torque in N·m; by its setting where an adapter changes it.
fn of_the_wrench(here: &JointHere<'_>, torque: f64) -> Option<Deviation> {
    let Kind::TorqueTool { class, .. } = &here.wrench.as_ref()?.kind else { return None };
    let class = ToolClass::read(class)?;
    let set = here.adapter.as_ref().and_then(|_| here.on_the_wrench().filter_map(|(_, set)| set).last());
    let shown = set.map_or(Some(torque), |set| si::newton_metres(set).ok())?;
    Some(Deviation::of_class(class, shown))
}

/// Returns the thread of a joint, where its register names one that a table lists.
#[must_use]
pub fn thread_of(here: &JointHere<'_>) -> Option<Thread> {
    Thread::parse(thread_words(here)).ok()
}

/// Returns the words of a joint's thread: `JointHere` holds thread and class in one text, as they are printed.
fn thread_words<'h>(here: &'h JointHere<'_>) -> &'h str {
    here.thread.strip_suffix(here.joint.class.trim()).unwrap_or(&here.thread).trim()
}

/// Returns the final torque of a joint.
#[must_use]
pub fn final_torque(here: &JointHere<'_>) -> Option<Quantity> {
    here.stages.iter().rev().find_map(|(_, torque)| *torque)
}

fn names(state: &str, item: &Item) -> bool {
    [item.id.value.as_str(), &item.name].into_iter().any(|name| is_named(state, name))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(thread: &str, class: &str, factor: f64, torque: f64) -> Load {
        let thread = Thread::parse(thread).expect("typed by hand");
        let class = Class::parse(class).expect("typed by hand");
        let strength = class.strength(&thread).expect("in its range");
        Load::new(thread, class, strength, NutFactor::given(factor, "by hand", Source::given("by hand")), torque)
    }

    /// By hand: 82 N·m / (0.16 · 12 mm) = 42.708 kN; As = 84.27 mm² (ISO 898-1); 42 708 / 84.27 = 506.8 MPa; / 450 = 112.6 %.
    /// 33.895 N·m / (0.16 · 10 mm) = 21.18 kN; / 57.99 mm² = 365.3 MPa; / 450 = 81.2 %.
    #[test]
    fn loads_computed_by_hand() {
        assert_eq!(load("M12", "A4-70", 0.16, 82.0).in_words(), "42.7 kN, 507 MPa, 113 % of yield (450 MPa)");
        assert_eq!(load("M10", "A4-70", 0.16, 33.895).in_words(), "21.2 kN, 365 MPa, 81 % of yield (450 MPa)");
        assert_eq!(load("M12", "8.8", 0.20, 82.1).in_words(), "34.2 kN, 406 MPa, 70 % of proof (580 MPa)");
        assert_eq!(load("M12", "A4-70", 0.16, 82.0).band_in_words(), "from 87 to 161 % with the scatter of K");
    }

    /// By hand: K 0.16 scatters by 30 % (0.112 to 0.208), so 112.6 % of yield is 86.6 to 160.8 %; with ±4 % (ISO 6789-1:2017, class II A
    /// above 10 N·m) 86.6 · 0.96 = 83.2 and 160.8 · 1.04 = 167.3 %. At the nominal K 112.6 · 0.96 = 108.1 and 112.6 · 1.04 = 117.1 %.
    /// At 8 N·m the same class has ±6 %.
    #[test]
    fn the_wrench_moves_both_ends_out() {
        let class = ToolClass::read("II A").expect("a class");
        let load = load("M12", "A4-70", 0.16, 82.0).with_tool(Some(Deviation::of_class(class, 82.0)));
        assert_eq!(load.band_in_words(), "from 83 to 167 % with the scatter of K and ±4 % of the wrench");
        let near = |own: f64, wanted: f64| assert!((own * 100.0 - wanted).abs() < 0.1, "{own} and {wanted}");
        near(load.share_by_tool().low, 108.1);
        near(load.share_by_tool().high, 117.1);
        assert_eq!(Deviation::of_class(class, 8.0).shown(), "±6 %");
        assert_eq!(ToolClass::read("II"), None);
    }
}
