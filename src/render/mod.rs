//! From a compiled packet to bytes: HTML, PDF, card, site; it knows no git, disk or clock.

pub mod conserve;
pub mod drawing;
pub mod error;
pub mod html;
#[cfg(test)]
mod sample;
pub mod site;
pub mod text;
pub mod theme;
