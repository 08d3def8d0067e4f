//! What holds what, as far as a strip shows it: fasteners that come off right before a part; it never takes it as proved.

use crate::language::action::{Act, Action};
use crate::language::item::key;
use crate::language::propose::{Field, Proposal};

/// One thing moved.
#[derive(Clone, Debug)]
pub(super) struct Move {
    /// The number of its step.
    pub(super) step: u32,
    /// What its step is limited to.
    pub(super) only: String,
    /// Its sentence.
    pub(super) sentence: String,
    /// True where the sentence is read with certainty.
    pub(super) is_sure: bool,
    /// True where the thing is a part.
    pub(super) is_part: bool,
    /// What is done.
    pub(super) action: Action,
}

/// Last words of names of what fastens, in general.
const FASTENERS: &str = "screw bolt nut stud clip circlip pin clamp latch dowel cotter rivet setscrew capscrew knob strap";

/// Returns for each part the fasteners that came off right before it, each as a question.
///
/// Only the strip counts: a run of fasteners, one after the other, and then the part, with nothing else moved between them and
/// not more than a step away. Where the rebuild fits the part after its fasteners, it does not hold them, and is left out.
pub(super) fn held(moves: &[Move]) -> Vec<Proposal> {
    let mut found: Vec<Proposal> = Vec::new();
    let mut run: Vec<&Move> = Vec::new();
    for one in moves {
        let is_off = matches!(one.action.act, Act::Off | Act::Discard) && one.is_part;
        if !is_off || !one.is_sure {
            if one.action.act != Act::Loosen {
                run.clear();
            }
            continue;
        }
        let name = &one.action.thing;
        if run.iter().any(|own| own.action.thing == *name) {
            continue;
        }
        if is_fastener(name) {
            run.retain(|own| one.step <= own.step + 1 && goes_with(own, one));
            run.push(one);
            continue;
        }
        let held: Vec<&Move> = std::mem::take(&mut run)
            .into_iter()
            .filter(|own| one.step <= own.step + 1 && goes_with(own, one) && !is_fitted_before(moves, &own.action.thing, name))
            .collect();
        let is_new = !found.iter().any(|own| own.name == *name);
        if !held.is_empty() && is_new {
            found.push(proposal(one, &held));
        }
    }
    found
}

fn proposal(part: &Move, held: &[&Move]) -> Proposal {
    let mut sentences: Vec<&str> = held.iter().map(|own| own.sentence.as_str()).collect();
    sentences.push(&part.sentence);
    sentences.dedup();
    let mut steps: Vec<u32> = held.iter().map(|own| own.step).chain([part.step]).collect();
    steps.dedup();
    Proposal {
        field: Field::HeldBy,
        name: part.action.thing.clone(),
        count: None,
        only: String::new(),
        single_use: false,
        others: held.iter().map(|own| own.action.thing.clone()).collect(),
        steps,
        sentence: sentences.join(" "),
        question: "must these be off before it can come off?".to_owned(),
    }
}

/// Returns whether two steps can be for the same machine.
fn goes_with(one: &Move, other: &Move) -> bool {
    one.only.is_empty() || other.only.is_empty() || one.only == other.only
}

/// Returns whether the rebuild is done with the fastener before the part goes on.
fn is_fitted_before(moves: &[Move], fastener: &str, part: &str) -> bool {
    let last = |name: &str, acts: &[Act]| {
        moves.iter().rposition(|one| one.action.thing == name && acts.contains(&one.action.act))
    };
    let fastened = last(fastener, &[Act::On, Act::New, Act::Snug, Act::Tighten]);
    let fitted = last(part, &[Act::On, Act::New]);
    matches!((fastened, fitted), (Some(fastened), Some(fitted)) if fastened < fitted)
}

fn is_fastener(name: &str) -> bool {
    let head = key(name.rsplit([' ', '-']).next().unwrap_or_default());
    FASTENERS.split(' ').any(|own| own == head)
}
