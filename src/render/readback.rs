//! The text and ink of a finished PDF, read from its bytes by a reader that is not the typesetter; it knows no template.
//!
//! What is handed out is judged by what stands in the file, not by what the typesetter believes to have put there.

use hayro_interpret::font::{Glyph as DrawnGlyph, OutlineGlyph};
use hayro_interpret::hayro_cmap::BfString;
use hayro_interpret::hayro_syntax::Pdf;
use hayro_interpret::{
    BlendMode, CacheKey as _, ClipPath, Context, Device, GlyphDrawMode, Image, InterpreterCache, InterpreterSettings,
    Paint, PathDrawMode, SoftMask, TransformExt as _, interpret_page,
};
use kurbo::{Affine, BezPath, Point, Rect, Shape as _};
use std::collections::HashMap;

use crate::render::pdf_error::PdfError;

/// One character as printed.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// What it says, mostly one character.
    pub text: String,
    /// Left end of its baseline, in points from the top left corner of the page.
    pub origin: Point,
    /// Type size in points.
    pub size: f64,
    /// The box of its ink; empty for a space.
    pub ink: Rect,
    /// How far it moves the pen, in points.
    pub advance: f64,
    /// The direction of its baseline: (1, 0) for upright text.
    pub direction: (f64, f64),
}

/// One page as printed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PageText {
    /// Width in points.
    pub width: f64,
    /// Height in points.
    pub height: f64,
    /// Its characters in the order of the file.
    pub glyphs: Vec<Glyph>,
    /// The boxes of its lines, fillings and pictures.
    pub marks: Vec<Rect>,
}

impl PageText {
    /// Returns the text: a space stands where a line ends or a gap is wider than a word space.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        for (at, glyph) in self.glyphs.iter().enumerate() {
            if at > 0 && parted(&self.glyphs[at - 1], glyph) {
                text.push('\n');
            }
            text.push_str(&glyph.text);
        }
        text
    }
}

/// Returns the pages of a finished PDF.
///
/// # Errors
/// When the bytes are no PDF, or a character has no text behind it.
pub fn pages(bytes: &[u8]) -> Result<Vec<PageText>, PdfError> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|error| PdfError::ReadBack(format!("{error:?}")))?;
    let cache = InterpreterCache::new();
    let mut boxes = Boxes::new();
    let mut pages = Vec::new();
    for page in pdf.pages().iter() {
        let (width, height) = page.render_dimensions();
        let bounds = Rect::new(0.0, 0.0, f64::from(width), f64::from(height));
        let transform = page.initial_transform(true).to_kurbo();
        let mut context = Context::new(transform, bounds, &cache, page.xref(), InterpreterSettings::default());
        let mut reader = Reader {
            page: PageText { width: bounds.width(), height: bounds.height(), ..PageText::default() },
            boxes: &mut boxes,
            unread: 0,
        };
        interpret_page(page, &mut context, &mut reader);
        if reader.unread > 0 {
            return Err(PdfError::ReadBack(format!(
                "{} characters on page {} have no text",
                reader.unread,
                pages.len() + 1
            )));
        }
        pages.push(reader.page);
    }
    Ok(pages)
}

/// Returns the text of a finished PDF, page after page.
///
/// # Errors
/// As [`pages`].
pub fn text(bytes: &[u8]) -> Result<String, PdfError> {
    let pages = pages(bytes)?;
    Ok(pages.iter().map(PageText::text).collect::<Vec<_>>().join("\n\u{c}\n"))
}

/// Returns whether a character begins a new line or stands apart from the one before it.
fn parted(before: &Glyph, glyph: &Glyph) -> bool {
    let size = before.size.max(glyph.size);
    let (along, across) = {
        let step = glyph.origin - before.origin;
        let (x, y) = before.direction;
        (step.x * x + step.y * y - before.advance, step.y * x - step.x * y)
    };
    across.abs() > 0.1 * size || along > 0.2 * size || along < -0.2 * size
}

/// The box of each shape of a font, by its key, as its outline measures before it is placed.
type Boxes = HashMap<u128, Rect>;

/// Collects what the interpreter draws.
struct Reader<'b> {
    page: PageText,
    boxes: &'b mut Boxes,
    unread: usize,
}

impl Reader<'_> {
    /// Returns the box of an outline's ink where it is placed.
    fn ink(&mut self, outline: &OutlineGlyph, placed: Affine) -> Rect {
        let [_, b, c, ..] = placed.as_coeffs();
        if b != 0.0 || c != 0.0 {
            // The box around a turned box is larger than the ink.
            return (placed * outline.outline()).bounding_box();
        }
        let own = self.boxes.entry(outline.identifier().cache_key());
        placed.transform_rect_bbox(*own.or_insert_with(|| outline.outline().bounding_box()))
    }
}

impl<'a> Device<'a> for Reader<'_> {
    fn set_soft_mask(&mut self, _: Option<SoftMask<'a>>) {}
    fn set_blend_mode(&mut self, _: BlendMode) {}

    fn draw_path(&mut self, path: &BezPath, transform: Affine, _: &Paint<'a>, mode: &PathDrawMode) {
        let mut ink = (transform * path.clone()).bounding_box();
        if let PathDrawMode::Stroke(stroke) = mode {
            let half = f64::from(stroke.line_width) * scale(transform) / 2.0;
            ink = ink.inflate(half, half);
        }
        self.page.marks.push(ink);
    }

    fn push_clip_path(&mut self, _: &ClipPath) {}
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {}

    fn draw_glyph(
        &mut self,
        glyph: &DrawnGlyph<'a>,
        transform: Affine,
        glyph_transform: Affine,
        _: &Paint<'a>,
        mode: &GlyphDrawMode,
    ) {
        // An outline comes beside its filling, and what is invisible is not printed.
        if matches!(mode, GlyphDrawMode::Stroke(_) | GlyphDrawMode::Invisible) {
            return;
        }
        let text = match glyph.as_unicode() {
            Some(BfString::Char(one)) => one.to_string(),
            Some(BfString::String(some)) => some,
            None => {
                self.unread += 1;
                return;
            }
        };
        let whole = transform * glyph_transform;
        let coefficients = whole.as_coeffs();
        let across = (coefficients[0].powi(2) + coefficients[1].powi(2)).sqrt();
        let (ink, advance) = match glyph {
            DrawnGlyph::Outline(outline) => {
                (self.ink(outline, whole), f64::from(outline.advance_width().unwrap_or_default()) * across)
            }
            DrawnGlyph::Type3(_) => (Rect::ZERO, 0.0),
        };
        self.page.glyphs.push(Glyph {
            text,
            origin: whole * Point::ZERO,
            size: 1000.0 * (coefficients[2].powi(2) + coefficients[3].powi(2)).sqrt(),
            ink,
            advance,
            direction: (coefficients[0] / across, coefficients[1] / across),
        });
    }

    fn draw_image(&mut self, image: Image<'a, '_>, transform: Affine) {
        let unit = Rect::new(0.0, 0.0, f64::from(image.width()), f64::from(image.height()));
        self.page.marks.push(transform.transform_rect_bbox(unit));
    }

    fn pop_clip_path(&mut self) {}
    fn pop_transparency_group(&mut self) {}
}

/// Returns how much a transform enlarges lengths, on average.
fn scale(transform: Affine) -> f64 {
    transform.determinant().abs().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn glyph(text: &str, x: f64, y: f64) -> Glyph {
        let ink = Rect::new(x, y - 7.0, x + 5.0, y);
        Glyph { text: text.to_owned(), origin: (x, y).into(), size: 10.0, ink, advance: 5.0, direction: (1.0, 0.0) }
    }

    fn text_of(glyphs: Vec<Glyph>) -> String {
        PageText { glyphs, ..PageText::default() }.text()
    }

    #[test]
    fn a_gap_or_a_new_line_parts_words_and_kerning_does_not() {
        assert_eq!(text_of(vec![glyph("4", 0.0, 10.0), glyph("4", 5.0, 10.0)]), "44");
        assert_eq!(text_of(vec![glyph("V", 0.0, 10.0), glyph("A", 4.2, 10.0)]), "VA");
        assert_eq!(text_of(vec![glyph("4", 0.0, 10.0), glyph("4", 9.0, 10.0)]), "4\n4");
        assert_eq!(text_of(vec![glyph("4", 0.0, 10.0), glyph("4", 0.0, 22.0)]), "4\n4");
        // Back to the left on the same line: another column's words are not the end of these.
        assert_eq!(text_of(vec![glyph("4", 50.0, 10.0), glyph("4", 0.0, 10.0)]), "4\n4");
    }

    #[test]
    fn text_on_its_head_is_read_as_it_stands() {
        let turned = |text: &str, x: f64| Glyph { direction: (-1.0, 0.0), ..glyph(text, x, 10.0) };
        assert_eq!(text_of(vec![turned("4", 50.0), turned("5", 45.0), turned("6", 30.0)]), "45\n6");
    }

    #[test]
    fn what_is_no_pdf_is_an_error() {
        for bytes in [b"".as_slice(), b"%PDF-1.7", b"<html>"] {
            assert!(matches!(pages(bytes), Err(PdfError::ReadBack(_))));
        }
    }
}
