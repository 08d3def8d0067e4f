//! From an author's sentence to what it does to the machine; it knows no tag, and refuses to guess.

pub mod action;
pub mod noun;
pub mod reading;
pub mod sentence;
