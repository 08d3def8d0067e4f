//! From a binder and a tag to the compiled packet; it knows no file, clock, git or page.

pub mod change;
pub mod compile;
pub mod face;
pub mod identity;
pub mod line;
pub mod standing;
pub mod step;
pub mod stored;
pub mod view;
