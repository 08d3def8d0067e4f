//! Who may not, and what is not fit: each attempt is refused with its reason, and nothing is signed.

use crate::plant::Plant;
use std::fs;

/// Asserts that a command of somebody is refused with a code and a reason, and that nothing was added to what is kept.
#[track_caller]
fn refused(plant: &Plant, name: &str, words: &[&str], code: i32, why: &str) {
    let kept = (plant.kept(), plant.git(&["rev-parse", "HEAD"]));
    plant.run(name, words).ends(code).says(why);
    assert_eq!((plant.kept(), plant.git(&["rev-parse", "HEAD"])), kept, "something was signed");
}

#[test]
fn nobody_approves_his_own_change() {
    let plant = Plant::new();
    let list = plant.list(&[]).replace("roles: [prepare]", "roles: [prepare, approve, safety]");
    plant.write("people.yaml", &list);
    plant.types("alice", "people sign").ends(0);
    plant.types("alice", "save").ends(0);
    plant.types("bob", "people enter").ends(0);
    plant.hand_over("First issue");
    let seen = plant.seen("carol", None);
    refused(&plant, "carol", &["approve", "--seen", &seen], 4, "carol made this change, and nobody approves his own");
}

#[test]
fn a_key_of_nobody_and_no_key_sign_nothing() {
    let plant = Plant::handed_over();
    let seen = plant.seen("alice", None);
    let no = "belongs to nobody in the list of people that is in force";
    refused(&plant, "dave", &["approve", "--seen", &seen], 4, no);
    refused(&plant, "dave", &["prepare", "--title", "Mine", "--reason", "mine"], 4, no);
    refused(&plant, "dave", &["release"], 4, no);
    fs::remove_dir_all(plant.home("dave")).unwrap();
    fs::create_dir(plant.home("dave")).unwrap();
    refused(&plant, "dave", &["approve", "--seen", &seen], 2, "matchmark key new ID");
    // A role is not a person: who releases does not prepare, who prepares does not release.
    refused(&plant, "carol", &["release"], 4, "0 of 2 people have approved");
    refused(&plant, "bob", &["prepare", "--title", "Mine", "--reason", "mine"], 4, "prepare");
}

#[test]
fn a_wrong_passphrase_signs_nothing() {
    let plant = Plant::new();
    fs::remove_dir_all(plant.home("alice")).unwrap();
    fs::create_dir(plant.home("alice")).unwrap();
    fs::write(plant.home("alice").join("right"), "three words here\n").unwrap();
    fs::write(plant.home("alice").join("wrong"), "three words there\n").unwrap();
    let file = |name: &str| plant.home("alice").join(name).to_str().unwrap().to_owned();
    plant.run("alice", &["key", "new", "alice", "--passphrase-file", &file("right")]).ends(0);
    plant.write("people.yaml", &plant.list(&[]));
    refused(&plant, "alice", &["people", "sign", "--passphrase-file", &file("wrong")], 3, "passphrase");
    refused(&plant, "alice", &["people", "sign"], 2, "the key is locked, and nobody can be asked");
    assert!(!plant.binder().join("people").exists(), "a list was signed");
    plant.run("alice", &["people", "sign", "--passphrase-file", &file("right")]).ends(0).says("1 of 1 signatures");
}

#[test]
fn too_few_approvals_release_nothing() {
    let plant = Plant::handed_over();
    refused(&plant, "bob", &["release"], 4, "0 of 2 people have approved");
    plant.approve("bob", None);
    refused(&plant, "bob", &["release"], 4, "only alice still can");
    // To have read it approves nothing.
    let seen = plant.seen("alice", None);
    plant.run("alice", &["approve", "--reviewed", "--seen", &seen]).ends(0).says("alice has reviewed");
    refused(&plant, "bob", &["release"], 4, "E-THRESHOLD");
    refused(&plant, "alice", &["approve", "--seen", "0123456789ab"], 4, "is not what stands at the end of this change");
    refused(&plant, "alice", &["approve"], 2, "nobody can be asked, so nothing was signed");
    plant.run("alice", &["approve", "--seen", &seen]).ends(0);
    plant.types("bob", "release").ends(0).says("Released MP-GB-10");
}

/// T01: a text that was edited after its approval is not released with it.
#[test]
fn an_edit_after_the_approval_stops_the_release() {
    let plant = Plant::approved();
    plant.edit("families/GB.yaml", "2.40 L, ", "24.0 L, ");
    plant.types("carol", "save").ends(0);
    refused(&plant, "bob", &["release"], 4, "`families/GB.yaml` changed since the change was prepared");
    plant.types("bob", "release --as-approved").ends(0).says("Released MP-GB-10 revision 1");
    let out = plant.beside("out");
    plant.run("bob", &["build", "--released", "--tag", "G-303", "--out", &out]).ends(0);
    let page = plant.printed("out");
    assert!(page.contains("2.40") && !page.contains("24.0"), "the edit is printed");
}

#[test]
fn a_refusal_stops_the_release_until_it_is_taken_back() {
    let plant = Plant::approved();
    let words = ["refuse", "--reason", "the volume is that of size 2", "--step", "MP-GB-10 9"];
    plant.run("alice", &words).ends(0).says("alice has refused");
    let shown = plant.types("bob", "approve -n").ends(0);
    shown.says("the volume is that of size 2").says("(MP-GB-10 9)");
    refused(&plant, "bob", &["release"], 4, "alice");
    // Somebody else cannot take it back.
    plant.run("bob", &["take-back", "--reason", "it is right"]);
    assert_ne!(plant.types("bob", "release").code, 0, "bob took back what alice said");
    plant.run("alice", &["take-back", "--reason", "it is right after all"]).ends(0);
    plant.approve("alice", None);
    plant.approve("bob", None);
    plant.types("bob", "release").ends(0).says("Released MP-GB-10");
}

#[test]
fn what_is_not_saved_or_not_accepted_is_not_handed_over() {
    let plant = Plant::with_people();
    let words = ["prepare", "--title", "First issue", "--reason", "it is new"];
    plant.edit("families/GB.yaml", "2.40 L, ", "2.60 L, ");
    refused(&plant, "carol", &words, 4, "there are changes that are not saved: families/GB.yaml");
    plant.edit("families/GB.yaml", "2.60 L, ", "2.40 L, ");
    let text = plant.read("gearboxes/MP-GB-10.md");
    plant.edit("gearboxes/MP-GB-10.md", "Wipe it clean.", "Wipe it clean and dry.");
    plant.types("carol", "save").ends(0);
    refused(&plant, "carol", &words, 4, "sentences whose actions nobody has accepted");
    plant.write("gearboxes/MP-GB-10.md", &text);
    plant.edit("families/GB.yaml", "2.40 L, ", "unknown, ");
    plant.types("carol", "save").ends(0);
    refused(&plant, "carol", &words, 4, "the binder has errors where these packets would be made: MP-GB-10 on G-303");
}
