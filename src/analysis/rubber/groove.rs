//! A ring in its groove: stretch, squeeze and fill over all tolerances, held against published limits; it is no seal design.

use crate::analysis::rubber::ring::{Band, Ring};
use crate::analysis::working::{Known, Refusal, Source};

/// How a ring seals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seal {
    /// Between a bore and a plug that do not move.
    Static,
    /// Between two faces that do not move.
    Face,
    /// Between parts that move.
    Moving,
}

/// A groove with its tolerances; all in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Groove {
    /// How the ring seals.
    pub seal: Seal,
    /// Diameter that the ring sits on; none where it is not stretched over anything.
    pub seat: Option<Band>,
    /// From the bottom of the groove to the surface the ring seals against.
    pub depth: Band,
    /// Width; none where it is not known.
    pub width: Option<Band>,
}

/// How a ring lies in a groove; in per cent where not said otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// How much longer the ring's inside is made.
    pub stretch: Option<Band>,
    /// Section after stretching, in millimetres.
    pub section: Band,
    /// How much the section is flattened.
    pub squeeze: Band,
    /// How much of the groove's section the ring's section takes.
    pub fill: Option<Band>,
}

/// What published limits say of one figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Within the limits for every ring and groove within tolerance.
    Within,
    /// Not for every ring and groove within tolerance, or the sources differ.
    Doubtful(String),
    /// Outside for every ring and groove within tolerance.
    Outside(String),
}

/// A limit for one figure of a fit, with its source.
#[derive(Clone, Debug, PartialEq)]
pub struct Guide {
    /// What it limits.
    pub name: &'static str,
    /// The least, if there is one.
    pub low: Option<f64>,
    /// The most, where all sources agree.
    pub high: f64,
    /// The most of the source that allows most.
    pub ultimate: f64,
    /// Where they are from.
    pub source: Source,
}

/// Stretch once installed.
pub static STRETCH: Guide = Guide {
    name: "stretch",
    low: Some(0.0),
    high: 5.0,
    ultimate: 5.0,
    source: Source::of("a seal design guide and an article on groove design: not above 5 % in service", Known::Found),
};

/// Fill, with all tolerances.
pub static FILL: Guide = Guide {
    name: "fill",
    low: None,
    high: 85.0,
    ultimate: 90.0,
    source: Source::of("handbooks: 85 % recommended, 90 % at most with all tolerances", Known::Memory),
};

/// Returns the limits of squeeze for a way of sealing.
#[must_use]
pub fn squeeze_guide(seal: Seal) -> Guide {
    match seal {
        Seal::Static | Seal::Face => Guide {
            name: "squeeze",
            low: Some(10.0),
            high: 30.0,
            ultimate: 40.0,
            source: Source::of(
                "a seal design guide: 10 to 40 % where nothing moves; a mechanical engineers' handbook: at most 30 %",
                Known::Found,
            ),
        },
        Seal::Moving => Guide {
            name: "squeeze",
            low: None,
            high: 16.0,
            ultimate: 30.0,
            source: Source::of(
                "a mechanical engineers' handbook: at most 16 % where parts move (25 % for small sections); a seal design guide: at most 30 %",
                Known::Found,
            ),
        },
    }
}

impl Groove {
    /// Returns the groove with every dimension at its middle.
    #[must_use]
    pub fn nominal(self) -> Self {
        let middle = |band: Band| Band::at(band.middle());
        Self { seal: self.seal, seat: self.seat.map(middle), depth: middle(self.depth), width: self.width.map(middle) }
    }
}

/// Returns how a ring lies in a groove, over all tolerances of both.
///
/// Stretch is `(Dg − ID) / ID`. The ring keeps its volume: `(ID + W) · W² = (Dg + W₁) · W₁²`. Squeeze is `(W₁ − h) / W₁`,
/// fill is `π/4 · W₁² / (h · b)`. Geometry alone: no swelling, no heat.
///
/// # Errors
/// A [`Refusal`] where a dimension is no length.
pub fn fit(ring: &Ring, groove: &Groove) -> Result<Fit, Refusal> {
    let seat = groove.seat.map(|seat| ("seat", seat));
    let width = groove.width.map(|width| ("width", width));
    let of_groove = [Some(("depth", groove.depth)), seat, width].into_iter().flatten();
    for (word, band) in of_groove.chain([("inside diameter", ring.inside), ("section", ring.section)]) {
        let is_length = band.low.is_finite() && band.high.is_finite() && band.low > 0.0 && band.low <= band.high;
        if !is_length {
            return Err(Refusal::new(format!("the {word} is above zero, its lower end first")));
        }
    }
    let section = groove.seat.map_or(ring.section, |seat| Band {
        low: section_after(ring.inside.low, ring.section.low, seat.high),
        high: section_after(ring.inside.high, ring.section.high, seat.low),
    });
    let squeeze = |section: f64, depth: f64| (section - depth) / section * 100.0;
    let fill =
        |section: f64, depth: f64, width: f64| std::f64::consts::PI / 4.0 * section * section / (depth * width) * 100.0;
    Ok(Fit {
        stretch: groove.seat.map(|seat| Band {
            low: (seat.low - ring.inside.high) / ring.inside.high * 100.0,
            high: (seat.high - ring.inside.low) / ring.inside.low * 100.0,
        }),
        section,
        squeeze: Band { low: squeeze(section.low, groove.depth.high), high: squeeze(section.high, groove.depth.low) },
        fill: groove.width.map(|width| Band {
            low: fill(section.low, groove.depth.high, width.high),
            high: fill(section.high, groove.depth.low, width.low),
        }),
    })
}

/// Returns the section of a ring that is stretched over a seat: the positive root of `w³ + Dg · w² = (ID + W) · W²`.
#[must_use]
pub fn section_after(inside: f64, section: f64, seat: f64) -> f64 {
    let volume = (inside + section) * section * section;
    let mut width = section;
    // Newton's way from a start near the root; products and quotients alone, so the same on every machine.
    for _ in 0..60 {
        let over = (width + seat) * width * width - volume;
        let next = width - over / (3.0 * width * width + 2.0 * seat * width);
        if (next - width).abs() < 1e-15 {
            break;
        }
        width = next;
    }
    width
}

impl Guide {
    /// Returns what this limit says of a figure with its band.
    #[must_use]
    pub fn verdict(&self, band: Band) -> Verdict {
        let name = self.name;
        let Band { low, high } = band;
        if low > self.ultimate {
            return Verdict::Outside(format!("{name} is above {} %", self.ultimate));
        }
        if let Some(least) = self.low {
            if high < least {
                return Verdict::Outside(format!("{name} is below {least} %"));
            }
            if low < least {
                return Verdict::Doubtful(format!("within tolerance, {name} may be below {least} %"));
            }
        }
        if high > self.ultimate {
            return Verdict::Doubtful(format!("within tolerance, {name} may be above {} %", self.ultimate));
        }
        if high > self.high {
            return Verdict::Doubtful(format!("{name} may be above {} %, where the sources differ", self.high));
        }
        Verdict::Within
    }
}

impl Fit {
    /// Returns what the published limits say of every figure, by its name.
    #[must_use]
    pub fn verdicts(&self, seal: Seal) -> Vec<(&'static str, Verdict)> {
        let mut verdicts = Vec::new();
        verdicts.extend(self.stretch.map(|band| (STRETCH.name, STRETCH.verdict(band))));
        verdicts.push(("squeeze", self.squeeze_verdict(seal)));
        verdicts.extend(self.fill.map(|band| (FILL.name, FILL.verdict(band))));
        verdicts
    }

    fn squeeze_verdict(&self, seal: Seal) -> Verdict {
        if self.squeeze.high <= 0.0 {
            return Verdict::Outside("the ring does not touch".to_owned());
        }
        if self.squeeze.low <= 0.0 {
            return Verdict::Doubtful("within tolerance, the ring may not touch".to_owned());
        }
        squeeze_guide(seal).verdict(self.squeeze)
    }
}

/// Hardest pressure without a back-up ring by hardness, in bar. From memory: handbooks differ, and the gap decides.
const PRESSURE_BY_HARDNESS: [(u32, f64); 2] = [(70, 100.0), (90, 200.0)];

/// Hardness of O-rings in IRHD or Shore A, softest and hardest. From memory.
const HARDNESS: (u32, u32) = (40, 95);

/// Returns what to say of a hardness and a pressure in bar; nothing where handbooks see no difficulty.
///
/// # Errors
/// A [`Refusal`] where no O-ring has this hardness, or the pressure is no pressure.
pub fn hardness_remark(hardness: u32, pressure_bar: Option<f64>) -> Result<Option<String>, Refusal> {
    if !(HARDNESS.0..=HARDNESS.1).contains(&hardness) {
        let message =
            format!("O-rings have a hardness of {} to {} IRHD or Shore A (from memory)", HARDNESS.0, HARDNESS.1);
        return Err(Refusal::new(message).hint("70 and 90 are common"));
    }
    let Some(pressure) = pressure_bar else { return Ok(None) };
    if !pressure.is_finite() || pressure < 0.0 {
        return Err(Refusal::new("a pressure over ambient is zero or above"));
    }
    let allowed = PRESSURE_BY_HARDNESS.iter().rev().find(|(own, _)| *own <= hardness).map(|(_, most)| *most);
    Ok(match allowed {
        None => Some(format!("{hardness} is softer than 70: ask the maker what pressure it stands")),
        Some(most) if pressure > most => Some(format!(
            "above about {most} bar a ring of {hardness} is commonly given a back-up ring or made harder, by the gap (from memory)"
        )),
        Some(_) => None,
    })
}

#[cfg(test)]
#[path = "groove_tests.rs"]
mod tests;
