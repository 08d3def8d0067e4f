//! The one decision of what applies to which machine; it knows no values and no text.

use crate::base::name::Name;
use crate::model::binder::Binder;
use crate::model::family::{Boundary, Family};
use crate::model::fleet::Machine;
use crate::model::only::{Only, TAG_OPTION, Term, Test};
use crate::model::procedure::Procedure;
use crate::model::value::{Key, Row, Table};

/// Returns whether `only` holds for a machine; nothing said holds for all, and what cannot be decided does not hold.
///
/// Whoever leaves something out because of this answer must also look at [`undecided`].
#[must_use]
pub fn applies(only: Option<&Only>, family: &Family, machine: &Machine) -> bool {
    only.is_none_or(|only| decided(only, family, machine) == Some(true))
}

/// Returns whether `only` holds for a machine, or might once the fleet says what is not known of it.
#[must_use]
pub fn may_apply(only: &Only, family: &Family, machine: &Machine) -> bool {
    decided(only, family, machine) != Some(false)
}

/// Returns the options that `only` asks for, that the fleet does not say of this machine, and without which it cannot be
/// decided; none where it holds, or fails by another of its terms.
#[must_use]
pub fn undecided<'o>(only: &'o Only, family: &Family, machine: &Machine) -> Vec<&'o Name> {
    if decided(only, family, machine).is_some() {
        return Vec::new();
    }
    let unknown = only.terms.iter().filter(|term| term_holds(term, family, machine).is_none());
    unknown.map(|term| &term.option).collect()
}

/// Returns whether `only` holds; none where that depends on an option the fleet does not say of this machine.
fn decided(only: &Only, family: &Family, machine: &Machine) -> Option<bool> {
    let terms = || only.terms.iter().map(|term| term_holds(term, family, machine));
    if terms().any(|holds| holds == Some(false)) {
        return Some(false);
    }
    terms().all(|holds| holds.is_some()).then_some(true)
}

/// Returns whether a term holds. One about an option that the family does not have does not hold, which is a rule's
/// business; one about an option that the machine does not say is open.
fn term_holds(term: &Term, family: &Family, machine: &Machine) -> Option<bool> {
    if term.option.folded() == TAG_OPTION {
        return Some(test_holds(&term.test, &term.option, machine.tag.value.as_str(), family));
    }
    if family.option(&term.option).is_none() {
        return Some(false);
    }
    let choice = machine.choice(&term.option)?;
    Some(test_holds(&term.test, &term.option, &choice.value, family))
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
#[must_use]
pub fn rank(family: &Family, option: &Name, value: &str) -> Option<usize> {
    family.option(option)?.choices.iter().position(|choice| choice.value.value == value)
}

/// Returns the machines a procedure is for, in the order of the fleet, and those of which that cannot be decided: such a
/// machine is told by its job and its packet is suppressed, rather than missing without a word.
#[must_use]
pub fn scope<'b>(binder: &'b Binder, procedure: &Procedure) -> Vec<&'b Machine> {
    let Some(family) = binder.family(&procedure.family.value) else { return Vec::new() };
    let of_family = |machine: &&Machine| machine.family.value == procedure.family.value;
    let may_be = |machine: &&Machine| procedure.applies_to.as_ref().is_none_or(|only| may_apply(only, family, machine));
    binder.fleet.iter().filter(of_family).filter(may_be).collect()
}

/// Returns the boundaries a machine has: its family's, and the optional ones it lists.
#[must_use]
pub fn boundaries<'b>(family: &'b Family, machine: &Machine) -> Vec<&'b Boundary> {
    let lists = |boundary: &Boundary| machine.boundaries.iter().any(|own| own.value == boundary.name.value);
    family.boundaries.iter().filter(|boundary| !boundary.optional || lists(boundary)).collect()
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
