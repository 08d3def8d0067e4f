//! Faults that a text can be caught at, seeded one at a time into the example binder: each is found, with exactly its tags.

use crate::binder::{creamery, edit, judged};
use matchmark::base::finding::Severity;
use matchmark::workspace::memory::Memory;
use std::collections::BTreeSet;

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";
/// The pumps with a single seal, all of the first procedure's machines.
const ALL_SEALS: &str = "P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133";

/// What a rule finds: how much it weighs, and the tags it names.
type Told = BTreeSet<(Severity, String)>;

fn told(world: &Memory, rule: &str) -> Told {
    let findings = judged(world).findings.into_iter().filter(|finding| finding.rule.0 == rule);
    let tags = |tags: BTreeSet<_>| tags.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    findings.map(|finding| (finding.severity, tags(finding.tags))).collect()
}

/// Asserts that an edit of one file makes a rule tell exactly this, and that it tells nothing like it without the edit.
#[track_caller]
fn seeded(edits: &[(&str, &str, &str)], rule: &str, severity: Severity, tags: &[&str]) {
    let mut world = creamery();
    let clean = told(&world, rule);
    for (path, from, to) in edits {
        edit(&mut world, path, from, to);
    }
    let found: Told = told(&world, rule).difference(&clean).cloned().collect();
    let wanted: Told = tags.iter().map(|tags| (severity, (*tags).to_owned())).collect();
    assert_eq!(found, wanted, "{rule}");
}

/// 1.8: the working length of size 4 is missing: the two pumps of size 4 that have a single seal, and not the other two.
#[test]
fn seeded_1_8_a_cell_is_deleted() {
    let row = [("families/PA.yaml", "[4,   35.7 to 36.3 mm,", "[4,   unknown,")];
    seeded(&row, "missing-value", Severity::Error, &["P-130 P-133"]);
}

/// 1.12: the hold says how the port points in words.
#[test]
fn seeded_1_12_a_choice_is_typed_over_its_option() {
    let verify = "verify: \"The port points to the {port}, and";
    let tags = ["P-102 P-113 P-121"];
    let up = [(SEAL, verify, "verify: \"The port points up, and")];
    seeded(&up, "value-over-option", Severity::Error, &tags);
    let top = [(SEAL, verify, "verify: \"The port is at the top, and")];
    seeded(&top, "value-over-option", Severity::Error, &tags);
    let left = [(SEAL, verify, "verify: \"The port points to the left-hand side, and")];
    seeded(&left, "value-over-option", Severity::Error, &["P-101 P-110 P-111 P-113 P-120 P-130 P-133"]);
}

/// 1.15: a step number is typed, and a step is inserted above the step it meant.
#[test]
fn seeded_1_15_a_step_number_is_typed() {
    for words in ["see step 27", "see steps 27 and 28", "see step no. 27", "see step number 27"] {
        let typed = format!("Measure the gap at the same place ({words}).");
        let edits = [
            (SEAL, "Measure the gap at the same place as in {see gap found}.", typed.as_str()),
            (SEAL, "18. Remove the impeller.", "18. Look at the impeller.\n18. Remove the impeller."),
        ];
        seeded(&edits, "typed-step-number", Severity::Error, &[""]);
    }
}

/// 1.19: a single-use part is changed only if somebody thinks that it is worn.
#[test]
fn seeded_1_19_a_vague_condition_on_a_single_use_part() {
    let step = "Remove the casing O-ring. Discard it.";
    for words in ["Replace the casing O-ring if worn.", "Renew the casing O-ring as required."] {
        let edits = [(SEAL, step, words)];
        seeded(&edits, "vague-renewal", Severity::Error, &[ALL_SEALS]);
        // One fault is told once.
        seeded(&edits, "vague-limit", Severity::Error, &[]);
        seeded(&edits, "vague-limit", Severity::Warning, &[]);
    }
    let not_single =
        [(SEAL, "Remove the two back-plate screws and the back plate.", "Replace the back plate if worn.")];
    seeded(&not_single, "vague-limit", Severity::Warning, &[ALL_SEALS]);
}

/// 3.1: the number of plates of X-203 is typed, and is that of X-202.
#[test]
fn seeded_3_1_a_count_is_typed_that_the_register_contradicts() {
    let step = "2. Count the plates. Record the count. IF the count is not {plates}, THEN stop. Tell the supervisor. {record number of plates}";
    let typed = "2. Count the plates. Record the count. IF there are not 121 plates, THEN stop. Tell the supervisor. {record number of plates} {only frame M, L}";
    seeded(&[(PLATES, step, typed)], "value-over-option", Severity::Error, &["X-203"]);
    let limit = [(PLATES, "limit: \"exactly {plates}\"", "limit: \"exactly 121\"")];
    seeded(&limit, "value-over-option", Severity::Error, &["X-201 X-203"]);
    let only = [(PLATES, "Count the tools.", "Confirm that the number of plates is 121.")];
    seeded(&only, "value-over-option", Severity::Error, &["X-201 X-203"]);
    let taken = [(PLATES, "Count the tools.", "Lift out 2 plates.")];
    seeded(&taken, "value-over-option", Severity::Error, &[]);
}

/// 3.2: the limits of X-201 are printed as a formula.
#[test]
fn seeded_3_2_arithmetic_is_left_to_the_reader() {
    let step = "11. Compare each reading with the limits: A-max is {A-max}, A-min is {A-min}.";
    let typed = "11. Compare each reading with the limits. {only frame M, L}\n11. Compare each reading with N × 3.125 ± 0.075. {only frame S}";
    seeded(&[(PLATES, step, typed)], "arithmetic-left-to-reader", Severity::Warning, &["X-201"]);
    seeded(&[(PLATES, step, typed)], "plus-minus-limit", Severity::Warning, &["X-201"]);
}

/// 3.11: the upper limit of X-201 (63 × 3.20 mm = 201.60 mm) is printed as 201.7, that of X-202 (121 × 3.88 mm = 469.48 mm)
/// as 469.5.
#[test]
fn seeded_3_11_a_limit_is_rounded_outward() {
    let step = "A-max is {A-max}, A-min is {A-min}.";
    let both = [(PLATES, step, "A-max is 201.7 mm, A-min is {A-min}.")];
    seeded(&both, "limit-rounded-outward", Severity::Error, &["X-201"]);
    // For the other two it is no rounding, but another machine's figure.
    seeded(&both, "value-over-option", Severity::Error, &["X-202 X-203"]);
    let m = [(PLATES, step, "A-max is 469.5 mm, A-min is {A-min}.")];
    seeded(&m, "limit-rounded-outward", Severity::Error, &["X-202"]);
    let inward = [(PLATES, step, "A-max is 201.6 mm, A-min is {A-min}.")];
    seeded(&inward, "limit-rounded-outward", Severity::Error, &[]);
    let coarse = [(PLATES, step, "A-max is 202 mm, A-min is {A-min}.")];
    seeded(&coarse, "limit-rounded-outward", Severity::Error, &["X-201"]);
    // 63 × 3.05 mm = 192.15 mm, which is 192.2 mm on a calliper that shows tenths.
    let low = [(PLATES, step, "A-max is {A-max}, A-min is 192.1 mm.")];
    seeded(&low, "limit-rounded-outward", Severity::Error, &["X-201"]);
    let limit = [(PLATES, "    limit: \"{A-min} to {A-max}\"", "    limit: \"{A-min} to 469.5 mm\"")];
    seeded(&limit, "limit-rounded-outward", Severity::Error, &["X-202"]);
}

/// What stands beside an option and is none of its choices, or says for which machines something is, is left alone.
#[test]
fn a_choice_that_selects_or_explains_is_no_typed_value() {
    let step = "18. Remove the impeller.";
    for words in [
        "IF the port points to the left, THEN turn the hose.",
        "Look at the port from the left.",
        "Compare the port with the left, right or top of the drawing.",
        "Do this only with port left: turn the hose.",
        "For size 3, use both hands.",
        "Never put grease on EPDM.",
        "Lift it up.",
        "Confirm that the port points to the {port}.",
        "Tighten the nut of the hose to 95 N·m.",
        "Wait 10 min.",
    ] {
        seeded(&[(SEAL, step, &format!("18. {words}"))], "value-over-option", Severity::Error, &[]);
    }
}
