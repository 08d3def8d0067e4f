//! The author's own lists of parts, tools and fluids held against what the steps use; it takes nothing out of a kit.

use crate::analysis::held::names_of;
use crate::analysis::job::{Answer, Job};
use crate::analysis::joint::within;
use crate::analysis::kit::{Because, Difference, Differs, ItemHere, Kit, List, Need, PartHere, Use};
use crate::analysis::naming::is_named;
use crate::analysis::run::Run;
use crate::analysis::uses::{Moment, Uses};
use crate::base::finding::Finding;
use crate::base::limits::PARTS;
use crate::base::name::{CribId, Name};
use crate::base::text::Placed;
use crate::model::crib::{Item, Kind};
use crate::model::draw::Draw;
use crate::model::family::{Family, Part};
use std::collections::BTreeSet;

/// What is said of something that no step uses and for which the author gives no reason.
const LISTED: &str = "listed by the author";

/// Adds what only the lists of the front matter name, and tells where they and the steps differ.
pub(super) fn add<'b>(kit: &mut Kit, run: &Run<'_, 'b>, uses: &Uses<'b>) -> Vec<Finding> {
    let mut lists = Lists { run, job: run.job, uses, findings: Vec::new() };
    lists.lists(kit);
    of_one_thing(kit);
    lists.findings
}

struct Lists<'r, 'j, 'b> {
    run: &'r Run<'j, 'b>,
    job: &'j Job<'b>,
    uses: &'r Uses<'b>,
    findings: Vec<Finding>,
}

impl Lists<'_, '_, '_> {
    /// Holds the lists of the front matter against what the steps use, and adds what only they name.
    fn lists(&mut self, kit: &mut Kit) {
        let procedure = self.job.procedure;
        let listed_parts = self.listed_parts(kit);
        let mut listed: BTreeSet<CribId> = BTreeSet::new();
        for (list, draws) in [(List::Tools, &procedure.tools), (List::Fluids, &procedure.fluids)] {
            for draw in draws.iter().filter(|draw| self.job.applies(draw.only.as_ref())) {
                match self.job.crib_item(draw) {
                    Ok(item) => {
                        listed.insert(item.id.value.clone());
                        self.add_item(kit, list, item, draw);
                    }
                    Err(finding) => self.findings.push(*finding),
                }
            }
        }
        let claims = |draws: &[Draw]| draws.iter().any(|draw| draw.why.is_empty());
        let missing = |list, name: &str, uses: &[Use]| Difference {
            list,
            name: name.to_owned(),
            span: uses.first().map_or(procedure.document.span, |own| own.span),
            how: Differs::Missing,
        };
        for (part, _, uses) in &self.uses.parts {
            let name = &part.name.value;
            if claims(&procedure.parts) && !listed_parts.contains(name) {
                kit.differences.push(missing(List::Parts, name.as_str(), uses));
            }
        }
        for (item, _, uses) in self.uses.items.values().filter(|(item, _, _)| !listed.contains(&item.id.value)) {
            let list = match item.kind {
                Kind::Tool { .. } if claims(&procedure.tools) => List::Tools,
                Kind::Fluid { .. } if claims(&procedure.fluids) => List::Fluids,
                _ => continue,
            };
            kit.differences.push(missing(list, item.id.value.as_str(), uses));
        }
    }

    /// Adds a listed item, or its reason. What no action uses but a sentence names is used there, since the author lists it.
    fn add_item(&self, kit: &mut Kit, list: List, item: &Item, draw: &Draw) {
        let count = draw.count.unwrap_or(1);
        if let Some(here) = kit.items.get_mut(&item.id.value) {
            here.count = here.count.max(count);
            if !draw.why.is_empty() {
                here.need.why.clone_from(&draw.why);
            }
            return;
        }
        let uses = self.named_at(item);
        if draw.why.is_empty() && uses.is_empty() {
            let name = item.id.value.as_str().to_owned();
            kit.differences.push(Difference { list, name, span: draw.what.span, how: Differs::Idle });
        }
        let need = Need { why: if uses.is_empty() { reason(draw) } else { draw.why.clone() }, uses };
        kit.items.insert(item.id.value.clone(), ItemHere { item: item.clone(), count, need });
    }

    /// Returns where sentences name an item, other than to say that it is not used.
    fn named_at(&self, item: &Item) -> Vec<Use> {
        let id = item.id.value.as_str();
        let mut uses = Vec::new();
        for step in &self.run.steps {
            for sentence in &step.sentences {
                let read = &sentence.read;
                let is_only_mentioned =
                    read.mentions.iter().any(|own| own == id || names_of(item).any(|name| name == own));
                let text = &read.sentence.text;
                let is_here = is_named(text, id) || names_of(item).any(|name| is_named(text, name));
                if is_here && !is_only_mentioned {
                    let moment = Moment { step: step.number, conditional: false, span: read.sentence.span };
                    uses.push(moment.because(Because::Named));
                }
            }
        }
        uses
    }

    fn listed_parts(&mut self, kit: &mut Kit) -> BTreeSet<Name> {
        let mut listed = BTreeSet::new();
        let draws = self.job.procedure.parts.iter().filter(|draw| self.job.applies(draw.only.as_ref()));
        for draw in draws {
            match self.job.listed_part(draw) {
                Ok(Some((part, count))) => {
                    listed.insert(part.name.value.clone());
                    let used = self.uses.parts.iter().find(|(own, _, _)| std::ptr::eq(*own, part)).map(|own| own.1);
                    if let Err(finding) = self.add_part(kit, part, count, used, draw) {
                        self.findings.push(*finding);
                    }
                }
                Ok(None) => {}
                Err(finding) => self.findings.push(*finding),
            }
        }
        listed
    }

    /// Adds a listed part where the steps use none of it, or the author adds some with a reason; else compares the counts.
    fn add_part(&self, kit: &mut Kit, part: &Part, count: u32, used: Option<u32>, draw: &Draw) -> Answer<()> {
        let how = match used {
            _ if !draw.why.is_empty() => None,
            None => Some(Differs::Idle),
            Some(used) if draw.count.is_some() && count > used => Some(Differs::More(count, used)),
            Some(used) if draw.count.is_some() && count < used => Some(Differs::Fewer(count, used)),
            Some(_) => None,
        };
        if let Some(how) = how {
            let name = part.name.value.as_str().to_owned();
            kit.differences.push(Difference { list: List::Parts, name, span: draw.what.span, how });
        }
        if used.is_none() || !draw.why.is_empty() {
            let need = Need { uses: Vec::new(), why: reason(draw) };
            kit.parts.push(self.job.part_here(part, count, need)?);
        } else if let (Some(Differs::More(..)), Some(own)) = (how, named(kit, part)) {
            own.count = count;
        }
        Ok(())
    }
}

fn named<'k>(kit: &'k mut Kit, part: &Part) -> Option<&'k mut PartHere> {
    kit.parts.iter_mut().find(|own| own.name == part.name.value.as_str())
}

/// Returns why something is drawn that no step uses.
fn reason(draw: &Draw) -> String {
    if draw.why.is_empty() { LISTED.to_owned() } else { draw.why.clone() }
}

/// A temporary item that the crib holds under its own number is drawn once, by that number.
fn of_one_thing(kit: &mut Kit) {
    let temporary = std::mem::take(&mut kit.temporary);
    for own in temporary {
        let held = kit
            .items
            .values_mut()
            .find(|here| names_of(&here.item).any(|name| Name::new(name) == Name::new(&own.name)));
        match held {
            Some(here) => {
                here.count = here.count.max(own.count);
                here.need.uses.extend(own.need.uses);
                if here.need.why == LISTED {
                    here.need.why.clear();
                }
                kit.differences.retain(|difference| {
                    difference.how != Differs::Idle || difference.name != here.item.id.value.as_str()
                });
            }
            None => kit.temporary.push(own),
        }
    }
}

impl<'b> Job<'b> {
    /// Returns the part a line of the front matter names, with how many; none where this machine has no such part.
    fn listed_part(&self, draw: &Draw) -> Answer<Option<(&'b Part, u32)>> {
        let name = self.reference(&draw.what)?;
        let name = Placed::new(Name::new(&name.value), name.span);
        let family: &'b Family = self.family;
        let part = family.part(&name.value).ok_or_else(|| self.no_part(&name))?;
        if !self.decides(part.only.as_ref())? {
            return Ok(None);
        }
        let count = draw.count.map_or_else(|| self.count(part), |count| within(count, PARTS, draw.what.span))?;
        Ok(Some((part, count)))
    }
}
