//! From a binder and a tag to the compiled packet; it knows no file, clock, git or page.

pub mod identity;
pub mod view;
