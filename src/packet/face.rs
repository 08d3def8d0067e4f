//! The face of a card: the part of a packet that the author picked for the wall, without tag, revision or date.

use crate::analysis::effectivity;
use crate::analysis::job::{Answer, Job};
use crate::analysis::kit::Kit as KitHere;
use crate::analysis::values::boxed;
use crate::base::finding::Finding;
use crate::base::name::{Name, nearest};
use crate::base::rule::{EMPTY_CARD, UNDECLARED_NAME};
use crate::base::text::Placed;
use crate::model::procedure::Step as WrittenStep;
use crate::model::settings::{IsolationOnCard, Preset};
use crate::packet::compile::{choices, family, isolation, language};
use crate::packet::standing;
use crate::packet::step::{Parts, joint};
use crate::packet::view::{Block, CardPrint, Caution, FORMAT, Face, Figure, Flip, Named, Number, Punch, Stage};

/// Builds the face of a job's card; what keeps it from being whole goes to `trouble`.
pub fn face<'b>(
    parts: &Parts<'_, 'b>,
    numbered: &[(u32, &'b WrittenStep)],
    cautions: &[Caution],
    kit: &KitHere,
    figures: &[Figure],
    trouble: &mut Vec<Finding>,
) -> Option<Face> {
    let built = build(parts, numbered, cautions, kit, figures);
    built.map_err(|finding| trouble.push(*finding)).ok()
}

fn build<'b>(
    parts: &Parts<'_, 'b>,
    numbered: &[(u32, &'b WrittenStep)],
    cautions: &[Caution],
    kit: &KitHere,
    figures: &[Figure],
) -> Answer<Face> {
    let job = parts.job;
    preset(job)?;
    check_picks(job)?;
    // A job of its own sees only what the card asks for, so that the face names no option it does not depend on.
    let seen = Job::new(job.binder, job.procedure, job.machine).expect("the family of a job is in its binder");
    let picked = Parts { job: &seen, labels: parts.labels, joints: parts.joints, figures: parts.figures };
    let stages = stages(&picked, numbered)?;
    if stages.is_empty() {
        return Err(empty_card(job));
    }
    let numbers = numbers(&seen)?;
    for joint in parts.joints {
        seen.depends_on(joint.joint.only.as_ref());
        seen.value(&joint.joint.torque)?;
        if let Some((adapter, _)) = &joint.joint.adapter {
            seen.value_or_literal(adapter)?;
        }
    }
    let wants = |extra: &str| job.procedure.card.show.iter().any(|own| own.value == extra);
    let on_card = job.binder.settings.isolation == IsolationOnCard::On;
    let named =
        |item: &crate::model::crib::Item| Named { id: item.id.value.as_str().to_owned(), name: item.name.clone() };
    let consulted = seen.consulted();
    Ok(Face {
        format: FORMAT,
        plant: job.binder.settings.plant.clone(),
        language: language(job),
        document: job.procedure.document.value.as_str().to_owned(),
        title: job.procedure.title.value.clone(),
        family: family(job),
        options: choices(job, |option| consulted.contains(option)),
        deference: standing::deference(),
        cautions: cautions.to_vec(),
        isolation: if on_card { isolation(job) } else { Vec::new() },
        boundaries: effectivity::boundaries(job.family, job.machine)
            .iter()
            .map(|boundary| format!("{} ({})", boundary.name.value, boundary.energy))
            .collect(),
        tools: if wants("tools") { kit.items.values().map(|here| named(&here.item)).collect() } else { Vec::new() },
        joints: parts.joints.iter().map(joint).collect(),
        numbers,
        figures: shown(figures, &stages),
        stages,
    })
}

fn preset<'b>(job: &Job<'b>) -> Answer<&'b Preset> {
    let settings = &job.binder.settings;
    let own = job.procedure.card.preset.as_ref();
    let name = own.map_or(settings.card.as_str(), |preset| preset.value.as_str());
    settings.preset(name).ok_or_else(|| {
        let known: Vec<&str> = settings.presets.iter().map(|preset| preset.name.as_str()).collect();
        let finding = Finding::error(UNDECLARED_NAME, format!("there is no card preset `{name}`"));
        let finding = finding.help(format!("choose one of: {}", known.join(", ")));
        boxed(match own {
            Some(preset) => finding.at(preset.span),
            None => finding,
        })
    })
}

/// Tells the first picked stage or label that the procedure does not have.
fn check_picks(job: &Job<'_>) -> Answer<()> {
    let procedure = job.procedure;
    let stages: Vec<&str> = procedure.stages.iter().map(|stage| stage.title.value.as_str()).collect();
    let labels: Vec<&str> = procedure.steps().flat_map(|step| &step.labels).map(|label| label.value.as_str()).collect();
    let card = &procedure.card;
    missing_pick("stage", &card.stages, &stages)?;
    missing_pick("label", &card.steps, &labels)?;
    missing_pick("label", &card.leave_out, &labels)
}

fn missing_pick(what: &str, picks: &[Placed<Name>], known: &[&str]) -> Answer<()> {
    let wrong = picks.iter().find(|pick| !known.iter().any(|own| Name::new(own) == pick.value));
    wrong.map_or(Ok(()), |pick| {
        let near = nearest(pick.value.as_str(), known.iter().copied()).map(|near| format!("did you mean `{near}`?"));
        let finding =
            Finding::error(UNDECLARED_NAME, format!("the procedure has no {what} `{}`", pick.value)).at(pick.span);
        Err(boxed(finding.help(near.unwrap_or_else(|| format!("the procedure has: {}", known.join(", "))))))
    })
}

fn empty_card(job: &Job<'_>) -> Box<Finding> {
    let finding = Finding::error(EMPTY_CARD, "no step is picked for the card")
        .at(job.procedure.document.span)
        .help("name stages or labelled steps under `card:` in the front matter");
    boxed(finding)
}

/// Builds the stages with the steps the author picked.
fn stages<'b>(parts: &Parts<'_, 'b>, numbered: &[(u32, &'b WrittenStep)]) -> Answer<Vec<Stage>> {
    let card = &parts.job.procedure.card;
    let named = |step: &WrittenStep, names: &[Placed<Name>]| {
        step.labels.iter().any(|label| names.iter().any(|name| name.value == label.value))
    };
    let mut stages = Vec::new();
    for stage in &parts.job.procedure.stages {
        let whole = card.stages.iter().any(|name| name.value == Name::new(&stage.title.value));
        let mut steps = Vec::new();
        for (number, step) in numbered.iter().filter(|(_, step)| stage.steps.iter().any(|own| std::ptr::eq(own, *step)))
        {
            if (whole && !named(step, &card.leave_out)) || named(step, &card.steps) {
                parts.job.depends_on(step.only.as_ref());
                steps.push(parts.step(*number, step)?);
            }
        }
        if !steps.is_empty() {
            // A note speaks of its stage: it stands on the card where the author picked the stage and not single steps of it.
            let notes = if whole { parts.blocks(&stage.notes)? } else { Vec::new() };
            stages.push(Stage { title: stage.title.value.clone(), notes, steps });
        }
    }
    Ok(stages)
}

/// Returns the numbers of the card: those the author named, else every limit of this job.
fn numbers(job: &Job<'_>) -> Answer<Vec<Number>> {
    let readings = &job.procedure.readings;
    let here = readings.iter().filter(|reading| reading.limit.is_some() && job.applies(reading.only.as_ref()));
    let of = |name: &Placed<Name>| -> Answer<Option<Number>> {
        let value = match readings.iter().find(|reading| reading.name.value == name.value) {
            Some(reading) if !job.applies(reading.only.as_ref()) => return Ok(None),
            Some(reading) => job.reading(reading)?.shown_limit(),
            None => Some(job.shown(&job.value(name)?)),
        };
        Ok(value.map(|value| Number { name: name.value.as_str().to_owned(), value }))
    };
    let wanted: Vec<&Placed<Name>> = if job.procedure.card.numbers.is_empty() {
        here.map(|reading| &reading.name).collect()
    } else {
        job.procedure.card.numbers.iter().collect()
    };
    let numbers = wanted.into_iter().map(of).collect::<Answer<Vec<_>>>()?;
    Ok(numbers.into_iter().flatten().collect())
}

fn shown(figures: &[Figure], stages: &[Stage]) -> Vec<Figure> {
    let blocks =
        || stages.iter().flat_map(|stage| stage.notes.iter().chain(stage.steps.iter().flat_map(|step| &step.blocks)));
    let is_shown = |wanted: u32| blocks().any(|block| matches!(block, Block::Figure { number } if *number == wanted));
    figures.iter().filter(|figure| is_shown(figure.number)).cloned().collect()
}

/// Returns how the card of a job is printed and read; it is no part of its face.
///
/// # Errors
/// A finding where the preset it names does not exist.
pub fn card_print(job: &Job<'_>) -> Answer<CardPrint> {
    let preset = preset(job)?;
    Ok(CardPrint {
        preset: preset.name.clone(),
        width_mm: preset.width_mm,
        height_mm: preset.height_mm,
        distance_mm: preset.distance_mm,
        edge_mm: preset.edge_mm,
        punch: preset.punch.map(|(diameter_mm, inset_mm, clear_mm)| Punch { diameter_mm, inset_mm, clear_mm }),
        flip: if preset.flip_short { Flip::ShortEdge } else { Flip::LongEdge },
    })
}
