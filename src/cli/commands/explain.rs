//! `explain`: the manual page of a rule, or the list of all.

use crate::base::name::nearest;
use crate::cli::arguments::{Common, Format};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::cli::io::Io;
use crate::report::json;
use crate::report::table::{self, Table};
use crate::rules::{self, RULES, Rule};
use serde::Serialize;
use std::io::Write as _;

/// A rule as a program reads it.
#[derive(Serialize)]
struct Page {
    #[serde(rename = "rule")]
    id: &'static str,
    severity: &'static str,
    waivable: bool,
    title: String,
    #[serde(rename = "page")]
    text: String,
}

pub(super) fn run(name: Option<&str>, common: &Common, io: &mut Io) -> Result<Exit, Failure> {
    let wanted: Vec<&Rule> = match name {
        None => RULES.iter().collect(),
        Some(name) => vec![find(name)?],
    };
    let text = match (common.format, name) {
        (Format::Json, _) => json::list(&wanted.iter().map(|rule| page(rule)).collect::<Vec<_>>()),
        (_, Some(_)) => one(wanted[0]),
        (Format::Plain, None) => table::plain(&list(&wanted)),
        (Format::Human | Format::Csv | Format::Sarif | Format::Html, None) => table::columns(&list(&wanted)),
    };
    io.out.write_all(text.as_bytes())?;
    Ok(Exit::Clean)
}

fn find(name: &str) -> Result<&'static Rule, Failure> {
    // Somebody may well copy it with its brackets, or with the weight before it.
    let bare = name.trim().trim_end_matches(']').rsplit('[').next().unwrap_or(name).to_lowercase();
    rules::find(&bare).ok_or_else(|| {
        let failure = Failure::new(Exit::Usage, format!("there is no rule `{name}`"));
        match nearest(&bare, RULES.iter().map(|rule| rule.id.0)) {
            Some(nearest) => failure.hint(format!("did you mean `{nearest}`?")),
            None => failure.hint("`matchmark explain` lists all rules"),
        }
    })
}

fn page(rule: &Rule) -> Page {
    Page {
        id: rule.id.0,
        severity: rule.severity.word(),
        waivable: rule.is_waivable(rule.severity),
        title: rule.title(),
        text: rule.page(),
    }
}

fn one(rule: &Rule) -> String {
    let waiving = if rule.is_waivable(rule.severity) {
        "A waiver in `waivers.yaml` can accept what it finds, with a reason, a name and a day."
    } else {
        "What it finds as an error can never be accepted by a waiver."
    };
    format!("{}[{}]\n\n{}\n\n{waiving}\n", rule.severity.word(), rule.id.0, rule.page().trim_end())
}

fn list(wanted: &[&Rule]) -> Table {
    let row = |rule: &&Rule| vec![rule.id.0.to_owned(), rule.severity.word().to_owned(), rule.title()];
    Table { head: vec!["rule", "weight", "what it finds"], rows: wanted.iter().map(row).collect() }
}
