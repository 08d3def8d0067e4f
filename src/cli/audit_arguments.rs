//! The words of the commands that look at approvals and releases; it runs nothing.

use clap::Args;
use std::path::PathBuf;

/// Arguments of `audit`.
#[derive(Debug, Args)]
pub struct AuditAsked {
    /// The binder [default: the one around the current folder]
    #[arg(value_name = "BINDER")]
    pub binder: Option<PathBuf>,
    /// List only what is about this place of the ledger and later ones; what endangers somebody is always listed
    #[arg(long, value_name = "SEQ")]
    pub since: Option<String>,
    /// Look at every state again, also at those that this computer has looked through and found good before
    #[arg(long)]
    pub afresh: bool,
}

/// Arguments of `in-force`.
#[derive(Debug, Args)]
pub struct InForceAsked {
    /// The binder [default: the one around the current folder]
    #[arg(value_name = "BINDER")]
    pub binder: Option<PathBuf>,
    /// On this day (2027-03-14) [default: today]
    #[arg(long, value_name = "DATE")]
    pub at: Option<String>,
    /// Only this machine; may be given more than once
    #[arg(long = "tag", value_name = "TAG")]
    pub tags: Vec<String>,
    /// Only this procedure; may be given more than once
    #[arg(long = "procedure", value_name = "DOCUMENT")]
    pub documents: Vec<String>,
}

/// Arguments of `verify`.
#[derive(Debug, Args)]
pub struct VerifyAsked {
    /// The place of a release in the ledger, or a procedure, for its last release
    #[arg(value_name = "SEQ|DOCUMENT")]
    pub release: String,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}

/// Arguments of `trust`.
#[derive(Debug, Args)]
pub struct TrustAsked {
    /// The digest on the paper; blanks, hyphens and colons between its groups do not matter
    #[arg(value_name = "DIGEST")]
    pub digest: Vec<String>,
    /// The binder [default: the one around the current folder]
    #[arg(long, value_name = "BINDER")]
    pub binder: Option<PathBuf>,
}
