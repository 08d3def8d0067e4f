//! Something drawn from the crib, the stores or the joints of a family, as written; whether it is held there is not known here.

use crate::model::fields::{Fields, text_at};
use crate::model::only::Only;
use crate::model::prose::Prose;
use crate::source::yaml::Node;

/// Something drawn from the crib, the stores or the joints of the family.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draw {
    /// What, as a sentence that resolves to an identifier or name.
    pub what: Prose,
    /// How many; none where the author left it to the register, or to one.
    pub count: Option<u32>,
    /// For which machines; none for all.
    pub only: Option<Only>,
    /// Why it is taken along although no step uses it; may be empty.
    pub why: String,
}

/// Reads a list of things to draw: each a text, or a mapping with the thing under `key`.
pub fn draws(nodes: &[Node], key: &str, fields: &mut Fields<'_>) -> Vec<Draw> {
    let mut draws = Vec::new();
    for node in nodes {
        let what = node.get(key).unwrap_or(node);
        let Some(what) = fields.prose(what) else { continue };
        let count = text_at(node, "count").parse().ok();
        draws.push(Draw { what, count, only: fields.only(node), why: text_at(node, "why") });
    }
    draws
}
