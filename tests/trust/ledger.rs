//! What an honest plant does is found good, and what is in force on a day follows from it.

use crate::plant::{Packet, Plant, day, key, line, objection, person, removed, role, short};
use matchmark::base::risk::RiskClass;
use matchmark::trust::approval::Meaning;
use matchmark::trust::chain::Anchor;
use matchmark::trust::digest::Digest;
use matchmark::trust::ledger::{Ledger, Outcome};
use matchmark::trust::manifest::Manifest;
use matchmark::trust::mark::Mark;
use matchmark::trust::place;
use matchmark::trust::policy::{Policy, Separation, Threshold};
use matchmark::trust::record::Entry;
use matchmark::trust::release;
use matchmark::trust::weigh;
use matchmark::trust::word::Seq;

const FIRST: [Packet<'_>; 2] = [("MP-PA-101", "P-121", "121 by 1"), ("MP-PA-101", "P-122", "122 by 1")];
const SECOND: [Packet<'_>; 1] = [("MP-PA-101", "P-121", "121 by 2")];

/// Returns what is in force on a day: machine, revision and content.
fn in_force(plant: &Plant, on: &str) -> Vec<String> {
    let contents = ["121 by 1", "122 by 1", "121 by 2", "121 by 3", "121 for a while"];
    let name = |digest: Digest| {
        contents.into_iter().find(|content| Digest::of(content.as_bytes()) == digest).expect("a known packet")
    };
    let ledger = plant.ledger();
    assert!(ledger.is_whole());
    let rows = ledger.in_force(day(on)).into_iter();
    rows.map(|row| format!("{} {} {} {:?}", row.tag, row.revision, name(row.packet), row.doubts)).collect()
}

#[test]
fn three_honest_releases_are_clean_and_the_last_day_decides() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    plant.change(&SECOND, "2027-02-01");
    plant.seal(Entry::Heartbeat);
    assert_eq!(plant.verdicts(), [""; 0]);
    assert_eq!(plant.ledger().outcome(), Outcome::Clean);
    assert_eq!(in_force(&plant, "2026-12-31"), [""; 0]);
    assert_eq!(in_force(&plant, "2027-01-31"), ["P-121 1 121 by 1 {}", "P-122 1 122 by 1 {}"]);
    assert_eq!(in_force(&plant, "2027-02-01"), ["P-121 2 121 by 2 {}", "P-122 1 122 by 1 {}"]);
    let ledger = plant.ledger();
    let table = ledger.table().text();
    let row = |tag: &str, content: &str, revision: u32| {
        format!("MP-PA-101 {tag} {} {revision}\n", Digest::of(content.as_bytes()))
    };
    assert_eq!(table, row("P-121", "121 by 2", 2) + &row("P-122", "122 by 1", 1));
}

#[test]
fn what_is_withdrawn_leaves_a_hole_and_does_not_bring_back_what_it_replaced() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    let second = plant.change(&SECOND, "2027-02-01");
    plant.withdraw(second, "2027-03-01");
    assert_eq!(plant.verdicts(), [""; 0]);
    assert_eq!(in_force(&plant, "2027-02-28"), ["P-121 2 121 by 2 {}", "P-122 1 122 by 1 {}"]);
    assert_eq!(in_force(&plant, "2027-03-01"), ["P-122 1 122 by 1 {}"]);
    // The next revision counts on from the withdrawn one.
    plant.change(&[("MP-PA-101", "P-121", "121 by 3")], "2027-03-02");
    assert_eq!(plant.verdicts(), [""; 0]);
    assert_eq!(in_force(&plant, "2027-03-02"), ["P-121 3 121 by 3 {}", "P-122 1 122 by 1 {}"]);
}

#[test]
fn a_temporary_change_ends_by_itself() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    let packets = [("MP-PA-101", "P-121", "121 for a while")];
    let manifest = Manifest { until: Some(day("2027-02-10")), ..plant.manifest(RiskClass::Value, &packets) };
    let digest = plant.prepare(&manifest, &packets);
    plant.approve(digest, "alice");
    plant.approve(digest, "bob");
    plant.release(digest, "2027-02-01");
    assert_eq!(plant.verdicts(), [""; 0]);
    assert_eq!(in_force(&plant, "2027-02-10"), ["P-121 2 121 for a while {}", "P-122 1 122 by 1 {}"]);
    assert_eq!(in_force(&plant, "2027-02-11"), ["P-121 1 121 by 1 {}", "P-122 1 122 by 1 {}"]);
}

#[test]
fn a_machine_that_is_taken_out_has_nothing_in_force() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    let manifest =
        Manifest { removed: vec![removed("MP-PA-101", "P-122")], ..plant.manifest(RiskClass::Applicability, &SECOND) };
    let digest = plant.prepare(&manifest, &SECOND);
    plant.approve(digest, "alice");
    plant.approve(digest, "erin");
    plant.release(digest, "2027-02-01");
    assert_eq!(plant.verdicts(), [""; 0]);
    assert_eq!(in_force(&plant, "2027-02-01"), ["P-121 2 121 by 2 {}"]);
}

#[test]
fn the_supervisor_reads_what_is_missing() {
    let mut plant = Plant::new();
    let manifest = plant.manifest(RiskClass::Safety, &FIRST);
    let bytes = manifest.to_bytes().expect("a manifest");
    let digest = Digest::of(&bytes);
    plant.shelf.put(place::manifest(&digest), bytes);
    let missing = |plant: &Plant| -> Vec<String> {
        let said = weigh::said(&plant.shelf, &plant.root, &digest).expect("readable");
        said.standing(&plant.root, &manifest).missing.iter().map(ToString::to_string).collect()
    };
    assert_eq!(
        missing(&plant),
        [
            "`carol`, who made the change, has not signed that he did",
            "0 of 2 people have approved; these can: alice, bob, erin",
            "0 of 1 people have approved in the role `safety`; only alice still can",
        ]
    );
    plant.say(digest, "carol", "prepare", Meaning::Prepared, &key("carol"));
    plant.approve(digest, "bob");
    plant.approve(digest, "carol");
    plant.say(
        digest,
        "erin",
        "approve",
        Meaning::Refused(objection("step 4 opens the line before it is proved")),
        &key("erin"),
    );
    assert_eq!(
        missing(&plant),
        [
            "1 of 2 people have approved; these can: alice, erin",
            "0 of 1 people have approved in the role `safety`; only alice still can",
            "`erin` has refused it (step 4 opens the line before it is proved); he takes it back, or another change is made",
        ]
    );
    plant.say(digest, "alice", "safety", Meaning::ApprovedForUse, &key("alice"));
    plant.say(digest, "erin", "approve", Meaning::Retracted(objection("it is proved in step 3")), &key("erin"));
    assert_eq!(missing(&plant), [""; 0]);
    plant.release(digest, "2027-01-01");
    assert_eq!(plant.verdicts(), [""; 0]);
}

#[test]
fn a_key_counts_by_its_place_in_the_ledger_and_a_new_one_takes_over() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    plant.alice_gets_another_key();
    assert_eq!(plant.verdicts(), [""; 0], "what the old key signed before still counts");
    let manifest = plant.manifest(RiskClass::Value, &SECOND);
    let digest = plant.prepare(&manifest, &SECOND);
    plant.say(digest, "alice", "approve", Meaning::ApprovedForUse, &key("alice again"));
    plant.approve(digest, "bob");
    plant.release(digest, "2027-02-01");
    assert_eq!(plant.verdicts(), [""; 0]);
}

/// Alice lost her key: bob and the key on paper are two, before and after.
#[test]
fn the_recovery_key_stands_for_a_lost_holder() {
    let mut plant = Plant::new();
    let change = |root: &mut matchmark::trust::root::Root| {
        root.persons[0].is_active = false;
        root.keys.retain(|held| held.person.as_str() != "alice");
        root.roles.retain(|granted| granted.person.as_str() != "alice");
        root.policy = Policy::uniform(&Threshold::of(1), 2);
    };
    plant.new_root(change, &["bob", "recovery"]);
    assert_eq!(plant.verdicts(), [""; 0]);
    let ledger = plant.ledger();
    let signed: Vec<&str> = ledger.root().expect("a root").signed_by.iter().map(std::string::String::as_str).collect();
    assert_eq!(signed, ["bob", "recovery"]);
}

#[test]
fn what_a_stolen_key_touched_is_in_doubt_until_it_is_done_again() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    plant.change(&SECOND, "2027-02-01");
    let since = Seq::new(3).expect("a place");
    plant.seal(Entry::Compromised { person: person("alice"), since, reason: line("the laptop was stolen") });
    assert_eq!(plant.verdicts(), ["DANGER E-SUSPECT ledger/000/000003.record"]);
    assert_eq!(in_force(&plant, "2027-02-01"), ["P-121 2 121 by 2 {Suspect}", "P-122 1 122 by 1 {}"]);
    plant.alice_gets_another_key();
    let packets = [("MP-PA-101", "P-121", "121 by 3")];
    let manifest = plant.manifest(RiskClass::Value, &packets);
    let digest = plant.prepare(&manifest, &packets);
    plant.say(digest, "alice", "approve", Meaning::ApprovedForUse, &key("alice again"));
    plant.approve(digest, "bob");
    plant.release(digest, "2027-03-01");
    // Nobody works from the doubtful release any more; the new key is in no doubt.
    assert_eq!(plant.verdicts(), ["INVALID E-SUSPECT ledger/000/000003.record"]);
    assert_eq!(in_force(&plant, "2027-03-01"), ["P-121 3 121 by 3 {}", "P-122 1 122 by 1 {}"]);
}

#[test]
fn an_audit_begins_with_what_was_believed_and_how_old_it_is() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    let now = |text| matchmark::trust::word::Moment::parse(text).expect("a moment");
    let ledger = plant.ledger();
    let (root, last) = (Digest::of(&plant.bytes("trust/1.root")), ledger.sealed()[1].record.signed_at);
    assert_eq!(
        ledger.headline(now("2026-10-01T12:00:00Z")),
        format!("trust: genesis {root} (TOFU), root v1, ledger 000002, as of {last}, 9 days old")
    );
    assert_eq!(last, now("2026-09-21T19:13:20Z"));
    assert!(ledger.signed_ahead(now("2026-10-01T12:00:00Z")).is_empty());
    let ahead: Vec<String> = ledger.signed_ahead(now("2026-09-21T19:00:00Z")).iter().map(short).collect();
    assert_eq!(ahead, ["WARN W-CLOCK ledger/000/000002.record"], "thirteen minutes; ten are forgiven");
    let nothing = Ledger::read(&matchmark::trust::store::Shelf::default(), Anchor::FirstUse);
    assert_eq!(nothing.headline(last), "trust: no ledger could be followed");
}

#[test]
fn a_rehearsal_says_what_sealing_would_and_changes_nothing() {
    let mut plant = Plant::new();
    let manifest = plant.manifest(RiskClass::Value, &FIRST);
    let digest = plant.prepare(&manifest, &FIRST);
    plant.approve(digest, "alice");
    let record = plant.release_record(digest, "2027-01-01");
    let ledger = plant.ledger();
    let told: Vec<String> = ledger.rehearse(&plant.shelf, &record).expect("readable").iter().map(short).collect();
    assert_eq!(told, ["INVALID E-THRESHOLD ledger/000/000002.record"]);
    assert_eq!(plant.verdicts(), [""; 0]);
    plant.approve(digest, "bob");
    let record = plant.release_record(digest, "2027-01-01");
    assert_eq!(ledger.rehearse(&plant.shelf, &record).expect("readable"), []);
}

#[test]
fn a_ledger_read_in_parts_is_the_ledger_read_at_once() {
    let mut plant = Plant::new();
    plant.change(&FIRST, "2027-01-01");
    let mut ledger = plant.ledger();
    let mark = Mark::of(&ledger).expect("a mark");
    plant.change(&SECOND, "2027-02-01");
    ledger.advance(&plant.shelf);
    assert_eq!(ledger.sealed(), plant.ledger().sealed());
    assert_eq!(ledger.table(), plant.ledger().table());
    assert_eq!(mark.compare(&ledger), None);
    assert_eq!(Mark::parse(&mark.to_bytes()).as_ref(), Ok(&mark));
}

#[test]
fn the_first_root_is_believed_or_held_against_paper() {
    let plant = Plant::new();
    let digest = Digest::of(&plant.bytes("trust/1.root"));
    assert!(Ledger::read(&plant.shelf, Anchor::Pinned(digest)).verdicts().is_empty());
    let other = Ledger::read(&plant.shelf, Anchor::Pinned(Digest::of(b"")));
    assert_eq!(other.verdicts().iter().map(short).collect::<Vec<_>>(), ["DANGER E-ANCHOR trust/1.root"]);
    assert!(!other.is_whole());
}

#[test]
fn what_is_kept_apart_is_kept_apart() {
    let mut plant = Plant::new();
    plant.new_root(
        |root| {
            root.roles.push(matchmark::trust::root::Granted { person: person("bob"), role: role("release") });
            root.roles.sort();
            root.policy = root.policy.clone().apart(Separation::ApproverReleaser);
        },
        &["alice", "bob"],
    );
    let manifest = plant.manifest(RiskClass::Value, &FIRST);
    let digest = plant.prepare(&manifest, &FIRST);
    plant.approve(digest, "alice");
    plant.approve(digest, "bob");
    let mut record = plant.release_record(digest, "2027-01-01");
    record.person = person("bob");
    plant.put_record(&record, &key("bob"));
    assert_eq!(plant.verdicts(), ["INVALID E-SEPARATION ledger/000/000003.record"]);
}

#[test]
fn sources_and_packets_are_held_against_the_manifest() {
    let mut plant = Plant::new();
    let manifest = plant.manifest(RiskClass::Value, &FIRST);
    plant.prepare(&manifest, &FIRST);
    assert_eq!(release::packets(&plant.shelf, &manifest), []);
    let path = place::packet(&Digest::of(b"122 by 1"));
    plant.shelf.change(&path, "122 by hand");
    let told = |verdicts: Vec<matchmark::trust::verdict::Verdict>| verdicts.iter().map(short).collect::<Vec<_>>();
    assert_eq!(told(release::packets(&plant.shelf, &manifest)), [format!("INVALID E-DIGEST {path}")]);
    plant.shelf.take(&path);
    assert_eq!(told(release::packets(&plant.shelf, &manifest)), [format!("INCOMPLETE E-MISSING {path}")]);
    assert_eq!(release::sources(&manifest, |_| Some(Digest::of(b"the words"))), []);
    let found = release::sources(&manifest, |_| Some(Digest::of(b"other words")));
    assert_eq!(told(found.clone()), ["INVALID E-DIGEST seals/MP-PA-101.md"]);
    assert_eq!((found[0].expected, found[0].found), (Some(Digest::of(b"the words")), Some(Digest::of(b"other words"))));
}
