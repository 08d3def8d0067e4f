//! Two at once: releases that race, savers in one folder, senders to one place.

use crate::clones::{Desk, Plant};
use std::thread;

/// A record as the forms have it, in as far as `history` looks at it.
fn release(desk: &Desk, seq: &str, by: &str) {
    let path = format!("ledger/000/{seq}.record");
    let (text, signature) = (format!("record v1 {seq} by {by}\n"), format!("signed by {by}\n"));
    desk.sign(&[(&path, &text), (&format!("{path}.sig"), &signature)], &format!("released {seq}"));
}

/// Exactly one of two releases counts: the one the shared place has. The other one's saves and approvals are kept.
#[test]
fn of_two_releases_the_first_sent_counts_and_the_other_is_told() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    release(&carol, "000001", "carol");
    carol.run(&["sync"]).ends(0);
    bob.run(&["sync"]).ends(0);

    release(&carol, "000002", "carol");
    bob.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    bob.run(&["save", "-m", "before"]).ends(0);
    let approval = format!("approvals/{}/bob.approve", "b".repeat(64));
    bob.sign(&[(&approval, "b\n")], "approved");
    release(&bob, "000002", "bob");
    bob.edit("seals/MP-1.md", "Fit the casing", "Set the casing on");
    bob.run(&["save", "-m", "after"]).ends(0);
    release(&bob, "000003", "bob");
    let lost = bob.tip();

    carol.run(&["sync"]).ends(0).says("000002 counts from now on");
    let ran = bob.run(&["sync"]).ends(1);
    assert!(!ran.out.contains("counts from now on"), "{}", ran.out);
    let ran = ran.says("000002 was released by carol at the same time, and theirs counts; yours is not released");
    let ran = ran.says("000003").says("matchmark release");
    assert!(ran.out.contains("Sent 3 saves."), "{}", ran.out);
    assert_eq!(bob.read("ledger/000/000002.record"), "record v1 000002 by carol\n");
    assert!(!bob.binder.join("ledger/000/000003.record").exists());
    assert_eq!(bob.read(&approval), "b\n");
    let text = bob.read("seals/MP-1.md");
    assert!(text.contains("Remove all nuts") && text.contains("Set the casing on"), "{text}");
    bob.is_sound();
    // The losing record was never sent, and nothing that was sent rests on it.
    let line = bob.git(&["log", "--format=%an|%s", "--reverse", "HEAD~3..HEAD"]);
    assert_eq!(line, "bob|before\nbob|approved\nbob|after\n");
    assert!(!bob.git(&["rev-list", "HEAD"]).contains(&lost));
    let merged_away = bob.git(&["log", "-m", "--diff-filter=MD", "--format=%h", "--", "ledger", "approvals"]);
    assert_eq!(merged_away, "", "what was signed was only added to, over every parent");
    carol.run(&["sync"]).ends(0).says("Brought in 3 saves");
    assert_eq!(carol.tip(), bob.tip());
}

/// One writer's register in two copies cannot be put in order by anybody but the writer.
#[test]
fn a_register_that_was_written_in_two_copies_is_refused() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    carol.sign(&[("register/desk/000001.event", "one\n")], "event");
    carol.run(&["sync"]).ends(0);
    bob.sign(&[("register/desk/000001.event", "other\n")], "event");
    let tip = bob.tip();
    bob.run(&["sync"]).ends(3).says("register/desk/000001.event").says("nothing was brought in");
    assert_eq!(bob.tip(), tip);
}

/// A shared place that changed what is written once is never followed.
#[test]
fn a_place_that_changed_a_record_is_refused() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    release(&carol, "000001", "carol");
    carol.run(&["sync"]).ends(0);
    bob.run(&["sync"]).ends(0);
    release(&carol, "000001", "mallory");
    carol.run(&["sync"]).ends(0);
    bob.edit("fleet.yaml", "torque: 10", "torque: 11");
    bob.run(&["save"]).ends(0);
    let tip = bob.tip();
    bob.run(&["sync"]).ends(3).says("is written once");
    assert_eq!(bob.tip(), tip);
}

/// Four people save 25 times each in one folder: every text that was there when a save was asked for is in the history.
#[test]
fn four_savers_in_one_folder_lose_nothing() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    thread::scope(|scope| {
        for writer in 0..4 {
            let carol = &carol;
            scope.spawn(move || {
                for turn in 0..25 {
                    carol.write(&format!("notes/{writer}.txt"), &format!("writer {writer} turn {turn}\n"));
                    let mut ran = carol.run(&["save", "--as", &format!("w{writer}")]);
                    // Whoever waits too long is told so, and types it again.
                    while ran.code == 3 && ran.err.contains("another matchmark (process ") {
                        ran = carol.run(&["save", "--as", &format!("w{writer}")]);
                    }
                    ran.ends(0);
                }
            });
        }
    });
    let all = carol.git(&["log", "-p", "--format="]);
    for writer in 0..4 {
        for turn in 0..25 {
            assert!(all.contains(&format!("+writer {writer} turn {turn}\n")), "writer {writer} turn {turn}");
        }
    }
    carol.is_sound();
}

/// Four copies send to one place at once: each either is there or says that it is not.
#[test]
fn four_senders_to_one_place_lose_nothing() {
    let plant = Plant::new();
    let (carol, _) = plant.two();
    let desks: Vec<Desk> = ["d1", "d2", "d3", "d4"].iter().map(|name| plant.desk(name)).collect();
    for desk in &desks {
        desk.copy_of(&plant.store());
    }
    thread::scope(|scope| {
        for desk in &desks {
            scope.spawn(move || {
                for turn in 0..4 {
                    desk.write(&format!("notes/{}-{turn}.txt", desk.name), "a note\n");
                    desk.run(&["save"]).ends(0);
                    let mut ran = desk.run(&["sync"]);
                    while ran.err.contains("others save faster") {
                        ran = desk.run(&["sync"]);
                    }
                    assert!(ran.out.contains("Sent"), "{}{}", ran.out, ran.err);
                }
            });
        }
    });
    carol.run(&["sync"]);
    assert_eq!(carol.git(&["ls-tree", "-r", "--name-only", "HEAD", "notes"]).lines().count(), 16);
    carol.is_sound();
}
