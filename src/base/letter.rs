//! How high letters must be to be read from a distance, by the rules in print; it knows no font and no card.

/// Angle under which running text, cautions and limits are seen, in minutes of arc.
pub const TEXT_MINUTES: f64 = 20.0;
/// Angle for identity details, the smallest print.
pub const DETAIL_MINUTES: f64 = 16.0;
/// Least size of running text in points (ISO/IEC Guide 37:2012).
pub const TEXT_FLOOR: f64 = 10.0;
/// Least size of cautions and limits in points (ISO/IEC Guide 37:2012).
pub const WARN_FLOOR: f64 = 12.0;
/// Cap height of the built-in font in em: 1493 of 2048 in the OS/2 table of `DejaVu Sans`.
pub const BUILT_IN_CAP_HEIGHT: f64 = 1493.0 / 2048.0;

/// Points in a millimetre.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Returns the height of a capital in millimetres seen under an angle from a distance: h = 2 · D · tan(θ / 2).
///
/// The visual angle rule as in the FAA Human Factors Design Standard (HF-STD-001) and NUREG-0700.
#[must_use]
pub fn cap_height_mm(distance_mm: f64, arc_minutes: f64) -> f64 {
    let half = arc_minutes / 60.0 * std::f64::consts::PI / 180.0 / 2.0;
    // The tangent as its series: exact to the last bit that matters at such angles, and the same on every machine.
    2.0 * distance_mm * (half + half * half * half / 3.0)
}

/// Returns the type size in points at which a capital of the given height in em is seen under an angle from a distance.
#[must_use]
pub fn type_size(distance_mm: f64, arc_minutes: f64, cap_height_em: f64) -> f64 {
    cap_height_mm(distance_mm, arc_minutes) / cap_height_em * POINTS_PER_MM
}

/// Returns the height of a letter by the rule of one in two hundred: common sign practice, from memory.
#[must_use]
pub fn by_two_hundredth(distance_mm: f64) -> f64 {
    distance_mm / 200.0
}

/// Returns the height of a letter on a safety sign read under favourable conditions, by the annex of ANSI Z535.2 and
/// Z535.4: d/150 up to 48 in, d/300 above 240 in, a line between. From memory, and doubtful.
#[must_use]
pub fn on_a_sign(distance_mm: f64) -> f64 {
    let inches = distance_mm / 25.4;
    let height = if inches <= 48.0 {
        inches / 150.0
    } else if inches <= 240.0 {
        (inches - 48.0) * 0.0025 + 0.32
    } else {
        inches / 300.0
    };
    height * 25.4
}

/// Heights of label letters by the distance they are read from, MIL-STD-1472: above and up to so many millimetres, least
/// height in millimetres. From memory; only these steps are known here.
const LABELS: [(f64, f64, f64); 3] = [(500.0, 1000.0, 4.7), (1000.0, 2000.0, 9.4), (4000.0, 8000.0, 38.0)];

/// Returns the height of the letters of a label by MIL-STD-1472; none where its step is not known here.
#[must_use]
pub fn on_a_label(distance_mm: f64) -> Option<f64> {
    LABELS.iter().find(|(above, up_to, _)| distance_mm > *above && distance_mm <= *up_to).map(|(.., height)| *height)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[expect(clippy::disallowed_methods, reason = "the series is held against the tangent itself")]
    fn the_series_is_the_tangent() {
        for distance in [100.0, 350.0, 700.0, 5000.0] {
            for minutes in [1.0, 16.0, 20.0, 24.0, 60.0] {
                let exact = 2.0 * distance * ((minutes / 60.0_f64).to_radians() / 2.0).tan();
                assert!((cap_height_mm(distance, minutes) - exact).abs() < 1e-7, "{distance} mm, {minutes} min");
            }
        }
    }

    #[test]
    fn the_pieces_of_the_sign_rule_meet() {
        for inches in [48.0, 240.0] {
            let (below, above) = (on_a_sign(inches * 25.4 - 1e-6), on_a_sign(inches * 25.4 + 1e-6));
            assert!((below - above).abs() < 1e-3, "{inches} in");
        }
    }
}
