//! What a computer remembers of a history that it found good saves time, and never makes a bad one good.

use crate::history::binder::{Binder, NEXT, PACKETS, git, run_in};
use matchmark::trust::digest::Digest;
use std::fs;
use std::path::PathBuf;

const SECOND: &str = "ledger/000/000002.record";

/// Returns the file in which the way through the binder's history is remembered.
fn way(binder: &Binder) -> PathBuf {
    let folder = binder.beside("home/.local/state/matchmark");
    let files = fs::read_dir(folder).expect("something is remembered").flatten().map(|entry| entry.path());
    let mut ways = files.filter(|path| path.extension().is_some_and(|extension| extension == "way"));
    let way = ways.next().expect("a way is remembered");
    assert_eq!(ways.next(), None, "of one folder");
    way
}

/// Returns what is told, and of how many states how many were not looked at again.
#[track_caller]
fn audit(binder: &Binder, code: i32) -> (Vec<String>, (u64, u64)) {
    let ran = binder.run(&["audit", "--format", "json"]);
    assert_eq!(ran.code, code, "{}{}", ran.out, ran.err);
    let read: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    let told = read["verdicts"].as_array().expect("verdicts").iter();
    let word = |entry: &serde_json::Value, key: &str| entry[key].as_str().expect("a word").to_owned();
    let told = told.map(|entry| format!("{} {}", word(entry, "code"), word(entry, "object"))).collect();
    let count = |key: &str| read["reach"][key].as_u64().expect("a number");
    (told, (count("states"), count("remembered")))
}

fn remembering() -> Binder {
    let binder = Binder::with_two_releases();
    assert_eq!(audit(&binder, 0), (vec![], (10, 0)));
    binder
}

#[test]
fn only_what_is_new_is_looked_at() {
    let mut binder = remembering();
    assert_eq!(audit(&binder, 0), (vec![], (10, 10)));
    binder.change(&[("MP-PA-101", "P-121", "121 by 3")], "2026-10-03");
    assert_eq!(audit(&binder, 0), (vec![], (14, 10)));
    assert_eq!(audit(&binder, 0), (vec![], (14, 14)));
    let ran = binder.run(&["audit", "--afresh"]);
    assert!(ran.code == 0 && ran.out.contains("looked at 14 states") && !ran.out.contains("before ("), "{}", ran.out);
    let ran = binder.run(&["audit"]);
    assert!(ran.out.contains("14 of the states had been looked through before"), "{}", ran.out);
    // What is in force is the same answer, whether anything is remembered or not.
    let answer = binder.run(&["in-force", "--format", "json"]).out;
    fs::remove_file(way(&binder)).expect("writable");
    assert_eq!(binder.run(&["in-force", "--format", "json"]).out, answer);
}

#[test]
fn a_history_that_was_rewritten_before_the_remembered_state_is_followed_from_its_start() {
    let binder = remembering();
    // The same files at the end; on the way there the release came before its approvals.
    let tree = binder.git(&["rev-parse", "HEAD^{tree}"]);
    let start = binder.git(&["rev-list", "--max-parents=0", "HEAD"]);
    let all_at_once = binder.git(&["commit-tree", &tree, "-p", &start, "-m", "all at once"]);
    binder.git(&["update-ref", "HEAD", &all_at_once]);
    let (told, reach) = audit(&binder, 1);
    assert!(told.iter().any(|line| line.starts_with("E-APPROVAL-MISSING approvals/")), "{told:?}");
    assert_eq!(reach, (2, 0));
    // Nothing was taken back on this way, so it is remembered; and with it, what did not stand before the record.
    assert_eq!(audit(&binder, 1), (told, (2, 2)));
}

#[test]
fn a_state_before_the_remembered_one_and_what_follows_it_are_followed_from_the_start() {
    let binder = remembering();
    binder.git(&["reset", "-q", "--hard", "HEAD~1"]);
    let (told, reach) = audit(&binder, 1);
    assert_eq!((told, reach), (vec!["E-ROLLBACK ledger/000/000003.record".to_owned()], (9, 0)));
    binder.git(&["commit", "-q", "--allow-empty", "-m", "x"]);
    assert_eq!(audit(&binder, 1), (vec!["E-ROLLBACK ledger/000/000003.record".to_owned()], (10, 0)));
}

#[test]
fn what_is_taken_back_after_the_remembered_state_is_told() {
    let binder = remembering();
    let tip = binder.git(&["rev-parse", "HEAD"]);
    binder.forge("100644", &binder.blob("x"), SECOND);
    // And put back again: the last state is as it was.
    let tree = binder.git(&["rev-parse", &format!("{tip}^{{tree}}")]);
    let back = binder.git(&["commit-tree", &tree, "-p", "HEAD", "-m", "as it was"]);
    binder.git(&["update-ref", "HEAD", &back]);
    let (told, reach) = audit(&binder, 1);
    assert_eq!((told, reach), (vec![format!("E-APPEND-ONLY {SECOND}"); 2], (12, 10)));
    assert_eq!(audit(&binder, 1).1, (12, 10), "and is not forgotten");
}

#[test]
fn an_evil_union_with_an_older_state_is_told() {
    let binder = remembering();
    let (tip, old) = (binder.git(&["rev-parse", "HEAD"]), binder.git(&["rev-parse", "HEAD~5"]));
    // Takes everything from before the second release.
    let tree = binder.git(&["rev-parse", &format!("{old}^{{tree}}")]);
    let side = binder.git(&["commit-tree", &tree, "-p", &old, "-m", "beside"]);
    let evil = binder.git(&["commit-tree", &tree, "-p", &side, "-p", &tip, "-m", "a union"]);
    binder.git(&["update-ref", "HEAD", &evil]);
    let (told, reach) = audit(&binder, 1);
    assert!(told.iter().any(|line| line == "E-APPEND-ONLY ledger/000/000003.record"), "{told:?}");
    assert_eq!(reach, (12, 10));
    // The honest one is clean, and a line that left an older state is followed as far as it is new.
    let tree = binder.git(&["rev-parse", &format!("{tip}^{{tree}}")]);
    let honest = binder.git(&["commit-tree", &tree, "-p", &side, "-p", &tip, "-m", "a union"]);
    binder.git(&["update-ref", "HEAD", &honest]);
    assert_eq!(audit(&binder, 0), (vec![], (12, 10)));
}

#[test]
fn a_record_that_came_again_on_a_line_from_an_older_state_is_judged_by_both() {
    let mut binder = Binder::new();
    let start = binder.git(&["rev-parse", "HEAD"]);
    let digest = binder.change(&PACKETS, "2026-10-01");
    assert_eq!(audit(&binder, 0).1, (6, 0));
    let honest = binder.git(&["rev-parse", "HEAD"]);
    let tree = binder.git(&["rev-parse", "HEAD^{tree}"]);
    let at_once = binder.git(&["commit-tree", &tree, "-p", &start, "-m", "at once"]);
    let union = binder.git(&["commit-tree", &tree, "-p", &honest, "-p", &at_once, "-m", "a union"]);
    binder.git(&["update-ref", "HEAD", &union]);
    let (told, reach) = audit(&binder, 1);
    let missing = format!("E-APPROVAL-MISSING approvals/{digest}/alice.approve");
    assert!(told.contains(&missing), "{told:?}");
    assert_eq!(reach, (8, 6));
}

#[test]
fn the_memory_of_another_binder_is_none() {
    let (binder, mut other) = (remembering(), Binder::with_two_releases());
    other.change(&[("MP-PA-101", "P-122", "122 by 3")], "2026-10-03");
    assert_eq!(audit(&other, 0).1, (14, 0));
    fs::copy(way(&other), way(&binder)).expect("writable");
    assert_eq!(audit(&binder, 0), (vec![], (10, 0)));
    // A copy in another folder is followed as a whole: nobody has seen whether it is.
    git(&binder.beside(""), &["clone", "-q", "binder", "copy"]);
    let ran = run_in(&binder.beside("copy"), &binder.beside("home"), &["audit", "--format", "json"], &[]);
    assert!(ran.code == 0 && ran.out.contains("\"remembered\": 0"), "{}", ran.out);
}

#[test]
fn a_damaged_memory_is_none() {
    let binder = remembering();
    let file = way(&binder);
    let bytes = fs::read(&file).expect("readable");
    for damaged in [&bytes[..bytes.len() / 2], b"", b"way v1\n", &[0xff; 64]] {
        fs::write(&file, damaged).expect("writable");
        assert_eq!(audit(&binder, 0), (vec![], (10, 0)));
        assert_eq!(fs::read(&file).expect("readable"), bytes, "it is written anew");
    }
    fs::remove_file(&file).expect("writable");
    fs::create_dir(&file).expect("writable");
    let ran = binder.run(&["audit"]);
    assert!(ran.code == 0 && ran.err.contains("cannot be remembered"), "{}{}", ran.out, ran.err);
}

#[test]
fn a_signature_that_was_changed_is_checked_though_the_others_are_remembered() {
    let mut binder = Binder::new();
    let digest = binder.change(&PACKETS, "2026-10-01");
    assert_eq!(audit(&binder, 0).0, Vec::<String>::new());
    let file = way(&binder).with_extension("signatures");
    let remembered = fs::read(&file).expect("signatures are remembered");
    // That of another statement of the same person would fit its key, and not these bytes.
    let other = binder.approved(&NEXT);
    let id = binder.git(&["rev-parse", &format!("HEAD:approvals/{other}/alice.approve.sig")]);
    binder.forge("100644", &id, &format!("approvals/{digest}/alice.approve.sig"));
    let (told, _) = audit(&binder, 1);
    let wrong = format!("E-SIG approvals/{digest}/alice.approve");
    assert!(told.iter().any(|line| line.starts_with(&wrong)), "{told:?}");
    // The same with a damaged memory of signatures, and with none.
    fs::write(&file, &remembered[..remembered.len() - 1]).expect("writable");
    assert_eq!(audit(&binder, 1).0, told);
    fs::remove_file(&file).expect("writable");
    assert_eq!(audit(&binder, 1).0, told);
}

/// Whoever can write what a user remembers can pin another first root as well. Still no state is taken for known that the last
/// one did not grow from.
#[test]
fn a_forged_memory_of_states_that_are_no_ancestors_is_none() {
    let binder = remembering();
    let file = way(&binder);
    let text = fs::read_to_string(&file).expect("readable");
    let stranger = binder.git(&["commit-tree", "HEAD^{tree}", "-m", "a stranger"]);
    let tip = binder.git(&["rev-parse", "HEAD"]);
    let body = text.rsplit_once("\ndigest: ").expect("a digest").0.replace(&tip, &stranger);
    fs::write(&file, format!("{body}\ndigest: {}\n", Digest::of(body.as_bytes()))).expect("writable");
    assert_eq!(audit(&binder, 0), (vec![], (10, 0)));
}

#[test]
fn a_remembered_state_that_is_no_longer_here_is_told() {
    let mut binder = remembering();
    let state = binder.git(&["rev-parse", "HEAD~3"]);
    let object = binder.loose(&state);
    let bytes = fs::read(&object).expect("it is loose");
    fs::remove_file(&object).expect("writable");
    let (told, reach) = audit(&binder, 3);
    assert!(told.contains(&format!("E-PARTIAL state {}", &state[..8])), "{told:?}");
    assert_eq!(reach.1, 0);
    fs::write(&object, bytes).expect("writable");
    assert_eq!(audit(&binder, 0).1, (10, 10));
    binder.approved(&NEXT);
    assert_eq!(audit(&binder, 0).1, (13, 10));
}
