//! What a technician sees on the screen, finding by finding.

use super::*;
use crate::base::name::Tag;
use crate::base::path::BinderPath;
use crate::base::text::Span;

const RULE: RuleId = RuleId("missing-value");

/// Returns a store with one text, and the span of `needle` in it.
fn text(content: &str, needle: &str) -> (Texts, Span) {
    let mut texts = Texts::default();
    let file = texts.add(BinderPath::parse("families/PA.yaml").unwrap(), content.to_owned());
    let start = content.find(needle).expect("the needle is in the text");
    (texts, Span::new(file, start, start + needle.len()))
}

fn plain(finding: Finding, texts: &Texts) -> String {
    findings(&[finding], texts, Look { paint: Paint::Plain, root: "" })
}

#[test]
fn a_finding_shows_place_excerpt_floor_mend_and_tags() {
    let (texts, span) = text("rows:\n  - [3, 25 N·m]\n  - [4, -]\n", "-]\n");
    let (_, row) = text("rows:\n  - [3, 25 N·m]\n  - [4, -]\n", "25 N·m");
    let hole = Span::new(span.file, span.range().start, span.range().start + 1);
    let finding = Finding::error(RULE, "`closure torque` has no value for size 4")
        .at(hole)
        .label("this cell is empty")
        .also(row, "size 3 has one")
        .floor("the fitter at P-130 has no number for the casing nuts")
        .help("write the torque of the site data sheet into the cell")
        .tags([Tag::new("P-133"), Tag::new("P-130")]);
    insta::assert_snapshot!(plain(finding, &texts), @r"
    error[missing-value]: `closure torque` has no value for size 4
     --> families/PA.yaml:3:9
      |
    2 |   - [3, 25 N·m]
      |         ------ size 3 has one
    3 |   - [4, -]
      |         ^ this cell is empty
      |
      = on the floor: the fitter at P-130 has no number for the casing nuts
      = mend: write the torque of the site data sheet into the cell
      = tags: P-130 P-133
    ");
}

#[test]
fn an_authors_text_cannot_drive_the_terminal() {
    let (texts, span) = text("\tname: \u{1b}[2J\u{202e}evil\tnut\n", "nut");
    let shown = plain(Finding::warning(RULE, "bad \u{1b}]0;title\u{7} name").at(span).label("\u{9b}31m"), &texts);
    assert!(shown.chars().all(|c| c == '\n' || !c.is_control()), "{shown:?}");
    assert!(!shown.contains('\u{202e}'), "{shown:?}");
    assert!(shown.contains("families/PA.yaml:1:18"), "{shown}");
    let mark = shown.lines().find(|line| line.contains('^')).unwrap();
    let source = shown.lines().find(|line| line.contains("evil")).unwrap();
    let column = |line: &str, c: char| line.chars().position(|other| other == c);
    assert_eq!(
        column(mark, '^'),
        source.chars().collect::<String>().find("nut").map(|at| source[..at].chars().count())
    );
}

#[test]
fn a_long_line_is_cut_round_its_place_and_keeps_its_column() {
    let content = format!("{}HERE{}\n", "x· ".repeat(300), " y".repeat(300));
    let (texts, span) = text(&content, "HERE");
    let shown = plain(Finding::error(RULE, "too long").at(span).label("look"), &texts);
    assert!(shown.contains("families/PA.yaml:1:901"), "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= WIDTH + 10), "{shown}");
    assert!(shown.contains("HERE") && shown.contains("^^^^ look"), "{shown}");
}

#[test]
fn a_line_nobody_wrote_by_hand_is_named_and_not_shown() {
    let content = format!("{}HERE{}\n", "x·".repeat(500_000), " y".repeat(50));
    let (texts, span) = text(&content, "HERE");
    let shown = plain(Finding::error(RULE, "too long").at(span).label("look"), &texts);
    assert_eq!(shown, "error[missing-value]: too long\n--> families/PA.yaml:1:1000001\n = here: look\n\n");
}

#[test]
fn a_place_at_the_very_end_or_of_many_lines_is_shown() {
    let (mut texts, _) = text("a: 1\n", "a");
    let file = texts.add(BinderPath::parse("x.md").unwrap(), "one\ntwo\nthree\nfour\nfive\nsix\n".to_owned());
    let whole = Span::new(file, 0, texts.get(file).content().len());
    let shown = plain(Finding::note(RULE, "whole").at(whole), &texts);
    assert!(shown.contains("four") && !shown.contains("five"), "{shown}");
    let end = Span::new(file, whole.range().end, whole.range().end);
    assert!(plain(Finding::note(RULE, "end").at(end), &texts).contains("x.md:7:1"));
    let empty = texts.add(BinderPath::parse("empty.md").unwrap(), String::new());
    assert!(plain(Finding::note(RULE, "empty").at(Span::new(empty, 0, 0)), &texts).contains("empty.md:1:1"));
}

#[test]
fn the_most_important_comes_last_and_the_order_is_stable() {
    let texts = Texts::default();
    let all = [
        Finding::error(RULE, "e1"),
        Finding::note(RULE, "n1"),
        Finding::warning(RULE, "w1"),
        Finding::error(RULE, "e2"),
        Finding::note(RULE, "n2"),
    ];
    let shown = findings(&all, &texts, Look { paint: Paint::Plain, root: "" });
    let order: Vec<&str> = shown.lines().filter_map(|line| line.split("]: ").nth(1)).collect();
    assert_eq!(order, ["n1", "n2", "w1", "e1", "e2"]);
}

#[test]
fn many_findings_of_one_rule_in_one_file_are_summed_up() {
    let (texts, span) = text("a: 1\n", "a");
    let all: Vec<Finding> = (0..limits::FINDINGS + 7).map(|n| Finding::error(RULE, format!("n{n}")).at(span)).collect();
    let shown = findings(&all, &texts, Look { paint: Paint::Plain, root: "" });
    assert!(
        shown
            .ends_with("error[missing-value]: and 7 more like it in families/PA.yaml; `--format plain` lists each\n\n"),
        "{shown}"
    );
    assert_eq!(shown.matches("error[missing-value]").count(), limits::FINDINGS + 1);
}

/// A note is told three times, an error behind it in full.
#[test]
fn notes_bury_no_error() {
    let (texts, span) = text("a: 1\n", "a");
    let mut all: Vec<Finding> = (0..12).map(|n| Finding::note(RULE, format!("n{n}")).at(span)).collect();
    all.extend((0..12).map(|n| Finding::error(RULE, format!("e{n}")).at(span)));
    let shown = findings(&all, &texts, Look { paint: Paint::Plain, root: "" });
    assert!(shown.contains("note[missing-value]: and 9 more like it in families/PA.yaml"), "{shown}");
    assert_eq!((shown.matches("]: n").count(), shown.matches("]: e").count()), (3, 12), "{shown}");
}

#[test]
fn colour_is_used_only_when_asked_for() {
    let (texts, span) = text("a: 1\n", "a");
    let finding = Finding::error(RULE, "x").at(span);
    assert!(
        !findings(std::slice::from_ref(&finding), &texts, Look { paint: Paint::Plain, root: "" }).contains('\u{1b}')
    );
    assert!(findings(&[finding], &texts, Look { paint: Paint::Colour, root: "" }).contains('\u{1b}'));
}
