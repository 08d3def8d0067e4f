//! Threads by their designation: ISO metric coarse and fine, UNC and UNF; a thread it does not know it refuses, and names the nearest.

use crate::analysis::fastener::si::INCH;
use crate::analysis::working::{Known, Refusal, Source};
use crate::base::name::nearest;
use std::f64::consts::PI;

/// Height of the fundamental triangle of a 60° thread, as a share of the pitch: half the square root of three (ISO 68-1).
const TRIANGLE: f64 = 0.866_025_403_784_438_6;

/// A family of threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    /// ISO metric, coarse pitch.
    MetricCoarse,
    /// ISO metric, one of the fine pitches.
    MetricFine,
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
}

/// A thread that a standard lists.
#[derive(Clone, Debug, PartialEq)]
pub struct Thread {
    /// Its designation, as it is printed (`M10x1.25`, `1/4-20 UNC`).
    pub name: String,
    /// Its series.
    pub series: Series,
    /// Nominal diameter d, in mm.
    pub diameter: f64,
    /// Pitch P, in mm.
    pub pitch: f64,
}

/// A metric size: its designation, nominal diameter, coarse pitch and fine pitches, in mm.
struct Metric(&'static str, f64, f64, &'static [f64]);

/// ISO 261:1998 coarse pitches of the preferred and second-choice sizes, and the fine pitches of ISO 262:1998 and ISO 898-1
/// table 6. The coarse pitches from M3 to M39 were found in an open table of ISO 262; the others and the choice of fine
/// pitches are from memory.
const METRIC: [Metric; 32] = [
    Metric("M1.6", 1.6, 0.35, &[]),
    Metric("M2", 2.0, 0.4, &[]),
    Metric("M2.5", 2.5, 0.45, &[]),
    Metric("M3", 3.0, 0.5, &[]),
    Metric("M3.5", 3.5, 0.6, &[]),
    Metric("M4", 4.0, 0.7, &[]),
    Metric("M5", 5.0, 0.8, &[]),
    Metric("M6", 6.0, 1.0, &[]),
    Metric("M7", 7.0, 1.0, &[]),
    Metric("M8", 8.0, 1.25, &[1.0]),
    Metric("M10", 10.0, 1.5, &[1.25, 1.0]),
    Metric("M12", 12.0, 1.75, &[1.5, 1.25]),
    Metric("M14", 14.0, 2.0, &[1.5]),
    Metric("M16", 16.0, 2.0, &[1.5]),
    Metric("M18", 18.0, 2.5, &[2.0, 1.5]),
    Metric("M20", 20.0, 2.5, &[2.0, 1.5]),
    Metric("M22", 22.0, 2.5, &[2.0, 1.5]),
    Metric("M24", 24.0, 3.0, &[2.0, 1.5]),
    Metric("M27", 27.0, 3.0, &[2.0]),
    Metric("M30", 30.0, 3.5, &[2.0]),
    Metric("M33", 33.0, 3.5, &[2.0]),
    Metric("M36", 36.0, 4.0, &[3.0]),
    Metric("M39", 39.0, 4.0, &[3.0]),
    Metric("M42", 42.0, 4.5, &[3.0]),
    Metric("M45", 45.0, 4.5, &[3.0]),
    Metric("M48", 48.0, 5.0, &[3.0]),
    Metric("M52", 52.0, 5.0, &[4.0]),
    Metric("M56", 56.0, 5.5, &[4.0]),
    Metric("M60", 60.0, 5.5, &[4.0]),
    Metric("M64", 64.0, 6.0, &[4.0]),
    Metric("M68", 68.0, 6.0, &[4.0]),
    Metric("M72", 72.0, 6.0, &[4.0]),
];

/// An inch size: its designation, nominal diameter in inches, threads per inch of UNC and UNF.
struct Inch(&'static str, f64, u32, u32);

/// ASME B1.1, tables of the coarse and fine series (from memory).
const INCHES: [Inch; 19] = [
    Inch("#4", 0.112, 40, 48),
    Inch("#5", 0.125, 40, 44),
    Inch("#6", 0.138, 32, 40),
    Inch("#8", 0.164, 32, 36),
    Inch("#10", 0.190, 24, 32),
    Inch("#12", 0.216, 24, 28),
    Inch("1/4", 0.25, 20, 28),
    Inch("5/16", 0.3125, 18, 24),
    Inch("3/8", 0.375, 16, 24),
    Inch("7/16", 0.4375, 14, 20),
    Inch("1/2", 0.5, 13, 20),
    Inch("9/16", 0.5625, 12, 18),
    Inch("5/8", 0.625, 11, 18),
    Inch("3/4", 0.75, 10, 16),
    Inch("7/8", 0.875, 9, 14),
    Inch("1", 1.0, 8, 12),
    Inch("1-1/8", 1.125, 7, 12),
    Inch("1-1/4", 1.25, 7, 12),
    Inch("1-1/2", 1.5, 6, 12),
];

impl Thread {
    /// Returns the thread of this designation: `M10`, `M10x1.25`, `1/4-20 UNC`, `#10-32`, `3/8-16`.
    ///
    /// # Errors
    /// A refusal where no table lists it, with the nearest that is listed.
    pub fn parse(text: &str) -> Result<Self, Refusal> {
        let text = text.trim();
        if text.contains(',') {
            return Err(Refusal::new(format!("`{text}` has a comma; write a point")));
        }
        let turned = without_hand(text);
        if turned.starts_with(['M', 'm']) { metric(turned) } else { inch(turned) }
    }

    /// Returns every thread that is listed.
    pub fn all() -> impl Iterator<Item = Self> {
        let metric = METRIC
            .iter()
            .flat_map(|row| std::iter::once(row.thread(row.2)).chain(row.3.iter().map(|pitch| row.thread(*pitch))));
        metric.chain(INCHES.iter().flat_map(|row| [row.thread(row.2), row.thread(row.3)]))
    }

    /// Returns whether it is metric.
    #[must_use]
    pub fn is_metric(&self) -> bool {
        matches!(self.series, Series::MetricCoarse | Series::MetricFine)
    }

    /// Returns the designation without the pitch: `M10`, `1/4`.
    #[must_use]
    pub fn size(&self) -> &str {
        let name = self.name.split_whitespace().next().unwrap_or(&self.name);
        if self.is_metric() {
            name.split('x').next().unwrap_or(name)
        } else {
            name.rsplit_once('-').map_or(name, |(size, _)| size)
        }
    }

    /// Returns the basic pitch diameter d2, in mm: d - 3/4 H (ISO 724, ASME B1.1).
    #[must_use]
    pub fn pitch_diameter(&self) -> f64 {
        self.diameter - 0.75 * TRIANGLE * self.pitch
    }

    /// Returns the basic minor diameter d1, in mm: d - 5/4 H (ISO 724, ASME B1.1).
    #[must_use]
    pub fn minor_diameter(&self) -> f64 {
        self.diameter - 1.25 * TRIANGLE * self.pitch
    }

    /// Returns the root diameter d3 of an external metric thread, in mm: d1 - H/6 (ISO 898-1); none for inch threads,
    /// whose standard makes the stress area without it.
    #[must_use]
    pub fn root_diameter(&self) -> Option<f64> {
        self.is_metric().then(|| self.minor_diameter() - TRIANGLE * self.pitch / 6.0)
    }

    /// Returns the diameter of the circle whose area is the stress area, in mm.
    #[must_use]
    pub fn stress_diameter(&self) -> f64 {
        match self.root_diameter() {
            Some(root) => f64::midpoint(self.pitch_diameter(), root),
            None => self.diameter - 0.9743 * self.pitch,
        }
    }

    /// Returns the tensile stress area, in mm².
    #[must_use]
    pub fn stress_area(&self) -> f64 {
        let diameter = self.stress_diameter();
        PI / 4.0 * diameter * diameter
    }

    /// Returns the formula of the stress area and where it is from.
    #[must_use]
    pub fn stress_area_source(&self) -> Source {
        if self.is_metric() {
            Source::of("ISO 898-1:2013 9.1.6.1: As = π/4 ((d2 + d3)/2)²", Known::Computed)
        } else {
            Source::of("ASME B1.1 appendix B: As = π/4 (D - 0.9743/n)²", Known::Computed)
        }
    }
}

/// Returns whether a designation is of a left-hand thread: `LH` stands behind it (ISO 965-1, ASME B1.1).
#[must_use]
pub fn is_left_hand(text: &str) -> bool {
    without_hand(text).len() < text.trim().len()
}

fn without_hand(text: &str) -> &str {
    let text = text.trim();
    let before = text.len().checked_sub(2).and_then(|at| text.split_at_checked(at));
    let before = before.filter(|(_, hand)| hand.eq_ignore_ascii_case("LH")).map(|(before, _)| before);
    before.and_then(|before| before.strip_suffix([' ', '-'])).map_or(text, str::trim_end)
}

impl Metric {
    fn thread(&self, pitch: f64) -> Thread {
        let is_coarse = same(pitch, self.2);
        let name = if is_coarse { self.0.to_owned() } else { format!("{}x{pitch}", self.0) };
        let series = if is_coarse { Series::MetricCoarse } else { Series::MetricFine };
        Thread { name, series, diameter: self.1, pitch }
    }

    /// Returns all designations of this size, in words.
    fn listed(&self) -> String {
        let names: Vec<String> = std::iter::once(format!("{} (pitch {})", self.0, self.2))
            .chain(self.3.iter().map(|pitch| format!("{}x{pitch}", self.0)))
            .collect();
        names.join(", ")
    }
}

impl Inch {
    fn thread(&self, per_inch: u32) -> Thread {
        let series = if per_inch == self.2 { Series::Unc } else { Series::Unf };
        let word = if series == Series::Unc { "UNC" } else { "UNF" };
        Thread {
            name: format!("{}-{per_inch} {word}", self.0),
            series,
            diameter: self.1 * INCH,
            pitch: INCH / f64::from(per_inch),
        }
    }
}

/// Figures of the tables are typed with the same digits, so that only rounding parts them.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

fn metric(text: &str) -> Result<Thread, Refusal> {
    let folded = text.replace(['×', 'X', '*'], "x").replace(' ', "");
    let (size, pitch) = folded.split_once('x').map_or((folded.as_str(), None), |(size, pitch)| (size, Some(pitch)));
    let size = format!("M{}", &size[1..]);
    let Some(row) = METRIC.iter().find(|row| row.0 == size) else { return Err(unknown_size(text, &size)) };
    let Some(pitch) = pitch else { return Ok(row.thread(row.2)) };
    let known =
        std::iter::once(&row.2).chain(row.3).find(|own| pitch.parse().is_ok_and(|pitch: f64| same(pitch, **own)));
    known.map(|pitch| row.thread(*pitch)).ok_or_else(|| {
        Refusal::new(format!("`{text}` is no thread this program knows"))
            .hint(format!("of this size it knows {}", row.listed()))
    })
}

fn unknown_size(text: &str, size: &str) -> Refusal {
    let refusal = Refusal::new(format!("`{text}` is no thread this program knows"));
    let Ok(diameter) = size[1..].parse::<f64>() else {
        return refusal.hint("write it as `M10`, `M10x1.25` or `1/4-20 UNC`");
    };
    let nearest = METRIC.iter().min_by(|a, b| (a.1 - diameter).abs().total_cmp(&(b.1 - diameter).abs()));
    match nearest {
        Some(row) if diameter.is_finite() => refusal.hint(format!("the nearest it knows is {}", row.listed())),
        _ => refusal,
    }
}

fn inch(text: &str) -> Result<Thread, Refusal> {
    let refusal = || Refusal::new(format!("`{text}` is no thread this program knows"));
    let folded = text.to_uppercase().replace("NO. ", "#").replace("NO.", "#").replace(['"', '″'], "");
    let mut words = folded.split_whitespace();
    let (first, mut series) = (words.next().unwrap_or_default(), words.next());
    let mut size_and_pitch = first.to_owned();
    // `1 1/8-7` is written with a space as well as with a hyphen.
    if let Some(part) = series.filter(|word| word.contains('/')) {
        size_and_pitch = format!("{first}-{part}");
        series = words.next();
    }
    // A tolerance class behind the series (`UNC-2A`) says nothing about the basic size.
    let series = series.map(|series| series.split('-').next().unwrap_or(series));
    let near = || {
        let names: Vec<String> =
            INCHES.iter().flat_map(|row| [row.thread(row.2).name, row.thread(row.3).name]).collect();
        let near = nearest(&folded, names.iter().map(String::as_str)).map(str::to_owned);
        near.map_or_else(
            || "write it as `M10`, `M10x1.25` or `1/4-20 UNC`".to_owned(),
            |near| format!("did you mean `{near}`?"),
        )
    };
    if words.next().is_some() || !matches!(series, None | Some("UNC" | "UNF")) {
        return Err(refusal().hint(near()));
    }
    let Some((size, per_inch)) = size_and_pitch.rsplit_once('-') else { return Err(refusal().hint(near())) };
    let Some(row) = INCHES.iter().find(|row| row.0 == size) else { return Err(refusal().hint(near())) };
    let both = format!("of this size it knows {} and {}", row.thread(row.2).name, row.thread(row.3).name);
    let Some(per_inch) = per_inch.parse().ok().filter(|own| [row.2, row.3].contains(own)) else {
        return Err(refusal().hint(both));
    };
    let thread = row.thread(per_inch);
    match series {
        Some(series) if !thread.name.ends_with(series) => Err(refusal().hint(both)),
        _ => Ok(thread),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> String {
        Thread::parse(text).map_or_else(|refusal| format!("{refusal}; {}", refusal.hint), |thread| thread.name)
    }

    #[test]
    fn a_designation_has_one_reading_or_none() {
        for (text, name) in [
            ("M10", "M10"),
            ("m10", "M10"),
            ("M10x1.5", "M10"),
            ("M10×1.25", "M10x1.25"),
            ("M10 x 1", "M10x1"),
            ("M8x1.0", "M8x1"),
            ("1/4-20 UNC", "1/4-20 UNC"),
            ("1/4-20", "1/4-20 UNC"),
            ("#10-32 UNF", "#10-32 UNF"),
            ("No. 10-24", "#10-24 UNC"),
            ("3/8-16 UNC-2A", "3/8-16 UNC"),
            ("1 1/8-7", "1-1/8-7 UNC"),
            ("1-1/8-12 unf", "1-1/8-12 UNF"),
            ("1-8", "1-8 UNC"),
            ("M20x1.5-LH", "M20x1.5"),
            ("M20x1.5 LH", "M20x1.5"),
            ("3/8-16 UNC LH", "3/8-16 UNC"),
        ] {
            assert_eq!(read(text), name, "{text}");
        }
    }

    #[test]
    fn a_left_hand_thread_says_so() {
        for text in ["M20x1.5-LH", "M20 LH", "1/4-20 UNC-LH", "G 1/2 lh"] {
            assert!(is_left_hand(text), "{text}");
        }
        for text in ["", "LH", "M20", "M20LH", "Ü", "eLH"] {
            assert!(!is_left_hand(text), "{text}");
        }
    }

    #[test]
    fn an_unknown_thread_is_refused_with_the_nearest() {
        assert_eq!(
            read("M11"),
            "`M11` is no thread this program knows; the nearest it knows is M10 (pitch 1.5), M10x1.25, M10x1"
        );
        assert_eq!(
            read("M10x1.1"),
            "`M10x1.1` is no thread this program knows; of this size it knows M10 (pitch 1.5), M10x1.25, M10x1"
        );
        assert_eq!(read("M10x1,25"), "`M10x1,25` has a comma; write a point; ");
        assert_eq!(
            read("1/4-21"),
            "`1/4-21` is no thread this program knows; of this size it knows 1/4-20 UNC and 1/4-28 UNF"
        );
        assert_eq!(
            read("1/4-28 UNC"),
            "`1/4-28 UNC` is no thread this program knows; of this size it knows 1/4-20 UNC and 1/4-28 UNF"
        );
        for text in ["", "M", "Mx1", "Minf", "MNaN", "G1/2", "R 1/4", "1/4", "M-10", "Tr20x4", "ü", "M10x", "M10xNaN"]
        {
            assert!(Thread::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn what_is_listed_can_be_read_and_has_a_sound_form() {
        for thread in Thread::all() {
            assert_eq!(Thread::parse(&thread.name).as_ref(), Ok(&thread));
            assert!(thread.minor_diameter() < thread.pitch_diameter() && thread.pitch_diameter() < thread.diameter);
            assert!(thread.name.starts_with(thread.size()));
        }
        assert_eq!(Thread::parse("1-1/8-7").expect("listed").size(), "1-1/8");
        assert_eq!(Thread::parse("M10x1.25").expect("listed").size(), "M10");
    }
}
