//! What changed in meaning from one state of a binder to another, grouped over machines; it writes nothing.

use crate::base::name::{DocumentNumber, Tag};
use crate::base::risk::RiskClass;
use crate::language::verb::Verbs;
use crate::model::binder::{Binder, Registers};
use crate::model::load::{LoadError, load};
use crate::model::world::World;
use crate::packet::change::{Area, Change, between, coming_or_going};
use crate::packet::compile::{compile, figure_digests};
use crate::packet::view::Packet;
use crate::task::runs;
use crate::task::selection::{Selection, UnknownName};
use serde::Serialize;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Every change from one state to another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changes {
    /// The highest class among them; none where nothing changed.
    pub class: Option<RiskClass>,
    /// The changes, the largest consequence first.
    pub changes: Vec<Group>,
    /// For each document that is in both, what did not change on any machine.
    pub unchanged: Vec<Unchanged>,
    /// Packets that cannot be made in one of the two states, so that nothing can be said of them.
    pub untold: Vec<Untold>,
    /// How many packets are as they were.
    pub same: usize,
    /// How many packets there are in either state.
    pub packets: usize,
}

/// One change with the machines it is true for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Group {
    /// The procedure.
    pub document: String,
    /// The change.
    #[serde(flatten)]
    pub change: Change,
    /// The machines, sorted.
    pub tags: Vec<String>,
}

/// What did not change in a document.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unchanged {
    /// The procedure.
    pub document: String,
    /// The areas.
    pub areas: Vec<Area>,
}

/// A packet of which nothing can be said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Untold {
    /// The procedure.
    pub document: String,
    /// The machine.
    pub tag: String,
    /// Which state cannot be made (`before`, `now`).
    pub state: &'static str,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum ChangesError {
    /// One of the states is no binder that can be read.
    #[error("{state}: {error}")]
    Load {
        /// Which (`before`, `now`).
        state: &'static str,
        /// Why.
        error: LoadError,
    },
    /// A register that cannot be read.
    #[error("{0}: a register cannot be read, so its packets cannot be compared")]
    Broken(&'static str),
    /// A name that stands in no register of the new state.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
}

/// Each packet of a state; none where it cannot be made.
type State = BTreeMap<(DocumentNumber, Tag), Option<Packet>>;

/// Returns what changed from some packets to others, such as those in force and those that wait for approval.
///
/// The two must be of the same document and machine to be compared; where one is missing, the machine gets the procedure or
/// loses it.
#[must_use]
pub fn between_packets(
    before: impl IntoIterator<Item = (DocumentNumber, Tag, Packet)>,
    now: impl IntoIterator<Item = (DocumentNumber, Tag, Packet)>,
) -> Changes {
    let state = |packets: &mut dyn Iterator<Item = (DocumentNumber, Tag, Packet)>| -> State {
        packets.map(|(document, tag, packet)| ((document, tag), Some(packet))).collect()
    };
    compared(&state(&mut before.into_iter()), &state(&mut now.into_iter()), |_, _| true)
}

/// Returns what changed from `old` to `new` in the selected procedures, on the selected machines.
///
/// # Errors
/// A [`ChangesError`] where one of the two is no binder that can be read, or a name is not known in the new one.
pub fn between_states(
    old: &dyn World,
    new: &dyn World,
    documents: &[String],
    tags: &[String],
) -> Result<Changes, ChangesError> {
    let (before, _) = state(old, "before")?;
    let (now, binder) = state(new, "now")?;
    let selection = Selection::of(&binder, documents, tags)?;
    Ok(compared(&before, &now, |document, tag| selection.has(document, tag)))
}

/// Returns what changed from some packets, such as those in force, to `new` in the selected procedures, on the selected machines.
///
/// # Errors
/// As [`between_states`].
pub fn since_packets(
    before: impl IntoIterator<Item = (DocumentNumber, Tag, Packet)>,
    new: &dyn World,
    documents: &[String],
    tags: &[String],
) -> Result<Changes, ChangesError> {
    let before = before.into_iter().map(|(document, tag, packet)| ((document, tag), Some(packet))).collect();
    let (now, binder) = state(new, "now")?;
    let selection = Selection::of(&binder, documents, tags)?;
    Ok(compared(&before, &now, |document, tag| selection.has(document, tag)))
}

/// Compares two states packet by packet and groups what it finds.
fn compared(before: &State, now: &State, wanted: impl Fn(&DocumentNumber, &Tag) -> bool) -> Changes {
    let jobs: BTreeSet<&(DocumentNumber, Tag)> = before.keys().chain(now.keys()).collect();
    let mut found = Found::default();
    for job in jobs.into_iter().filter(|(document, tag)| wanted(document, tag)) {
        found.take(job, before.get(job), now.get(job));
    }
    found.grouped()
}

/// What was found so far.
#[derive(Default)]
struct Found {
    groups: BTreeMap<(DocumentNumber, Change), BTreeSet<Tag>>,
    /// Documents with a packet in both states, each with the areas that changed.
    touched: BTreeMap<DocumentNumber, BTreeSet<Area>>,
    untold: Vec<Untold>,
    same: usize,
    packets: usize,
}

impl Found {
    fn take(
        &mut self,
        (document, tag): &(DocumentNumber, Tag),
        before: Option<&Option<Packet>>,
        now: Option<&Option<Packet>>,
    ) {
        self.packets += 1;
        let mut untold = |state| {
            self.untold.push(Untold { document: document.to_string(), tag: tag.to_string(), state });
        };
        let changes = match (before, now) {
            (Some(None), _) => return untold("before"),
            (_, Some(None)) => return untold("now"),
            (None, _) => vec![coming_or_going(true)],
            (_, None) => vec![coming_or_going(false)],
            (Some(Some(before)), Some(Some(now))) => {
                let changes = between(before, now);
                self.touched.entry(document.clone()).or_default().extend(changes.iter().map(|change| change.area));
                changes
            }
        };
        if changes.is_empty() {
            self.same += 1;
        }
        for change in changes {
            self.groups.entry((document.clone(), change)).or_default().insert(tag.clone());
        }
    }

    fn grouped(self) -> Changes {
        let group = |((document, change), tags): ((DocumentNumber, Change), BTreeSet<Tag>)| Group {
            document: document.to_string(),
            change,
            tags: tags.iter().map(ToString::to_string).collect(),
        };
        let mut changes: Vec<Group> = self.groups.into_iter().map(group).collect();
        // The sort keeps the order of equals: document, area, what.
        changes.sort_by_key(|own| Reverse(own.change.class));
        let areas = |touched: &BTreeSet<Area>| Area::ALL.into_iter().filter(|area| !touched.contains(area)).collect();
        let unchanged = self.touched.iter();
        let unchanged =
            unchanged.map(|(document, touched)| Unchanged { document: document.to_string(), areas: areas(touched) });
        Changes {
            class: changes.iter().map(|own| own.change.class).max(),
            unchanged: unchanged.collect(),
            untold: self.untold,
            same: self.same,
            packets: self.packets,
            changes,
        }
    }
}

/// Reads a binder and tells each of its packets.
fn state(world: &dyn World, name: &'static str) -> Result<(State, Binder), ChangesError> {
    let (binder, _) = load(world).map_err(|error| ChangesError::Load { state: name, error })?;
    if binder.registers == Registers::Broken {
        return Err(ChangesError::Broken(name));
    }
    let digests = figure_digests(&binder.figures);
    let verbs = Verbs::with(&binder.verbs);
    let mut state = State::new();
    for procedure in &binder.procedures {
        runs::each_run(
            &binder,
            procedure,
            &verbs,
            |_| true,
            |run| {
                state.insert((procedure.document.value.clone(), run.job.tag().clone()), compile(run, &digests).ok());
            },
        );
    }
    Ok((state, binder))
}
