//! The bench calculator: torque, preload, wrench setting and more from texts as they are typed; bad input is refused, never computed with.

pub mod convert;
pub mod oring;
pub mod shelf_life;
pub mod tool;
pub mod type_size;

use crate::analysis::fastener::CAUTION;
use crate::analysis::fastener::class::{Class, Material, Strength};
use crate::analysis::fastener::friction::{self, NutFactor, SCATTER_SOURCE};
use crate::analysis::fastener::hexagon;
use crate::analysis::fastener::lever::{self, Lever};
use crate::analysis::fastener::load::{Band, WINDOW, WINDOW_SOURCE};
use crate::analysis::fastener::preload::{self, ASSEMBLY_FORM, FRICTION_FORM, Friction, SHORT_FORM};
use crate::analysis::fastener::si;
use crate::analysis::fastener::thread::Thread;
use crate::analysis::working::{Constant, Given, Known, Outcome, Refusal, Source, Working, significant};
use crate::base::quantity::{Quantity, Range, Rounding, round_to_step};
use crate::task::calc::tool::ToolGiven;
use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};

/// What is on the threads; exactly one of nut factor, state and friction is given.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OnThreads {
    /// Property class or grade.
    pub class: Option<String>,
    /// The state in words.
    pub state: Option<String>,
    /// The nut factor K.
    pub nut_factor: Option<String>,
    /// The coefficient of friction in the thread, and under the head where nothing else is said.
    pub friction: Option<String>,
    /// The coefficient of friction under the head.
    pub head_friction: Option<String>,
    /// The mean diameter of the bearing; that of a hexagon head where nothing else is said.
    pub bearing: Option<String>,
}

/// A question for a torque.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TorqueAsked {
    /// The thread.
    pub thread: String,
    /// What is on it.
    pub on: OnThreads,
    /// The preload as a force.
    pub force: Option<String>,
    /// The preload as a share of proof, or of yield where the class has no proof.
    pub share: Option<String>,
    /// The preload as that which uses so much of the yield, torsion included.
    pub utilisation: Option<String>,
    /// The tool that is set to the torque.
    pub tool: ToolGiven,
}

/// A question for the preload of a torque.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PreloadAsked {
    /// The thread.
    pub thread: String,
    /// What is on it.
    pub on: OnThreads,
    /// The torque.
    pub torque: String,
    /// The tool that gives it.
    pub tool: ToolGiven,
}

/// A question for the setting of a wrench.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SettingAsked {
    /// The torque the fastener is to get.
    pub torque: String,
    /// From the middle of the grip to the drive.
    pub lever: String,
    /// From the drive to the fastener.
    pub extension: String,
    /// Between handle and adapter; nought in line.
    pub angle: String,
    /// What the wrench can be set to.
    pub range: Option<String>,
    /// The step of its scale.
    pub graduation: Option<String>,
}

/// What turns a preload into a torque: a nut factor, or friction and a bearing.
enum Turning {
    Short(NutFactor),
    Friction { friction: Friction, bearing: f64, given_bearing: bool },
}

/// A thread, its class if there is one, and what turns a preload into a torque.
struct Bolt {
    thread: Thread,
    class: Option<(Class, Strength)>,
    turning: Turning,
}

/// Returns the torque for a preload.
///
/// # Errors
/// A refusal that says which input cannot be computed with.
pub fn torque(asked: &TorqueAsked) -> Result<Working, Refusal> {
    let bolt = Bolt::read(&asked.thread, &asked.on)?;
    let (preload, given) = bolt.wanted_preload(asked)?;
    let torque = bolt.torque_band(preload);
    let mut working = bolt.working(format!("torque for a preload: {}", bolt.name()));
    working.given.push(given);
    working.results.push(Outcome {
        name: "torque",
        symbol: "T",
        figure: torque.nominal,
        band: Some((torque.low, torque.high)),
        unit: "N·m",
    });
    let tool = asked.tool.at(torque.nominal)?;
    let off = tool.as_ref().map_or(0.0, |tool| tool.share);
    bolt.preload_results(Band::exact(preload).wider(off), off, &mut working);
    if let Some(tool) = &tool {
        tool::told(tool, torque.nominal, &mut working);
    }
    if asked.utilisation.is_some() {
        working.formula =
            "F = As ν Rp0.2 / √(1 + 3 (3/2 d2/d0 (P/(π d2) + 1.155 µG))²);  T = F (0.16 P + 0.58 d2 µG + DKm/2 µK)";
        let source = Source::of("VDI 2230-1:2015, assembly preload with torsion", Known::Memory);
        working.constants.push(Constant { name: "formula of F".into(), shown: ASSEMBLY_FORM.to_owned(), source });
    }
    Ok(working)
}

/// Returns the preload of a torque.
///
/// # Errors
/// A refusal that says which input cannot be computed with.
pub fn preload(asked: &PreloadAsked) -> Result<Working, Refusal> {
    let bolt = Bolt::read(&asked.thread, &asked.on)?;
    let quantity = quantity(&asked.torque)?;
    let torque = si::newton_metres(quantity)?;
    let mut working = bolt.working(format!("preload of a torque: {}", bolt.name()));
    working.given.push(Given { name: "torque", symbol: "T", shown: si::plain(quantity) });
    let tool = asked.tool.at(torque)?;
    let off = tool.as_ref().map_or(0.0, |tool| tool.share);
    bolt.preload_results(bolt.preload_band(torque).wider(off), off, &mut working);
    if let Some(tool) = &tool {
        tool::told(tool, torque, &mut working);
    }
    Ok(working)
}

/// Returns the setting of a wrench with an adapter.
///
/// # Errors
/// A refusal that says which input cannot be computed with, or that the wrench cannot be set so.
pub fn setting(asked: &SettingAsked) -> Result<Working, Refusal> {
    let (torque, length) = (quantity(&asked.torque)?, quantity(&asked.lever)?);
    let (reach, angle) = (quantity(&asked.extension)?, quantity(&asked.angle)?);
    si::newton_metres(torque)?;
    let lever = Lever::new(si::millimetres(length)?, si::millimetres(reach)?, si::degrees(angle)?)?;
    let unit = torque.unit;
    let number = torque.number.to_f64().unwrap_or(f64::NAN);
    let setting = lever.setting(number);
    let mut results = vec![Outcome { name: "setting", symbol: "M", figure: setting, band: None, unit: unit.symbol() }];
    let mut set = setting;
    if let Some(graduation) = &asked.graduation {
        let marked = on_a_mark(setting, torque, quantity(graduation)?)?;
        set = marked;
        results.push(Outcome { name: "nearest mark", symbol: "", figure: marked, band: None, unit: unit.symbol() });
        let got = lever.torque(marked);
        results.push(Outcome {
            name: "torque at the fastener at that mark",
            symbol: "",
            figure: got,
            band: None,
            unit: unit.symbol(),
        });
    }
    if let Some(range) = &asked.range {
        within_range(set, torque, range)?;
    }
    let wrong = lever.torque(number);
    results.push(Outcome {
        name: "torque at the fastener if nobody corrects the setting",
        symbol: "",
        figure: wrong,
        band: None,
        unit: unit.symbol(),
    });
    Ok(Working {
        title: "setting of a wrench with an adapter".to_owned(),
        formula: lever::FORMULA,
        given: vec![
            Given { name: "torque at the fastener", symbol: "T", shown: si::plain(torque) },
            Given { name: "grip to drive", symbol: "L", shown: si::plain(length) },
            Given { name: "drive to fastener", symbol: "E", shown: si::plain(reach) },
            Given { name: "angle, 0° in line", symbol: "a", shown: si::plain(angle) },
        ],
        results,
        statements: Vec::new(),
        constants: vec![Constant {
            name: "formula".into(),
            shown: "moments about the drive".to_owned(),
            source: Source::of("statics; two calculator pages have the same", Known::Found),
        }],
        remarks: vec![
            "A straight extension on the axis of the drive needs no correction, and neither does an adapter at 90°."
                .to_owned(),
            "The hand pulls at the middle of the grip, across the handle.".to_owned(),
        ],
        caution: CAUTION,
    })
}

/// Returns the mark nearest to a setting.
fn on_a_mark(setting: f64, torque: Quantity, graduation: Quantity) -> Result<f64, Refusal> {
    if graduation.unit != torque.unit || graduation.number <= Decimal::ZERO {
        let message = format!("the graduation must be above zero and in {}, as the torque is", torque.unit.symbol());
        return Err(Refusal::new(message));
    }
    let setting = Decimal::from_f64(setting).ok_or_else(|| Refusal::new("the setting is too large to be shown"))?;
    Ok(round_to_step(setting, graduation.number, Rounding::Nearest).to_f64().unwrap_or(f64::NAN))
}

fn within_range(set: f64, torque: Quantity, range: &str) -> Result<(), Refusal> {
    let range = Range::keyed(range).map_err(|fault| Refusal::new(fault.to_string()))?;
    let symbol = torque.unit.symbol();
    if range.unit != torque.unit {
        return Err(Refusal::new(format!("the torque is in {symbol}, and the wrench shows {}", range.unit.symbol()))
            .hint("write the torque in the unit that the wrench shows"));
    }
    let (low, high) = (range.low.to_f64().unwrap_or(f64::NAN), range.high.to_f64().unwrap_or(f64::NAN));
    // A setting on the lowest mark is legal; what parts it from the mark may be the last bit.
    let slack = 1e-9 * high.abs();
    if set < low - slack || set > high + slack {
        let message = format!(
            "the setting would be {} {symbol}, and the wrench goes from {} to {} {symbol}",
            significant(set, 3),
            range.low,
            range.high
        );
        return Err(Refusal::new(message).hint("take another wrench, or another adapter"));
    }
    Ok(())
}

impl Bolt {
    fn read(thread: &str, on: &OnThreads) -> Result<Self, Refusal> {
        let thread = Thread::parse(thread)?;
        let class = on.class.as_deref().map(Class::parse).transpose()?;
        let class = class.map(|class| class.strength(&thread).map(|strength| (class, strength))).transpose()?;
        let turning = turning(on, &thread, class.as_ref().map(|(class, _)| class))?;
        Ok(Self { thread, class, turning })
    }

    fn name(&self) -> String {
        let class = self.class.as_ref().map(|(class, _)| format!(", {}", class.shown()));
        format!("{}{}", self.thread.name, class.unwrap_or_default())
    }

    /// Returns the preload that is asked for, in N, and how it was given.
    fn wanted_preload(&self, asked: &TorqueAsked) -> Result<(f64, Given), Refusal> {
        let bad = "give the preload once: as `--force`, as `--share` of proof, or as `--utilisation` of the yield";
        let strength = || {
            let strength = self.class.as_ref().map(|(_, strength)| strength);
            strength.ok_or_else(|| Refusal::new("a share needs the class of the fastener").hint("add `--class 8.8`"))
        };
        match (&asked.force, &asked.share, &asked.utilisation) {
            (Some(force), None, None) => {
                let force = quantity(force)?;
                Ok((si::newtons(force)?, Given { name: "preload", symbol: "F", shown: si::plain(force) }))
            }
            (None, Some(share), None) => {
                let (share, (name, reference)) = (quantity(share)?, strength()?.reference());
                let preload = at_most_whole(share)? * reference * self.thread.stress_area();
                Ok((preload, Given { name: "preload", symbol: "F", shown: format!("{} of {name}", si::plain(share)) }))
            }
            (None, None, Some(share)) => {
                let Turning::Friction { friction, .. } = &self.turning else {
                    return Err(Refusal::new("utilisation of the yield needs a coefficient of friction").hint(
                        "give `--friction` in place of a nut factor or state, or `--share` in place of `--utilisation`",
                    ));
                };
                let share = quantity(share)?;
                let preload = preload::assembly_preload(
                    &self.thread,
                    strength()?.yielding,
                    at_most_whole(share)?,
                    friction.thread,
                );
                let shown = format!("{} of yield used, torsion included", si::plain(share));
                Ok((preload, Given { name: "preload", symbol: "F", shown }))
            }
            _ => Err(Refusal::new("the preload is given twice, or not at all").hint(bad)),
        }
    }

    fn torque_band(&self, preload: f64) -> Band {
        match &self.turning {
            Turning::Short(factor) => {
                let of = |factor| preload::torque(factor, self.thread.diameter, preload);
                Band { low: of(factor.low), nominal: of(factor.nominal), high: of(factor.high) }
            }
            Turning::Friction { friction, bearing, .. } => {
                let nominal = preload::torque_by_friction(&self.thread, *bearing, *friction, preload);
                scattered(nominal, 1.0 - friction::SCATTER, 1.0 + friction::SCATTER)
            }
        }
    }

    fn preload_band(&self, torque: f64) -> Band {
        match &self.turning {
            Turning::Short(factor) => crate::analysis::fastener::load::preload_band(&self.thread, factor, torque),
            Turning::Friction { friction, bearing, .. } => {
                let nominal = preload::preload_by_friction(&self.thread, *bearing, *friction, torque);
                scattered(nominal, 1.0 / (1.0 + friction::SCATTER), 1.0 / (1.0 - friction::SCATTER))
            }
        }
    }

    /// Adds preload, stress and shares; `off` is the share that the tool may be off by, which is in the band already.
    fn preload_results(&self, preload: Band, off: f64, working: &mut Working) {
        let outcome = |name, symbol, band: Band, unit| Outcome {
            name,
            symbol,
            figure: band.nominal,
            band: (band.low < band.high).then_some((band.low, band.high)),
            unit,
        };
        let stress = preload.times(1.0 / self.thread.stress_area());
        working.results.push(outcome("preload", "F", preload.times(1e-3), "kN"));
        working.results.push(outcome("stress", "F/As", stress, "MPa"));
        let Some((class, strength)) = &self.class else { return };
        if let Some(proof) = strength.proof {
            working.results.push(outcome("share of proof", "", stress.times(100.0 / proof), "%"));
        }
        working.results.push(outcome("share of yield", "", stress.times(100.0 / strength.yielding), "%"));
        let (name, reference) = strength.reference();
        let share = stress.times(1.0 / reference);
        working.remarks.extend(on_the_window(share, name));
        if share.nominal <= 1.0 && share.nominal * (1.0 + off) > 1.0 {
            working.remarks.push(format!("A tool at the upper end of what it may be off by goes beyond {name}."));
        }
        working.constants.push(Constant {
            name: "window".into(),
            shown: "45 to 75 %".to_owned(),
            source: WINDOW_SOURCE,
        });
        if class.material == Material::Stainless {
            working.remarks.push(
                "Stainless on stainless galls when it is dry: the torque is used up before the bolt is stretched."
                    .to_owned(),
            );
        }
        if class.name == "grade 2" {
            working.remarks.push("Grade 2 has these figures for bolts up to 6 in long only.".to_owned());
        }
    }

    /// Returns a working without result: formula, thread, class, friction, and the constants they bring.
    fn working(&self, title: String) -> Working {
        let mut working = Working {
            title,
            formula: SHORT_FORM,
            given: vec![Given { name: "thread", symbol: "d", shown: self.thread.name.clone() }],
            results: Vec::new(),
            statements: Vec::new(),
            constants: Vec::new(),
            remarks: Vec::new(),
            caution: CAUTION,
        };
        if let Some((class, strength)) = &self.class {
            working.given.push(Given { name: "class", symbol: "", shown: class.name.clone() });
            let proof = strength.proof.map(|proof| format!("proof {} MPa, ", significant(proof, 4)));
            let shown = format!("{}yield {} MPa", proof.unwrap_or_default(), significant(strength.yielding, 4));
            let constant = Constant { name: "strength".into(), shown, source: strength.source.clone() };
            working.constants.push(constant);
        }
        let area = format!("{} mm²", significant(self.thread.stress_area(), 4));
        working.constants.push(Constant {
            name: "stress area As".into(),
            shown: area,
            source: self.thread.stress_area_source(),
        });
        self.turning_constants(&mut working);
        working
    }

    fn turning_constants(&self, working: &mut Working) {
        match &self.turning {
            Turning::Short(factor) => {
                let shown = format!("{} ({} to {})", short(factor.nominal), short(factor.low), short(factor.high));
                working.given.push(Given { name: "on the threads", symbol: "K", shown: factor.state.clone() });
                working.constants.push(Constant { name: "nut factor K".into(), shown, source: factor.source.clone() });
                if factor.source.known == Known::Given {
                    working.constants.push(scatter());
                }
            }
            Turning::Friction { friction, bearing, given_bearing } => {
                working.formula = FRICTION_FORM;
                let shown = format!("{} in the thread, {} under the head", friction.thread, friction.head);
                working.given.push(Given { name: "friction", symbol: "µG, µK", shown });
                let source = if *given_bearing {
                    Source::given("given")
                } else {
                    Source::of("hexagon head: half of dw (ISO 4014) and dh (ISO 273 medium) together", Known::Memory)
                };
                let shown = format!("{} mm", significant(*bearing, 4));
                working.constants.push(Constant { name: "bearing diameter DKm".into(), shown, source });
                let lever = preload::friction_lever(&self.thread, *bearing, *friction);
                let source = Source::of("VDI 2230-1:2015; ISO 16047 has the same terms", Known::Computed);
                let shown = short(lever / self.thread.diameter);
                working.constants.push(Constant { name: "nut factor that this is".into(), shown, source });
                working.constants.push(scatter());
            }
        }
    }
}

fn scattered(nominal: f64, low: f64, high: f64) -> Band {
    Band { low: nominal * low, nominal, high: nominal * high }
}

fn scatter() -> Constant {
    Constant { name: "scatter".into(), shown: "30 % to either side".to_owned(), source: SCATTER_SOURCE }
}

/// A nut factor is never stated to three decimals as a fact.
fn short(factor: f64) -> String {
    format!("{factor:.2}")
}

/// Says how a preload lies to the window it is commonly aimed into.
fn on_the_window(share: Band, name: &str) -> Option<String> {
    let percent = share.nominal * 100.0;
    if share.nominal > 1.0 {
        return Some(format!("{percent:.0} % of {name}: the bolt may be stretched for good. Do not use this torque."));
    }
    if share.nominal > WINDOW.1 {
        return Some(format!("{percent:.0} % of {name} is above the window that is commonly aimed into."));
    }
    (share.high < WINDOW.0).then(|| {
        format!("{percent:.0} % of {name} is below the window that is commonly aimed into, whatever the friction.")
    })
}

fn turning(on: &OnThreads, thread: &Thread, class: Option<&Class>) -> Result<Turning, Refusal> {
    let extra = on.head_friction.is_some() || on.bearing.is_some();
    match (&on.nut_factor, &on.state, &on.friction) {
        (Some(factor), None, None) if !extra => {
            let factor = number(factor, "a nut factor", 0.05, 0.6)?;
            Ok(Turning::Short(NutFactor::given(factor, "as given", Source::given("given"))))
        }
        (None, Some(state), None) if !extra => {
            let class = class.ok_or_else(|| {
                Refusal::new("a state needs the class of the fastener: steel and stainless rub otherwise")
                    .hint("add `--class 8.8`")
            })?;
            let known = friction::states(class.material).join("; ");
            let factor = friction::of_state(state, class.material).ok_or_else(|| {
                Refusal::new(format!("no nut factor is published here for `{state}` on {}", class.material.word()))
                    .hint(format!("known are: {known}; or give `--nut-factor` as the maker of the lubricant states it"))
            })?;
            Ok(Turning::Short(factor))
        }
        (None, None, Some(friction)) => {
            let thread_friction = number(friction, "a coefficient of friction", 0.02, 0.5)?;
            let head = on
                .head_friction
                .as_deref()
                .map(|head| number(head, "a coefficient of friction", 0.02, 0.5))
                .transpose()?;
            let friction = Friction { thread: thread_friction, head: head.unwrap_or(thread_friction) };
            let given = on.bearing.as_deref().map(|bearing| si::millimetres(quantity(bearing)?)).transpose()?;
            if let Some(given) = given.filter(|given| *given > 5.0 * thread.diameter) {
                let (given, own) = (significant(given, 4), significant(thread.diameter, 4));
                let message = format!("a bearing of {given} mm is more than five times the thread of {own} mm");
                return Err(Refusal::new(message).hint("give half of the outer and the inner diameter together"));
            }
            if let Some(given) = given.filter(|given| *given < thread.diameter) {
                let message = format!(
                    "a bearing of {} mm lies inside the thread of {} mm",
                    significant(given, 4),
                    significant(thread.diameter, 4)
                );
                return Err(Refusal::new(message).hint("give half of the outer and the inner diameter together"));
            }
            let bearing = given.or_else(|| hexagon::bearing_diameter(thread)).ok_or_else(|| {
                Refusal::new(format!("the bearing of a head on {} is in no table here", thread.name))
                    .hint("give `--bearing`")
            })?;
            Ok(Turning::Friction { friction, bearing, given_bearing: given.is_some() })
        }
        _ => Err(Refusal::new("what is on the threads is given twice, or not at all").hint(
            "give one of `--state`, `--nut-factor` and `--friction`; head friction and bearing go with `--friction`",
        )),
    }
}

/// Returns a share that is not above the whole.
fn at_most_whole(share: Quantity) -> Result<f64, Refusal> {
    let found = si::share(share)?;
    if found > 1.0 {
        return Err(Refusal::new(format!("a preload of {} would stretch the bolt for good", si::plain(share))));
    }
    Ok(found)
}

fn quantity(text: &str) -> Result<Quantity, Refusal> {
    Quantity::keyed(text).map_err(|fault| Refusal::new(fault.to_string()))
}

/// Returns a bare number from `least` to `most`: digits, a point or a comma, digits. It is below one, so that a comma is no mark of
/// thousands.
fn number(text: &str, what: &str, least: f64, most: f64) -> Result<f64, Refusal> {
    let pointed = text.trim().replacen(',', ".", 1);
    let is_plain = pointed.starts_with('0') && pointed.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let found = pointed.parse::<f64>().ok().filter(|number| is_plain && (least..=most).contains(number));
    found.ok_or_else(|| {
        Refusal::new(format!("{what} is a number from {least} to {most}, and `{}` is none", text.trim()))
    })
}
