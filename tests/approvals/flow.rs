//! The whole way, from an empty folder to a packet on paper, and what comes after it: another change, a temporary one, another list.

use crate::plant::Plant;

/// Three people bring the first issue into force; each is told what is missing and what comes next.
#[test]
fn three_people_release_the_first_issue() {
    let plant = Plant::with_people();
    plant.types("carol", "people show").ends(0).says("Carol Vance").says("approved by 2, 1 of them as safety");
    plant.types("carol", "check").ends(0).says("nothing found; 3 of 3 packets can be built");
    let change = plant.hand_over("First issue");
    plant.types("bob", "waiting").ends(0).says("made by carol; waits").says("0 of 2 people have approved");
    let seen = plant.seen("alice", None);
    assert!(seen.starts_with(&change), "{seen} {change}");
    let alice = plant.run("alice", &["approve", "--seen", &seen]).ends(0);
    alice.says("alice has approved").says("It still needs: 1 of 2 people have approved; only bob still can");
    plant.run("bob", &["approve", "--seen", &seen]).ends(0).says("Nothing is missing.");
    plant.types("bob", "release").ends(0).says("Released MP-GB-10 revision 1 as 000002").says("3 packets");
    let row = "MP-GB-10  G-303    1         yes";
    plant.types("carol", "in-force").ends(0).says(row).says("Alice Brandt, Bob Okoro");
    plant.types("carol", "audit").ends(0).says("ledger 000002").says("nothing was found");
    plant.types("carol", "waiting").ends(0).says("0 changes waiting");
    assert_eq!(plant.git(&["status", "--porcelain"]), "");
}

/// What is printed as released is what the ledger names; the open folder may say otherwise, and then only a draft does.
#[test]
fn released_is_printed_from_the_ledger_and_a_draft_from_the_open_folder() {
    let plant = Plant::released();
    plant.edit("families/GB.yaml", "2.40 L, ", "2.60 L, ");
    let (released, draft) = (plant.beside("released"), plant.beside("draft"));
    plant.run("bob", &["build", "--released", "--tag", "G-303", "--out", &released]).ends(0);
    plant.run("bob", &["build", "--tag", "G-303", "--out", &draft]).ends(0);
    let (released, draft) = (plant.printed("released"), plant.printed("draft"));
    assert!(
        released.contains("2.40") && !released.contains("2.60"),
        "the released packet says what the open folder says"
    );
    assert!(draft.contains("2.60") && !draft.contains("2.40"), "the draft says something else than the open folder");
    let mark = "class=\"mark\"";
    assert!(draft.contains(mark) && !released.contains(mark), "a draft and a release look the same");
    assert!(
        released.contains("Alice Brandt") && !draft.contains("Alice Brandt"),
        "who approved stands on a release alone"
    );
}

/// A release that was done is said to be done, by its letters and by its document; nothing is added to the ledger.
#[test]
fn a_release_typed_again_does_nothing() {
    let plant = Plant::released();
    let kept = plant.kept();
    plant.types("bob", "release MP-GB-10").ends(0).says("is released already, as 000002").says("nothing was signed");
    assert_eq!(plant.kept(), kept);
    plant.types("bob", "release").ends(2).says("no change is waiting");
    plant.types("alice", "approve MP-GB-10 --seen 000000000000").ends(4).says("it is released already, as 000002");
}

/// A release that was signed while the shared place could not be reached is sent when it is typed again.
#[test]
fn a_release_that_was_not_sent_is_sent_when_it_is_typed_again() {
    let plant = Plant::approved();
    plant.share();
    let (store, away) = (plant.store(), plant.store().with_extension("away"));
    std::fs::rename(&store, &away).unwrap();
    let ran = plant.types("bob", "release MP-GB-10");
    assert_ne!(ran.code, 0, "{}", ran.all());
    ran.says("NOT in force yet").never_says("Released MP-GB-10");
    std::fs::rename(&away, &store).unwrap();
    plant.types("bob", "release MP-GB-10").ends(0).says("is released already, as 000002");
    let sent = plant.git_in(&store, &["ls-tree", "-r", "--name-only", "main"]).ends(0);
    sent.says("ledger/000/000002.record").says("ledger/000/000002.record.sig");
}

/// Handed over twice with the same words and the same texts it is one change.
#[test]
fn a_change_typed_again_is_handed_over_once() {
    let plant = Plant::handed_over();
    let again = plant.run("carol", &["prepare", "--title", "First issue", "--reason", "it is time"]);
    again.ends(0).says("it is handed over already").never_says("Handed over as");
    plant.types("bob", "waiting").ends(0).says("1 change waiting");
    // Another reason is another change.
    plant.run("carol", &["prepare", "--title", "First issue", "--reason", "another"]).ends(0).says("Handed over as");
    plant.types("bob", "waiting").ends(0).says("2 changes waiting");
}

/// Who approves in a role that is wanted and types it again does not lose that role.
#[test]
fn an_approval_typed_again_stays_in_its_role() {
    let plant = Plant::handed_over();
    plant.approve("alice", None);
    let seen = plant.seen("alice", None);
    let again = plant.run("alice", &["approve", "--seen", &seen]).ends(0);
    again.says("already; nothing was signed").never_says("alice has approved 0");
    plant.approve("bob", None);
    plant.types("bob", "release").ends(0).says("Released MP-GB-10");
}

/// Of two changes of one document the one that is released second is out of date, however many approved it.
#[test]
fn the_second_of_two_changes_is_overtaken() {
    let plant = Plant::released();
    let first = plant.another_volume("2.40", "2.60");
    let second = plant.another_volume("2.60", "2.80");
    plant.approve("alice", Some(&first));
    plant.approve("alice", Some(&second));
    plant.run("bob", &["release", &second]).ends(0).says("Released MP-GB-10 revision 2 as 000003");
    plant.run("bob", &["release", &first]).ends(4).says("another change of the same document was released first");
    plant.run("bob", &["approve", &first, "--seen", "000000000000"]).ends(4).says("out of date");
    plant.types("bob", "waiting --all").ends(0).says("overtaken by another change").says("0 changes waiting");
}

/// A temporary change runs out on its day, and what was in force before is in force again, in the list and on paper.
#[test]
fn a_temporary_change_runs_out() {
    let plant = Plant::released();
    plant.edit("families/GB.yaml", "2.40 L, ", "2.60 L, ");
    plant.types("carol", "save").ends(0);
    let asked = ["prepare", "--title", "Thin oil", "--reason", "until the new oil is here", "--until", "2901-06-30"];
    plant.run("carol", &asked).ends(0);
    plant.approve("alice", None);
    plant.types("bob", "release").ends(0).says("Released MP-GB-10 revision 2 as 000003");
    let on = |day: &str| plant.types("bob", &format!("in-force --tag G-303 --at {day}")).ends(0);
    on("2901-06-30").says("MP-GB-10  G-303    2").says("2901-06-30");
    on("2901-07-01").says("MP-GB-10  G-303    1").never_says("2901-06-30");
    let out = plant.beside("after");
    plant.run("bob", &["build", "--released", "--on", "2901-07-01", "--tag", "G-303", "--out", &out]).ends(0);
    let page = plant.printed("after");
    assert!(page.contains("2.40") && !page.contains("2.60"), "what ran out is printed");
    // The same made permanent is another card: the one that hangs says that it runs out.
    plant.hand_over("Thin oil for good");
    plant.approve("alice", None);
    plant.types("bob", "release").ends(0).says("Released MP-GB-10 revision 3 as 000004");
    let out = plant.beside("for-good");
    plant.run("bob", &["build", "--released", "--tag", "G-303", "--out", &out]).ends(0);
    let page = plant.printed("for-good");
    assert!(page.contains(", revision 3</dd>") && !page.contains("TEMPORARY CHANGE"), "{page}");
    assert!(page.contains("Compared with revision <b>1</b>"), "the temporary one is taken for the revision before");
}

/// A card lists every machine that shares it, whichever was asked for.
#[test]
fn a_card_lists_every_machine_that_shares_it() {
    let plant = Plant::released();
    let fleet = plant.read("fleet.yaml");
    let own = fleet.find("  - tag: G-301").expect("a machine");
    let twin = fleet[own..fleet.find("  - tag: G-302").expect("another")].replace("301", "304");
    plant.write("fleet.yaml", &format!("{fleet}\n{twin}"));
    plant.types("carol", "save").ends(0);
    plant.hand_over("A fourth belt");
    plant.approve("alice", None);
    plant.types("bob", "release").ends(0);
    let out = plant.beside("out");
    plant.run("bob", &["build", "--released", "--tag", "G-304", "--out", &out]).ends(0);
    let manifest = std::fs::read_to_string(std::path::Path::new(&out).join("manifest.json")).expect("readable");
    let one_line: String = manifest.split_whitespace().collect();
    assert!(one_line.contains(r#""tags":["G-301","G-304"]"#), "{manifest}");
    assert!(!one_line.contains("packets/MP-GB-10/G-301"), "only what was asked for is printed");
}

/// What was withdrawn and is released again hangs as a new card: the one with the old revision came down.
#[test]
fn what_comes_back_bears_the_revision_with_which_it_came_back() {
    let plant = Plant::released();
    plant.run("bob", &["withdraw", "MP-GB-10", "--reason", "the wrong oil"]).ends(0);
    plant.hand_over("It was the right oil");
    plant.run("alice", &["approve", "-n"]).ends(0).says("was withdrawn as 000003 (the wrong oil)");
    plant.approve("alice", None);
    plant.approve("bob", None);
    plant.types("bob", "release").ends(0).says("revision 2 as 000004");
    let out = plant.beside("out");
    plant.run("bob", &["build", "--released", "--tag", "G-303", "--out", &out]).ends(0);
    assert!(plant.printed("out").contains(", revision 2</dd>"));
}

/// What is withdrawn is in force no more, and nothing older comes back.
#[test]
fn what_is_withdrawn_leaves_nothing_in_its_place() {
    let plant = Plant::released();
    let change = plant.another_volume("2.40", "2.60");
    plant.approve("alice", Some(&change));
    plant.types("bob", "release").ends(0).says("revision 2 as 000003");
    let kept = plant.kept();
    plant
        .run("bob", &["withdraw", "MP-GB-10", "--reason", "a wrong volume", "-n"])
        .ends(0)
        .says("nothing was withdrawn");
    assert_eq!(plant.kept(), kept);
    let ran = plant.run("bob", &["withdraw", "MP-GB-10", "--reason", "a wrong volume"]).ends(0);
    ran.says("Withdrawn as 000004").says("Take down what was printed of it");
    plant.types("bob", "in-force").ends(0).says("G-301").says("G-302").never_says("G-303");
    // Nor is another machine's packet offered for it.
    let out = plant.beside("out");
    let ran = plant.run("bob", &["build", "--released", "--tag", "G-303", "--out", &out]).ends(2);
    ran.says("nothing is in force for `G-303`").never_says("did you mean");
    let kept = plant.kept();
    let ran = plant.run("bob", &["withdraw", "MP-GB-10", "--reason", "a wrong volume"]).ends(0);
    ran.says("is withdrawn already, as 000004");
    assert_eq!(plant.kept(), kept);
    plant.run("carol", &["withdraw", "2", "--reason", "a wrong volume"]).ends(4);
    plant.types("bob", "audit").ends(0);
}

/// A person whose key is taken out of the list keeps what he approved, and signs nothing new.
#[test]
fn a_removed_key_keeps_what_it_signed_and_signs_nothing_new() {
    let plant = Plant::released();
    let list = plant.list(&["alice"]).replace("safety: {people: 2, of-which: {safety: 1}}", "safety: 1");
    plant.write("people.yaml", &list);
    // Who leaves may still sign the list that lets him go; bob does it here.
    plant.types("bob", "people sign").ends(0);
    plant.types("bob", "save").ends(0);
    plant.types("bob", "people enter").ends(0).says("List 2 of people is in force.");
    plant.types("bob", "people enter").ends(0).says("List 2 of people is in force already");
    plant.types("bob", "audit").ends(0).says("root v2, ledger 000003").says("nothing was found");
    plant.types("bob", "in-force").ends(0).says("3 of 3 packets").says("Alice Brandt, Bob Okoro");
    let change = plant.another_volume("2.40", "2.60");
    let seen = plant.seen("bob", Some(&change));
    let kept = plant.kept();
    let no = "belongs to nobody in the list of people that is in force";
    plant.run("alice", &["approve", "--seen", &seen]).ends(4).says(no);
    plant.run("alice", &["refuse", "--reason", "no"]).ends(4).says(no);
    assert_eq!(plant.kept(), kept);
    plant.run("bob", &["approve", "--seen", &seen]).ends(0);
    plant.types("bob", "release").ends(0).says("revision 2 as 000004");
}

/// What a stolen key signed is in doubt: it is told, it is not printed, and what does not rest on it is.
#[test]
fn what_a_stolen_key_signed_is_withheld() {
    let plant = Plant::released();
    plant.run("bob", &["people", "stolen", "alice", "--since", "2", "--reason", "the laptop is gone"]).ends(0);
    plant.types("carol", "audit").ends(1).says("DANGER E-SUSPECT").says("on G-301").says("by alice");
    plant.types("carol", "in-force").ends(1).says("NO: E-SUSPECT").says("0 of 3 packets");
    let out = plant.beside("out");
    let ran = plant.run("carol", &["build", "--released", "--tag", "G-303", "--out", &out]).ends(4);
    ran.says("withheld: MP-GB-10 for G-303").says("E-SUSPECT");
}

/// A signed file that a killed command wrote half of is put back by the next one; what is kept was whole all the time.
#[test]
fn a_signed_file_that_was_cut_off_in_the_open_folder_is_put_back() {
    let plant = Plant::handed_over();
    plant.approve("bob", None);
    let path = plant.kept().into_iter().find(|path| path.ends_with("/bob.approve")).unwrap();
    let whole = plant.read(&path);
    plant.write(&path, &whole[..40]);
    plant.approve("alice", None);
    assert_eq!(plant.read(&path), whole);
    assert_eq!(plant.git(&["status", "--porcelain"]), "");
    // What is no beginning of it was written by somebody, and is told instead.
    plant.write(&path, &format!("x{whole}"));
    plant.types("bob", "audit").says("W-OPEN-FOLDER");
}

/// A lock that a killed command left in the shared place is named; it is nobody who saved at the same time.
#[test]
fn a_lock_left_in_the_shared_place_is_named() {
    let plant = Plant::approved();
    plant.share();
    let lock = plant.store().join("refs/heads/main.lock");
    std::fs::write(&lock, "").unwrap();
    let ran = plant.types("bob", "release MP-GB-10").ends(3).says("NOT in force yet").says("refs/heads/main.lock");
    ran.says("is in the way").never_says("somebody saved");
    std::fs::remove_file(&lock).unwrap();
    plant.types("bob", "release MP-GB-10").ends(0).says("is released already, as 000002");
}
