//! Figures held against published standards and tables: each row is typed here with its source, and never copied from our output.

#![expect(clippy::disallowed_methods, reason = "tests read the table of agreement and set the stage")]
#![expect(clippy::unreadable_literal, reason = "figures are typed as the tables print them")]

mod agreement;
mod assembly_coarse;
mod assembly_fine;
mod classes;
mod elastomers;
mod inch_threads;
mod letters;
mod metric_threads;
mod nut_factors;
mod oring_sizes;
mod orings;
mod outside;
mod proof_loads;
mod properties;
mod qr_codes;
mod refusals;
mod sequences;
mod settings;
mod sheets;
mod shelf_lives;
mod tools;
mod units;
mod widths;
mod worked_examples;
