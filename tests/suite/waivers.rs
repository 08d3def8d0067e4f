//! What the plant accepts, from its register to the packet; what a baseline knows; and findings as SARIF.

use crate::binder::{creamery, drawn, edit, judged};
use crate::program::{copy, run, run_with};
use crate::rules::{CASES, Case};
use matchmark::base::date::Date;
use matchmark::base::finding::{Finding, Severity};
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::rules::{self, Found};
use matchmark::task::check::Judged;
use matchmark::task::selection::Selection;
use matchmark::workspace::memory::Memory;
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const SEAL: &str = "seals/MP-PA-101.md";
/// An error that can be accepted: the gap is recorded as found only, on nine pumps.
const NO_MOMENT: (&str, &str) = ("{record gap as left}", "{record gap as found}");
const PUMPS: &str = "P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133";

/// Returns the example in which the gap as left is not recorded, with these waivers.
fn without_moment(waivers: &str) -> Memory {
    let mut world = creamery();
    edit(&mut world, SEAL, NO_MOMENT.0, NO_MOMENT.1);
    world.put("waivers.yaml", format!("waivers:\n{waivers}"));
    world
}

/// Returns a waiver of that error with these lines more.
fn waiver(more: &str) -> String {
    format!(
        "  - rule: moment-without-step\n    document: MP-PA-101\n    says: \"no step records `gap` as left\"\n    \
         reason: The dial gauge is away until the summer stop.\n    by: R. Example\n    until: 2026-03-31\n{more}"
    )
}

fn tags(names: &str) -> String {
    format!("    tags: [{}]\n", names.replace(' ', ", "))
}

/// Draws what is left of the rule, and of the rules about waivers.
fn left(judged: &Judged) -> String {
    let is_meant = |line: &&str| line.contains("moment-without-step") || line.contains("-waiver]");
    drawn(judged).lines().filter(is_meant).collect::<Vec<_>>().join("\n")
}

/// Draws what is accepted: rule, tags, who and until when.
fn accepted(judged: &Judged) -> String {
    let line = |one: &matchmark::model::waiver::Waived| {
        let tags: Vec<&str> = one.finding.tags.iter().map(Tag::as_str).collect();
        let waiver = &one.waiver;
        format!("{} ({}) {} until {}", one.finding.rule.0, tags.join(" "), waiver.by, waiver.until.value)
    };
    judged.waived.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Returns how many of the nine packets of the procedure can be made.
fn sound(judged: &Judged) -> usize {
    let document = ["MP-PA-101".to_owned()];
    let (sound, all) = judged.sound_jobs(&Selection::of(&judged.binder, &document, &[]).expect("it is there"));
    assert_eq!(all, PUMPS.split(' ').count());
    sound
}

#[test]
fn a_finding_is_accepted_for_the_machines_that_are_named_and_stays_for_the_others() {
    let before = judged(&without_moment("  - {rule: x, says: x, reason: x, by: x, until: 2026-03-31}\n"));
    assert!(drawn(&before).contains(&format!("no step records `gap` as left ({PUMPS})")), "{}", drawn(&before));
    assert_eq!(sound(&before), 0);
    let judged = judged(&without_moment(&waiver(&tags("P-121 P-133"))));
    insta::assert_snapshot!(left(&judged), @"error[moment-without-step] seals/MP-PA-101.md:91:25 no step records `gap` as left (P-101 P-102 P-110 P-111 P-113 P-120 P-130)");
    insta::assert_snapshot!(accepted(&judged), @"moment-without-step (P-121 P-133) R. Example until 2026-03-31");
    assert_eq!(sound(&judged), 2, "an accepted error keeps no packet from being made");
}

#[test]
fn the_last_day_still_counts_and_the_next_is_an_error() {
    let world = without_moment(&waiver(&tags(PUMPS)));
    let on = |day: &str| judged(&world.clone().on(Date::parse(day).expect("a date")));
    let last = on("2026-03-31");
    assert_eq!((left(&last).as_str(), sound(&last)), ("", 9));
    let next = on("2026-04-01");
    insta::assert_snapshot!(left(&next), @"
    error[expired-waiver] waivers.yaml:7:12 this waiver of `moment-without-step` ran out on 2026-03-31 (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)
    error[moment-without-step] seals/MP-PA-101.md:91:25 no step records `gap` as left (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)
    ");
    assert_eq!((accepted(&next).as_str(), sound(&next)), ("", 0));
}

/// What ran out is told, but a packet is kept back by what is wrong with it and not by a date.
#[test]
fn a_waiver_that_ran_out_keeps_no_packet_back() {
    let mut world = creamery();
    world.put("waivers.yaml", format!("waivers:\n{}", waiver(&tags(PUMPS))));
    let judged = judged(&world.on(Date::parse("2030-01-01").expect("a date")));
    assert!(left(&judged).starts_with("error[expired-waiver]"), "{}", left(&judged));
    assert_eq!(sound(&judged), 9);
}

#[test]
fn a_waiver_that_accepts_nothing_is_told_with_the_reason() {
    let said = |waivers: &str| {
        let judged = judged(&without_moment(waivers));
        assert_eq!(accepted(&judged), "", "{waivers}");
        assert_eq!(sound(&judged), 0, "{waivers}");
        let idle = judged.findings.iter().filter(|finding| finding.rule.0 == "idle-waiver");
        let line = |finding: &Finding| format!("{}: {} | {}", finding.severity.word(), finding.message, finding.help);
        idle.map(line).collect::<Vec<_>>().join("\n")
    };
    let with = |from: &str, to: &str| waiver(&tags(PUMPS)).replace(from, to);
    assert_eq!(
        said(&with("moment-without-step", "moment-without-steps")),
        "warning: there is no rule `moment-without-steps` | did you mean `moment-without-step`?"
    );
    assert_eq!(
        said(&with("`gap`", "`play`")),
        "warning: nothing is found that this waiver accepts | take it out if the fault is mended; else copy the finding's words or fingerprint anew"
    );
    assert_eq!(
        said(&with("MP-PA-101", "MP-PX-210")),
        "warning: nothing is found that this waiver accepts | it is found in `MP-PA-101`: name that document if it is meant"
    );
    assert_eq!(
        said(&with("    document: MP-PA-101\n", "")),
        "warning: nothing is found that this waiver accepts | it is found in `MP-PA-101`: name that document if it is meant"
    );
    assert_eq!(
        said(&waiver("")),
        "warning: the waiver names no machine, the finding does | name those it is accepted for: `tags: [P-101, P-102, P-110, P-111, P-113, P-120, P-121, P-130, P-133]`"
    );
    assert_eq!(
        said(&waiver(&tags("X-201"))),
        "warning: the finding is true for none of these machines | name those it is accepted for: `tags: [P-101, P-102, P-110, P-111, P-113, P-120, P-121, P-130, P-133]`"
    );
    assert!(
        said(&waiver(&format!("{}    times: 2\n", tags(PUMPS)))).starts_with(
            "warning: one finding reads like this, the waiver accepts 2; so it accepts none | look at each"
        ),
    );
    let about_document = "  - {rule: idle-option, document: MP-PA-101, tags: [P-121], says: \"`frame` never makes a difference in this procedure\", reason: x, by: x, until: 2026-03-31}\n";
    assert_eq!(
        said(about_document),
        "warning: the finding names no machine, so it cannot be accepted for some | take out `tags:`, or mend it"
    );
}

#[test]
fn two_waivers_may_share_a_finding_and_a_third_is_idle() {
    let all = [waiver(&tags("P-121")), waiver(&tags("P-133 X-201")), waiver(&tags("P-121"))].concat();
    let judged = judged(&without_moment(&all));
    insta::assert_snapshot!(accepted(&judged), @"
    moment-without-step (P-121) R. Example until 2026-03-31
    moment-without-step (P-133) R. Example until 2026-03-31
    ");
    insta::assert_snapshot!(left(&judged), @"
    warning[idle-waiver] waivers.yaml:15:19 it is not found for `X-201` (P-133 X-201)
    warning[idle-waiver] waivers.yaml:16:11 another waiver accepts this finding already (P-121)
    error[moment-without-step] seals/MP-PA-101.md:91:25 no step records `gap` as left (P-101 P-102 P-110 P-111 P-113 P-120 P-130)
    ");
}

/// A finding of the same rule, and even of the same words, that has come up since is not accepted with the old one.
#[test]
fn what_is_new_is_never_accepted_with_what_is_old() {
    let accepts = "  - rule: torque-without-step\n    document: MP-PA-101\n    says: \"the joint `guard screws` is tightened here but not listed\"\n    reason: x\n    by: x\n    until: 2026-03-31\n";
    let accepts = format!("{accepts}{}", tags(PUMPS));
    let mut world = creamery();
    edit(&mut world, SEAL, "  - guard screws\n", "");
    world.put("waivers.yaml", format!("waivers:\n{accepts}"));
    let torques = |judged: &Judged| {
        let is_meant = |line: &&str| line.contains("[torque-without-step]") || line.contains("-waiver]");
        drawn(judged).lines().filter(is_meant).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(torques(&judged(&world)), Vec::<String>::new());
    let mut other = world.clone();
    edit(&mut other, SEAL, "  - back-plate screws\n", "");
    let told = torques(&judged(&other));
    assert!(told.len() == 1 && told[0].contains("`back-plate screws`"), "{told:?}");
    let mut again = world.clone();
    edit(&mut again, SEAL, "Fit the impeller.\n", "Fit the impeller. Tighten them to {guard torque}.\n");
    let told = torques(&judged(&again));
    assert_eq!(told.len(), 3, "both are told, and the waiver too: {told:?}");
    assert!(told.iter().any(|line| line.contains("2 findings read like this, the waiver accepts 1")), "{told:?}");
    again.put("waivers.yaml", format!("waivers:\n{accepts}    times: 2\n"));
    let both = judged(&again);
    assert_eq!((torques(&both), both.waived.len()), (Vec::new(), 2));
}

#[test]
fn a_fingerprint_names_a_finding_wherever_its_lines_go() {
    let before = judged(&without_moment("  - {rule: x, says: x, reason: x, by: x, until: 2026-03-31}\n"));
    let print = |judged: &Judged| {
        let found = judged.findings.iter().find(|finding| finding.rule.0 == "moment-without-step");
        found.expect("it is found").fingerprint.clone()
    };
    let own = print(&before);
    let by_print = waiver(&tags(PUMPS)).replace("says: \"no step records `gap` as left\"", &format!("finding: {own}"));
    let mut moved = without_moment(&by_print);
    edit(&mut moved, SEAL, "---\ndocument: MP-PA-101\n", "---\n# A remark above it.\n\ndocument: MP-PA-101\n");
    let judged_moved = judged(&moved);
    assert_eq!(left(&judged_moved), "");
    assert_eq!(judged_moved.waived[0].finding.fingerprint, own);
    let mut reworded = moved.clone();
    edit(&mut reworded, SEAL, "moments: [as found, as left]", "moments: [as left, as found]");
    assert_eq!(sound(&judged(&reworded)), 0, "other words, another finding");
    let both = by_print.replace("    reason:", "    says: something else\n    reason:");
    assert_eq!(sound(&judged(&without_moment(&both))), 0, "both names must agree");
}

/// Every finding of every case of the rules is accepted, by its words, for its tags. What no waiver may accept stays.
#[test]
fn what_cannot_be_printed_safely_is_never_accepted() {
    let of = |case: &Case| {
        let (mut kept, mut taken) = (BTreeSet::new(), BTreeSet::new());
        let mut world = case.world();
        let before = judged(&world);
        // Notes on style are many and alike; they are accepted in a test of their own.
        let told: Vec<Finding> = before.findings.iter().filter(|one| one.severity != Severity::Note).cloned().collect();
        world.put("waivers.yaml", waivers_of(&told));
        let after = judged(&world);
        for one in &after.waived {
            let rule = rules::find(one.finding.rule.0).expect("it is listed");
            let is_error = one.finding.severity == Severity::Error;
            let is_open =
                matches!(rule.found, Found::Check(_) | Found::Sentences(_) | Found::Run(_) | Found::Wording(_));
            assert!(!is_error || is_open, "{} was accepted", rule.id.0);
            taken.insert(rule.id.0);
        }
        for finding in after.findings.iter().filter(|one| one.severity != Severity::Note) {
            kept.insert(finding.rule.0);
            let rule = rules::find(finding.rule.0).expect("it is listed");
            let was_there = before.findings.iter().any(|one| one.fingerprint == finding.fingerprint);
            assert!(!was_there || !rule.is_waivable(finding.severity) || is_undecided(&before), "{finding:?}");
        }
        (kept, taken)
    };
    let heavy = CASES.par_iter().filter(|case| !case.3.starts_with("note"));
    let sets: Vec<(BTreeSet<&str>, BTreeSet<&str>)> = heavy.map(of).collect();
    let kept: BTreeSet<&str> = sets.iter().flat_map(|(kept, _)| kept).copied().collect();
    let taken: BTreeSet<&str> = sets.iter().flat_map(|(_, taken)| taken).copied().collect();
    let never = [
        "missing-value",
        "ambiguous-value",
        "bad-quantity",
        "boundary-not-isolated",
        "undeclared-name",
        "undeclared-choice",
        "duplicate-name",
        "bad-figure",
        "unsafe-link",
        "schema-violation",
        "yaml-syntax",
        "wrong-kind",
        "not-held",
    ];
    for rule in never {
        assert!(kept.contains(rule), "{rule}: {kept:?}");
    }
    for rule in ["moment-without-step", "shared-torque", "torque-without-step", "never-used"] {
        assert!(taken.contains(rule), "{rule}: {taken:?}");
    }
}

fn is_undecided(judged: &Judged) -> bool {
    judged.binder.registers == matchmark::model::binder::Registers::Broken
}

/// Returns waivers of these findings: one for each rule, document and words.
fn waivers_of(findings: &[Finding]) -> String {
    let mut groups: BTreeMap<(&str, Option<&DocumentNumber>, &str), Vec<&Finding>> = BTreeMap::new();
    for finding in findings {
        let key = (finding.rule.0, finding.document.as_ref(), finding.message.as_str());
        groups.entry(key).or_default().push(finding);
    }
    let mut text = "waivers:\n".to_owned();
    for ((rule, document, says), group) in groups {
        let quoted = serde_json::to_string(says).expect("a text");
        let _ = write!(text, "  - rule: {rule}\n    says: {quoted}\n    times: {}\n", group.len());
        let _ = write!(text, "    reason: x\n    by: x\n    until: 2026-01-01\n");
        if let Some(document) = document {
            let _ = writeln!(text, "    document: {document}");
        }
        let tags: BTreeSet<&str> = group.iter().flat_map(|one| &one.tags).map(Tag::as_str).collect();
        if !tags.is_empty() {
            let _ = writeln!(text, "    tags: [{}]", tags.into_iter().collect::<Vec<_>>().join(", "));
        }
    }
    text
}

#[test]
fn a_day_that_does_not_exist_is_told_at_its_place_and_nothing_is_accepted() {
    let world = without_moment(&waiver(&tags(PUMPS)).replace("2026-03-31", "2026-02-30"));
    let judged = judged(&world);
    let text = drawn(&judged);
    assert!(
        text.contains(
            "error[schema-violation] waivers.yaml:7:12 `until` cannot be `2026-02-30`: the calendar has no such day"
        ),
        "{text}"
    );
    assert!(is_undecided(&judged) && judged.waived.is_empty());
}

#[test]
fn what_is_accepted_in_a_procedure_that_cannot_be_read_is_not_called_idle() {
    let mut world = without_moment(&waiver(&tags(PUMPS)));
    edit(&mut world, SEAL, "title: ", "titel: ");
    let judged = judged(&world);
    assert_eq!(left(&judged), "", "the fault is told once: {}", drawn(&judged));
    assert!(drawn(&judged).contains("error[schema-violation]"));
}

/// The example on a disk.
pub(crate) struct Stage {
    folder: TempDir,
}

impl Stage {
    fn new() -> Self {
        let stage = Self { folder: TempDir::new().expect("a temporary folder") };
        copy(Path::new(crate::binder::CREAMERY), &stage.at("binder"));
        stage
    }

    /// Returns the example with findings that are new, known from `known.json`, and accepted.
    pub(crate) fn with_findings_of_every_kind() -> Self {
        let stage = Self::new();
        stage.spoil();
        stage.accept(&waiver(&tags("P-121")));
        let (binder, known) = (stage.path("binder"), stage.path("known.json"));
        let written = run_with(&["check", &binder, "--write-baseline", &known], &[("SOURCE_DATE_EPOCH", LAST_SECOND)]);
        assert_eq!(written.code, 0, "{}", written.err);
        stage.edit(&format!("binder/{SEAL}"), "  - guard screws\n", "");
        stage
    }

    /// Returns the SARIF log of the binder.
    pub(crate) fn sarif(&self, more: &[&str]) -> String {
        let binder = self.path("binder");
        let arguments = [&["check", binder.as_str(), "--format", "sarif"], more].concat();
        run_with(&arguments, &[("SOURCE_DATE_EPOCH", LAST_SECOND)]).out
    }

    pub(crate) fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn path(&self, name: &str) -> String {
        self.at(name).to_str().expect("UTF-8").to_owned()
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.at(name)).expect("readable")
    }

    #[track_caller]
    fn edit(&self, name: &str, from: &str, to: &str) {
        let text = self.read(name);
        assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {name}");
        fs::write(self.at(name), text.replacen(from, to, 1)).expect("writable");
    }

    fn spoil(&self) {
        self.edit(&format!("binder/{SEAL}"), NO_MOMENT.0, NO_MOMENT.1);
    }

    fn accept(&self, waivers: &str) {
        fs::write(self.at("binder/waivers.yaml"), format!("waivers:\n{waivers}")).expect("writable");
    }
}

/// 2026-03-31, one second before midnight in UTC: 90 days into the year that begins 1 767 225 600 s after 1970 (`date -u`).
const LAST_SECOND: &str = "1775001599";
const NEXT_SECOND: &str = "1775001600";

#[test]
fn a_packet_names_what_was_accepted_and_the_date_decides_whether_it_is_made() {
    let stage = Stage::new();
    stage.spoil();
    stage.accept(&waiver(&tags("P-121")));
    let build = |second: &str| {
        let (binder, out) = (stage.path("binder"), stage.path("out"));
        run_with(&["build", &binder, "--tag", "P-121", "--out", &out], &[("SOURCE_DATE_EPOCH", second)])
    };
    let on_time = build(LAST_SECOND);
    assert_eq!(on_time.code, 0, "{}{}", on_time.out, on_time.err);
    assert!(
        on_time.err.contains("1 finding accepted by the plant; the packets they concern name them"),
        "{}",
        on_time.err
    );
    let page = stage.read("out/packets/MP-PA-101/P-121.html");
    for words in [
        "Findings accepted by the plant",
        "no step records &quot;gap&quot; as left",
        "moment-without-step",
        "The dial gauge is away until the summer stop.",
        "R. Example",
        "2026-03-31",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let late = build(NEXT_SECOND);
    assert_eq!(late.code, 1, "{}{}", late.out, late.err);
    assert!(late.err.contains("error[expired-waiver]") && late.out.contains("not made for P-121"), "{}", late.err);
    assert!(!stage.at("out/packets/MP-PA-101/P-121.html").exists());
    let lost = build("tomorrow");
    assert_eq!(lost.code, 3);
    assert!(lost.err.contains("today's date cannot be told: `SOURCE_DATE_EPOCH` holds `tomorrow`"), "{}", lost.err);
    fs::remove_file(stage.at("binder/waivers.yaml")).expect("it is there");
    assert_eq!(build("tomorrow").code, 3, "the calibration of a tool can run out");
    fs::remove_file(stage.at("binder/crib-status.yaml")).expect("it is there");
    assert_eq!(build("tomorrow").code, 1, "nobody asks for the date where nothing can run out");
}

#[test]
fn a_check_lists_what_is_accepted_and_counts_it_apart() {
    let stage = Stage::new();
    stage.spoil();
    stage.accept(&waiver(&tags(PUMPS)));
    let check = |format: &str| {
        let binder = stage.path("binder");
        run_with(&["check", &binder, "--format", format], &[("SOURCE_DATE_EPOCH", LAST_SECOND)])
    };
    let human = check("human");
    assert_eq!(human.code, 0, "{}", human.out);
    assert!(human.err.contains("; 1 accepted by the plant; "), "{}", human.err);
    let list: Vec<&str> = human.out.lines().take(3).collect();
    assert_eq!(list[0], "accepted by the plant, 1 finding:");
    assert!(list[1].ends_with(&format!("no step records `gap` as left ({PUMPS}) [moment-without-step]")), "{list:?}");
    assert_eq!(list[2], "    R. Example, until 2026-03-31: The dial gauge is away until the summer stop.");
    let json: Value = serde_json::from_str(&check("json").out).expect("JSON");
    let waived = &json["waived"][0];
    assert_eq!(waived["finding"]["rule"], "moment-without-step");
    assert_eq!((&waived["by"], &waived["until"]), (&Value::from("R. Example"), &Value::from("2026-03-31")));
    assert_eq!((waived["place"]["path"].as_str(), waived["place"]["line"].as_u64()), (Some("waivers.yaml"), Some(2)));
    assert_eq!((json["summary"]["errors"].as_u64(), json["rule_set"].as_u64()), (Some(0), Some(2)));
    assert!(
        json["findings"]
            .as_array()
            .expect("a list")
            .iter()
            .all(|one| one["fingerprint"].as_str().map(str::len) == Some(16))
    );
    assert!(!check("plain").out.contains("moment-without-step"));
}

#[test]
fn a_baseline_is_written_and_what_it_lists_does_not_count() {
    let stage = Stage::new();
    stage.spoil();
    let binder = stage.path("binder");
    let known = stage.path("known.json");
    assert_eq!(run(&["check", &binder]).code, 1);
    let written = run(&["check", &binder, "--write-baseline", &known]);
    assert_eq!(written.code, 0, "{}", written.err);
    assert!(written.err.contains("`build` makes nothing that an error concerns"), "{}", written.err);
    let first = stage.read("known.json");
    assert_eq!(run(&["check", &binder, "--write-baseline", &known]).code, 0, "a baseline may be written anew");
    assert_eq!(stage.read("known.json"), first, "the same findings, the same bytes");
    let lines: Vec<&str> = first.lines().filter(|line| line.starts_with("{\"document\"")).collect();
    assert!(lines.is_sorted() && first.contains("moment-without-step"), "{first}");
    let check = || run(&["check", &binder, "--baseline", &known, "--fail-on", "note"]);
    let same = check();
    assert_eq!((same.code, same.out.as_str()), (0, ""));
    assert!(same.err.starts_with(&format!("nothing found; {} known from the baseline; ", lines.len())), "{}", same.err);
    let built = run(&["build", &binder, "--tag", "P-121", "--out", &stage.path("out")]);
    assert_eq!(built.code, 1, "a baseline makes nothing printable");
    stage.edit(&format!("binder/{SEAL}"), "  - guard screws\n", "");
    let more = check();
    assert_eq!(more.code, 1);
    assert!(more.out.contains("[torque-without-step]") && !more.out.contains("[moment-without-step]"), "{}", more.out);
    // Mended: the line of the example as it was. Both records of the step stand in the file now.
    let text = stage.read(&format!("binder/{SEAL}"));
    let (head, tail) = text.rsplit_once(NO_MOMENT.1).expect("it was spoilt");
    fs::write(stage.at(&format!("binder/{SEAL}")), format!("{head}{}{tail}", NO_MOMENT.0)).expect("writable");
    let mended = check();
    assert!(mended.err.contains("1 of the baseline are mended or accepted; write it anew"), "{}", mended.err);
    let json: Value =
        serde_json::from_str(&run(&["check", &binder, "--baseline", &known, "--format", "json"]).out).expect("JSON");
    assert_eq!(json["baseline"]["gone"], 1);
    assert_eq!(json["baseline"]["known"].as_array().map(Vec::len), Some(lines.len() - 1));
}

#[test]
fn a_baseline_knows_no_machine_it_did_not_list_and_no_waiver() {
    let stage = Stage::new();
    stage.spoil();
    stage.accept(&waiver(&tags("P-121")));
    let binder = stage.path("binder");
    let known = stage.path("known.json");
    let at = |second: &'static str, more: &[&str]| {
        run_with(&[&["check", binder.as_str()], more].concat(), &[("SOURCE_DATE_EPOCH", second)])
    };
    assert_eq!(at(LAST_SECOND, &["--write-baseline", &known]).code, 0);
    assert_eq!(at(LAST_SECOND, &["--baseline", &known]).code, 0);
    let late = at(NEXT_SECOND, &["--baseline", &known, "--format", "plain"]);
    let lines: Vec<&str> = late.out.lines().collect();
    assert_eq!(late.code, 1);
    assert!(lines.len() == 2 && lines[1].ends_with("as left (P-121) [moment-without-step]"), "{}", late.out);
    assert!(lines[0].ends_with("(P-121) [expired-waiver]"), "{}", late.out);
    assert_eq!(at(NEXT_SECOND, &["--write-baseline", &known]).code, 0);
    let late = at(NEXT_SECOND, &["--baseline", &known, "--format", "plain"]);
    assert!(late.code == 1 && late.out.lines().count() == 1 && late.out.contains("[expired-waiver]"), "{}", late.out);
}

#[test]
fn only_a_baseline_is_read_as_one_or_written_over() {
    let stage = Stage::new();
    let binder = stage.path("binder");
    let settings = stage.read("binder/binder.yaml");
    let over = run(&["check", &binder, "--write-baseline", &stage.path("binder/binder.yaml")]);
    assert_eq!(over.code, 2);
    assert!(over.err.contains("was not written over: it is not a baseline of this program"), "{}", over.err);
    assert_eq!(stage.read("binder/binder.yaml"), settings);
    fs::write(stage.at("newer.json"), "{\"matchmark-baseline\": 9, \"entries\": 4}").expect("writable");
    let newer = run(&["check", &binder, "--write-baseline", &stage.path("newer.json")]);
    assert!(newer.code == 2 && newer.err.contains("it has format 9, this program reads format 1"), "{}", newer.err);
    let read = |name: &str| run(&["check", &binder, "--baseline", &stage.path(name)]);
    assert_eq!((read("newer.json").code, read("none.json").code, read("binder").code), (3, 3, 3));
    assert_eq!(read("binder/binder.yaml").code, 3);
    let some = run(&["check", &binder, "--tag", "P-121", "--write-baseline", &stage.path("some.json")]);
    assert_eq!(some.code, 2, "a baseline of one machine would lose the others");
    stage.edit("binder/binder.yaml", "format: 1", "format: one");
    let broken = run(&["check", &binder, "--write-baseline", &stage.path("some.json")]);
    assert_eq!(broken.code, 3, "what was not looked at cannot be listed");
    assert!(!stage.at("some.json").exists());
}

/// Returns the results of the SARIF log of the binder.
fn results(stage: &Stage, more: &[&str]) -> Vec<Value> {
    let log: Value = serde_json::from_str(&stage.sarif(more)).expect("JSON");
    log["runs"][0]["results"].as_array().expect("a list").clone()
}

#[test]
fn sarif_tells_the_same_findings_when_lines_have_moved() {
    let stage = Stage::new();
    stage.spoil();
    stage.accept(&waiver(&tags("P-121")));
    let prints = |results: &[Value]| -> Vec<String> {
        results.iter().map(|one| one["partialFingerprints"].to_string()).collect()
    };
    let before = results(&stage, &[]);
    stage.edit(&format!("binder/{SEAL}"), "---\ndocument: MP-PA-101\n", "---\n# Moved.\n\n\ndocument: MP-PA-101\n");
    let after = results(&stage, &[]);
    assert_eq!(prints(&before), prints(&after));
    let line = |results: &[Value]| {
        let found = results.iter().find(|one| one["ruleId"] == "moment-without-step").expect("it is found");
        found["locations"][0]["physicalLocation"]["region"]["startLine"].as_u64().expect("a line")
    };
    assert_eq!(line(&after), line(&before) + 3);
    let suppressed: Vec<&Value> = after.iter().filter(|one| one.get("suppressions").is_some()).collect();
    assert_eq!(suppressed.len(), 1);
    let how = &suppressed[0]["suppressions"][0];
    assert_eq!((&how["kind"], &how["status"]), (&Value::from("external"), &Value::from("accepted")));
    assert_eq!(how["justification"], "The dial gauge is away until the summer stop.");
    assert_eq!(suppressed[0]["properties"]["machines"], serde_json::json!(["P-121"]));
    assert!(after.iter().all(|one| one.get("baselineState").is_none()));
}

#[test]
fn sarif_tells_what_is_new_from_what_is_known() {
    let stage = Stage::with_findings_of_every_kind();
    let results = results(&stage, &["--baseline", &stage.path("known.json")]);
    let text = |one: &Value, key: &str| one[key].as_str().expect(key).to_owned();
    let states: BTreeSet<(String, String, bool)> = results
        .iter()
        .map(|one| (text(one, "ruleId"), text(one, "baselineState"), one.get("suppressions").is_some()))
        .collect();
    let told = |rule: &str, state: &str, accepted| (rule.to_owned(), state.to_owned(), accepted);
    let wanted = [
        told("idle-option", "unchanged", false),
        told("moment-without-step", "unchanged", false),
        told("moment-without-step", "unchanged", true),
        told("torque-without-step", "new", false),
    ];
    let about = ["idle-option", "moment-without-step", "torque-without-step"];
    let states: BTreeSet<_> = states.into_iter().filter(|(rule, ..)| about.contains(&&**rule)).collect();
    assert_eq!(states, BTreeSet::from(wanted));
}

/// A place in a log: the text, and line and column of its start and end, all from 1, columns in characters.
#[test]
fn sarif_points_at_the_words_and_at_nothing_outside_the_repository() {
    let stage = Stage::new();
    stage.edit("binder/families/PA.yaml", "guard torque: 5 N·m", "guard torque: 5 N·m       # µ · ½\n  spare: 5,5 mm");
    let found = results(&stage, &[]);
    let one = found.iter().find(|one| one["level"] == "error").expect("an error");
    let place = &one["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"]["uri"], "families/PA.yaml", "an absolute path is cut to the binder");
    assert_eq!(place["artifactLocation"]["uriBaseId"], "%SRCROOT%");
    let text = stage.read("binder/families/PA.yaml");
    let number = |key: &str| usize::try_from(place["region"][key].as_u64().expect(key)).expect("small");
    assert_eq!(number("startLine"), number("endLine"));
    let line: Vec<char> = text.lines().nth(number("startLine") - 1).expect("the line").chars().collect();
    let words: String = line[number("startColumn") - 1..number("endColumn") - 1].iter().collect();
    assert_eq!(words, "5,5 mm");
}
