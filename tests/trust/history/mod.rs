//! Attacks and faults at the layer of git, in real repositories: the program is asked, and names each by its code.

mod attacks;
mod binder;
mod commands;
mod faults;
mod foreign;
mod large;
mod many;
mod memory;
mod script;
