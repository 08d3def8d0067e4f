//! Every statement is printed as it was read; another byte is another statement or none.

use crate::plant::{Plant, day, key, line, objection, person, role};
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::base::risk::RiskClass;
use matchmark::trust::approval::{Approval, Meaning};
use matchmark::trust::digest::Digest;
use matchmark::trust::manifest::{Manifest, Removed, Resolved, Revised, Source, Trigger, Waived};
use matchmark::trust::mark::Mark;
use matchmark::trust::record::{Entry, Named, Record, Release, RootName, Withdrawal};
use matchmark::trust::root::Root;
use matchmark::trust::word::{self, CommitId, Moment, OneLine, RepositoryId, Seq};
use proptest::collection::{btree_map, btree_set};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest};
use std::fmt::Debug;

fn digest() -> impl Strategy<Value = Digest> {
    any::<u64>().prop_map(|number| Digest::of(&number.to_be_bytes()))
}

fn words() -> impl Strategy<Value = OneLine> {
    "[!-~\u{e0}-\u{17f}]( ?[!-~\u{e0}-\u{17f}]){0,40}".prop_map(|text| line(&text))
}

fn moment() -> impl Strategy<Value = Moment> {
    (0..8_000_000_000_u64).prop_map(|second| Moment::at_second(second).expect("a moment"))
}

fn repository() -> impl Strategy<Value = RepositoryId> {
    any::<[u8; 16]>().prop_map(RepositoryId::from_bytes)
}

fn a_day() -> impl Strategy<Value = matchmark::base::date::Date> {
    (0..4_000_000_000_u64).prop_map(|second| Moment::at_second(second).expect("a moment").date())
}

fn id() -> impl Strategy<Value = String> {
    "[a-z]{3}[0-9a-z]{1,8}"
}

fn manifest() -> impl Strategy<Value = Manifest> {
    let documents = btree_map("[A-Z]{2}-[0-9]{1,3}", (1_u32..1000, digest()), 1..5);
    let sources = btree_map("[a-z]{4,8}/[A-Z]{2}[0-9]?( [a-z])?\\.md", digest(), 0..6);
    let tags = btree_map("[A-Z]{1,2}[-.+_][0-9]{1,4}", (any::<bool>(), digest()), 0..6);
    let waivers = btree_map(any::<u64>(), ("[a-z]{3,5}-[a-z]{2,5}", any::<bool>(), a_day()), 0..3);
    let head = (repository(), words(), words(), 0..5_usize, id(), 0..5_usize, proptest::option::of(a_day()));
    (head, documents, sources, tags, waivers).prop_map(|(head, documents, sources, tags, waivers)| {
        let (repository, title, reason, trigger, by, class, until) = head;
        let first = DocumentNumber::new(documents.keys().next().expect("there is one").clone());
        let triggers = [Trigger::Redline, Trigger::Incident, Trigger::Supersession, Trigger::Review, Trigger::None];
        let revised = |(number, (revision, previous)): (String, (u32, Digest))| Revised {
            document: DocumentNumber::new(number),
            revision,
            previous: (revision > 1).then_some(previous),
        };
        let own = |is_resolved: bool| tags.iter().filter(move |(_, (resolved, _))| *resolved == is_resolved);
        let resolved = own(true).map(|(tag, (_, digest))| Resolved {
            digest: *digest,
            document: first.clone(),
            tag: Tag::new(tag),
        });
        let mut waived: Vec<Waived> = waivers
            .into_iter()
            .map(|(number, (rule, is_one, until))| Waived {
                digest: Digest::of(&number.to_be_bytes()),
                rule,
                tag: is_one.then(|| Tag::new("P-121")),
                until,
            })
            .collect();
        waived.sort_by_key(|own| own.digest);
        Manifest {
            repository,
            title,
            reason,
            trigger: triggers[trigger],
            prepared_by: person(&by),
            class: RiskClass::LISTED[class],
            commit: CommitId::parse(&"0123abcdef".repeat(4)).expect("a commit"),
            until,
            resolved: resolved.collect(),
            removed: own(false).map(|(tag, _)| Removed { document: first.clone(), tag: Tag::new(tag) }).collect(),
            documents: documents.into_iter().map(revised).collect(),
            sources: sources
                .into_iter()
                .map(|(path, digest)| Source { digest, path: word::path(&path).expect("a path") })
                .collect(),
            waivers: waived,
        }
    })
}

fn approval() -> impl Strategy<Value = Approval> {
    let meaning = prop_oneof![
        Just(Meaning::Prepared),
        Just(Meaning::Reviewed),
        Just(Meaning::ApprovedForUse),
        words().prop_map(|reason| Meaning::Refused(objection(reason.as_str()))),
        words().prop_map(|reason| Meaning::Retracted(objection(reason.as_str()))),
    ];
    (repository(), digest(), id(), words(), meaning, moment()).prop_map(
        |(repository, manifest, by, name, meaning, signed_at)| {
            let role = role(if meaning == Meaning::Prepared { "prepare" } else { "quality" });
            Approval { repository, manifest, person: person(&by), name, role, meaning, signed_at }
        },
    )
}

fn record() -> impl Strategy<Value = Record> {
    let approvals = btree_set((id(), digest()), 0..5).prop_map(|approvals| {
        approvals.into_iter().map(|(by, digest)| Named { person: person(&by), digest }).collect::<Vec<_>>()
    });
    let release = (digest(), approvals, a_day(), digest(), proptest::option::of(a_day())).prop_map(
        |(manifest, approvals, effective, current, review_by)| {
            Entry::Release(Release { manifest, approvals, effective, current, review_by })
        },
    );
    let withdrawal = (digest(), words(), a_day(), digest()).prop_map(|(manifest, reason, effective, current)| {
        Entry::Withdraw(Withdrawal { manifest, reason, effective, current })
    });
    let compromised = (id(), 1_u32..999_999, words()).prop_map(|(by, since, reason)| Entry::Compromised {
        person: person(&by),
        since: Seq::new(since).expect("a place"),
        reason,
    });
    let entry = prop_oneof![release, withdrawal, compromised, Just(Entry::Root), Just(Entry::Heartbeat)];
    (repository(), 1_u32..1_000_000, digest(), (1_u32..1000, digest()), entry, id(), moment()).prop_map(
        |(repository, seq, prev, (number, digest), entry, by, signed_at)| Record {
            repository,
            seq: Seq::new(seq).expect("a place"),
            prev: (seq > 1).then_some(prev),
            root: RootName { number, digest },
            entry,
            person: person(&by),
            signed_at,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_manifest_is_printed_as_it_was_read(manifest in manifest()) {
        let bytes = manifest.to_bytes();
        prop_assert!(bytes.is_ok(), "{bytes:?}");
        let bytes = bytes.expect("it was just seen");
        let again = Manifest::parse(&bytes);
        prop_assert_eq!(again.as_ref(), Ok(&manifest));
        prop_assert_eq!(again.expect("it was just seen").to_bytes(), Ok(bytes));
    }

    #[test]
    fn an_approval_is_printed_as_it_was_read(approval in approval()) {
        let bytes = approval.to_bytes();
        prop_assert!(bytes.is_ok(), "{bytes:?}");
        let bytes = bytes.expect("it was just seen");
        prop_assert_eq!(Approval::parse(&bytes), Ok(approval));
    }

    #[test]
    fn a_record_is_printed_as_it_was_read(record in record()) {
        let bytes = record.to_bytes();
        prop_assert!(bytes.is_ok(), "{bytes:?}");
        let bytes = bytes.expect("it was just seen");
        prop_assert_eq!(Record::parse(&bytes), Ok(record));
    }

    #[test]
    fn no_bytes_make_the_reader_fail_otherwise_than_by_refusing(text in "(manifest|record|root|approval|prepare) v1\n([a-z-]{3,12}: ?[ -~]{0,30}\n){0,12}") {
        let bytes = text.as_bytes();
        for is_read in [Manifest::parse(bytes).is_ok(), Record::parse(bytes).is_ok(), Approval::parse(bytes).is_ok(), Root::parse(bytes).is_ok()] {
            prop_assert!(!is_read);
        }
    }
}

/// Returns how many of all changes of one byte are read as another value; none is read as the same.
fn every_byte<T: PartialEq + Debug, E>(bytes: &[u8], parse: impl Fn(&[u8]) -> Result<T, E>) -> usize {
    let own = parse(bytes).unwrap_or_else(|_| panic!("it is a statement"));
    let mut others = 0;
    let mut check = |changed: &[u8]| {
        if let Ok(other) = parse(changed) {
            assert_ne!(other, own, "{}", String::from_utf8_lossy(changed));
            others += 1;
        }
    };
    for at in 0..bytes.len() {
        let mut changed = bytes.to_vec();
        // Every bit, and what editors, transports and people put in.
        let bits = (0..8).map(|bit| bytes[at] ^ (1 << bit));
        for byte in bits.chain(*b"\0\n\r\t :-0aAzZ\xff\xc3") {
            if byte != bytes[at] {
                changed[at] = byte;
                check(&changed);
            }
        }
        let taken_out: Vec<u8> = [&bytes[..at], &bytes[at + 1..]].concat();
        check(&taken_out);
        for byte in *b"\n\r :0a\xff" {
            check(&[&bytes[..at], &[byte], &bytes[at..]].concat());
        }
        assert!(parse(&bytes[..at]).is_err(), "cut off at {at}");
    }
    others
}

#[test]
fn every_single_byte_counts() {
    let mut plant = Plant::new();
    let packets = [("MP-PA-101", "P-121", "121 by 1"), ("MP-PA-102", "P-122", "122 by 1")];
    let manifest = plant.manifest(RiskClass::Safety, &packets);
    let bytes = manifest.to_bytes().expect("printed");
    assert!(every_byte(&bytes, Manifest::parse) > 1000, "a title may be any words");
    let digest = plant.prepare(&manifest, &packets);
    plant.say(digest, "erin", "approve", Meaning::Refused(objection("step 4 is wrong")), &key("erin"));
    for name in ["carol.prepare", "erin.approve"] {
        every_byte(&plant.bytes(&format!("approvals/{digest}/{name}")), Approval::parse);
    }
    plant.approve(digest, "alice");
    let record = plant.release_record(digest, "2027-01-01");
    every_byte(&record.to_bytes().expect("printed"), Record::parse);
    let withdrawal = plant.ledger().withdraw_entry(digest, line("wrong"), day("2027-01-01"));
    let record = plant.ledger().next_record(withdrawal, &person("dave"), plant.now()).expect("it goes on");
    every_byte(&record.to_bytes().expect("printed"), Record::parse);
}

/// The description of the forms shows one of each; what it shows is read as it stands.
#[test]
fn the_examples_of_the_description_are_statements() {
    let text = include_str!("../../schema/statements.md");
    let mut seen: Vec<&str> = Vec::new();
    for block in text.split("```text\n").skip(1) {
        let block = block.split("```").next().expect("it ends");
        let kind = block.lines().next().expect("a line");
        let read = match kind {
            "manifest v1" => Manifest::parse(block.as_bytes()).err(),
            "approval v1" | "prepare v1" => Approval::parse(block.as_bytes()).err(),
            "record v1" => Record::parse(block.as_bytes()).err(),
            "root v1" => Root::parse(block.as_bytes()).err(),
            "mark v1" => Mark::parse(block.as_bytes()).err(),
            _ => continue,
        };
        assert_eq!(read, None, "{block}");
        let told = if kind == "record v1" { block.lines().nth(1).expect("a kind") } else { kind };
        seen.push(told);
    }
    seen.sort_unstable();
    seen.dedup();
    let every = [
        "approval v1",
        "kind: compromised",
        "kind: heartbeat",
        "kind: release",
        "kind: root",
        "kind: withdraw",
        "manifest v1",
        "mark v1",
        "prepare v1",
        "root v1",
    ];
    assert_eq!(seen, every);
    for code in matchmark::trust::verdict::CODES {
        assert!(text.contains(&format!("`{code}`")), "{code} is described");
    }
}
