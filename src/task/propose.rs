//! What one procedure would add to the registers, for the author to take or leave; it writes no register.

use crate::analysis::effectivity;
use crate::analysis::job::Job;
use crate::analysis::vocabulary::{vocabulary_of, vocabulary_of_family};
use crate::base::name::Name;
use crate::language::noun::{NounKind, Vocabulary};
use crate::language::propose::{Field, Proposal, names_in, propose, taken_off};
use crate::language::verb::Verbs;
use crate::model::binder::Binder;
use crate::model::procedure::{Procedure, Step};
use crate::model::world::World;
use crate::task::sentences::{SentencesError, jobs_of, opened};
use serde::Serialize;
use std::collections::BTreeSet;

/// One thing that could be added.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProposedLine {
    /// The file it would go into.
    pub register: String,
    /// The list it would go into (`parts`), or what would be added to an entry (`also`, `held-by`).
    pub field: &'static str,
    /// The name.
    pub name: String,
    /// How many; none where the words do not say.
    pub count: Option<u32>,
    /// What its steps are limited to; may be empty.
    pub only: String,
    /// True where it is discarded and a new one is fitted.
    pub single_use: bool,
    /// What holds it, or what it may be another word for.
    pub others: Vec<String>,
    /// The steps that show it, by their numbers in the text.
    pub steps: Vec<u32>,
    /// The sentence that shows it.
    pub sentence: String,
    /// True where the words leave nothing open.
    pub sure: bool,
    /// What the author must decide; may be empty.
    pub question: String,
}

/// What one procedure would add.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProposedLines {
    /// The lines, by register and field.
    pub lines: Vec<ProposedLine>,
    /// How many sentences there are, how many are not read now, and how many would not be read with every line.
    pub sentences: [usize; 3],
}

/// Returns what a procedure would add to the registers, as its steps say for the machines asked for.
///
/// # Errors
/// A [`SentencesError`] where there is no binder, a name is not known, or the procedure is for none of the machines.
pub fn of(world: &dyn World, document: &str, tags: &[String]) -> Result<ProposedLines, SentencesError> {
    let binder = opened(world)?;
    let (procedure, jobs) = jobs_of(&binder, document, tags)?;
    let job = &jobs[0];
    let verbs = Verbs::with(&binder.verbs);
    let steps = numbered(procedure, &jobs);
    let proposed = propose(&steps, &vocabulary_of_family(job), &verbs);
    let mut lines: Vec<ProposedLine> = proposed
        .proposals
        .into_iter()
        .filter(|one| !is_held_already(job, one))
        .map(|one| line(&binder, job, one))
        .collect();
    lines.extend(sisters(&binder, procedure, &jobs, &verbs));
    Ok(ProposedLines { lines, sentences: [proposed.sentences, proposed.unread_now, proposed.unread_then] })
}

/// Returns the steps that apply to any of the machines, with their numbers in the text; for one machine, as they are printed.
fn numbered<'b>(procedure: &'b Procedure, jobs: &[Job<'b>]) -> Vec<(u32, &'b Step)> {
    if let [job] = jobs {
        return job.numbered_steps();
    }
    let here = procedure.steps().zip(1..).map(|(step, number)| (number, step));
    here.filter(|(_, step)| jobs.iter().any(|job| job.applies(step.only.as_ref()))).collect()
}

/// Returns whether the register already says what holds the part.
fn is_held_already(job: &Job<'_>, proposal: &Proposal) -> bool {
    let part = job.family.part(&Name::new(&proposal.name));
    proposal.field == Field::HeldBy && part.is_some_and(|part| !part.held_by.is_empty())
}

fn line(binder: &Binder, job: &Job<'_>, proposal: Proposal) -> ProposedLine {
    let is_crib = matches!(proposal.field, Field::Tool | Field::Fluid);
    let family = binder.texts.get(job.family.file).path().to_string();
    let (count, sure) = (proposal.count, proposal.question.is_empty());
    ProposedLine {
        register: if is_crib { "crib.yaml".to_owned() } else { family },
        field: match proposal.field {
            Field::Part => "parts",
            Field::Opening => "openings",
            Field::Temporary => "temporary",
            Field::Tool => "tools",
            Field::Fluid => "fluids",
            Field::Also => "also",
            Field::HeldBy => "held-by",
            Field::Boundary => "boundaries",
            Field::Stays => "moves-nothing",
        },
        name: proposal.name,
        count,
        only: proposal.only,
        single_use: proposal.single_use,
        others: proposal.others,
        steps: proposal.steps,
        sentence: proposal.sentence,
        sure,
        question: proposal.question,
    }
}

/// Returns the parts that every other procedure of the family takes off, that one of these machines has, and that this
/// procedure never names: a part that nobody mentions is what no reading of one text can find.
fn sisters(binder: &Binder, procedure: &Procedure, jobs: &[Job<'_>], verbs: &Verbs) -> Vec<ProposedLine> {
    let Some(first) = jobs.first() else { return Vec::new() };
    let is_sister = |other: &&Procedure| {
        other.document.value != procedure.document.value && other.family.value == procedure.family.value
    };
    let others: Vec<&Procedure> = binder.procedures.iter().filter(is_sister).collect();
    let Some(mut taken) = others.iter().map(|other| off_in(binder, other, verbs)).reduce(|all, one| &all & &one) else {
        return Vec::new();
    };
    let here: BTreeSet<String> = jobs.iter().flat_map(|job| parts(&vocabulary_of(job))).collect();
    let steps: Vec<&Step> = procedure.steps().collect();
    let named = names_in(&steps, &vocabulary_of_family(first));
    taken.retain(|part| here.contains(part) && !named.contains(part));
    let documents = others.iter().map(|other| other.document.value.to_string()).collect::<Vec<_>>();
    let every = if others.len() == 1 { "the only other" } else { "every other" };
    let family = &first.family.id.value;
    let told = |name: String| ProposedLine {
        register: binder.texts.get(procedure.file).path().to_string(),
        field: "steps",
        question: format!("{every} {family} procedure also removes the {name}; is it forgotten here?"),
        name,
        count: None,
        only: String::new(),
        single_use: false,
        others: documents.clone(),
        steps: Vec::new(),
        sentence: String::new(),
        sure: false,
    };
    taken.into_iter().map(told).collect()
}

/// Returns the parts that a procedure takes off, as far as it is read with certainty.
fn off_in(binder: &Binder, procedure: &Procedure, verbs: &Verbs) -> BTreeSet<String> {
    let machine = effectivity::scope(binder, procedure).into_iter().next();
    let Some(job) = machine.and_then(|machine| Job::new(binder, procedure, machine)) else { return BTreeSet::new() };
    let vocabulary = vocabulary_of_family(&job);
    let steps: Vec<&Step> = procedure.steps().collect();
    &taken_off(&steps, &vocabulary, verbs) & &parts(&vocabulary)
}

fn parts(vocabulary: &Vocabulary) -> BTreeSet<String> {
    let parts = vocabulary.nouns.iter().filter(|noun| noun.kind == NounKind::Part && noun.count != Some(0));
    parts.map(|noun| noun.name.clone()).collect()
}
