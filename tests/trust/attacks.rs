//! Attacks on approvals, roots and the ledger, one test each: the verifier names each by its code.

use crate::plant::{Packet, Plant, day, key, line, objection, person, role, short};
use matchmark::base::risk::RiskClass;
use matchmark::trust::approval::{Approval, Meaning};
use matchmark::trust::chain::Anchor;
use matchmark::trust::digest::Digest;
use matchmark::trust::ledger::{Ledger, Outcome};
use matchmark::trust::manifest::Manifest;
use matchmark::trust::mark::Mark;
use matchmark::trust::place::{self, Side};
use matchmark::trust::record::{Entry, Record};
use matchmark::trust::root::{Granted, Held, Member, Root};
use matchmark::trust::roster;
use matchmark::trust::signature::{self, Namespace, SignatureFault};
use matchmark::trust::verdict::{Code, Verdict};
use matchmark::trust::word::{Moment, Seq};

const PACKETS: [Packet<'_>; 2] = [("MP-PA-101", "P-121", "121 by 1"), ("MP-PA-101", "P-122", "122 by 1")];
const NEXT: [Packet<'_>; 1] = [("MP-PA-101", "P-121", "121 by 2")];
const SECOND: &str = "ledger/000/000002.record";

/// Returns a plant with a prepared change of values that alice approved.
fn approved_by_alice() -> (Plant, Digest) {
    let mut plant = Plant::new();
    let manifest = plant.manifest(RiskClass::Value, &PACKETS);
    let digest = plant.prepare(&manifest, &PACKETS);
    plant.approve(digest, "alice");
    (plant, digest)
}

/// Returns the record that releases a manifest on these statements, whatever they are worth.
fn record_on(plant: &mut Plant, manifest: Digest, statements: &[(&str, Digest)]) -> Record {
    let mut record = plant.release_record(manifest, "2027-01-01");
    if let Entry::Release(release) = &mut record.entry {
        release.approvals = statements
            .iter()
            .map(|(by, digest)| matchmark::trust::record::Named { person: person(by), digest: *digest })
            .collect();
        release.approvals.sort();
    }
    record
}

fn seal_on(plant: &mut Plant, manifest: Digest, statements: &[(&str, Digest)]) {
    let record = record_on(plant, manifest, statements);
    plant.put_record(&record, &key("dave"));
}

/// Returns the only verdict of a code.
#[track_caller]
fn only(plant: &Plant, code: Code) -> Verdict {
    let verdicts = plant.ledger().verdicts();
    let mut of_code = verdicts.iter().filter(|verdict| verdict.code == code);
    let found = of_code.next().unwrap_or_else(|| panic!("{code} is among {verdicts:#?}"));
    assert!(of_code.next().is_none(), "{verdicts:#?}");
    found.clone()
}

#[test]
fn t01_what_was_edited_after_its_approval_is_not_what_was_approved() {
    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    let path = place::manifest(&digest);
    let edited = String::from_utf8(plant.bytes(&path)).expect("UTF-8").replace("a change", "another");
    plant.shelf.change(&path, edited.clone());
    assert_eq!(plant.verdicts(), [format!("INVALID E-DIGEST {path}")]);
    let verdict = only(&plant, Code::Digest);
    assert_eq!((verdict.expected, verdict.found), (Some(digest), Some(Digest::of(edited.as_bytes()))));
    assert!(!plant.ledger().is_whole(), "nobody knows what is in force");
}

#[test]
fn t01_an_approval_that_was_edited_after_the_release() {
    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    let path = place::statement(&digest, Side::Approve, &person("alice"), 1);
    let edited = String::from_utf8(plant.bytes(&path)).expect("UTF-8").replace("approve\n", "safety\n");
    plant.shelf.change(&path, edited);
    assert_eq!(only(&plant, Code::Digest).object, path);
    assert_eq!(only(&plant, Code::Threshold).object, SECOND);
}

#[test]
fn t02_an_approval_copied_to_another_manifest() {
    let (mut plant, first) = approved_by_alice();
    let other = Manifest { title: line("another change"), ..plant.manifest(RiskClass::Value, &PACKETS) };
    let second = plant.prepare(&other, &PACKETS);
    let bob = plant.approve(second, "bob");
    let from = place::statement(&first, Side::Approve, &person("alice"), 1);
    let to = place::statement(&second, Side::Approve, &person("alice"), 1);
    let (bytes, armour) = (plant.bytes(&from), plant.bytes(&place::signature(&from)));
    plant.shelf.put(to.clone(), bytes.clone());
    plant.shelf.put(place::signature(&to), armour);
    seal_on(&mut plant, second, &[("alice", Digest::of(&bytes)), ("bob", bob)]);
    let verdict = only(&plant, Code::ApprovalTransfer);
    assert_eq!(verdict.object, to);
    assert_eq!(verdict.told, format!("the approval of `alice` is for {}, not {}", first.short(), second.short()));
    assert_eq!((verdict.expected, verdict.found), (Some(second), Some(first)));
    only(&plant, Code::Threshold);
}

#[test]
fn t02_a_statement_put_under_another_name() {
    let (mut plant, digest) = approved_by_alice();
    let from = place::statement(&digest, Side::Approve, &person("alice"), 1);
    let to = place::statement(&digest, Side::Approve, &person("bob"), 1);
    let (bytes, armour) = (plant.bytes(&from), plant.bytes(&place::signature(&from)));
    plant.shelf.put(to.clone(), bytes.clone());
    plant.shelf.put(place::signature(&to), armour);
    seal_on(&mut plant, digest, &[("alice", Digest::of(&bytes)), ("bob", Digest::of(&bytes))]);
    let told: Vec<String> = plant.verdicts();
    assert!(told.iter().any(|told| told.contains("E-APPROVAL-TRANSFER")), "{told:?}");
    only(&plant, Code::Threshold);
}

#[test]
fn t04_one_person_with_two_keys_is_one_person() {
    let mut plant = Plant::new();
    plant.new_root(
        |root| {
            root.keys.push(Held { person: person("alice"), key: key("alice at home").public() });
            root.keys.sort();
        },
        &["alice", "bob"],
    );
    let manifest = plant.manifest(RiskClass::Value, &PACKETS);
    let digest = plant.prepare(&manifest, &PACKETS);
    let one = plant.approve(digest, "alice");
    let two = plant.say(digest, "alice", "safety", Meaning::ApprovedForUse, &key("alice at home"));
    seal_on(&mut plant, digest, &[("alice", one), ("alice", two)]);
    assert_eq!(plant.verdicts(), ["INVALID E-THRESHOLD ledger/000/000003.record"]);
    let told = only(&plant, Code::Threshold).told;
    assert!(told.starts_with("1 of 2 people have approved; "), "{told}");
}

#[test]
fn t05_who_made_the_change_approves_it() {
    let (mut plant, digest) = approved_by_alice();
    let alice = Digest::of(&plant.bytes(&place::statement(&digest, Side::Approve, &person("alice"), 1)));
    let own = plant.approve(digest, "carol");
    seal_on(&mut plant, digest, &[("alice", alice), ("carol", own)]);
    only(&plant, Code::SelfApproval);
    only(&plant, Code::Threshold);
}

/// Carol makes a change, says that frank made it, and approves: frank never signed that he did.
#[test]
fn t05_who_made_the_change_says_that_another_did() {
    let mut plant = Plant::new();
    let manifest = Manifest { prepared_by: person("frank"), ..plant.manifest(RiskClass::Wording, &PACKETS) };
    let bytes = manifest.to_bytes().expect("a manifest");
    let digest = Digest::of(&bytes);
    plant.shelf.put(place::manifest(&digest), bytes);
    plant.say(digest, "frank", "prepare", Meaning::Prepared, &key("carol"));
    plant.approve(digest, "carol");
    plant.release(digest, "2027-01-01");
    assert_eq!(plant.verdicts(), [format!("INVALID E-UNPREPARED approvals/{digest}/frank.prepare")]);
}

#[test]
fn t07_a_root_with_an_own_key_and_no_signature() {
    let mut plant = Plant::new();
    let add = |root: &mut Root| {
        root.persons.push(Member { person: person("mallory"), is_active: true, name: line("Mallory Quist") });
        root.keys.push(Held { person: person("mallory"), key: key("mallory").public() });
        root.roles.push(Granted { person: person("mallory"), role: role("release") });
    };
    plant.new_root(add, &[]);
    assert_eq!(plant.verdicts(), ["INVALID E-ROOT-UNSIGNED trust/2.root", "INVALID E-ROOT-UNSIGNED trust/2.root"]);
    let told: Vec<String> = plant.ledger().verdicts().into_iter().map(|verdict| verdict.told).collect();
    assert_eq!(told[0], "0 of 2 holders under root 1 have signed it");
    assert_eq!(plant.ledger().sealed().len(), 1, "nothing after it is believed");
}

#[test]
fn t07_a_release_by_a_key_of_no_root() {
    let (mut plant, digest) = approved_by_alice();
    plant.approve(digest, "bob");
    let record = plant.release_record(digest, "2027-01-01");
    plant.put_record(&record, &key("mallory"));
    assert_eq!(plant.verdicts(), [format!("INVALID E-KEY-NOT-IN-FORCE {SECOND}")]);
    let record = Record { person: person("alice"), ..record };
    plant.put_record(&record, &key("alice"));
    assert_eq!(plant.verdicts(), [format!("INVALID E-ROLE {SECOND}")]);
}

#[test]
fn t08_a_root_signed_by_one_old_holder_and_one_new() {
    let mut plant = Plant::new();
    let add = |root: &mut Root| {
        root.persons.push(Member { person: person("mallory"), is_active: true, name: line("Mallory Quist") });
        root.keys.push(Held { person: person("mallory"), key: key("mallory").public() });
        root.roles.push(Granted { person: person("mallory"), role: role("root") });
    };
    plant.new_root(add, &["alice", "mallory"]);
    assert_eq!(plant.verdicts(), ["INVALID E-ROOT-THRESHOLD trust/2.root"]);
    assert_eq!(only(&plant, Code::RootThreshold).told, "1 of 2 holders under root 1 have signed it");
}

#[test]
fn t08_one_holder_signs_twice_under_two_names() {
    let mut plant = Plant::new();
    plant.new_root(|root| root.plant = line("Southfield creamery"), &["alice"]);
    plant.sign_root(2, "bob", &key("alice"));
    plant.sign_root(2, "recovery", &key("alice"));
    let ledger = plant.ledger().verdicts().into_iter();
    let told: Vec<String> = ledger.filter(|verdict| verdict.code == Code::RootThreshold).map(|own| own.told).collect();
    assert_eq!(told, ["1 of 2 holders under root 1 have signed it", "1 of 2 holders under root 2 have signed it"]);
}

#[test]
fn t08_a_root_that_skips_a_number_or_follows_another() {
    let mut plant = Plant::new();
    plant.new_root(|root| root.previous = Some(Digest::of(b"another")), &["alice", "bob"]);
    let verdict = only(&plant, Code::RootChain);
    assert_eq!(verdict.found, Some(Digest::of(b"another")));
    let mut plant = Plant::new();
    plant.new_root(|root| root.number = 3, &["alice", "bob"]);
    assert_eq!(plant.verdicts(), ["INCOMPLETE E-MISSING trust/2.root"]);
}

#[test]
fn t08_a_record_that_names_an_older_root() {
    let mut plant = Plant::new();
    let old = plant.ledger().root().expect("a root").name();
    plant.new_root(|root| root.plant = line("Southfield creamery"), &["alice", "bob"]);
    let record = plant.ledger().next_record(Entry::Heartbeat, &person("dave"), plant.now()).expect("it goes on");
    plant.put_record(&Record { root: old, ..record }, &key("dave"));
    assert_eq!(plant.verdicts(), ["INVALID E-ROOT-CHAIN ledger/000/000003.record"]);
}

#[test]
fn t08_an_id_or_a_key_that_was_somebody_elses() {
    let taken = |change: &dyn Fn(&mut Root)| {
        let mut plant = Plant::new();
        plant.new_root(change, &["alice", "bob"]);
        only(&plant, Code::RosterForm).told
    };
    let without_frank = |root: &mut Root| {
        root.persons.retain(|member| member.person.as_str() != "frank");
        root.keys.retain(|held| held.person.as_str() != "frank");
        root.roles.retain(|granted| granted.person.as_str() != "frank");
    };
    assert_eq!(taken(&without_frank), "`frank` is no longer listed; who leaves keeps the id");
    let franks_key = |root: &mut Root| {
        root.keys.retain(|held| held.person.as_str() != "frank");
        root.roles.retain(|granted| granted.person.as_str() != "frank");
        root.keys.push(Held { person: person("erin"), key: key("frank").public() });
        root.keys.sort();
    };
    assert_eq!(taken(&franks_key), "a key of `frank` is given to somebody else");
    let mut plant = Plant::new();
    let leave = |root: &mut Root| {
        root.persons[5].is_active = false;
        root.keys.retain(|held| held.person.as_str() != "frank");
        root.roles.retain(|granted| granted.person.as_str() != "frank");
    };
    plant.new_root(leave, &["alice", "bob"]);
    plant.new_root(|root| root.persons[5].is_active = true, &["alice", "bob"]);
    assert_eq!(only(&plant, Code::RosterForm).told, "`frank` has left and is active again; give a new id");
}

#[test]
fn t10_a_roster_that_could_mean_more_than_it_says() {
    for (from, to) in [
        ("alice@plant", "*"),
        ("alice@plant", "alice@plant,bob@plant"),
        ("alice@plant", "!alice@plant"),
        ("namespaces", "valid-before=\"20270101\",namespaces"),
        ("alice@plant", "\u{feff}alice@plant"),
        ("\n", "\r\n"),
    ] {
        let mut plant = Plant::new();
        let path = place::allowed_signers(1);
        let whole = String::from_utf8(plant.bytes(&path)).expect("ASCII");
        plant.shelf.change(&path, whole.replacen(from, to, 1));
        assert_eq!(plant.verdicts(), [format!("INVALID E-ROSTER-FORM {path}")], "{to}");
    }
    let mut plant = Plant::new();
    let path = place::allowed_signers(1);
    let whole = String::from_utf8(plant.bytes(&path)).expect("ASCII");
    let twice = whole.replace(&key("bob").public().to_string(), &key("alice").public().to_string());
    assert_eq!(roster::read(twice.as_bytes()).expect_err("refused").why, "this key is another person's");
    // A roster in its form that is another one.
    let fewer: String = whole.lines().skip(1).flat_map(|line| [line, "\n"]).collect();
    plant.shelf.change(&path, fewer);
    assert_eq!(plant.verdicts(), [format!("INVALID E-DIGEST {path}")]);
}

#[test]
fn t10_a_root_with_one_key_for_two_people() {
    let mut plant = Plant::new();
    let (path, alice, bob) = (place::root(1), key("alice").public().to_string(), key("bob").public().to_string());
    let twice = String::from_utf8(plant.bytes(&path)).expect("UTF-8").replace(&bob, &alice);
    plant.shelf.change(&path, twice);
    assert_eq!(plant.verdicts(), ["INVALID E-ROSTER-FORM trust/1.root"]);
    assert_eq!(only(&plant, Code::RosterForm).told, "`alice` and `bob` have the same key");
}

/// The date in the statement lies before the change of keys: it is not asked.
#[test]
fn t11_a_thief_dates_back() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    plant.alice_gets_another_key();
    let manifest = plant.manifest(RiskClass::Value, &NEXT);
    let digest = plant.prepare(&manifest, &NEXT);
    let path = place::statement(&digest, Side::Approve, &person("alice"), 1);
    let approval = Approval {
        repository: plant.root.repository.clone(),
        manifest: digest,
        person: person("alice"),
        name: line("Alice Brandt"),
        role: role("approve"),
        meaning: Meaning::ApprovedForUse,
        signed_at: Moment::parse("2026-09-22T00:00:00Z").expect("a moment"),
    };
    let forged = plant.put_statement(&path, &approval, &key("alice"));
    let bob = plant.approve(digest, "bob");
    seal_on(&mut plant, digest, &[("alice", forged), ("bob", bob)]);
    assert_eq!(only(&plant, Code::KeyNotInForce).object, path);
    only(&plant, Code::Threshold);
}

#[test]
fn t13_a_signature_in_another_spelling() {
    for change in [
        (|text: String| format!("{text}junk\n")) as fn(String) -> String,
        |text| text.replace('\n', "\r\n"),
        |text| {
            let lines: Vec<&str> = text.lines().collect();
            format!("{}\n{}\n{}\n", lines[0], lines[1..lines.len() - 1].concat(), lines[lines.len() - 1])
        },
    ] {
        let mut plant = Plant::new();
        let digest = plant.change(&PACKETS, "2027-01-01");
        let path = place::signature(&place::statement(&digest, Side::Approve, &person("alice"), 1));
        let text = String::from_utf8(plant.bytes(&path)).expect("ASCII");
        plant.shelf.change(&path, change(text));
        assert_eq!(only(&plant, Code::SignatureForm).object, path);
        only(&plant, Code::Threshold);
        let mut plant = Plant::new();
        plant.change(&PACKETS, "2027-01-01");
        let path = place::signature(SECOND);
        let text = String::from_utf8(plant.bytes(&path)).expect("ASCII");
        plant.shelf.change(&path, change(text));
        assert_eq!(plant.verdicts(), [format!("INVALID E-SIG-FORM {path}")]);
    }
}

#[test]
fn t13_a_signature_that_is_missing_or_for_another_purpose() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    let armour = signature::sign(Namespace::Approve, &plant.bytes(SECOND), &key("dave")).expect("signed");
    plant.shelf.change(&place::signature(SECOND), armour);
    assert_eq!(plant.verdicts(), [format!("INVALID E-SIG {SECOND}.sig")]);
    plant.shelf.take(&place::signature(SECOND));
    assert_eq!(plant.verdicts(), [format!("INVALID E-SIG-FORM {SECOND}")]);
}

#[test]
fn t14_a_stored_packet_is_the_one_that_was_shown() {
    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    let manifest = Manifest::parse(&plant.bytes(&place::manifest(&digest))).expect("a manifest");
    let path = place::packet(&Digest::of(b"121 by 1"));
    plant.shelf.change(&path, "121 by another");
    let found = matchmark::trust::release::packets(&plant.shelf, &manifest);
    assert_eq!(found.iter().map(short).collect::<Vec<_>>(), [format!("INVALID E-DIGEST {path}")]);
}

#[test]
fn t17_a_statement_that_reads_otherwise_than_it_is_shown() {
    let plant = Plant::new();
    let text =
        String::from_utf8(plant.manifest(RiskClass::Value, &PACKETS).to_bytes().expect("printed")).expect("UTF-8");
    for hidden in ["\u{202e}", "\u{200b}", "\u{2066}", "\u{feff}", "\u{ad}", "\t", "\u{85}", "\u{e0041}"] {
        let other = text.replacen("a change", &format!("a {hidden}change"), 1);
        assert!(Manifest::parse(other.as_bytes()).is_err(), "{hidden:?}");
    }
}

#[test]
fn t19_an_approval_that_was_taken_back_before_and_after_the_release() {
    let (mut plant, digest) = approved_by_alice();
    let alice = Digest::of(&plant.bytes(&place::statement(&digest, Side::Approve, &person("alice"), 1)));
    let bob = plant.approve(digest, "bob");
    plant.say(digest, "alice", "approve", Meaning::Retracted(objection("the value is wrong")), &key("alice"));
    seal_on(&mut plant, digest, &[("alice", alice), ("bob", bob)]);
    assert_eq!(only(&plant, Code::ApprovalRetracted).who, Some(person("alice")));
    only(&plant, Code::Threshold);

    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    plant.say(digest, "alice", "approve", Meaning::Retracted(objection("the value is wrong")), &key("alice"));
    assert_eq!(plant.verdicts(), [format!("WARN W-RETRACTED-LATER {SECOND}")]);
    assert_eq!(plant.ledger().outcome(), Outcome::Clean);
}

#[test]
fn t19_a_refusal_stands_until_the_same_person_takes_it_back() {
    let (mut plant, digest) = approved_by_alice();
    plant.approve(digest, "bob");
    plant.say(digest, "erin", "approve", Meaning::Refused(objection("the value is wrong")), &key("erin"));
    plant.release(digest, "2027-01-01");
    assert_eq!(only(&plant, Code::Refused).who, Some(person("erin")));
}

/// An approval that came with or after the record that names it was not there when it was sealed.
#[test]
fn t19_an_approval_that_came_after_the_release() {
    let (mut plant, digest) = approved_by_alice();
    let alice = Digest::of(&plant.bytes(&place::statement(&digest, Side::Approve, &person("alice"), 1)));
    let mut other = Plant::new();
    let manifest = other.manifest(RiskClass::Value, &PACKETS);
    other.prepare(&manifest, &PACKETS);
    let bob = plant.approve(digest, "bob");
    let path = place::statement(&digest, Side::Approve, &person("bob"), 1);
    let statement = plant.shelf.take(&path).expect("it was there");
    seal_on(&mut plant, digest, &[("alice", alice), ("bob", bob)]);
    assert_eq!(only(&plant, Code::ApprovalMissing).object, path);
    plant.shelf.put(path.clone(), statement);
    assert_eq!(only(&plant, Code::ApprovalMissing).told, "it came after the release that names it");
}

/// PROTOCOL.sshsig and PROTOCOL.u2f of OpenSSH: the signature of a hardware key, with the touch flag not set.
#[test]
fn t20_a_hardware_key_without_a_touch_is_refused_as_every_other_kind_of_key() {
    let part = |bytes: &[u8]| [&u32::try_from(bytes.len()).expect("short").to_be_bytes(), bytes].concat();
    let kind = part(b"sk-ssh-ed25519@openssh.com");
    let public = [kind.clone(), part(key("alice").public().bytes()), part(b"ssh:")].concat();
    let signed = [kind, part(&[7; 64]), vec![0], 1_u32.to_be_bytes().to_vec()].concat();
    let whole = [
        b"SSHSIG".to_vec(),
        1_u32.to_be_bytes().to_vec(),
        part(&public),
        part(b"approve.v1@matchmark"),
        part(b""),
        part(b"sha512"),
        part(&signed),
    ];
    let body = data_encoding::BASE64.encode(&whole.concat());
    let lines: Vec<&str> = body.as_bytes().chunks(70).map(|line| str::from_utf8(line).expect("ASCII")).collect();
    let armour = format!("-----BEGIN SSH SIGNATURE-----\n{}\n-----END SSH SIGNATURE-----\n", lines.join("\n"));
    let fault = signature::signer(Namespace::Approve, b"message", armour.as_bytes()).expect_err("refused");
    assert!(matches!(fault, SignatureFault::Form(_)), "{fault:?}");
}

#[test]
fn t22_a_record_taken_out_of_the_middle() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    plant.change(&NEXT, "2027-02-01");
    plant.shelf.take(SECOND);
    plant.shelf.take(&place::signature(SECOND));
    assert_eq!(plant.verdicts(), [format!("INVALID E-LEDGER-GAP {SECOND}")]);
    // The one after it put in its place.
    for end in ["", ".sig"] {
        let bytes = plant.shelf.take(&format!("ledger/000/000003.record{end}")).expect("it was there");
        plant.shelf.put(format!("{SECOND}{end}"), bytes);
    }
    assert_eq!(plant.verdicts(), [format!("INVALID E-LEDGER-GAP {SECOND}")]);
}

#[test]
fn t22_a_record_replaced_by_another_of_the_same_place() {
    let mut plant = Plant::new();
    plant.seal(Entry::Heartbeat);
    let third = plant.seal(Entry::Heartbeat);
    let record = Record::parse(&plant.bytes(SECOND)).expect("a record");
    let other = Record { signed_at: Moment::parse("2026-09-23T00:00:00Z").expect("a moment"), ..record };
    plant.put_record(&other, &key("dave"));
    assert_eq!(plant.verdicts(), [format!("INVALID E-LEDGER-CHAIN {}", place::record(third))]);
}

#[test]
fn t23_a_remote_that_was_rolled_back() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    let before = plant.shelf.clone();
    let recalled = plant.change(&NEXT, "2027-02-01");
    plant.withdraw(recalled, "2027-02-02");
    let mark = Mark::of(&plant.ledger()).expect("a mark");
    let old = Ledger::read(&before, Anchor::FirstUse);
    let verdict = mark.compare(&old).expect("a verdict");
    assert_eq!(short(&verdict), "DANGER E-ROLLBACK ledger/000/000004.record");
    assert_eq!(verdict.told, format!("000004 ({}) has been seen, and this copy ends at 000002", mark.digest.short()));
    assert_eq!(old.outcome(), Outcome::Clean, "without a memory nothing shows");
    assert_eq!(mark.compare(&plant.ledger()), None);
}

#[test]
fn t25_two_records_at_one_place_shown_to_two_people() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    let mut other = Plant::new();
    other.change(&NEXT, "2027-01-01");
    let mark = Mark::of(&plant.ledger()).expect("a mark");
    let verdict = mark.compare(&other.ledger()).expect("a verdict");
    let there = other.ledger().sealed()[1].digest;
    assert_eq!(short(&verdict), format!("DANGER E-FORK {SECOND}"));
    assert_eq!((verdict.expected, verdict.found), (Some(mark.digest), Some(there)));
}

#[test]
fn t28_a_revision_or_a_place_that_is_not_the_next() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    let mut manifest = plant.manifest(RiskClass::Value, &NEXT);
    manifest.documents[0].revision = 999_999;
    let digest = plant.prepare(&manifest, &NEXT);
    plant.approve(digest, "alice");
    plant.approve(digest, "bob");
    plant.release(digest, "2027-02-01");
    assert_eq!(only(&plant, Code::Revision).told, "`MP-PA-101` is released as revision 999999, and 2 is next");

    let mut plant = Plant::new();
    let record = plant.ledger().next_record(Entry::Heartbeat, &person("dave"), plant.now()).expect("it goes on");
    plant.put_record(&Record { seq: Seq::new(900_000).expect("a place"), ..record }, &key("dave"));
    assert_eq!(only(&plant, Code::LedgerGap).object, SECOND);
}

#[test]
fn t28_a_change_made_from_an_older_revision() {
    let mut plant = Plant::new();
    plant.change(&PACKETS, "2027-01-01");
    let late = plant.manifest(RiskClass::Value, &NEXT);
    plant.change(&[("MP-PA-101", "P-122", "122 by 2")], "2027-02-01");
    let digest = plant.prepare(&late, &NEXT);
    plant.approve(digest, "alice");
    plant.approve(digest, "bob");
    plant.release(digest, "2027-02-02");
    assert_eq!(only(&plant, Code::Base).severity.as_str(), "STALE");
    only(&plant, Code::Revision);
    let rows = plant.ledger().in_force(day("2027-02-02"));
    let doubtful: Vec<&str> = rows.iter().filter(|row| !row.is_usable()).map(|row| row.tag.as_str()).collect();
    assert_eq!(doubtful, ["P-121"], "what it replaced is not brought back in silence");
}

#[test]
fn t29_a_record_that_says_that_something_else_is_current() {
    let (mut plant, digest) = approved_by_alice();
    plant.approve(digest, "bob");
    let mut record = plant.release_record(digest, "2027-01-01");
    if let Entry::Release(release) = &mut record.entry {
        release.current = Digest::of(b"the table of last year");
    }
    plant.put_record(&record, &key("dave"));
    let verdict = only(&plant, Code::Current);
    assert_eq!(verdict.expected, Some(plant.ledger().table().digest()));
    assert_eq!(verdict.found, Some(Digest::of(b"the table of last year")));
}

#[test]
fn a_statement_of_another_repository_is_none_of_this_one() {
    let (mut plant, digest) = approved_by_alice();
    let path = place::statement(&digest, Side::Approve, &person("bob"), 1);
    let approval = Approval {
        repository: matchmark::trust::word::RepositoryId::from_bytes([9; 16]),
        manifest: digest,
        person: person("bob"),
        name: line("Bob Okoro"),
        role: role("approve"),
        meaning: Meaning::ApprovedForUse,
        signed_at: plant.now(),
    };
    let bob = plant.put_statement(&path, &approval, &key("bob"));
    let alice = Digest::of(&plant.bytes(&place::statement(&digest, Side::Approve, &person("alice"), 1)));
    seal_on(&mut plant, digest, &[("alice", alice), ("bob", bob)]);
    assert_eq!(only(&plant, Code::Repository).object, path);
    only(&plant, Code::Threshold);
}

#[test]
fn a_person_signs_in_a_role_or_with_a_name_that_he_has_not() {
    for (as_role, name, code) in [("safety", "Bob Okoro", Code::Role), ("approve", "Alice Brandt", Code::Name)] {
        let (mut plant, digest) = approved_by_alice();
        let path = place::statement(&digest, Side::Approve, &person("bob"), 1);
        let approval = Approval {
            repository: plant.root.repository.clone(),
            manifest: digest,
            person: person("bob"),
            name: line(name),
            role: role(as_role),
            meaning: Meaning::ApprovedForUse,
            signed_at: plant.now(),
        };
        let bob = plant.put_statement(&path, &approval, &key("bob"));
        let alice = Digest::of(&plant.bytes(&place::statement(&digest, Side::Approve, &person("alice"), 1)));
        seal_on(&mut plant, digest, &[("alice", alice), ("bob", bob)]);
        assert_eq!(only(&plant, code).object, path);
    }
}

#[test]
fn f11_the_same_change_released_twice() {
    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    plant.release(digest, "2027-01-02");
    let verdict = only(&plant, Code::AlreadyReleased);
    assert_eq!(verdict.told, "the same change is released as 000002");
    assert_eq!(plant.ledger().in_force(day("2027-01-02"))[0].seq, Seq::new(2).expect("a place"));
}

#[test]
fn f11_a_withdrawal_of_what_was_never_released() {
    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    plant.withdraw(digest, "2027-01-02");
    plant.withdraw(digest, "2027-01-03");
    only(&plant, Code::NotReleased);
    let mut plant = Plant::new();
    plant.withdraw(Digest::of(b"never"), "2027-01-02");
    only(&plant, Code::NotReleased);
}

#[test]
fn f14_a_clock_that_runs_back_is_told_and_decides_nothing() {
    let mut plant = Plant::new();
    let record = plant.ledger().next_record(Entry::Heartbeat, &person("dave"), plant.now()).expect("it goes on");
    let early = Moment::parse("2001-01-01T00:00:00Z").expect("a moment");
    plant.put_record(&Record { signed_at: early, ..record }, &key("dave"));
    assert_eq!(plant.verdicts(), [format!("WARN W-CLOCK {SECOND}")]);
    assert_eq!(plant.ledger().outcome(), Outcome::Clean);
}

#[test]
fn f16_what_is_missing_is_never_clean() {
    for path in [place::root(1), place::allowed_signers(1)] {
        let mut plant = Plant::new();
        plant.shelf.take(&path);
        assert_eq!(plant.verdicts(), [format!("INCOMPLETE E-MISSING {path}")]);
        assert_eq!(plant.ledger().outcome(), Outcome::Undecided);
    }
    let mut plant = Plant::new();
    let digest = plant.change(&PACKETS, "2027-01-01");
    plant.shelf.take(&place::manifest(&digest));
    assert_eq!(plant.ledger().outcome(), Outcome::Undecided);
    let nothing = Ledger::read(&matchmark::trust::store::Shelf::default(), Anchor::FirstUse);
    assert_eq!(nothing.outcome(), Outcome::Undecided);
}

#[test]
fn f35_f41_marks_of_a_merge_and_newer_forms_are_told_apart() {
    let mut plant = Plant::new();
    plant.seal(Entry::Heartbeat);
    let whole = String::from_utf8(plant.bytes(SECOND)).expect("UTF-8");
    plant.shelf.change(SECOND, format!("<<<<<<< ours\n{whole}=======\n{whole}>>>>>>> theirs\n"));
    assert_eq!(plant.verdicts(), [format!("INVALID E-MERGE {SECOND}")]);
    plant.shelf.change(SECOND, whole.replacen("record v1", "record v2", 1));
    assert_eq!(plant.verdicts(), [format!("INCOMPLETE E-NEWER {SECOND}")]);
    plant.shelf.change(SECOND, whole.replacen("signed-at", "signed", 1));
    assert_eq!(plant.verdicts(), [format!("INVALID E-FORM {SECOND}")]);
}
