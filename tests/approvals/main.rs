//! From a draft to a released packet: the program run by several invented people on one small binder, text in and text out.

mod flow;
#[path = "../outside/kill.rs"]
mod kill;
mod killed;
mod plant;
mod refused;
