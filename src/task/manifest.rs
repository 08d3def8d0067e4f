//! What a build made, as `manifest.json` says it: no clock, no absolute path, the same bytes for the same inputs.

use crate::workspace::outputs::MARKER;
use serde::Serialize;

/// The number of this form; additive changes only.
pub const SCHEMA: u32 = 1;

/// Everything a build made and did not make.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Manifest {
    /// [`SCHEMA`].
    pub schema: u32,
    /// The plant's name.
    pub plant: String,
    /// The program's version.
    pub program: &'static str,
    /// Digest of the program's own sources and templates.
    pub build: &'static str,
    /// The outputs, in order of their paths.
    pub outputs: Vec<Output>,
    /// The card faces and the tags that share them.
    pub faces: Vec<Face>,
    /// Packets and cards that an error in the binder keeps from being made.
    pub suppressed: Vec<Suppressed>,
    /// Outputs that were made and found not good enough to be handed out.
    pub refused: Vec<Refused>,
}

/// One file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Output {
    /// Its path below the output folder.
    pub path: String,
    /// What it is.
    pub kind: Kind,
    /// The document; empty for the index.
    pub document: String,
    /// The tags it is for.
    pub tags: Vec<String>,
    /// SHA-256 of its bytes, in hex.
    pub sha256: String,
    /// Digest of everything it was made of; the same key gives the same bytes.
    pub key: String,
}

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A packet for a tablet.
    PacketHtml,
    /// A packet for paper.
    PacketPdf,
    /// A card.
    Card,
    /// The index.
    Index,
}

impl Kind {
    /// Returns what it is in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::PacketHtml => "packet (HTML)",
            Self::PacketPdf => "packet (PDF)",
            Self::Card => "card",
            Self::Index => "index",
        }
    }
}

/// A card face.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Face {
    /// The document.
    pub document: String,
    /// Its check words.
    pub words: String,
    /// Its digest.
    pub digest: String,
    /// The tags that share it.
    pub tags: Vec<String>,
    /// The card's path; none where it was not made.
    pub card: Option<String>,
}

/// A packet and card that an error keeps from being made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Suppressed {
    /// The document.
    pub document: String,
    /// The tag.
    pub tag: String,
    /// Why: rule and message of each error.
    pub reasons: Vec<Reason>,
}

/// Why something was not made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// The rule.
    pub rule: &'static str,
    /// What is wrong.
    pub message: String,
}

/// An output that was not handed out because its layout or text was not good enough.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Refused {
    /// Where it would have been.
    pub path: String,
    /// What it would have been.
    pub kind: Kind,
    /// The document.
    pub document: String,
    /// The tags it would have been for.
    pub tags: Vec<String>,
    /// Why, with what would help.
    pub reason: String,
}

impl Manifest {
    /// Returns the bytes of the file.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let json = serde_json::to_string_pretty(self).expect("a manifest holds only text, numbers and lists");
        let members = json.strip_prefix('{').expect("a manifest is an object");
        format!("{{\n  {MARKER},{members}\n").into_bytes()
    }
}
