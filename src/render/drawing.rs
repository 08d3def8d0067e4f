//! The program's own drawings as SVG source: safety signs and numbered tightening patterns; it knows no page and no packet but the pattern it is given.
//!
//! The warning signs have the form and colours of ISO 3864-1 (a black-bordered triangle on signal yellow, a white symbol
//! on signal blue); the pictograms are drawn for this project. The safety alert triangle never stands with NOTICE
//! (ANSI Z535.6), so the sign for damage to property is a blue square.

use crate::packet::view::{Pattern, PatternShape};
use std::fmt::Write as _;

/// Every sign: the name authors write and its SVG source, on a square of 100 by 100 without any text.
const SIGNS: [(&str, &str); 13] = [
    ("automatic-start", include_str!("../../templates/signs/automatic-start.svg")),
    ("corrosive", include_str!("../../templates/signs/corrosive.svg")),
    ("electricity", include_str!("../../templates/signs/electricity.svg")),
    ("general", include_str!("../../templates/signs/general.svg")),
    ("hand-crush", include_str!("../../templates/signs/hand-crush.svg")),
    ("heavy-load", include_str!("../../templates/signs/heavy-load.svg")),
    ("hot-surface", include_str!("../../templates/signs/hot-surface.svg")),
    ("lock", include_str!("../../templates/signs/lock.svg")),
    ("moving-parts", include_str!("../../templates/signs/moving-parts.svg")),
    ("notice", include_str!("../../templates/signs/notice.svg")),
    ("pressure", include_str!("../../templates/signs/pressure.svg")),
    ("sharp-edge", include_str!("../../templates/signs/sharp-edge.svg")),
    ("slippery", include_str!("../../templates/signs/slippery.svg")),
];

/// Returns every sign as name and SVG source, by name in alphabetical order.
#[must_use]
pub const fn signs() -> &'static [(&'static str, &'static str)] {
    &SIGNS
}

/// Returns the names of all signs as one list in words.
#[must_use]
pub fn sign_names() -> String {
    SIGNS.map(|(name, _)| name).join(", ")
}

/// Returns the SVG source of the sign with this name.
#[must_use]
pub fn sign(name: &str) -> Option<&'static str> {
    SIGNS.iter().find(|(known, _)| *known == name).map(|(_, svg)| *svg)
}

/// Returns what the sign of this name shows, in words; empty where there is no such sign.
#[must_use]
pub fn sign_label(name: &str) -> &'static str {
    match name {
        "automatic-start" => "automatic start",
        "corrosive" => "corrosive substance",
        "electricity" => "electricity",
        "general" => "general warning",
        "hand-crush" => "crushing of hands",
        "heavy-load" => "heavy load",
        "hot-surface" => "hot surface",
        "lock" => "lock it off",
        "moving-parts" => "moving parts",
        "notice" => "damage to property",
        "pressure" => "pressure",
        "sharp-edge" => "sharp edge",
        "slippery" => "slippery surface",
        _ => "",
    }
}

/// Returns the fastener numbers in tightening order (`1, 5, 3, 7, 2, 6, 4, 8`).
///
/// These are the numbers of the fasteners as counted, not the numbers the drawing shows; they belong into the
/// alternative text, with [`pattern_count`] saying how they are counted, and never beside the drawing.
#[must_use]
pub fn pattern_words(pattern: &Pattern) -> String {
    let numbers: Vec<String> = pattern.sequence.iter().map(u32::to_string).collect();
    numbers.join(", ")
}

/// Returns how the fasteners are counted, for the alternative text.
#[must_use]
pub const fn pattern_count(pattern: &Pattern) -> &'static str {
    match pattern.shape {
        PatternShape::Circle => "counted clockwise from the top",
        PatternShape::Rows => "counted down the right row from the top, then up the left row",
    }
}

/// Returns the line that stands beside the drawing and says how to read it.
#[must_use]
pub fn pattern_legend(pattern: &Pattern) -> String {
    format!("Tighten in the order of the numbers: 1 first, {} last.", pattern.sequence.len())
}

/// Returns the alternative text of the drawing, which does not need the drawing to be understood.
#[must_use]
pub fn pattern_alternative(pattern: &Pattern) -> String {
    format!("Tightening order for {} fasteners, {}: {}.", pattern.count, pattern_count(pattern), pattern_words(pattern))
}

/// Half the distance across the corners of a drawn nut.
const NUT: f64 = 11.0;
/// Least distance between the centres of two neighbours, so that the nuts never touch.
const PITCH: f64 = 26.0;
/// White space around the outermost nut.
const MARGIN: f64 = 2.0;
/// Cap height of `DejaVu Sans` per unit of type size, from its OS/2 table (1493 of 2048).
const CAP: f64 = 0.729;

/// Returns the SVG of a tightening pattern: one nut per fastener, and inside it, large, its place in the order.
///
/// Only the order is printed, so that there is one number per nut and none to mistake it for; the nut to begin with is
/// black. The type keeps its size against the nut whatever the count: a pattern of many fasteners grows.
#[must_use]
pub fn pattern(pattern: &Pattern) -> String {
    match pattern.shape {
        PatternShape::Circle => circle(pattern),
        PatternShape::Rows => rows(pattern),
    }
}

#[expect(clippy::disallowed_methods, reason = "the coordinates are rounded to a hundredth before they are written")]
fn circle(pattern: &Pattern) -> String {
    let count = f64::from(pattern.count.max(1));
    let half_angle = std::f64::consts::PI / count;
    let radius = if pattern.count < 2 { 0.0 } else { (PITCH / (2.0 * half_angle.sin())).max(36.0) };
    let centre = radius + NUT + MARGIN;
    let mut svg = opening(2.0 * centre, 2.0 * centre, pattern);
    ring(&mut svg, centre, radius + NUT + MARGIN - 1.0);
    ring(&mut svg, centre, (radius - NUT - 6.0).max(0.0));
    for bolt in 1..=pattern.count {
        let angle = 2.0 * half_angle * f64::from(bolt - 1);
        nut(&mut svg, centre + radius * angle.sin(), centre - radius * angle.cos(), place(pattern, bolt));
    }
    svg.push_str("</svg>");
    svg
}

fn rows(pattern: &Pattern) -> String {
    let right = pattern.count.div_ceil(2);
    let width = 100.0;
    let edge = NUT + MARGIN;
    let height = 2.0 * edge + PITCH * f64::from(right.saturating_sub(1));
    let mut svg = opening(width, height, pattern);
    let plate = (2.0 * edge + 2.0, width - 4.0 * edge - 4.0);
    let _ = write!(
        svg,
        "<rect x=\"{}\" y=\"1\" width=\"{}\" height=\"{}\" rx=\"2\" fill=\"#fff\" stroke=\"#000\"/>",
        number(plate.0),
        number(plate.1),
        number(height - 2.0)
    );
    for bolt in 1..=pattern.count {
        let (x, step) = if bolt <= right { (width - edge, bolt - 1) } else { (edge, pattern.count - bolt) };
        nut(&mut svg, x, edge + PITCH * f64::from(step), place(pattern, bolt));
    }
    svg.push_str("</svg>");
    svg
}

fn opening(width: f64, height: f64, pattern: &Pattern) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        number(width),
        number(height),
        pattern_alternative(pattern)
    )
}

fn ring(svg: &mut String, centre: f64, radius: f64) {
    if radius > 0.0 {
        let _ = write!(
            svg,
            "<circle cx=\"{0}\" cy=\"{0}\" r=\"{1}\" fill=\"none\" stroke=\"#000\"/>",
            number(centre),
            number(radius)
        );
    }
}

/// Returns the place of a fastener in the order, or none where the sequence leaves it out.
fn place(pattern: &Pattern, bolt: u32) -> Option<usize> {
    pattern.sequence.iter().position(|&number| number == bolt).map(|index| index + 1)
}

/// Draws one nut with its place in the order; a nut the sequence leaves out stays empty.
fn nut(svg: &mut String, x: f64, y: f64, place: Option<usize>) {
    let (fill, ink) = if place == Some(1) { ("#000", "#fff") } else { ("#fff", "#000") };
    let flat = NUT * 0.866;
    let half = NUT / 2.0;
    let _ = write!(
        svg,
        "<path d=\"M{} {} {} {} {} {} {} {} {} {} {} {}Z\" fill=\"{fill}\" stroke=\"#000\" stroke-width=\"1.5\"/>",
        number(x),
        number(y - NUT),
        number(x + flat),
        number(y - half),
        number(x + flat),
        number(y + half),
        number(x),
        number(y + NUT),
        number(x - flat),
        number(y + half),
        number(x - flat),
        number(y - half),
    );
    if let Some(place) = place {
        let size = if place < 10 { 15.0 } else { 12.0 };
        let _ = write!(
            svg,
            "<text x=\"{}\" y=\"{}\" font-family=\"DejaVu Sans\" font-size=\"{}\" font-weight=\"bold\" text-anchor=\"middle\" fill=\"{ink}\">{place}</text>",
            number(x),
            number(y + size * CAP / 2.0),
            number(size)
        );
    }
}

/// Returns a length with at most two decimals, so that a last bit of a sine never reaches the file.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::{number, pattern, pattern_alternative, pattern_words, sign, sign_label, signs};
    use crate::packet::view::{Pattern, PatternShape};

    fn eight() -> Pattern {
        Pattern { count: 8, shape: PatternShape::Circle, sequence: vec![1, 5, 3, 7, 2, 6, 4, 8] }
    }

    /// Returns the text of every nut, in drawing order.
    fn numbers(svg: &str) -> Vec<String> {
        svg.split("<text ")
            .skip(1)
            .map(|rest| rest[rest.find('>').expect("closed tag") + 1..rest.find('<').expect("end tag")].to_owned())
            .collect()
    }

    #[test]
    fn every_sign_is_found_by_its_name_and_has_words_for_it() {
        for (name, svg) in signs() {
            assert_eq!(sign(name), Some(*svg));
            assert!(!sign_label(name).is_empty(), "{name}");
            assert!(svg.contains("viewBox=\"0 0 100 100\""), "{name}");
            assert!(!svg.contains("<text"), "{name} carries text");
            roxmltree::Document::parse(svg).expect(name);
        }
        let names: Vec<&str> = signs().iter().map(|(name, _)| *name).collect();
        assert!(names.is_sorted());
        assert_eq!(sign("hot surface"), None);
    }

    /// ANSI Z535.6 keeps the safety alert triangle for injury to people.
    #[test]
    fn the_sign_for_damage_to_property_is_no_triangle() {
        let triangle = "M50 10.5 93 85H7Z";
        assert!(sign("general").expect("known").contains(triangle));
        assert!(!sign("notice").expect("known").contains(triangle));
    }

    #[test]
    fn a_nut_shows_its_place_in_the_order() {
        // Clockwise from the top; fastener 2 is the fifth to be tightened.
        assert_eq!(numbers(&pattern(&eight())), ["1", "5", "3", "7", "2", "6", "4", "8"]);
        let six = Pattern { count: 6, shape: PatternShape::Circle, sequence: vec![1, 4, 2, 5, 3, 6] };
        assert_eq!(numbers(&pattern(&six)), ["1", "3", "5", "2", "4", "6"]);
        assert_eq!(pattern_words(&six), "1, 4, 2, 5, 3, 6");
    }

    #[test]
    fn rows_stand_left_and_right_and_opposites_are_diagonal() {
        let six = Pattern { count: 6, shape: PatternShape::Rows, sequence: vec![2, 5, 1, 4, 3, 6] };
        let svg = pattern(&six);
        assert_eq!(numbers(&svg), ["3", "1", "5", "4", "2", "6"]);
        let places: Vec<&str> =
            svg.split("<text x=\"").skip(1).map(|rest| &rest[..rest.find('"').expect("quoted")]).collect();
        assert_eq!(places, ["87", "87", "87", "13", "13", "13"]);
    }

    #[test]
    fn a_drawing_is_sound_xml_with_short_numbers_for_any_count() {
        for count in [0, 1, 2, 3, 5, 6, 12, 24, 61] {
            for shape in [PatternShape::Circle, PatternShape::Rows] {
                let svg = pattern(&Pattern { count, shape, sequence: (1..=count).collect() });
                let document = roxmltree::Document::parse(&svg).expect("sound XML");
                for attribute in document.descendants().flat_map(|node| node.attributes()) {
                    for part in attribute.value().split([' ', 'M', 'Z', ',']) {
                        let decimals = part.split_once('.').map_or(0, |(_, rest)| rest.len());
                        assert!(decimals <= 2 || attribute.name() == "aria-label", "{part}");
                    }
                }
                assert_eq!(numbers(&svg).len(), count as usize);
            }
        }
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(12.5), "12.5");
    }

    #[test]
    fn the_alternative_text_can_be_followed_without_the_drawing() {
        assert_eq!(
            pattern_alternative(&eight()),
            "Tightening order for 8 fasteners, counted clockwise from the top: 1, 5, 3, 7, 2, 6, 4, 8."
        );
    }
}
