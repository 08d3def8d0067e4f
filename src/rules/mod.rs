//! The rules: one file each, named for the offence, and the one slice that lists them; they print nothing and mend nothing.
//!
//! The words at the head of a rule's file are its manual page; `matchmark explain RULE` prints them. A rule is found while
//! the binder is read, while a packet is compiled, or by a check of its own over the whole binder.

mod ambiguous_tool;
mod ambiguous_value;
mod applies_to_nothing;
mod bad_figure;
mod bad_quantity;
mod boundary_not_isolated;
mod brace_syntax;
mod cannot_prove;
mod caution_after_exposure;
mod closed_not_opened;
mod crowded_cautions;
mod dead_row;
mod dead_step;
mod doubtful_verdict;
mod duplicate_key;
mod duplicate_name;
mod effectivity_syntax;
mod empty_card;
mod empty_procedure;
mod figure_without_words;
mod filled_out_of_order;
mod filled_too_early;
mod fitted_after_discard;
mod fitted_not_off;
mod fluid_attacks_rubber;
mod fluid_out_of_zone;
mod hazard_without_caution;
mod hidden_character;
mod hold_out_of_order;
mod hole_beyond_fleet;
mod hole_in_fleet;
mod idle_option;
mod instrument_out_of_range;
mod irreversible_limit_without_stop;
mod isolation_incomplete;
mod left_in;
mod left_locked;
mod left_off;
mod left_open;
mod limit_used_as_target;
mod listed_not_used;
mod markdown_form;
mod measured_not_recorded;
mod missing_choice;
mod missing_figure;
mod missing_register;
mod missing_value;
mod mixed_column;
mod moment_without_step;
mod nested_too_deep;
mod never_used;
mod no_wrench_for_torque;
mod not_held;
mod not_on_this_machine;
mod not_tightened;
mod not_utf8;
mod off_already;
mod opened_before_proof;
mod raw_html;
mod reading_without_limit;
mod reading_without_outside;
mod reference_to_absent_step;
mod released_without_quality;
mod row_length;
mod run_before_guards;
mod runs_dry;
mod schema_violation;
mod shared_torque;
mod started_while_locked;
mod stray_text;
mod timed_step_without_start;
mod too_many_combinations;
mod too_many_steps;
mod tool_not_held;
mod torque_without_step;
mod typed_step_number;
mod undeclared_choice;
mod undeclared_name;
mod unlocked_too_early;
mod unreadable_file;
mod unsafe_link;
mod unusable_name;
mod used_not_listed;
mod vague_renewal;
mod verifier_is_doer;
mod wrench_out_of_range;
mod wrong_count;
mod wrong_kind;
mod wrong_order;
mod yaml_feature;
mod yaml_syntax;

use crate::analysis::effectivity;
use crate::analysis::job::{Job, joined};
use crate::analysis::run::{ReadStep, Readings, Run};
use crate::analysis::story::Fact;
use crate::base::finding::{Finding, RuleId, Severity};
use crate::base::name::Tag;
use crate::model::binder::{Binder, Registers};
use crate::model::procedure::Procedure;
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
    /// By executing each job on paper.
    Run(fn(&Run<'_, '_>) -> Vec<Finding>),
}

/// Every rule, in alphabetical order.
pub const RULES: &[Rule] = &[
    ambiguous_tool::RULE,
    ambiguous_value::RULE,
    applies_to_nothing::RULE,
    bad_figure::RULE,
    bad_quantity::RULE,
    boundary_not_isolated::RULE,
    brace_syntax::RULE,
    cannot_prove::RULE,
    caution_after_exposure::RULE,
    closed_not_opened::RULE,
    crowded_cautions::RULE,
    dead_row::RULE,
    dead_step::RULE,
    doubtful_verdict::RULE,
    duplicate_key::RULE,
    duplicate_name::RULE,
    effectivity_syntax::RULE,
    empty_card::RULE,
    empty_procedure::RULE,
    figure_without_words::RULE,
    filled_out_of_order::RULE,
    filled_too_early::RULE,
    fitted_after_discard::RULE,
    fitted_not_off::RULE,
    fluid_attacks_rubber::RULE,
    fluid_out_of_zone::RULE,
    hazard_without_caution::RULE,
    hidden_character::RULE,
    hold_out_of_order::RULE,
    hole_beyond_fleet::RULE,
    hole_in_fleet::RULE,
    idle_option::RULE,
    instrument_out_of_range::RULE,
    irreversible_limit_without_stop::RULE,
    isolation_incomplete::RULE,
    left_in::RULE,
    left_locked::RULE,
    left_off::RULE,
    left_open::RULE,
    limit_used_as_target::RULE,
    listed_not_used::RULE,
    markdown_form::RULE,
    measured_not_recorded::RULE,
    missing_choice::RULE,
    missing_figure::RULE,
    missing_register::RULE,
    missing_value::RULE,
    mixed_column::RULE,
    moment_without_step::RULE,
    nested_too_deep::RULE,
    never_used::RULE,
    no_wrench_for_torque::RULE,
    not_held::RULE,
    not_on_this_machine::RULE,
    not_tightened::RULE,
    not_utf8::RULE,
    off_already::RULE,
    opened_before_proof::RULE,
    raw_html::RULE,
    reading_without_limit::RULE,
    reading_without_outside::RULE,
    reference_to_absent_step::RULE,
    released_without_quality::RULE,
    row_length::RULE,
    run_before_guards::RULE,
    runs_dry::RULE,
    schema_violation::RULE,
    shared_torque::RULE,
    started_while_locked::RULE,
    stray_text::RULE,
    timed_step_without_start::RULE,
    too_many_combinations::RULE,
    too_many_steps::RULE,
    tool_not_held::RULE,
    torque_without_step::RULE,
    typed_step_number::RULE,
    undeclared_choice::RULE,
    undeclared_name::RULE,
    unlocked_too_early::RULE,
    unreadable_file::RULE,
    unsafe_link::RULE,
    unusable_name::RULE,
    used_not_listed::RULE,
    vague_renewal::RULE,
    verifier_is_doer::RULE,
    wrench_out_of_range::RULE,
    wrong_count::RULE,
    wrong_kind::RULE,
    wrong_order::RULE,
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
        Found::Reading | Found::Compiling | Found::Run(_) => None,
    });
    checks.flat_map(|check| check(binder)).collect()
}

/// Executes every job of a binder on paper and judges it. Nothing is judged against a register that could not be read, and
/// no job whose steps cannot be told because the fleet does not say an option.
#[must_use]
pub fn run(binder: &Binder, read: &ReadStep<'_>) -> Vec<Finding> {
    if binder.registers == Registers::Broken {
        return Vec::new();
    }
    binder.procedures.par_iter().flat_map_iter(|procedure| joined(run_procedure(binder, procedure, read))).collect()
}

fn run_procedure(binder: &Binder, procedure: &Procedure, read: &ReadStep<'_>) -> Vec<(Tag, Finding)> {
    let mut readings = Readings::new(read);
    let mut found = Vec::new();
    for machine in effectivity::scope(binder, procedure) {
        let Some(job) = Job::new(binder, procedure, machine) else { continue };
        if !job.undecided().is_empty() {
            continue;
        }
        let run = Run::of(&job, &mut readings);
        let findings = judged(&run);
        found.extend(findings.into_iter().map(|one| (job.tag().clone(), one.document(&procedure.document.value))));
    }
    found
}

/// Returns what is wrong with one executed job.
#[must_use]
pub fn judged(run: &Run<'_, '_>) -> Vec<Finding> {
    let checks = RULES.iter().filter_map(|rule| match rule.found {
        Found::Run(check) => Some(check),
        Found::Reading | Found::Compiling | Found::Check(_) => None,
    });
    checks.flat_map(|check| check(run)).collect()
}

/// Puts a finding at the deed of a fact, with the other deeds that show it.
fn told(run: &Run<'_, '_>, fact: &Fact, finding: Finding) -> Finding {
    let finding = match fact.deed {
        Some(at) => finding.at(run.deeds[at].span),
        None => finding,
    };
    fact.also.iter().fold(finding, |finding, at| finding.also(run.deeds[*at].span, "see here"))
}

/// Returns names as a reader lists them: each in backticks, `and` before the last.
fn named(names: &[String]) -> String {
    let mut quoted: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
    match quoted.pop() {
        Some(last) if quoted.is_empty() => last,
        Some(last) => format!("{} and {last}", quoted.join(", ")),
        None => String::new(),
    }
}

/// Returns the verb for one or several names.
fn are(names: &[String]) -> &'static str {
    if names.len() == 1 { "is" } else { "are" }
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
