//! Figures held against published standards and tables: each row is typed here with its source, and never copied from our output.

#![expect(clippy::disallowed_methods, reason = "tests read the table of agreement and set the stage")]

mod agreement;
mod assembly_coarse;
mod assembly_fine;
mod classes;
mod inch_threads;
mod metric_threads;
mod nut_factors;
mod outside;
mod proof_loads;
mod properties;
mod refusals;
mod sequences;
mod settings;
mod tools;
mod widths;
mod worked_examples;
