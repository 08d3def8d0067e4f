//! From one procedure on one machine to its compiled packet; it refuses rather than leave a value open.

use crate::analysis::job::{Answer, Job};
use crate::analysis::kit::{ItemHere, Kit as KitHere, Need, PartHere, TemporaryHere};
use crate::analysis::reading::ReadingHere;
use crate::analysis::run::{Run, SentenceHere, Standing};
use crate::base::finding::Finding;
use crate::base::name::Name;
use crate::base::path::BinderPath;
use crate::base::rule::BRACE_SYNTAX;
use crate::language::action;
use crate::model::crib::Kind;
use crate::model::procedure::Block as Written;
use crate::packet::face;
use crate::packet::line::{self, Labels};
use crate::packet::standing;
use crate::packet::step::{self, Parts};
use crate::packet::view::{
    Caution, Choice, Does, FORMAT, Figure, Hold, IsolationPoint, Kit, KitItem, KitPart, Line, Named, Packet, Reading,
    Stage,
};
use serde_json::Value;
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;

/// Digests of figures by path, taken once for all packets.
pub type FigureDigests = BTreeMap<BinderPath, String>;

/// Returns the digests of a binder's figures.
#[must_use]
pub fn figure_digests(figures: &BTreeMap<BinderPath, Vec<u8>>) -> FigureDigests {
    let digest = |bytes: &Vec<u8>| data_encoding::HEXLOWER.encode(&Sha256::digest(bytes));
    figures.iter().map(|(path, bytes)| (path.clone(), digest(bytes))).collect()
}

/// Compiles the packet of a job that was executed on paper.
///
/// # Errors
/// Everything that keeps it from being complete; the findings carry no tags yet.
pub fn compile(run: &Run<'_, '_>, digests: &FigureDigests) -> Result<Packet, Vec<Finding>> {
    let job = run.job;
    let mut trouble = job.undecided();
    let (joints, found) = job.joints();
    trouble.extend(found);
    let numbered = job.numbered_steps();
    let labels = labels(&numbered);
    let figures = figures(job, &numbered, digests);
    let (readings, found) = job.readings_here();
    trouble.extend(found);
    let (kit, found) = KitHere::of(run, &joints, &readings);
    trouble.extend(found);
    let paths: Vec<String> = figures.iter().map(|figure| figure.path.clone()).collect();
    let parts = Parts { job, labels: &labels, joints: &joints, figures: &paths };
    let stages = stages(&parts, &numbered, &mut trouble);
    let mut keep = |answer: Answer<Vec<Line>>| {
        answer.unwrap_or_else(|finding| {
            trouble.push(*finding);
            Vec::new()
        })
    };
    let lines = |proses: &[crate::model::prose::Prose]| {
        proses.iter().map(|prose| line::sentence(job, prose)).collect::<Answer<Vec<_>>>()
    };
    let procedure = job.procedure;
    let purpose = keep(line::sentence(job, &procedure.purpose).map(|line| vec![line])).pop().unwrap_or_default();
    let not_covered = keep(lines(&procedure.not_covered));
    let precautions = keep(lines(&procedure.precautions));
    let prerequisites = keep(lines(&procedure.prerequisites));
    let cautions = cautions(job, &numbered, &mut trouble);
    let record_sheet = record_sheet(job, &numbered, &readings, &mut trouble);
    let card = face::face(&parts, &numbered, &cautions, &kit, &figures, &mut trouble);
    let print = face::card_print(job).map_err(|finding| trouble.push(*finding)).ok();
    let (Some(card), Some(print), true) = (card, print, trouble.is_empty()) else { return Err(trouble) };
    let settings = &job.binder.settings;
    let packet = Packet {
        format: FORMAT,
        plant: settings.plant.clone(),
        language: language(job),
        document: procedure.document.value.as_str().to_owned(),
        title: procedure.title.value.clone(),
        tag: job.tag().as_str().to_owned(),
        place: job.machine.place.clone(),
        family: family(job),
        options: choices(job, |_| true),
        purpose,
        applies_to: procedure
            .applies_to
            .as_ref()
            .map_or_else(|| format!("family {}", job.family.id.value), |only| only.words.clone()),
        not_covered,
        use_level: procedure.use_level.clone(),
        people: procedure.people.clone(),
        skill: procedure.skill.clone(),
        time: procedure.time.clone(),
        review: procedure.review.clone(),
        precautions,
        prerequisites,
        deference: standing::deference(),
        isolation: isolation(job),
        cautions,
        kit: shown_kit(&kit),
        joints: joints.iter().map(step::joint).collect(),
        holds: stages
            .iter()
            .flat_map(|stage| &stage.steps)
            .flat_map(|step| step.holds.iter().cloned())
            .collect::<Vec<Hold>>(),
        stages,
        readings: record_sheet,
        figures,
        not_checked: standing::not_checked(run),
        accepted_findings: Vec::new(),
        standing: standing::standing(),
        card,
        print: Some(print),
    };
    match unfilled(&packet, &procedure.words()) {
        Some(text) => Err(vec![open_brace(job, &text)]),
        None => Ok(with_deeds(packet, run)),
    }
}

/// Adds what each step does: it is not printed, so a brace in it is the name of a value and no hole.
fn with_deeds(mut packet: Packet, run: &Run<'_, '_>) -> Packet {
    for step in packet.stages.iter_mut().flat_map(|stage| &mut stage.steps) {
        let own = run.steps.iter().find(|own| own.number == step.number).expect("every printed step was executed");
        step.does = own.sentences.iter().map(does).collect();
    }
    packet
}

fn does(sentence: &SentenceHere<'_>) -> Does {
    match (sentence.standing, sentence.actions.is_empty()) {
        (Standing::Open, _) => Does::Unsure,
        (_, true) => Does::Nothing,
        (_, false) => Does::Actions(action::line(&sentence.actions)),
    }
}

fn open_brace(job: &Job<'_>, text: &str) -> Finding {
    Finding::error(BRACE_SYNTAX, format!("a brace would be printed as it stands: `{text}`"))
        .at(job.procedure.document.span)
        .document(&job.procedure.document.value)
        .floor("the fitter would read a name where a value belongs")
        .help("name values only in sentences of steps and of the front matter; write a brace as a character `\\{`")
}

/// Returns the first text of a packet that still holds a brace nobody wrote as a character.
///
/// This is the last gate: whatever reads a text must have refused or filled its braces before. A brace in the `written`
/// words of steps was escaped, else it would have been told apart or refused; code is printed letter by letter.
fn unfilled(packet: &Packet, written: &[&str]) -> Option<String> {
    let json = serde_json::to_string(packet).expect("a packet is plain data with text keys");
    // Hardly any packet has a brace at all; only where one has is it looked for where it stands.
    if !has_brace_in_text(&json) {
        return None;
    }
    let tree = serde_json::from_str(&json).expect("it was written a moment ago");
    let escaped: Vec<String> =
        written.iter().filter(|words| words.contains(['{', '}'])).map(|words| line::words(*words).text).collect();
    brace_in(&tree, &escaped)
}

/// Returns whether a text of a JSON document holds a brace; those around its objects stand in no text.
fn has_brace_in_text(json: &str) -> bool {
    let (mut is_in_text, mut is_escaped) = (false, false);
    json.bytes().any(|byte| {
        match byte {
            _ if is_escaped => is_escaped = false,
            b'\\' => is_escaped = is_in_text,
            b'"' => is_in_text = !is_in_text,
            b'{' | b'}' => return is_in_text,
            _ => {}
        }
        false
    })
}

fn brace_in(tree: &Value, escaped: &[String]) -> Option<String> {
    match tree {
        Value::String(text) => text.contains(['{', '}']).then(|| text.clone()),
        Value::Array(items) => items.iter().find_map(|item| brace_in(item, escaped)),
        Value::Object(fields) => {
            let text = fields.get("text").and_then(Value::as_str).unwrap_or_default();
            let is_as_written = match fields.get("kind").and_then(Value::as_str) {
                Some("code") => true,
                Some("text" | "strong" | "emphasis") => escaped.iter().any(|own| own == text),
                _ => false,
            };
            let judged = fields.iter().filter(|(key, _)| !(is_as_written && *key == "text"));
            judged.map(|(_, value)| value).find_map(|value| brace_in(value, escaped))
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => None,
    }
}

/// Returns the language of a job's texts: the procedure's own, else the binder's.
pub fn language(job: &Job<'_>) -> String {
    let own = &job.procedure.language;
    if own.is_empty() { job.binder.settings.language.clone() } else { own.clone() }
}

/// Returns family number and name.
pub fn family(job: &Job<'_>) -> Named {
    Named { id: job.family.id.value.as_str().to_owned(), name: job.family.name.clone() }
}

/// Returns the machine's choices of the wanted options, in the family's order.
pub fn choices(job: &Job<'_>, wanted: impl Fn(&Name) -> bool) -> Vec<Choice> {
    let options = job.family.options.iter().filter(|option| wanted(&option.name.value));
    let chosen = options.filter_map(|option| {
        let choice = job.machine.choice(&option.name.value)?;
        let meaning = option.choices.iter().find(|own| own.value.value == choice.value).map(|own| own.meaning.clone());
        Some(Choice {
            option: option.name.value.as_str().to_owned(),
            value: choice.value.clone(),
            meaning: meaning.unwrap_or_default(),
        })
    });
    chosen.collect()
}

fn labels(numbered: &[(u32, &crate::model::procedure::Step)]) -> Labels {
    let pairs =
        numbered.iter().flat_map(|(number, step)| step.labels.iter().map(|label| (label.value.clone(), *number)));
    pairs.collect()
}

/// Returns the figures that this job's steps and notes show, in order of their first appearance.
fn figures(job: &Job<'_>, numbered: &[(u32, &crate::model::procedure::Step)], digests: &FigureDigests) -> Vec<Figure> {
    let notes = job.procedure.stages.iter().flat_map(|stage| &stage.notes);
    let blocks = notes.chain(numbered.iter().flat_map(|(_, step)| &step.blocks));
    let mut figures: Vec<Figure> = Vec::new();
    for block in blocks {
        let Written::Figure { path, alt, caption } = block else { continue };
        let Some(inside) = job.binder.figure_path(job.procedure, &path.value) else { continue };
        let Some(digest) = digests.get(&inside) else { continue };
        if figures.iter().any(|figure| figure.path == inside.as_str()) {
            continue;
        }
        figures.push(Figure {
            number: u32::try_from(figures.len() + 1).unwrap_or(u32::MAX),
            path: inside.as_str().to_owned(),
            digest: digest.clone(),
            alt: alt.clone(),
            caption: caption.clone(),
        });
    }
    figures
}

fn stages<'b>(
    parts: &Parts<'_, 'b>,
    numbered: &[(u32, &'b crate::model::procedure::Step)],
    trouble: &mut Vec<Finding>,
) -> Vec<Stage> {
    let mut stages = Vec::new();
    for stage in &parts.job.procedure.stages {
        let notes = parts.blocks(&stage.notes).unwrap_or_else(|finding| {
            trouble.push(*finding);
            Vec::new()
        });
        let mut steps = Vec::new();
        for (number, step) in numbered.iter().filter(|(_, step)| stage.steps.iter().any(|own| std::ptr::eq(own, *step)))
        {
            match parts.step(*number, step) {
                Ok(step) => steps.push(step),
                Err(finding) => trouble.push(*finding),
            }
        }
        if !steps.is_empty() || !notes.is_empty() {
            stages.push(Stage { title: stage.title.value.clone(), notes, steps });
        }
    }
    stages
}

/// Signs of energies: of equal severity, their cautions stand first.
const ENERGY_SIGNS: [&str; 7] =
    ["lock", "electricity", "pressure", "hot-surface", "corrosive", "automatic-start", "moving-parts"];

/// Returns each caution of this job once: by severity, energies first among equals, then in the author's order.
fn cautions(
    job: &Job<'_>,
    numbered: &[(u32, &crate::model::procedure::Step)],
    trouble: &mut Vec<Finding>,
) -> Vec<Caution> {
    let placed = |name: &Name| numbered.iter().any(|(_, step)| step.cautions.iter().any(|own| own.value == *name));
    let mut cautions = Vec::new();
    for declared in &job.procedure.cautions {
        if job.applies(declared.only.as_ref()) && (declared.whole_job || placed(&declared.name.value)) {
            match step::caution(job, declared) {
                Ok(caution) => cautions.push(caution),
                Err(finding) => trouble.push(*finding),
            }
        }
    }
    cautions.sort_by_key(|caution| (caution.level, !ENERGY_SIGNS.contains(&caution.sign.as_str())));
    cautions
}

fn record_sheet<'b>(
    job: &Job<'b>,
    numbered: &[(u32, &'b crate::model::procedure::Step)],
    readings: &[ReadingHere<'b>],
    trouble: &mut Vec<Finding>,
) -> Vec<Reading> {
    let mut sheet = Vec::new();
    for here in readings {
        let takes = |step: &'b crate::model::procedure::Step| {
            job.records(step)
                .is_ok_and(|records| records.iter().any(|(reading, _)| std::ptr::eq(*reading, here.reading)))
        };
        let steps = numbered.iter().filter(|(_, step)| takes(step)).map(|(number, _)| *number).collect();
        let moments: Vec<String> = here.reading.moments.iter().map(|moment| moment.value.clone()).collect();
        let moments = if moments.is_empty() { vec![String::new()] } else { moments };
        match step::entry(job, here, "") {
            Ok(entry) => sheet.push(Reading { entry, moments, steps }),
            Err(finding) => trouble.push(*finding),
        }
    }
    sheet
}

/// Returns the isolation points of a machine, in the order of the fleet register.
pub fn isolation(job: &Job<'_>) -> Vec<IsolationPoint> {
    let point = |point: &crate::model::fleet::IsolationPoint| {
        let boundary = job.family.boundary(&point.boundary.value);
        IsolationPoint {
            point: point.point.clone(),
            boundary: point.boundary.value.as_str().to_owned(),
            energy: boundary.map(|boundary| boundary.energy.clone()).unwrap_or_default(),
            kind: point.kind.clone(),
            position: point.position.clone(),
            prove: boundary.map(|boundary| boundary.prove.clone()).unwrap_or_default(),
        }
    };
    job.machine.isolation.iter().map(point).collect()
}

fn shown_kit(kit: &KitHere) -> Kit {
    let steps = |need: &Need| need.steps().into_iter().collect::<Vec<u32>>();
    let item = |here: &ItemHere| KitItem {
        steps: steps(&here.need),
        why: here.need.why.clone(),
        ..step::kit_item(&here.item, here.count)
    };
    let of = |wanted: fn(&Kind) -> bool| -> Vec<KitItem> { kit.kind(wanted).map(item).collect() };
    let part = |part: &PartHere| KitPart {
        name: part.name.clone(),
        count: part.count,
        number: part.number.clone(),
        material: part.material.clone(),
        bin: part.bin.clone(),
        steps: steps(&part.need),
        why: part.need.why.clone(),
    };
    let temporary = |here: &TemporaryHere| KitItem {
        id: String::new(),
        name: here.name.clone(),
        count: here.count,
        detail: String::new(),
        steps: steps(&here.need),
        why: here.need.why.clone(),
    };
    Kit {
        parts: kit.parts.iter().map(part).collect(),
        fluids: of(|kind| matches!(kind, Kind::Fluid { .. })),
        tools: of(|kind| matches!(kind, Kind::Tool { .. })),
        torque_tools: of(|kind| matches!(kind, Kind::TorqueTool { .. })),
        instruments: of(|kind| matches!(kind, Kind::Instrument { .. })),
        locks: of(|kind| matches!(kind, Kind::Locks)),
        temporary: kit.temporary.iter().map(temporary).collect(),
        protection: kit.protection.iter().map(|worn| worn.name.clone()).collect(),
        protection_steps: kit.protection.iter().map(|worn| steps(&worn.need)).collect(),
        unsure: kit.unsure.iter().copied().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::has_brace_in_text;

    #[test]
    fn a_brace_in_a_text_is_told_from_those_around_it() {
        for (json, has) in [
            (r#"{"a":[{"b":"c"}]}"#, false),
            (r#"{"a":"{b}"}"#, true),
            (r#"{"a":"\"","b":{}}"#, false),
            (r#"{"a":"\\","b":{}}"#, false),
            (r#"{"a":"\"{"}"#, true),
            (r#"{"a}":1}"#, true),
        ] {
            assert_eq!(has_brace_in_text(json), has, "{json}");
        }
    }
}
