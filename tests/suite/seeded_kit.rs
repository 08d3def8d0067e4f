//! Seeded faults of tools, torques, instruments and fluids: one edit of the example, and exactly the machines it is true for.

use crate::binder::{creamery_with, drawn, edit, judged};
use matchmark::workspace::memory::Memory;

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";
const PA: &str = "families/PA.yaml";
const PX: &str = "families/PX.yaml";
const CRIB: &str = "crib.yaml";

/// The errors and warnings of a world that the clean text does not have: rule, message and tags.
fn errors(procedure: &str, world: &Memory) -> Vec<String> {
    let clean = told(&creamery_with(procedure));
    told(world).into_iter().filter(|line| !clean.contains(line)).collect()
}

fn told(world: &Memory) -> Vec<String> {
    let text = drawn(&judged(world));
    let lines = text.lines().filter_map(|line| line.strip_prefix("error[").or_else(|| line.strip_prefix("warning[")));
    let said = |line: &str| {
        let (rule, rest) = line.split_once("] ").expect("a rule stands in brackets");
        let words = rest.split_once(' ').map_or(rest, |(_, words)| words);
        format!("{rule}: {words}")
    };
    lines.map(said).collect()
}

#[track_caller]
fn found(path: &str, from: &str, to: &str) -> Vec<String> {
    let procedure = if path == PLATES { PLATES } else { SEAL };
    let mut world = creamery_with(procedure);
    edit(&mut world, path, from, to);
    errors(procedure, &world)
}

const ALL_NINE: &str = "P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133";

/// 1.3: mineral-oil grease on the casing O-ring: seven machines with EPDM, one with VMQ, and not the one with FKM.
#[test]
fn seeded_1_3_a_grease_that_attacks_the_ring() {
    let found = found(SEAL, "Wet the new casing O-ring with {assembly fluid}.", "Wet the new casing O-ring with L-02.");
    let tags = "P-101 P-102 P-110 P-111 P-120 P-121 P-130 P-133";
    assert_eq!(found, [format!("fluid-attacks-rubber: `L-02` attacks the rubber of `casing O-ring` ({tags})")]);
}

/// 1.4: silicone grease everywhere: wrong for the one machine with silicone rubber.
#[test]
fn seeded_1_4_silicone_grease_on_silicone_rubber() {
    let mut world = creamery_with(SEAL);
    for ring in ["seat", "impeller-nut", "casing"] {
        let sentence = format!("Wet the new {ring} O-ring with {{assembly fluid}}.");
        edit(&mut world, SEAL, &sentence, &format!("Wet the new {ring} O-ring with L-01."));
    }
    let wanted = ["seat", "impeller-nut", "casing"]
        .map(|ring| format!("fluid-attacks-rubber: `L-01` attacks the rubber of `{ring} O-ring` (P-133)"));
    let mut found = errors(SEAL, &world);
    // The edited step is read anew, and what was uncertain in it is asked about again.
    found.retain(|line| !line.starts_with("cannot-prove"));
    assert_eq!(found, wanted);
}

/// 1.5: the strap wrench is out of the crib: one finding for all nine, at its two steps.
#[test]
fn seeded_1_5_a_tool_that_is_not_held() {
    let mut world = creamery_with(SEAL);
    edit(&mut world, CRIB, "  - {id: ST-1,  name: strap wrench}\n", "");
    let judged = judged(&world);
    let findings: Vec<_> = judged
        .findings
        .iter()
        .filter(|one| {
            one.rule.0 == "tool-not-held" && one.document.as_ref().is_some_and(|own| own.as_str() == "MP-PA-101")
        })
        .collect();
    assert_eq!(findings.len(), 1, "{}", drawn(&judged));
    assert_eq!(findings[0].message, "the crib holds no `strap wrench`");
    let tags: Vec<&str> = findings[0].tags.iter().map(matchmark::base::name::Tag::as_str).collect();
    assert_eq!(tags.join(" "), ALL_NINE);
    let places: Vec<_> = findings[0].span.into_iter().chain(findings[0].also.iter().map(|(span, _)| *span)).collect();
    assert_eq!(places.len(), 2);
    let text = |at: usize| {
        let file = judged.binder.texts.get(places[at].file);
        file.content()[places[at].range()].to_owned()
    };
    assert!(text(0).contains("strap wrench") && text(1).contains("strap wrench"), "{} / {}", text(0), text(1));
}

/// 1.6: one wrench for all impeller nuts: 150 N·m is above 100 on the two machines of size 4 this procedure is for.
#[test]
fn seeded_1_6_above_the_range_of_the_wrench() {
    let mut world = creamery_with(SEAL);
    for (from, to) in [
        ("25 N·m,              TW-2]", "25 N·m,              TW-3]"),
        ("55 N·m,              TW-2]", "55 N·m,              TW-3]"),
        ("150 N·m,             TW-4]", "150 N·m,             TW-3]"),
    ] {
        edit(&mut world, PA, from, to);
    }
    assert_eq!(errors(SEAL, &world), ["wrench-out-of-range: `TW-3` cannot tighten `impeller nut` (P-130 P-133)"]);
}

/// 1.7: one wrench for all closures: half of 12 N·m is below its lowest mark of 10, although 12 is not. Size 1 is tightened
/// to 10 in one go, which is the lowest mark itself.
#[test]
fn seeded_1_7_half_the_torque_is_below_the_range() {
    let mut world = creamery_with(SEAL);
    edit(&mut world, PA, "[1,   10 N·m,         M8,             TW-1,", "[1,   10 N·m,         M8,             TW-2,");
    edit(&mut world, PA, "[2,   12 N·m,         M8,             TW-1,", "[2,   12 N·m,         M8,             TW-2,");
    assert_eq!(
        errors(SEAL, &world),
        ["wrench-out-of-range: `TW-2` cannot tighten `casing closure` (P-110 P-111 P-113)"]
    );
    let judged = judged(&world);
    let finding = judged.findings.iter().find(|one| one.rule.0 == "wrench-out-of-range").expect("it was found");
    let why: Vec<&str> = finding.also.iter().map(|(_, words)| words.as_str()).collect();
    assert_eq!(why, ["half is 6 N·m, below the lowest mark of 10", "it shows 10 to 60 N·m"]);
    assert!(finding.help.contains("`TW-1`") && !finding.help.contains("`TW-2`"), "{}", finding.help);
}

/// 3.3: the torque limit given as what to tighten to. Typed by hand it is the limit of the small frame only.
#[test]
fn seeded_3_3_a_limit_used_as_target() {
    let sentence = "Tighten opposite tie bolts in the printed number sequence, one quarter turn each.";
    let typed = found(PLATES, sentence, "Tighten each tie bolt to 200 N·m.");
    let told: Vec<&String> = typed.iter().filter(|line| line.starts_with("limit-used-as-target")).collect();
    assert_eq!(told, ["limit-used-as-target: the torque of `tie bolts` is a limit, and here it is the target (X-201)"]);
    let by_value = found(PLATES, sentence, "Tighten each tie bolt to {tie bolt limit}.");
    let told: Vec<&String> = by_value.iter().filter(|line| line.starts_with("limit-used-as-target")).collect();
    assert_eq!(
        told,
        ["limit-used-as-target: the torque of `tie bolts` is a limit, and here it is the target (X-201 X-202 X-203)"]
    );
}

/// 3.4: without the largest wrench nothing covers 600 N·m, and only the large frame needs it.
#[test]
fn seeded_3_4_no_wrench_covers_the_torque() {
    let mut world = creamery_with(PLATES);
    let line = "  - {id: TW-6, name: torque wrench, range: 200 to 1000 N·m, drive: 1 in square,   lever: 1250 mm, graduation: 5 N·m, class: II A}\n";
    edit(&mut world, CRIB, line, "");
    edit(&mut world, "crib-status.yaml", "  - {id: TW-6, due: 2097-06-07}\n", "");
    assert_eq!(errors(PLATES, &world), ["not-held: the crib does not hold `TW-6` (X-203)"]);
    let judged = judged(&world);
    let finding = judged.findings.iter().find(|one| one.rule.0 == "not-held").expect("it was found");
    assert!(
        finding.also.iter().any(|(_, words)| words == "no torque tool of the crib covers 600 N·m"),
        "{:?}",
        finding.also
    );
}

/// 3.5: a calliper to 300 mm for packs of 448 to 469 and 776 to 813 mm.
#[test]
fn seeded_3_5_an_instrument_that_is_too_short() {
    let mut world = creamery_with(PLATES);
    edit(&mut world, PX, "2.0 mm,         VC-2,", "2.0 mm,         VC-1,");
    edit(&mut world, PX, "3.0 mm,         VC-2,", "3.0 mm,         VC-1,");
    let found = errors(PLATES, &world);
    assert!(!found.is_empty());
    for line in &found {
        assert!(line.starts_with("instrument-out-of-range: `VC-1` cannot measure `"), "{found:?}");
        assert!(line.ends_with("` (X-202 X-203)"), "{found:?}");
    }
    assert!(found[0].contains("`dimension A`"), "{found:?}");
}

/// 3.9: mineral-oil grease on the gaskets: EPDM is attacked, NBR is not.
#[test]
fn seeded_3_9_a_grease_that_attacks_the_gaskets() {
    let found = found(
        PLATES,
        "Apply L-03 to the threads and the nut faces.",
        "Apply L-03 to the threads and the nut faces. Smear L-02 on the gasket edges.",
    );
    assert_eq!(found, ["fluid-attacks-rubber: `L-02` attacks the rubber of `gasket` (X-201 X-203)"]);
}
