//! The example binder: its values, limits, kits and faces, asserted by value from the invented plant's own tables.

use crate::binder::{creamery, drawn, edit, judged, packet};
use matchmark::packet::identity;
use matchmark::packet::view::Packet;
use matchmark::task::check::{Judged, jobs};
use matchmark::workspace::memory::Memory;
use std::collections::BTreeMap;

/// Returns the text of a value with plain spaces.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

fn number(packet: &Packet, name: &str) -> String {
    let found = packet.readings.iter().find(|reading| reading.entry.name == name);
    plain(&found.unwrap_or_else(|| panic!("a reading `{name}`")).entry.limit)
}

fn torque(packet: &Packet, name: &str) -> String {
    let joint = packet.joints.iter().find(|joint| joint.name == name).unwrap_or_else(|| panic!("a joint `{name}`"));
    let stages = joint.stages.iter().map(|stage| format!("{} {}", stage.label, plain(&stage.torque)));
    let wrench = joint.wrench.as_ref().map_or("", |wrench| wrench.id.as_str());
    format!("{} x {}: {} with {wrench}", joint.count, joint.thread, stages.collect::<Vec<_>>().join(", "))
}

/// Groups the tags of a document by the digest of their card's face.
fn faces(judged: &Judged, document: &str) -> Vec<String> {
    let mut groups: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (procedure, machine) in jobs(&judged.binder) {
        if procedure.document.value.as_str() == document {
            let packet = packet(judged, document, machine.tag.value.as_str());
            groups.entry(identity::of(&packet.card).digest).or_default().push(packet.tag);
        }
    }
    let mut faces: Vec<String> = groups.into_values().map(|tags| tags.join("+")).collect();
    faces.sort();
    faces
}

#[test]
fn the_example_has_no_error_and_no_warning() {
    let judged = judged(&creamery());
    let text = drawn(&judged);
    assert!(text.lines().all(|line| line.starts_with("note")), "{text}");
    assert!(text.contains("`frame` never makes a difference in this procedure"), "{text}");
    assert_eq!(jobs(&judged.binder).len(), 9 + 3 + 4 + 3);
}

#[test]
fn values_of_p_121() {
    let packet = packet(&judged(&creamery()), "MP-PA-101", "P-121");
    assert_eq!(number(&packet, "working length"), "30.2 to 30.8 mm");
    assert_eq!(number(&packet, "gap"), "0.6 to 1.0 mm");
    assert_eq!(number(&packet, "shaft diameter"), "34.94 mm or more");
    assert_eq!(number(&packet, "casing temperature"), "40 °C or less");
    assert_eq!(torque(&packet, "casing closure"), "6 x M10 A4-70: half 12.5 N·m, final 25 N·m with TW-2");
    assert_eq!(torque(&packet, "impeller nut"), "1 x : final 95 N·m with TW-3");
    assert_eq!(torque(&packet, "guard screws"), "2 x M6 8.8: final 5 N·m with TD-1");
    let points: Vec<&str> = packet.isolation.iter().map(|point| point.point.as_str()).collect();
    assert_eq!(points, ["Q-121", "V-121A", "V-121B", "V-121C"]);
}

#[test]
fn values_of_p_133() {
    let packet = packet(&judged(&creamery()), "MP-PA-101", "P-133");
    assert_eq!(number(&packet, "working length"), "35.7 to 36.3 mm");
    assert_eq!(number(&packet, "gap"), "0.8 to 1.2 mm");
    assert_eq!(number(&packet, "shaft diameter"), "44.94 mm or more");
    assert_eq!(torque(&packet, "casing closure"), "8 x M12 A4-70: half 22 N·m, final 44 N·m with TW-2");
    assert_eq!(torque(&packet, "impeller nut"), "1 x : final 150 N·m with TW-4");
    let closure = packet.joints.iter().find(|joint| joint.name == "casing closure").expect("size 4 has nuts");
    let pattern = closure.pattern.as_ref().expect("eight nuts have a pattern");
    assert_eq!(pattern.sequence, [1, 5, 3, 7, 2, 6, 4, 8]);
    assert!(packet.cautions.iter().any(|caution| caution.hazard.iter().any(|run| plain(&run.text) == "27 kg")));
}

/// Size 1 has a clamp ring and no key, sizes 2 to 4 a key and nuts; the steps are numbered without a gap for each.
#[test]
fn steps_that_do_not_apply_are_not_there_and_the_numbers_close_up() {
    let judged = judged(&creamery());
    let sentences = |tag: &str| {
        let packet = packet(&judged, "MP-PA-101", tag);
        let steps: Vec<_> = packet.stages.iter().flat_map(|stage| stage.steps.clone()).collect();
        let numbers: Vec<u32> = steps.iter().map(|step| step.number).collect();
        assert_eq!(numbers, (1..=u32::try_from(steps.len()).expect("few")).collect::<Vec<_>>());
        serde_json::to_string(&steps).expect("data")
    };
    let (small, large) = (sentences("P-101"), sentences("P-121"));
    assert!(small.contains("clamp ring") && !small.contains("the key") && !small.contains("casing nuts"));
    assert!(!large.contains("clamp ring") && large.contains("the key") && large.contains("casing nuts"));
}

/// 63 x 3.05 = 192.15, 63 x 3.20 = 201.60; 121 x 3.70 = 447.70, 121 x 3.88 = 469.48; 187 x 4.15 = 776.05, 187 x 4.35 = 813.45:
/// the lower limit is rounded up, the upper one down, the target to the nearest tenth.
#[test]
fn limits_of_the_plate_packs_are_rounded_inward() {
    let judged = judged(&creamery());
    for (tag, low, target, high) in [
        ("X-201", "192.2", "196.9", "201.6"),
        ("X-202", "447.7", "458.6", "469.4"),
        ("X-203", "776.1", "794.8", "813.4"),
    ] {
        let packet = packet(&judged, "MP-PX-210", tag);
        let text = plain(&serde_json::to_string(&packet.stages).expect("data"));
        for value in [low, target, high] {
            assert!(text.contains(&format!("{value} mm")), "{tag} {value}");
        }
    }
}

#[test]
fn eight_faces_for_nine_tags_and_nine_with_isolation_points() {
    let mut world = creamery();
    let off = faces(&judged(&world), "MP-PA-101");
    assert_eq!(off, ["P-101", "P-102", "P-110+P-111", "P-113", "P-120", "P-121", "P-130", "P-133"]);
    edit(&mut world, "binder.yaml", "isolation-points: off card", "isolation-points: on card");
    assert_eq!(faces(&judged(&world), "MP-PA-101").len(), 9);
    assert_eq!(faces(&judged(&world), "MP-PX-210"), ["X-201", "X-202", "X-203"]);
}

/// Removing any one cell names exactly the tags that need it; compared with a brute-force look at every tag.
#[test]
fn a_hole_names_exactly_its_tags() {
    let hole = |from: &str, to: &str| -> String {
        let mut world: Memory = creamery();
        edit(&mut world, "families/PA.yaml", from, to);
        drawn(&judged(&world)).lines().filter(|line| line.starts_with("error")).collect::<Vec<_>>().join("\n")
    };
    let working_length = hole("35.7 to 36.3 mm", "unknown");
    assert_eq!(working_length.lines().count(), 1, "{working_length}");
    assert!(working_length.starts_with("error[missing-value] families/PA.yaml:"), "{working_length}");
    assert!(working_length.ends_with("`working length` has no value for size 4 (P-130 P-133)"), "{working_length}");
    let fluid = hole("[VMQ,   L-08,", "[VMQ,   ~,");
    assert!(fluid.ends_with("`assembly fluid` has no value for rubber VMQ (P-133)"), "{fluid}");
}

#[test]
fn a_second_row_for_a_machine_is_told() {
    let mut world = creamery();
    edit(&mut world, "families/PA.yaml", "[FKM,   L-01,", "[[FKM, VMQ], L-01,");
    let text = drawn(&judged(&world));
    assert!(text.contains("`assembly fluid` has 2 rows for rubber VMQ (P-133)"), "{text}");
}
