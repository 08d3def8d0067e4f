//! What a fleet leaves uncovered or unused: holes, overlaps, dead rows, dead steps, options without effect; it mends nothing.

use crate::analysis::effectivity;
use crate::analysis::job::Job;
use crate::analysis::kit;
use crate::base::name::{DocumentNumber, Name, Tag, nearest};
use crate::base::text::Placed;
use crate::model::binder::Binder;
use crate::model::family::{Family, Part};
use crate::model::fleet::Machine;
use crate::model::only::Only;
use crate::model::procedure::{Procedure, Step, values_of_notes};
use crate::model::prose::Prose;
use crate::model::value::{Row, Table, Values};
use std::collections::{BTreeMap, BTreeSet};

/// A combination of options, in the order of a table's `by`, with how many rows are for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Combination {
    /// The choices.
    pub choices: Vec<String>,
    /// How many rows are for it.
    pub rows: usize,
}

/// A table with the machines it must hold a row for.
#[derive(Clone, Debug)]
pub struct TableHere<'b> {
    /// The table.
    pub table: &'b Table,
    /// The family whose options it is by.
    pub family: &'b Family,
    /// The family's machines, or those the procedure is for.
    pub machines: Vec<&'b Machine>,
    /// The document it stands in; none for a table of the family.
    pub document: Option<&'b DocumentNumber>,
}

/// Returns every table of the binder: those of the families, then those of the procedures.
#[must_use]
pub fn tables(binder: &Binder) -> Vec<TableHere<'_>> {
    let mut tables = Vec::new();
    for family in &binder.families {
        let machines = installed(binder, family);
        let here = |table| TableHere { table, family, machines: machines.clone(), document: None };
        tables.extend(family.values.tables.iter().map(here));
    }
    for procedure in &binder.procedures {
        let Some(family) = binder.family(&procedure.family.value) else { continue };
        let machines = effectivity::scope(binder, procedure);
        let document = Some(&procedure.document.value);
        let here = |table| TableHere { table, family, machines: machines.clone(), document };
        tables.extend(procedure.values.tables.iter().map(here));
    }
    tables
}

/// Returns the values that some procedure asks for on each machine; what is wrong with them is told when it is compiled.
#[must_use]
pub fn asked(binder: &Binder) -> BTreeMap<Tag, BTreeSet<Name>> {
    let mut asked: BTreeMap<Tag, BTreeSet<Name>> = BTreeMap::new();
    for job in binder.procedures.iter().flat_map(|procedure| asked_jobs(binder, procedure)) {
        asked.entry(job.tag().clone()).or_default().extend(job.asked());
    }
    asked
}

/// Returns the machines of a family, in the order of the fleet.
#[must_use]
pub fn installed<'b>(binder: &'b Binder, family: &Family) -> Vec<&'b Machine> {
    binder.fleet.iter().filter(|machine| machine.family.value == family.id.value).collect()
}

/// Returns the rows of a table that no installed machine of the family uses.
#[must_use]
pub fn dead_rows<'t>(table: &'t Table, machines: &[&Machine]) -> Vec<&'t Row> {
    let used: Vec<&Row> = machines.iter().flat_map(|machine| effectivity::rows(table, machine)).collect();
    table.rows.iter().filter(|row| !used.iter().any(|own| std::ptr::eq(*own, *row))).collect()
}

/// Returns how many combinations the options of a table have; none where one of them is not the family's.
#[must_use]
pub fn product(table: &Table, family: &Family) -> Option<u64> {
    table.by.iter().try_fold(1_u64, |product, option| {
        let choices = family.option(&option.value)?.choices.len() as u64;
        Some(product.saturating_mul(choices))
    })
}

/// Returns the combinations of a table's options for which not exactly one row is, leaving out the installed ones.
///
/// The caller has looked at [`product`] first: this expands all of them.
#[must_use]
pub fn uncovered(table: &Table, family: &Family, machines: &[&Machine]) -> Vec<Combination> {
    let axes: Vec<Vec<&str>> = table
        .by
        .iter()
        .filter_map(|option| family.option(&option.value))
        .map(|axis| axis.choices.iter().map(|choice| choice.value.value.as_str()).collect())
        .collect();
    let installed: BTreeSet<Vec<&str>> = machines
        .iter()
        .filter_map(|machine| {
            table.by.iter().map(|option| machine.choice(&option.value).map(|choice| choice.value.as_str())).collect()
        })
        .collect();
    let mut uncovered = Vec::new();
    for choices in combinations(&axes) {
        let keys: Vec<Option<&str>> = choices.iter().copied().map(Some).collect();
        let rows = table.rows.iter().filter(|row| effectivity::row_is_for(row, &keys)).count();
        if rows != 1 && !installed.contains(&choices) {
            uncovered.push(Combination { choices: choices.into_iter().map(str::to_owned).collect(), rows });
        }
    }
    uncovered
}

/// Returns every choice of one value from each axis, the last axis running fastest.
fn combinations<'a>(axes: &[Vec<&'a str>]) -> Vec<Vec<&'a str>> {
    axes.iter().fold(vec![Vec::new()], |begun, axis| {
        begun
            .iter()
            .flat_map(|head| axis.iter().map(move |value| head.iter().copied().chain([*value]).collect()))
            .collect()
    })
}

/// Returns what is for none of these machines, each with a word for what it is; nothing where there is no machine.
#[must_use]
pub fn dead<'t>(
    things: Vec<(&'static str, &'t Only)>,
    family: &Family,
    machines: &[&Machine],
) -> Vec<(&'static str, &'t Only)> {
    let alive = |only: &Only| machines.iter().any(|machine| effectivity::may_apply(only, family, machine));
    things.into_iter().filter(|(_, only)| !machines.is_empty() && !alive(only)).collect()
}

/// Returns the options of the family that decide nothing in a procedure, whichever of its machines it is for.
#[must_use]
pub fn idle_options<'b>(binder: &'b Binder, procedure: &'b Procedure) -> Vec<&'b Name> {
    let Some(family) = binder.family(&procedure.family.value) else { return Vec::new() };
    let consulted: BTreeSet<Name> = asked_jobs(binder, procedure).iter().flat_map(Job::consulted).collect();
    family.options.iter().map(|option| &option.name.value).filter(|name| !consulted.contains(name)).collect()
}

/// Returns the jobs of a procedure, each asked for everything.
fn asked_jobs<'b>(binder: &'b Binder, procedure: &'b Procedure) -> Vec<Job<'b>> {
    let Some(family) = binder.family(&procedure.family.value) else { return Vec::new() };
    let named = kit::named_parts(family, procedure);
    let machines = effectivity::scope(binder, procedure).into_iter();
    let jobs = machines.filter_map(|machine| Job::new(binder, procedure, machine));
    jobs.inspect(|job| ask_everything(job, &named)).collect()
}

/// Asks a job for everything it will be asked for when it is compiled; the answers do not matter here.
fn ask_everything(job: &Job<'_>, named: &[&Part]) {
    let procedure = job.procedure;
    job.depends_on(procedure.applies_to.as_ref());
    let _ = job.joints();
    let here = procedure.readings.iter().filter(|reading| job.applies(reading.only.as_ref()));
    for reading in here {
        let _ = job.reading(reading);
    }
    job.ask_for_kit(named);
    let notes = procedure.stages.iter().flat_map(values_of_notes);
    for name in job.numbered_steps().into_iter().flat_map(|(_, step)| step.values()).chain(notes) {
        let _ = job.value(name);
    }
    for name in &procedure.card.numbers {
        let _ = job.value(name);
    }
    let cautions = procedure.cautions.iter().filter(|caution| job.applies(caution.only.as_ref()));
    let cautions = cautions.flat_map(|caution| [&caution.hazard, &caution.consequence, &caution.avoid]);
    let holds = procedure.holds.iter().filter(|hold| job.applies(hold.only.as_ref())).map(|hold| &hold.verify);
    let outside = procedure.readings.iter().filter_map(|reading| reading.outside.as_ref());
    let header = [&procedure.purpose].into_iter().chain(&procedure.precautions).chain(&procedure.prerequisites);
    for prose in cautions.chain(holds).chain(outside).chain(header).chain(&procedure.not_covered) {
        let _ = job.sentence(prose);
    }
}

/// Returns the values of a family that no procedure and no register names; nothing where no procedure is for the family yet.
#[must_use]
pub fn unused_values<'b>(binder: &'b Binder, family: &'b Family) -> Vec<&'b Placed<Name>> {
    let own = |procedure: &&Procedure| procedure.family.value == family.id.value;
    let mut procedures = binder.procedures.iter().filter(own).peekable();
    if procedures.peek().is_none() {
        return Vec::new();
    }
    let mut named = named_by_family(family);
    named.extend(procedures.flat_map(named_by_procedure));
    let defined = family.values.definitions().map(|definition| definition.name()).chain(&family.tag_values);
    not_named(defined.collect(), &named)
}

/// Returns the values of a procedure that it names nowhere.
#[must_use]
pub fn unused_values_of<'b>(binder: &'b Binder, procedure: &'b Procedure) -> Vec<&'b Placed<Name>> {
    let mut named = named_by_procedure(procedure);
    // A joint of the family may take its torque from a value of the procedure.
    named.extend(binder.family(&procedure.family.value).map(named_by_family).unwrap_or_default());
    not_named(procedure.values.definitions().map(|definition| definition.name()).collect(), &named)
}

/// Returns what is not named; a value whose name was only misspelt is meant, and that is told where it is misspelt.
fn not_named<'b>(defined: Vec<&'b Placed<Name>>, named: &BTreeSet<Name>) -> Vec<&'b Placed<Name>> {
    let known: BTreeSet<&Name> = defined.iter().map(|name| &name.value).collect();
    let left: Vec<&Placed<Name>> = defined.into_iter().filter(|name| !named.contains(&name.value)).collect();
    let is_misspelt = |own: &Name| {
        let strangers = named.iter().filter(|name| !known.contains(name) && !name.as_str().is_empty());
        nearest(own.as_str(), strangers.map(Name::as_str)).is_some()
    };
    left.into_iter().filter(|name| !is_misspelt(&name.value)).collect()
}

fn named_by_procedure(procedure: &Procedure) -> BTreeSet<Name> {
    let mut named = named_by_values(&procedure.values);
    let notes = procedure.stages.iter().flat_map(values_of_notes);
    named.extend(procedure.steps().flat_map(Step::values).chain(notes).map(|name| name.value.clone()));
    named.extend(procedure.proses().flat_map(Prose::values).map(|name| name.value.clone()));
    let draws = [&procedure.tools, &procedure.fluids, &procedure.torques, &procedure.parts];
    let draws = draws.into_iter().flatten().map(|draw| &draw.what);
    let instruments = procedure.readings.iter().filter_map(|reading| reading.instrument.as_ref());
    draws.chain(instruments).for_each(|prose| named.extend(named_by(prose)));
    named.extend(procedure.card.numbers.iter().map(|name| name.value.clone()));
    named
}

fn named_by_family(family: &Family) -> BTreeSet<Name> {
    let mut named = named_by_values(&family.values);
    for part in &family.parts {
        named.insert(Name::new(&part.count.value));
        let tools = part.tools.iter().map(|draw| &draw.what);
        part.material.iter().chain(&part.number).chain(tools).for_each(|prose| named.extend(named_by(prose)));
    }
    let openings = family.openings.iter().map(|opening| &opening.count);
    let counts = openings.chain(family.temporary.iter().map(|item| &item.count)).flatten();
    named.extend(counts.map(|count| Name::new(&count.value)));
    for joint in &family.joints {
        named.insert(joint.torque.value.clone());
        let adapter = joint.adapter.iter().map(|(adapter, _)| adapter);
        named.extend(joint.thread.iter().chain(&joint.wrench).chain(adapter).map(|text| Name::new(&text.value)));
        joint.state.iter().for_each(|prose| named.extend(named_by(prose)));
    }
    named
}

fn named_by_values(values: &Values) -> BTreeSet<Name> {
    let computed = values.computed.iter();
    computed
        .flat_map(|own| [own.count.value.clone(), own.times.value.clone(), Name::new(&own.instrument.value)])
        .collect()
}

/// Returns the values a sentence names, and the sentence itself, which may be the bare name of one.
fn named_by(prose: &Prose) -> Vec<Name> {
    prose.values().map(|name| name.value.clone()).chain([Name::new(&prose.plain(""))]).collect()
}
