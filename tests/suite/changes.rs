//! What a change means: the example with an edit against the example, text in and text out; each answer is written by hand.

use crate::binder::{creamery, edit};
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::base::risk::RiskClass;
use matchmark::model::fleet::Machine;
use matchmark::model::procedure::Procedure;
use matchmark::packet::change::{Area, between};
use matchmark::packet::view::{Packet, TorqueRole};
use matchmark::packet::{identity, stored};
use matchmark::task::changes::{Changes, Group, between_packets, between_states};
use matchmark::task::changes_page::{Heading, changes_page};
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

/// A step more, and all behind it have other numbers; what refers to them too. Only the step is told.
#[test]
fn a_step_more_renumbers_the_others_and_only_it_is_told() {
    let found = after(SEAL, "36. Turn the shaft", "36. Look at the arrow.\n37. Turn the shaft");
    assert_eq!(found, [format!("sequence new step:  -> `Look at the arrow.` [{NINE}]")]);
    let found = after(SEAL, "9. Remove the two guard screws", "9. Look at the arrow.\n10. Remove the two guard screws");
    assert_eq!(found, [format!("sequence new step:  -> `Look at the arrow.` [{NINE}]")]);
}

/// A name that only the registers know says nothing to the reader of the packet.
#[test]
fn a_renamed_synonym_is_nothing_or_wording() {
    assert_eq!(after(PA, "also: [nut O-ring]", "also: [small O-ring]"), Vec::<String>::new());
    let mut world = creamery();
    let renamed = |world: &mut Memory, path: &str| {
        let text = String::from_utf8(world.get(path).expect(path).to_vec()).expect("UTF-8");
        assert!(text.contains("guard torque"), "{path}");
        world.put(path, text.replace("guard torque", "torque of the guard"));
    };
    for path in [PA, SEAL, "seals/MP-PA-101.actions"] {
        if world.get(path).is_some_and(|text| String::from_utf8_lossy(text).contains("guard torque")) {
            renamed(&mut world, path);
        }
    }
    let found = from_creamery(&world);
    assert!(found.untold.is_empty(), "{:?}", found.untold);
    assert!(found.class.is_none_or(|class| class == RiskClass::Wording), "{:?}", drawn(&found));
}

/// A table that stands elsewhere in its file says what it said.
#[test]
fn a_moved_table_is_no_change() {
    let table = "  - by: [rubber]\n    source: \"Site fluid list FL-2, 2026-01-20\"\n    columns: [assembly fluid, rubber letter]\n    rows:\n      - [EPDM,  L-01,         E]\n      - [FKM,   L-01,         F]\n      - [VMQ,   L-08,         V]\n";
    let mut world = creamery();
    edit(&mut world, PA, table, "");
    edit(&mut world, PA, "tables:\n", &format!("tables:\n{table}\n"));
    assert_eq!(drawn(&from_creamery(&world)), Vec::<String>::new());
}

/// What the program takes a sentence to do may change while its words stay; the reader of the card sees nothing of it.
#[test]
fn another_reading_of_the_same_words_is_told_and_recalls_no_card() {
    let answers = "seals/MP-PA-101.actions";
    let mut world = creamery();
    edit(&mut world, answers, "| off key | Remove the key.", "| nothing | Remove the key.");
    let found = drawn(&from_creamery(&world));
    let wanted = "wording how `Remove the key.` is read: off key -> nothing (the words are the same; what the program takes them to do is not) [P-110 P-111 P-113 P-120 P-121 P-130 P-133]";
    assert_eq!(found, [wanted]);
    let (before, after) = (crate::binder::judged(&creamery()), crate::binder::judged(&world));
    let of = |judged| crate::binder::packet(judged, "MP-PA-101", "P-133");
    let (before, after) = (of(&before), of(&after));
    assert_ne!(identity::of(&before).digest, identity::of(&after).digest);
    assert_eq!(identity::of(&before.card).digest, identity::of(&after.card).digest);
    assert!(before.card.stages.iter().flat_map(|stage| &stage.steps).all(|step| step.does.is_empty()));
}

/// Another format of the card is told, and recalls none.
#[test]
fn another_card_format_is_wording_and_recalls_no_card() {
    let (before, mut after) = {
        let judged = crate::binder::judged(&creamery());
        let packet = crate::binder::packet(&judged, "MP-PA-101", "P-133");
        (packet.clone(), packet)
    };
    after.print.as_mut().expect("it says how").width_mm += 10;
    let told = between(&before, &after);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!((told[0].class, told[0].what.as_str()), (RiskClass::Wording, "how the card is printed"));
    assert_eq!(identity::of(&before.card), identity::of(&after.card));
}

/// What is written under a heading is read too: a number there is a number.
#[test]
fn notes_headings_and_what_stands_on_the_card_are_compared() {
    let note = "## Inspect\n\n23. Wipe";
    let mut world = creamery();
    edit(&mut world, SEAL, note, "## Inspect\n\nThe bench is at 20 °C.\n\n23. Wipe");
    let mut other = creamery();
    edit(&mut other, SEAL, note, "## Inspect\n\nThe bench is at 30 °C.\n\n23. Wipe");
    let found = drawn(&between_states(&world, &other, &[], &[]).expect("both are binders"));
    assert!(found[0].starts_with("value numbers in the notes under `Inspect`: 20 -> 30"), "{found:?}");
    let found = after(SEAL, "## Inspect\n", "## Look at it\n");
    assert!(found.iter().any(|line| line.starts_with("wording stages: ")), "{found:?}");
    let judged = crate::binder::judged(&creamery());
    let before = crate::binder::packet(&judged, "MP-PA-101", "P-133");
    let mut after = before.clone();
    let off = after.card.stages[0].steps.remove(0);
    let told = between(&before, &after);
    assert_eq!(told.len(), 1, "step {} left the card: {told:?}", off.number);
    assert_eq!((told[0].class, told[0].from.as_str(), told[0].to.as_str()), (RiskClass::Safety, "on the card", ""));
}

/// Stored packets and binders are compared in one way.
#[test]
fn stored_packets_are_compared_as_their_binders_are() {
    let mut world = creamery();
    edit(&mut world, PA, "[4,   44 N·m,", "[4,   46 N·m,");
    edit(&mut world, FLEET, "options: {size: 4, seal: D, port: right", "options: {size: 4, seal: S, port: right");
    let stored = |world: &Memory| -> Vec<(DocumentNumber, Tag, Packet)> {
        let judged = crate::binder::judged(world);
        let packet = |(procedure, machine): (&Procedure, &Machine)| {
            let made = runs::packet(&judged.binder, &judged.figures, procedure, machine).ok()?;
            let read = stored::read(&stored::write(&made).expect("it is stored")).expect("it is read");
            assert_eq!(read, made);
            Some((procedure.document.value.clone(), machine.tag.value.clone(), read))
        };
        jobs(&judged.binder).into_iter().filter_map(packet).collect()
    };
    let of_binders = from_creamery(&world);
    assert!(of_binders.untold.is_empty() && of_binders.changes.len() > 2);
    assert_eq!(between_packets(stored(&creamery()), stored(&world)), of_binders);
}

/// The page for a tablet says what the lines say, in its own order: class by class, then the numbers, then what did not change.
#[test]
fn the_page_of_changes_says_it_all_and_asks_nobody() {
    let mut world = creamery();
    edit(&mut world, PA, "[4,   44 N·m,", "[4,   46 N·m,");
    edit(&mut world, SEAL, " {hold H2} {as port}", " {as port}");
    edit(&mut world, SEAL, "19. Remove the key.", "19. Remove the shaft key.");
    edit(&mut world, FLEET, "size: 2, seal: S, port: right", "size: unknown, seal: S, port: right");
    let found = from_creamery(&world);
    let page = changes_page(&found, Heading { from: "revision 6", to: "<the new one>" }).expect("nothing is lost");
    if let Ok(path) = std::env::var("CHANGES_HTML") {
        std::fs::write(path, &page).expect("written");
    }
    let at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}: {page}"));
    let order = [
        "What cannot be told",
        "<span class=\"class\">safety</span>",
        "<span class=\"class\">value</span>",
        "<span class=\"class\">wording</span>",
        "Numbers that change",
        "<caption><span class=\"nb\">P-130</span> <span class=\"nb\">P-133</span>",
        "What did not change",
    ];
    assert!(order.map(at).is_sorted(), "{:?}", order.map(at));
    assert!(page.contains("<td data-head=\"Was\">22\u{a0}N·m</td>") || page.contains("22 N·m"));
    assert!(page.contains("&lt;the new one&gt;") && !page.contains("<script") && !page.contains("href="));
    assert!(page.contains("default-src 'none'"));
    let nothing = changes_page(&from_creamery(&creamery()), Heading { from: "a", to: "b" }).expect("nothing is lost");
    assert!(nothing.contains("Nothing changed in meaning.") && !nothing.contains("Numbers that change"));
}

/// As a command: the page goes to the answer, and other commands say that they write none.
#[test]
fn the_program_writes_the_page() {
    let folder = tempfile::TempDir::new().expect("a temporary folder");
    let (before, now) = (folder.path().join("before"), folder.path().join("now"));
    for place in [&before, &now] {
        crate::program::copy(std::path::Path::new(crate::binder::CREAMERY), place);
    }
    let family = now.join(PA);
    let text = std::fs::read_to_string(&family).expect("readable");
    std::fs::write(&family, text.replace("[4,   44 N·m,", "[4,   46 N·m,")).expect("a temporary folder");
    let (before, now) = (before.to_str().expect("UTF-8"), now.to_str().expect("UTF-8"));
    let ran = crate::program::run(&["changes", now, "--from", before, "--format", "html"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.out.starts_with("<!DOCTYPE html>") && ran.out.contains("Numbers that change"), "{}", ran.out);
    let ran = crate::program::run(&["check", now, "--format", "html"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("not written as `html`"), "{}", ran.err);
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

/// A torque that must never be passed is a limit too: more of it is flagged, and so is one that becomes a target.
#[test]
fn a_torque_limit_that_allows_more_says_so() {
    let judged = crate::binder::judged(&creamery());
    let mut before = crate::binder::packet(&judged, "MP-PA-101", "P-133");
    before.joints.retain(|joint| joint.name == "casing closure");
    before.joints[0].role = TorqueRole::Limit;
    let after = |edit: fn(&mut Packet)| {
        let mut packet = before.clone();
        edit(&mut packet);
        let told = between(&before, &packet);
        told.iter()
            .filter(|own| own.remark == "allows more than before")
            .map(|own| own.what.clone())
            .collect::<Vec<_>>()
    };
    let last = "torque of casing closure, final".to_owned();
    assert_eq!(after(|own| own.joints[0].stages[1].torque = "46\u{a0}N·m".to_owned()), [last]);
    assert_eq!(after(|own| own.joints[0].stages[1].torque = "42\u{a0}N·m".to_owned()), Vec::<String>::new());
    assert_eq!(after(|own| own.joints[0].role = TorqueRole::Target), ["what the torque of casing closure is"]);
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
