//! How the parts of a card are spread over its two sides: geometry, candidates and packing; it knows no template and sets no type.

use serde::Serialize;
use std::collections::BTreeMap;

use crate::packet::view::{CardPrint, Caution, Face, Flip, Joint, Level, Step};

/// Points in a millimetre.
pub(crate) const MM: f64 = 72.0 / 25.4;
/// White space between the laminate's edge and the first ink, in points.
const SAFE: f64 = 1.0 * MM;
/// White space between the columns, in points.
pub(crate) const GUTTER: f64 = 4.0 * MM;
/// Least white space between two parts, in points.
pub(crate) const GAP: f64 = 1.8 * MM;
/// Most white space between two parts: room left over is given to the gaps up to this, in points.
const WIDE_GAP: f64 = 4.5 * MM;
/// Steps in which the columns are made even, in points.
const EVEN_STEP: f64 = 2.0 * MM;
/// Spare height that is never filled: heights are measured part by part, and rounding adds up.
const SPARE: f64 = 1.0;

/// Where things are on the sheet, in points from the top left corner of a side as it is read.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Geometry {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) live_x: f64,
    pub(crate) live_y: f64,
    pub(crate) live_width: f64,
    pub(crate) live_height: f64,
    /// Free width in the middle of the identity strip.
    pub(crate) strip_gap: f64,
    /// Height of the strip's row beside the hole.
    pub(crate) strip_least: f64,
    /// Zero where the card has no hole.
    pub(crate) hole_radius: f64,
    /// From the edge with the hole.
    pub(crate) hole_y: f64,
    /// Half the side of the square in which nothing is printed.
    pub(crate) hole_clear: f64,
    pub(crate) mark_size: f64,
    pub(crate) mark_angle: f64,
}

impl Geometry {
    /// Returns the geometry of a card.
    pub(crate) fn of(print: &CardPrint) -> Self {
        let (width, height) = (f64::from(print.width_mm) * MM, f64::from(print.height_mm) * MM);
        let edge = f64::from(print.edge_mm) * MM + SAFE;
        let (radius, y, clear) = print.punch.as_ref().map_or((0.0, 0.0, 0.0), |punch| {
            let mm = |value: u32| f64::from(value) * MM;
            (mm(punch.diameter_mm) / 2.0, mm(punch.inset_mm), mm(punch.clear_mm) / 2.0)
        });
        let hole = radius > 0.0;
        // The mark is 19 characters of about 0.7 em; it must end before the laminate's edge.
        let diagonal = (width * width + height * height).sqrt() - 4.0 * edge;
        Self {
            width,
            height,
            live_x: edge,
            live_y: edge,
            live_width: width - 2.0 * edge,
            live_height: height - 2.0 * edge,
            strip_gap: if hole { 2.0 * clear + 2.0 * MM } else { 4.0 * MM },
            strip_least: if hole { (y + clear - edge).max(0.0) + 0.5 * MM } else { 0.0 },
            hole_radius: radius,
            hole_y: y,
            hole_clear: clear,
            mark_size: diagonal * 0.8 / 13.5,
            // Whole degrees, so that no last bit of an arc tangent reaches the file.
            mark_angle: -(height / width).atan().to_degrees().round(),
        }
    }

    /// Returns the width of one of so many columns.
    pub(crate) fn column(&self, columns: usize) -> f64 {
        let columns = count(columns);
        (self.live_width - (columns - 1.0) * GUTTER) / columns
    }
}

/// Returns whether the hole is at the top of the front and of the back, as each is read.
///
/// The hole sits at the top edge of the front. Turned about a vertical axis it stays at the top, about a horizontal one it
/// comes to the bottom. A tall sheet's long edge is vertical, a wide sheet's short edge is.
pub(crate) fn hole_above(print: &CardPrint) -> [bool; 2] {
    let tall = print.height_mm >= print.width_mm;
    [true, print.punch.is_none() || tall == (print.flip == Flip::LongEdge)]
}

/// Type sizes of a card in points.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub(crate) struct Sizes {
    /// Running text.
    pub(crate) text: f64,
    /// Cautions and limits.
    pub(crate) warn: f64,
    /// Document number, revision, page.
    pub(crate) detail: f64,
}

impl Sizes {
    /// Returns these sizes enlarged; no size is ever made smaller.
    pub(crate) fn enlarged(self, factor: f64) -> Self {
        let factor = factor.max(1.0);
        Self { text: self.text * factor, warn: self.warn * factor, detail: self.detail * factor }
    }
}

/// One part of a card that is never divided.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum Unit {
    /// A caution, by its place in the face.
    Hazard { index: usize },
    /// Isolation points or what to isolate.
    Isolation,
    /// What the card defers to, and that it is a memory aid.
    Deference,
    /// The numbers.
    Numbers,
    /// A joint with its torque; the first on a side brings the heading.
    Torque { index: usize, form: Form, first: bool },
    /// Tools and fluids.
    Tools,
    /// A step with its cautions, readings and holds; the first of a stage brings the heading.
    Step { stage: usize, index: usize, cautions: Form },
}

/// How much of it is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Form {
    /// Everything.
    Full,
    /// The same in fewer lines.
    Short,
}

/// A way to set a card whose heights have been measured.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Setting {
    pub(crate) columns: usize,
    /// Width of the face in per cent.
    pub(crate) stretch: f64,
    pub(crate) sizes: Sizes,
}

/// Heights of the fixed parts of both sides and of every unit in every form, in points.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Heights {
    pub(crate) strip: [f64; 2],
    pub(crate) title: f64,
    pub(crate) foot: [f64; 2],
    /// By the units they were measured for.
    pub(crate) units: BTreeMap<Unit, f64>,
}

impl Heights {
    fn of(&self, unit: &Unit) -> f64 {
        self.units.get(unit).copied().unwrap_or(f64::INFINITY)
    }

    /// Returns the height of the strip's row, which is never less than the hole needs.
    pub(crate) fn strip_row(&self, geometry: &Geometry) -> f64 {
        self.strip[0].max(self.strip[1]).max(geometry.strip_least)
    }

    /// Returns the height left for units on a side.
    fn room(&self, geometry: &Geometry, side: usize) -> f64 {
        let title = if side == 0 { self.title + GAP } else { 0.0 };
        geometry.live_height - self.strip_row(geometry) - GAP - title - self.foot[side] - GAP - SPARE
    }
}

/// One side of a finished layout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Side {
    pub(crate) columns: Vec<Vec<Unit>>,
    /// White space between the units, in points.
    pub(crate) spacing: f64,
    /// How much of the room is used, of 1.
    pub(crate) filled: f64,
}

/// How much may be set more tightly before a card is refused; nothing is left out in any of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Density {
    /// Torques in full, every caution in full in front and again at its step.
    Roomy,
    /// Torques in fewer lines.
    ShortTorques,
    /// Also: cautions and notices that stand in full at a step of the card are not repeated in front.
    CautionsAtTheirSteps,
}

impl Density {
    pub(crate) const ALL: [Self; 3] = [Self::Roomy, Self::ShortTorques, Self::CautionsAtTheirSteps];

    const fn torques(self) -> Form {
        match self {
            Self::Roomy => Form::Full,
            Self::ShortTorques | Self::CautionsAtTheirSteps => Form::Short,
        }
    }
}

/// What is to be packed: the face, and how many of its steps are left off at the end.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Load<'a> {
    pub(crate) face: &'a Face,
    pub(crate) joints: &'a [Joint],
    pub(crate) left_off: usize,
}

impl Load<'_> {
    /// Returns every unit in every form, for measuring.
    pub(crate) fn all_units(&self) -> Vec<Unit> {
        let mut units = self.front(Density::Roomy);
        units.retain(|unit| !matches!(unit, Unit::Torque { .. }));
        for (form, first) in [(Form::Full, true), (Form::Full, false), (Form::Short, true), (Form::Short, false)] {
            units.extend((0..self.joints.len()).map(|index| Unit::Torque { index, form, first }));
        }
        for (stage, index) in self.step_places() {
            units.push(Unit::Step { stage, index, cautions: Form::Full });
            if !self.face.stages[stage].steps[index].cautions.is_empty() {
                units.push(Unit::Step { stage, index, cautions: Form::Short });
            }
        }
        units
    }

    /// Returns stage and place of each step that goes on the card.
    fn step_places(&self) -> Vec<(usize, usize)> {
        let mut places: Vec<_> = self
            .face
            .stages
            .iter()
            .enumerate()
            .flat_map(|(stage, it)| (0..it.steps.len()).map(move |index| (stage, index)))
            .collect();
        places.truncate(places.len().saturating_sub(self.left_off));
        places
    }

    fn step(&self, (stage, index): (usize, usize)) -> &Step {
        &self.face.stages[stage].steps[index]
    }

    /// Returns what stands in front of the steps, what must be on the front side first.
    fn front(&self, density: Density) -> Vec<Unit> {
        let mut units = self.must_front(density);
        if !self.face.numbers.is_empty() {
            units.push(Unit::Numbers);
        }
        let form = density.torques();
        units.extend((0..self.joints.len()).map(|index| Unit::Torque { index, form, first: index == 0 }));
        if !self.face.tools.is_empty() {
            units.push(Unit::Tools);
        }
        units
    }

    /// Returns the units that must be on the front: isolation, hazards, what the card defers to.
    fn must_front(&self, density: Density) -> Vec<Unit> {
        let at_steps: Vec<&Caution> = self.step_places().iter().flat_map(|&place| &self.step(place).cautions).collect();
        let stays = |caution: &Caution| {
            density != Density::CautionsAtTheirSteps || is_severe(caution) || !at_steps.contains(&caution)
        };
        let isolates = !self.face.isolation.is_empty() || !self.face.boundaries.is_empty();
        let hazards = (0..self.face.cautions.len()).filter(|&index| stays(&self.face.cautions[index]));
        let isolation = isolates.then_some(Unit::Isolation);
        isolation.into_iter().chain(hazards.map(|index| Unit::Hazard { index })).chain([Unit::Deference]).collect()
    }
}

fn is_severe(caution: &Caution) -> bool {
    match caution.level {
        Level::Danger | Level::Warning => true,
        Level::Caution | Level::Notice => false,
    }
}

/// Returns the first way to spread a load over two sides, or by how many points the best way is too high.
pub(crate) fn pack(
    load: Load<'_>,
    density: Density,
    setting: &Setting,
    heights: &Heights,
    geometry: &Geometry,
) -> Result<[Side; 2], f64> {
    let front = load.front(density);
    let least = load.must_front(density).len();
    let steps = load.step_places();
    let total = front.len() + steps.len();
    let rooms = [heights.room(geometry, 0), heights.room(geometry, 1)];
    let capacity = count(setting.columns) * (rooms[0] + rooms[1]);
    let needed = least_needed(&load, &front, &steps, heights);
    if needed > capacity {
        // What is more than both sides can hold is not spread in every possible way first.
        return Err(needed - capacity);
    }
    // The natural break is between numbers and steps; then as near to it as may be.
    let mut breaks: Vec<usize> = (least..=total).collect();
    breaks.sort_by_key(|&at| (at.abs_diff(front.len()), at));
    let mut best = f64::INFINITY;
    for at in breaks {
        let sides = [side_units(&load, &front, &steps, 0..at), side_units(&load, &front, &steps, at..total)];
        let fill = |side: usize| fill_to(&sides[side], setting.columns, rooms[side], rooms[side], heights);
        match (fill(0), fill(1)) {
            (Ok(front), Ok(back)) => {
                let even = |side: usize, filled| evened(filled, &sides[side], setting.columns, rooms[side], heights);
                return Ok([even(0, front), even(1, back)]);
            }
            (front, back) => best = best.min(front.err().unwrap_or(0.0) + back.err().unwrap_or(0.0)),
        }
    }
    Err(best)
}

/// Returns a height that no way of spreading the units can stay below: each in its lowest form, without gaps.
fn least_needed(load: &Load<'_>, front: &[Unit], steps: &[(usize, usize)], heights: &Heights) -> f64 {
    let of_front = front.iter().map(|unit| match unit {
        Unit::Torque { index, form, .. } => {
            let with_heading = |first| heights.of(&Unit::Torque { index: *index, form: *form, first });
            with_heading(true).min(with_heading(false))
        }
        other => heights.of(other),
    });
    let of_steps = steps.iter().map(|&(stage, index)| {
        let in_form = |cautions| heights.of(&Unit::Step { stage, index, cautions });
        if load.step((stage, index)).cautions.is_empty() {
            in_form(Form::Full)
        } else {
            in_form(Form::Full).min(in_form(Form::Short))
        }
    });
    of_front.chain(of_steps).sum()
}

/// Returns the units of one side. A caution stands in full where the side shows it first, and in short at a step directly
/// after another with the same cautions.
fn side_units(load: &Load<'_>, front: &[Unit], steps: &[(usize, usize)], range: std::ops::Range<usize>) -> Vec<Unit> {
    let mut units = Vec::with_capacity(range.len());
    let mut before: Option<&[Caution]> = None;
    let mut torques = 0;
    for at in range {
        if let Some(unit) = front.get(at) {
            let mut unit = unit.clone();
            if let Unit::Torque { first, .. } = &mut unit {
                *first = torques == 0;
                torques += 1;
            }
            units.push(unit);
            continue;
        }
        let (stage, index) = steps[at - front.len()];
        let own = load.step((stage, index)).cautions.as_slice();
        let repeated = !own.is_empty() && before == Some(own);
        units.push(Unit::Step { stage, index, cautions: if repeated { Form::Short } else { Form::Full } });
        before = Some(own);
    }
    units
}

/// Returns the units of a filled side in columns as even as their order allows.
fn evened(filled: Side, units: &[Unit], columns: usize, room: f64, heights: &Heights) -> Side {
    let mut side = filled;
    // A lower limit that still holds everything makes the columns even and leaves room for wider gaps.
    let mut limit = room;
    while limit > 0.0 {
        limit -= EVEN_STEP;
        match fill_to(units, columns, limit, room, heights) {
            Ok(evener) => side = evener,
            Err(_) => break,
        }
    }
    side
}

/// Returns the units in columns that end at a limit, their gaps widened to the room there is, or by how many points they
/// are too high.
fn fill_to(units: &[Unit], columns: usize, limit: f64, room: f64, heights: &Heights) -> Result<Side, f64> {
    let mut filled: Vec<Vec<Unit>> = vec![Vec::new(); columns];
    let mut used = vec![0.0; columns];
    let mut column = 0;
    for unit in units {
        let height = heights.of(unit);
        let gap = if filled[column].is_empty() { 0.0 } else { GAP };
        if used[column] + gap + height > limit && column + 1 < columns && !filled[column].is_empty() {
            column += 1;
        }
        let gap = if filled[column].is_empty() { 0.0 } else { GAP };
        used[column] += gap + height;
        filled[column].push(unit.clone());
    }
    let over: f64 = used.iter().map(|used| (used - limit).max(0.0)).sum();
    if over > 0.0 {
        return Err(over);
    }
    let spacing = filled
        .iter()
        .zip(&used)
        .filter(|(units, _)| units.len() > 1)
        .map(|(units, used)| GAP + (room - used) / count(units.len() - 1))
        .fold(WIDE_GAP, f64::min);
    let share = used.iter().sum::<f64>() / (room * count(columns));
    Ok(Side { columns: filled, spacing, filled: share })
}

/// Returns a count as a factor.
fn count(number: usize) -> f64 {
    f64::from(u32::try_from(number).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Once every way of spreading hundreds of steps was tried, for every number of steps left off: it took hours.
    #[test]
    fn far_too_many_steps_are_refused_before_they_are_spread() {
        let mut face = crate::render::sample::packet().card;
        let step = Step { cautions: Vec::new(), ..face.stages[0].steps[0].clone() };
        face.stages[0].steps = vec![step; 2_000];
        let load = Load { face: &face, joints: &[], left_off: 0 };
        let units = load.all_units().into_iter().map(|unit| (unit, 10.0)).collect();
        let heights = Heights { strip: [20.0; 2], title: 30.0, foot: [10.0; 2], units };
        let print = CardPrint {
            preset: "on wall".to_owned(),
            width_mm: 210,
            height_mm: 297,
            distance_mm: 700,
            edge_mm: 6,
            punch: None,
            flip: Flip::LongEdge,
        };
        let sizes = Sizes { text: 16.0, warn: 16.0, detail: 13.0 };
        let setting = Setting { columns: 2, stretch: 100.0, sizes };
        let over = pack(load, Density::Roomy, &setting, &heights, &Geometry::of(&print)).expect_err("too long");
        assert!(over > 15_000.0, "{over}");
        let few = Load { left_off: 1_990, ..load };
        assert!(pack(few, Density::Roomy, &setting, &heights, &Geometry::of(&print)).is_ok());
    }
}
