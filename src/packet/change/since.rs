//! What is printed of a change: what changed since the revision before, and beside which steps a bar stands; it knows no page.

use crate::base::risk::RiskClass;
use crate::packet::change::{Area, Change, between, step};
use crate::packet::view::Packet;
use serde::Serialize;
use std::collections::BTreeSet;

/// What changed on one machine since the revision before, as its packet tells it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Since {
    /// The revision it is compared with; empty where there is none, since this is the first release for the machine.
    pub revision: String,
    /// What changed, the largest consequence first; a name stands in quotation marks.
    pub changes: Vec<Told>,
    /// What is as it was, in words (`hold points`).
    pub unchanged: Vec<String>,
    /// The steps with a bar: new, moved, or with something else to do, to read, to measure or to heed.
    pub steps: BTreeSet<u32>,
    /// The numbers, in the revision before, of the steps that are gone.
    pub gone: BTreeSet<u32>,
}

/// A change in words, as it is printed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Told {
    /// How much it can matter.
    pub class: RiskClass,
    /// What differs.
    pub what: String,
    /// As it was; empty where it was not there.
    pub from: String,
    /// As it is; empty where it is gone.
    pub to: String,
    /// What the reader must know beside it; may be empty.
    pub remark: String,
}

impl Since {
    /// Returns what the first release for a machine says.
    #[must_use]
    pub const fn first() -> Self {
        Self {
            revision: String::new(),
            changes: Vec::new(),
            unchanged: Vec::new(),
            steps: BTreeSet::new(),
            gone: BTreeSet::new(),
        }
    }

    /// Returns what changed from the packet of `revision` to the one that is printed.
    #[must_use]
    pub fn between(revision: &str, old: &Packet, new: &Packet) -> Self {
        let changes = between(old, new);
        let touched: BTreeSet<Area> = changes.iter().map(|change| change.area).collect();
        let fate = step::fate(old, new);
        Self {
            revision: revision.to_owned(),
            changes: changes.iter().map(Told::of).collect(),
            unchanged: Area::ALL
                .into_iter()
                .filter(|area| !touched.contains(area))
                .map(|area| area.plural().to_owned())
                .collect(),
            steps: fate.touched,
            gone: fate.gone,
        }
    }
}

impl Told {
    fn of(change: &Change) -> Self {
        // Backticks are for a terminal; on paper a name stands in quotation marks.
        let words = |text: &str| text.replace('`', "\"");
        Self {
            class: change.class,
            what: words(&change.what),
            from: words(&change.from),
            to: words(&change.to),
            remark: words(&change.remark),
        }
    }
}
