//! `audit`, `in-force`, `verify` and `trust` as people use them.

use crate::history::binder::{Binder, NEXT, PACKETS};
use crate::plant::line;
use matchmark::packet::identity;
use matchmark::trust::digest::Digest;
use matchmark::trust::record::Entry;
use std::fs;
use std::process::Command;

#[test]
fn in_force_is_what_the_ledger_says_for_the_day() {
    let mut binder = Binder::with_two_releases();
    let rows = |binder: &Binder, arguments: &[&str]| -> (i32, Vec<String>) {
        let ran = binder.run(&[&["in-force", "--format", "csv"], arguments].concat());
        let row = |line: &str| line.split(',').take(9).collect::<Vec<_>>().join(",");
        (ran.code, ran.out.lines().skip(1).map(row).collect())
    };
    let words = |content: &str| identity::words_of(&Digest::of(content.as_bytes()).to_string()).expect("words");
    let first = |tag: &str, content: &str| format!("MP-PA-101,{tag},1,yes,{},2026-10-01,,,'000002", words(content));
    let second = format!("MP-PA-101,P-121,2,yes,{},2026-10-02,,,'000003", words("121 by 2"));
    assert_eq!(rows(&binder, &["--at", "2026-09-30"]), (0, vec![]));
    let both = vec![first("P-121", "121 by 1"), first("P-122", "122 by 1")];
    assert_eq!(rows(&binder, &["--at", "2026-10-01"]), (0, both));
    assert_eq!(rows(&binder, &["--at", "2026-10-02"]), (0, vec![second.clone(), first("P-122", "122 by 1")]));
    assert_eq!(rows(&binder, &["--tag", "P-121"]), (0, vec![second]));
    assert_eq!(rows(&binder, &["--tag", "P-999"]), (2, vec![]));
    assert_eq!(rows(&binder, &["--procedure", "MP-PA-999"]), (2, vec![]));
    assert_eq!(rows(&binder, &["--at", "tomorrow"]), (2, vec![]));

    // A key that was stolen makes a doubt, and a doubt is no packet to work from.
    let entry = Entry::Compromised {
        person: crate::plant::person("alice"),
        since: matchmark::trust::word::Seq::new(3).expect("a place"),
        reason: line("the laptop was stolen"),
    };
    binder.plant.seal(entry);
    binder.save();
    let (code, lines) = rows(&binder, &[]);
    assert_eq!(code, 1);
    assert!(lines[0].contains(",NO: E-SUSPECT,") && lines[1].contains(",yes,"), "{lines:?}");
    let ran = binder.run(&["audit"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.out.contains("DANGER E-SUSPECT ledger/000/000003.record"), "{}", ran.out);
    assert!(ran.out.contains("concerns MP-PA-101 revision 2 on P-121"), "{}", ran.out);
}

#[test]
fn in_force_tells_a_program_who_is_behind_it() {
    let binder = Binder::with_two_releases();
    let ran = binder.run(&["in-force", "--format", "json", "--tag", "P-122"]);
    let read: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(read["schema"], 1);
    assert_eq!((read["ledger"].as_str(), read["decided"].as_bool()), (Some("000003"), Some(true)));
    let packet = &read["packets"][0];
    assert_eq!(packet["prepared_by"], "Carol Vance");
    let names: Vec<&str> =
        packet["approved_by"].as_array().expect("a list").iter().filter_map(|by| by["name"].as_str()).collect();
    assert_eq!(names, ["Alice Brandt", "Bob Okoro"]);
    assert_eq!(packet["digest"], Digest::of(b"122 by 1").to_string());
}

#[test]
fn a_release_that_does_not_count_is_listed_as_not_usable() {
    let mut binder = Binder::with_two_releases();
    let packets = [("MP-PA-101", "P-121", "121 by 3")];
    let manifest = binder.plant.manifest(matchmark::base::risk::RiskClass::Value, &packets);
    let digest = binder.plant.prepare(&manifest, &packets);
    binder.plant.approve(digest, "alice");
    binder.save();
    binder.plant.release(digest, "2026-10-03");
    binder.save();
    let ran = binder.run(&["in-force"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.out.contains("NO: E-THRESHOLD"), "{}", ran.out);
    assert!(ran.err.contains("1 of 2 packets in force on 2027-01-15 may be used"), "{}", ran.err);
    let ran = binder.run(&["verify", "MP-PA-101"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("it does not count: INVALID E-THRESHOLD"), "{}", ran.err);
}

#[test]
fn since_lists_what_is_later_and_what_endangers() {
    let mut binder = Binder::new();
    let digest = binder.plant.change(&PACKETS, "2026-10-01");
    binder.save();
    binder.change(&[("MP-PA-102", "P-121", "102 by 1")], "2026-10-02");
    let all = binder.run(&["audit"]);
    assert_eq!(all.code, 1);
    assert!(all.out.contains(&digest.to_string()), "{}", all.out);
    let late = binder.run(&["audit", "--since", "3"]);
    assert_eq!(late.code, 0, "{}", late.out);
    assert!(late.out.contains("findings about earlier records: not listed"), "{}", late.out);
    for wrong in ["0", "x", "1000000", "-1"] {
        assert_eq!(binder.run(&["audit", &format!("--since={wrong}")]).code, 2, "{wrong}");
    }
}

#[test]
fn the_audit_is_one_document_for_programs() {
    let mut binder = Binder::with_two_releases();
    binder.plant.shelf.put("trust/notes", "x");
    binder.save();
    let ran = binder.run(&["audit", "--format", "json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let read: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    let keys: Vec<&String> = read.as_object().expect("an object").keys().collect();
    assert_eq!(keys, ["earlier", "headline", "outcome", "protections", "reach", "schema", "verdicts"]);
    assert_eq!((read["outcome"].as_str(), read["protections"]["root"].as_str()), (Some("clean"), Some("first use")));
    assert_eq!(read["reach"]["releases"], 2);
    let stray = &read["verdicts"][0];
    assert_eq!((stray["code"].as_str(), stray["object"].as_str()), (Some("W-STRAY"), Some("trust/notes")));
    assert!(stray["next"].as_str().is_some_and(|next| !next.is_empty()));
}

#[test]
fn a_clock_ahead_is_a_warning() {
    let binder = Binder::with_two_releases();
    let ran = binder.run_as("home", &["audit"], &[("SOURCE_DATE_EPOCH", "1790000000")]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(ran.out.contains("WARN W-CLOCK ledger/000/000003.record"), "{}", ran.out);
}

#[test]
fn what_verify_prints_runs_by_itself_in_a_clone() {
    let binder = Binder::with_two_releases();
    let ran = binder.run(&["verify", "MP-PA-101"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("with `sh`"), "{}", ran.err);
    assert_eq!(ran.out, binder.run(&["verify", "000003"]).out);
    assert_eq!(ran.out, binder.run(&["verify", "3"]).out);
    assert_ne!(ran.out, binder.run(&["verify", "000002"]).out);
    for wrong in ["000001", "000004", "MP-PA-999", "x\u{1b}y"] {
        let ran = binder.run(&["verify", wrong]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{wrong}: {}", ran.err);
    }
}

#[test]
#[ignore = "needs git, a shell and ssh-keygen; `.ci/run` has them"]
fn what_verify_prints_is_good_in_a_clone_and_not_after_an_attack() {
    let binder = Binder::with_two_releases();
    crate::history::binder::git(&binder.beside(""), &["clone", "-q", "binder", "copy"]);
    for release in ["000002", "000003"] {
        let lines = binder.run(&["verify", release]).out;
        let run = || {
            let mut command = Command::new("sh");
            command.args(["-c", &lines]).current_dir(binder.beside("copy"));
            let output = command.output().expect("a shell");
            (output.status.success(), String::from_utf8_lossy(&output.stdout).into_owned())
        };
        let (is_good, told) = run();
        assert!(is_good && told.ends_with("good\n"), "{told}");
    }
    let packet = matchmark::trust::place::packet(&Digest::of(b"121 by 2"));
    let lines = binder.run(&["verify", "000003"]).out;
    binder.forge("100644", &binder.blob("121 by hand"), &packet);
    let status = Command::new("sh").args(["-c", &lines]).current_dir(binder.folder()).output().expect("a shell").status;
    assert!(!status.success());
}

#[test]
fn the_first_root_is_shown_pinned_and_held_to() {
    let mut binder = Binder::with_two_releases();
    let digest = Digest::of(&binder.plant.bytes("trust/1.root")).to_string();
    let shown = binder.run(&["trust"]);
    assert_eq!((shown.code, shown.out.lines().count()), (0, 4), "{}", shown.out);
    assert_eq!(shown.out.split_whitespace().collect::<String>(), digest);
    assert!(shown.err.starts_with("not pinned"), "{}", shown.err);
    assert_eq!(binder.run(&["trust", "--format", "plain"]).out, format!("{digest}\n"));

    // What was typed wrongly is no digest; what is another one is refused, and stops everything until it is typed right.
    assert_eq!(binder.run(&["trust", &digest[1..]]).code, 2);
    let other = digest.replace(&digest[..4], "0000");
    let ran = binder.run(&["trust", &other]);
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains(&format!("group 1 is `0000` on the paper and `{}` here", &digest[..4])), "{}", ran.err);
    let (code, told) = binder.audit();
    assert_eq!(code, 1);
    assert!(told.contains(&"DANGER E-ANCHOR trust/1.root".to_owned()), "{told:?}");
    assert_eq!(binder.run(&["in-force"]).code, 3);
    assert_eq!(binder.run(&["trust"]).code, 4);

    let groups: Vec<&str> = shown.out.split_whitespace().collect();
    let ran = binder.run(&[&["trust"], &groups[..]].concat());
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.starts_with("pinned"), "{}", ran.err);
    assert_eq!(binder.audit(), (0, vec![]));
    assert!(binder.run(&["audit"]).out.contains("(pinned)"));
    assert!(binder.run(&["trust", &digest]).err.starts_with("it was pinned before"));
    // What was pinned is not unpinned by typing something else.
    assert_eq!(binder.run(&["trust", &other]).code, 4);
    assert_eq!(binder.audit(), (0, vec![]));

    // Another plant's binder in the same place.
    let stranger = Binder::new();
    fs::remove_dir_all(binder.own("")).expect("writable");
    let another = binder.plant.root.clone();
    binder.plant = stranger.plant.clone();
    binder.plant.shelf = matchmark::trust::store::Shelf::default();
    let mut root = another;
    root.plant = line("Southfield creamery");
    binder.plant.put_root(&root);
    let repo = matchmark::history::repo::Repo::make(&binder.folder()).expect("a repository");
    let files = binder.plant.shelf.files().map(|(path, bytes)| (path.to_owned(), Some(bytes.to_vec()))).collect();
    let author = matchmark::history::point::Author { name: "x".to_owned(), address: "x".to_owned(), second: 0 };
    repo.put(None, &files, "x", &author).expect("saved");
    let told = binder.run(&["trust"]);
    assert_eq!(told.code, 4, "{}{}", told.out, told.err);
    let (code, told) = binder.audit();
    assert_ne!(code, 0, "{told:?}");
}

#[test]
fn a_binder_without_a_root_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("binder.yaml"), "format: 1\n").expect("writable");
    let repo = matchmark::history::repo::Repo::make(folder.path()).expect("a repository");
    let run =
        |arguments: &[&str]| crate::history::binder::run_in(folder.path(), &folder.path().join("home"), arguments, &[]);
    let ran = run(&["audit"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("nothing has been saved"), "{}", ran.err);
    let files = matchmark::history::point::Files::from([("binder.yaml".to_owned(), Some(b"format: 1\n".to_vec()))]);
    let author = matchmark::history::point::Author { name: "x".to_owned(), address: "x".to_owned(), second: 0 };
    repo.put(None, &files, "x", &author).expect("saved");
    let ran = run(&["trust"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("no root yet"), "{}", ran.err);
    let ran = run(&["audit"]);
    assert_eq!(ran.code, 3, "{}", ran.out);
    assert!(ran.out.contains("E-MISSING ledger/") && ran.out.contains("UNDECIDED"), "{}", ran.out);
    assert_eq!(run(&["in-force"]).code, 3);
}

#[test]
fn help_begins_with_examples() {
    let binder = Binder::new();
    for command in ["audit", "in-force", "verify", "trust"] {
        let ran = binder.run(&[command, "--help"]);
        assert_eq!(ran.code, 0);
        assert!(ran.out.starts_with(&format!("Examples:\n  matchmark {command}")), "{}", ran.out);
    }
    assert_eq!(NEXT.len(), 1);
}
