//! One function for each use of the program: they return values and print nothing.

pub mod check;
