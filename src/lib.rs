//! Matchmark: a plant's maintenance procedures, written once, checked and printed for every machine.

pub mod analysis;
pub mod base;
pub mod cli;
pub mod history;
pub mod language;
pub mod model;
pub mod packet;
pub mod render;
pub mod report;
pub mod rules;
pub mod source;
pub mod task;
pub mod trust;
pub mod workspace;
