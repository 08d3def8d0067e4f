//! A card for which no step is picked.
//!
//! ## What is found
//! The front matter names no stage and no labelled step for the card, or none of them applies to the machine.
//!
//! ## On the floor
//! A card without steps is a poster.
//!
//! ## How to mend it
//! Under `card:` name `stages: [Rebuild]`, or label steps with `{as nut}` and name them under `steps:`.

use crate::base::finding::Severity;
use crate::base::rule::EMPTY_CARD;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule =
    Rule { id: EMPTY_CARD, severity: Severity::Error, found: Found::Compiling, source: include_str!("empty_card.rs") };
