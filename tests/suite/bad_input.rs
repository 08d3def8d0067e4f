//! Input that is broken, hostile or far too large: a clear finding or a named limit, never a panic and never a packet.

use crate::binder::{creamery, drawn, edit, judged, packet};
use matchmark::base::date::Date;
use matchmark::base::finding::Severity;
use matchmark::base::name::DocumentNumber;
use matchmark::base::path::BinderPath;
use matchmark::model::load::LoadError;
use matchmark::model::world::{Listing, Refusal, Refused, World, WorldError};
use matchmark::packet::identity;
use matchmark::task::check::judge;
use matchmark::task::selection::Selection;
use matchmark::workspace::memory::Memory;
use std::fmt::Write as _;

const SEAL: &str = "seals/MP-PA-101.md";

/// Returns the errors of the example with one file replaced.
fn errors_with(path: &str, bytes: impl Into<Vec<u8>>) -> String {
    let mut world = creamery();
    world.put(path, bytes);
    let text = drawn(&judged(&world));
    text.lines().filter(|line| line.starts_with("error")).collect::<Vec<_>>().join("\n")
}

fn procedure(body: &str) -> String {
    let text = String::from_utf8(creamery().get(SEAL).expect("it is there").to_vec()).expect("UTF-8");
    let (front, _) = text.split_once("\n## Prepare").expect("it has stages");
    format!("{front}\n{body}")
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_change_nothing() {
    let plain = judged(&creamery());
    let mut world = Memory::default();
    let unix = creamery();
    for path in unix.list().expect("a map can be listed").files {
        let bytes = unix.get(path.as_str()).expect("it was listed").to_vec();
        if path.extension() == "svg" {
            world.put(path.as_str(), bytes);
        } else {
            let text = String::from_utf8(bytes).expect("UTF-8");
            world.put(path.as_str(), format!("\u{feff}{}", text.replace('\n', "\r\n")));
        }
    }
    let windows = judged(&world);
    assert_eq!(drawn(&windows), drawn(&plain));
    for (document, tag) in [("MP-PA-101", "P-133"), ("MP-PX-210", "X-202")] {
        assert_eq!(identity::of(&packet(&windows, document, tag)), identity::of(&packet(&plain, document, tag)));
    }
}

#[test]
fn no_binder_and_a_newer_one_are_refused_by_name() {
    let mut world = creamery();
    world.take("binder.yaml");
    let told = judge(&world).expect_err("no binder").to_string();
    assert_eq!(told, "this folder is no binder: it holds no `binder.yaml`");
    let mut world = creamery();
    edit(&mut world, "binder.yaml", "format: 1", "format: 2");
    let told = judge(&world).expect_err("a newer format").to_string();
    assert_eq!(told, "this binder has format 2; this program reads format 1: update the program");
}

#[test]
fn a_billion_laughs_stop_at_the_first() {
    let mut bomb = String::from("a: &a [x, x]\n");
    for letter in 'b'..='z' {
        let before = (letter as u8 - 1) as char;
        let _ = writeln!(bomb, "{letter}: &{letter} [*{before}, *{before}]");
    }
    let errors = errors_with("crib.yaml", bomb);
    assert_eq!(errors.lines().count(), 1, "{errors}");
    assert!(errors.starts_with("error[yaml-feature] crib.yaml:1:4 an anchor"), "{errors}");
}

#[test]
fn a_hundred_thousand_quotes_and_brackets() {
    for (opener, rule) in
        [("> ", "nested-too-deep"), ("- ", "nested-too-deep"), ("[", "nested-too-deep"), ("*a_ ", "nested-too-deep")]
    {
        let errors = errors_with(SEAL, procedure(&format!("## A\n\n{} x\n", opener.repeat(100_000))));
        assert!(errors.contains(rule), "{opener}: {errors}");
    }
    for opener in ["[", "{a: "] {
        let errors = errors_with("fleet.yaml", format!("tags: {}", opener.repeat(100_000)));
        let stopped = errors.starts_with("error[yaml-syntax] fleet.yaml:1:")
            || errors.starts_with("error[nested-too-deep] fleet.yaml:1:");
        assert!(stopped, "{errors}");
    }
    let deep = (0..600).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect::<Vec<_>>().concat();
    assert!(errors_with("fleet.yaml", deep.clone()).contains("nested"), "{}", errors_with("fleet.yaml", deep));
}

#[test]
fn a_step_without_words_is_refused() {
    for step in ["{as x}", "", "- {record gap found}"] {
        let errors = errors_with(SEAL, procedure(&format!("## A\n\n1. {step}\n2. Go.\n")));
        assert!(errors.contains("error[markdown-form]") && errors.contains("this step has no words"), "{errors}");
    }
}

#[test]
fn a_brace_is_filled_refused_or_escaped_and_never_printed_by_chance() {
    let mut world = creamery();
    edit(&mut world, SEAL, "Fit the impeller.\n", "Fit the impeller. Press \\{ESC\\} and `{x}`.\n");
    let judged_world = judged(&world);
    assert!(!drawn(&judged_world).contains("brace"), "{}", drawn(&judged_world));
    let printed = serde_json::to_string(&packet(&judged_world, "MP-PA-101", "P-133")).expect("plain data");
    assert!(printed.contains("Press {ESC} and "), "the escaped brace is a character");
    for (path, from, to) in [
        (SEAL, "people: ", "people: '{x} and' # "),
        (SEAL, "title: ", "title: 'Renew {x}' # "),
        (SEAL, "role: quality", "role: quality {x}"),
        ("fleet.yaml", "place: ", "place: '{x}' # "),
        ("families/PA.yaml", "Press START at", "Press {x} at"),
    ] {
        let text = String::from_utf8(creamery().get(path).expect(path).to_vec()).expect("UTF-8");
        assert!(text.contains(from), "`{from}` stands in {path}");
        let errors = errors_with(path, text.replacen(from, to, 1));
        assert!(errors.contains("error[schema-violation]") && errors.contains("{x}"), "{path} {from}: {errors}");
    }
}

#[test]
fn a_flood_of_mistakes_is_counted_and_not_listed() {
    let errors = errors_with(SEAL, procedure(&format!("## A\n\n1. Go {}\n", "}".repeat(200_000))));
    assert!(errors.contains("199950 more of this kind in this file are not listed"), "{}", &errors[..400]);
    assert!(errors.lines().count() < 200, "{}", errors.lines().count());
    let keys = (0..60_000).map(|key| format!("k{key}: 1\n")).collect::<Vec<_>>().concat();
    let errors = errors_with("crib.yaml", keys);
    assert!(errors.contains("more of this kind in this file are not listed"), "{}", &errors[..400]);
    for brace in ["as", "see"] {
        let name = "a".repeat(120_000);
        let errors = errors_with(SEAL, procedure(&format!("## A\n\n1. Go. {{{brace} {name}}}\n")));
        assert!(errors.contains("this brace is too long for a name"), "{}", &errors[..400]);
    }
}

#[test]
fn a_million_steps_meet_a_limit() {
    let errors = errors_with(SEAL, procedure(&format!("## A\n\n{}", "1. Go.\n".repeat(1_000_000))));
    assert!(
        errors.contains("error[unreadable-file]") && errors.contains("larger than the limit of 1048576 bytes"),
        "{errors}"
    );
    let errors = errors_with(SEAL, procedure(&format!("## A\n\n{}", "1. Go.\n".repeat(100_000))));
    assert!(errors.contains("the procedure has more than 2000 steps"), "{errors}");
}

#[test]
fn a_product_of_options_too_large_to_print_is_not_expanded() {
    let axes =
        (0..20).map(|axis| format!("  - {{option: o{axis}, values: [1, 2, 3, 4]}}\n")).collect::<Vec<_>>().concat();
    let by: Vec<String> = (0..20).map(|axis| format!("o{axis}")).collect();
    let any = vec!["any"; 20].join(", ");
    let mut world = creamery();
    edit(&mut world, "families/PX.yaml", "tag-values: [plates]", &format!("{axes}\ntag-values: [plates]"));
    let table = format!(
        "tables:\n  - by: [{}]\n    source: none\n    columns: [spare]\n    rows:\n      - [{any}, 1 mm]\n",
        by.join(", ")
    );
    edit(&mut world, "families/PX.yaml", "tables:\n", &table);
    let text = drawn(&judged(&world));
    assert!(
        text.contains("the options of this table have 1099511627776 combinations, more than the limit of 500"),
        "{text}"
    );
}

#[test]
fn a_file_that_is_no_procedure_may_hold_anything() {
    let plain = drawn(&judged(&creamery()));
    let mut world = creamery();
    world.put("notes.md", b"gap: 25 \xb5m\n".to_vec());
    world.put("minutes.md", vec![b'a'; 2 << 20]);
    world.put("seals/how.md", b"Write\n\n```\n---\ndocument: MP-PA-101\n```\n".to_vec());
    assert_eq!(drawn(&judged(&world)), plain);
}

/// One procedure is broken in each of the ways reading can fail; the other procedure's packets are still made.
#[test]
fn what_keeps_one_procedure_from_being_read_touches_no_other() {
    let whole = String::from_utf8(creamery().get(SEAL).expect(SEAL).to_vec()).expect("UTF-8");
    let latin = [whole.as_bytes(), b"\n\xb5\n"].concat();
    let broken: [(&str, Vec<u8>); 6] = [
        ("not-utf8", latin),
        ("unreadable-file", format!("{whole}{}", " ".repeat(2 << 20)).into_bytes()),
        ("yaml-syntax", whole.replacen("title: ", "title: [", 1).into_bytes()),
        ("schema-violation", whole.replacen("use-level:", "use-levle:", 1).into_bytes()),
        ("empty-procedure", format!("\n{whole}").into_bytes()),
        ("empty-procedure", whole.replacen("\n---\n", "\n", 1).into_bytes()),
    ];
    for (rule, bytes) in broken {
        let mut world = creamery();
        world.put(SEAL, bytes);
        let judged = judged(&world);
        let errors: Vec<_> = judged.findings.iter().filter(|one| one.severity == Severity::Error).collect();
        assert!(errors.iter().any(|one| one.rule.0 == rule), "{rule}: {}", drawn(&judged));
        for error in errors {
            assert_eq!(error.document.as_ref().map(DocumentNumber::as_str), Some("MP-PA-101"), "{rule}: {error:?}");
        }
        let (sound, all) = judged.sound_jobs(&Selection::default());
        assert!(sound == all && all > 0, "{rule}: {sound} of {all}");
    }
}

#[test]
fn a_register_nobody_reads_is_told_and_one_that_is_missing_too() {
    let mut world = creamery();
    for path in ["waiver.yaml", "fleets.yaml", "famlies/PB.yaml", "drawings/list.yaml", "people.yaml"] {
        world.put(path, "x: 1\n");
    }
    let text = drawn(&judged(&world));
    let told: Vec<&str> = text.lines().filter(|line| line.starts_with("warning[unusable-name]")).collect();
    let not_read = |path: &str| format!("warning[unusable-name] `{path}` is not read by this program");
    assert_eq!(told, [not_read("famlies/PB.yaml"), not_read("fleets.yaml"), not_read("waiver.yaml")]);
    let mut world = creamery();
    for family in ["AG", "HG", "PA", "PX"] {
        world.take(&format!("families/{family}.yaml"));
    }
    let text = drawn(&judged(&world));
    assert!(text.contains("error[missing-register] there is no file in `families/`"), "{text}");
}

#[test]
fn a_binder_of_too_many_files_is_not_decided() {
    struct Endless;
    impl World for Endless {
        fn list(&self) -> Result<Listing, WorldError> {
            let mut listing = creamery().list()?;
            listing.refused.push(Refused { name: "zz.md".to_owned(), why: Refusal::TooMany });
            Ok(listing)
        }
        fn read(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
            creamery().read(path, most)
        }
        fn head(&self, path: &BinderPath, most: u64) -> Result<Vec<u8>, WorldError> {
            creamery().head(path, most)
        }
        fn today(&self) -> Result<Date, WorldError> {
            creamery().today()
        }
    }
    assert_eq!(judge(&Endless).expect_err("too many"), LoadError::TooManyFiles);
}

#[test]
fn a_figure_cannot_be_fetched_from_outside_the_binder() {
    for path in ["../../../etc/passwd", "/etc/passwd", "C:/x.svg", "figures\\x.svg", "https://x.example/y.png"] {
        let errors = errors_with(SEAL, procedure(&format!("## A\n1. Look. {{as key}}\n\n   ![words]({path})\n")));
        assert!(errors.contains("error[missing-figure]"), "{path}: {errors}");
    }
}

#[test]
fn every_byte_cut_off_and_every_line_left_out_is_survived() {
    let mut runs = 0;
    let mut whole = creamery();
    for other in ["agitators/MP-AG-320.md", "homogenisers/MP-HG-430.md", "plates/MP-PX-210.md"] {
        whole.take(other);
    }
    for path in ["families/PA.yaml", "fleet.yaml", SEAL] {
        let text = String::from_utf8(whole.get(path).expect(path).to_vec()).expect("UTF-8");
        let lines: Vec<&str> = text.lines().collect();
        for at in (0..lines.len()).step_by(5) {
            let without: Vec<&str> =
                lines.iter().enumerate().filter(|(line, _)| *line != at).map(|(_, line)| *line).collect();
            let mut world = whole.clone();
            world.put(path, without.join("\n"));
            judged(&world);
            let cut = text.floor_char_boundary(text.len() * at / lines.len());
            world.put(path, &text[..cut]);
            judged(&world);
            runs += 2;
        }
    }
    assert!(runs > 120, "{runs}");
}
