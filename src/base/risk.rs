//! How much a change can matter, as the policy of a plant and the meaning of a change both name it; it knows no change.

use serde::Serialize;
use std::fmt;

/// How much a change can matter, from the least to the most; who must agree depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RiskClass {
    /// Words only.
    Wording,
    /// A torque, dimension, quantity, part, tool, limit or figure.
    Value,
    /// A step or its place.
    Sequence,
    /// Which machines it is for, and how they are made.
    Applicability,
    /// A caution, isolation, protection, hold point or fluid.
    Safety,
}

impl RiskClass {
    /// Every class, in the order in which a policy lists them.
    pub const LISTED: [Self; 5] = [Self::Wording, Self::Value, Self::Sequence, Self::Safety, Self::Applicability];

    /// Returns its word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Wording => "wording",
            Self::Value => "value",
            Self::Sequence => "sequence",
            Self::Applicability => "applicability",
            Self::Safety => "safety",
        }
    }

    /// Returns the class that a word names.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::LISTED.into_iter().find(|class| class.as_str() == word)
    }
}

impl fmt::Display for RiskClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
