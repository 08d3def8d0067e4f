//! What changed as one HTML page; it knows no packet and no revision, and judges no change.

use crate::base::risk::RiskClass;
use crate::render::conserve::{self, Expectation};
use crate::render::error::RenderError;
use crate::render::theme::Theme;
use serde::Serialize;

/// What the page says.
#[derive(Clone, Debug, Serialize)]
pub struct ChangesView {
    /// What it is compared with, in words.
    pub from: String,
    /// What is compared, in words.
    pub to: String,
    /// The highest class; none where nothing changed.
    pub class: Option<RiskClass>,
    /// The changes by class, the largest consequence first.
    pub classes: Vec<ClassRows>,
    /// The numbers that change, those of the same machines together.
    pub numbers: Vec<MachineRows>,
    /// What did not change.
    pub unchanged: Vec<UnchangedRow>,
    /// What nothing can be said of.
    pub untold: Vec<UntoldRow>,
    /// How many packets are as they were.
    pub same: usize,
    /// How many packets there are in either state.
    pub packets: usize,
}

/// The changes of one class.
#[derive(Clone, Debug, Serialize)]
pub struct ClassRows {
    /// The class.
    pub class: RiskClass,
    /// Its changes.
    pub rows: Vec<Row>,
}

/// The numbers that change on the same machines.
#[derive(Clone, Debug, Serialize)]
pub struct MachineRows {
    /// The procedure.
    pub document: String,
    /// The machines.
    pub tags: Vec<String>,
    /// The numbers.
    pub rows: Vec<Row>,
}

/// One change.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    /// The procedure.
    pub document: String,
    /// What differs.
    pub what: String,
    /// As it was; empty where it was not there.
    pub from: String,
    /// As it is; empty where it is gone.
    pub to: String,
    /// What the reader must know beside it; may be empty.
    pub remark: String,
    /// The machines.
    pub tags: Vec<String>,
}

/// What did not change in a procedure.
#[derive(Clone, Debug, Serialize)]
pub struct UnchangedRow {
    /// The procedure.
    pub document: String,
    /// What is as before, in words.
    pub areas: Vec<String>,
}

/// A packet of which nothing can be said.
#[derive(Clone, Debug, Serialize)]
pub struct UntoldRow {
    /// The procedure.
    pub document: String,
    /// The machine.
    pub tag: String,
    /// Which state cannot be made, in words.
    pub state: String,
}

/// Returns the page.
///
/// # Errors
/// What the page lost, or by what it would lead outside.
pub fn page(theme: &Theme, view: &ChangesView) -> Result<String, RenderError> {
    let html = theme.fill_changes(view)?;
    let (output, template) = ("the page of changes".to_owned(), "changes.html".to_owned());
    let lost = conserve::missing(&expectations(view), &theme.changes_text(&html));
    if !lost.is_empty() {
        return Err(RenderError::Lost { output, template, lost });
    }
    let found = theme.changes_outward(&html);
    if found.is_empty() { Ok(html) } else { Err(RenderError::Outward { output, template, found }) }
}

fn expectations(view: &ChangesView) -> Vec<Expectation> {
    let mut expected = Vec::new();
    let of_classes = view.classes.iter().map(|own| ("a change", &own.rows));
    for (place, rows) in of_classes.chain(view.numbers.iter().map(|own| ("a number that changes", &own.rows))) {
        for row in rows {
            let tags = row.tags.join(" ");
            let texts = [&row.document, &row.from, &row.to, &row.remark, &tags];
            expected.extend(Expectation::row(place, &row.what, &texts.map(String::as_str)));
        }
    }
    for own in &view.unchanged {
        expected.extend(own.areas.iter().map(|area| Expectation::anywhere("what did not change", area)));
    }
    for own in &view.untold {
        expected.extend(Expectation::row("what cannot be told", &own.tag, &[&own.document, &own.state]));
    }
    expected.retain(|expectation| !expectation.text.is_empty());
    expected
}
