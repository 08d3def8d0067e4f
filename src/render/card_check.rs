//! The rules a finished card must keep, held against what stands in its bytes; it knows the face and the geometry, and no layout.

use kurbo::Rect;

use crate::base::stamp::{RELEASED, Stamp, State};
use crate::packet::identity::Identity;
use crate::packet::view::{CardPrint, Caution, Face, Step};
use crate::render::card_layout::{Geometry, MM, Sizes, hole_above};
use crate::render::conserve;
use crate::render::proof::{
    Stream, TOLERANCE, contains, overprinted, parted, plain, small, small_caution, small_step, smallest,
};
use crate::render::readback::PageText;

/// What a finished card is held against.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rules<'a> {
    pub(crate) face: &'a Face,
    pub(crate) print: &'a CardPrint,
    pub(crate) identity: &'a Identity,
    pub(crate) tags: &'a [String],
    pub(crate) stamp: &'a Stamp,
    /// The least sizes, not those of the layout.
    pub(crate) sizes: Sizes,
    pub(crate) geometry: &'a Geometry,
}

/// Half the thickness the line around the hole may have, in points.
const HOLE_LINE: f64 = 0.5;

/// Returns every rule the pages break, in words; empty for a sound card.
pub(crate) fn broken_card_rules(pages: &[PageText], rules: &Rules<'_>) -> Vec<String> {
    let [front, back] = pages else {
        return vec![format!("the card has {} pages, not a front and a back", pages.len())];
    };
    let mut broken = Vec::new();
    let above = hole_above(rules.print);
    for (name, page, hole_above) in [("front", front, above[0]), ("back", back, above[1])] {
        let page = upright(page);
        trim_size(name, &page, rules, &mut broken);
        free_zones(name, &page, rules, hole_above, &mut broken);
        least_sizes(name, &page, rules, &mut broken);
        identity(name, &page, rules, &mut broken);
        overprinted(name, &page, &mut broken);
    }
    parted(&[Stream::of(front), Stream::of(back)], steps(rules.face), &mut broken);
    let text = format!("{}\n{}", front.text(), back.text());
    broken.extend(conserve::looks_alike(rules.stamp, &text));
    let expected = conserve::face_expectations(rules.face, rules.identity, rules.stamp);
    broken.extend(conserve::missing(&expected, &text).into_iter().map(|lost| format!("lost: {lost}")));
    broken
}

/// Returns a page as it is read: one that stands on its head is turned.
fn upright(page: &PageText) -> PageText {
    let mut page = page.clone();
    let down = page.glyphs.iter().filter(|glyph| glyph.direction.0 < -0.9).count();
    if 2 * down > page.glyphs.len() {
        let (width, height) = (page.width, page.height);
        let turn = |rect: Rect| Rect::new(width - rect.x1, height - rect.y1, width - rect.x0, height - rect.y0);
        for glyph in &mut page.glyphs {
            glyph.ink = turn(glyph.ink);
            glyph.origin = (width - glyph.origin.x, height - glyph.origin.y).into();
            glyph.direction = (-glyph.direction.0, -glyph.direction.1);
        }
        page.marks.iter_mut().for_each(|mark| *mark = turn(*mark));
    }
    page
}

fn trim_size(name: &str, page: &PageText, rules: &Rules<'_>, broken: &mut Vec<String>) {
    let off = (page.width - rules.geometry.width).abs().max((page.height - rules.geometry.height).abs());
    if off > TOLERANCE {
        broken.push(format!("the {name} is {:.2} by {:.2} pt, which is not the trim size", page.width, page.height));
    }
}

/// Nothing is printed on the laminate's edge or in the square of the hole but the hole's own circle.
fn free_zones(name: &str, page: &PageText, rules: &Rules<'_>, hole_above: bool, broken: &mut Vec<String>) {
    let geometry = rules.geometry;
    let edge = f64::from(rules.print.edge_mm) * MM - TOLERANCE;
    let inside = Rect::new(edge, edge, geometry.width - edge, geometry.height - edge);
    let y = if hole_above { geometry.hole_y } else { geometry.height - geometry.hole_y };
    let square = |half: f64| Rect::from_center_size((geometry.width / 2.0, y), (2.0 * half, 2.0 * half));
    let zone = square((geometry.hole_clear - TOLERANCE).max(0.0));
    let circle = square(geometry.hole_radius);
    let has_hole = geometry.hole_radius > 0.0;
    let is_hole = |ink: Rect| {
        let off = [ink.x0 - circle.x0, ink.y0 - circle.y0, ink.x1 - circle.x1, ink.y1 - circle.y1];
        off.iter().all(|off| off.abs() < HOLE_LINE)
    };
    let glyphs = page.glyphs.iter().filter(|glyph| glyph.ink.area() > 0.0);
    let marks = page.marks.iter().filter(|&&mark| !(has_hole && is_hole(mark))).map(|&mark| (mark, "a drawing"));
    for (ink, what) in glyphs.map(|glyph| (glyph.ink, glyph.text.as_str())).chain(marks) {
        if !contains(inside, ink) {
            broken.push(format!("`{what}` is printed on the laminate's edge of the {name}"));
        }
        if has_hole && overlaps(zone, ink) {
            broken.push(format!("`{what}` is printed at the punch hole of the {name}"));
        }
    }
}

fn overlaps(one: Rect, other: Rect) -> bool {
    one.x0 < other.x1 && other.x0 < one.x1 && one.y0 < other.y1 && other.y0 < one.y1
}

/// No character is smaller than its class allows.
fn least_sizes(name: &str, page: &PageText, rules: &Rules<'_>, broken: &mut Vec<String>) {
    let Sizes { text, warn, detail } = rules.sizes;
    if let Some(least) = smallest(page.glyphs.iter()).filter(|least| least.size < detail - TOLERANCE) {
        broken.push(format!("`{}` on the {name} is set in {:.2} pt, not {detail:.2}", least.text, least.size));
    }
    small_print(name, page, rules, broken);
    let page = Stream::of(page);
    for caution in cautions(rules.face) {
        small_caution(&page, caution, warn, broken);
    }
    for number in &rules.face.numbers {
        small(&page, "the limit", &number.value, warn, broken);
    }
    for stage in rules.face.joints.iter().flat_map(|joint| &joint.stages) {
        small(&page, "the torque", &stage.torque, warn, broken);
    }
    for step in steps(rules.face) {
        small_step(&page, step, text, broken);
        for hold in &step.holds {
            small(&page, "the hold point", &plain(&hold.verify), warn, broken);
        }
        for entry in &step.entries {
            small(&page, "the limit", &entry.limit, warn, broken);
        }
    }
    for words in &rules.face.deference {
        small(&page, "the text", words, text, broken);
    }
}

/// Only what identifies the card may be smaller than running text.
fn small_print(name: &str, page: &PageText, rules: &Rules<'_>, broken: &mut Vec<String>) {
    let solid = |text: &str| text.split_whitespace().collect::<String>();
    let is_small = |size: f64| size < rules.sizes.text - TOLERANCE;
    let mut rest: String =
        page.glyphs.iter().filter(|glyph| is_small(glyph.size)).map(|glyph| solid(&glyph.text)).collect();
    let face = rules.face;
    let stamp = rules.stamp;
    let mut own: Vec<String> = ["revision", "side A", "side B", "page 1 of 2", "page 2 of 2"].map(str::to_owned).into();
    own.extend([&face.document, &face.plant, &stamp.revision, &stamp.mark].map(Clone::clone));
    own.extend(stamp.approvals.iter().flat_map(|it| [&it.name, &it.time, &it.meaning]).cloned());
    if stamp.state == State::Controlled {
        own.push(format!("effective {}", stamp.effective));
        own.push(format!("TEMPORARY, last day {}", stamp.last_day));
        own.push(format!("{RELEASED} {}, ledger as of {}, review by {}", stamp.record, stamp.as_of, stamp.review_by));
    }
    // The longest first: a revision is often a part of a date.
    own.sort_by_key(|text| std::cmp::Reverse(text.len()));
    for text in own.iter().filter(|text| !text.is_empty()) {
        rest = rest.replace(&solid(text), " ");
    }
    if rest.contains(char::is_alphanumeric) {
        broken.push(format!("`{}` on the {name} is set smaller than running text", rest.trim()));
    }
}

/// Both sides say what they belong to.
fn identity(name: &str, page: &PageText, rules: &Rules<'_>, broken: &mut Vec<String>) {
    let text = Stream::of(page);
    let stamp = rules.stamp;
    let own =
        [&rules.face.document, &stamp.revision, &rules.identity.words, &stamp.mark, &stamp.effective, &stamp.last_day];
    for wanted in own.into_iter().chain(rules.tags) {
        if !wanted.is_empty() && !text.has(wanted) {
            broken.push(format!("the {name} does not say `{wanted}`"));
        }
    }
}

fn steps(face: &Face) -> impl Iterator<Item = &Step> {
    face.stages.iter().flat_map(|stage| &stage.steps)
}

fn cautions(face: &Face) -> impl Iterator<Item = &Caution> {
    face.cautions.iter().chain(steps(face).flat_map(|step| &step.cautions))
}
