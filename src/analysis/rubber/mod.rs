//! Rubber: rings and their grooves, what fluids and heat do to it, how long it keeps; it knows no procedure.

pub mod elastomer;
pub mod groove;
pub mod ring;
mod size_table;
pub mod storage;
