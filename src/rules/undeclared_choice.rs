//! An option or choice that the family does not have.
//!
//! ## What is found
//! `only`, `applies-to`, the keys of a table or the options of a tag name an option that the family does not
//! declare, or a choice that the option does not have.
//!
//! ## On the floor
//! A misspelt choice applies to no machine, and a step or a number silently stands nowhere.
//!
//! ## How to mend it
//! Mend the spelling, or declare the option or choice in the family.

use crate::analysis::effectivity;
use crate::base::finding::{Finding, Severity};
use crate::base::name::{Name, nearest};
use crate::base::rule::UNDECLARED_CHOICE;
use crate::base::text::Span;
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::only::{Only, TAG_OPTION, Term, Test};
use crate::model::value::{Key, Table};
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: UNDECLARED_CHOICE,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("undeclared_choice.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for family in &binder.families {
        findings.extend(family.limited_things().into_iter().flat_map(|(_, only)| in_only(binder, family, only)));
        findings.extend(family.values.tables.iter().flat_map(|table| in_table(family, table)));
    }
    for machine in &binder.fleet {
        let Some(family) = binder.family(&machine.family.value) else { continue };
        let wrong = machine.options.iter().filter_map(|(option, choice)| {
            let at = if family.option(&option.value).is_none() { option.span } else { choice.span };
            wrong_choice(family, &option.value, &choice.value, at)
        });
        findings.extend(wrong.map(|finding| finding.tags([machine.tag.value.clone()])));
    }
    for procedure in &binder.procedures {
        let Some(family) = binder.family(&procedure.family.value) else { continue };
        let in_onlys = procedure.effectivities().into_iter().flat_map(|only| in_only(binder, family, only));
        let in_tables = procedure.values.tables.iter().flat_map(|table| in_table(family, table));
        findings.extend(in_onlys.chain(in_tables).map(|finding| finding.document(&procedure.document.value)));
    }
    findings
}

fn in_only(binder: &Binder, family: &Family, only: &Only) -> Vec<Finding> {
    let mut findings = Vec::new();
    for term in &only.terms {
        findings.extend(no_span(family, term, only.span));
        for value in term.test.values() {
            if term.option.folded() == TAG_OPTION {
                findings.extend(wrong_tag(binder, value, only.span));
            } else {
                findings.extend(wrong_choice(family, &term.option, value, only.span));
            }
        }
    }
    // One wrong option is told once, not for each of its choices.
    findings.dedup_by(|a, b| a.message == b.message);
    findings
}

/// Tells a `from to` that no choice can lie in: its ends are the wrong way round, or stand in no order.
fn no_span(family: &Family, term: &Term, span: Span) -> Option<Finding> {
    let Test::FromTo(first, last) = &term.test else { return None };
    if term.option.folded() == TAG_OPTION {
        let finding = told("tags stand in no order, so none lies from one to another".to_owned(), span, "", &[]);
        return Some(finding.help("list the tags: `tag P-101, P-102`"));
    }
    let is_reversed = effectivity::rank(family, &term.option, first)? > effectivity::rank(family, &term.option, last)?;
    let message =
        format!("no `{}` lies from `{first}` to `{last}`: the family declares them the other way round", term.option);
    is_reversed.then(|| told(message, span, "", &[]).help(format!("write `{} {last} to {first}`", term.option)))
}

fn in_table(family: &Family, table: &Table) -> Vec<Finding> {
    let keys = table.rows.iter().flat_map(|row| table.by.iter().zip(&row.keys));
    let named = keys.flat_map(|(option, key)| match key {
        Key::Any => Vec::new(),
        Key::Among(values) => values.iter().map(|value| (option, value)).collect(),
    });
    let mut findings: Vec<Finding> = named
        .filter_map(|(option, value)| {
            let at = if family.option(&option.value).is_none() { option.span } else { value.span };
            wrong_choice(family, &option.value, &value.value, at)
        })
        .collect();
    findings.dedup_by(|a, b| a.span == b.span && a.message == b.message);
    findings
}

fn wrong_choice(family: &Family, option: &Name, value: &str, span: Span) -> Option<Finding> {
    let Some(axis) = family.option(option) else {
        let known: Vec<&str> = family.options.iter().map(|option| option.name.value.as_str()).collect();
        let message = format!("family {} has no option `{option}`", family.id.value);
        return Some(told(message, span, option.as_str(), &known));
    };
    let known: Vec<&str> = axis.choices.iter().map(|choice| choice.value.value.as_str()).collect();
    (!known.contains(&value)).then(|| told(format!("`{option}` cannot be `{value}`"), span, value, &known))
}

fn wrong_tag(binder: &Binder, value: &str, span: Span) -> Option<Finding> {
    let known: Vec<&str> = binder.fleet.iter().map(|machine| machine.tag.value.as_str()).collect();
    (!known.contains(&value)).then(|| told(format!("the fleet has no tag `{value}`"), span, value, &known))
}

fn told(message: String, span: Span, wrong: &str, known: &[&str]) -> Finding {
    let near = nearest(wrong, known.iter().copied()).map(|near| format!("did you mean `{near}`?"));
    Finding::error(UNDECLARED_CHOICE, message)
        .at(span)
        .floor("it would apply to no machine without anybody noticing")
        .help(near.unwrap_or_else(|| format!("declared are: {}", known.join(", "))))
}
