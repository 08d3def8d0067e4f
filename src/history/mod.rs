//! The binder's repository: its states, its objects and the one point at which a new state counts; it judges no statement and asks no disk but git's.

mod differing;
pub mod error;
mod listing;
mod loose;
pub mod oddity;
pub mod point;
pub mod protected;
pub mod repo;
pub mod revision;
pub mod sources;
pub mod walk;
