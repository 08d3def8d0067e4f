//! What nobody can be sure of any more, and from which sentence on; it guesses nothing back.

use crate::analysis::run::Run;
use crate::analysis::story::{Moment, OpenSentence, VagueRenewal};
use crate::analysis::thing::Thing;
use std::collections::BTreeMap;

/// From when on a thing is not known.
#[derive(Clone, Debug, Default)]
pub(crate) struct Taints {
    everything: Option<Moment>,
    things: BTreeMap<String, Moment>,
    points: BTreeMap<usize, Moment>,
}

impl Taints {
    pub(crate) fn of(run: &Run<'_, '_>, open: &[OpenSentence], vague: &[VagueRenewal]) -> Self {
        let mut taints = Self::default();
        for sentence in open {
            let moment = (sentence.step, sentence.sentence);
            if sentence.touches.is_empty() {
                taints.everything = taints.everything.into_iter().chain([moment]).min();
            }
            for thing in &sentence.touches {
                taints.add(run, thing, moment);
            }
        }
        for sentence in vague {
            taints.add(run, &sentence.part, (sentence.step, sentence.sentence));
        }
        taints
    }

    fn add(&mut self, run: &Run<'_, '_>, thing: &str, moment: Moment) {
        let earliest = |own: &mut Moment| *own = (*own).min(moment);
        match run.things.get(thing) {
            Thing::Isolation(named) => {
                for point in &named.points {
                    self.points.entry(*point).and_modify(earliest).or_insert(moment);
                }
            }
            known => {
                let name = known.name().unwrap_or(thing).to_owned();
                self.things.entry(name).and_modify(earliest).or_insert(moment);
            }
        }
    }

    /// Returns whether everything that happened to a thing up to a moment is known.
    pub(crate) fn knows(&self, thing: &str, until: Moment) -> bool {
        self.is_before_everything(until) && self.things.get(thing).is_none_or(|from| until < *from)
    }

    /// Returns whether everything that happened to an isolation point up to a moment is known.
    pub(crate) fn knows_point(&self, point: usize, until: Moment) -> bool {
        self.is_before_everything(until) && self.points.get(&point).is_none_or(|from| until < *from)
    }

    /// Returns whether nothing that could be anything was done up to a moment.
    pub(crate) fn is_before_everything(&self, until: Moment) -> bool {
        self.everything.is_none_or(|from| until < from)
    }
}
