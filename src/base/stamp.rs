//! What is printed around a compiled packet to say whether it may be used; it is no part of what a face's digest covers.

use serde::{Deserialize, Serialize};

/// Whether an output may be used, and on whose word.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// Draft or controlled.
    pub state: State,
    /// The mark across every page of a draft; empty on a controlled output.
    pub mark: String,
    /// The revision as printed: a whole number, or `draft`.
    pub revision: String,
    /// The effective date (`2027-03-14`), or empty.
    #[serde(default)]
    pub effective: String,
    /// What the output was built from: the first twelve hexadecimal digits of the packet's digest.
    pub source: String,
    /// Who approved it; empty for a draft.
    #[serde(default)]
    pub approvals: Vec<Approval>,
}

/// Draft or controlled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Built from the open folder.
    Draft,
    /// Built from what was approved and released.
    Controlled,
}

/// One signature as printed: name, time and meaning stand together (21 CFR 11.50(a)).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Approval {
    /// Printed name.
    pub name: String,
    /// Time in UTC, RFC 3339.
    pub time: String,
    /// What the signature means (`approved for use`).
    pub meaning: String,
}

/// The mark of everything that is built from the open folder.
pub const DRAFT_MARK: &str = "DRAFT - not for use";

impl Stamp {
    /// Returns the stamp of an output that was built from the open folder, out of content with the digest `source`.
    #[must_use]
    pub fn draft(source: &str) -> Self {
        Self {
            state: State::Draft,
            mark: DRAFT_MARK.to_owned(),
            revision: "draft".to_owned(),
            effective: String::new(),
            source: source.chars().take(12).collect(),
            approvals: Vec::new(),
        }
    }
}
