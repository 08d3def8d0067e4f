//! Invented people, keys and statements for the tests of this room.

use crate::base::risk::RiskClass;
use crate::trust::digest::Digest;
use crate::trust::key::{Chance, SigningKey};
use crate::trust::policy::{Policy, Separation, Threshold};
use crate::trust::root::{Granted, Held, Member, Root};
use crate::trust::word::{OneLine, Person, RepositoryId, Role};

/// Chance that is none: the same bytes every time.
pub(super) struct Known(u64);

impl Known {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }
}

impl Chance for Known {
    fn fill(&mut self, bytes: &mut [u8]) {
        for byte in bytes {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            *byte = self.0.to_be_bytes()[0];
        }
    }
}

pub(super) fn key(name: &str) -> SigningKey {
    let seed = name.bytes().fold(1, |seed: u64, b| seed.wrapping_mul(257).wrapping_add(u64::from(b)));
    SigningKey::new(&mut Known::new(seed), name).expect("a key")
}

pub(super) fn repository() -> RepositoryId {
    RepositoryId::from_bytes([0x7f; 16])
}

pub(super) fn root() -> Root {
    let people =
        [("alice", "Alice Brandt"), ("bob", "Bob Okoro"), ("carol", "Carol Vance"), ("dave", "Dave Lindqvist")];
    let person = |id: &str| Person::parse(id).expect("an id");
    let roles = [
        ("alice", "approve"),
        ("alice", "root"),
        ("alice", "safety"),
        ("bob", "approve"),
        ("bob", "root"),
        ("carol", "prepare"),
        ("dave", "release"),
    ];
    Root {
        repository: repository(),
        number: 1,
        previous: None,
        plant: OneLine::parse("Northfield creamery").expect("a line"),
        recovery: Some(key("recovery").public()),
        persons: people
            .iter()
            .map(|(id, name)| Member {
                person: person(id),
                is_active: true,
                name: OneLine::parse(name).expect("a line"),
            })
            .collect(),
        keys: people.iter().map(|(id, _)| Held { person: person(id), key: key(id).public() }).collect(),
        roles: roles
            .iter()
            .map(|(id, role)| Granted { person: person(id), role: Role::parse(role).expect("a role") })
            .collect(),
        policy: Policy::uniform(&Threshold::of(1), 2)
            .with(RiskClass::Safety, Threshold::of(2).with(Role::parse("safety").expect("a role"), 1))
            .apart(Separation::PreparerReleaser),
    }
}

pub(super) fn manifest_text() -> String {
    let digest = |text: &str| Digest::of(text.as_bytes());
    format!(
        "manifest v1\nrepository: {}\ntitle: Impeller nut at 25 N·m\nreason: the maker's sheet of 2026 says so\n\
         trigger: supersession\nprepared-by: carol\nclass: value\ncommit: {}\nformat: 1\nuntil: none\n\
         documents:\nMP-PA-101 8 {}\nsources:\n{}  fleet.yaml\n{}  seals/MP-PA-101.md\n\
         resolved:\n{}  MP-PA-101 P-121\n{}  MP-PA-101 P-122\nremoved:\nMP-PA-101 P-140\n\
         waivers:\n{}  long-sentence P-121 2027-03-14\n",
        repository(),
        "0123456789abcdef0123456789abcdef01234567",
        digest("seven"),
        digest("fleet"),
        digest("procedure"),
        digest("packet of 121"),
        digest("packet of 122"),
        digest("waiver"),
    )
}

fn statement(kind: &str, person: &str, name: &str, role: &str, meaning: &str) -> String {
    format!(
        "{kind} v1\nrepository: {}\nmanifest: {}\nperson: {person}\nname: {name}\nrole: {role}\nmeaning: {meaning}\n\
         signed-at: 2026-11-24T22:00:00Z\n",
        repository(),
        Digest::of(manifest_text().as_bytes()),
    )
}

pub(super) fn approval_text() -> String {
    statement("approval", "alice", "Alice Brandt", "approve", "approved for use")
}

pub(super) fn prepare_text() -> String {
    statement("prepare", "carol", "Carol Vance", "prepare", "prepared")
}

pub(super) fn refusal_text() -> String {
    let said = statement("approval", "bob", "Bob Okoro", "approve", "refused");
    format!("{said}reason: the value is that of the larger nut\nstep: MP-PA-101 12\n")
}

/// A release, a withdrawal, a new root, a stolen key and a sign of life.
pub(super) fn record_texts() -> [String; 5] {
    let digest = |text: &str| Digest::of(text.as_bytes());
    let record = |kind: &str, body: &str| {
        format!(
            "record v1\nkind: {kind}\nrepository: {}\nseq: 000123\nprev: {}\nroot: 12 {}\n{body}person: dave\n\
             signed-at: 2026-11-25T08:00:00Z\n",
            repository(),
            digest("122"),
            digest("root"),
        )
    };
    let (manifest, table) = (digest("manifest"), digest("table"));
    let approvals = format!("approval: {} alice\napproval: {} bob\n", digest("a"), digest("b"));
    [
        record(
            "release",
            &format!(
                "manifest: {manifest}\n{approvals}effective: 2026-12-01\ncurrent: {table}\nreview-by: 2027-11-24\n"
            ),
        ),
        record(
            "withdraw",
            &format!("manifest: {manifest}\nreason: wrong gasket\neffective: 2026-12-02\ncurrent: {table}\n"),
        ),
        record("root", ""),
        record("compromised", "compromised: alice 000100\nreason: the laptop was stolen\n"),
        record("heartbeat", ""),
    ]
}
