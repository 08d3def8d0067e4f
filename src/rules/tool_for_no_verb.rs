//! A tool that the crib holds `for` a word that is no verb.
//!
//! ## What is found
//! Under `for:` of a tool stands a word that is neither a verb of the trade, nor one of the plant's own in `verbs.yaml`, nor
//! the word of an act.
//!
//! ## On the floor
//! The tool is never drawn for it, and nobody notices until it is missed.
//!
//! ## How to mend it
//! Write the verb in the form of an order (`mark`, `wipe`), or add it to `verbs.yaml`.

use crate::analysis::held::act_of;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::TOOL_FOR_NO_VERB;
use crate::model::binder::Binder;
use crate::model::crib::Kind;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TOOL_FOR_NO_VERB,
    severity: Severity::Warning,
    found: Found::Check(check),
    source: include_str!("tool_for_no_verb.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let verbs = binder.crib.items.iter().filter_map(|item| match &item.kind {
        Kind::Tool { verbs, .. } => Some(verbs.iter().map(move |verb| (item, verb))),
        _ => None,
    });
    let unknown = verbs.flatten().filter(|(_, verb)| act_of(binder, &verb.value).is_none());
    let told = unknown.map(|(item, verb)| {
        let message = format!("`{}` is held for `{}`, which is no verb that needs a tool", item.id.value, verb.value);
        Finding::warning(TOOL_FOR_NO_VERB, message)
            .at(verb.span)
            .floor("the tool is never drawn for it, and nobody notices until it is missed")
            .help("write the verb in the form of an order, or add it to `verbs.yaml`")
    });
    told.collect()
}
