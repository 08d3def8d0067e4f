//! What a change means: the example with an edit against the example, text in and text out; each answer is written by hand.

use crate::binder::{creamery, edit};
use matchmark::base::risk::RiskClass;
use matchmark::packet::change::Area;
use matchmark::task::changes::{Changes, Group, between_packets, between_states};
use matchmark::task::check::jobs;
use matchmark::task::runs;
use matchmark::workspace::memory::Memory;
use std::collections::{BTreeMap, BTreeSet};

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";
const PA: &str = "families/PA.yaml";
const FLEET: &str = "fleet.yaml";
const NINE: &str = "P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133";

fn from_creamery(world: &Memory) -> Changes {
    between_states(&creamery(), world, &[], &[]).expect("both are binders")
}

/// One change a line.
fn drawn(changes: &Changes) -> Vec<String> {
    let line = |own: &Group| {
        let change = &own.change;
        let remark = if change.remark.is_empty() { String::new() } else { format!(" ({})", change.remark) };
        format!("{} {}: {} -> {}{remark} [{}]", change.class, change.what, change.from, change.to, own.tags.join(" "))
    };
    changes.changes.iter().map(line).collect()
}

/// What an edit of one file changes.
#[track_caller]
fn after(path: &str, from: &str, to: &str) -> Vec<String> {
    let mut world = creamery();
    edit(&mut world, path, from, to);
    drawn(&from_creamery(&world))
}

#[test]
fn nothing_is_no_change() {
    let same = from_creamery(&creamery());
    assert_eq!((same.class, same.same, same.packets), (None, 19, 19));
    assert!(same.changes.is_empty() && same.untold.is_empty());
    assert!(same.unchanged.iter().all(|own| own.areas.len() == 14), "everything is said to be as it was");
}

/// Text that is set otherwise or numbered otherwise says the same.
#[test]
fn reflowed_and_renumbered_text_is_no_change() {
    let lines = "9. Remove the two guard screws and both guard halves.";
    assert_eq!(after(SEAL, lines, "9. Remove the two guard screws\n   and both guard halves."), Vec::<String>::new());
    assert_eq!(after(PA, "  - by: [rubber]\n", "\n\n  - by: [rubber]\n"), Vec::<String>::new());
}

#[test]
fn a_synonym_is_wording() {
    let wanted = "wording a step is worded otherwise: `Remove the key.` -> `Remove the shaft key.` (it does what it did) [P-110 P-111 P-113 P-120 P-121 P-130 P-133]";
    assert_eq!(after(SEAL, "19. Remove the key.", "19. Remove the shaft key."), [wanted]);
}

#[test]
fn a_step_that_does_something_else_is_sequence() {
    let wanted =
        format!("sequence a step does something else: `Remove the impeller.` -> `Wipe the impeller.` [{NINE}]");
    assert_eq!(after(SEAL, "18. Remove the impeller.", "18. Wipe the impeller."), [wanted]);
}

#[test]
fn a_caution_moved_by_one_step_is_safety() {
    let from = "7. {caution hot caustic} Open the casing drain. Wait until the flow stops.\n8. Measure";
    let to = "7. Open the casing drain. Wait until the flow stops.\n8. {caution hot caustic} Measure";
    let wanted = [
        format!(
            "safety caution `hot caustic` before the step:  -> at `Measure the casing temperature. Record it.` [{NINE}]"
        ),
        format!(
            "safety caution `hot caustic` before the step: at `Open the casing drain. Wait until the flow stops.` ->  [{NINE}]"
        ),
    ];
    assert_eq!(after(SEAL, from, to), wanted);
}

/// Size 4 only, and each number once: the half of 46 is 23.
#[test]
fn one_changed_cell_names_exactly_its_machines() {
    let wanted = [
        "value torque of casing closure, final: 44 N·m -> 46 N·m [P-130 P-133]",
        "value torque of casing closure, half: 22 N·m -> 23 N·m [P-130 P-133]",
    ];
    assert_eq!(after(PA, "[4,   44 N·m,", "[4,   46 N·m,"), wanted);
}

#[test]
fn a_limit_that_allows_more_says_so() {
    let found = after(PA, "0.6 to 1.0 mm, 34.94", "0.6 to 1.1 mm, 34.94");
    assert_eq!(found[0], "value limit of gap: 0.6 to 1.0 mm -> 0.6 to 1.1 mm (allows more than before) [P-120 P-121]");
    let tighter = after(PA, "0.6 to 1.0 mm, 34.94", "0.6 to 0.9 mm, 34.94");
    assert_eq!(tighter[0], "value limit of gap: 0.6 to 1.0 mm -> 0.6 to 0.9 mm [P-120 P-121]");
}

#[test]
fn two_steps_in_the_other_order_are_sequence() {
    let from = "17. Remove the impeller-nut O-ring. Discard it.\n18. Remove the impeller.\n";
    let to = "17. Remove the impeller.\n18. Remove the impeller-nut O-ring. Discard it.\n";
    let found = after(SEAL, from, to);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("sequence `Remove the impeller.`: step 1"), "{found:?}");
}

/// What is taken away weighs more than the same put in.
#[test]
fn a_removal_weighs_more() {
    let out = after(SEAL, "18. Remove the impeller.\n", "");
    assert!(out[0].starts_with("safety step taken out: `Remove the impeller.` ->"), "{out:?}");
    let mut world = creamery();
    edit(&mut world, SEAL, "18. Remove the impeller.\n", "");
    let back = between_states(&world, &creamery(), &[], &[]).expect("both are binders");
    assert!(drawn(&back)[0].starts_with("sequence new step:  -> `Remove the impeller.`"), "{:?}", drawn(&back));
}

#[test]
fn a_hold_point_taken_out_is_safety() {
    let found = after(SEAL, " {hold H2} {as port}", " {as port}");
    assert!(found.iter().all(|line| line.starts_with("safety ")), "{found:?}");
    assert!(found.iter().any(|line| line.contains("hold point H2: at `Fit the casing")), "{found:?}");
}

#[test]
fn a_machine_that_gets_another_rubber_is_applicability() {
    let from = "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}";
    let found = after(FLEET, from, "options: {size: 3, seal: S, port: left, rubber: FKM, frame: 132}");
    assert!(found.contains(&"applicability rubber: EPDM -> FKM [P-121]".to_owned()), "{found:?}");
    assert!(found.iter().all(|line| line.ends_with("[P-121]")), "{found:?}");
    assert!(found.iter().any(|line| line.starts_with("value new casing O-ring: ")), "{found:?}");
}

/// A machine that gets the procedure, and one that loses it.
#[test]
fn a_machine_that_comes_or_goes_is_applicability() {
    let said = |fleet: &mut Memory| {
        edit(fleet, FLEET, "options: {size: 4, seal: D, port: right", "options: {size: 4, seal: S, port: right");
    };
    let mut world = creamery();
    said(&mut world);
    let come = drawn(&from_creamery(&world));
    assert_eq!(
        come.iter().filter(|line| line.starts_with("applicability the procedure:  -> for this machine [")).count(),
        1,
        "{come:?}"
    );
    let gone = drawn(&between_states(&world, &creamery(), &[], &[]).expect("both are binders"));
    assert_eq!(
        gone.iter().filter(|line| line.starts_with("applicability the procedure: for this machine -> ")).count(),
        1,
        "{gone:?}"
    );
}

/// What did not change is said, and what cannot be compared.
#[test]
fn what_did_not_change_is_said() {
    let mut world = creamery();
    edit(&mut world, PA, "[4,   44 N·m,", "[4,   46 N·m,");
    let found = from_creamery(&world);
    assert_eq!((found.class, found.same, found.packets), (Some(RiskClass::Value), 17, 19));
    let seal = found.unchanged.iter().find(|own| own.document == "MP-PA-101").expect("it is in both");
    assert!(seal.areas.contains(&Area::Caution) && !seal.areas.contains(&Area::Torque), "{seal:?}");
    edit(&mut world, PA, "[4,   46 N·m,", "[4,   unknown,");
    let untold: Vec<String> =
        from_creamery(&world).untold.iter().map(|own| format!("{} {}", own.tag, own.state)).collect();
    assert_eq!(untold, ["P-130 now", "P-133 now"]);
}

/// The machines whose packet changed are those whose pages differ, whatever the edit was: the packets themselves are the oracle.
#[test]
fn the_machines_named_are_those_whose_packets_differ() {
    let edits = [
        (PA, "[3,   25 N·m,", "[3,   26 N·m,"),
        (PA, "[VMQ,   L-08,", "[VMQ,   L-01,"),
        (SEAL, "and the clamp ring. {only size 1}", "and the clamp ring. {only size 1 to 2}"),
        (SEAL, "time: 3 h", "time: 4 h"),
        (FLEET, "size: 2, seal: S, port: right", "size: 2, seal: S, port: top"),
        (PLATES, "    outside: \"Do not sign. Tell the supervisor.\"", "    outside: \"Do not sign.\""),
    ];
    for (path, from, to) in edits {
        let mut world = creamery();
        edit(&mut world, path, from, to);
        let found = from_creamery(&world);
        let named: BTreeSet<String> = found.changes.iter().flat_map(|own| own.tags.clone()).collect();
        let told: BTreeSet<String> = found.untold.iter().map(|own| own.tag.clone()).collect();
        let (before, after) = (packets(&creamery()), packets(&world));
        let differ = before.iter().filter(|(tag, packet)| after.get(*tag) != Some(packet) && !told.contains(*tag));
        let differ: BTreeSet<String> = differ.map(|(tag, _)| tag.clone()).collect();
        assert_eq!(named, differ, "{from} -> {to}");
        assert!(!named.is_empty(), "{from} -> {to} changes something");
    }
}

/// Returns every packet that can be made, by its tag, as the data that is printed.
fn packets(world: &Memory) -> BTreeMap<String, String> {
    let judged = crate::binder::judged(world);
    let mut packets = BTreeMap::new();
    for (procedure, machine) in jobs(&judged.binder) {
        if let Ok(packet) = runs::packet(&judged.binder, &judged.figures, procedure, machine) {
            packets.insert(machine.tag.value.to_string(), serde_json::to_string(&packet).expect("plain data"));
        }
    }
    packets
}
