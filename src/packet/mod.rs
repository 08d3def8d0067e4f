//! From a binder and a tag to the compiled packet; it knows no file, clock, git or page.

pub mod compile;
mod face;
pub mod identity;
mod line;
pub mod standing;
mod step;
pub mod view;
