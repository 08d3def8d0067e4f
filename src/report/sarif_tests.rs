//! A log letter by letter, and what the standard asks of every one. Section numbers are those of SARIF 2.1.0.

use super::*;
use crate::base::date::Date;
use crate::base::finding::RuleId;
use crate::base::fingerprint;
use crate::base::text::Placed;
use crate::model::waiver::Waived;
use crate::report::human::Paint;
use crate::report::told::Baseline;
use serde_json::Value;

/// A binder's texts with a finding in each of them.
struct Stage {
    texts: Texts,
    rules: Vec<RulePage>,
    findings: Vec<Finding>,
    waived: Vec<Waived>,
}

fn stage() -> Stage {
    let mut texts = Texts::default();
    let table = texts.add(BinderPath::parse("families/P A.yaml").unwrap(), "x: 1\n12.5 N·m, 7 µm # half\n".to_owned());
    let waivers = texts.add(BinderPath::parse("waivers.yaml").unwrap(), "waivers:\n  - one\n".to_owned());
    let rule = RuleId("bad-quantity");
    let page = "A number.\n\n## What is found\nA cell, or\na field `{x}`.\n\n## On the floor\nTen times too much.";
    let rules = vec![RulePage {
        id: rule,
        severity: Severity::Error,
        title: "A number".to_owned(),
        page: page.to_owned(),
        waivable: true,
    }];
    let mut findings = vec![
        Finding::error(rule, "write `{gap}`")
            .at(Span::new(table, 16, 21))
            .label("this {0}")
            .also(Span::new(table, 0, 1), "and this")
            .document(&DocumentNumber::new("MP-PA-101"))
            .tags([Tag::new("P-2"), Tag::new("P-1")])
            .floor("too much")
            .help("is it 7?"),
        Finding::note(RuleId("unknown-here"), "everywhere\u{202e}"),
        Finding::warning(rule, "accepted").at(Span::new(table, 5, 14)),
    ];
    fingerprint::mark(&mut findings, &texts);
    let waiver = Waiver {
        rule: Placed::new("bad-quantity".to_owned(), Span::new(waivers, 13, 16)),
        document: None,
        tags: Vec::new(),
        finding: None,
        says: Some("accepted".to_owned()),
        times: 1,
        reason: "It is mended in May.".to_owned(),
        by: "R. Example".to_owned(),
        until: Placed::new(Date::parse("2027-05-31").unwrap(), Span::new(waivers, 13, 16)),
        span: Span::new(waivers, 13, 16),
    };
    let last = findings.pop().unwrap();
    Stage { texts, rules, findings, waived: vec![Waived { finding: last, waiver }] }
}

impl Stage {
    fn told(&self) -> Told<'_> {
        Told {
            texts: &self.texts,
            rule_set: 2,
            findings: &self.findings,
            waived: &self.waived,
            baseline: None,
            reach: Reach::Whole,
        }
    }

    fn log(&self, told: &Told<'_>, root: &str) -> Value {
        serde_json::from_str(&log(told, &self.rules, Look { paint: Paint::Plain, root })).unwrap()
    }
}

#[test]
fn a_log_is_what_it_is() {
    let stage = stage();
    let mut text = log(&stage.told(), &stage.rules, Look { paint: Paint::Plain, root: "procedures/creamery/" });
    for finding in stage.findings.iter().chain([&stage.waived[0].finding]) {
        text = text.replacen(&finding.fingerprint, "its fingerprint", 1);
    }
    text = text.replace(&format!("\"{}\"", env!("CARGO_PKG_VERSION")), "\"1.2.3\"");
    assert_eq!(text, include_str!("../../tests/data/findings.sarif"));
}

/// 3.13.2, 3.14.6, 3.19.8, 3.27.11, 3.30.5 to 3.30.8, 3.35.2, 3.35.3 and 3.49.3: what is required, and the words allowed.
#[test]
fn everything_the_standard_requires_is_there() {
    let stage = stage();
    let log = stage.log(&stage.told(), "");
    assert_eq!(log["version"], "2.1.0");
    let run = &log["runs"][0];
    assert_eq!(run["tool"]["driver"]["name"], "matchmark");
    assert_eq!(run["columnKind"], "unicodeCodePoints");
    let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
    let results = run["results"].as_array().unwrap();
    assert_eq!((rules.len(), results.len()), (1, 3));
    for result in results {
        let rule = result["ruleIndex"].as_u64().map(|at| &rules[usize::try_from(at).unwrap()]["id"]);
        assert!(rule.is_none_or(|id| *id == result["ruleId"]), "{result}");
        assert!(["error", "warning", "note", "none"].contains(&result["level"].as_str().unwrap()));
        assert!(!result["message"]["text"].as_str().unwrap().is_empty());
        let place = &result["locations"][0]["physicalLocation"];
        let uri = place["artifactLocation"]["uri"].as_str().unwrap();
        assert!(!uri.starts_with('/') && !uri.contains([' ', ':']), "{uri}");
        let Some(region) = place.get("region") else { continue };
        let at = |key: &str| region[key].as_u64().unwrap();
        assert!(at("startLine") >= 1 && at("startColumn") >= 1 && at("endLine") >= at("startLine"));
        assert!(at("endLine") > at("startLine") || at("endColumn") >= at("startColumn"));
        for suppression in result["suppressions"].as_array().into_iter().flatten() {
            assert!(["inSource", "external"].contains(&suppression["kind"].as_str().unwrap()));
            assert!(["accepted", "underReview", "rejected"].contains(&suppression["status"].as_str().unwrap()));
        }
    }
}

#[test]
fn a_baseline_gives_every_result_a_state() {
    let stage = stage();
    let (new, known) = stage.findings.split_at(1);
    let told = Told { findings: new, baseline: Some(Baseline { known, gone: 0 }), ..stage.told() };
    let log = stage.log(&told, "");
    let states: Vec<&str> = log["runs"][0]["results"]
        .as_array()
        .unwrap()
        .iter()
        .map(|result| result["baselineState"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["new", "unchanged", "unchanged"]);
}

#[test]
fn a_check_that_was_cut_short_is_no_success() {
    let stage = stage();
    let told = Told { reach: Reach::Cut, ..stage.told() };
    assert_eq!(stage.log(&told, "")["runs"][0]["invocations"][0]["executionSuccessful"], false);
}

/// RFC 3986, 2.1 and 2.3: what is not unreserved is percent-encoded, byte by byte of UTF-8.
#[test]
fn a_path_is_relative_wherever_the_binder_is() {
    assert_eq!(uri("families/P A·.yaml"), "families/P%20A%C2%B7.yaml");
    assert_eq!(uri("a%b#c?.md"), "a%25b%23c%3F.md");
    for (shown, wanted) in [
        ("", ""),
        (".", ""),
        ("procedures/creamery", "procedures/creamery/"),
        ("./procedures\\creamery/", "procedures/creamery/"),
        ("/home/x/binder", ""),
        ("../binder", ""),
        ("C:\\binder", ""),
    ] {
        assert_eq!(root(shown), wanted, "{shown}");
    }
}
