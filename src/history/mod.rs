//! The binder's repository: its states, its objects and the one point at which a new state counts; it judges no statement and asks no disk but git's.

pub mod content;
mod differing;
pub mod error;
pub mod known;
mod listing;
mod loose;
pub mod merge;
pub mod merge_text;
pub mod oddity;
pub mod past;
pub mod point;
pub mod protected;
pub mod remote;
pub mod repo;
pub mod revision;
pub mod sources;
pub mod unite;
pub mod units;
pub mod walk;
