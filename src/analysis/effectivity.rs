//! The one decision of what applies to which machine; it knows no values and no text.

use crate::base::name::Name;
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::fleet::Machine;
use crate::model::only::{Only, TAG_OPTION, Term, Test};
use crate::model::procedure::Procedure;
use crate::model::value::{Key, Row, Table};

/// Returns whether `only` holds for a machine; nothing said holds for all.
///
/// A term about an option that the machine does not have does not hold; that the option exists at all is a rule's business.
#[must_use]
pub fn applies(only: Option<&Only>, family: &Family, machine: &Machine) -> bool {
    only.is_none_or(|only| only.terms.iter().all(|term| term_holds(term, family, machine)))
}

fn term_holds(term: &Term, family: &Family, machine: &Machine) -> bool {
    let choice = if term.option.folded() == TAG_OPTION {
        Some(machine.tag.value.as_str())
    } else {
        machine.choice(&term.option).map(|choice| choice.value.as_str())
    };
    choice.is_some_and(|choice| test_holds(&term.test, &term.option, choice, family))
}

fn test_holds(test: &Test, option: &Name, choice: &str, family: &Family) -> bool {
    match test {
        Test::Among(values) => values.iter().any(|value| value == choice),
        Test::NotAmong(values) => values.iter().all(|value| value != choice),
        Test::FromTo(first, last) => {
            let rank = |value: &str| rank(family, option, value);
            match (rank(first), rank(choice), rank(last)) {
                (Some(first), Some(choice), Some(last)) => (first..=last).contains(&choice),
                _ => false,
            }
        }
    }
}

/// Returns the place of a choice in the order the family declares.
fn rank(family: &Family, option: &Name, value: &str) -> Option<usize> {
    family.option(option)?.choices.iter().position(|choice| choice.value.value == value)
}

/// Returns the machines a procedure is for, in the order of the fleet.
#[must_use]
pub fn scope<'b>(binder: &'b Binder, procedure: &Procedure) -> Vec<&'b Machine> {
    let Some(family) = binder.family(&procedure.family.value) else { return Vec::new() };
    let of_family = |machine: &&Machine| machine.family.value == procedure.family.value;
    let applies = |machine: &&Machine| applies(procedure.applies_to.as_ref(), family, machine);
    binder.fleet.iter().filter(of_family).filter(applies).collect()
}

/// Returns the rows of a table that are for this machine; exactly one is right.
#[must_use]
pub fn rows<'t>(table: &'t Table, machine: &Machine) -> Vec<&'t Row> {
    let choices: Vec<Option<&str>> =
        table.by.iter().map(|option| machine.choice(&option.value).map(|choice| choice.value.as_str())).collect();
    table.rows.iter().filter(|row| row_is_for(row, &choices)).collect()
}

/// Returns whether a row is for these choices, given in the order of the table's options.
#[must_use]
pub fn row_is_for(row: &Row, choices: &[Option<&str>]) -> bool {
    row.keys.iter().zip(choices).all(|(key, choice)| match key {
        Key::Any => true,
        Key::Among(values) => choice.is_some_and(|choice| values.iter().any(|value| value.value == choice)),
    })
}
