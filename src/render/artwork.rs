//! The drawings one document brings along: figures, safety signs and tightening patterns as files for the typesetter; it knows no page.

use crate::render::Figures;
use std::collections::BTreeMap;

use serde::Serialize;
use typst::foundations::Bytes;

use crate::packet::view::{Caution, Figure, Joint, Pattern};
use crate::render::drawing;
use crate::render::pdf_error::PdfError;
use crate::render::typeset::Data;

/// Where a template finds each drawing.
#[derive(Debug, Default, Serialize)]
pub(crate) struct Artwork {
    /// Path by figure number.
    figures: BTreeMap<String, String>,
    /// Path and alternative text by sign.
    signs: BTreeMap<String, Sign>,
    /// Every tightening pattern once.
    patterns: Vec<Drawn>,
}

#[derive(Debug, Serialize)]
struct Sign {
    path: String,
    alt: String,
}

#[derive(Debug, Serialize)]
struct Drawn {
    pattern: Pattern,
    path: String,
    alt: String,
    legend: String,
    /// Width of the drawing for each point of type size in its smallest number.
    em: f64,
}

impl Artwork {
    /// Adds the figures; each must have its bytes, in a format that can be printed.
    pub(crate) fn add_figures(&mut self, figures: &[Figure], bytes: &Figures, data: &mut Data) -> Result<(), PdfError> {
        for figure in figures {
            let content = bytes.get(&figure.path).ok_or_else(|| PdfError::MissingFigure(figure.path.clone()))?;
            let kind = format(content).ok_or_else(|| PdfError::FigureFormat(figure.path.clone()))?;
            if let Some((width, height)) = pixels(content).filter(|&(width, height)| width * height > MOST_PIXELS) {
                return Err(PdfError::FigureTooLarge { path: figure.path.clone(), width, height });
            }
            // Numbered and not named after the binder's file: the typesetter's table of paths is never emptied.
            let path = format!("figures/{}.{kind}", figure.number);
            data.insert(path.clone(), Bytes::new(content.clone()));
            self.figures.insert(figure.number.to_string(), format!("/{path}"));
        }
        Ok(())
    }

    /// Adds the signs of these cautions.
    pub(crate) fn add_signs<'a>(
        &mut self,
        cautions: impl IntoIterator<Item = &'a Caution>,
        data: &mut Data,
    ) -> Result<(), PdfError> {
        for caution in cautions {
            let name = &caution.sign;
            let svg = drawing::sign(name).ok_or_else(|| PdfError::UnknownSign(name.clone()))?;
            let path = format!("signs/{name}.svg");
            data.insert(path.clone(), Bytes::new(svg.as_bytes()));
            let alt = format!("sign: {}", drawing::sign_label(name));
            self.signs.insert(name.clone(), Sign { path: format!("/{path}"), alt });
        }
        Ok(())
    }

    /// Adds the tightening patterns of these joints.
    pub(crate) fn add_patterns<'a>(&mut self, joints: impl IntoIterator<Item = &'a Joint>, data: &mut Data) {
        for pattern in joints.into_iter().filter_map(|joint| joint.pattern.as_ref()) {
            if self.patterns.iter().any(|known| known.pattern == *pattern) {
                continue;
            }
            let path = format!("patterns/{}.svg", self.patterns.len() + 1);
            let svg = drawing::pattern(pattern);
            let em = width_in_em(&svg);
            data.insert(path.clone(), Bytes::new(svg.into_bytes()));
            self.patterns.push(Drawn {
                pattern: pattern.clone(),
                path: format!("/{path}"),
                alt: drawing::pattern_alternative(pattern),
                legend: drawing::pattern_legend(pattern),
                em,
            });
        }
    }
}

/// Most pixels of a picture: a small file can unfold to more memory than there is. Ten times a full page at 150 dpi is less.
const MOST_PIXELS: u64 = 40_000_000;

/// Returns width and height of a PNG or JPEG as its header states them.
fn pixels(bytes: &[u8]) -> Option<(u64, u64)> {
    let number = |at: usize, length: usize| {
        bytes.get(at..at + length).map(|digits| digits.iter().fold(0, |sum, &digit| sum << 8 | u64::from(digit)))
    };
    match format(bytes)? {
        "png" => number(16, 4).zip(number(20, 4)),
        "jpg" => {
            // Segments up to the frame header: a marker, then the length of what follows.
            let mut at = 2;
            loop {
                let marker = number(at, 2)?;
                let is_frame = (0xffc0..=0xffcf).contains(&marker) && ![0xffc4, 0xffc8, 0xffcc].contains(&marker);
                if is_frame {
                    return number(at + 7, 2).zip(number(at + 5, 2));
                }
                at += 2 + usize::try_from(number(at + 2, 2)?).ok()?;
            }
        }
        _ => None,
    }
}

/// Returns the width of a drawing as a multiple of the size of its smallest type.
fn width_in_em(svg: &str) -> f64 {
    let tree = roxmltree::Document::parse(svg).expect("the program's own drawings are well-formed");
    let number = |text: &str| text.parse::<f64>().ok();
    let width = tree.root_element().attribute("viewBox").and_then(|box_| box_.split(' ').nth(2)).and_then(number);
    let size = tree.descendants().filter_map(|node| node.attribute("font-size")).filter_map(number).reduce(f64::min);
    width.zip(size).map_or(0.0, |(width, size)| width / size)
}

/// Returns the extension of a picture by its first bytes; a file's name proves nothing.
fn format(bytes: &[u8]) -> Option<&'static str> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Some("png");
    }
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        return Some("jpg");
    }
    let text = std::str::from_utf8(bytes).ok()?;
    text.contains("<svg").then_some("svg")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_known_by_its_bytes() {
        assert_eq!(format(b"\x89PNG\r\n\x1a\n"), Some("png"));
        assert_eq!(format(&[0xff, 0xd8, 0xff, 0xe0]), Some("jpg"));
        assert_eq!(format(b"<?xml version='1.0'?><svg/>"), Some("svg"));
        assert_eq!(format(b"GIF89a"), None);
        assert_eq!(format(&[0xff, 0xfe, 0x00]), None);
    }

    #[test]
    fn the_size_of_a_picture_is_read_from_its_header() {
        let png = [b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".as_slice(), &[0, 0, 0xea, 0x60, 0, 0, 0x01, 0x02]].concat();
        assert_eq!(pixels(&png), Some((60_000, 258)));
        let jpg = [0xff, 0xd8, 0xff, 0xe0, 0, 4, 1, 2, 0xff, 0xc0, 0, 17, 8, 0x01, 0x02, 0xea, 0x60];
        assert_eq!(pixels(&jpg), Some((60_000, 258)));
        for cut in 0..jpg.len() - 1 {
            assert_eq!(pixels(&jpg[..cut]), None, "{cut}");
        }
    }

    #[test]
    fn a_picture_that_unfolds_to_too_much_is_refused_before_it_is_read() {
        let png = [b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".as_slice(), &[0, 0, 0xea, 0x60, 0, 0, 0xea, 0x60]].concat();
        let figure = Figure {
            number: 1,
            path: "figures/a.png".to_owned(),
            digest: String::new(),
            alt: String::new(),
            caption: String::new(),
        };
        let bytes = Figures::from([(figure.path.clone(), png)]);
        let error = Artwork::default().add_figures(&[figure], &bytes, &mut Data::new()).unwrap_err();
        assert_eq!(
            error.to_string(),
            "figure `figures/a.png` is 60000 by 60000 pixels; a page needs no more than 40 million: make it smaller"
        );
    }

    #[test]
    fn the_type_of_a_drawing_sets_its_width() {
        let svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 90 90'><text font-size='12'>1</text><text font-size='15'>2</text></svg>";
        assert!((width_in_em(svg) - 7.5).abs() < 1e-9);
    }
}
