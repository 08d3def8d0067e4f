//! From an author's sentence to what it does to the machine; it knows no tag, and refuses to guess.

pub mod action;
mod chain;
mod clause;
mod deed;
mod inflect;
mod item;
mod listed;
pub mod matching;
mod memory;
pub mod noun;
mod noticed;
mod parser;
mod phrase;
mod places;
pub mod propose;
pub mod reader;
pub mod reading;
pub mod sentence;
pub mod verb;
mod verb_table;
