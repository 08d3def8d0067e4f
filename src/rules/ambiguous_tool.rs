//! A tool named by a word that fits several tools of the crib.
//!
//! ## What is found
//! A sentence uses a tool by a plain name (`the seal sleeve`), the crib holds several that are called so, and nothing says
//! which: no value, no joint and no reading of the job draws one of them.
//!
//! ## On the floor
//! None of them is on the kit list, or the fitter takes the one that is nearest.
//!
//! ## How to mend it
//! Name the tool by its number; where it depends on the machine, put it into a table and name the value in the sentence.

use crate::analysis::kit::Vague;
use crate::analysis::run::Run;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::AMBIGUOUS_TOOL;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: AMBIGUOUS_TOOL,
    severity: Severity::Error,
    found: Found::Run(check),
    source: include_str!("ambiguous_tool.rs"),
};

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (kit, trouble) = run.kit();
    // What cannot be told may be the very tool that is meant; it is told by itself.
    if !trouble.is_empty() {
        return Vec::new();
    }
    kit.vague.iter().map(|own| told(run, own)).collect()
}

fn told(run: &Run<'_, '_>, own: &Vague) -> Finding {
    let items: Vec<String> = own.items.iter().map(|id| format!("`{id}`")).collect();
    let message = format!("`{}` fits {} of the crib, and nothing says which", own.word, items.join(", "));
    Finding::error(AMBIGUOUS_TOOL, message)
        .at(own.span)
        .document(&run.job.procedure.document.value)
        .floor("none of them is on the kit list, or the nearest is taken")
        .help("name its number, or a value from a table by options")
}
