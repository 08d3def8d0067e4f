//! Approvals, releases and the ledger: an invented plant signs, attackers forge, and the verifier is asked.

#![expect(clippy::disallowed_methods, reason = "the test against `ssh-keygen` writes files")]

mod attacks;
mod history;
mod issue;
mod ledger;
mod mutations;
mod outside;
mod plant;
mod script;
mod statements;
