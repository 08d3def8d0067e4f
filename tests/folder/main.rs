//! Saving, its history, taking back and sharing: the program run by several invented people on copies of one binder.

#![expect(clippy::disallowed_methods, reason = "tests set the stage")]

mod clones;
mod faults;
#[path = "../outside/kill.rs"]
mod kill;
mod killed;
mod network;
mod race;
mod save;
mod sync;
mod undo;
