//! O-rings by size code and by dimensions, always with their tolerances; a ring whose tolerances nobody has given is refused.

use crate::analysis::rubber::size_table::{SERIES_0, SERIES_1, SERIES_2, SERIES_3, SERIES_4, SERIES_9};
use crate::analysis::working::{Known, Refusal, Source};

/// From one figure to another, both included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lower end.
    pub low: f64,
    /// Upper end, not below `low`.
    pub high: f64,
}

/// A ring as it may come out of the bag; all in millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// What it is called: a size code, or its dimensions.
    pub name: String,
    /// Inside diameter.
    pub inside: Band,
    /// Section.
    pub section: Band,
    /// Nominal inside diameter and section.
    pub nominal: (f64, f64),
    /// Where the size is from.
    pub size: Source,
    /// Where the tolerances are from.
    pub tolerance: Source,
}

/// Sections of ISO 3601-1 and SAE AS568 by the first digit of the size code, with their tolerance, in millimetres.
/// ISO 3601-1:2012 (found in a public table).
const SECTIONS: [(f64, f64); 5] = [(1.78, 0.08), (2.62, 0.08), (3.53, 0.10), (5.33, 0.13), (6.99, 0.15)];

/// Sections of the first three sizes, which are thinner than their series.
const THIN: [f64; 3] = [1.02, 1.27, 1.52];

/// Tolerances of any section, class B of ISO 3601-1: up to this section, this much either way, in millimetres.
/// Found on a public page that quotes ISO 3601-1, annex A.
pub const CLASS_B_SECTIONS: [(f64, f64); 5] = [(2.25, 0.08), (3.15, 0.09), (4.50, 0.10), (6.30, 0.13), (8.40, 0.15)];

const SIZE_SOURCE: Source = Source::of("ISO 3601-1:2012 and SAE AS568, size codes", Known::Found);
const BOSS_SOURCE: Source = Source::of("SAE AS568, series 900", Known::Memory);
const CLASS_A: Source = Source::of("ISO 3601-1:2012, class A", Known::Found);
const CLASS_B: Source =
    Source::of("ISO 3601-1, class B: inside diameter ±(0.009 · d^0.95 + 0.11) mm, section by steps", Known::Found);

impl Band {
    /// Returns the band around a figure.
    #[must_use]
    pub fn around(middle: f64, tolerance: f64) -> Self {
        Self { low: middle - tolerance, high: middle + tolerance }
    }

    /// Returns the band of no width.
    #[must_use]
    pub fn at(figure: f64) -> Self {
        Self { low: figure, high: figure }
    }

    /// Returns its middle.
    #[must_use]
    pub fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }
}

impl Ring {
    /// Returns the ring of a size code: `214`, `-214`, `AS568-214`, `AS568A-214`, `ISO 3601-214`.
    ///
    /// # Errors
    /// A [`Refusal`] where no ring has this code, or where its tolerances are not known here.
    pub fn by_code(text: &str) -> Result<Self, Refusal> {
        let code = code(text).ok_or_else(|| {
            Refusal::new(format!("`{text}` is no size code")).hint("write it as `AS568-214`, or give the dimensions")
        })?;
        if let Some((inside, section)) = boss(code) {
            let known = format!("{inside:.2} mm inside, {section:.2} mm section");
            return Err(Refusal::new(format!("the tolerances of `AS568-{code}` are not known here (nominal {known})"))
                .hint("measure the ring or read its drawing, and give inside diameter and section as ranges"));
        }
        let (nominal, tolerances) =
            nominal(code).ok_or_else(|| Refusal::new(format!("no standard O-ring has the size code `{code:03}`")))?;
        Ok(Self {
            name: format!("AS568-{code:03}"),
            inside: Band::around(nominal.0, tolerances.0),
            section: Band::around(nominal.1, tolerances.1),
            nominal,
            size: SIZE_SOURCE,
            tolerance: CLASS_A,
        })
    }

    /// Returns the ring of these dimensions. Where an end is not given, class B of ISO 3601-1 is taken and said.
    ///
    /// # Errors
    /// A [`Refusal`] where there is no such ring.
    pub fn by_dimensions(inside: Band, section: Band) -> Result<Self, Refusal> {
        for (word, band) in [("inside diameter", inside), ("section", section)] {
            let is_length = band.low.is_finite() && band.high.is_finite() && band.low > 0.0 && band.low <= band.high;
            if !is_length {
                return Err(Refusal::new(format!("the {word} of a ring is above zero")));
            }
        }
        let given = |band: Band| band.low < band.high;
        let tolerance = match (given(inside), given(section)) {
            (true, true) => Source::given("the ends that were given"),
            (false, false) => CLASS_B,
            _ => Source { text: format!("{}, where no ends were given", CLASS_B.text).into(), known: CLASS_B.known },
        };
        let nominal = (inside.middle(), section.middle());
        let section_band = if given(section) { section } else { Band::around(nominal.1, class_b_section(nominal.1)?) };
        let inside_band = if given(inside) { inside } else { Band::around(nominal.0, class_b_inside(nominal.0)) };
        if inside_band.low <= 0.0 || section_band.low <= 0.0 {
            return Err(Refusal::new("the tolerance is as large as the ring").hint("give both ends, as measured"));
        }
        Ok(Self {
            name: format!("{} × {} mm", shown(nominal.0), shown(nominal.1)),
            inside: inside_band,
            section: section_band,
            nominal,
            size: Source::given("dimensions"),
            tolerance,
        })
    }
}

/// Returns the size codes whose tolerances hold these nominal dimensions, in millimetres.
#[must_use]
pub fn codes_like(inside: f64, section: f64) -> Vec<u32> {
    let like = |code: &u32| {
        nominal(*code).is_some_and(|((d, w), (d_tolerance, w_tolerance))| {
            (d - inside).abs() <= d_tolerance && (w - section).abs() <= w_tolerance
        })
    };
    codes().filter(like).collect()
}

/// Returns every size code whose tolerances are known.
pub fn codes() -> impl Iterator<Item = u32> {
    (1..=475).filter(|code| nominal(*code).is_some())
}

/// Nominal inside diameter and section, then their tolerances.
type Dimensions = ((f64, f64), (f64, f64));

/// Returns inside diameter and section of a size code with their tolerances, in millimetres.
#[must_use]
pub fn nominal(code: u32) -> Option<Dimensions> {
    let (first, series): (u32, &[(u32, u32)]) = match code {
        1..=50 => (1, &SERIES_0),
        102..=178 => (102, &SERIES_1),
        201..=284 => (201, &SERIES_2),
        309..=395 => (309, &SERIES_3),
        425..=475 => (425, &SERIES_4),
        _ => return None,
    };
    let place = usize::try_from(code - first).ok()?;
    let (inside, tolerance) = series.get(place)?;
    let (section, section_tolerance) = SECTIONS[usize::try_from(code / 100).ok()?];
    let section = if code / 100 == 0 { THIN.get(place).copied().unwrap_or(section) } else { section };
    let millimetres = |hundredths: u32| f64::from(hundredths) / 100.0;
    Some(((millimetres(*inside), section), (millimetres(*tolerance), section_tolerance)))
}

/// Returns inside diameter and section of a boss seal, in millimetres; its tolerances are not known here.
#[must_use]
pub fn boss(code: u32) -> Option<(f64, f64)> {
    let millimetres = |thousandths: u32| f64::from(thousandths) * 0.0254;
    let found = SERIES_9.iter().find(|(own, ..)| *own == code);
    found.map(|(_, inside, section)| (millimetres(*inside), millimetres(*section)))
}

/// Returns where the sizes of the boss seals are from.
#[must_use]
pub fn boss_source() -> Source {
    BOSS_SOURCE
}

fn code(text: &str) -> Option<u32> {
    let text = text.trim().to_uppercase();
    let bare = ["AS568A", "AS568", "AS 568", "ISO 3601-1", "ISO3601-1", "ISO 3601", "ISO3601"]
        .iter()
        .find_map(|prefix| text.strip_prefix(prefix))
        .unwrap_or(&text);
    let digits = bare.trim_start().trim_start_matches('-').trim();
    let is_code = digits.len() == 3 && digits.bytes().all(|byte| byte.is_ascii_digit());
    if is_code { digits.parse().ok() } else { None }
}

/// Returns the tolerance of an inside diameter, class B of ISO 3601-1: ±(0.009 · d^0.95 + 0.11) mm.
///
/// A public page prints the exponent as 0.93; only 0.95 gives the values it prints beside it.
#[must_use]
pub fn class_b_inside(inside: f64) -> f64 {
    0.009 * inside / twentieth_root(inside) + 0.11
}

fn class_b_section(section: f64) -> Result<f64, Refusal> {
    let step = CLASS_B_SECTIONS.iter().find(|(up_to, _)| section <= *up_to);
    step.map(|(_, tolerance)| *tolerance).ok_or_else(|| {
        Refusal::new("no tolerance is known for a section above 8.40 mm").hint("give both ends, as measured")
    })
}

/// Returns the twentieth root by Newton's way: products alone, so the last bit is the same on every machine.
fn twentieth_root(number: f64) -> f64 {
    let mut root = 1.5;
    for _ in 0..400 {
        let power = (0..19).fold(1.0, |power, _| power * root);
        let next = (19.0 * root + number / power) / 20.0;
        let moved = (next - root).abs();
        root = next;
        if moved <= root * 1e-15 {
            break;
        }
    }
    root
}

fn shown(figure: f64) -> String {
    let text = format!("{figure:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_in_the_forms_that_stand_on_bags() {
        for text in ["214", "-214", "AS568-214", "as568a-214", "AS 568-214", "ISO 3601-214", "ISO 3601-1-214"] {
            assert_eq!(Ring::by_code(text).expect(text).name, "AS568-214", "{text}");
        }
        for text in ["", "21", "2145", "AS568-21X", "0.214", "AS568-051", "-101", "308", "901", "475.0", "000"] {
            assert!(Ring::by_code(text).is_err(), "{text}");
        }
        assert!(
            Ring::by_code("AS568-906").unwrap_err().message.contains("tolerances of `AS568-906` are not known here")
        );
    }

    #[test]
    fn a_ring_without_ends_gets_the_tolerances_of_the_standard_and_says_so() {
        let ring = Ring::by_dimensions(Band::at(20.0), Band::at(3.0)).expect("a ring");
        assert!((ring.inside.high - 20.265).abs() < 0.005, "{:?}", ring.inside);
        assert_eq!(ring.section, Band::around(3.0, 0.09));
        assert!(ring.tolerance.text.contains("class B"));
        assert!(Ring::by_dimensions(Band::at(20.0), Band::at(9.0)).is_err());
        assert!(Ring::by_dimensions(Band::at(0.0), Band::at(3.0)).is_err());
        assert!(Ring::by_dimensions(Band::at(f64::INFINITY), Band::at(3.0)).is_err());
        assert!(Ring::by_dimensions(Band::at(f64::NAN), Band::at(3.0)).is_err());
        assert!(Ring::by_dimensions(Band::at(-4.0), Band::at(3.0)).is_err());
    }

    #[test]
    fn a_measured_ring_is_found_among_the_standard_ones() {
        assert_eq!(codes_like(25.0, 3.5), [214]);
        assert!(codes_like(24.99, 3.0).is_empty());
        assert_eq!(codes().count(), 349);
    }
}
