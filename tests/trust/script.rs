//! The checker made of stock tools (`tests/outside/verify.sh`) and the verifier, asked about the same repositories.

use crate::plant::{Packet, Plant, key, line, person, role};
use matchmark::base::path::PROTECTED;
use matchmark::base::risk::RiskClass;
use matchmark::trust::approval::Meaning;
use matchmark::trust::digest::Digest;
use matchmark::trust::manifest::Manifest;
use matchmark::trust::place::{self, Side};
use matchmark::trust::root::{Granted, Held, Member};
use matchmark::trust::signature::{self, Namespace};
use matchmark::trust::stock;
use std::fs;
use std::path::Path;
use std::process::Command;

const PACKETS: [Packet<'_>; 2] = [("MP-PA-101", "P-121", "121 by 1"), ("MP-PA-101", "P-122", "122 by 1")];

fn git(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("git")
        .args(["-c", "user.name=plant", "-c", "user.email=plant@example.org", "-c", "commit.gpgsign=false"])
        .args(["-c", "core.autocrlf=false"])
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .output()
        .expect("git is here");
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8").trim().to_owned()
}

/// Writes the files of a plant into the repository, in place of what was there, and commits them.
fn commit(folder: &Path, plant: &Plant) {
    for protected in PROTECTED {
        let _ = fs::remove_dir_all(folder.join(protected));
    }
    for (path, bytes) in plant.shelf.files() {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().expect("a folder")).expect("writable");
        fs::write(path, bytes).expect("writable");
    }
    git(folder, &["add", "-A", "-f"]);
    git(folder, &["commit", "-q", "--allow-empty", "-m", "a state"]);
}

/// Returns how the script ends, and what it says.
fn script(folder: &Path, root: &str) -> (Option<i32>, String) {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/verify.sh");
    let output =
        Command::new("bash").arg(script).arg(folder).args(["HEAD", root]).output().expect("the script is here");
    let told = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    (output.status.code(), told)
}

/// A change to a plant with two releases, whose first manifest this is.
type Attack = fn(&mut Plant, Digest);

fn edit(plant: &mut Plant, path: &str, from: &str, to: &str) {
    let text = String::from_utf8(plant.bytes(path)).expect("UTF-8");
    assert!(text.contains(from), "{path}");
    plant.shelf.change(path, text.replacen(from, to, 1));
}

fn approval(manifest: Digest, by: &str) -> String {
    place::statement(&manifest, Side::Approve, &person(by), 1)
}

/// Prepares a change of values that is not yet approved.
fn prepared(plant: &mut Plant) -> Digest {
    let packets = [("MP-PA-101", "P-121", "121 by 3")];
    let manifest = plant.manifest(RiskClass::Value, &packets);
    plant.prepare(&manifest, &packets)
}

const ATTACKS: [(&str, Attack); 17] = [
    ("an edited manifest", |plant, digest| edit(plant, &place::manifest(&digest), "a change", "another")),
    ("an edited approval", |plant, digest| edit(plant, &approval(digest, "alice"), "T1", "T0")),
    ("an edited packet", |plant, _| plant.shelf.change(&place::packet(&Digest::of(b"122 by 1")), "122 by hand")),
    ("an edited roster", |plant, _| edit(plant, &place::allowed_signers(1), "alice@plant", "*")),
    ("an edited root", |plant, _| edit(plant, &place::root(1), "value 2", "value 1")),
    ("an edited record", |plant, _| edit(plant, "ledger/000/000002.record", "2027-01-01", "2026-01-01")),
    ("a record taken out", |plant, _| drop(plant.shelf.take("ledger/000/000002.record"))),
    ("a signature taken out", |plant, _| drop(plant.shelf.take("ledger/000/000003.record.sig"))),
    ("an approval taken out", |plant, digest| drop(plant.shelf.take(&approval(digest, "bob")))),
    ("a preparation taken out", |plant, digest| {
        drop(plant.shelf.take(&place::statement(&digest, Side::Prepare, &person("carol"), 1)));
    }),
    ("a signature of another purpose", |plant, digest| {
        let path = approval(digest, "alice");
        let armour = signature::sign(Namespace::Root, &plant.bytes(&path), &key("alice")).expect("signed");
        plant.shelf.change(&place::signature(&path), armour);
    }),
    ("one approval of two", |plant, _| {
        let digest = prepared(plant);
        plant.approve(digest, "alice");
        plant.release(digest, "2027-03-01");
    }),
    ("an approval by who made it", |plant, _| {
        let packets = [("MP-PA-101", "P-121", "121 by 3")];
        let manifest = Manifest { title: line("by alice"), ..plant.manifest(RiskClass::Value, &packets) };
        let digest = plant.prepare(&manifest, &packets);
        let own = plant.approve(digest, "carol");
        plant.approve(digest, "alice");
        let mut record = plant.release_record(digest, "2027-03-01");
        if let matchmark::trust::record::Entry::Release(release) = &mut record.entry {
            release.approvals.push(matchmark::trust::record::Named { person: person("carol"), digest: own });
        }
        plant.put_record(&record, &key("dave"));
    }),
    ("an approval by a key of nobody", |plant, _| {
        let digest = prepared(plant);
        plant.approve(digest, "alice");
        plant.say(digest, "bob", "approve", Meaning::ApprovedForUse, &key("mallory"));
        plant.release(digest, "2027-03-01");
    }),
    ("a record by who may not", |plant, _| {
        let entry = matchmark::trust::record::Entry::Heartbeat;
        let record = plant.ledger().next_record(entry, &person("alice"), plant.now()).expect("it goes on");
        plant.put_record(&record, &key("alice"));
    }),
    ("a root by one of two", |plant, _| plant.new_root(|root| root.plant = line("Southfield creamery"), &["alice"])),
    ("a root by a newcomer", |plant, _| {
        plant.new_root(
            |root| {
                root.persons.push(Member { person: person("mallory"), is_active: true, name: line("Mallory Quist") });
                root.keys.push(Held { person: person("mallory"), key: key("mallory").public() });
                root.roles.push(Granted { person: person("mallory"), role: role("root") });
            },
            &["alice", "mallory"],
        );
    }),
];

#[test]
#[ignore = "needs git, bash and ssh-keygen; `.ci/run` has them"]
fn the_script_and_the_verifier_agree() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    git(folder, &["init", "-q"]);
    fs::create_dir(folder.join("seals")).expect("writable");
    fs::write(folder.join("seals/MP-PA-101.md"), "the words").expect("writable");
    git(folder, &["add", "-A"]);
    git(folder, &["commit", "-q", "-m", "the words"]);
    let honest = || {
        let mut plant = Plant::new();
        plant.commit = git(folder, &["rev-list", "--max-parents=0", "HEAD"]);
        let first = plant.change(&PACKETS, "2027-01-01");
        plant.change(&PACKETS[..1], "2027-02-01");
        (plant, first)
    };
    let (plant, _) = honest();
    let root = Digest::of(&plant.bytes("trust/1.root")).to_string();
    commit(folder, &plant);
    assert!(plant.is_clean());
    let (code, told) = script(folder, &root);
    assert_eq!(code, Some(0), "{told}");
    assert!(told.starts_with("ledger 000003 "), "{told}");
    let (code, told) = script(folder, &Digest::of(b"another").to_string());
    assert_eq!(code, Some(1), "{told}");

    let (mut plant, first) = honest();
    plant.withdraw(first, "2027-03-01");
    plant.new_root(|root| root.plant = line("Southfield creamery"), &["erin", "recovery"]);
    let packets = [("MP-PA-102", "P-122", "102 by 1")];
    let manifest = plant.manifest(RiskClass::Safety, &packets);
    let digest = plant.prepare(&manifest, &packets);
    plant.say(digest, "alice", "safety", Meaning::ApprovedForUse, &key("alice"));
    plant.approve(digest, "erin");
    plant.release(digest, "2027-04-01");
    commit(folder, &plant);
    assert_eq!((plant.is_clean(), script(folder, &root).0), (true, Some(0)), "{:?}", script(folder, &root));

    let ledger = plant.ledger();
    let sealed = ledger.sealed().last().expect("a release");
    let lines = stock::commands(&ledger, sealed, &manifest).expect("a release").join("\n");
    let run = |lines: &str| {
        Command::new("sh").args(["-c", lines]).current_dir(folder).output().expect("a shell").status.success()
    };
    assert!(run(&lines), "{lines}");
    // Each line that compares is one that fails.
    let mut compared = 0;
    for line in lines.lines().filter(|line| line.contains("  -'") || line.contains("grep")) {
        let digest = line.rsplit(['\'', ' ']).find(|word| word.len() == 64).expect("a digest");
        assert!(!run(&lines.replace(line, &line.replace(digest, &"0".repeat(64)))), "{line}");
        compared += 1;
    }
    assert_eq!(compared, 2 + 1 + 3 * 2 + 1 + 1 + 1, "root, roster, record, statements, manifest, packet and source");
    assert!(!run(&lines.replace("-I alice@plant", "-I erin@plant")));

    for (name, attack) in ATTACKS {
        let (mut plant, first) = honest();
        attack(&mut plant, first);
        commit(folder, &plant);
        let (code, told) = script(folder, &root);
        assert!(!plant.is_clean(), "{name}");
        assert!(matches!(code, Some(1 | 3)), "{name}: {code:?} {told}");
        println!("{name}: {code:?} {}", told.lines().next().unwrap_or_default());
    }
}
