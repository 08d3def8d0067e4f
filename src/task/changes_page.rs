//! What changed, as a page that a supervisor reads on a tablet; it decides what stands in which table, and no change.

use crate::base::paper::Paper;
use crate::packet::change::{Area, Change};
use crate::render::changes::{ChangesView, ClassRows, MachineRows, Row, UnchangedRow, UntoldRow, page};
use crate::render::error::RenderError;
use crate::render::theme::Theme;
use crate::task::changes::{Changes, Group};
use std::collections::BTreeMap;

/// What stands at the head of the page.
#[derive(Clone, Copy, Debug)]
pub struct Heading<'a> {
    /// What it is compared with, in words (`revision 6`).
    pub from: &'a str,
    /// What is compared, in words.
    pub to: &'a str,
}

/// Returns what changed as one HTML page that asks nobody for anything.
///
/// # Errors
/// A [`RenderError`] where the page lost something, which is a fault of the program: no binder brings a template for it.
pub fn changes_page(found: &Changes, heading: Heading<'_>) -> Result<String, RenderError> {
    page(&Theme::new(&[], Paper::A4)?, &view(found, heading))
}

fn view(found: &Changes, heading: Heading<'_>) -> ChangesView {
    let mut classes: Vec<ClassRows> = Vec::new();
    for own in &found.changes {
        if classes.last().is_none_or(|last| last.class != own.change.class) {
            classes.push(ClassRows { class: own.change.class, rows: Vec::new() });
        }
        classes.last_mut().expect("it was put there above").rows.push(row(own));
    }
    ChangesView {
        from: heading.from.to_owned(),
        to: heading.to.to_owned(),
        class: found.class,
        classes,
        numbers: numbers(found),
        unchanged: found
            .unchanged
            .iter()
            .map(|own| UnchangedRow {
                document: own.document.clone(),
                areas: own.areas.iter().map(|area| area.plural().to_owned()).collect(),
            })
            .collect(),
        untold: found
            .untold
            .iter()
            .map(|own| UntoldRow {
                document: own.document.clone(),
                tag: own.tag.clone(),
                state: if own.state == "before" { "as it was" } else { "as it is now" }.to_owned(),
            })
            .collect(),
        same: found.same,
        packets: found.packets,
    }
}

/// Returns the numbers that change, those of the same machines together.
fn numbers(found: &Changes) -> Vec<MachineRows> {
    let mut machines: BTreeMap<(String, Vec<String>), Vec<Row>> = BTreeMap::new();
    for own in found.changes.iter().filter(|own| is_number(&own.change)) {
        machines.entry((own.document.clone(), own.tags.clone())).or_default().push(row(own));
    }
    machines.into_iter().map(|((document, tags), rows)| MachineRows { document, tags, rows }).collect()
}

/// Returns whether a change is one of numbers: the figures in what was and in what is differ. Those of a picture's digest and
/// of a step's place are none.
fn is_number(change: &Change) -> bool {
    let figures = |text: &str| -> Vec<String> {
        let words = text.split(|c: char| !(c.is_ascii_digit() || c == '.'));
        words.filter(|word| word.contains(|c: char| c.is_ascii_digit())).map(str::to_owned).collect()
    };
    !matches!(change.area, Area::Step | Area::Figure | Area::Words) && figures(&change.from) != figures(&change.to)
}

fn row(own: &Group) -> Row {
    let Change { what, from, to, remark, .. } = &own.change;
    // Backticks are for a terminal; on a page a name stands in quotation marks.
    let words = |text: &str| text.replace('`', "\"");
    Row {
        document: own.document.clone(),
        what: words(what),
        from: words(from),
        to: words(to),
        remark: words(remark),
        tags: own.tags.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::is_number;
    use crate::packet::change::{Area, Change};

    #[test]
    fn a_change_of_figures_is_one_of_numbers() {
        let change = |area: Area, from: &str, to: &str| Change {
            class: area.class(),
            area,
            what: "it".to_owned(),
            from: from.to_owned(),
            to: to.to_owned(),
            remark: String::new(),
        };
        assert!(is_number(&change(Area::Torque, "44 N·m", "46 N·m")));
        assert!(is_number(&change(Area::Reading, "0.6 to 1.0 mm", "")));
        assert!(is_number(&change(Area::Caution, "below 40 °C", "below 60 °C")));
        assert!(!is_number(&change(Area::Torque, "L-03 on the threads", "L-03 on the washers")));
        assert!(!is_number(&change(Area::Step, "step 4", "step 5")));
        assert!(!is_number(&change(Area::Figure, "91eb", "3f00")));
    }
}
