//! The rules a finished card must keep, held against what stands in its bytes and not against what the layout believed.

use kurbo::Rect;

use crate::base::stamp::Stamp;
use crate::packet::identity::Identity;
use crate::packet::view::{Block, Caution, Face, Line, Step};
use crate::render::card_layout::{Geometry, Sizes, hole_above};
use crate::render::conserve;
use crate::render::readback::{Glyph, PageText};

/// What a finished card is held against.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rules<'a> {
    pub(crate) face: &'a Face,
    pub(crate) identity: &'a Identity,
    pub(crate) tags: &'a [String],
    pub(crate) stamp: &'a Stamp,
    /// The least sizes, not those of the layout.
    pub(crate) sizes: Sizes,
    pub(crate) geometry: &'a Geometry,
    /// Height of the identity strip, in which details are smaller.
    pub(crate) strip: f64,
}

/// How far a size or a place may be off, in points: the file holds rounded numbers.
const TOLERANCE: f64 = 0.05;

/// Returns every rule the pages break, in words; empty for a sound card.
pub(crate) fn broken_rules(pages: &[PageText], rules: &Rules<'_>) -> Vec<String> {
    let [front, back] = pages else {
        return vec![format!("the card has {} pages, not a front and a back", pages.len())];
    };
    let mut broken = Vec::new();
    let above = hole_above(&rules.face.print);
    for (name, page, hole_above) in [("front", front, above[0]), ("back", back, above[1])] {
        let page = upright(page);
        trim_size(name, &page, rules, &mut broken);
        free_zones(name, &page, rules, hole_above, &mut broken);
        least_sizes(name, &page, rules, &mut broken);
        identity(name, &page, rules, &mut broken);
    }
    together(&[front, back], rules, &mut broken);
    let text = format!("{}\n{}", front.text(), back.text());
    let expected = conserve::face_expectations(rules.face, rules.identity, rules.stamp);
    broken.extend(conserve::missing(&expected, &text).into_iter().map(|lost| format!("lost: {lost}")));
    broken
}

/// Returns a page as it is read: one that stands on its head is turned.
fn upright(page: &PageText) -> PageText {
    let mut page = page.clone();
    let (down, up) = page.glyphs.iter().fold((0, 0), |(down, up), glyph| {
        if glyph.direction.0 < -0.9 { (down + 1, up) } else { (down, up + 1) }
    });
    if down > up {
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
    let edge = f64::from(rules.face.print.edge_mm) * crate::render::card_layout::MM - TOLERANCE;
    let inside = Rect::new(edge, edge, geometry.width - edge, geometry.height - edge);
    let y = if hole_above { geometry.hole_y } else { geometry.height - geometry.hole_y };
    let square = |half: f64| Rect::from_center_size((geometry.width / 2.0, y), (2.0 * half, 2.0 * half));
    let zone = square((geometry.hole_clear - TOLERANCE).max(0.0));
    let circle = square(geometry.hole_radius + 1.0);
    let has_hole = geometry.hole_radius > 0.0;
    let glyphs = page.glyphs.iter().filter(|glyph| glyph.ink.area() > 0.0).map(|glyph| (glyph.ink, glyph.text.as_str()));
    let marks = page.marks.iter().map(|&mark| (mark, "a line"));
    for (ink, what) in glyphs.chain(marks) {
        if !contains(inside, ink) {
            broken.push(format!("`{what}` is printed on the laminate's edge of the {name}"));
        }
        if has_hole && overlaps(zone, ink) && !contains(circle, ink) {
            broken.push(format!("`{what}` is printed at the punch hole of the {name}"));
        }
    }
}

fn contains(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && outer.y0 <= inner.y0 && inner.x1 <= outer.x1 && inner.y1 <= outer.y1
}

fn overlaps(one: Rect, other: Rect) -> bool {
    one.x0 < other.x1 && other.x0 < one.x1 && one.y0 < other.y1 && other.y0 < one.y1
}

/// No character is smaller than its class allows.
fn least_sizes(name: &str, page: &PageText, rules: &Rules<'_>, broken: &mut Vec<String>) {
    let text = Stream::of(page);
    if let Some(small) = smallest(page.glyphs.iter()).filter(|small| small.size < rules.sizes.detail - TOLERANCE) {
        broken.push(format!("`{}` on the {name} is set in {:.2} pt", small.text, small.size));
    }
    let mut least = |what: &str, wanted: &str, size: f64| {
        for found in text.all(wanted) {
            if let Some(small) = smallest(found.iter().copied()).filter(|small| small.size < size - TOLERANCE) {
                broken.push(format!("{what} `{wanted}` on the {name} is set in {:.2} pt, not {size:.2}", small.size));
            }
        }
    };
    for caution in cautions(rules.face) {
        for line in [&caution.hazard, &caution.consequence, &caution.avoid] {
            least("the caution", &plain(line), rules.sizes.warn);
        }
    }
    for number in &rules.face.numbers {
        least("the limit", &number.value, rules.sizes.warn);
    }
    for stage in rules.face.joints.iter().flat_map(|joint| &joint.stages) {
        least("the torque", &stage.torque, rules.sizes.warn);
    }
    for step in steps(rules.face) {
        for line in step.blocks.iter().filter_map(paragraph) {
            least("the step", &plain(line), rules.sizes.text);
        }
        for hold in &step.holds {
            least("the hold point", &plain(&hold.verify), rules.sizes.warn);
        }
        for entry in &step.entries {
            least("the limit", &entry.limit, rules.sizes.warn);
        }
    }
    for words in &rules.face.deference {
        least("the text", words, rules.sizes.text);
    }
}

/// Both sides say what they belong to.
fn identity(name: &str, page: &PageText, rules: &Rules<'_>, broken: &mut Vec<String>) {
    let text = Stream::of(page);
    let own = [&rules.face.document, &rules.stamp.revision, &rules.identity.words, &rules.stamp.mark];
    for wanted in own.into_iter().chain(rules.tags) {
        if !wanted.is_empty() && !text.has(wanted) {
            broken.push(format!("the {name} does not say `{wanted}`"));
        }
    }
}

/// A step stands with its cautions and its hold points on one side.
fn together(pages: &[&PageText; 2], rules: &Rules<'_>, broken: &mut Vec<String>) {
    let sides = pages.map(Stream::of);
    for step in steps(rules.face) {
        let Some(line) = step.blocks.iter().find_map(paragraph) else { continue };
        let at: Vec<&Stream<'_>> = sides.iter().filter(|side| side.has(&plain(line))).collect();
        let own = |wanted: &str| at.iter().any(|side| side.has(wanted));
        for caution in &step.cautions {
            if !own(&caution.word) || !own(&plain(&caution.hazard)) {
                broken.push(format!("caution `{}` is not on the side of step {}", caution.id, step.number));
            }
        }
        for hold in &step.holds {
            if !own(&hold.id) || !own(&hold.role) || !own(&plain(&hold.verify)) {
                broken.push(format!("hold point `{}` is not whole on the side of step {}", hold.id, step.number));
            }
        }
    }
}

fn steps(face: &Face) -> impl Iterator<Item = &Step> {
    face.stages.iter().flat_map(|stage| &stage.steps)
}

fn cautions(face: &Face) -> impl Iterator<Item = &Caution> {
    face.cautions.iter().chain(steps(face).flat_map(|step| &step.cautions))
}

const fn paragraph(block: &Block) -> Option<&Line> {
    match block {
        Block::Paragraph { line } => Some(line),
        Block::List { .. } | Block::Table { .. } | Block::Figure { .. } => None,
    }
}

fn plain(line: &Line) -> String {
    line.iter().map(|run| run.text.as_str()).collect()
}

fn smallest<'a>(glyphs: impl Iterator<Item = &'a Glyph>) -> Option<&'a Glyph> {
    glyphs.filter(|glyph| !glyph.text.trim().is_empty()).min_by(|one, other| one.size.total_cmp(&other.size))
}

/// The characters of a page without white space, so that a text is found however its lines break.
struct Stream<'a> {
    text: String,
    /// The glyph behind each byte of the text.
    glyphs: Vec<&'a Glyph>,
}

impl<'a> Stream<'a> {
    fn of(page: &'a PageText) -> Self {
        let mut stream = Self { text: String::new(), glyphs: Vec::new() };
        for glyph in &page.glyphs {
            let solid = solid(&glyph.text);
            stream.glyphs.extend(std::iter::repeat_n(glyph, solid.len()));
            stream.text.push_str(&solid);
        }
        stream
    }

    fn has(&self, wanted: &str) -> bool {
        self.text.contains(&solid(wanted))
    }

    /// Returns the glyphs of every place where a text stands.
    fn all(&self, wanted: &str) -> Vec<&[&'a Glyph]> {
        let wanted = solid(wanted);
        if wanted.is_empty() {
            return Vec::new();
        }
        self.text.match_indices(&wanted).map(|(at, found)| &self.glyphs[at..at + found.len()]).collect()
    }
}

fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}
