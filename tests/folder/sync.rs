//! `sync`: two technicians, two copies, one shared folder.

use crate::clones::{Desk, Plant, ROWS, git};
use std::fs;

/// Both saved; the first one sent. Returns how the second one's `sync` ends.
#[track_caller]
fn after(carol: &Desk, bob: &Desk, more: &[&str]) -> crate::clones::Ran {
    carol.run(&["save"]).ends(0);
    carol.run(&["sync"]).ends(0).says("Sent 1 save.");
    bob.run(&["save"]).ends(0);
    bob.run(&[&["sync"], more].concat())
}

#[test]
fn different_steps_come_together_without_a_question() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    carol.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    bob.edit("seals/MP-1.md", "Fit the casing", "Set the casing on");
    after(&carol, &bob, &[]).says("Brought in 1 save").says("Sent 2 saves.");
    carol.run(&["sync"]).ends(0).says("Brought in");
    for desk in [&carol, &bob] {
        let text = desk.read("seals/MP-1.md");
        assert!(text.contains("Remove all nuts") && text.contains("Set the casing on"), "{text}");
        desk.is_sound();
    }
    assert_eq!(carol.tip(), bob.tip());
    carol.run(&["sync"]).ends(0).says("Nothing new on either side.");
}

#[test]
fn the_same_step_is_shown_and_chosen() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    carol.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    bob.edit("seals/MP-1.md", "Remove the nuts", "Remove the six nuts");
    let ran = after(&carol, &bob, &[]).ends(1);
    let ran = ran
        .says("yours (bob), line 9:\n    2. Remove the six nuts.")
        .says("theirs (carol), line 9:\n    2. Remove all nuts.");
    ran.says("nothing was brought in")
        .says("matchmark sync --keep ours seals/MP-1.md")
        .says("`theirs` instead of `ours`");
    assert!(bob.read("seals/MP-1.md").contains("six"), "nothing was written");
    bob.is_sound();
    bob.run(&["sync", "--keep", "mine", "seals/MP-1.md"]).ends(2);
    bob.run(&["sync", "--keep", "theirs", "seals/MP-1.md"]);
    assert!(bob.read("seals/MP-1.md").contains("2. Remove all nuts."));
    assert!(!bob.read("seals/MP-1.md").contains("six"));
    bob.is_sound();
    carol.run(&["sync"]).ends(0);
    assert_eq!(carol.tip(), bob.tip());
}

/// A value is never mixed, nor are neighbours in a register.
#[test]
fn the_same_value_and_its_neighbours_are_asked_about() {
    for (mine, theirs, is_asked) in [
        (("P-101, place: bay 1, torque: 10", "P-101, place: bay 1, torque: 11"), ("torque: 10", "torque: 12"), true),
        (("P-101, place: bay 1", "P-101, place: bay 9"), ("torque: 10", "torque: 12"), true),
        (("torque: 10", "torque: 11"), ("torque: 12", "torque: 13"), true),
        (("torque: 10", "torque: 11"), ("torque: 44", "torque: 45"), false),
    ] {
        let plant = Plant::new();
        let (carol, bob) = plant.two();
        carol.edit("fleet.yaml", theirs.0, theirs.1);
        bob.edit("fleet.yaml", mine.0, mine.1);
        let ran = after(&carol, &bob, &[]);
        assert_eq!(ran.err.contains("you and carol changed the same"), is_asked, "{mine:?} {theirs:?}\n{}", ran.err);
        if is_asked {
            assert_eq!(bob.read("fleet.yaml"), ROWS.replace(mine.0, mine.1));
            bob.run(&["sync", "--keep", "ours", "fleet.yaml"]);
            assert_eq!(bob.read("fleet.yaml"), ROWS.replace(mine.0, mine.1));
        } else {
            assert_eq!(bob.read("fleet.yaml"), ROWS.replace(mine.0, mine.1).replace(theirs.0, theirs.1));
        }
        bob.is_sound();
    }
}

/// Two lists that are each read well, and cannot be read together, are never written.
#[test]
fn what_can_no_longer_be_read_is_asked_about() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    let text = format!("{ROWS}\n# the rest\n\nplaces:\n  - {{place: bay 1}}\n");
    carol.write("fleet.yaml", &text);
    after(&carol, &bob, &[]);
    bob.run(&["sync"]);
    // One begins `extra` at the top, the other at the end: a key twice.
    carol.write("fleet.yaml", &format!("extra: 1\n\n{text}"));
    bob.write("fleet.yaml", &format!("{text}\nextra: 2\n"));
    after(&carol, &bob, &[]).ends(1).says("together they can no longer be read");
    bob.run(&["sync", "--keep", "ours", "fleet.yaml"]);
    assert!(bob.read("fleet.yaml").ends_with("extra: 2\n"));
    bob.is_sound();
}

#[test]
fn added_twice_deleted_and_changed_and_renamed() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    carol.write("seals/new.md", "hers\n");
    bob.write("seals/new.md", "his\n");
    after(&carol, &bob, &[]).ends(1).says("only one of the two can stand");
    bob.run(&["sync", "--keep", "ours", "seals/new.md"]);
    assert_eq!(bob.read("seals/new.md"), "his\n");
    carol.run(&["sync"]).ends(0);

    fs::remove_file(carol.binder.join("seals/new.md")).unwrap();
    bob.write("seals/new.md", "his, changed\n");
    after(&carol, &bob, &[]).ends(1).says("carol took it away, and bob changed it");
    bob.run(&["sync", "--keep", "ours", "seals/new.md"]);
    assert_eq!(bob.read("seals/new.md"), "his, changed\n");
    carol.run(&["sync"]).ends(0);
    assert_eq!(carol.read("seals/new.md"), "his, changed\n");

    fs::rename(carol.binder.join("seals/MP-1.md"), carol.binder.join("seals/MP-1-seal.md")).unwrap();
    bob.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    after(&carol, &bob, &[]);
    assert!(!bob.binder.join("seals/MP-1.md").exists());
    assert!(bob.read("seals/MP-1-seal.md").contains("Remove all nuts"));
    bob.is_sound();

    // The other way round: who renames brings the other's words in.
    carol.run(&["sync"]).ends(0);
    carol.edit("seals/MP-1-seal.md", "Fit the casing", "Set the casing on");
    fs::rename(bob.binder.join("seals/MP-1-seal.md"), bob.binder.join("seals/MP-2.md")).unwrap();
    after(&carol, &bob, &[]);
    assert!(!bob.binder.join("seals/MP-1-seal.md").exists());
    assert!(bob.read("seals/MP-2.md").contains("Set the casing on"));
    bob.is_sound();
}

#[test]
fn what_is_newly_wrong_of_two_good_saves_is_told() {
    let plant = Plant::new();
    let (carol, bob) = (plant.desk("carol"), plant.desk("bob"));
    carol.creamery();
    carol.run(&["save"]).ends(0);
    carol.run(&["sync", "--with", plant.store().to_str().unwrap()]).ends(0);
    bob.copy_of(&plant.store());
    // She takes a figure away that nobody shows any more; he shows it again in another procedure.
    let text = carol.read("seals/MP-PA-101.md");
    let line = text.lines().find(|line| line.contains("working-length.svg")).expect("it is shown").to_owned();
    carol.write("seals/MP-PA-101.md", &text.replace(&format!("{line}\n\n"), ""));
    fs::remove_file(carol.binder.join("figures/working-length.svg")).unwrap();
    let other = bob.read("plates/MP-PX-210.md");
    let step = other.lines().find(|line| line.starts_with("1. ")).expect("a step").to_owned();
    bob.write("plates/MP-PX-210.md", &other.replace(&step, &format!("{step}\n\n{line}")));
    let ran = after(&carol, &bob, &[]).ends(1);
    ran.says("working-length.svg").says("the two saves together are wrong where each alone was not");
    bob.is_sound();
}

#[test]
fn signatures_from_two_copies_come_together() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    let digest = "a".repeat(64);
    let path = |name: &str| format!("approvals/{digest}/{name}");
    carol.sign(&[(&path("carol.approve"), "c\n"), (&path("carol.approve.sig"), "s\n")], "approved");
    carol.run(&["sync"]).ends(0);
    bob.sign(&[(&path("bob.approve"), "b\n"), (&path("bob.approve.sig"), "s\n")], "approved");
    bob.run(&["sync"]).ends(0).says("Sent 2 saves.");
    carol.run(&["sync"]).ends(0);
    assert_eq!(carol.git(&["ls-tree", "-r", "--name-only", "HEAD", "approvals"]).lines().count(), 4);
    assert_eq!(carol.read(&path("bob.approve")), "b\n");
    carol.is_sound();
}

#[test]
fn a_place_that_was_turned_back_is_told_and_can_be_put_right() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    let old = carol.tip();
    carol.edit("fleet.yaml", "torque: 10", "torque: 11");
    carol.run(&["save"]).ends(0);
    carol.run(&["sync"]).ends(0);
    let new = carol.tip();
    git(&plant.store(), "x", &carol.home, &["update-ref", "refs/heads/main", &old]).ends(0);
    let ran = carol.run(&["sync"]).ends(1).says(&new[..8]).says("by carol").says("Nothing was brought in");
    assert!(!ran.out.contains("Nothing new"));
    // He never saw the new one and cannot know.
    bob.run(&["sync"]).ends(0).says("Nothing new");
    carol.run(&["sync", "--put-back"]).ends(0).says("Sent 1 save.");
    bob.run(&["sync"]).ends(0).says("Brought in 1 save");
    // A place that was emptied, and one that another line was put into.
    git(&plant.store(), "x", &carol.home, &["update-ref", "-d", "refs/heads/main"]).ends(0);
    carol.run(&["sync"]).ends(1).says("is empty");
    carol.write("fleet.yaml", "tags: [ ]\n");
    carol.run(&["save"]).ends(0);
    let line =
        carol.git(&["-c", "user.name=x", "-c", "user.email=x@x", "commit-tree", "-p", &old, "-m", "x", "HEAD^{tree}"]);
    carol.git(&["push", "--quiet", plant.store().to_str().unwrap(), &format!("{}:refs/heads/main", line.trim())]);
    carol.run(&["sync"]).ends(1).says("no longer holds");
    carol.run(&["sync", "--put-back"]).ends(1).says("no longer holds");
}

#[test]
fn what_may_not_be_shared_with_is_refused_by_name() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    for bad in
        ["ext::sh -c id", "http://h/x", "git://h/x", "ssh://-oProxyCommand=x/y", "file://relative", "https://a:b@h/x"]
    {
        carol.run(&["sync", "--with", bad]).ends(2);
    }
    carol.run(&["sync", "--with=-oProxyCommand=x"]).ends(2).says("is no address");
    carol.run(&["sync", "--with", bob.binder.to_str().unwrap()]).ends(3).says("open binder and no shared folder");
    // What a mailed binder names is judged like what is typed.
    carol.git(&["config", "remote.origin.url", "ext::sh -c id"]);
    carol.run(&["sync"]).ends(3).says("is no address");
    let dave = plant.desk("dave");
    dave.small();
    dave.run(&["sync"]).ends(3).says("keeps no history yet");
    dave.run(&["save"]).ends(0);
    dave.run(&["sync"]).ends(2).says("shared with nobody yet");
    dave.run(&["sync", "--with", plant.store().to_str().unwrap()]).ends(3).says("no state in common");
    bob.write("fleet.yaml", "tags: []\n");
    bob.run(&["sync"]).ends(2).says("not saved: fleet.yaml").says("matchmark save");
    dave.run_in(&dave.home, &["sync", bob.binder.to_str().unwrap(), "--copy-of", "/nowhere"])
        .ends(2)
        .says("is not empty");
}
