//! The kit of a job, from what the front matter draws and what its joints, readings and isolation points need.

use crate::analysis::job::{Answer, Job};
use crate::analysis::joint::{JointHere, within};
use crate::analysis::reading::ReadingHere;
use crate::base::finding::Finding;
use crate::base::limits::PARTS;
use crate::base::name::{CribId, Name};
use crate::base::text::Placed;
use crate::model::crib::{Item, Kind};
use crate::model::draw::Draw;
use std::collections::BTreeMap;

/// What to draw for a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// New parts, in the order listed.
    pub parts: Vec<PartHere>,
    /// Everything from the crib with its number, by identifier.
    pub items: BTreeMap<CribId, (Item, u32)>,
    /// Personal protection.
    pub protection: Vec<String>,
}

/// A new part as it is on one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartHere {
    /// The register's name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Stores number; may be empty.
    pub number: String,
    /// Material; may be empty.
    pub material: String,
    /// Place in stores; may be empty.
    pub bin: String,
}

impl<'b> Job<'b> {
    /// Returns the kit, and what keeps some of it from being told.
    #[must_use]
    pub fn kit(&self, joints: &[JointHere<'b>], readings: &[ReadingHere<'b>]) -> (Kit, Vec<Finding>) {
        let mut kit = Kit::default();
        let mut findings = Vec::new();
        let mut told = |finding: Box<Finding>| findings.push(*finding);
        for draw in self.here(&self.procedure.parts) {
            match self.part(draw) {
                Ok(part) => kit.parts.extend(part),
                Err(finding) => told(finding),
            }
        }
        for draw in self.here(&self.procedure.tools).chain(self.here(&self.procedure.fluids)) {
            match self.crib_item(draw) {
                Ok(item) => kit.add(item, draw.count.unwrap_or(1)),
                Err(finding) => told(finding),
            }
        }
        let wrenches = joints.iter().filter_map(|joint| joint.wrench.as_ref());
        let instruments = readings.iter().filter_map(|reading| reading.instrument.as_ref());
        for item in wrenches.chain(instruments) {
            kit.add(item.clone(), 1);
        }
        if let Some(locks) = self.binder.crib.locks.as_ref().and_then(|id| self.binder.crib.find(id)) {
            let points = u32::try_from(self.machine.isolation.len()).unwrap_or(u32::MAX);
            if points > 0 {
                kit.add(locks.clone(), points);
            }
        }
        kit.protection = self.procedure.protection.iter().map(|item| item.value.trim().to_owned()).collect();
        (kit, findings)
    }

    fn here<'d>(&self, draws: &'d [Draw]) -> impl Iterator<Item = &'d Draw> {
        draws.iter().filter(|draw| self.applies(draw.only.as_ref()))
    }

    fn part(&self, draw: &Draw) -> Answer<Option<PartHere>> {
        let name = self.reference(&draw.what)?;
        let name = Placed::new(Name::new(&name.value), name.span);
        let part = self.family.part(&name.value).ok_or_else(|| self.no_part(&name))?;
        if !self.decides(part.only.as_ref())? {
            return Ok(None);
        }
        let count = draw.count.map_or_else(|| self.count(part), |count| within(count, PARTS, draw.what.span))?;
        let words = |prose: Option<&crate::model::prose::Prose>| prose.map(|prose| self.text(prose)).transpose();
        Ok(Some(PartHere {
            name: part.name.value.as_str().to_owned(),
            count,
            number: words(part.number.as_ref())?.unwrap_or_default(),
            material: words(part.material.as_ref())?.unwrap_or_default(),
            bin: part.bin.clone(),
        }))
    }

    fn crib_item(&self, draw: &Draw) -> Answer<Item> {
        let reference = self.reference(&draw.what)?;
        let value = self.value_or_literal(&reference)?;
        self.held(&value, reference.span).cloned()
    }
}

impl Kit {
    /// Adds an item; of what is already there the larger number stays, since one wrench serves two joints.
    fn add(&mut self, item: Item, count: u32) {
        let entry = self.items.entry(item.id.value.clone()).or_insert((item, 0));
        entry.1 = entry.1.max(count);
    }

    /// Returns the items of one kind.
    pub fn of(&self, wanted: impl Fn(&Kind) -> bool) -> impl Iterator<Item = (&Item, u32)> {
        self.items.values().filter(move |(item, _)| wanted(&item.kind)).map(|(item, count)| (item, *count))
    }
}
