//! From a compiled packet to bytes: HTML, PDF, card, site; it knows no git, disk or clock.

#[cfg(feature = "pdf")]
mod artwork;
pub mod drawing;
#[cfg(feature = "pdf")]
pub mod pdf;
#[cfg(feature = "pdf")]
pub mod pdf_error;
#[cfg(feature = "pdf")]
pub mod readback;
#[cfg(test)]
mod sample;
#[cfg(feature = "pdf")]
pub mod typeset;
