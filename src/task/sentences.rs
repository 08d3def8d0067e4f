//! What every sentence of a procedure was read as, and on which machines; it accepts nothing and judges nothing.

use crate::analysis::run::{Run, SentenceHere, Standing};
use crate::language::action::line;
use crate::language::reading::Class;
use crate::model::binder::Binder;
use crate::model::procedure::Procedure;
use serde::Serialize;
use std::collections::BTreeMap;

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
    /// `accepted`, `accepted otherwise`, `new` or `open`.
    pub standing: &'static str,
    /// The key it is accepted under.
    pub key: String,
}

/// Returns every sentence of a procedure in reading order, once for each way in which it is read.
#[must_use]
pub fn lines(binder: &Binder, procedure: &Procedure, runs: &[Run<'_, '_>]) -> Vec<SentenceLine> {
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
        group.iter_mut().for_each(|line| line.everywhere = everywhere);
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
#[must_use]
pub fn class(class: &Class) -> &'static str {
    match class {
        Class::Read => "read",
        Class::MovesNothing => "moves nothing",
        Class::Uncertain(_) => "uncertain",
        Class::NotRead(_) => "not read",
    }
}
