//! The waivers of `waivers.yaml`: findings the plant accepted, by whom, why and until when; it does not know whether they
//! are found.

use crate::base::date::Date;
use crate::base::finding::Finding;
use crate::base::fingerprint::one_line;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::rule::SCHEMA_VIOLATION;
use crate::base::text::{Placed, Span};
use crate::model::fields::{Fields, text_at, texts_at};
use crate::source::yaml::Node;

/// A finding that somebody answers for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiver {
    /// The rule, as written.
    pub rule: Placed<String>,
    /// The document; none for a finding that belongs to none.
    pub document: Option<DocumentNumber>,
    /// The tags it is accepted for; none for a finding that names no tag.
    pub tags: Vec<Placed<Tag>>,
    /// The fingerprint of the finding, where it is named by it.
    pub finding: Option<String>,
    /// The words of the finding, where it is named by them.
    pub says: Option<String>,
    /// How many findings it accepts.
    pub times: usize,
    /// Why it is accepted.
    pub reason: String,
    /// Who answers for it.
    pub by: String,
    /// The last day on which it is accepted.
    pub until: Placed<Date>,
    /// All of it.
    pub span: Span,
}

/// A finding that is accepted, with the waiver that accepts it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waived {
    /// The finding, with the tags it is accepted for.
    pub finding: Finding,
    /// Who accepts it, why and until when.
    pub waiver: Waiver,
}

/// Reads `waivers.yaml`.
pub fn read(node: &Node, fields: &mut Fields<'_>) -> Vec<Waiver> {
    let entries = node.get("waivers").map(Node::items).unwrap_or_default();
    entries.iter().filter_map(|entry| waiver(entry, fields)).collect()
}

fn waiver(node: &Node, fields: &mut Fields<'_>) -> Option<Waiver> {
    let said = |key: &str| node.get(key).and_then(Node::text).map(one_line);
    let tags = texts_at(node, "tags").into_iter().map(|tag| Placed::new(Tag::new(tag.value.trim()), tag.span));
    Some(Waiver {
        rule: node.get("rule")?.placed()?,
        document: said("document").map(DocumentNumber::new),
        tags: tags.collect(),
        finding: said("finding"),
        says: said("says"),
        times: text_at(node, "times").parse().unwrap_or(1),
        reason: one_line(&text_at(node, "reason")),
        by: one_line(&text_at(node, "by")),
        until: until(node.get("until")?, fields)?,
        span: node.span,
    })
}

fn until(node: &Node, fields: &mut Fields<'_>) -> Option<Placed<Date>> {
    match Date::parse(node.text()?) {
        Ok(date) => Some(Placed::new(date, node.span)),
        Err(fault) => {
            let message = format!("`until` cannot be `{}`: {fault}", node.text().unwrap_or_default());
            fields.findings.push(Finding::error(SCHEMA_VIOLATION, message).at(node.span));
            None
        }
    }
}
