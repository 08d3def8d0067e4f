//! Which row is for which machine, on thousands of generated tables, against a look at every machine and every row by hand.

use crate::binder::{binder, drawn, judged};
use matchmark::task::check::jobs;
use proptest::prelude::{Just, ProptestConfig, Strategy, prop_assert_eq, proptest};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The choices of the options of [`worded`], which a sentence may type.
const SIDES: [&str; 3] = ["left", "right", "top"];
const RUBBERS: [&str; 3] = ["ABX", "CDX", "EFX"];

/// A table over two options of three choices each: for each row, the choices of either option it is for; empty means any.
type Rows = Vec<(Vec<u8>, Vec<u8>)>;

fn choices() -> impl Strategy<Value = Vec<u8>> {
    proptest::sample::subsequence(vec![1, 2, 3], 0..=2)
}

fn rows() -> impl Strategy<Value = Rows> {
    proptest::collection::vec((choices(), choices()), 1..5)
}

fn key(choices: &[u8]) -> String {
    if choices.is_empty() { "any".to_owned() } else { format!("{choices:?}") }
}

/// A binder with nine machines, one for each pair of choices, and one procedure that needs the table's value of all.
fn text(rows: &Rows, only: &str) -> String {
    let mut fleet = String::new();
    for (a, b) in machines() {
        let _ = write!(
            fleet,
            "  - tag: T-{a}{b}\n    family: F\n    place: hall\n    options: {{a: {a}, b: {b}}}\n    isolation:\n      - {{point: Q-{a}{b}, boundary: motor, kind: isolator, position: off and locked}}\n"
        );
    }
    let mut table = String::new();
    for (at, (a, b)) in rows.iter().enumerate() {
        let _ = writeln!(table, "      - [{}, {}, {} mm]", key(a), key(b), at + 1);
    }
    format!(
        "//- binder.yaml\nformat: 1\nplant: plant\nlanguage: en\nprint:\n  paper: A4\n  card: on wall\n  isolation-points: off card\n//- crib.yaml\ntools:\n  - {{id: HX, name: hex keys}}\nlocks: {{id: LK-1, name: lock kit}}\n\
         //- fleet.yaml\ntags:\n{fleet}\
         //- families/F.yaml\nfamily: F\nname: machine\noptions:\n  - {{option: a, values: [1, 2, 3]}}\n  - {{option: b, values: [1, 2, 3]}}\n\
         boundaries:\n  - {{boundary: motor, energy: electrical, prove: Try to start it.}}\nparts:\n  - {{part: cover, count: 1}}\n\
         tables:\n  - by: [a, b]\n    source: none\n    columns: [length]\n    rows:\n{table}\
         //- m.md\n---\ndocument: MP-F-1\ntitle: Do it\nfamily: F\npurpose: It is done.\nuse-level: reference\npeople: 1 fitter\ntime: 1 h\nreview: 12 months\n\
         card: {{stages: [Work]}}\n---\n## Work\n1. Set it to {{length}}. {only}\n2. Look at it.\n"
    )
}

fn machines() -> Vec<(u8, u8)> {
    (1..=3).flat_map(|a| (1..=3).map(move |b| (a, b))).collect()
}

/// Returns the tags a rule's errors name.
fn named(text: &str, rule: &str) -> BTreeSet<String> {
    let lines = text.lines().filter(|line| line.starts_with(&format!("error[{rule}]")));
    lines
        .flat_map(|line| {
            line.rsplit('(').next().unwrap_or_default().trim_end_matches(')').split(' ').map(str::to_owned)
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn holes_and_overlaps_name_exactly_their_tags(rows in rows(), only in Just("")) {
        let judged = judged(&binder(&text(&rows, only)));
        let text = drawn(&judged);
        let is_for = |machine: (u8, u8)| {
            let fits = |choices: &[u8], choice: u8| choices.is_empty() || choices.contains(&choice);
            rows.iter().filter(|(a, b)| fits(a, machine.0) && fits(b, machine.1)).count()
        };
        let tags = |wanted: fn(usize) -> bool| -> BTreeSet<String> {
            machines().into_iter().filter(|machine| wanted(is_for(*machine))).map(|(a, b)| format!("T-{a}{b}")).collect()
        };
        prop_assert_eq!(named(&text, "missing-value"), tags(|rows| rows == 0), "{}", &text);
        prop_assert_eq!(named(&text, "ambiguous-value"), tags(|rows| rows > 1), "{}", &text);
    }

    /// A step that is for some of the machines is in their packets and in no other.
    #[test]
    fn a_step_is_in_the_packets_it_is_for(a in choices(), negated in proptest::bool::ANY) {
        let whole = vec![(vec![], vec![])];
        let list: Vec<String> = a.iter().map(u8::to_string).collect();
        let only = match (list.is_empty(), negated) {
            (true, _) => String::new(),
            (false, true) => format!("{{only a not {}}}", list.join(", ")),
            (false, false) => format!("{{only a {}}}", list.join(", ")),
        };
        let judged = judged(&binder(&text(&whole, &only)));
        prop_assert_eq!(jobs(&judged.binder).len(), 9, "{}", drawn(&judged));
        for (_, machine) in jobs(&judged.binder) {
            let packet = crate::binder::packet(&judged, "MP-F-1", machine.tag.value.as_str());
            let choice: u8 = packet.options[0].value.parse().expect("a number");
            let expected = list.is_empty() || a.contains(&choice) != negated;
            prop_assert_eq!(packet.stages[0].steps.len(), if expected { 2 } else { 1 });
        }
    }
}

/// A binder with a machine for each pair of a side and a rubber, and a procedure for each pair of `applies-to` and step.
fn worded(cells: &[[u8; 3]; 3], hole: Option<(usize, usize)>, procedures: &[(String, String)]) -> String {
    let (mut fleet, mut table, mut documents) = (String::new(), String::new(), String::new());
    for (s, side) in SIDES.iter().enumerate() {
        for (r, rubber) in RUBBERS.iter().enumerate() {
            let _ = write!(
                fleet,
                "  - tag: T-{s}{r}\n    family: F\n    place: hall\n    options: {{side: {side}, rubber: {rubber}}}\n    isolation:\n      - {{point: Q-{s}{r}, boundary: motor, kind: isolator, position: off and locked}}\n"
            );
            let cell = if hole == Some((s, r)) { "unknown".to_owned() } else { format!("{} mm", cells[s][r]) };
            let _ = writeln!(table, "      - [{side}, {rubber}, {cell}]");
        }
    }
    for (at, (applies_to, step)) in procedures.iter().enumerate() {
        let applies_to = if applies_to.is_empty() { String::new() } else { format!("applies-to: {applies_to}\n") };
        let _ = write!(
            documents,
            "//- m{at}.md\n---\ndocument: MP-F-{at}\ntitle: Do  IT\nfamily: F\n{applies_to}purpose: It is done.\nuse-level: reference\npeople: 1 fitter\ntime: 1 h\nreview: 12 months\n\
             card: {{stages: [Work]}}\n---\n## Work\n1. Look at {{cover depth}}.\n2. {step}\n"
        );
    }
    format!(
        "//- binder.yaml\nformat: 1\nplant: plant\nlanguage: en\nprint:\n  paper: A4\n  card: on wall\n  isolation-points: off card\n//- crib.yaml\ntools:\n  - {{id: HX, name: hex keys}}\nlocks: {{id: LK-1, name: lock kit}}\n\
         //- fleet.yaml\ntags:\n{fleet}\
         //- families/F.yaml\nfamily: F\nname: machine\noptions:\n  - {{option: side, values: [left, right, top]}}\n  - {{option: rubber, values: [ABX, CDX, EFX]}}\n\
         boundaries:\n  - {{boundary: motor, energy: electrical, prove: Try to start it.}}\nparts:\n  - {{part: cover, count: 1}}\n\
         tables:\n  - by: [side, rubber]\n    source: none\n    columns: [cover depth]\n    rows:\n{table}{documents}"
    )
}

/// Returns the tags of the machines for which `wanted` holds of side and rubber.
fn those(wanted: impl Fn(usize, usize) -> bool) -> BTreeSet<String> {
    let all = (0..3).flat_map(|side| (0..3).map(move |rubber| (side, rubber)));
    all.filter(|(side, rubber)| wanted(*side, *rubber)).map(|(side, rubber)| format!("T-{side}{rubber}")).collect()
}

/// An `only` of a side, a rubber, both or none: what is written, and which choices it is for (empty means any).
fn only() -> impl Strategy<Value = (String, Vec<usize>, Vec<usize>)> {
    let some = || proptest::sample::subsequence(vec![0, 1, 2], 0..=2);
    (some(), some()).prop_map(|(sides, rubbers)| {
        let list = |option: &str, names: [&str; 3], chosen: &[usize]| {
            let chosen: Vec<&str> = chosen.iter().map(|at| names[*at]).collect();
            if chosen.is_empty() { None } else { Some(format!("{option} {}", chosen.join(", "))) }
        };
        let terms = [list("side", SIDES, &sides), list("rubber", RUBBERS, &rubbers)];
        (terms.into_iter().flatten().collect::<Vec<_>>().join(" and "), sides, rubbers)
    })
}

fn holds(chosen: &[usize], own: usize) -> bool {
    chosen.is_empty() || chosen.contains(&own)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

    /// Any one cell is taken out of a table that covers everything: exactly that machine is named.
    #[test]
    fn a_missing_cell_names_its_tag(side in 0..3_usize, rubber in 0..3_usize) {
        let procedures = [(String::new(), "Look at it.".to_owned())];
        let cells = [[1, 2, 3], [4, 5, 6], [7, 8, 9]];
        let text = drawn(&judged(&binder(&worded(&cells, Some((side, rubber)), &procedures))));
        prop_assert_eq!(named(&text, "missing-value"), those(|s, r| (s, r) == (side, rubber)), "{}", &text);
        let text = drawn(&judged(&binder(&worded(&cells, None, &procedures))));
        prop_assert_eq!(named(&text, "missing-value"), BTreeSet::new(), "{}", &text);
    }

    /// A choice or figure is typed into a step that is for some of the machines: wrong for those that have another.
    #[test]
    fn a_typed_value_names_those_for_which_it_is_wrong(
        (only, sides, rubbers) in only(),
        what in 0..3_usize,
        typed in 0..3_usize,
        cells in proptest::array::uniform3(proptest::array::uniform3(1..4_u8)),
    ) {
        let depth = u8::try_from(typed + 1).expect("small");
        let step = match what {
            0 => format!("Confirm that the side is {}.", SIDES[typed]),
            1 => format!("Confirm that the rubber is {}.", RUBBERS[typed]),
            _ => format!("Set the cover depth to {depth} mm."),
        };
        let only = if only.is_empty() { String::new() } else { format!(" {{only {only}}}") };
        let text = drawn(&judged(&binder(&worded(&cells, None, &[(String::new(), format!("{step}{only}"))]))));
        let is_wrong = |side: usize, rubber: usize| match what {
            0 => side != typed,
            1 => rubber != typed,
            _ => cells[side][rubber] != depth,
        };
        let wanted = those(|side, rubber| holds(&sides, side) && holds(&rubbers, rubber) && is_wrong(side, rubber));
        prop_assert_eq!(named(&text, "value-over-option"), wanted, "{}", &text);
    }

    /// Two procedures for one job: the machines that are in both.
    #[test]
    fn a_job_covered_twice_names_the_machines_of_both(first in only(), second in only()) {
        let step = "Look at it.".to_owned();
        let procedures = [(first.0.clone(), step.clone()), (second.0.clone(), step)];
        let text = drawn(&judged(&binder(&worded(&[[1, 2, 3]; 3], None, &procedures))));
        let both = [&first, &second];
        let wanted = those(|side, rubber| both.iter().all(|only| holds(&only.1, side) && holds(&only.2, rubber)));
        prop_assert_eq!(named(&text, "job-covered-twice"), wanted, "{}", &text);
    }
}
