//! A verdict of the crib on a fluid and a rubber that common practice would not give.
//!
//! ## What is found
//! The crib says `yes` for a rubber and a fluid whose name says that it is of a kind that is commonly kept away from this
//! rubber: mineral oil from EPDM and from silicone rubber (VMQ), silicone grease from silicone rubber, hot caustic from FKM,
//! steam from NBR and silicone rubber. The finding says how each is known. It is a note, since grades differ and the maker of
//! the fluid decides.
//!
//! ## On the floor
//! If common practice is right, the ring swells and leaks within days.
//!
//! ## How to mend it
//! Ask the maker of the fluid for this rubber and grade; keep the answer with the data sheet. If it stands, leave the note.

use crate::analysis::rubber::elastomer::{Statement, doubts};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::DOUBTFUL_VERDICT;
use crate::model::binder::Binder;
use crate::model::crib::{Item, Kind};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DOUBTFUL_VERDICT,
    severity: Severity::Note,
    found: Found::Check(check),
    source: include_str!("doubtful_verdict.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    binder.crib.items.iter().flat_map(of_item).collect()
}

fn of_item(item: &Item) -> Vec<Finding> {
    let Kind::Fluid { rubber, .. } = &item.kind else { return Vec::new() };
    let allowed = rubber.iter().filter(|(_, said)| said == "yes");
    let doubtful =
        allowed.flat_map(|(rubber, _)| doubts(rubber, &item.name).into_iter().map(move |doubt| (rubber, doubt)));
    doubtful.map(|(rubber, doubt)| told(item, rubber, doubt)).collect()
}

fn told(item: &Item, rubber: &str, doubt: &Statement) -> Finding {
    let message = format!("`{}` is said to suit {rubber}; common practice: {}", item.id.value, doubt.why);
    Finding::note(DOUBTFUL_VERDICT, message)
        .at(item.id.span)
        .label(format!("{}, {}", doubt.source.text, doubt.source.known.words()))
        .floor("if common practice is right, the ring swells or hardens and leaks within days")
        .help("ask the maker of the fluid for this rubber and grade; the maker decides")
}
