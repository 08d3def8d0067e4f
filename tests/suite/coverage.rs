//! Which row is for which machine, on thousands of generated tables, against a look at every machine and every row by hand.

use crate::binder::{binder, drawn, judged};
use matchmark::task::check::jobs;
use proptest::prelude::{Just, ProptestConfig, Strategy, prop_assert_eq, proptest};
use std::collections::BTreeSet;
use std::fmt::Write as _;

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
