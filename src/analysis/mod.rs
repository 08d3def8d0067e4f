//! What follows from a binder: effectivity, values per tag, joints, kit; it reads no file and prints nothing.

pub mod coverage;
pub mod effectivity;
mod energy;
pub mod exposure;
pub mod fastener;
pub mod imperative;
pub mod instrument;
pub mod job;
pub mod joint;
pub mod kit;
pub mod pattern;
pub mod readability;
pub mod reading;
pub mod rubber;
pub mod run;
pub mod story;
mod taint;
pub mod teardown;
pub mod thing;
pub mod typed_value;
pub mod values;
pub mod vocabulary;
pub mod wording;
pub mod working;
