//! One function for each use of the program: they return values and print nothing.

pub mod accept;
pub mod baseline;
pub mod begin;
pub mod build;
pub mod calc;
pub mod changes;
pub mod changes_page;
pub mod check;
mod crew;
pub mod faces;
pub mod kit;
pub mod manifest;
mod mistyped;
pub mod open;
mod plan;
mod printing;
pub mod propose;
pub mod runs;
pub mod schema;
pub mod selection;
pub mod sentences;
pub mod snippet;
pub mod unguarded;
mod waive;
pub mod where_used;
