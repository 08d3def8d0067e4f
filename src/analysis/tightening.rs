//! Where a job tightens its joints: by the fastener and the torque its sentences name; it judges no torque.

use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::base::quantity::Quantity;
use crate::base::text::Span;
use crate::language::action::Act;
use crate::language::sentence::TokenKind;

/// One tightening, or one setting of the wrench for it.
#[derive(Clone, Debug)]
pub struct Tightening<'h, 'b> {
    /// The joint.
    pub here: &'h JointHere<'b>,
    /// The number of the step.
    pub step: u32,
    /// The place of the sentence.
    pub span: Span,
    /// What it is tightened to, where the sentence says; setting a wrench is no tightening.
    pub aimed_at: Option<Quantity>,
    /// True where a condition stands before it.
    pub conditional: bool,
}

/// Returns where a job tightens these joints, in the order of its sentences.
#[must_use]
pub fn tightenings<'h, 'b>(run: &Run<'_, '_>, joints: &'h [JointHere<'b>]) -> Vec<Tightening<'h, 'b>> {
    run.deeds.iter().filter_map(|deed| tightening(run, joints, deed)).collect()
}

fn tightening<'h, 'b>(run: &Run<'_, '_>, joints: &'h [JointHere<'b>], deed: &Deed) -> Option<Tightening<'h, 'b>> {
    let action = &deed.action;
    let torque = deed.torque();
    let here = match action.act {
        Act::Tighten => {
            let torque = torque?;
            let fastened = || joints.iter().filter(|here| here.is_fastened_by(&action.thing));
            let exact = fastened().find(|here| here.stages.iter().any(|(_, own)| *own == Some(torque)));
            exact.or_else(|| fastened().find(|here| is_named(run, deed, here))).or_else(|| fastened().next())
        }
        Act::Set | Act::Use | Act::Turn => joints.iter().find(|here| is_named(run, deed, here)),
        _ => None,
    }?;
    let aimed_at = torque.filter(|_| action.act == Act::Tighten);
    let step = run.steps[deed.step].number;
    Some(Tightening { here, step, span: deed.span, aimed_at, conditional: action.conditional })
}

/// Returns whether the sentence of a deed names the torque of a joint.
fn is_named(run: &Run<'_, '_>, deed: &Deed, here: &JointHere<'_>) -> bool {
    let tokens = &run.steps[deed.step].sentences[deed.sentence].read.sentence.tokens;
    tokens.iter().any(|token| matches!(&token.kind, TokenKind::Value(name) if *name == here.joint.torque.value))
}
