//! When somebody first comes near a hazard that a caution tells of; it judges no caution.

use crate::analysis::run::{Deed, Run};
use crate::analysis::thing::Thing;
use crate::base::name::Name;
use crate::language::action::Act;
use crate::model::family::Boundary;
use crate::model::procedure::RUNNING;

/// Returns the first deed that exposes somebody to what a caution covers: a boundary, a part, an opening, or the running
/// machine.
#[must_use]
pub fn first_exposure(run: &Run<'_, '_>, covered: &Name) -> Option<usize> {
    run.deeds.iter().position(|deed| !deed.action.conditional && exposes(run, deed, covered))
}

fn exposes(run: &Run<'_, '_>, deed: &Deed, covered: &Name) -> bool {
    let act = deed.action.act;
    if covered.folded() == RUNNING {
        return act == Act::Run;
    }
    let thing = run.things.get(&deed.action.thing);
    if run.job.family.boundary(covered).is_some() {
        let is = |boundary: &&Boundary| boundary.name.value == *covered;
        return match (act, thing) {
            (Act::Lock | Act::Unlock | Act::Shut | Act::Open, Thing::Isolation(named)) => {
                named.boundaries.iter().any(is)
            }
            (Act::Open | Act::Off | Act::Loosen | Act::Discard, Thing::Opening(opening, _)) => {
                opening.of.iter().any(|of| of.value == *covered)
            }
            (Act::Off | Act::Discard | Act::Loosen, Thing::Part(_)) => true,
            _ => false,
        };
    }
    let moves = act.moves() && !matches!(act, Act::Apply | Act::Wipe);
    moves && thing.name().is_some_and(|name| Name::new(name) == *covered)
}
