//! The rules: one file each, named for the offence, and the one slice that lists them; they print nothing and mend nothing.
//!
//! The words at the head of a rule's file are its manual page; `matchmark explain RULE` prints them. A rule is found while
//! the binder is read, while a packet is compiled, by a check of its own over the whole binder, or
//! when what was found is held against the waivers.

mod abrasive_on_product_side;
mod acceptance_syntax;
mod action_in_a_caution;
mod ambiguous_date;
mod ambiguous_tool;
mod ambiguous_value;
mod applies_to_nothing;
mod arithmetic_left_to_reader;
mod bad_figure;
mod bad_quantity;
mod boundary_not_isolated;
mod brace_syntax;
mod calibration_run_out;
mod cannot_prove;
mod caution_after_exposure;
mod closed_not_opened;
mod condition_after_action;
mod crowded_cautions;
mod dead_row;
mod dead_step;
mod decimal_comma;
mod doubtful_verdict;
mod drives_do_not_meet;
mod dry_torque_with_paste;
mod duplicate_key;
mod duplicate_name;
mod effectivity_syntax;
mod empty_card;
mod empty_procedure;
mod expired_waiver;
mod figure_without_words;
mod filled_out_of_order;
mod filled_too_early;
mod fitted_after_discard;
mod fitted_not_off;
mod fluid_attacks_rubber;
mod fluid_not_applied;
mod fluid_out_of_zone;
mod hard_to_read;
mod hazard_without_caution;
mod hidden_character;
mod hold_out_of_order;
mod hole_beyond_fleet;
mod hole_in_fleet;
mod idle_acceptance;
mod idle_option;
mod idle_waiver;
mod instrument_out_of_range;
mod irreversible_limit_without_stop;
mod isolation_incomplete;
mod job_covered_twice;
mod language_not_checked;
mod left_in;
mod left_locked;
mod left_off;
mod left_open;
mod limit_rounded_outward;
mod limit_used_as_target;
mod limit_without_unit;
mod listed_not_used;
mod long_sentence;
mod markdown_form;
mod measured_not_recorded;
mod missing_choice;
mod missing_figure;
mod missing_register;
mod missing_value;
mod mixed_column;
mod moment_without_step;
mod naked_point;
mod nested_too_deep;
mod never_used;
mod no_setting_for_adapter;
mod no_verb_first;
mod no_wrench_for_torque;
mod not_accepted;
mod not_held;
mod not_on_this_machine;
mod not_tightened;
mod not_utf8;
mod off_already;
mod opened_before_proof;
mod order_outside_a_step;
mod oring_squeeze;
mod overloaded_joint;
mod passes_differ;
mod plus_minus_limit;
mod raw_html;
mod read_otherwise;
mod reading_without_limit;
mod reading_without_outside;
mod reference_to_absent_step;
mod released_without_quality;
mod repeat_steps;
mod reverse_order;
mod row_length;
mod rubber_not_for_service;
mod run_before_guards;
mod runs_dry;
mod same_in_every_row;
mod schema_violation;
mod semicolon;
mod shared_torque;
mod stages_out_of_order;
mod stainless_dry;
mod started_while_locked;
mod stray_text;
mod timed_step_without_start;
mod too_many_combinations;
mod too_many_steps;
mod tool_does_not_fit;
mod tool_for_no_verb;
mod tool_not_held;
mod torque_between_marks;
mod torque_without_state;
mod torque_without_step;
mod total_or_offset;
mod turned_the_wrong_way;
mod two_instructions;
mod two_torques_for_one_joint;
mod typed_step_number;
mod unclear_condition;
mod undeclared_choice;
mod undeclared_name;
mod underloaded_joint;
mod unit_mix;
mod unlocked_too_early;
mod unreadable_file;
mod unsafe_link;
mod unusable_name;
mod used_not_listed;
mod vague_limit;
mod vague_renewal;
mod value_elsewhere;
mod value_over_option;
mod verb_hides_steps;
mod verifier_is_doer;
mod wrench_below_site_rule;
mod wrench_out_of_range;
mod wrong_count;
mod wrong_kind;
mod wrong_order;
mod wrong_torque;
mod yaml_feature;
mod yaml_syntax;

use crate::analysis::effectivity;
use crate::analysis::job::{Job, joined};
use crate::analysis::run::{ReadStep, Readings, Run};
use crate::analysis::story::Fact;
use crate::analysis::wording::{self, Writing};
use crate::base::date::Date;
use crate::base::finding::{Bounded, Finding, RuleId, Severity};
use crate::base::name::Tag;
use crate::base::rule::{
    BAD_FIGURE, BOUNDARY_NOT_ISOLATED, DUPLICATE_NAME, ISOLATION_INCOMPLETE, OPENED_BEFORE_PROOF, RUN_BEFORE_GUARDS,
    UNDECLARED_CHOICE, UNDECLARED_NAME, UNSAFE_LINK, WRONG_TORQUE,
};
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
    /// By a check of the sentences of each procedure, in whichever language.
    Sentences(fn(&Writing<'_>) -> Vec<Finding>),
    /// While the findings are held against the waivers.
    Waiving,
    /// By a check of the sentences of each procedure that is written in English.
    Wording(fn(&Writing<'_>) -> Vec<Finding>),
    /// By executing each job on paper.
    Run(fn(&Run<'_, '_>) -> Vec<Finding>),
    /// By executing each job on paper, and by what day it is. No packet may hold what is found, so nobody can accept it.
    Dated(fn(&Run<'_, '_>, Date) -> Vec<Finding>),
}

/// The number of the set of rules, counted apart from the program: a new rule can turn a green binder red. It is raised by
/// every release that adds a rule, takes one out or lets one find more; `CHANGELOG.md` says what changed.
pub const RULE_SET: u32 = 2;

/// Checks whose errors nobody can accept, since what they find cannot be printed safely. So it is with every error found
/// while reading or compiling, which leaves nothing whole to print, and with the waivers themselves.
const FINAL: &[RuleId] = &[
    BAD_FIGURE,
    BOUNDARY_NOT_ISOLATED,
    DUPLICATE_NAME,
    ISOLATION_INCOMPLETE,
    OPENED_BEFORE_PROOF,
    RUN_BEFORE_GUARDS,
    UNDECLARED_CHOICE,
    UNDECLARED_NAME,
    UNSAFE_LINK,
    WRONG_TORQUE,
];

/// Every rule, in alphabetical order.
pub const RULES: &[Rule] = &[
    abrasive_on_product_side::RULE,
    acceptance_syntax::RULE,
    action_in_a_caution::RULE,
    ambiguous_date::RULE,
    ambiguous_tool::RULE,
    ambiguous_value::RULE,
    applies_to_nothing::RULE,
    arithmetic_left_to_reader::RULE,
    bad_figure::RULE,
    bad_quantity::RULE,
    boundary_not_isolated::RULE,
    brace_syntax::RULE,
    calibration_run_out::RULE,
    cannot_prove::RULE,
    caution_after_exposure::RULE,
    closed_not_opened::RULE,
    condition_after_action::RULE,
    crowded_cautions::RULE,
    dead_row::RULE,
    dead_step::RULE,
    decimal_comma::RULE,
    doubtful_verdict::RULE,
    drives_do_not_meet::RULE,
    dry_torque_with_paste::RULE,
    duplicate_key::RULE,
    duplicate_name::RULE,
    effectivity_syntax::RULE,
    empty_card::RULE,
    empty_procedure::RULE,
    expired_waiver::RULE,
    figure_without_words::RULE,
    filled_out_of_order::RULE,
    filled_too_early::RULE,
    fitted_after_discard::RULE,
    fitted_not_off::RULE,
    fluid_attacks_rubber::RULE,
    fluid_not_applied::RULE,
    fluid_out_of_zone::RULE,
    hard_to_read::RULE,
    hazard_without_caution::RULE,
    hidden_character::RULE,
    hold_out_of_order::RULE,
    hole_beyond_fleet::RULE,
    hole_in_fleet::RULE,
    idle_acceptance::RULE,
    idle_option::RULE,
    idle_waiver::RULE,
    instrument_out_of_range::RULE,
    irreversible_limit_without_stop::RULE,
    isolation_incomplete::RULE,
    job_covered_twice::RULE,
    language_not_checked::RULE,
    left_in::RULE,
    left_locked::RULE,
    left_off::RULE,
    left_open::RULE,
    limit_rounded_outward::RULE,
    limit_used_as_target::RULE,
    limit_without_unit::RULE,
    listed_not_used::RULE,
    long_sentence::RULE,
    markdown_form::RULE,
    measured_not_recorded::RULE,
    missing_choice::RULE,
    missing_figure::RULE,
    missing_register::RULE,
    missing_value::RULE,
    mixed_column::RULE,
    moment_without_step::RULE,
    naked_point::RULE,
    nested_too_deep::RULE,
    never_used::RULE,
    no_setting_for_adapter::RULE,
    no_verb_first::RULE,
    no_wrench_for_torque::RULE,
    not_accepted::RULE,
    not_held::RULE,
    not_on_this_machine::RULE,
    not_tightened::RULE,
    not_utf8::RULE,
    off_already::RULE,
    opened_before_proof::RULE,
    order_outside_a_step::RULE,
    oring_squeeze::RULE,
    overloaded_joint::RULE,
    passes_differ::RULE,
    plus_minus_limit::RULE,
    raw_html::RULE,
    read_otherwise::RULE,
    reading_without_limit::RULE,
    reading_without_outside::RULE,
    reference_to_absent_step::RULE,
    released_without_quality::RULE,
    repeat_steps::RULE,
    reverse_order::RULE,
    row_length::RULE,
    rubber_not_for_service::RULE,
    run_before_guards::RULE,
    runs_dry::RULE,
    same_in_every_row::RULE,
    schema_violation::RULE,
    semicolon::RULE,
    shared_torque::RULE,
    stages_out_of_order::RULE,
    stainless_dry::RULE,
    started_while_locked::RULE,
    stray_text::RULE,
    timed_step_without_start::RULE,
    too_many_combinations::RULE,
    too_many_steps::RULE,
    tool_does_not_fit::RULE,
    tool_for_no_verb::RULE,
    tool_not_held::RULE,
    torque_between_marks::RULE,
    torque_without_state::RULE,
    torque_without_step::RULE,
    total_or_offset::RULE,
    turned_the_wrong_way::RULE,
    two_instructions::RULE,
    two_torques_for_one_joint::RULE,
    typed_step_number::RULE,
    unclear_condition::RULE,
    undeclared_choice::RULE,
    undeclared_name::RULE,
    underloaded_joint::RULE,
    unit_mix::RULE,
    unlocked_too_early::RULE,
    unreadable_file::RULE,
    unsafe_link::RULE,
    unusable_name::RULE,
    used_not_listed::RULE,
    vague_limit::RULE,
    vague_renewal::RULE,
    value_elsewhere::RULE,
    value_over_option::RULE,
    verb_hides_steps::RULE,
    verifier_is_doer::RULE,
    wrench_below_site_rule::RULE,
    wrench_out_of_range::RULE,
    wrong_count::RULE,
    wrong_kind::RULE,
    wrong_order::RULE,
    wrong_torque::RULE,
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
            Found::Waiving | Found::Dated(_) => false,
            _ if severity != Severity::Error => true,
            Found::Reading | Found::Compiling => false,
            Found::Check(_) | Found::Sentences(_) | Found::Wording(_) | Found::Run(_) => !FINAL.contains(&self.id),
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
        _ => None,
    });
    let mut findings: Vec<Finding> = checks.flat_map(|check| check(binder)).collect();
    findings.extend(sentences(binder));
    findings
}

/// Runs the rules of sentences over each procedure, and those of wording where it is written in English.
fn sentences(binder: &Binder) -> Vec<Finding> {
    binder.procedures.par_iter().flat_map_iter(|procedure| written(binder, procedure)).collect()
}

/// Returns what is wrong with the sentences of one procedure, which need not be one of the binder's.
#[must_use]
pub fn written(binder: &Binder, procedure: &Procedure) -> Vec<Finding> {
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
}

/// Executes every job of a binder on paper, with sentences that somebody reads by hand, and judges it. Nothing is judged
/// against a register that could not be read, and no job whose steps cannot be told because the fleet does not say an option.
#[must_use]
pub fn run_read(binder: &Binder, read: &ReadStep<'_>) -> Vec<Finding> {
    if binder.registers == Registers::Broken {
        return Vec::new();
    }
    let of = |procedure| joined(executed_procedure(binder, procedure, Readings::new(read)));
    binder.procedures.par_iter().flat_map_iter(of).collect()
}

fn executed_procedure(binder: &Binder, procedure: &Procedure, mut readings: Readings<'_>) -> Vec<(Tag, Finding)> {
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
        _ => None,
    });
    checks.flat_map(|check| check(run)).collect()
}

/// Returns what is wrong with one executed job because of what day it is.
#[must_use]
pub fn judged_on(run: &Run<'_, '_>, today: Date) -> Vec<Finding> {
    let checks = RULES.iter().filter_map(|rule| match rule.found {
        Found::Dated(check) => Some(check),
        _ => None,
    });
    checks.flat_map(|check| check(run, today)).collect()
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
