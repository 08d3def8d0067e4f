//! What the rules would say of a paper on which a value is typed over its name; it writes no paper.

use crate::base::finding::{Finding, Severity};
use crate::base::name::Name;
use crate::base::text::Span;
use crate::model::binder::Binder;
use crate::model::procedure::{Block, Inline, Manner, Procedure};
use crate::rules;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// What findings say, without their places: those a reader must act upon.
pub(super) fn told(findings: &[Finding]) -> BTreeSet<(&'static str, String)> {
    let weighs = findings.iter().filter(|finding| finding.severity != Severity::Note);
    weighs.map(|finding| (finding.rule.0, finding.message.clone())).collect()
}

/// Returns the rules that say something they did not say of the clean text.
pub(super) fn new_rules(
    clean: &BTreeSet<(&'static str, String)>,
    here: &BTreeSet<(&'static str, String)>,
) -> BTreeSet<&'static str> {
    here.difference(clean).map(|(rule, _)| *rule).collect()
}

/// A step, a value's name, and the words over it.
type Place = (Span, Name, String);

/// What the rules of sentences say where a value is typed over its name.
pub(super) struct Typed<'b> {
    binder: &'b Binder,
    procedure: &'b Procedure,
    clean: BTreeSet<(&'static str, String)>,
    /// What was found for a step, name and words: machines that share a value share it.
    found: RefCell<BTreeMap<Place, BTreeSet<&'static str>>>,
}

impl<'b> Typed<'b> {
    /// Returns a procedure in which nothing was typed over yet.
    pub(super) fn new(binder: &'b Binder, procedure: &'b Procedure) -> Self {
        Self { binder, procedure, clean: told(&rules::written(binder, procedure)), found: RefCell::default() }
    }

    /// Returns the rules that say something of a step in which words stand for a value's name.
    pub(super) fn rules(&self, step: Span, name: &Name, words: &str) -> BTreeSet<&'static str> {
        let key = (step, name.clone(), words.to_owned());
        if let Some(found) = self.found.borrow().get(&key) {
            return found.clone();
        }
        let found = self.rules_of(step, name, words);
        self.found.borrow_mut().insert(key, found.clone());
        found
    }

    fn rules_of(&self, step: Span, name: &Name, words: &str) -> BTreeSet<&'static str> {
        let mut procedure = self.procedure.clone();
        let steps = procedure.stages.iter_mut().flat_map(|stage| &mut stage.steps).filter(|own| own.span == step);
        steps.for_each(|own| type_over(&mut own.blocks, name, words));
        new_rules(&self.clean, &told(&rules::written(self.binder, &procedure)))
    }
}

fn type_over(blocks: &mut [Block], name: &Name, words: &str) {
    let over = |line: &mut Vec<Inline>| {
        for inline in line {
            if let Inline::Value(own) = inline
                && own.value == *name
            {
                let span = own.span;
                *inline = Inline::Words { text: words.to_owned(), manner: Manner::Plain, span, joins: Vec::new() };
            }
        }
    };
    for block in blocks {
        match block {
            Block::Paragraph(line) => over(line),
            Block::List(items) => items.iter_mut().for_each(|item| type_over(item, name, words)),
            Block::Table { head, rows } => head.iter_mut().chain(rows.iter_mut().flatten()).for_each(over),
            Block::Figure { .. } => {}
        }
    }
}
