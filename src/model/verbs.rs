//! The plant's own verbs as written in `verbs.yaml`; what they do is the language's business.

use crate::base::name::Name;
use crate::base::text::Placed;
use crate::model::fields::Fields;
use crate::source::yaml::Node;

/// A verb of the plant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlantVerb {
    /// The verb, in the form of an order (`unship`).
    pub verb: Placed<Name>,
    /// The word of the act it stands for (`off`).
    pub means: Placed<String>,
}

/// Reads `verbs.yaml`.
pub fn read(node: &Node, fields: &mut Fields<'_>) -> Vec<PlantVerb> {
    let entries = node.get("verbs").map(Node::items).unwrap_or_default();
    let verb = |entry: &Node, fields: &mut Fields<'_>| {
        Some(PlantVerb { verb: fields.name_at(entry, "verb")?, means: entry.get("means")?.placed()? })
    };
    entries.iter().filter_map(|entry| verb(entry, fields)).collect()
}
