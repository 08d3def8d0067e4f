//! The disk: finding a binder, reading it, writing what was made of it; the only room that touches files, and it knows nothing of their meaning.

#![expect(clippy::disallowed_methods, reason = "this room owns the disk")]

pub mod chance;
pub mod clock;
pub mod disk;
pub mod home;
pub mod lock;
pub mod memory;
pub mod named_file;
pub mod new_files;
pub mod open_folder;
pub mod outputs;
mod outputs_error;
pub mod root;
pub mod stock_git;
