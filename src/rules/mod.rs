//! The rules: one file each, named for the offence, and the one slice that lists them; they print nothing and mend nothing.
//!
//! The words at the head of a rule's file are its manual page; `matchmark explain RULE` prints them. A rule is found while
//! the binder is read, while a packet is compiled, by a check of its own over the whole binder, or
//! when what was found is held against the waivers.

mod ambiguous_value;
mod applies_to_nothing;
mod bad_figure;
mod bad_quantity;
mod boundary_not_isolated;
mod brace_syntax;
mod dead_row;
mod dead_step;
mod duplicate_key;
mod duplicate_name;
mod effectivity_syntax;
mod empty_card;
mod empty_procedure;
mod expired_waiver;
mod figure_without_words;
mod hidden_character;
mod hole_beyond_fleet;
mod hole_in_fleet;
mod idle_option;
mod idle_waiver;
mod markdown_form;
mod missing_choice;
mod missing_figure;
mod missing_register;
mod missing_value;
mod mixed_column;
mod moment_without_step;
mod nested_too_deep;
mod never_used;
mod not_held;
mod not_utf8;
mod oring_squeeze;
mod raw_html;
mod reference_to_absent_step;
mod row_length;
mod schema_violation;
mod shared_torque;
mod stray_text;
mod too_many_combinations;
mod too_many_steps;
mod torque_without_step;
mod typed_step_number;
mod undeclared_choice;
mod undeclared_name;
mod unreadable_file;
mod unsafe_link;
mod unusable_name;
mod wrong_kind;
mod yaml_feature;
mod yaml_syntax;

use crate::base::finding::{Finding, RuleId, Severity};
use crate::base::rule::{
    BAD_FIGURE, BOUNDARY_NOT_ISOLATED, DUPLICATE_NAME, UNDECLARED_CHOICE, UNDECLARED_NAME, UNSAFE_LINK,
};
use crate::model::binder::{Binder, Registers};

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
    /// While the findings are held against the waivers.
    Waiving,
}

/// The number of the set of rules, counted apart from the program: a new rule can turn a green binder red. It is raised by
/// every release that adds a rule, takes one out or lets one find more; `CHANGELOG.md` says what changed.
pub const RULE_SET: u32 = 2;

/// Checks whose errors nobody can accept, since what they find cannot be printed safely. So it is with every error found
/// while reading or compiling, which leaves nothing whole to print, and with the waivers themselves.
const FINAL: &[RuleId] =
    &[BAD_FIGURE, BOUNDARY_NOT_ISOLATED, DUPLICATE_NAME, UNDECLARED_CHOICE, UNDECLARED_NAME, UNSAFE_LINK];

/// Every rule, in alphabetical order.
pub const RULES: &[Rule] = &[
    ambiguous_value::RULE,
    applies_to_nothing::RULE,
    bad_figure::RULE,
    bad_quantity::RULE,
    boundary_not_isolated::RULE,
    brace_syntax::RULE,
    dead_row::RULE,
    dead_step::RULE,
    duplicate_key::RULE,
    duplicate_name::RULE,
    effectivity_syntax::RULE,
    empty_card::RULE,
    empty_procedure::RULE,
    expired_waiver::RULE,
    figure_without_words::RULE,
    hidden_character::RULE,
    hole_beyond_fleet::RULE,
    hole_in_fleet::RULE,
    idle_option::RULE,
    idle_waiver::RULE,
    markdown_form::RULE,
    missing_choice::RULE,
    missing_figure::RULE,
    missing_register::RULE,
    missing_value::RULE,
    mixed_column::RULE,
    moment_without_step::RULE,
    nested_too_deep::RULE,
    never_used::RULE,
    not_held::RULE,
    not_utf8::RULE,
    oring_squeeze::RULE,
    raw_html::RULE,
    reference_to_absent_step::RULE,
    row_length::RULE,
    schema_violation::RULE,
    shared_torque::RULE,
    stray_text::RULE,
    too_many_combinations::RULE,
    too_many_steps::RULE,
    torque_without_step::RULE,
    typed_step_number::RULE,
    undeclared_choice::RULE,
    undeclared_name::RULE,
    unreadable_file::RULE,
    unsafe_link::RULE,
    unusable_name::RULE,
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

    /// Returns whether a finding of this rule and weight can be accepted by a waiver.
    #[must_use]
    pub fn is_waivable(&self, severity: Severity) -> bool {
        match self.found {
            Found::Waiving => false,
            _ if severity != Severity::Error => true,
            Found::Reading | Found::Compiling => false,
            Found::Check(_) => !FINAL.contains(&self.id),
        }
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
        Found::Reading | Found::Compiling | Found::Waiving => None,
    });
    checks.flat_map(|check| check(binder)).collect()
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
