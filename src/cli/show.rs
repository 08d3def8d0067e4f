//! How findings and lists are shown in the format that was asked for; it decides nothing about them.

use crate::base::finding::{Finding, Severity};
use crate::base::text::Texts;
use crate::cli::arguments::{FailOn, Format};
use crate::cli::exit::Exit;
use crate::cli::failure::Failure;
use crate::report::human::{self, Look};
use crate::report::sarif;
use crate::report::table::{self, Table};
use crate::report::told::{RulePage, Told};
use crate::report::{json, plain};
use crate::rules::RULES;

/// Returns findings as text; CSV is for lists and was refused before.
pub(crate) fn findings(findings: &[Finding], texts: &Texts, format: Format, look: Look<'_>) -> String {
    match format {
        Format::Human | Format::Csv | Format::Sarif | Format::Html => human::findings(findings, texts, look),
        Format::Plain => plain::findings(findings, texts, look),
        Format::Json => json::findings(findings, texts),
    }
}

/// Returns what a check has to tell as text; CSV is for lists and was refused before.
pub(crate) fn check(told: &Told<'_>, format: Format, look: Look<'_>) -> String {
    match format {
        Format::Human | Format::Csv | Format::Html => {
            human::accepted(told.waived, told.texts, look) + &human::findings(told.findings, told.texts, look)
        }
        Format::Plain => plain::findings(told.findings, told.texts, look),
        Format::Json => json::check(told),
        Format::Sarif => sarif::log(told, &rule_pages(), look),
    }
}

/// Returns every rule with its manual page.
fn rule_pages() -> Vec<RulePage> {
    let page = |rule: &crate::rules::Rule| RulePage {
        id: rule.id,
        severity: rule.severity,
        title: rule.title(),
        page: rule.page(),
        waivable: rule.is_waivable(rule.severity),
    };
    RULES.iter().map(page).collect()
}

/// Returns a list in a format for programs; `None` for a person, for whom each list is set in its own way.
pub(crate) fn list<T: serde::Serialize>(entries: &[T], table: &Table, format: Format) -> Option<String> {
    match format {
        Format::Human | Format::Sarif | Format::Html => None,
        Format::Json => Some(json::list(entries)),
        Format::Plain => Some(table::plain(table)),
        Format::Csv => Some(table::csv(table)),
    }
}

/// Refuses CSV for an answer that is no list.
pub(crate) fn no_csv(format: Format) -> Result<(), Failure> {
    if format != Format::Csv {
        return Ok(());
    }
    Err(Failure::new(Exit::Usage, "this answer is no list, so it cannot be written as `csv`")
        .hint("`--format json` or `--format plain` are for programs; lists write `csv`: `kit`, `faces`, `changes`, `read`, `propose`, `where-used` and `unguarded`"))
}

/// Refuses SARIF for an answer that is no list of findings.
pub(crate) fn no_sarif(format: Format) -> Result<(), Failure> {
    if format != Format::Sarif {
        return Ok(());
    }
    Err(Failure::new(Exit::Usage, "only findings are written as `sarif`").hint("`matchmark check --format sarif`"))
}

/// Refuses HTML for an answer that is not written as a page.
pub(crate) fn no_html(format: Format) -> Result<(), Failure> {
    if format != Format::Html {
        return Ok(());
    }
    Err(Failure::new(Exit::Usage, "this answer is not written as `html`")
        .hint("`matchmark changes --format html` is; packets are pages anyway: `matchmark build`"))
}

/// Returns the end that these findings lead to.
pub(crate) fn exit_of(findings: &[Finding], fail_on: FailOn) -> Exit {
    let least = match fail_on {
        FailOn::Error => Severity::Error,
        FailOn::Warning => Severity::Warning,
        FailOn::Note => Severity::Note,
    };
    if findings.iter().any(|finding| finding.severity <= least) { Exit::Findings } else { Exit::Clean }
}
