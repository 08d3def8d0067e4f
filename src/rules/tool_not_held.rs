//! A tool that a sentence asks for and the crib does not hold.
//!
//! ## What is found
//! A sentence uses a tool by its name or number (`with the strap wrench`), and nothing in `crib.yaml` is called so.
//!
//! ## On the floor
//! The tool is not on the kit list, so nobody draws it. The fitter stands at the open machine without it.
//!
//! ## How to mend it
//! Enter the tool in `crib.yaml`, with the words people use for it under `also:`; or name one that the plant has.

use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::name::{Name, nearest};
use crate::base::rule::TOOL_NOT_HELD;
use crate::base::text::Placed;
use crate::rules::{Found, Rule};
use std::collections::BTreeMap;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TOOL_NOT_HELD,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("tool_not_held.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let sentences = run.steps.iter().flat_map(|step| &step.sentences);
    let mut tools: BTreeMap<Name, Vec<&Placed<String>>> = BTreeMap::new();
    // A value in the name that this machine does not have is told where it is missing.
    let missing = sentences.flat_map(|sentence| &sentence.read.missing_tools);
    for tool in missing.filter(|tool| !tool.value.contains('{')) {
        tools.entry(Name::new(bare(&tool.value))).or_default().push(tool);
    }
    tools.values().map(|places| told(run, places)).collect()
}

/// Returns the name of a tool without the word before it.
fn bare(tool: &str) -> &str {
    let articles = ["the ", "a ", "an ", "your ", "this "];
    articles.iter().find_map(|article| tool.strip_prefix(article)).unwrap_or(tool)
}

/// Tells a tool once, however often the job asks for it.
fn told(run: &Run<'_, '_>, places: &[&Placed<String>]) -> Finding {
    let (first, more) = places.split_first().expect("a tool is missing somewhere");
    let names = run.job.binder.crib.items.iter().flat_map(|item| {
        let also = item.also.iter().map(|also| also.value.as_str());
        [item.id.value.as_str(), item.name.as_str()].into_iter().chain(also)
    });
    let help = nearest(bare(&first.value), names).map_or_else(
        || "enter it in `crib.yaml`, or name a tool that the plant has".to_owned(),
        |near| format!("enter it in `crib.yaml`, or write `{near}` if that is meant"),
    );
    let finding = Finding::error(TOOL_NOT_HELD, format!("the crib holds no `{}`", bare(&first.value)))
        .at(first.span)
        .document(&run.job.procedure.document.value)
        .floor("the fitter would stand at the open machine without it")
        .help(help);
    more.iter().fold(finding, |finding, place| finding.also(place.span, "it is needed here too"))
}
