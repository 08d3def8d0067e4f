//! One procedure on one machine: the place from which everything about it is resolved; it holds no result.

use crate::analysis::effectivity;
use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Name, Tag};
use crate::base::rule::MISSING_VALUE;
use crate::base::text::{Placed, Span};
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::fleet::Machine;
use crate::model::only::Only;
use crate::model::procedure::{Procedure, Step};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// What a question about a job answers, or what the author must mend first.
pub type Answer<T> = Result<T, Box<Finding>>;

/// One procedure on one machine.
#[derive(Debug)]
pub struct Job<'b> {
    /// The binder.
    pub binder: &'b Binder,
    /// The procedure.
    pub procedure: &'b Procedure,
    /// The machine's family.
    pub family: &'b Family,
    /// The machine.
    pub machine: &'b Machine,
    /// Options that decided something so far.
    consulted: RefCell<BTreeSet<Name>>,
    /// Values that were asked for so far.
    asked: RefCell<BTreeSet<Name>>,
}

impl<'b> Job<'b> {
    /// Returns the job; none where the procedure's family is not in the binder.
    #[must_use]
    pub fn new(binder: &'b Binder, procedure: &'b Procedure, machine: &'b Machine) -> Option<Self> {
        let family = binder.family(&procedure.family.value)?;
        Some(Self { binder, procedure, family, machine, consulted: RefCell::default(), asked: RefCell::default() })
    }

    /// Returns the machine's tag.
    #[must_use]
    pub fn tag(&self) -> &'b Tag {
        &self.machine.tag.value
    }

    /// Returns whether `only` holds for this machine.
    #[must_use]
    pub fn applies(&self, only: Option<&Only>) -> bool {
        self.depends_on(only);
        effectivity::applies(only, self.family, self.machine)
    }

    /// Returns whether `only`, of something this job needs, holds for this machine.
    ///
    /// # Errors
    /// A finding where the fleet does not say an option that decides it.
    pub fn decides(&self, only: Option<&Only>) -> Answer<bool> {
        let open = only.map(|only| (effectivity::undecided(only, self.family, self.machine), only.span));
        match open.as_ref().and_then(|(options, span)| options.first().map(|option| (option, *span))) {
            Some((option, span)) => Err(self.no_choice(option, span)),
            None => Ok(self.applies(only)),
        }
    }

    /// Returns what keeps it from being decided what the procedure says and what the machine has: options the fleet does not
    /// say of this machine.
    #[must_use]
    pub fn undecided(&self) -> Vec<Finding> {
        let open = |only: &'b Only| {
            let options = effectivity::undecided(only, self.family, self.machine);
            options.into_iter().map(|option| *self.no_choice(option, only.span))
        };
        let objects = self.family.limited_objects().into_iter().map(|(_, only)| only);
        self.procedure.effectivities().into_iter().chain(objects).flat_map(open).collect()
    }

    /// Returns a finding that the fleet does not say an option of this machine, which is needed at `span`.
    pub(crate) fn no_choice(&self, option: &Name, span: Span) -> Box<Finding> {
        let finding = Finding::error(MISSING_VALUE, format!("the fleet does not say which `{option}` it has"));
        let finding = finding.at(self.machine.tag.span).also(span, "it is needed here");
        let floor = "a step, caution or number might be missing, and nobody would see that it is";
        Box::new(finding.floor(floor).help("walk to the machine, look, and write it into `fleet.yaml`"))
    }

    /// Remembers that what is being told depends on the options an effectivity names.
    pub fn depends_on(&self, only: Option<&Only>) {
        for term in only.into_iter().flat_map(|only| &only.terms) {
            self.consult(&term.option);
        }
    }

    /// Returns this machine's choice of an option and remembers that it was asked for.
    #[must_use]
    pub fn choice(&self, option: &Name) -> Option<&'b Placed<String>> {
        self.consult(option);
        self.machine.choice(option)
    }

    /// Remembers that an option decided something.
    pub fn consult(&self, option: &Name) {
        self.consulted.borrow_mut().insert(option.clone());
    }

    /// Remembers that a value was asked for.
    pub(crate) fn ask(&self, name: &Name) {
        self.asked.borrow_mut().insert(name.clone());
    }

    /// Returns the values that were asked for so far.
    #[must_use]
    pub fn asked(&self) -> BTreeSet<Name> {
        self.asked.borrow().clone()
    }

    /// Returns the options that decided something so far.
    #[must_use]
    pub fn consulted(&self) -> BTreeSet<Name> {
        self.consulted.borrow().clone()
    }

    /// Returns the steps that apply, each with its number, counted from 1 through all stages.
    #[must_use]
    pub fn numbered_steps(&self) -> Vec<(u32, &'b Step)> {
        let here = self.procedure.steps().filter(|step| self.applies(step.only.as_ref()));
        here.enumerate()
            .map(|(index, step)| (u32::try_from(index).unwrap_or(u32::MAX).saturating_add(1), step))
            .collect()
    }
}

/// Looks at every job of a binder and joins what is found.
pub fn in_every_job(binder: &Binder, look: impl Fn(&Job<'_>) -> Vec<Finding>) -> Vec<Finding> {
    let mut found = Vec::new();
    for procedure in &binder.procedures {
        let machines = effectivity::scope(binder, procedure).into_iter();
        for job in machines.filter_map(|machine| Job::new(binder, procedure, machine)) {
            found.extend(look(&job).into_iter().map(|finding| (job.tag().clone(), finding)));
        }
    }
    joined(found)
}

/// Where a finding is joined to others: its place, rule, document and message. Each document keeps its own, or a check of
/// one document would not tell what another has in common with it.
type Told = (Option<Span>, &'static str, Option<DocumentNumber>, String);

/// Joins findings that say the same of several tags of a document, and shows the further places they say it at.
#[must_use]
pub fn joined(found: impl IntoIterator<Item = (Tag, Finding)>) -> Vec<Finding> {
    let mut groups: BTreeMap<Told, Finding> = BTreeMap::new();
    for (tag, finding) in found {
        let key = (finding.span, finding.rule.0, finding.document.clone(), finding.message.clone());
        let group = groups.entry(key).or_insert_with(|| Finding { also: Vec::new(), ..finding.clone() });
        group.tags.insert(tag);
        for place in finding.also {
            if !group.also.contains(&place) {
                group.also.push(place);
            }
        }
    }
    groups.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_document_keeps_what_it_has_in_common_with_another() {
        let told = |document: &str, tag: &str| {
            let finding = Finding::error(MISSING_VALUE, "the same").document(&DocumentNumber::new(document));
            (Tag::new(tag), finding)
        };
        let joined = joined([told("MP-1", "P-1"), told("MP-2", "P-1"), told("MP-1", "P-2")]);
        let words = joined.iter().map(|one| {
            let tags: Vec<&str> = one.tags.iter().map(Tag::as_str).collect();
            format!("{} {}", one.document.as_ref().map_or("", DocumentNumber::as_str), tags.join(" "))
        });
        assert_eq!(words.collect::<Vec<_>>(), ["MP-1 P-1 P-2", "MP-2 P-1"]);
    }
}
