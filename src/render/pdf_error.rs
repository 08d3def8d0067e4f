//! What can go wrong between a compiled packet and its PDF; it knows nothing of the author's mistakes, which are findings.

use thiserror::Error;

/// Why a PDF was not made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PdfError {
    /// A template does not compile, or draws a warning; nothing is printed that the typesetter had doubts about.
    #[error("{}", .0.join("\n"))]
    Template(Vec<String>),
    /// The finished pages do not meet PDF/A-2a and PDF/UA-1: a missing glyph, a missing alternative text.
    #[error("the finished pages do not meet PDF/A-2a and PDF/UA-1: {}", .0.join("\n"))]
    Standard(Vec<String>),
    /// A figure is named by the packet, and its bytes were not handed over.
    #[error("figure `{0}` is named by the packet, and its bytes are missing")]
    MissingFigure(String),
    /// A figure is in a format that cannot be printed.
    #[error("figure `{0}` is not an SVG, PNG or JPEG file; save it as one of these")]
    FigureFormat(String),
    /// A figure has more pixels than a page can use; a small file can unfold to more memory than there is.
    #[error("figure `{path}` is {width} by {height} pixels; a page needs no more than 40 million: make it smaller")]
    FigureTooLarge {
        /// Its path in the binder.
        path: String,
        /// Pixels across.
        width: u64,
        /// Pixels down.
        height: u64,
    },
    /// A caution names a sign that the program does not have.
    #[error("there is no sign `{0}` among the program's drawings")]
    UnknownSign(String),
    /// The finished file could not be read back.
    #[error("the finished pdf could not be read back: {0}")]
    ReadBack(String),
    /// Something of the packet is not found again, is printed where it must not be, or smaller than it may be.
    #[error("the finished pdf breaks a rule of its layout: {}", .0.join("; "))]
    Layout(Vec<String>),
}
