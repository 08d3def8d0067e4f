//! From an author's sentence to what it does to the machine; it knows no tag, and refuses to guess.

pub mod action;
mod clause;
mod condition;
mod deed;
mod fluid;
mod inflect;
mod item;
mod listed;
pub mod matching;
mod memory;
mod name;
pub mod noun;
mod parser;
mod phrase;
mod places;
mod point;
mod pronoun;
mod put;
pub mod reader;
pub mod reading;
pub mod sentence;
mod still;
mod subject;
mod tail;
pub mod verb;
mod verb_table;
