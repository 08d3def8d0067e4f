//! `undo`: nothing a person wrote is lost by it.

use crate::clones::{Plant, STEPS};
use std::fs;

/// Returns the name of the state behind `as`.
fn named(err: &str) -> String {
    let at = err.find("kept as ").unwrap_or_else(|| panic!("no state is named in: {err}"));
    err[at + 8..at + 16].to_owned()
}

#[test]
fn what_is_not_saved_is_kept_aside_and_comes_back() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    let tip = carol.tip();
    carol.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    carol.write("seals/new.md", "begun\n");
    fs::remove_file(carol.binder.join("figures/a.svg")).unwrap();
    carol.run(&["undo"]).ends(2).says("nobody was asked");
    carol.run(&["undo", "-n"]).ends(0).says("seals/new.md").says("nothing was written");
    let ran = carol.run(&["undo", "--yes"]).ends(0).says("Took back 3 files.");
    assert_eq!(carol.read("seals/MP-1.md"), STEPS);
    assert!(!carol.binder.join("seals/new.md").exists());
    assert_eq!(carol.tip(), tip, "nothing was saved by it");
    carol.is_sound();
    // The way back.
    carol.run(&["undo", "--to", &named(&ran.err)]).ends(0);
    assert!(carol.read("seals/MP-1.md").contains("Remove all nuts"));
    assert_eq!(carol.read("seals/new.md"), "begun\n");
    assert!(!carol.binder.join("figures/a.svg").exists());
    assert_eq!(carol.tip(), tip);
    // One file only.
    carol.run(&["undo", "seals/new.md"]).ends(0).says("Took back 1 file.");
    assert!(carol.read("seals/MP-1.md").contains("Remove all nuts"));
    carol.run(&["undo", "none.md"]).ends(2);
}

#[test]
fn the_last_save_is_taken_back_by_a_new_one() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.run(&["undo", "--yes"]).ends(2).says("no state before the first");
    let first = carol.tip();
    carol.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    carol.write("seals/new.md", "begun\n");
    carol.run(&["save", "-m", "two things"]).ends(0);
    carol.run(&["undo", "--yes"]).ends(0).says("Took back 2 files as");
    assert_eq!(carol.read("seals/MP-1.md"), STEPS);
    assert!(!carol.binder.join("seals/new.md").exists());
    assert_eq!(carol.git(&["rev-list", "--count", "HEAD"]), "3\n");
    assert_eq!(carol.git(&["diff", "--stat", &first, "HEAD"]), "");
    carol.is_sound();
    carol.run(&["undo", "--yes"]).ends(0);
    assert_eq!(carol.read("seals/new.md"), "begun\n");
    carol.run(&["undo", "--to", &first[..8]]).ends(0);
    assert_eq!(carol.read("seals/MP-1.md"), STEPS);
    assert_eq!(carol.git(&["rev-list", "--count", "HEAD"]), "5\n");
    carol.is_sound();
    carol.run(&["undo", "--to", "ffffffff"]).ends(2).says("there is no state");
}

#[test]
fn what_was_signed_is_never_taken_back() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    let first = carol.tip();
    carol.sign(&[("ledger/000/000001.record", "record v1\n")], "a record");
    carol.run(&["undo", "--yes"]).ends(2).says("never taken back");
    carol.run(&["undo", "ledger/000/000001.record"]).ends(2).says("never taken back");
    carol.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    carol.run(&["save"]).ends(0);
    carol.run(&["undo", "--to", &first]).ends(0);
    assert_eq!(carol.read("ledger/000/000001.record"), "record v1\n");
    assert_eq!(carol.git(&["cat-file", "blob", "HEAD:ledger/000/000001.record"]), "record v1\n");
    carol.is_sound();
}
