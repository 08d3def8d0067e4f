//! A reading on one machine: its limit, unit and instrument; whether the instrument is fine enough is another engine's question.

use crate::analysis::job::{Answer, Job};
use crate::analysis::values::boxed;
use crate::base::finding::Finding;
use crate::base::name::{Name, nearest};
use crate::base::quantity::Limit;
use crate::base::rule::UNDECLARED_NAME;
use crate::base::text::Placed;
use crate::model::crib::Item;
use crate::model::procedure::{Reading, Step};

/// A reading as it is on one machine.
#[derive(Clone, Debug)]
pub struct ReadingHere<'b> {
    /// The reading as declared.
    pub reading: &'b Reading,
    /// Its limit.
    pub limit: Option<Limit>,
    /// Unit of what is written; empty for words and times.
    pub unit: String,
    /// Its instrument.
    pub instrument: Option<Item>,
}

/// Returns the reading that is taken by `{record RECORD}` and the moment it is taken at: the reading's own name, or that
/// name and one of its moments.
#[must_use]
pub fn declared<'r>(readings: &'r [Reading], record: &Name) -> Option<(&'r Reading, &'r str)> {
    if let Some(reading) = readings.iter().find(|reading| reading.name.value == *record) {
        return Some((reading, ""));
    }
    readings.iter().find_map(|reading| {
        let moment = record.folded().strip_prefix(reading.name.value.folded())?.strip_prefix(' ')?;
        let declared = reading.moments.iter().find(|own| Name::new(&own.value).folded() == moment)?;
        Some((reading, declared.value.as_str()))
    })
}

impl<'b> Job<'b> {
    /// Resolves a reading.
    ///
    /// # Errors
    /// A finding where its limit or instrument cannot be told for this machine.
    pub fn reading(&self, reading: &'b Reading) -> Answer<ReadingHere<'b>> {
        let limit = reading.limit.as_ref().map(|limit| self.limit(limit)).transpose()?;
        let instrument = match &reading.instrument {
            Some(instrument) => {
                let reference = self.reference(instrument)?;
                let value = self.value_or_literal(&reference)?;
                Some(self.held(&value, reference.span)?.clone())
            }
            None => None,
        };
        let unit = limit.map_or_else(|| reading.unit.clone(), |limit| limit.symbol().to_owned());
        Ok(ReadingHere { reading, limit, unit, instrument })
    }

    /// Returns the readings a step takes, each with the moment written after its name (`as found`).
    ///
    /// # Errors
    /// A finding where a step records what the front matter does not declare.
    pub fn records(&self, step: &'b Step) -> Answer<Vec<(&'b Reading, &'b str)>> {
        step.records.iter().map(|record| self.record(record)).collect()
    }

    /// Returns the readings that the steps of this job take, each once, and what keeps some of them from being told.
    #[must_use]
    pub fn readings_here(&self) -> (Vec<ReadingHere<'b>>, Vec<Finding>) {
        let mut taken: Vec<&'b Reading> = Vec::new();
        for (_, step) in self.numbered_steps() {
            // What is not declared is told where the step is built.
            for (reading, _) in self.records(step).unwrap_or_default() {
                if self.applies(reading.only.as_ref()) && !taken.iter().any(|own| std::ptr::eq(*own, reading)) {
                    taken.push(reading);
                }
            }
        }
        let mut findings = Vec::new();
        let mut here = Vec::new();
        for reading in taken {
            match self.reading(reading) {
                Ok(reading) => here.push(reading),
                Err(finding) => findings.push(*finding),
            }
        }
        (here, findings)
    }

    /// Returns the readings that steps of this machine take, each once, in the order declared.
    #[must_use]
    pub fn readings_taken(&self) -> Vec<&'b Reading> {
        let steps = self.numbered_steps();
        // A record of something that is not declared is told where its packet is compiled.
        let taken: Vec<&Reading> = steps
            .iter()
            .flat_map(|(_, step)| &step.records)
            .filter_map(|record| declared(&self.procedure.readings, &record.value))
            .map(|(reading, _)| reading)
            .collect();
        let here = |reading: &&Reading| self.applies(reading.only.as_ref());
        let is_taken = |reading: &&Reading| taken.iter().any(|own| std::ptr::eq(*own, *reading));
        self.procedure.readings.iter().filter(here).filter(is_taken).collect()
    }

    fn record(&self, record: &'b Placed<Name>) -> Answer<(&'b Reading, &'b str)> {
        let readings = &self.procedure.readings;
        declared(readings, &record.value).ok_or_else(|| {
            let names = readings.iter().map(|reading| reading.name.value.as_str());
            let near = nearest(record.value.as_str(), names);
            let help = near.map_or("declare it under `readings:` in the front matter".to_owned(), |near| {
                format!("did you mean `{near}`?")
            });
            let finding = Finding::error(UNDECLARED_NAME, format!("no reading is called `{}`", record.value));
            boxed(finding.at(record.span).floor("there would be no blank to write into").help(help))
        })
    }
}
