//! Attacks on the history: what somebody with the whole repository in hand can do with stock git.

use crate::history::binder::{Binder, NEXT, PACKETS, audit_of, git, run_in};
use matchmark::trust::digest::Digest;
use matchmark::trust::place;
use std::fs;

const SECOND: &str = "ledger/000/000002.record";
const THIRD: &str = "ledger/000/000003.record";

#[track_caller]
fn assert_told(told: &(i32, Vec<String>), code: i32, expected: &str) {
    assert_eq!(told.0, code, "{told:#?}");
    assert!(told.1.iter().any(|line| line.starts_with(expected)), "`{expected}` is among {told:#?}");
}

#[test]
fn an_honest_history_is_clean_and_says_what_it_was_held_against() {
    let binder = Binder::with_two_releases();
    let ran = binder.run(&["audit"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.starts_with("trust: genesis "), "{}", ran.out);
    assert!(ran.out.lines().next().expect("a line").contains(" (TOFU), root v1, ledger 000003, as of "), "{}", ran.out);
    assert!(ran.out.contains("a copy that ends early would look whole to you"), "{}", ran.out);
    assert!(ran.out.contains("looked at 10 states, 3 records, 2 releases with packets and sources"), "{}", ran.out);
    assert!(ran.out.ends_with("nothing was found\n"), "{}", ran.out);
    let again = binder.run(&["audit"]);
    assert!(again.out.contains("this computer has seen the ledger up to 000003"), "{}", again.out);
}

#[test]
fn t16_a_filter_and_a_hidden_file_of_the_open_folder_change_nothing() {
    let binder = Binder::with_two_releases();
    let before = binder.run(&["in-force", "--format", "json"]).out;
    let marker = binder.beside("ran");
    fs::write(binder.folder().join(".gitattributes"), "* filter=evil\n").expect("writable");
    let touch = format!("sh -c 'touch {}; sed s/121/250/'", marker.display());
    binder.set(&format!("[filter \"evil\"]\n\tclean = {touch}\n\tsmudge = {touch}\n"));
    binder.git(&["update-index", "--skip-worktree", SECOND]);
    fs::write(binder.folder().join(SECOND), "another").expect("writable");
    assert_eq!(binder.audit(), (0, vec![format!("WARN W-OPEN-FOLDER {SECOND}")]));
    assert_eq!(binder.run(&["in-force", "--format", "json"]).out, before);
    assert!(!marker.exists(), "a filter ran");
}

#[test]
fn t16_a_replaced_object() {
    let binder = Binder::with_two_releases();
    let packet = place::packet(&Digest::of(b"121 by 2"));
    let (real, other) = (binder.git(&["rev-parse", &format!("HEAD:{packet}")]), binder.blob("121 by hand"));
    binder.git(&["replace", &real, &other]);
    assert_eq!(binder.git(&["cat-file", "blob", &format!("HEAD:{packet}")]), "121 by hand", "git itself is fooled");
    assert_eq!(binder.audit(), (1, vec![format!("INVALID E-REPLACE refs/replace/{real}")]));
    let ran = binder.run(&["in-force"]);
    assert_eq!(ran.code, 1);
    assert!(ran.out.contains("NO: E-REPLACE") && ran.err.contains("nothing of this list may be used"), "{}", ran.out);
}

#[test]
fn t16_a_graft_is_told_and_not_followed() {
    let binder = Binder::with_two_releases();
    let (tip, first) = (binder.git(&["rev-parse", "HEAD"]), binder.git(&["rev-list", "--max-parents=0", "HEAD"]));
    fs::create_dir_all(binder.own("info")).expect("writable");
    fs::write(binder.own("info/grafts"), format!("{tip} {first}\n")).expect("writable");
    assert_eq!(binder.audit(), (1, vec!["INVALID E-GRAFT info/grafts".to_owned()]));
}

#[test]
fn t16_objects_that_lie_elsewhere() {
    let binder = Binder::with_two_releases();
    let elsewhere = binder.beside("elsewhere");
    fs::rename(binder.own("objects"), &elsewhere).expect("moved");
    fs::create_dir_all(binder.own("objects/info")).expect("writable");
    fs::write(binder.own("objects/info/alternates"), format!("{}\n", elsewhere.display())).expect("writable");
    assert_eq!(binder.audit(), (3, vec!["INCOMPLETE E-PARTIAL objects/info/alternates".to_owned()]));
}

#[test]
fn t16_the_surroundings_change_no_answer() {
    let binder = Binder::with_two_releases();
    let other = Binder::new();
    let evil = binder.beside("evil.config");
    let marker = binder.beside("ran");
    let touch = format!("touch {}", marker.display());
    fs::write(&evil, format!("[core]\n\tfsmonitor = {touch}\n\tworktree = /\n[alias]\n\tcat-file = !{touch}\n"))
        .expect("writable");
    let (git_dir, evil) = (other.own("").display().to_string(), evil.display().to_string());
    let (objects, index) = (other.own("objects").display().to_string(), other.own("index").display().to_string());
    let hostile = [
        ("GIT_DIR", git_dir.as_str()),
        ("GIT_COMMON_DIR", git_dir.as_str()),
        ("GIT_WORK_TREE", "/"),
        ("GIT_OBJECT_DIRECTORY", objects.as_str()),
        ("GIT_ALTERNATE_OBJECT_DIRECTORIES", objects.as_str()),
        ("GIT_INDEX_FILE", index.as_str()),
        ("GIT_NAMESPACE", "other"),
        ("GIT_CONFIG", evil.as_str()),
        ("GIT_CONFIG_GLOBAL", evil.as_str()),
        ("GIT_CONFIG_SYSTEM", evil.as_str()),
        ("GIT_CONFIG_COUNT", "1"),
        ("GIT_CONFIG_KEY_0", "core.worktree"),
        ("GIT_CONFIG_VALUE_0", "/"),
        ("GIT_CONFIG_PARAMETERS", "'core.bare=true'"),
        ("GIT_CEILING_DIRECTORIES", "/"),
        ("GIT_REPLACE_REF_BASE", "refs/heads/"),
        ("GIT_SHALLOW_FILE", evil.as_str()),
        ("GIT_GRAFT_FILE", evil.as_str()),
        ("GIT_EXTERNAL_DIFF", touch.as_str()),
        ("GIT_SSH_COMMAND", touch.as_str()),
        ("GIT_PAGER", touch.as_str()),
    ];
    for arguments in [&["audit"][..], &["in-force", "--format", "json"], &["verify", "000003"], &["trust"]] {
        // The first audit leaves a mark; each user sees the binder for the first time.
        let (plain, under) = (binder.run_as("one", arguments, &[]), binder.run_as("two", arguments, &hostile));
        assert_eq!((plain.code, &plain.out, &plain.err), (under.code, &under.out, &under.err), "{arguments:?}");
        assert_eq!(plain.code, 0, "{}{}", plain.out, plain.err);
    }
    assert!(!marker.exists());
}

#[test]
fn t22_a_record_taken_out_of_the_middle() {
    let binder = Binder::with_two_releases();
    let state = binder.forge("0", "", SECOND);
    let told = binder.audit();
    assert_told(&told, 1, &format!("DANGER E-APPEND-ONLY {SECOND}"));
    assert_told(&told, 1, &format!("INVALID E-LEDGER-GAP {SECOND}"));
    let ran = binder.run(&["audit"]);
    assert!(ran.out.contains(&format!("in the state {}", &state[..8])), "{}", ran.out);
    assert!(ran.out.contains("concerns every packet and card of this binder"), "{}", ran.out);
}

#[test]
fn t22_an_approval_and_a_packet_taken_out_or_changed() {
    let mut binder = Binder::new();
    let digest = binder.change(&PACKETS, "2026-10-01");
    let approval = format!("approvals/{digest}/alice.approve");
    let packet = place::packet(&Digest::of(b"121 by 1"));
    binder.forge("100644", &binder.blob("another"), &packet);
    let told = binder.audit();
    assert_told(&told, 1, &format!("DANGER E-APPEND-ONLY {packet}"));
    assert_told(&told, 1, &format!("INVALID E-DIGEST {packet}"));
    let ran = binder.run(&["audit"]);
    assert!(
        ran.out.contains("concerns MP-PA-101 revision 1 on P-121\n"),
        "only the packet that was changed: {}",
        ran.out
    );
    binder.forge("0", "", &approval);
    let told = binder.audit();
    assert_told(&told, 1, &format!("DANGER E-APPEND-ONLY {approval}"));
    assert_told(&told, 1, &format!("INVALID E-APPROVAL-MISSING {approval}"));
}

#[test]
fn what_was_taken_out_and_put_back_was_taken_out() {
    let binder = Binder::with_two_releases();
    let real = binder.git(&["rev-parse", &format!("HEAD:{SECOND}")]);
    let state = binder.forge("0", "", SECOND);
    binder.forge("100644", &real, SECOND);
    let told = binder.audit();
    assert_eq!(told, (1, vec![format!("DANGER E-APPEND-ONLY {SECOND}")]));
    assert!(binder.run(&["audit"]).out.contains(&format!("taken out in the state {}", &state[..8])));
}

#[test]
fn t23_a_history_that_was_set_back() {
    let mut binder = Binder::with_two_releases();
    assert_eq!(binder.audit(), (0, vec![]));
    let before = binder.git(&["rev-parse", "HEAD"]);
    binder.change(&[("MP-PA-101", "P-121", "121 by 3")], "2026-10-03");
    assert_eq!(binder.audit(), (0, vec![]));
    binder.git(&["reset", "-q", "--hard", &before]);
    assert_eq!(binder.audit(), (1, vec!["DANGER E-ROLLBACK ledger/000/000004.record".to_owned()]));
    let ran = binder.run(&["in-force"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
    assert!(ran.out.contains("NO: E-ROLLBACK"), "{}", ran.out);
    // A failed audit does not lower what was seen.
    assert_eq!(binder.audit().0, 1);

    // Somebody who never saw more cannot notice; the audit says that this is so.
    let ran = binder.run_as("newcomer", &["audit"], &[]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(
        ran.out.contains("seen nothing of this ledger before: a copy that ends early would look whole"),
        "{}",
        ran.out
    );

    // In another folder of the same computer it is noticed by the repository's own name.
    let copy = binder.beside("copy");
    git(&binder.beside(""), &["clone", "-q", "binder", "copy"]);
    assert_told(&audit_of(&copy, &binder.beside("home")), 1, "DANGER E-ROLLBACK");
}

#[test]
fn t25_two_copies_that_say_two_things() {
    let mut binder = Binder::with_two_releases();
    git(&binder.beside(""), &["clone", "-q", "binder", "copy"]);
    binder.change(&[("MP-PA-101", "P-121", "121 by 3")], "2026-10-03");
    assert_eq!(binder.audit(), (0, vec![]));
    let one = binder.git(&["rev-parse", "HEAD"]);
    binder.git(&["checkout", "-q", "-B", "main", &one]);

    // The other branch, signed by the same people.
    let copy = binder.beside("copy");
    let mut other = Binder::with_two_releases();
    other.change(&[("MP-PA-101", "P-122", "122 by 3")], "2026-10-03");
    git(&copy, &["fetch", "-q", other.folder().to_str().expect("UTF-8"), "main"]);
    git(&copy, &["reset", "-q", "--hard", "FETCH_HEAD"]);
    let ran = run_in(&copy, &binder.beside("home"), &["audit", "--format", "json"], &[]);
    assert_eq!(ran.code, 1, "{}{}", ran.out, ran.err);
    let read: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    let fork = &read["verdicts"][0];
    assert_eq!((fork["code"].as_str(), fork["severity"].as_str()), (Some("E-FORK"), Some("DANGER")), "{fork:#}");
    let digest = |folder: &std::path::Path| {
        Digest::of(git_bytes(folder, "HEAD:ledger/000/000004.record").as_bytes()).to_string()
    };
    assert_eq!(fork["expected"].as_str(), Some(digest(&binder.folder()).as_str()));
    assert_eq!(fork["found"].as_str(), Some(digest(&copy).as_str()));
}

fn git_bytes(folder: &std::path::Path, object: &str) -> String {
    git(folder, &["cat-file", "blob", object]) + "\n"
}

/// Two lines, each with statements of its own; the merge takes everything from one of them.
fn merged_with_ours(binder: &mut Binder) -> String {
    let start = binder.git(&["rev-parse", "HEAD"]);
    binder.change(&NEXT, "2026-10-02");
    let released = binder.git(&["rev-parse", "HEAD"]);
    binder.git(&["checkout", "-q", "-B", "main", &start]);
    binder.git(&["commit", "-q", "--allow-empty", "-m", "a harmless state"]);
    binder.git(&["merge", "-q", "-s", "ours", "-m", "a merge", &released]);
    binder.git(&["rev-parse", "HEAD"])
}

#[test]
fn t26_a_merge_that_keeps_only_ours_drops_a_record() {
    let mut binder = Binder::new();
    binder.change(&PACKETS, "2026-10-01");
    let merge = merged_with_ours(&mut binder);
    // What hides it from people: git shows no deletion in the history of the folder.
    assert_eq!(binder.git(&["log", "--diff-filter=MDT", "--oneline", "--", "ledger"]), "");
    let told = binder.audit();
    assert_told(&told, 1, &format!("DANGER E-APPEND-ONLY {THIRD}"));
    assert!(
        told.1.iter().any(|line| line.contains("E-APPEND-ONLY approvals/") && line.ends_with(".approve")),
        "{told:?}"
    );
    assert!(binder.run(&["audit"]).out.contains(&format!("taken out in the state {}", &merge[..8])));
}

#[test]
fn t26_an_evil_merge_changes_what_neither_side_changed() {
    let mut binder = Binder::new();
    let digest = binder.change(&PACKETS, "2026-10-01");
    let start = binder.git(&["rev-parse", "HEAD"]);
    binder.git(&["checkout", "-q", "-b", "other"]);
    binder.git(&["commit", "-q", "--allow-empty", "-m", "theirs"]);
    binder.git(&["checkout", "-q", "-B", "main", &start]);
    binder.git(&["commit", "-q", "--allow-empty", "-m", "ours"]);
    binder.git(&["merge", "-q", "--no-ff", "-m", "a merge", "other"]);
    let refusal = format!("approvals/{digest}/alice.approve");
    fs::write(binder.folder().join(&refusal), "another").expect("writable");
    binder.git(&["add", "-A"]);
    binder.git(&["commit", "-q", "--amend", "--no-edit"]);
    let merge = binder.git(&["rev-parse", "HEAD"]);
    assert_eq!(binder.git(&["rev-list", "--parents", "-1", "HEAD"]).split(' ').count(), 3, "it is a merge");
    assert_told(&binder.audit(), 1, &format!("DANGER E-APPEND-ONLY {refusal}"));
    assert!(binder.run(&["audit"]).out.contains(&format!("changed in the state {}", &merge[..8])));
}

#[test]
fn an_honest_merge_of_two_lines_is_clean() {
    let mut binder = Binder::new();
    binder.change(&PACKETS, "2026-10-01");
    let start = binder.git(&["rev-parse", "HEAD"]);
    let digest = {
        binder.approved(&NEXT);
        binder.git(&["rev-parse", "HEAD"])
    };
    binder.git(&["checkout", "-q", "-B", "main", &start]);
    fs::write(binder.folder().join("seals/notes.md"), "notes").expect("writable");
    binder.git(&["add", "-A"]);
    binder.git(&["commit", "-q", "-m", "notes"]);
    binder.git(&["merge", "-q", "--no-ff", "-m", "a merge", &digest]);
    assert_eq!(binder.audit(), (0, vec![]));
}

#[test]
fn an_approval_that_came_with_or_after_its_release_does_not_count() {
    // In one state with the record: nobody can tell which was first.
    let mut binder = Binder::new();
    let digest = binder.plant.change(&PACKETS, "2026-10-01");
    binder.save();
    let told = binder.audit();
    assert_told(&told, 1, &format!("INVALID E-APPROVAL-MISSING approvals/{digest}/alice.approve"));
    assert_told(&told, 1, "INVALID E-THRESHOLD ledger/000/000002.record");
    assert_told(&told, 1, &format!("INVALID E-UNPREPARED approvals/{digest}/carol.prepare"));
    let ran = binder.run(&["in-force", "--at", "2026-10-01"]);
    assert_eq!(ran.code, 1, "{}", ran.out);
}

#[test]
fn a_record_that_came_twice_is_judged_by_both() {
    // On one line the approvals stood before the record, on the other they came with it.
    let mut binder = Binder::new();
    let start = binder.git(&["rev-parse", "HEAD"]);
    let digest = binder.change(&PACKETS, "2026-10-01");
    let honest = binder.git(&["rev-parse", "HEAD"]);
    let tree = binder.git(&["rev-parse", "HEAD^{tree}"]);
    let at_once = binder.git(&["commit-tree", &tree, "-p", &start, "-m", "at once"]);
    let merge = binder.git(&["commit-tree", &tree, "-p", &honest, "-p", &at_once, "-m", "a merge"]);
    binder.git(&["update-ref", "HEAD", &merge]);
    assert_told(&binder.audit(), 1, &format!("INVALID E-APPROVAL-MISSING approvals/{digest}/alice.approve"));
}

#[test]
fn t31_a_tag_that_was_moved() {
    let binder = Binder::with_two_releases();
    binder.git(&["tag", "rel/MP-PA-101/9", "HEAD~3"]);
    assert_eq!(binder.audit(), (0, vec!["WARN W-TAG refs/tags/rel/MP-PA-101/9".to_owned()]));
}

#[test]
fn t32_what_is_no_plain_file_or_has_no_plain_name() {
    let e_acute = "e\u{301}";
    let long_s = "tru\u{17f}t/1.root";
    let cases: [(&str, &str, &str); 13] = [
        ("120000", "ledger/000/000004.record", "ledger/000/000004.record"),
        ("100755", "ledger/000/000004.record.sig", "ledger/000/000004.record.sig"),
        ("160000", "trust/more", "trust/more"),
        ("160000", "register", "register"),
        ("120000", "register", "register"),
        ("100644", "register", "register"),
        ("100644", "ledger/000/000002.RECORD", "ledger/000/000002.RECORD"),
        ("100644", "Ledger/000/000002.record", "Ledger"),
        ("100644", long_s, "tru\u{17f}t"),
        ("100644", &format!("approvals/{e_acute}"), &format!("approvals/{e_acute}")),
        ("100644", "ledger/.gitattributes", "ledger/.gitattributes"),
        ("100644", "trust/a/b/c/d/e/f", "trust/a/b/c/d/"),
        ("100644", "register/a b", "register/a b"),
    ];
    for (mode, path, object) in cases {
        let binder = Binder::with_two_releases();
        let id = if mode == "160000" { binder.git(&["rev-parse", "HEAD"]) } else { binder.blob("seals/MP-PA-101.md") };
        binder.forge(mode, &id, path);
        // Where the next record should stand nobody can read on.
        let code = if object.ends_with("4.record") { 3 } else { 1 };
        assert_told(&binder.audit(), code, &format!("INVALID E-TREE-FORM {object}"));
        assert_ne!(binder.run(&["in-force"]).code, 0, "{path}");
    }
}

/// Returns the lines of the last state's listing but that of one folder.
fn listed_without(binder: &Binder, folder: &str) -> String {
    let end = format!("\t{folder}");
    let listed = binder.git(&["ls-tree", "HEAD"]);
    listed.lines().filter(|line| !line.ends_with(&end)).fold(String::new(), |all, line| all + line + "\n")
}

#[test]
fn t32_a_protected_folder_that_became_a_link_or_another_repository() {
    for mode in ["120000", "160000"] {
        let binder = Binder::with_two_releases();
        let id = if mode == "160000" { binder.git(&["rev-parse", "HEAD"]) } else { binder.blob("elsewhere") };
        let kept = listed_without(&binder, "ledger");
        let kind = if mode == "160000" { "commit" } else { "blob" };
        let tree = crate::history::binder::git_with(
            &binder.folder(),
            &["mktree", "--missing"],
            &[],
            &format!("{kept}{mode} {kind} {id}\tledger\n"),
        );
        let commit = binder.git(&["commit-tree", &tree, "-p", "HEAD", "-m", "x"]);
        binder.git(&["update-ref", "HEAD", &commit]);
        let told = binder.audit();
        // There is no ledger to read, so nothing is decided; what was done is named all the same.
        assert_told(&told, 3, "INVALID E-TREE-FORM ledger");
        assert_told(&told, 3, "DANGER E-APPEND-ONLY ledger/");
    }
}

#[test]
fn t32_a_pointer_of_a_file_store_in_place_of_a_packet() {
    let mut binder = Binder::new();
    let digest = binder.approved(&PACKETS);
    let packet = place::packet(&Digest::of(b"122 by 1"));
    let pointer = "version https://git-lfs.github.com/spec/v1\noid sha256:00\nsize 8\n";
    binder.plant.shelf.change(&packet, pointer);
    binder.plant.release(digest, "2026-10-01");
    binder.save();
    let told = binder.audit();
    assert_told(&told, 1, &format!("INVALID E-DIGEST {packet}"));
    assert_told(&told, 1, &format!("DANGER E-APPEND-ONLY {packet}"));
}

#[test]
fn t32_a_listing_that_two_programs_would_read_in_two_ways() {
    let binder = Binder::with_two_releases();
    let ledger = binder.git(&["rev-parse", "HEAD:ledger/000"]);
    let raw = |id: &str| {
        std::process::Command::new("git")
            .args(["cat-file", "tree", id])
            .current_dir(binder.folder())
            .output()
            .expect("git")
            .stdout
    };
    let twice = [raw(&ledger), raw(&ledger)].concat();
    let path = binder.beside("tree");
    fs::write(&path, twice).expect("writable");
    let id = binder.git(&["hash-object", "-w", "-t", "tree", "--literally", path.to_str().expect("UTF-8")]);
    let mktree = |lines: &str| crate::history::binder::git_with(&binder.folder(), &["mktree"], &[], lines);
    let folder = mktree(&format!("040000 tree {id}\t000\n"));
    let kept = listed_without(&binder, "ledger");
    let tree = mktree(&format!("{kept}040000 tree {folder}\tledger\n"));
    let commit = binder.git(&["commit-tree", &tree, "-p", "HEAD", "-m", "x"]);
    binder.git(&["update-ref", "HEAD", &commit]);
    assert_told(&binder.audit(), 1, "INVALID E-TREE-FORM ledger/000/");
}

#[test]
fn t52_names_that_drive_a_terminal_are_shown_harmlessly() {
    let binder = Binder::with_two_releases();
    let name = "approvals/\u{1b}[2J\u{1b}]0;approved\u{7}\u{9b}31m\u{202e}x";
    binder.forge("100644", &binder.blob("x"), name);
    for format in ["human", "plain", "json"] {
        let ran = binder.run(&["audit", "--format", format]);
        assert_eq!(ran.code, 1, "{}", ran.out);
        assert!(ran.out.contains("E-TREE-FORM"), "{}", ran.out);
        let hidden = |c: char| (c.is_control() && c != '\n' && c != '\t') || c == '\u{202e}';
        assert!(!ran.out.chars().any(hidden) && !ran.err.chars().any(hidden), "{format}: {:?}", ran.out);
    }
    binder.set("[core]\n\tworktree = \"/tmp/\u{1b}[31m\"\n");
    let ran = binder.run(&["audit"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("core.worktree") && !ran.err.contains('\u{1b}'), "{:?}", ran.err);
}
