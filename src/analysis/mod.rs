//! What follows from a binder: effectivity, values per tag, joints, kit; it reads no file and prints nothing.

pub mod coverage;
pub mod effectivity;
mod energy;
pub mod exposure;
pub mod fluid;
pub mod held;
pub mod imperative;
pub mod job;
pub mod joint;
pub mod kit;
mod listed;
pub mod naming;
pub mod pattern;
pub mod readability;
pub mod reading;
pub mod references;
pub mod run;
pub mod story;
mod taint;
pub mod teardown;
pub mod thing;
pub mod tightening;
pub mod typed_value;
mod uses;
pub mod values;
pub mod vocabulary;
pub mod wording;
