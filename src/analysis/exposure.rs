//! When somebody first comes near a hazard that a caution tells of; it judges no caution.

use crate::analysis::run::{Deed, Run};
use crate::analysis::thing::Thing;
use crate::base::name::Name;
use crate::language::action::Act;
use crate::model::family::Boundary;
use crate::model::procedure::RUNNING;

/// What a caution is to keep from harm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Harm {
    /// A person.
    Person,
    /// Property only: of a part that is thrown away, what comes to harm is the new one.
    Property,
}

/// Returns the first deed that exposes somebody, or something, to what a caution covers: a boundary, a part, an opening, or
/// the running machine.
#[must_use]
pub fn first_exposure(run: &Run<'_, '_>, covered: &Name, harm: Harm) -> Option<usize> {
    let is_old = |deed: &Deed| harm == Harm::Property && is_thrown_away(run, deed);
    run.deeds.iter().position(|deed| !deed.action.conditional && exposes(run, deed, covered) && !is_old(deed))
}

/// Returns whether a deed takes off or throws away a part that does not come back, as far as that is known.
fn is_thrown_away(run: &Run<'_, '_>, deed: &Deed) -> bool {
    let comes_off = matches!(deed.action.act, Act::Off | Act::Discard | Act::Loosen | Act::Stores);
    let name = &deed.action.thing;
    let is_gone = || run.story.parts.get(name).is_some_and(|part| !part.deeds.gone.is_empty());
    let is_open = || run.story.open.iter().any(|open| open.touches.is_empty() || open.touches.contains(name));
    comes_off && (run.things.single_use(name).is_some() || is_gone() || is_open())
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
