//! The integration tests, one binary: each module tests one area through one helper, text in, text out.

mod bad_input;
mod binder;
mod creamery;
mod outside;
mod program;
mod rules;
mod tidy;
