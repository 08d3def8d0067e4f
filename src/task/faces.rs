//! Which tags share a card, and which options never made a difference; it makes no card.

use crate::analysis::coverage;
use crate::model::load::LoadError;
use crate::model::world::World;
use crate::task::check::{Judged, judge};
use crate::task::manifest::Suppressed;
use crate::task::plan::{Plan, plan};
use crate::task::selection::{Selection, UnknownName};
use serde::Serialize;

/// The faces of one procedure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ProcedureFaces {
    /// Document number.
    pub document: String,
    /// What the procedure does.
    pub title: String,
    /// The faces, in the order of their first tags.
    pub faces: Vec<FaceTags>,
    /// Options that made no difference to anything, for any of its machines.
    pub idle: Vec<String>,
    /// Tags without a face, because an error keeps their card from being made.
    pub without: Vec<String>,
}

/// A face with its tags.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FaceTags {
    /// Check words.
    pub words: String,
    /// Digest.
    pub digest: String,
    /// The tags that share it.
    pub tags: Vec<String>,
    /// The options it depends on, with the choice these tags have in common.
    pub because: Vec<Choice>,
}

/// An option with its choice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// The option.
    pub option: String,
    /// The choice.
    pub value: String,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum FacesError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
}

/// Returns the faces of the selected procedures, each with at least one of the selected tags, and the judged binder.
///
/// # Errors
/// A [`FacesError`] where there is no binder or a name is not known.
pub fn faces(
    world: &dyn World,
    documents: &[String],
    tags: &[String],
) -> Result<(Judged, Vec<ProcedureFaces>), FacesError> {
    let judged = judge(world)?;
    let selection = Selection::of(&judged.binder, documents, tags)?;
    let plan = plan(&judged);
    let selected = judged.binder.procedures.iter().filter(|one| selection.has_document(&one.document.value));
    let mut all: Vec<ProcedureFaces> = selected
        .map(|procedure| ProcedureFaces {
            document: procedure.document.value.to_string(),
            title: procedure.title.value.clone(),
            faces: of_document(&plan, procedure.document.value.as_str(), &selection),
            idle: coverage::idle_options(&judged.binder, procedure).into_iter().map(ToString::to_string).collect(),
            without: without(&plan.suppressed, procedure.document.value.as_str(), tags),
        })
        .collect();
    all.retain(|one| tags.is_empty() || !one.faces.is_empty() || !one.without.is_empty());
    Ok((judged, all))
}

fn of_document(plan: &Plan<'_>, document: &str, selection: &Selection) -> Vec<FaceTags> {
    let here = plan.faces.iter().filter(|face| face.document.as_str() == document);
    let selected = here.filter(|face| face.packets.iter().any(|at| selection.has_tag(plan.packets[*at].tag())));
    selected
        .map(|face| FaceTags {
            words: face.identity.words.clone(),
            digest: face.identity.digest.clone(),
            tags: face.packets.iter().map(|at| plan.packets[*at].tag().to_string()).collect(),
            because: plan.packets[face.packets[0]]
                .choices
                .iter()
                .map(|(option, value)| Choice { option: option.clone(), value: value.clone() })
                .collect(),
        })
        .collect()
}

fn without(suppressed: &[Suppressed], document: &str, tags: &[String]) -> Vec<String> {
    let is_asked = |one: &&Suppressed| tags.is_empty() || tags.iter().any(|tag| tag.eq_ignore_ascii_case(&one.tag));
    let here = suppressed.iter().filter(|one| one.document == document).filter(is_asked);
    here.map(|one| one.tag.clone()).collect()
}
