//! A rubber that common practice keeps away from what the part meets in service.
//!
//! ## What is found
//! A part says which boundaries it `meets:`, and is of a rubber on this machine. The boundary's `energy:` names a fluid that
//! is commonly kept away from this rubber (hot caustic from FKM, steam from NBR and silicone rubber, mineral oil from EPDM),
//! or its `temperature:` lies outside what the rubber is commonly used at. It is a warning where they are kept apart, a note
//! where it depends on grade, dilution or temperature. Only what is written down is judged; grades differ and the maker decides.
//!
//! ## On the floor
//! The ring hardens, cracks or swells in service: it leaks weeks after a job that was done without a fault.
//!
//! ## How to mend it
//! Ask the maker of the part for this rubber and grade. If a special grade is fitted, name it in `material:` and accept the
//! finding with the answer as its reason; if not, another rubber is needed.

use crate::analysis::effectivity;
use crate::analysis::fluid::rubber_of;
use crate::analysis::job::{Job, in_every_job};
use crate::analysis::rubber::elastomer::{Word, doubts, span};
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::{Quantity, Range, Unit};
use crate::base::rule::RUBBER_NOT_FOR_SERVICE;
use crate::model::binder::Binder;
use crate::model::family::{Boundary, Part};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: RUBBER_NOT_FOR_SERVICE,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("rubber_not_for_service.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    let parts = job.family.parts.iter().filter(|part| !part.meets.is_empty() && job.applies(part.only.as_ref()));
    parts.flat_map(|part| of_part(job, part)).collect()
}

fn of_part(job: &Job<'_>, part: &Part) -> Vec<Finding> {
    let Some(rubber) = rubber_of(job, part) else { return Vec::new() };
    let boundaries = effectivity::boundaries(job.family, job.machine);
    let met = boundaries.into_iter().filter(|boundary| part.meets.iter().any(|met| met.value == boundary.name.value));
    met.flat_map(|boundary| of_boundary(job, part, &rubber, boundary)).collect()
}

fn of_boundary(job: &Job<'_>, part: &Part, rubber: &str, boundary: &Boundary) -> Vec<Finding> {
    let (name, at) = (&part.name.value, &boundary.name.value);
    let fluids = doubts(rubber, &boundary.energy).into_iter().map(|statement| {
        let message =
            format!("`{name}` of {rubber} meets {} at `{at}`; common practice: {}", boundary.energy, statement.why);
        match statement.word {
            Word::KeptApart => Finding::warning(RUBBER_NOT_FOR_SERVICE, message),
            Word::Ask | Word::Suits => Finding::note(RUBBER_NOT_FOR_SERVICE, message),
        }
    });
    let heat = boundary
        .temperature
        .and_then(|range| beyond(rubber, range))
        .map(|words| Finding::warning(RUBBER_NOT_FOR_SERVICE, format!("`{name}` of {rubber} at `{at}`: {words}")));
    let about = |finding: Finding| {
        finding
            .at(part.name.span)
            .also(boundary.name.span, "it meets this")
            .document(&job.procedure.document.value)
            .floor("it hardens, cracks or swells in service, and leaks weeks after the job")
            .help("ask the maker of the part for this rubber and grade; the maker decides")
    };
    fluids.chain(heat).map(about).collect()
}

/// Returns in words how a temperature lies outside what a rubber is commonly used at.
fn beyond(rubber: &str, range: Range) -> Option<String> {
    let span = span(rubber)?;
    let celsius = Unit::parse("°C").expect("°C is a unit");
    // What is no temperature was told where the register was read.
    let at = |number| Quantity { number, unit: range.unit }.float_in(celsius).ok();
    let (low, high) = (at(range.low)?, at(range.high)?);
    let outside = low < f64::from(span.low) || high > f64::from(span.high);
    outside.then(|| {
        let shown = range.to_string().replace('\u{a0}', " ");
        format!("{shown} is outside {} to {} °C, at which this rubber is commonly used", span.low, span.high)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_temperature_is_held_in_whatever_unit_it_was_written() {
        let beyond = |rubber, text| beyond(rubber, Range::parse(text).expect(text));
        assert_eq!(beyond("EPDM", "5 to 140 °C"), None);
        assert_eq!(beyond("EPDM", "60 to 284 °F"), None);
        let words = beyond("EPDM", "60 to 302 °F").expect("150 °C");
        assert_eq!(words, "60 to 302 °F is outside -40 to 140 °C, at which this rubber is commonly used");
        assert!(beyond("FKM", "-25 to 80 °C").is_some());
        assert_eq!(beyond("IIR", "-90 to 300 °C"), None);
    }
}
