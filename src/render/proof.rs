//! Proofreading of finished pages: the rules every print must keep, held against what stands in its bytes and not against what the layout believed.

use kurbo::Rect;

use crate::base::stamp::{RELEASED, State};
use crate::packet::view::{Block, Caution, Line, Packet, Step};
use crate::render::around::Around;
use crate::render::conserve;
use crate::render::readback::{Glyph, PageText};

/// How far a size or a place may be off, in points: the file holds rounded numbers.
pub(crate) const TOLERANCE: f64 = 0.05;
/// Least type of a packet's cautions, in points.
const PACKET_CAUTION: f64 = 12.0;
/// Least type of a packet's steps, in points.
const PACKET_STEP: f64 = 10.0;
/// Ink nearer to the edge of a packet's page than this is lost by many printers, in points.
const UNPRINTABLE: f64 = 12.0;

/// Returns every rule the pages of a packet break, in words; empty for a sound packet.
pub(crate) fn broken_packet_rules(pages: &[PageText], packet: &Packet, around: &Around<'_>) -> Vec<String> {
    let Around { identity, stamp, .. } = *around;
    let released = match stamp.state {
        State::Draft => String::new(),
        State::Controlled => format!("{RELEASED} {}", stamp.record),
    };
    let mut broken = Vec::new();
    let streams: Vec<Stream<'_>> = pages.iter().map(Stream::of).collect();
    for (at, (page, text)) in pages.iter().zip(&streams).enumerate() {
        let number = format!("page {} of {}", at + 1, pages.len());
        for wanted in [
            &packet.document,
            &packet.tag,
            &stamp.revision,
            &stamp.mark,
            &stamp.effective,
            &stamp.last_day,
            &stamp.as_of,
            &released,
            &identity.words,
            &number,
        ] {
            if !wanted.is_empty() && !text.has(wanted) {
                broken.push(format!("page {} does not say `{wanted}`", at + 1));
            }
        }
        let inside = Rect::new(0.0, 0.0, page.width, page.height).inset(-UNPRINTABLE);
        if let Some(glyph) = page.glyphs.iter().find(|glyph| glyph.ink.area() > 0.0 && !contains(inside, glyph.ink)) {
            broken.push(format!("`{}` on page {} runs off the page", glyph.text, at + 1));
        }
        overprinted(&number, page, &mut broken);
        for caution in &packet.cautions {
            small_caution(text, caution, PACKET_CAUTION, &mut broken);
        }
        for step in packet.stages.iter().flat_map(|stage| &stage.steps) {
            small_step(text, step, PACKET_STEP, &mut broken);
        }
    }
    parted(&streams, packet.stages.iter().flat_map(|stage| &stage.steps), &mut broken);
    let text = pages.iter().map(PageText::text).collect::<Vec<_>>().join("\n");
    broken.extend(conserve::looks_alike(stamp, &text));
    let expected = conserve::expectations(packet, around);
    broken.extend(conserve::missing(&expected, &text).into_iter().map(|lost| format!("lost: {lost}")));
    broken
}

/// Adds each text that is printed over another. The mark across the page lies behind the text, and is known by its slope.
pub(crate) fn overprinted(name: &str, page: &PageText, broken: &mut Vec<String>) {
    let mut inks: Vec<&Glyph> =
        page.glyphs.iter().filter(|glyph| glyph.direction.0.abs() > 0.99 && glyph.ink.area() > 0.0).collect();
    inks.sort_by(|one, other| one.ink.x0.total_cmp(&other.ink.x0));
    for (at, one) in inks.iter().enumerate() {
        for other in inks[at + 1..].iter().take_while(|other| other.ink.x0 < one.ink.x1) {
            let shared = one.ink.intersect(other.ink).area();
            if shared > 0.25 * one.ink.area().min(other.ink.area()) && !same_line(one, other) {
                broken.push(format!("`{}` is printed over `{}` on the {name}", one.text, other.text));
                return;
            }
        }
    }
}

/// Neighbours in a word may overlap a little, by their kerning.
fn same_line(one: &Glyph, other: &Glyph) -> bool {
    let apart = (one.origin.x - other.origin.x).abs() > 0.12 * one.size.min(other.size);
    (one.origin.y - other.origin.y).abs() < TOLERANCE && (one.size - other.size).abs() < TOLERANCE && apart
}

/// Adds each step that does not stand with its cautions and its hold points on one page.
pub(crate) fn parted<'a>(pages: &[Stream<'_>], steps: impl IntoIterator<Item = &'a Step>, broken: &mut Vec<String>) {
    for step in steps {
        let Some(line) = step.blocks.iter().find_map(paragraph) else { continue };
        let wanted = format!("{}{}", step.number, plain(line));
        let own: Vec<&Stream<'_>> = pages.iter().filter(|page| page.has(&wanted)).collect();
        let holds_all = |texts: &[&str]| own.iter().any(|page| texts.iter().all(|text| page.has(text)));
        for caution in &step.cautions {
            if !holds_all(&[&caution.word, &plain(&caution.hazard)]) {
                broken.push(format!("caution `{}` is parted from step {}", caution.id, step.number));
            }
        }
        for hold in &step.holds {
            if !holds_all(&[&hold.id, &hold.role, &plain(&hold.verify)]) {
                broken.push(format!("hold point `{}` is parted from step {}", hold.id, step.number));
            }
        }
    }
}

/// Adds a caution that is set smaller than it may be.
pub(crate) fn small_caution(page: &Stream<'_>, caution: &Caution, size: f64, broken: &mut Vec<String>) {
    for line in [&caution.hazard, &caution.consequence, &caution.avoid] {
        small(page, "the caution", &plain(line), size, broken);
    }
}

/// Adds a paragraph of a step that is set smaller than it may be.
pub(crate) fn small_step(page: &Stream<'_>, step: &Step, size: f64, broken: &mut Vec<String>) {
    for line in step.blocks.iter().filter_map(paragraph) {
        small(page, "the step", &plain(line), size, broken);
    }
}

/// Adds a text that is set smaller than it may be wherever it stands on a page.
pub(crate) fn small(page: &Stream<'_>, what: &str, wanted: &str, size: f64, broken: &mut Vec<String>) {
    for found in page.all(wanted) {
        if let Some(least) = smallest(found.iter().copied()).filter(|least| least.size < size - TOLERANCE) {
            broken.push(format!("{what} `{wanted}` is set in {:.2} pt, not {size:.2}", least.size));
        }
    }
}

/// Returns the smallest character that is no space.
pub(crate) fn smallest<'a>(glyphs: impl Iterator<Item = &'a Glyph>) -> Option<&'a Glyph> {
    glyphs.filter(|glyph| !glyph.text.trim().is_empty()).min_by(|one, other| one.size.total_cmp(&other.size))
}

pub(crate) fn contains(outer: Rect, inner: Rect) -> bool {
    outer.x0 <= inner.x0 && outer.y0 <= inner.y0 && inner.x1 <= outer.x1 && inner.y1 <= outer.y1
}

const fn paragraph(block: &Block) -> Option<&Line> {
    match block {
        Block::Paragraph { line } => Some(line),
        Block::List { .. } | Block::Table { .. } | Block::Figure { .. } => None,
    }
}

pub(crate) fn plain(line: &Line) -> String {
    line.iter().map(|run| run.text.as_str()).collect()
}

/// The characters of a page without white space, so that a text is found however its lines break.
pub(crate) struct Stream<'a> {
    text: String,
    /// The glyph behind each byte of the text.
    glyphs: Vec<&'a Glyph>,
}

impl<'a> Stream<'a> {
    pub(crate) fn of(page: &'a PageText) -> Self {
        let mut stream = Self { text: String::new(), glyphs: Vec::new() };
        for glyph in &page.glyphs {
            let solid = solid(&glyph.text);
            stream.glyphs.extend(std::iter::repeat_n(glyph, solid.len()));
            stream.text.push_str(&solid);
        }
        stream
    }

    /// Returns whether a text stands on the page.
    pub(crate) fn has(&self, wanted: &str) -> bool {
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
