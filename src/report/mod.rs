//! Findings and results as people and programs read them; returns text and never prints, and decides nothing.

pub(crate) mod clean;
mod excerpt;
pub mod human;
pub mod json;
pub mod plain;
pub mod sarif;
pub mod table;
pub mod tally;
pub mod told;
pub mod working;
