//! A reading on one machine: its limit, unit and instrument; whether the instrument is fine enough is another engine's question.

use crate::analysis::instrument::total_of_offset;
use crate::analysis::job::{Answer, Job};
use crate::analysis::values::boxed;
use crate::base::finding::Finding;
use crate::base::name::{Name, nearest};
use crate::base::quantity::Limit;
use crate::base::rule::{TOTAL_OR_OFFSET, UNDECLARED_NAME};
use crate::base::text::Placed;
use crate::model::crib::{Item, Kind};
use crate::model::procedure::{Measures, Reading, Step};

/// A reading as it is on one machine.
#[derive(Clone, Debug)]
pub struct ReadingHere<'b> {
    /// The reading as declared.
    pub reading: &'b Reading,
    /// What its instrument must show: the limit, or twice of it on a dial that shows the total of a turn.
    pub limit: Option<Limit>,
    /// The limit as written, where `limit` is twice of it.
    pub offset: Option<Limit>,
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

impl ReadingHere<'_> {
    /// Returns the limit as a card lists it: what the instrument must show.
    #[must_use]
    pub fn shown_limit(&self) -> Option<String> {
        let limit = self.limit?;
        Some(if self.offset.is_some() { format!("{limit} in a turn") } else { limit.to_string() })
    }

    /// Says what the limit is of, where that is not what it was written for; else empty.
    #[must_use]
    pub fn meaning(&self) -> String {
        self.offset.map_or_else(String::new, |offset| format!("Total of one turn: twice the offset of {offset}."))
    }
}

fn no_total(reading: &Reading, offset: Limit) -> Box<Finding> {
    let message = format!("`{offset}` is no limit of an offset").replace('\u{a0}', " ");
    let finding = Finding::error(TOTAL_OR_OFFSET, message)
        .at(reading.limit.as_ref().map_or(reading.name.span, |limit| limit.span))
        .floor("nobody could say what the dial may show")
        .help("give both ends (`-0.05 to 0.05 mm`), or how much it may be at most");
    boxed(finding)
}

/// Returns whether an item is an instrument that shows the total of a turn.
#[must_use]
pub fn shows_total(item: &Item) -> bool {
    matches!(item.kind, Kind::Instrument { shows_total: true, .. })
}

impl<'b> Job<'b> {
    /// Resolves a reading.
    ///
    /// # Errors
    /// A finding where its limit or instrument cannot be told for this machine.
    pub fn reading(&self, reading: &'b Reading) -> Answer<ReadingHere<'b>> {
        let written = reading.limit.as_ref().map(|limit| self.limit(limit)).transpose()?;
        let instrument = match &reading.instrument {
            Some(instrument) => {
                let reference = self.reference(instrument)?;
                let value = self.value_or_literal(&reference)?;
                Some(self.held(&value, reference.span)?.clone())
            }
            None => None,
        };
        let unit = written.map_or_else(|| reading.unit.clone(), |limit| limit.symbol().to_owned());
        let is_doubled = reading.measures == Some(Measures::Offset) && instrument.as_ref().is_some_and(shows_total);
        let offset = written.filter(|_| is_doubled);
        let limit = match offset {
            Some(offset) => Some(total_of_offset(offset).ok_or_else(|| no_total(reading, offset))?),
            None => written,
        };
        Ok(ReadingHere { reading, limit, offset, unit, instrument })
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
