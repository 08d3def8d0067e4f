//! Which documents and tags a command is about; an unknown name is refused with the one that was probably meant.

use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Tag, nearest};
use crate::model::binder::Binder;
use crate::task::check::jobs;
use std::collections::BTreeSet;

/// Documents and tags; an empty set stands for all of them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Selection {
    documents: BTreeSet<DocumentNumber>,
    tags: BTreeSet<Tag>,
}

/// A name that stands in no register.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no {kind} `{name}` in this binder")]
pub struct UnknownName {
    /// `tag` or `procedure`.
    pub kind: &'static str,
    /// What was typed.
    pub name: String,
    /// What was probably meant.
    pub nearest: Option<String>,
}

/// Returns tags in words for a message.
#[must_use]
pub fn in_words(tags: &[String]) -> String {
    if tags.is_empty() { "any machine".to_owned() } else { tags.join(", ") }
}

impl Selection {
    /// Returns the selection of these names as typed; upper and lower case make no difference.
    ///
    /// # Errors
    /// The first name that stands in no register.
    pub fn of(binder: &Binder, documents: &[String], tags: &[String]) -> Result<Self, UnknownName> {
        let known = |kind, known: &[&str], typed: &String| {
            let same = known.iter().find(|one| one.to_lowercase() == typed.trim().to_lowercase());
            same.map(|one| (*one).to_owned()).ok_or_else(|| UnknownName {
                kind,
                name: typed.clone(),
                nearest: nearest(typed, known.iter().copied()).map(str::to_owned),
            })
        };
        let numbers: Vec<&str> = binder.procedures.iter().map(|procedure| procedure.document.value.as_str()).collect();
        let machines: Vec<&str> = binder.fleet.iter().map(|machine| machine.tag.value.as_str()).collect();
        let documents = documents.iter().map(|typed| known("procedure", &numbers, typed).map(DocumentNumber::new));
        let tags = tags.iter().map(|typed| known("tag", &machines, typed).map(Tag::new));
        Ok(Self { documents: documents.collect::<Result<_, _>>()?, tags: tags.collect::<Result<_, _>>()? })
    }

    /// Returns whether it is about everything.
    #[must_use]
    pub fn is_all(&self) -> bool {
        self.documents.is_empty() && self.tags.is_empty()
    }

    /// Returns whether no procedure it is about is for a machine it is about.
    #[must_use]
    pub fn is_for_nothing(&self, binder: &Binder) -> bool {
        !jobs(binder).iter().any(|(procedure, machine)| self.has(&procedure.document.value, &machine.tag.value))
    }

    /// Returns whether it is about `document`.
    #[must_use]
    pub fn has_document(&self, document: &DocumentNumber) -> bool {
        self.documents.is_empty() || self.documents.contains(document)
    }

    /// Returns whether it is about `tag`.
    #[must_use]
    pub fn has_tag(&self, tag: &Tag) -> bool {
        self.tags.is_empty() || self.tags.contains(tag)
    }

    /// Returns whether it is about `document` for `tag`.
    #[must_use]
    pub fn has(&self, document: &DocumentNumber, tag: &Tag) -> bool {
        self.has_document(document) && self.has_tag(tag)
    }

    /// Returns whether a finding says anything about what is selected; one without document or tags is about everything.
    #[must_use]
    pub fn concerns(&self, finding: &Finding) -> bool {
        finding.document.as_ref().is_none_or(|document| self.has_document(document))
            && (finding.tags.is_empty() || finding.tags.iter().any(|tag| self.has_tag(tag)))
    }
}
