//! The drawings one document brings along: figures, safety signs and tightening patterns as files for the typesetter; it knows no page.

use std::collections::BTreeMap;

use serde::Serialize;
use typst::foundations::Bytes;

use crate::packet::view::{Caution, Figure, Joint, Pattern};
use crate::render::drawing;
use crate::render::pdf_error::PdfError;
use crate::render::typeset::Data;

/// Bytes of a packet's figures by their path in the binder.
pub type Figures = BTreeMap<String, Vec<u8>>;

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
