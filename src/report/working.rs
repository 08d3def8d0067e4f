//! A computed figure as text for a person or a line a fact; it rounds for the eye and computes nothing.

use crate::analysis::working::{Constant, Given, Outcome, Statement, Working};
use crate::report::table::{self, Table};
use std::fmt::Write as _;

/// Returns a working for a person: formula, what was given, results with their band, constants with their source, caution.
#[must_use]
pub fn human(working: &Working) -> String {
    let mut text = format!("{}\n\n  {}\n\n", working.title, working.formula);
    let given = working.given.iter().map(|one: &Given| [one.name, one.symbol, &one.shown].map(str::to_owned).to_vec());
    block(&mut text, "given", given.collect());
    let result = |one: &Outcome| vec![one.name.to_owned(), one.symbol.to_owned(), one.shown()];
    let statement = |one: &Statement| vec![one.name.to_string(), String::new(), one.shown.clone()];
    let results = working.results.iter().map(result).chain(working.statements.iter().map(statement));
    block(&mut text, "result", results.collect());
    let constant = |one: &Constant| {
        vec![one.name.to_string(), one.shown.clone(), format!("{} ({})", one.source.text, one.source.known.words())]
    };
    block(&mut text, "constants", working.constants.iter().map(constant).collect());
    for remark in &working.remarks {
        let _ = writeln!(text, "  {remark}");
    }
    let _ = writeln!(text, "  Caution: {}", working.caution);
    text
}

fn block(text: &mut String, title: &str, rows: Vec<Vec<String>>) {
    let columns = rows.first().map_or(0, Vec::len);
    let table = Table { head: vec![""; columns], rows };
    let _ = writeln!(text, "  {title}");
    for line in table::columns(&table).lines().filter(|line| !line.trim().is_empty()) {
        let _ = writeln!(text, "    {line}");
    }
    text.push('\n');
}

/// Returns a working as records, a line each: kind, name, what is shown, source.
#[must_use]
pub fn plain(working: &Working) -> String {
    let row =
        |kind: &str, name: &str, shown: &str, source: &str| [kind, name, shown, source].map(str::to_owned).to_vec();
    let mut rows = vec![row("formula", "", working.formula, "")];
    rows.extend(working.given.iter().map(|one| row("given", one.name, &one.shown, "")));
    rows.extend(working.results.iter().map(|one| row("result", one.name, &one.shown(), "")));
    rows.extend(working.statements.iter().map(|one| row("result", &one.name, &one.shown, "")));
    rows.extend(working.constants.iter().map(|one| {
        row("constant", &one.name, &one.shown, &format!("{} ({})", one.source.text, one.source.known.words()))
    }));
    rows.extend(working.remarks.iter().map(|one| row("remark", "", one, "")));
    rows.push(row("caution", "", working.caution, ""));
    table::plain(&Table { head: vec!["kind", "name", "figure", "source"], rows })
}
