//! Which fluids the steps leave on the threads of a joint; whether that is right is for others to say.

use crate::analysis::held::crib_item;
use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::base::name::Name;
use crate::language::action::Act;
use crate::model::crib::{Item, Kind};

/// A fluid that a deed put somewhere.
#[derive(Clone, Copy, Debug)]
pub struct Wet<'r> {
    /// The deed.
    pub deed: &'r Deed,
    /// The fluid.
    pub fluid: &'r Item,
}

/// Returns what was put on before a deed and is still there, of everything that `counts` as put onto the joint. Wiping takes it
/// off, and of a new fastener nobody has wetted anything before its own step.
pub fn wet_before<'r>(
    run: &'r Run<'_, '_>,
    here: &JointHere<'_>,
    before: usize,
    counts: impl Fn(&Wet<'r>) -> bool,
) -> Vec<Wet<'r>> {
    let mut wet: Vec<Wet<'r>> = Vec::new();
    for deed in &run.deeds[..before] {
        match deed.action.act {
            Act::Apply => {
                let fluid = crib_item(&run.job.binder.crib, &deed.action.thing);
                let fluid = fluid.filter(|item| matches!(item.kind, Kind::Fluid { .. }));
                wet.extend(fluid.map(|fluid| Wet { deed, fluid }).filter(|own| counts(own)));
            }
            Act::Wipe => wet.retain(|own| Name::new(own.deed.place()) != Name::new(&deed.action.thing)),
            Act::New if here.is_fastened_by(&deed.action.thing) => {
                wet.retain(|own| own.deed.step == deed.step || !here.is_fastened_by(own.deed.place()));
            }
            _ => {}
        }
    }
    wet
}
