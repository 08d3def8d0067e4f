//! From a compiled packet to bytes: HTML, PDF, card, site; it knows no git, disk or clock.

pub mod around;
#[cfg(feature = "pdf")]
mod artwork;
#[cfg(feature = "pdf")]
pub mod card;
#[cfg(feature = "pdf")]
mod card_check;
#[cfg(feature = "pdf")]
mod card_layout;
pub mod changes;
pub mod conserve;
pub mod drawing;
pub mod error;
pub mod html;
mod outward;
#[cfg(feature = "pdf")]
pub mod pdf;
#[cfg(feature = "pdf")]
pub mod pdf_error;
#[cfg(feature = "pdf")]
mod proof;
#[cfg(feature = "pdf")]
pub mod readback;
#[cfg(test)]
mod sample;
pub mod site;
pub mod text;
pub mod theme;
#[cfg(feature = "pdf")]
pub mod typeset;

/// The bytes of figures by their path in the binder: SVG, PNG or JPEG.
pub type Figures = std::collections::BTreeMap<String, Vec<u8>>;
