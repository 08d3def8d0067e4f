//! What is issued is believed, and nothing else is issued.

use crate::plant::{Plant, day, key, line, objection, person, role};
use matchmark::base::risk::RiskClass;
use matchmark::trust::approval::Meaning;
use matchmark::trust::digest::Digest;
use matchmark::trust::issue::{self, Hand, Issued, Refusal};
use matchmark::trust::key::SigningKey;
use matchmark::trust::place;
use matchmark::trust::record::{Entry, RootName};
use matchmark::trust::weigh;
use matchmark::trust::word::{Moment, Person};

const PACKETS: [(&str, &str, &str); 1] = [("MP-PA-101", "P-121", "121 by 1")];

fn put(plant: &mut Plant, issued: Issued) -> Digest {
    for (path, bytes) in issued.files {
        plant.shelf.put(path, bytes);
    }
    issued.digest
}

fn hand<'a>(person: &'a Person, key: &'a SigningKey) -> Hand<'a> {
    Hand { person, key, at: Moment::parse("2026-09-30T12:00:00Z").expect("a moment") }
}

#[test]
fn from_a_change_to_its_release_with_nothing_but_what_is_issued() {
    let mut plant = Plant::new();
    let manifest = plant.manifest(RiskClass::Wording, &PACKETS);
    let bytes = manifest.to_bytes().expect("a manifest");
    let digest = Digest::of(&bytes);
    plant.shelf.put(place::manifest(&digest), bytes);
    let say = |plant: &Plant, by: &str, own: &str, as_role: &str, meaning: Meaning| {
        let (by, own) = (person(by), key(own));
        issue::statement(&plant.shelf, &plant.root, &digest, hand(&by, &own), (&role(as_role), meaning))
    };
    let refused = |told: Result<Issued, Refusal>| told.expect_err("refused").to_string();
    assert_eq!(
        refused(say(&plant, "dave", "dave", "approve", Meaning::ApprovedForUse)),
        "`dave` has not the role `approve` in the root in force"
    );
    assert_eq!(
        refused(say(&plant, "alice", "bob", "approve", Meaning::ApprovedForUse)),
        "this key is not one of `alice` in the root in force"
    );
    let prepared = say(&plant, "carol", "carol", "prepare", Meaning::Prepared).expect("issued");
    put(&mut plant, prepared);
    let no = say(&plant, "alice", "alice", "approve", Meaning::Refused(objection("wrong"))).expect("issued");
    put(&mut plant, no);
    let yes = say(&plant, "alice", "alice", "approve", Meaning::ApprovedForUse).expect("issued");
    assert!(yes.files.iter().any(|(path, _)| path.ends_with("/alice.2.approve")), "{:?}", yes.files);

    let release = |plant: &Plant| {
        let said = weigh::said(&plant.shelf, &plant.root, &digest).expect("readable");
        let counted = said.standing(&plant.root, &manifest).counted;
        let ledger = plant.ledger();
        let entry = ledger.release_entry((digest, &manifest), &counted, day("2027-01-01"), None);
        let record = ledger.next_record(entry, &person("dave"), hand(&person("dave"), &key("dave")).at);
        issue::record(&plant.shelf, &ledger, &record.expect("it goes on"), &key("dave"))
    };
    let told = refused(release(&plant));
    assert!(told.starts_with("INVALID E-THRESHOLD ledger/000/000002.record: 0 of 1 people have approved"), "{told}");
    put(&mut plant, yes);
    let record = release(&plant).expect("issued");
    put(&mut plant, record);
    assert_eq!(plant.verdicts(), [""; 0]);
}

#[test]
fn a_new_root_with_nothing_but_what_is_issued() {
    let mut plant = Plant::new();
    let old = plant.root.clone();
    let mut root = old.clone();
    root.number = 2;
    root.previous = plant.ledger().root().map(|rooted| rooted.digest);
    root.plant = line("Southfield creamery");
    let issued = issue::root(&root).expect("issued");
    let digest = put(&mut plant, issued);
    let stranger = issue::root_signature(&root, Some(&old), Some(&person("dave")), &key("dave"));
    assert_eq!(stranger.expect_err("refused"), Refusal::NotYourKey("dave".to_owned()));
    let ledger = plant.ledger();
    let mut record = ledger.next_record(Entry::Root, &person("dave"), plant.now()).expect("it goes on");
    record.root = RootName { number: 2, digest };
    let early = issue::record(&plant.shelf, &ledger, &record, &key("dave")).expect_err("refused").to_string();
    assert!(early.starts_with("INVALID E-ROOT-UNSIGNED trust/2.root: 0 of 2"), "{early}");
    let erin = issue::root_signature(&root, Some(&old), Some(&person("erin")), &key("erin")).expect("issued");
    put(&mut plant, erin);
    let paper = issue::root_signature(&root, Some(&old), None, &key("recovery")).expect("issued");
    put(&mut plant, paper);
    let sealed = issue::record(&plant.shelf, &ledger, &record, &key("dave")).expect("issued");
    put(&mut plant, sealed);
    assert_eq!(plant.verdicts(), [""; 0]);
    assert_eq!(plant.ledger().root().map(|rooted| rooted.root.plant.clone()), Some(line("Southfield creamery")));
}
