//! What an author accepts of the readings of a procedure, and the file it is kept in; it asks nobody and writes nothing.

use crate::base::name::Tag;
use crate::base::path::BinderPath;
use crate::language::action::{NotAnAction, line, parse_line};
use crate::model::accepted::{AcceptedLine, Answer, HEAD};
use crate::model::binder::Binder;
use crate::model::procedure::Procedure;
use crate::task::sentences::SentenceLine;

/// What the author says to a reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reply {
    /// It is what the sentence does.
    AsRead,
    /// The sentence does this instead.
    Written(String),
    /// Nothing is accepted; it stays as it was.
    LeaveOpen,
}

/// How a reading stands with its author.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Question {
    /// Nothing is asked: it was accepted, and it would be read so again.
    None,
    /// It was read with certainty and has not been shown yet.
    New,
    /// It was accepted, and would be read otherwise now.
    Changed,
    /// It is not sure, and only the author can say.
    Open,
}

/// Returns what is to be asked about a reading.
#[must_use]
pub fn question(line: &SentenceLine) -> Question {
    match line.standing {
        "accepted" => Question::None,
        "accepted otherwise" => Question::Changed,
        "new" => Question::New,
        _ => Question::Open,
    }
}

/// Returns a reply as the actions it accepts; none where nothing is accepted.
///
/// # Errors
/// [`NotAnAction`] where what the author wrote is none.
pub fn accepted(shown: &SentenceLine, reply: &Reply) -> Result<Option<Answer>, NotAnAction> {
    let was_unsure = matches!(shown.class, "uncertain" | "not read");
    let answer = |actions| Answer { actions, was_unsure };
    match reply {
        Reply::AsRead if shown.class == "not read" => Ok(None),
        Reply::AsRead => Ok(Some(answer(shown.read_as.clone()))),
        Reply::Written(text) => parse_line(text).map(|actions| Some(answer(line(&actions)))),
        // What nobody answered anew stays as it was answered.
        Reply::LeaveOpen => {
            Ok(shown.accepted.clone().map(|actions| Answer { actions, was_unsure: shown.accepted_unsure }))
        }
    }
}

/// Returns the path of the file that keeps what was accepted of a procedure.
#[must_use]
pub fn path(binder: &Binder, procedure: &Procedure) -> Option<BinderPath> {
    binder.texts.get(procedure.file).path().with_extension("actions")
}

/// Returns the text of the file: one line a sentence, in the order of the procedure.
///
/// A sentence that stands twice in the same words is kept once. Tags are written only where machines differ, or where some
/// of them have not been answered.
#[must_use]
pub fn text(procedure: &Procedure, lines: &[SentenceLine], accepted: &[Option<Answer>]) -> String {
    let document = &procedure.document.value;
    let mut text = format!(
        "# What the sentences of {document} do, as its author accepted it. One line a sentence: KEY | ACTIONS | SENTENCE.\n\
         # `matchmark accept {document}` writes this file; it is reviewed and approved with the procedure.\n{HEAD}\n"
    );
    let mut stage = "";
    let mut written: Vec<&str> = Vec::new();
    for shown in lines {
        if written.contains(&shown.key.as_str()) {
            continue;
        }
        written.push(&shown.key);
        let of_key: Vec<(&SentenceLine, &Option<Answer>)> =
            lines.iter().zip(accepted).filter(|(other, _)| other.key == shown.key).collect();
        let answers = merged(&of_key);
        if answers.is_empty() {
            continue;
        }
        if stage != shown.stage {
            stage = &shown.stage;
            text.push_str("\n# ");
            text.push_str(stage);
            text.push('\n');
        }
        for (tags, answer) in answers {
            text.push_str(&AcceptedLine::written(&shown.key, &tags, &answer, &shown.sentence));
            text.push('\n');
        }
    }
    text
}

/// Joins the answers to one sentence: the machines of each, or no machine where all of them have the same.
fn merged(of_key: &[(&SentenceLine, &Option<Answer>)]) -> Vec<(Vec<Tag>, Answer)> {
    let mut answers: Vec<(Vec<Tag>, Answer)> = Vec::new();
    for (shown, answer) in of_key {
        let Some(answer) = answer else { continue };
        let tags = shown.tags.iter().map(Tag::new);
        match answers.iter_mut().find(|(_, own)| own.actions == answer.actions) {
            Some((own, first)) => {
                own.extend(tags);
                first.was_unsure |= answer.was_unsure;
            }
            None => answers.push((tags.collect(), answer.clone())),
        }
    }
    let is_whole = of_key.iter().all(|(_, actions)| actions.is_some());
    if let ([(tags, _)], true) = (answers.as_mut_slice(), is_whole) {
        tags.clear();
    }
    for (tags, _) in &mut answers {
        tags.sort();
        tags.dedup();
    }
    answers
}
