//! What every sentence of a procedure was read as, and on which machines; it accepts nothing and judges nothing.

use crate::analysis::effectivity;
use crate::analysis::job::Job;
use crate::analysis::run::{Readings, Run, SentenceHere, Standing, must_be_known};
use crate::base::name::{Name, nearest};
use crate::base::path::BinderPath;
use crate::language::action::{line, parse_line};
use crate::language::reading::Class;
use crate::language::verb::Verbs;
use crate::model::accepted::Answer;
use crate::model::binder::{Binder, Registers};
use crate::model::load::{LoadError, load};
use crate::model::procedure::Procedure;
use crate::model::world::World;
use crate::task::accept;
use crate::task::selection::{Selection, UnknownName};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// One reading of one sentence, with the machines it is read so on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SentenceLine {
    /// Document number.
    pub document: String,
    /// Heading of its stage.
    pub stage: String,
    /// The file.
    pub path: String,
    /// Its line in the file, from 1.
    pub line: usize,
    /// The number of its step on the first of the machines.
    pub step: u32,
    /// The machines it is read so on.
    pub tags: Vec<String>,
    /// True where it is read so on every machine that has it.
    pub everywhere: bool,
    /// The sentence as written.
    pub sentence: String,
    /// `read`, `moves nothing`, `uncertain` or `not read`.
    pub class: &'static str,
    /// What it was read as; for an uncertain one the likeliest.
    pub read_as: String,
    /// Why it is not sure; empty where it is.
    pub why: Vec<String>,
    /// What the author accepted for it; none where nothing is accepted yet.
    pub accepted: Option<String>,
    /// True where the program was not sure when the author accepted it.
    pub accepted_unsure: bool,
    /// `accepted`, `accepted otherwise`, `new` or `open`.
    pub standing: &'static str,
    /// The key it is accepted under.
    pub key: String,
}

/// Why there are no sentences to show.
#[derive(Debug, thiserror::Error)]
pub enum SentencesError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
    /// A register cannot be read, so that no name is known.
    #[error("a register cannot be read, so no sentence can be")]
    Undecided,
    /// The procedure is for none of the machines.
    #[error("`{document}` is for no machine that was asked for")]
    Nothing {
        /// The document.
        document: String,
    },
}

/// The sentences of one procedure.
#[derive(Clone, Debug)]
pub struct Sentences {
    /// One line for each way in which a sentence is read, in reading order.
    pub lines: Vec<SentenceLine>,
    /// Names of what can be moved, opened or locked, on the machines that were asked for.
    names: BTreeSet<Name>,
    /// The file that keeps what was accepted.
    pub file: BinderPath,
    /// True where that file is there and cannot be read whole: a conflict of two people's answers, or bytes that are no text.
    pub is_damaged: bool,
    procedure: Procedure,
}

/// Returns the sentences of a procedure on the machines asked for; on all of its machines where none is.
///
/// # Errors
/// A [`SentencesError`] where there is no binder, a name is not known, or the procedure is for none of the machines.
pub fn of(world: &dyn World, document: &str, tags: &[String]) -> Result<Sentences, SentencesError> {
    let binder = opened(world)?;
    let (procedure, jobs) = jobs_of(&binder, document, tags)?;
    let verbs = Verbs::with(&binder.verbs);
    let mut readings = Readings::with(&verbs);
    let runs: Vec<Run<'_, '_>> = jobs.iter().map(|job| Run::of(job, &mut readings)).collect();
    let names = runs.iter().flat_map(|run| run.things.names()).cloned().collect();
    let file =
        accept::path(&binder, procedure).ok_or_else(|| SentencesError::Nothing { document: document.to_owned() })?;
    let is_whole = match binder.accepted.get(&procedure.file) {
        Some(accepted) => accepted.broken.is_empty(),
        None => !world.list().map_err(LoadError::from)?.has(&file),
    };
    Ok(Sentences {
        lines: lines(&binder, procedure, &runs),
        names,
        file,
        is_damaged: !is_whole,
        procedure: procedure.clone(),
    })
}

/// Reads a binder whose names are all known.
///
/// # Errors
/// A [`SentencesError`] where there is no binder, or a register cannot be read.
pub(super) fn opened(world: &dyn World) -> Result<Binder, SentencesError> {
    let (binder, _) = load(world)?;
    if binder.registers == Registers::Broken { Err(SentencesError::Undecided) } else { Ok(binder) }
}

/// Returns a procedure with its jobs on the machines asked for, one at least; on all of its machines where none is.
///
/// # Errors
/// A [`SentencesError`] where a name is not known, or the procedure is for none of the machines.
pub(super) fn jobs_of<'b>(
    binder: &'b Binder,
    document: &str,
    tags: &[String],
) -> Result<(&'b Procedure, Vec<Job<'b>>), SentencesError> {
    let selection = Selection::of(binder, &[document.to_owned()], tags)?;
    let nothing = || SentencesError::Nothing { document: document.to_owned() };
    let procedure =
        binder.procedures.iter().find(|one| selection.has_document(&one.document.value)).ok_or_else(nothing)?;
    let machines = effectivity::scope(binder, procedure).into_iter();
    let machines = machines.filter(|machine| selection.has_tag(&machine.tag.value));
    let jobs: Vec<Job<'_>> = machines.filter_map(|machine| Job::new(binder, procedure, machine)).collect();
    if jobs.is_empty() { Err(nothing()) } else { Ok((procedure, jobs)) }
}

impl Sentences {
    /// Returns why what an author wrote cannot be accepted as actions; nothing where it can.
    #[must_use]
    pub fn objection(&self, text: &str) -> Option<String> {
        let actions = match parse_line(text) {
            Ok(actions) => actions,
            Err(error) => return Some(error.to_string()),
        };
        let unknown = actions.iter().filter_map(must_be_known).find(|name| !self.names.contains(&Name::new(name)))?;
        let near = nearest(unknown, self.names.iter().map(Name::as_str).filter(|name| !name.is_empty()));
        let hint = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        Some(format!("no register knows `{unknown}`{hint}"))
    }

    /// Returns the text of the file that keeps what was accepted: for each line its actions, or none.
    #[must_use]
    pub fn text(&self, accepted: &[Option<Answer>]) -> String {
        accept::text(&self.procedure, &self.lines, accepted)
    }
}

/// Returns every sentence of a procedure in reading order, once for each way in which it is read.
fn lines(binder: &Binder, procedure: &Procedure, runs: &[Run<'_, '_>]) -> Vec<SentenceLine> {
    let mut groups: BTreeMap<(u32, usize), Vec<SentenceLine>> = BTreeMap::new();
    for run in runs {
        for step in &run.steps {
            for (at, here) in step.sentences.iter().enumerate() {
                let one = one(binder, procedure, step.stage, step.number, here);
                let group = groups.entry((step.step.span.start, at)).or_default();
                let tag = run.job.tag().to_string();
                match group.iter_mut().find(|other| reads_alike(other, &one)) {
                    Some(same) => same.tags.push(tag),
                    None => group.push(SentenceLine { tags: vec![tag], ..one }),
                }
            }
        }
    }
    let settled = groups.into_values().flat_map(|mut group| {
        let everywhere = group.len() == 1;
        for line in &mut group {
            line.everywhere = everywhere;
        }
        group
    });
    settled.collect()
}

fn reads_alike(one: &SentenceLine, other: &SentenceLine) -> bool {
    (one.class, &one.read_as, &one.why, &one.accepted, one.standing, &one.key)
        == (other.class, &other.read_as, &other.why, &other.accepted, other.standing, &other.key)
}

fn one(binder: &Binder, procedure: &Procedure, stage: usize, step: u32, here: &SentenceHere<'_>) -> SentenceLine {
    let read = &here.read;
    let (path, position) = binder.texts.locate(read.sentence.span);
    SentenceLine {
        document: procedure.document.value.to_string(),
        stage: procedure.stages.get(stage).map(|stage| stage.title.value.clone()).unwrap_or_default(),
        path: path.to_string(),
        line: position.line,
        step,
        tags: Vec::new(),
        everywhere: false,
        sentence: read.sentence.text.clone(),
        class: class(&read.class),
        read_as: line(&read.actions),
        why: read.class.why(),
        accepted: here.accepted.map(|line| line.actions.clone()),
        accepted_unsure: here.accepted.is_some_and(|line| line.was_unsure),
        standing: match here.standing {
            Standing::Accepted => "accepted",
            Standing::AcceptedOtherwise => "accepted otherwise",
            Standing::New => "new",
            Standing::Open => "open",
        },
        key: read.key.clone(),
    }
}

/// Returns the name of a class.
fn class(class: &Class) -> &'static str {
    match class {
        Class::Read => "read",
        Class::MovesNothing => "moves nothing",
        Class::Uncertain(_) => "uncertain",
        Class::NotRead(_) => "not read",
    }
}
