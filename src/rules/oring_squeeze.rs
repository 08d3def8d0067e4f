//! An O-ring that its groove squeezes, stretches or fills beyond the published limits.
//!
//! ## What is found
//! A part has a `ring:` and a `groove:`. Over all tolerances of both, for each machine, the ring is squeezed, stretched or
//! the groove filled beyond what seal design guides and handbooks give; `matchmark calc oring` shows the figures, the limits
//! and where they are from. It is a warning where no ring and groove within tolerance is in order, a note where some are not
//! or where the sources differ. A size that no standard has, or whose tolerances are not known, is a warning too.
//!
//! ## On the floor
//! Squeezed too little the ring weeps when it is cold; too much, or with no room to go, it is cut or set flat within weeks.
//!
//! ## How to mend it
//! Measure the groove and read the ring's bag again: a section one size off is the usual reason. If both are right, ask the
//! maker of the machine; this is geometry, no seal design.

use crate::analysis::job::{Job, in_every_job};
use crate::analysis::rubber::groove::{Groove, Seal, Verdict, fit};
use crate::analysis::rubber::ring::{Band, Ring};
use crate::analysis::working::Refusal;
use crate::base::finding::{Finding, Severity};
use crate::base::quantity::{Quantity, Range, Unit};
use crate::base::rule::ORING_SQUEEZE;
use crate::base::text::Placed;
use crate::model::binder::Binder;
use crate::model::family::Part;
use crate::model::ring::{GrooveWritten, RingSize, RingWritten};
use crate::model::value::Value;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: ORING_SQUEEZE,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("oring_squeeze.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    in_every_job(binder, in_job)
}

fn in_job(job: &Job<'_>) -> Vec<Finding> {
    job.family.parts.iter().filter(|part| job.applies(part.only.as_ref())).flat_map(|part| of_part(job, part)).collect()
}

fn of_part(job: &Job<'_>, part: &Part) -> Vec<Finding> {
    let Some(written) = &part.ring else { return Vec::new() };
    // A value that is missing here is told where it is defined.
    let Some(ring) = ring(job, written) else { return Vec::new() };
    let judged = ring.and_then(|ring| {
        let groove = written.groove.as_ref().and_then(|groove| self::groove(job, groove)).transpose()?;
        Ok(match groove {
            Some(groove) => fit(&ring, &groove)?.verdicts(groove.seal),
            None => Vec::new(),
        })
    });
    match judged {
        Err(refusal) => vec![about(job, part, written, Finding::warning(ORING_SQUEEZE, refusal.message))],
        Ok(verdicts) => {
            let told = verdicts.into_iter().filter_map(|(_, verdict)| finding(part, verdict));
            told.map(|finding| about(job, part, written, finding)).collect()
        }
    }
}

fn finding(part: &Part, verdict: Verdict) -> Option<Finding> {
    let name = &part.name.value;
    match verdict {
        Verdict::Within => None,
        Verdict::Doubtful(why) => Some(Finding::note(ORING_SQUEEZE, format!("`{name}` in its groove: {why}"))),
        Verdict::Outside(why) => Some(Finding::warning(ORING_SQUEEZE, format!("`{name}` in its groove: {why}"))),
    }
}

fn about(job: &Job<'_>, part: &Part, written: &RingWritten, finding: Finding) -> Finding {
    let groove = written.groove.as_ref().map(|groove| groove.depth.span);
    let finding =
        finding.at(written.span()).document(&job.procedure.document.value).label(part.name.value.as_str().to_owned());
    let finding = groove.into_iter().fold(finding, |finding, span| finding.also(span, "its groove"));
    finding
        .floor("squeezed too little it weeps when cold; too much, or with no room, it is cut or set flat")
        .help("measure the groove, read the bag again, and ask the maker of the machine; `matchmark calc oring` shows the figures")
}

/// Returns the ring of this machine; none where a value is missing.
fn ring(job: &Job<'_>, written: &RingWritten) -> Option<Result<Ring, Refusal>> {
    match &written.size {
        RingSize::Code(code) => match job.value_or_literal(code).ok()? {
            Value::Text(code) => Some(Ring::by_code(&code)),
            other => Some(Err(Refusal::new(format!("a size code is needed, and it is {}", other.kind())))),
        },
        RingSize::Dimensions { inside, section } => {
            let (inside, section) = (band(job, inside)?, band(job, section)?);
            Some(inside.and_then(|inside| Ring::by_dimensions(inside, section?)))
        }
    }
}

/// Returns the groove of this machine; none where a value is missing.
fn groove(job: &Job<'_>, written: &GrooveWritten) -> Option<Result<Groove, Refusal>> {
    let way = match written.seal.as_str() {
        "face" => Seal::Face,
        "moving" => Seal::Moving,
        _ => Seal::Static,
    };
    let seat = match &written.seat {
        Some(seat) => Some(band(job, seat)?),
        None => None,
    };
    let width = match &written.width {
        Some(width) => Some(band(job, width)?),
        None => None,
    };
    let depth = band(job, &written.depth)?;
    Some(depth.and_then(|depth| Ok(Groove { seal: way, seat: seat.transpose()?, depth, width: width.transpose()? })))
}

/// Returns a length of this machine in millimetres; none where a value is missing.
fn band(job: &Job<'_>, text: &Placed<String>) -> Option<Result<Band, Refusal>> {
    let value = job.value_or_literal(text).ok()?;
    let range = match value {
        Value::Quantity(both) => Ok(Range { low: both.number, high: both.number, unit: both.unit }),
        Value::Range(range) => Ok(range),
        Value::Text(text) => Range::parse(&text)
            .or_else(|_| {
                Quantity::parse(&text).map(|both| Range { low: both.number, high: both.number, unit: both.unit })
            })
            .map_err(|fault| Refusal::new(fault.to_string())),
        other => Err(Refusal::new(format!("a length is needed, and it is {}", other.kind()))),
    };
    Some(range.and_then(|range| {
        let millimetre = Unit::parse("mm").expect("mm is a unit");
        let end = |number| {
            let length = Quantity { number, unit: range.unit };
            length.float_in(millimetre).map_err(|fault| Refusal::new(fault.to_string()))
        };
        Ok(Band { low: end(range.low)?, high: end(range.high)? })
    }))
}
