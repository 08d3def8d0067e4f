//! The rules: one file each, named for the offence, and the one slice that lists them; they print nothing and mend nothing.
//!
//! The words at the head of a rule's file are its manual page; `matchmark explain RULE` prints them. A rule is found while
//! the binder is read, while a packet is compiled, or by a check of its own over the whole binder.

mod action_in_a_caution;
mod ambiguous_date;
mod ambiguous_value;
mod applies_to_nothing;
mod arithmetic_left_to_reader;
mod bad_figure;
mod bad_quantity;
mod boundary_not_isolated;
mod brace_syntax;
mod condition_after_action;
mod crowded_cautions;
mod dead_row;
mod dead_step;
mod decimal_comma;
mod duplicate_key;
mod duplicate_name;
mod effectivity_syntax;
mod empty_card;
mod empty_procedure;
mod figure_without_words;
mod hard_to_read;
mod hidden_character;
mod hole_beyond_fleet;
mod hole_in_fleet;
mod idle_option;
mod job_covered_twice;
mod language_not_checked;
mod limit_rounded_outward;
mod limit_without_unit;
mod long_sentence;
mod markdown_form;
mod missing_choice;
mod missing_figure;
mod missing_register;
mod missing_value;
mod mixed_column;
mod moment_without_step;
mod naked_point;
mod nested_too_deep;
mod never_used;
mod no_verb_first;
mod not_held;
mod not_utf8;
mod plus_minus_limit;
mod raw_html;
mod reference_to_absent_step;
mod repeat_steps;
mod reverse_order;
mod row_length;
mod same_in_every_row;
mod schema_violation;
mod semicolon;
mod shared_torque;
mod stray_text;
mod too_many_combinations;
mod too_many_steps;
mod torque_without_step;
mod two_instructions;
mod typed_step_number;
mod unclear_condition;
mod undeclared_choice;
mod undeclared_name;
mod unit_mix;
mod unreadable_file;
mod unsafe_link;
mod unusable_name;
mod vague_limit;
mod value_elsewhere;
mod value_over_option;
mod verb_hides_steps;
mod wrong_kind;
mod yaml_feature;
mod yaml_syntax;

use crate::analysis::wording::{self, Writing};
use crate::base::finding::{Bounded, Finding, RuleId, Severity};
use crate::model::binder::{Binder, Registers};
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};

/// A rule with its manual page.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its stable name.
    pub id: RuleId,
    /// How much its findings weigh.
    pub severity: Severity,
    /// When it is found.
    pub found: Found,
    /// The source of its file, whose head is the manual page.
    source: &'static str,
}

/// When a rule is found.
#[derive(Clone, Copy, Debug)]
pub enum Found {
    /// While the binder is read.
    Reading,
    /// While the packet of a tag is compiled.
    Compiling,
    /// By a check over the whole binder.
    Check(fn(&Binder) -> Vec<Finding>),
    /// By a check of the sentences of each procedure, in whichever language.
    Sentences(fn(&Writing<'_>) -> Vec<Finding>),
    /// By a check of the sentences of each procedure that is written in English.
    Wording(fn(&Writing<'_>) -> Vec<Finding>),
}

/// Every rule, in alphabetical order.
pub const RULES: &[Rule] = &[
    action_in_a_caution::RULE,
    ambiguous_date::RULE,
    ambiguous_value::RULE,
    applies_to_nothing::RULE,
    arithmetic_left_to_reader::RULE,
    bad_figure::RULE,
    bad_quantity::RULE,
    boundary_not_isolated::RULE,
    brace_syntax::RULE,
    condition_after_action::RULE,
    crowded_cautions::RULE,
    dead_row::RULE,
    dead_step::RULE,
    decimal_comma::RULE,
    duplicate_key::RULE,
    duplicate_name::RULE,
    effectivity_syntax::RULE,
    empty_card::RULE,
    empty_procedure::RULE,
    figure_without_words::RULE,
    hard_to_read::RULE,
    hidden_character::RULE,
    hole_beyond_fleet::RULE,
    hole_in_fleet::RULE,
    idle_option::RULE,
    job_covered_twice::RULE,
    language_not_checked::RULE,
    limit_rounded_outward::RULE,
    limit_without_unit::RULE,
    long_sentence::RULE,
    markdown_form::RULE,
    missing_choice::RULE,
    missing_figure::RULE,
    missing_register::RULE,
    missing_value::RULE,
    mixed_column::RULE,
    moment_without_step::RULE,
    naked_point::RULE,
    nested_too_deep::RULE,
    never_used::RULE,
    no_verb_first::RULE,
    not_held::RULE,
    not_utf8::RULE,
    plus_minus_limit::RULE,
    raw_html::RULE,
    reference_to_absent_step::RULE,
    repeat_steps::RULE,
    reverse_order::RULE,
    row_length::RULE,
    same_in_every_row::RULE,
    schema_violation::RULE,
    semicolon::RULE,
    shared_torque::RULE,
    stray_text::RULE,
    too_many_combinations::RULE,
    too_many_steps::RULE,
    torque_without_step::RULE,
    two_instructions::RULE,
    typed_step_number::RULE,
    unclear_condition::RULE,
    undeclared_choice::RULE,
    undeclared_name::RULE,
    unit_mix::RULE,
    unreadable_file::RULE,
    unsafe_link::RULE,
    unusable_name::RULE,
    vague_limit::RULE,
    value_elsewhere::RULE,
    value_over_option::RULE,
    verb_hides_steps::RULE,
    wrong_kind::RULE,
    yaml_feature::RULE,
    yaml_syntax::RULE,
];

impl Rule {
    /// Returns the manual page as plain Markdown.
    #[must_use]
    pub fn page(&self) -> String {
        let head = self.source.lines().take_while(|line| line.starts_with("//!"));
        let words = head.map(|line| line.trim_start_matches("//!").strip_prefix(' ').unwrap_or(""));
        words.collect::<Vec<_>>().join("\n")
    }

    /// Returns the first sentence of the manual page.
    #[must_use]
    pub fn title(&self) -> String {
        self.page().lines().next().unwrap_or_default().trim_end_matches('.').to_owned()
    }
}

/// Returns the rule of this name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.id.0 == name)
}

/// Runs every check over a binder. Nothing is judged against a register that could not be read.
#[must_use]
pub fn check(binder: &Binder) -> Vec<Finding> {
    if binder.registers == Registers::Broken {
        return Vec::new();
    }
    let checks = RULES.iter().filter_map(|rule| match rule.found {
        Found::Check(check) => Some(check),
        _ => None,
    });
    let mut findings: Vec<Finding> = checks.flat_map(|check| check(binder)).collect();
    findings.extend(sentences(binder));
    findings
}

/// Runs the rules of sentences over each procedure, and those of wording where it is written in English.
fn sentences(binder: &Binder) -> Vec<Finding> {
    let judge = |procedure| {
        let writing = wording::of(binder, procedure);
        let is_english = wording::is_english(binder, procedure);
        let checks = RULES.iter().filter_map(|rule| match rule.found {
            Found::Sentences(check) => Some(check),
            Found::Wording(check) if is_english => Some(check),
            _ => None,
        });
        let mut findings = Bounded::default();
        findings.extend(checks.flat_map(|check| check(&writing)));
        findings.told()
    };
    binder.procedures.par_iter().flat_map_iter(judge).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[expect(clippy::disallowed_methods, reason = "the sources are read")]
    fn every_file_of_the_room_is_a_listed_rule_with_a_page() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules");
        let mut files: Vec<String> = std::fs::read_dir(folder)
            .expect("the sources are here")
            .map(|entry| entry.expect("readable").file_name().to_string_lossy().into_owned())
            .filter(|name| name != "mod.rs")
            .map(|name| name.trim_end_matches(".rs").replace('_', "-"))
            .collect();
        files.sort();
        let listed: Vec<&str> = RULES.iter().map(|rule| rule.id.0).collect();
        assert_eq!(files, listed);
        for rule in RULES {
            let page = rule.page();
            assert!(page.contains("## On the floor") && page.contains("## How to mend it"), "{}", rule.id.0);
            assert!(rule.title().len() > 10, "{}", rule.id.0);
        }
    }
}
