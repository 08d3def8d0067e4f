//! Where a job puts a fluid onto a part, and the rubber it meets there; whether that is right is for the rules.

use crate::analysis::held::crib_item;
use crate::analysis::job::Job;
use crate::analysis::naming::is_named;
use crate::analysis::run::{Deed, Run};
use crate::base::name::Name;
use crate::base::text::Span;
use crate::language::action::Act;
use crate::model::crib::{Crib, Item, Kind};
use crate::model::family::{Family, Part};

/// A fluid on a part.
#[derive(Clone, Debug)]
pub struct Contact<'b> {
    /// The fluid.
    pub fluid: &'b Item,
    /// The part.
    pub part: &'b Part,
    /// The part's rubber on this machine; none where it is no rubber.
    pub rubber: Option<String>,
    /// How it gets there.
    pub manner: Manner,
    /// The place of the sentence.
    pub span: Span,
}

/// How a fluid gets onto a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// Put on, and left on.
    Applied,
    /// The part is wiped with it.
    Wiped,
}

/// Symbols of rubbers as ISO 1629 has them, the common ones of seals and gaskets (from memory).
const SYMBOLS: [&str; 14] =
    ["EPDM", "EPM", "NBR", "HNBR", "XNBR", "FKM", "FFKM", "FEPM", "VMQ", "FVMQ", "CR", "IIR", "SBR", "NR"];

/// Words that say that a material is a rubber, though not which.
const WORDS: [&str; 5] = ["rubber", "elastomer", "nitrile", "silicone", "chloroprene"];

/// Returns where a job puts fluids onto parts, in the order of its sentences. A condition before a sentence makes no
/// difference: on the day it holds, the fluid is on the part.
#[must_use]
pub fn contacts<'b>(run: &Run<'_, 'b>) -> Vec<Contact<'b>> {
    run.deeds.iter().flat_map(|deed| of_deed(run.job, deed)).collect()
}

fn of_deed<'b>(job: &Job<'b>, deed: &Deed) -> Vec<Contact<'b>> {
    let action = &deed.action;
    let (fluids, parts, manner) = match action.act {
        Act::Apply => (vec![&action.thing], vec![&action.to, &action.on], Manner::Applied),
        Act::Wipe => (action.with.iter().collect(), vec![&action.thing, &action.on], Manner::Wiped),
        _ => return Vec::new(),
    };
    let (crib, family): (&'b Crib, &'b Family) = (&job.binder.crib, job.family);
    let fluids = fluids.into_iter().filter_map(|word| crib_item(crib, word));
    let fluids: Vec<&Item> = fluids.filter(|item| matches!(item.kind, Kind::Fluid { .. })).collect();
    let parts = parts.into_iter().filter(|word| !word.is_empty()).filter_map(|word| family.part(&Name::new(word)));
    let contact = |part: &'b Part| {
        let rubber = rubber_of(job, part);
        let on = move |fluid: &&'b Item| Contact { fluid, part, rubber: rubber.clone(), manner, span: deed.span };
        fluids.iter().map(on).collect::<Vec<_>>()
    };
    parts.flat_map(contact).collect()
}

/// Returns what a fluid does to a rubber, as the crib says it: `yes`, `no`, `n/a`; none where nobody has said.
#[must_use]
pub fn verdict<'b>(fluid: &'b Item, rubber: &str) -> Option<&'b str> {
    let Kind::Fluid { rubber: verdicts, .. } = &fluid.kind else { return None };
    verdicts.iter().find(|(own, _)| Name::new(own) == Name::new(rubber)).map(|(_, verdict)| verdict.as_str())
}

/// Returns the rubber a part is made of on this machine: the word of the crib for it, else the symbol of ISO 1629, else the
/// whole material where it calls itself a rubber.
#[must_use]
pub fn rubber_of(job: &Job<'_>, part: &Part) -> Option<String> {
    // A material that cannot be told is told where the kit is made.
    let material = job.text(part.material.as_ref()?).ok()?;
    let known = job.binder.crib.items.iter().flat_map(|item| match &item.kind {
        Kind::Fluid { rubber, .. } => rubber.iter().map(|(name, _)| name.as_str()).collect(),
        _ => Vec::new(),
    });
    let named = known.chain(SYMBOLS).find(|name| is_named(&material, name));
    named.map(str::to_owned).or_else(|| WORDS.iter().any(|word| is_named(&material, word)).then_some(material))
}
