//! Faults of a repository: what is missing, damaged, cut off, newer or half merged is told, and never taken for good.

use crate::history::binder::{Binder, NEXT, PACKETS, audit_of, git};
use matchmark::trust::digest::Digest;
use matchmark::trust::place;
use std::fs;
use std::path::Path;

const SECOND: &str = "ledger/000/000002.record";

#[track_caller]
fn assert_told(told: &(i32, Vec<String>), code: i32, expected: &str) {
    assert_eq!(told.0, code, "{told:#?}");
    assert!(told.1.iter().any(|line| line.contains(expected)), "`{expected}` is among {told:#?}");
}

fn url(path: &Path) -> String {
    format!("file://{}", path.display())
}

#[test]
fn f16_a_copy_that_begins_in_the_middle() {
    let binder = Binder::with_two_releases();
    git(&binder.beside(""), &["clone", "-q", "--depth", "2", &url(&binder.folder()), "copy"]);
    let copy = binder.beside("copy");
    let told = audit_of(&copy, &binder.beside("other"));
    assert_told(&told, 3, "INCOMPLETE E-PARTIAL shallow");
    assert!(!told.1.iter().any(|line| line.contains("INVALID")), "what is missing is held against nobody: {told:?}");
    let ran = crate::history::binder::run_in(&copy, &binder.beside("other"), &["audit"], &[]);
    assert!(ran.out.contains("git fetch --unshallow"), "{}", ran.out);
    assert!(ran.out.contains("UNDECIDED") && !ran.out.contains("nothing was found"), "{}", ran.out);
    let ran = crate::history::binder::run_in(&copy, &binder.beside("other"), &["in-force"], &[]);
    assert_eq!(ran.code, 3, "{}{}", ran.out, ran.err);
    git(&copy, &["fetch", "-q", "--unshallow"]);
    assert_eq!(audit_of(&copy, &binder.beside("other")), (0, vec![]));
}

#[test]
fn f16_a_planted_list_of_cut_states() {
    let binder = Binder::with_two_releases();
    fs::write(binder.own("shallow"), format!("{}\n", binder.git(&["rev-parse", "HEAD~1"]))).expect("writable");
    let told = binder.audit();
    // The states are there, and are followed.
    assert_eq!(told, (3, vec!["INCOMPLETE E-PARTIAL shallow".to_owned()]));
}

#[test]
fn f17_a_copy_without_the_contents_of_its_files() {
    let binder = Binder::with_two_releases();
    binder.set("[uploadpack]\n\tallowFilter = true\n");
    git(&binder.beside(""), &["clone", "-q", "--filter=blob:none", "--no-checkout", &url(&binder.folder()), "copy"]);
    let copy = binder.beside("copy");
    fs::write(copy.join("binder.yaml"), "format: 1\n").expect("writable");
    let told = audit_of(&copy, &binder.beside("other"));
    assert_told(&told, 3, "INCOMPLETE E-PARTIAL partial clone");
    assert_told(&told, 3, "INCOMPLETE E-PARTIAL protected files");
    let ran = crate::history::binder::run_in(&copy, &binder.beside("other"), &["audit"], &[]);
    let files = binder.git(&["ls-tree", "-r", "--name-only", "HEAD", "trust", "approvals", "resolved", "ledger"]);
    let files = files.lines().count();
    assert!(ran.out.contains(&format!("{files} of {files} protected files are not in this copy")), "{}", ran.out);
    // The same under git's older word for it, which libgit2 does not read.
    git(&copy, &["config", "core.repositoryFormatVersion", "1"]);
    git(&copy, &["config", "extensions.partialClone", "origin"]);
    let (code, told) = audit_of(&copy, &binder.beside("other"));
    assert_eq!(code, 3, "{told:?}");
    assert!(told[0].contains("(a partial clone); nothing is decided"), "{told:?}");
}

#[test]
fn a_truncated_object_is_missing_and_not_good() {
    for path in [SECOND.to_owned(), place::packet(&Digest::of(b"121 by 2")), "trust/1.root".to_owned()] {
        let binder = Binder::with_two_releases();
        let object = binder.loose(&binder.git(&["rev-parse", &format!("HEAD:{path}")]));
        let bytes = fs::read(&object).expect("it is loose");
        fs::remove_file(&object).expect("writable");
        fs::write(&object, &bytes[..bytes.len() / 2]).expect("writable");
        assert_told(&binder.audit(), 3, &format!("INCOMPLETE E-MISSING {path}"));
    }
}

#[test]
fn an_object_whose_bytes_are_others_is_not_read() {
    let binder = Binder::with_two_releases();
    let path = place::packet(&Digest::of(b"121 by 2"));
    let (real, other) = (binder.git(&["rev-parse", &format!("HEAD:{path}")]), binder.blob("121 by hand"));
    fs::remove_file(binder.loose(&real)).expect("writable");
    fs::copy(binder.loose(&other), binder.loose(&real)).expect("writable");
    assert_told(&binder.audit(), 3, &format!("INCOMPLETE E-MISSING {path}"));
}

#[test]
fn a_missing_file_list_or_state_is_told_by_name() {
    let missing = |binder: &Binder, object: &str| {
        let id = binder.git(&["rev-parse", object]);
        fs::remove_file(binder.loose(&id)).expect("it is loose");
        id
    };
    let binder = Binder::with_two_releases();
    missing(&binder, &format!("HEAD:{SECOND}"));
    assert_told(&binder.audit(), 3, &format!("INCOMPLETE E-MISSING {SECOND}"));

    let binder = Binder::with_two_releases();
    missing(&binder, "HEAD~3:approvals");
    let state = binder.git(&["rev-parse", "HEAD~3"]);
    assert_told(&binder.audit(), 3, &format!("INCOMPLETE E-MISSING state {}", &state[..8]));

    let binder = Binder::with_two_releases();
    let state = missing(&binder, "HEAD~3");
    let told = binder.audit();
    assert_told(&told, 3, &format!("INCOMPLETE E-PARTIAL state {}", &state[..8]));
    assert!(!told.1.iter().any(|line| line.contains("INVALID")), "{told:?}");

    let binder = Binder::with_two_releases();
    missing(&binder, "HEAD^{tree}");
    let (code, told) = binder.audit();
    assert_eq!(code, 3, "{told:?}");
}

#[test]
fn a_source_that_is_missing_or_another() {
    let binder = Binder::with_two_releases();
    let id = binder.git(&["rev-parse", "HEAD:seals/MP-PA-101.md"]);
    fs::remove_file(binder.loose(&id)).expect("it is loose");
    assert_told(&binder.audit(), 3, "INCOMPLETE E-MISSING seals/MP-PA-101.md");

    // A manifest that names a state in which the source was another, and one that is not of this history.
    let mut binder = Binder::new();
    binder.git(&["commit", "-q", "--allow-empty", "-m", "x"]);
    fs::write(binder.folder().join("seals/MP-PA-101.md"), "other words").expect("writable");
    binder.git(&["add", "-A"]);
    binder.git(&["commit", "-q", "-m", "other words"]);
    binder.plant.commit = binder.git(&["rev-parse", "HEAD"]);
    binder.change(&PACKETS, "2026-10-01");
    assert_told(&binder.audit(), 1, "INVALID E-DIGEST seals/MP-PA-101.md");
    let tree = binder.git(&["rev-parse", "HEAD^{tree}"]);
    binder.plant.commit = binder.git(&["commit-tree", &tree, "-m", "a stranger"]);
    binder.change(&NEXT, "2026-10-02");
    assert_told(&binder.audit(), 3, "INCOMPLETE E-MISSING sources");
}

#[test]
fn f19_line_ends_of_the_open_folder_change_no_digest() {
    let binder = Binder::with_two_releases();
    binder.set("[core]\n\tautocrlf = true\n\teol = crlf\n");
    fs::write(binder.folder().join(".gitattributes"), "* text eol=crlf\n").expect("writable");
    fs::remove_file(binder.folder().join(SECOND)).expect("writable");
    binder.git(&["checkout", "--", SECOND]);
    assert!(fs::read_to_string(binder.folder().join(SECOND)).expect("readable").contains("\r\n"), "git changed it");
    assert_eq!(binder.audit(), (0, vec![format!("WARN W-OPEN-FOLDER {SECOND}")]));
}

#[test]
fn f35_the_marks_of_a_merge() {
    // Saved into a record.
    let mut binder = Binder::with_two_releases();
    let mine = "<<<<<<< ours\nrecord v1\n=======\nrecord v1\n>>>>>>> theirs\n";
    binder.plant.shelf.put("ledger/000/000004.record", mine);
    binder.plant.shelf.put("ledger/000/000004.record.sig", "x");
    binder.save();
    assert_told(&binder.audit(), 1, "INVALID E-MERGE ledger/000/000004.record");

    // Left open: two people released at the same time, and somebody merged by hand.
    let mut binder = Binder::new();
    binder.change(&PACKETS, "2026-10-01");
    let start = binder.git(&["rev-parse", "HEAD"]);
    let plant = binder.plant.clone();
    binder.change(&NEXT, "2026-10-02");
    binder.git(&["branch", "theirs"]);
    binder.git(&["reset", "-q", "--hard", &start]);
    binder.plant = plant;
    binder.plant.shelf.put("ledger/000/000003.record", "another");
    binder.git(&["read-tree", "HEAD"]);
    fs::write(binder.folder().join("ledger/000/000003.record"), "another").expect("writable");
    binder.git(&["add", "-A"]);
    binder.git(&["commit", "-q", "-m", "ours"]);
    let merge = std::process::Command::new("git")
        .args(["-c", "user.name=p", "-c", "user.email=p@example.org", "merge", "theirs"])
        .current_dir(binder.folder())
        .output()
        .expect("git");
    assert!(!merge.status.success(), "it conflicts");
    assert_told(&binder.audit(), 1, "INVALID E-MERGE ledger/000/000003.record");
}

#[test]
fn f41_a_statement_of_a_newer_form() {
    let mut binder = Binder::with_two_releases();
    let text = String::from_utf8(binder.plant.bytes("ledger/000/000003.record")).expect("UTF-8");
    binder.plant.shelf.put("ledger/000/000004.record", text.replacen("record v1", "record v2", 1));
    binder.save();
    assert_told(&binder.audit(), 3, "INCOMPLETE E-NEWER ledger/000/000004.record");
}

#[test]
fn f37_ways_to_keep_a_repository() {
    // An old state in the open folder.
    let binder = Binder::with_two_releases();
    binder.git(&["checkout", "-q", "--detach"]);
    assert_eq!(binder.audit(), (0, vec![]));

    // A second open folder, and one as part of another repository.
    let binder = Binder::with_two_releases();
    let second = binder.beside("second");
    binder.git(&["worktree", "add", "-q", second.to_str().expect("UTF-8")]);
    assert_eq!(audit_of(&second, &binder.beside("other")), (0, vec![]));
    fs::create_dir_all(binder.own("info")).expect("writable");
    fs::write(binder.own("info/grafts"), "").expect("writable");
    assert_told(&audit_of(&second, &binder.beside("other")), 1, "E-GRAFT");
    fs::remove_file(binder.own("info/grafts")).expect("writable");
    let outer = binder.beside("outer");
    fs::create_dir(&outer).expect("writable");
    git(&outer, &["init", "-q"]);
    git(&outer, &["submodule", "--quiet", "add", &url(&binder.folder()), "inner"]);
    assert_eq!(audit_of(&outer.join("inner"), &binder.beside("third")), (0, vec![]));

    // A bare one, and a folder that is none.
    let bare = binder.beside("bare");
    git(&binder.beside(""), &["clone", "-q", "--bare", "binder", "bare"]);
    fs::write(bare.join("binder.yaml"), "format: 1\n").expect("writable");
    let (code, told) = audit_of(&bare, &binder.beside("other"));
    assert_eq!(code, 3);
    assert!(told[0].contains("bare repository"), "{told:?}");
    let none = binder.beside("none");
    fs::create_dir(&none).expect("writable");
    fs::write(none.join("binder.yaml"), "format: 1\n").expect("writable");
    let (code, told) = audit_of(&none, &binder.beside("other"));
    assert_eq!(code, 3);
    assert!(told[0].contains("keeps no history yet"), "{told:?}");
}

#[cfg(unix)]
#[test]
fn f37_a_repository_of_another_user() {
    let binder = Binder::with_two_releases();
    let folder = binder.folder();
    // Only who may give files away can try this.
    if [folder.clone(), binder.own("")].iter().any(|path| std::os::unix::fs::chown(path, Some(54_321), None).is_err()) {
        return;
    }
    let (code, told) = binder.audit();
    assert_eq!(code, 3, "{told:?}");
    assert!(told[0].contains("another user of this computer"), "{told:?}");
}

#[test]
fn f08_nothing_is_written_into_the_binder_and_a_home_that_takes_nothing_is_a_warning() {
    let binder = Binder::with_two_releases();
    let state = |folder: &Path| -> Vec<(String, Vec<u8>, std::time::SystemTime)> {
        let mut all = Vec::new();
        let mut open = vec![folder.to_owned()];
        while let Some(folder) = open.pop() {
            for entry in fs::read_dir(&folder).expect("readable").flatten() {
                if entry.path().is_dir() {
                    open.push(entry.path());
                } else {
                    let changed = entry.metadata().and_then(|meta| meta.modified()).expect("a time");
                    all.push((entry.path().display().to_string(), fs::read(entry.path()).expect("readable"), changed));
                }
            }
        }
        all.sort();
        all
    };
    let before = state(&binder.folder());
    fs::write(binder.beside("file"), "").expect("writable");
    for arguments in [&["audit"][..], &["in-force"], &["verify", "3"], &["trust"]] {
        let ran = binder.run_as("file", arguments, &[]);
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        if arguments == ["audit"] {
            assert!(ran.err.starts_with("warning: what was seen cannot be remembered: "), "{}", ran.err);
        }
    }
    assert!(before == state(&binder.folder()), "the binder is as it was");
    // A mark that cannot be read is not the same as none.
    assert_eq!(binder.audit().0, 0);
    for entry in fs::read_dir(binder.beside("home/.local/state/matchmark")).expect("readable").flatten() {
        fs::write(entry.path(), "damaged").expect("writable");
    }
    let (code, told) = binder.audit();
    assert_eq!(code, 3);
    assert!(told[0].contains("is damaged"), "{told:?}");
}
