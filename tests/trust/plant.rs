//! An invented plant with keys made of its people's names: it prepares, approves and releases, and does what an attacker wants.

use matchmark::base::date::Date;
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::base::risk::RiskClass;
use matchmark::trust::approval::{Approval, Meaning, Objection};
use matchmark::trust::chain::Anchor;
use matchmark::trust::digest::Digest;
use matchmark::trust::issue;
use matchmark::trust::key::{Chance, SigningKey};
use matchmark::trust::ledger::{Ledger, Outcome};
use matchmark::trust::manifest::{Manifest, Removed, Resolved, Revised, Source, Trigger};
use matchmark::trust::place::{self, Side};
use matchmark::trust::policy::{Policy, Threshold};
use matchmark::trust::record::{Entry, Record};
use matchmark::trust::release;
use matchmark::trust::root::{Granted, Held, Member, Root};
use matchmark::trust::signature::{self, Namespace};
use matchmark::trust::store::Shelf;
use matchmark::trust::verdict::Verdict;
use matchmark::trust::weigh;
use matchmark::trust::word::{self, CommitId, Moment, OneLine, Person, RepositoryId, Role, Seq};

/// Chance that is none: the same bytes every time.
pub(crate) struct Known(u64);

impl Known {
    pub(crate) fn of(name: &str) -> Self {
        Self(name.bytes().fold(99, |seed: u64, b| seed.wrapping_mul(257).wrapping_add(u64::from(b))))
    }

    pub(crate) fn below(&mut self, most: usize) -> usize {
        let mut bytes = [0; 8];
        self.fill(&mut bytes);
        usize::try_from(u64::from_le_bytes(bytes) % most as u64).expect("it is below a size")
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

pub(crate) fn key(name: &str) -> SigningKey {
    SigningKey::new(&mut Known::of(name), name).expect("a key")
}

pub(crate) fn person(id: &str) -> Person {
    Person::parse(id).expect("an id")
}

pub(crate) fn role(id: &str) -> Role {
    Role::parse(id).expect("a role")
}

pub(crate) fn line(text: &str) -> OneLine {
    OneLine::parse(text).expect("a line")
}

pub(crate) fn day(text: &str) -> Date {
    Date::parse(text).expect("a day")
}

/// The people: id, name, roles.
const PEOPLE: [(&str, &str, &[&str]); 6] = [
    ("alice", "Alice Brandt", &["approve", "root", "safety"]),
    ("bob", "Bob Okoro", &["approve", "root"]),
    ("carol", "Carol Vance", &["approve", "prepare"]),
    ("dave", "Dave Lindqvist", &["release"]),
    ("erin", "Erin Salas", &["approve", "root"]),
    ("frank", "Frank Ito", &["prepare"]),
];

/// A packet of a change: document, machine, content.
pub(crate) type Packet<'a> = (&'a str, &'a str, &'a str);

#[derive(Clone)]
pub(crate) struct Plant {
    pub(crate) shelf: Shelf,
    pub(crate) root: Root,
    /// Where the sources are.
    pub(crate) commit: String,
    second: u64,
}

impl Plant {
    /// Returns a plant in which two approve everything, one of them for safety where that is touched, and whose ledger holds
    /// its root and nothing else.
    pub(crate) fn new() -> Self {
        let mut keys: Vec<Held> =
            PEOPLE.iter().map(|(id, ..)| Held { person: person(id), key: key(id).public() }).collect();
        keys.sort();
        let granted = PEOPLE.iter().flat_map(|(id, _, roles)| {
            roles.iter().map(|own| Granted { person: person(id), role: role(own) }).collect::<Vec<_>>()
        });
        let root = Root {
            repository: RepositoryId::from_bytes([0x5a; 16]),
            number: 1,
            previous: None,
            plant: line("Northfield creamery"),
            recovery: Some(key("recovery").public()),
            persons: PEOPLE
                .iter()
                .map(|(id, name, _)| Member { person: person(id), is_active: true, name: line(name) })
                .collect(),
            keys,
            roles: granted.collect(),
            policy: Policy::uniform(&Threshold::of(2), 2)
                .with(RiskClass::Wording, Threshold::of(1))
                .with(RiskClass::Safety, Threshold::of(2).with(role("safety"), 1)),
        };
        let commit = "0123456789".repeat(4);
        let mut plant = Self { shelf: Shelf::default(), root: root.clone(), commit, second: 1_790_000_000 };
        plant.put_root(&root);
        for holder in ["alice", "bob"] {
            plant.sign_root(1, holder, &key(holder));
        }
        plant.seal_first();
        plant
    }

    fn seal_first(&mut self) {
        let bytes = self.root.to_bytes().expect("a root");
        let record = Record {
            repository: self.root.repository.clone(),
            seq: Seq::FIRST,
            prev: None,
            root: matchmark::trust::record::RootName { number: 1, digest: Digest::of(&bytes) },
            entry: Entry::Root,
            person: person("dave"),
            signed_at: self.now(),
        };
        self.put_record(&record, &key("dave"));
    }

    pub(crate) fn now(&mut self) -> Moment {
        self.second += 3600;
        Moment::at_second(self.second).expect("a moment")
    }

    pub(crate) fn ledger(&self) -> Ledger {
        Ledger::read(&self.shelf, Anchor::FirstUse)
    }

    /// Returns what the verifier says, a line each: severity, code and object.
    pub(crate) fn verdicts(&self) -> Vec<String> {
        self.ledger().verdicts().iter().map(short).collect()
    }

    /// Tells whether the verifier finds nothing, in the ledger and in what it names.
    pub(crate) fn is_clean(&self) -> bool {
        let ledger = self.ledger();
        let manifests = ledger.sealed().iter().filter_map(|sealed| sealed.release.as_ref());
        let is_sound = |digest: Digest| {
            let words = Some(Digest::of(b"the words"));
            release::manifest(&self.shelf, &digest).is_ok_and(|manifest| {
                release::packets(&self.shelf, &manifest).is_empty()
                    && release::sources(&manifest, |path| words.filter(|_| path == "seals/MP-PA-101.md")).is_empty()
            })
        };
        ledger.outcome() == Outcome::Clean && manifests.map(|released| released.manifest).all(is_sound)
    }

    pub(crate) fn put_root(&mut self, root: &Root) {
        self.shelf.put(place::root(root.number), root.to_bytes().expect("a root"));
        self.shelf.put(place::allowed_signers(root.number), root.allowed_signers());
    }

    pub(crate) fn sign_root(&mut self, number: u32, holder: &str, key: &SigningKey) {
        let bytes = self.bytes(&place::root(number));
        let armour = signature::sign(Namespace::Root, &bytes, key).expect("signed");
        self.shelf.put(place::root_signature(number, holder), armour);
    }

    pub(crate) fn bytes(&self, path: &str) -> Vec<u8> {
        let found = self.shelf.files().find(|(own, _)| *own == path);
        found.unwrap_or_else(|| panic!("{path} is there")).1.to_vec()
    }

    /// Puts in a new root in which alice's key is another one; all three holders sign, alice with her old key.
    pub(crate) fn alice_gets_another_key(&mut self) {
        let change = |root: &mut Root| {
            root.keys.retain(|held| held.person.as_str() != "alice");
            root.keys.push(Held { person: person("alice"), key: key("alice again").public() });
            root.keys.sort();
        };
        self.new_root(change, &["alice", "bob", "erin"]);
    }

    /// Puts in a new root, with these holders' signatures, and seals it.
    pub(crate) fn new_root(&mut self, change: impl FnOnce(&mut Root), holders: &[&str]) {
        let mut root = self.root.clone();
        root.previous = Some(Digest::of(&root.to_bytes().expect("a root")));
        root.number += 1;
        change(&mut root);
        self.put_root(&root);
        for holder in holders {
            self.sign_root(root.number, holder, &key(holder));
        }
        let digest = Digest::of(&root.to_bytes().expect("a root"));
        let mut record =
            self.ledger().next_record(Entry::Root, &person("dave"), self.now()).expect("the ledger goes on");
        record.root = matchmark::trust::record::RootName { number: root.number, digest };
        self.put_record(&record, &key("dave"));
        self.root = root;
    }

    pub(crate) fn put_record(&mut self, record: &Record, key: &SigningKey) {
        let bytes = record.to_bytes().expect("a record");
        let armour = signature::sign(Namespace::Release, &bytes, key).expect("signed");
        let path = place::record(record.seq);
        self.shelf.put(place::signature(&path), armour);
        self.shelf.put(path, bytes);
    }

    /// Returns a change of these packets, made by carol from the last revisions.
    pub(crate) fn manifest(&self, class: RiskClass, packets: &[Packet<'_>]) -> Manifest {
        let ledger = self.ledger();
        let mut numbers: Vec<&str> = packets.iter().map(|(document, ..)| *document).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let revised = |number: &&str| {
            let document = word::document(number).expect("a number");
            let last = ledger.last_revision(&document);
            Revised { document, revision: last.map_or(1, |(last, _)| last + 1), previous: last.map(|(_, own)| own) }
        };
        let resolved = |(document, tag, content): &Packet<'_>| Resolved {
            digest: Digest::of(content.as_bytes()),
            document: DocumentNumber::new(*document),
            tag: Tag::new(*tag),
        };
        Manifest {
            repository: self.root.repository.clone(),
            title: line("a change"),
            reason: line("it is better so"),
            trigger: Trigger::Review,
            prepared_by: person("carol"),
            class,
            commit: CommitId::parse(&self.commit).expect("a commit"),
            until: None,
            documents: numbers.iter().map(revised).collect(),
            sources: vec![Source {
                digest: Digest::of(b"the words"),
                path: word::path("seals/MP-PA-101.md").expect("a path"),
            }],
            resolved: packets.iter().map(resolved).collect(),
            removed: Vec::new(),
            waivers: Vec::new(),
        }
    }

    /// Puts in a manifest with its packets and the statement of who made it.
    pub(crate) fn prepare(&mut self, manifest: &Manifest, packets: &[Packet<'_>]) -> Digest {
        for (_, _, content) in packets {
            self.shelf.put(place::packet(&Digest::of(content.as_bytes())), *content);
        }
        let bytes = manifest.to_bytes().expect("a manifest");
        let digest = Digest::of(&bytes);
        self.shelf.put(place::manifest(&digest), bytes);
        let by = manifest.prepared_by.clone();
        self.say(digest, by.as_str(), "prepare", Meaning::Prepared, &key(by.as_str()));
        digest
    }

    /// Puts in what a person says of a manifest.
    pub(crate) fn say(
        &mut self,
        manifest: Digest,
        by: &str,
        as_role: &str,
        meaning: Meaning,
        key: &SigningKey,
    ) -> Digest {
        let side = if meaning == Meaning::Prepared { Side::Prepare } else { Side::Approve };
        let approval = Approval {
            repository: self.root.repository.clone(),
            manifest,
            person: person(by),
            name: self.root.member(&person(by)).map_or_else(|| line(by), |member| member.name.clone()),
            role: role(as_role),
            meaning,
            signed_at: self.now(),
        };
        let path = issue::next_statement(&self.shelf, &manifest, side, &person(by));
        self.put_statement(&path, &approval, key)
    }

    pub(crate) fn put_statement(&mut self, path: &str, approval: &Approval, key: &SigningKey) -> Digest {
        let bytes = approval.to_bytes().expect("a statement");
        let purpose = if approval.is_preparation() { Namespace::Prepare } else { Namespace::Approve };
        let armour = signature::sign(purpose, &bytes, key).expect("signed");
        self.shelf.put(place::signature(path), armour);
        let digest = Digest::of(&bytes);
        self.shelf.put(path, bytes);
        digest
    }

    pub(crate) fn approve(&mut self, manifest: Digest, by: &str) -> Digest {
        self.say(manifest, by, "approve", Meaning::ApprovedForUse, &key(by))
    }

    /// Returns the record that releases a manifest on everything that counts for it, still unsealed.
    pub(crate) fn release_record(&mut self, manifest: Digest, from: &str) -> Record {
        let ledger = self.ledger();
        let said = weigh::said(&self.shelf, &self.root, &manifest).expect("readable");
        let content = Manifest::parse(&self.bytes(&place::manifest(&manifest))).expect("a manifest");
        let counted = said.standing(&self.root, &content).counted;
        let entry = ledger.release_entry((manifest, &content), &counted, day(from), None);
        ledger.next_record(entry, &person("dave"), self.now()).expect("the ledger goes on")
    }

    pub(crate) fn release(&mut self, manifest: Digest, from: &str) -> Seq {
        let record = self.release_record(manifest, from);
        self.put_record(&record, &key("dave"));
        record.seq
    }

    pub(crate) fn withdraw(&mut self, manifest: Digest, from: &str) -> Seq {
        let ledger = self.ledger();
        let entry = ledger.withdraw_entry(manifest, line("a wrong gasket"), day(from));
        self.seal(entry)
    }

    pub(crate) fn seal(&mut self, entry: Entry) -> Seq {
        let record = self.ledger().next_record(entry, &person("dave"), self.now()).expect("the ledger goes on");
        self.put_record(&record, &key("dave"));
        record.seq
    }

    /// Makes, approves and releases a change of values.
    pub(crate) fn change(&mut self, packets: &[Packet<'_>], from: &str) -> Digest {
        let manifest = self.manifest(RiskClass::Value, packets);
        let digest = self.prepare(&manifest, packets);
        self.approve(digest, "alice");
        self.approve(digest, "bob");
        self.release(digest, from);
        digest
    }
}

/// Returns severity, code and object of a verdict.
pub(crate) fn short(verdict: &Verdict) -> String {
    format!("{} {} {}", verdict.severity.as_str(), verdict.code, verdict.object)
}

pub(crate) fn objection(reason: &str) -> Objection {
    Objection { reason: line(reason), step: Some(line("MP-PA-101 4")) }
}

pub(crate) fn removed(document: &str, tag: &str) -> Removed {
    Removed { document: DocumentNumber::new(document), tag: Tag::new(tag) }
}
