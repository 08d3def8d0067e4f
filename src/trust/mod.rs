//! Statements, signatures, roots, the ledger and verdicts: pure judgement over bytes; it knows no disk, git, clock or screen.

pub mod approval;
pub mod audit;
pub mod chain;
pub mod digest;
pub mod form;
pub mod in_force;
pub mod issue;
pub mod key;
pub mod ledger;
pub mod manifest;
pub mod mark;
pub mod place;
pub mod policy;
pub mod record;
pub mod release;
pub mod root;
pub mod roster;
#[cfg(test)]
mod samples;
pub mod signature;
pub mod stock;
pub mod store;
pub mod stray;
pub mod suspect;
pub mod table;
pub mod verdict;
pub mod verified;
pub mod weigh;
pub mod word;
