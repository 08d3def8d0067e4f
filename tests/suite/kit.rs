//! The kit of a job as computed from its sentences, and where things are used: whole lists held against hand-typed ones.

use crate::binder::{creamery, creamery_with, drawn, edit, judged, packet};
use matchmark::packet::view::{Kit, KitItem, Packet};
use matchmark::task::kit::{KitLine, kit, together};
use matchmark::task::where_used::{How, where_used};
use matchmark::workspace::memory::Memory;

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";

fn seal() -> Memory {
    creamery_with(SEAL)
}

fn plates() -> Memory {
    creamery_with(PLATES)
}

fn kit_of(world: &Memory, document: &str, tag: &str) -> Kit {
    let Packet { kit, .. } = packet(&judged(world), document, tag);
    kit
}

/// Draws items as `NUMBER xCOUNT: STEPS`, a line each.
fn items(items: &[KitItem]) -> Vec<String> {
    let line = |item: &KitItem| {
        let steps: Vec<String> = item.steps.iter().map(ToString::to_string).collect();
        let why = if item.why.is_empty() { String::new() } else { format!(" ({})", item.why) };
        format!("{} x{}: {}{why}", item.id, item.count, steps.join(" "))
    };
    items.iter().map(line).collect()
}

fn parts(kit: &Kit) -> Vec<String> {
    let line = |part: &matchmark::packet::view::KitPart| {
        let steps: Vec<String> = part.steps.iter().map(ToString::to_string).collect();
        let why = if part.why.is_empty() { String::new() } else { format!(" ({})", part.why) };
        format!("{} {} {}: {}{why}", part.count, part.name, part.number, steps.join(" "))
    };
    kit.parts.iter().map(line).collect()
}

/// The whole kit of a size 3 with a left port and EPDM: the work list of the procedure, with the numbers its steps have there
/// (11 and 39 of the source are for size 1 only).
#[test]
fn the_kit_of_p_121_whole_and_with_its_steps() {
    let kit = kit_of(&seal(), "MP-PA-101", "P-121");
    assert_eq!(
        parts(&kit),
        [
            "1 stationary seat SK-PA3-S-E: 26",
            "1 seat O-ring SK-PA3-S-E: 26",
            "1 rotating seal assembly SK-PA3-S-E: 27",
            "1 impeller-nut O-ring OR-PA3-N-E: 32",
            "1 casing O-ring OR-PA3-C-E: 36",
        ]
    );
    assert_eq!(items(&kit.fluids), ["L-01 x1: 26 32 36", "L-03 x1: 29 38", "L-07 x1: 22"]);
    assert_eq!(
        items(&kit.tools),
        [
            "HX x1: 9 19",
            "PM-1 x1: 10",
            "RS x1: 11 15 33",
            "SS-35 x1: 26",
            "ST-1 x1: 15 33",
            "WP-1 x1: 22",
        ]
    );
    assert_eq!(items(&kit.torque_tools), ["TD-1 x1: 29 39", "TW-2 x1: 38", "TW-3 x1: 33"]);
    assert_eq!(
        items(&kit.instruments),
        ["DG-1 x1: 28", "FG-1 x1: 14 34", "MM-2 x1: 23", "PG-1 x1: 42", "TH-1 x1: 8"]
    );
    assert_eq!(items(&kit.locks), ["LK-1 x4: 4 5"]);
    assert!(kit.temporary.is_empty());
}

#[test]
fn the_kit_of_p_133_whole() {
    let kit = kit_of(&seal(), "MP-PA-101", "P-133");
    let names = |items: &[KitItem]| items.iter().map(|item| item.id.as_str()).collect::<Vec<_>>().join(" ");
    assert_eq!(
        parts(&kit),
        [
            "1 stationary seat SK-PA4-S-V: 26",
            "1 seat O-ring SK-PA4-S-V: 26",
            "1 rotating seal assembly SK-PA4-S-V: 27",
            "1 impeller-nut O-ring OR-PA4-N-V: 32",
            "1 casing O-ring OR-PA4-C-V: 36",
        ]
    );
    assert_eq!(names(&kit.fluids), "L-03 L-07 L-08");
    assert_eq!(names(&kit.tools), "HX LB-1 PM-1 RS SS-45 ST-1 WP-1");
    assert_eq!(names(&kit.torque_tools), "TD-1 TW-2 TW-4");
    assert_eq!(names(&kit.instruments), "DG-1 FG-1 MM-2 PG-1 TH-1");
    assert_eq!((names(&kit.locks), kit.locks[0].count), ("LK-1".to_owned(), 3));
}

/// A size 1 has a clamp bolt to turn, and no key, casing nut or lifting band.
#[test]
fn the_kit_of_p_101_has_what_only_a_size_1_needs() {
    let kit = kit_of(&seal(), "MP-PA-101", "P-101");
    assert_eq!(items(&kit.torque_tools), ["TD-1 x1: 28 37", "TW-1 x1: 36", "TW-2 x1: 31"]);
    assert_eq!(items(&kit.tools)[2], "RS x1: 11 15 31");
}

#[test]
fn the_kit_of_x_203_whole() {
    let kit = kit_of(&plates(), "MP-PX-210", "X-203");
    assert!(kit.parts.is_empty());
    assert_eq!(items(&kit.fluids), ["L-03 x1: 9"]);
    assert_eq!(items(&kit.tools), ["HX x1: 8", "RS x1: 14", "WP-1 x1: 9"]);
    assert_eq!(items(&kit.torque_tools), ["TD-1 x1: 21", "TW-6 x1: 14"]);
    assert_eq!(items(&kit.instruments), ["TH-1 x1: 7", "VC-2 x1: 10 13 15 18 19 20"]);
    assert_eq!(items(&kit.locks), ["LK-1 x4: 5"]);
}

#[test]
fn a_mention_is_not_a_use() {
    let mut world = seal();
    edit(&mut world, SEAL, "Fit the impeller.\n", "Fit the impeller. Do not use L-02 here.\n");
    let kit = kit_of(&world, "MP-PA-101", "P-121");
    assert!(kit.fluids.iter().all(|fluid| fluid.id != "L-02"));
}

/// What may be needed is taken along, and says on which condition.
#[test]
fn what_is_needed_only_if_something_holds_is_drawn_and_says_so() {
    let mut world = seal();
    let step = "Fit the key. {only size 2 to 4} {as key}";
    edit(&mut world, SEAL, step, "IF the key is bent, THEN fit a new key. Fit the key. {only size 2 to 4} {as key}");
    let kit = kit_of(&world, "MP-PA-101", "P-121");
    let line = "1 key : 30 (only if the condition of the step holds)".to_owned();
    assert!(parts(&kit).contains(&line), "{:?}", parts(&kit));
}

#[test]
fn a_spare_stands_on_a_line_of_its_own_with_its_reason() {
    let mut world = seal();
    let spare = "parts:\n  - {part: casing O-ring, count: 2, why: spare}\n\ncautions:\n  - caution: hot caustic";
    edit(&mut world, SEAL, "cautions:\n  - caution: hot caustic", spare);
    let judged = judged(&world);
    let text = drawn(&judged);
    assert!(!text.contains("listed-not-used") && !text.contains("used-not-listed"), "{text}");
    let lines = parts(&packet(&judged, "MP-PA-101", "P-121").kit);
    assert_eq!(lines[4..], ["1 casing O-ring OR-PA3-C-E: 36", "2 casing O-ring OR-PA3-C-E:  (spare)"]);
}

#[test]
fn a_list_that_says_otherwise_is_told() {
    let mut world = plates();
    let lists = "tools: [HX, CP-1]\nfluids: [L-03]\nparts: [{part: casing O-ring, count: 2}, key]\ncautions:\n  - caution: hot pack";
    let lists = lists.replace("parts: [{part: casing O-ring, count: 2}, key]\n", "");
    edit(&mut world, PLATES, "cautions:\n  - caution: hot pack", &lists);
    let text = drawn(&judged(&world));
    for line in [
        "`CP-1` is listed, and no step uses it (X-201 X-202 X-203)",
        "`RS` is used here, and `tools:` does not list it (X-201 X-202 X-203)",
        "`WP-1` is used here, and `tools:` does not list it (X-201 X-202 X-203)",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    assert!(!text.contains("`HX`") && !text.contains("`L-03` is"), "{text}");
    let kit = kit_of(&world, "MP-PX-210", "X-203");
    assert!(items(&kit.tools).contains(&"CP-1 x1:  (listed by the author)".to_owned()));
}

#[test]
fn what_a_caution_asks_for_is_worn_at_its_steps() {
    let mut world = seal();
    edit(&mut world, SEAL, "    protection: [safety boots]\n", "    protection: [safety boots, hard hat]\n");
    let worn = |tag: &str| {
        let kit = kit_of(&world, "MP-PA-101", tag);
        kit.protection.into_iter().zip(kit.protection_steps).collect::<Vec<_>>()
    };
    let p133 = worn("P-133");
    assert!(p133.contains(&("safety boots".to_owned(), vec![])), "{p133:?}");
    assert!(p133.contains(&("hard hat".to_owned(), vec![12, 37])), "{p133:?}");
    assert!(worn("P-121").iter().all(|(name, _)| name != "hard hat"));
}

fn line<'l>(lines: &'l [KitLine], tag: &str, number: &str) -> &'l KitLine {
    lines.iter().find(|line| line.tag == tag && line.number == number).expect("the line is there")
}

#[test]
fn several_jobs_on_one_list() {
    let documents = ["MP-PA-101".to_owned()];
    let tags = ["P-120".to_owned(), "P-121".to_owned(), "P-133".to_owned()];
    let kits = kit(&seal(), &documents, &tags).expect("they are there");
    assert_eq!(line(&kits.lines, "P-121", "TW-2").steps, [38]);
    let joined = together(&kits.lines);
    let of = |number: &str| joined.iter().find(|line| line.number == number).expect("the line is there");
    // Two pumps of size 3 with EPDM take the same parts: they add up. One wrench serves all. The locks hang at the same time.
    assert_eq!(of("OR-PA3-C-E").count, Some(2));
    assert_eq!(of("OR-PA4-C-V").count, Some(1));
    assert_eq!(of("TW-2").count, Some(1));
    assert_eq!(of("LK-1").count, Some(3 + 4 + 3));
    assert_eq!(of("L-01").count, None);
    let jobs: Vec<String> =
        of("TW-2").jobs.iter().map(|job| format!("{} {} {:?}", job.document, job.tag, job.steps)).collect();
    assert_eq!(jobs, ["MP-PA-101 P-120 [38]", "MP-PA-101 P-121 [38]", "MP-PA-101 P-133 [38]"]);
}

/// Draws places as `DOCUMENT STEP HOW WHAT (TAGS)`, a line each.
fn places(name: &str, how: How) -> Vec<String> {
    let found = where_used(&creamery(), name, &[], &[]).expect("it is known");
    let here = found.places.iter().filter(|place| place.how == how);
    let line = |place: &matchmark::task::where_used::Place| {
        let step = place.step.map(|step| format!(" {step}")).unwrap_or_default();
        format!("{}{step} {} ({})", place.document, place.what, place.tags.join(" "))
    };
    here.map(line).collect()
}

#[test]
fn a_tool_is_found_in_registers_and_steps() {
    assert_eq!(
        places("ST-1", How::Used).iter().filter(|line| line.starts_with("MP-PA-101")).count(),
        3,
        "step 15 for all, and the tightening at 31 for size 1 and 33 for the others"
    );
    let tw3 = places("tw-3", How::Used);
    assert!(tw3.contains(&"MP-PA-101 33 torque of `impeller nut` (P-120 P-121)".to_owned()), "{tw3:?}");
    let register = places("TW-3", How::Register);
    assert!(register.contains(&" `impeller-nut wrench` for size 3 ()".to_owned()), "{register:?}");
    assert_eq!(places("TW-3", How::Defined), [" the crib ()"]);
}

#[test]
fn a_part_is_found_by_its_synonym_and_never_inside_a_longer_name() {
    let nut = places("casing cap nut", How::Used);
    assert!(nut.iter().any(|line| line.starts_with("MP-PA-101 11 off casing nut all")), "{nut:?}");
    let impeller = where_used(&creamery(), "impeller", &[], &[]).expect("it is known");
    let sentences: Vec<&str> = impeller.places.iter().map(|place| place.sentence.as_str()).collect();
    assert!(sentences.contains(&"Measure the gap between the impeller and the back plate."));
    assert!(!sentences.contains(&"Remove the impeller-nut O-ring."), "{sentences:?}");
}

#[test]
fn a_value_is_found_where_it_is_named() {
    let used = places("closure torque", How::Used);
    assert_eq!(
        used,
        [
            "MP-PA-101 36 in the sentence (P-101 P-102)",
            "MP-PA-101 38 in the sentence (P-110 P-111 P-113 P-120 P-121 P-130 P-133)"
        ]
    );
    assert_eq!(
        places("closure torque", How::Register),
        [" torque of joint `casing clamp` ()", " torque of joint `casing closure` ()"]
    );
}

#[test]
fn an_unknown_name_is_told_the_nearest() {
    let unknown = where_used(&creamery(), "casing o ring", &[], &[]).expect_err("nobody is called so");
    assert!(unknown.to_string().contains("no part, tool, fluid, value or procedure `casing o ring`"), "{unknown}");
}
