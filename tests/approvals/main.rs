//! From a draft to a released packet: the program run by several invented people on one small binder, text in and text out.

#![expect(clippy::disallowed_methods, reason = "tests set the stage and look at what was printed")]

mod flow;
#[path = "../outside/kill.rs"]
mod kill;
mod killed;
mod plant;
mod refused;
