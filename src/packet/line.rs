//! From a sentence to final runs of text; it decides how a value, a reference and a unit are written.

use crate::analysis::job::{Answer, Job};
use crate::analysis::values::{Resolved, boxed};
use crate::base::finding::Finding;
use crate::base::name::{Name, nearest};
use crate::base::quantity::{NO_BREAK_SPACE, Unit};
use crate::base::rule::REFERENCE_TO_ABSENT_STEP;
use crate::base::text::Placed;
use crate::model::procedure::{Inline, Manner};
use crate::model::prose::Prose;
use crate::packet::view::{Line, Run, RunKind};
use std::collections::BTreeMap;

/// The numbers of the labelled steps of one job.
pub type Labels = BTreeMap<Name, u32>;

/// Returns a run of plain words.
pub fn words(text: impl Into<String>) -> Run {
    Run { kind: RunKind::Text, text: unbroken(&text.into()), href: None }
}

/// Resolves a sentence of a register or front matter.
///
/// # Errors
/// What the author has to mend before it can be printed.
pub fn sentence(job: &Job<'_>, prose: &Prose) -> Answer<Line> {
    let run = |piece| match piece {
        Resolved::Words(text) => words(text),
        Resolved::Value(text) => Run { kind: RunKind::Value, text, href: None },
    };
    Ok(job.sentence(prose)?.into_iter().map(run).collect())
}

/// Resolves an optional sentence; none gives an empty line.
///
/// # Errors
/// What the author has to mend before it can be printed.
pub fn optional(job: &Job<'_>, prose: Option<&Prose>) -> Answer<Line> {
    prose.map_or_else(|| Ok(Line::new()), |prose| sentence(job, prose))
}

/// Resolves a line of a step.
///
/// # Errors
/// What the author has to mend before it can be printed.
pub fn resolved(job: &Job<'_>, labels: &Labels, line: &[Inline]) -> Answer<Line> {
    line.iter().map(|inline| run(job, labels, inline)).collect()
}

fn run(job: &Job<'_>, labels: &Labels, inline: &Inline) -> Answer<Run> {
    Ok(match inline {
        Inline::Words { text, manner, .. } => Run { kind: kind(*manner), text: unbroken(text), href: None },
        Inline::Value(name) => Run { kind: RunKind::Value, text: job.shown(&job.value(name)?), href: None },
        Inline::See(label) => {
            let number = labels.get(&label.value).ok_or_else(|| absent(job, label))?;
            Run {
                kind: RunKind::Step,
                text: format!("step{NO_BREAK_SPACE}{number}"),
                href: Some(format!("#step-{number}")),
            }
        }
        Inline::Link { text, target } => {
            Run { kind: RunKind::Link, text: text.clone(), href: Some(target.value.clone()) }
        }
    })
}

fn kind(manner: Manner) -> RunKind {
    match manner {
        Manner::Plain => RunKind::Text,
        Manner::Strong => RunKind::Strong,
        Manner::Emphasis => RunKind::Emphasis,
        Manner::Code => RunKind::Code,
    }
}

fn absent(job: &Job<'_>, label: &Placed<Name>) -> Box<Finding> {
    let labelled = job.procedure.steps().find(|step| step.labels.iter().any(|own| own.value == label.value));
    let finding = if let Some(step) = labelled {
        Finding::error(REFERENCE_TO_ABSENT_STEP, format!("the step called `{}` is not in the packet", label.value))
            .at(label.span)
            .also(step.span, "this step does not apply to them")
            .help("give the sentence that refers to it the same `{only ...}`, or refer to another step")
    } else {
        let labels = job.procedure.steps().flat_map(|step| &step.labels).map(|label| label.value.as_str());
        let near = nearest(label.value.as_str(), labels).map(|near| format!("did you mean `{near}`?"));
        Finding::error(REFERENCE_TO_ABSENT_STEP, format!("no step is called `{}`", label.value))
            .at(label.span)
            .help(near.unwrap_or_else(|| format!("write `{{as {}}}` into the step that is meant", label.value)))
    };
    boxed(finding.floor("the fitter would be sent to a step that is not there"))
}

/// Joins a number to the unit after it, so that a line's end never parts them.
fn unbroken(text: &str) -> String {
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for word in text.split_inclusive(' ') {
        let unit = word.trim_end_matches([' ', '.', ',', ';', ':', ')']);
        let after_number = out.strip_suffix(' ').is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()));
        if after_number && Unit::parse(unit).is_some() {
            out.pop();
            out.push(NO_BREAK_SPACE);
        }
        out.push_str(word);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_its_unit_on_the_line() {
        assert_eq!(unbroken("Tighten to 5 N·m, then 2 turns."), "Tighten to 5\u{a0}N·m, then 2\u{a0}turns.");
        assert_eq!(unbroken("Fit 2 nuts in P-10 m"), "Fit 2 nuts in P-10\u{a0}m");
        assert_eq!(unbroken("no numbers in here"), "no numbers in here");
    }
}
