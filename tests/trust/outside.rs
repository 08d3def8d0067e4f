//! The same questions put to stock `ssh-keygen`; `.ci/run` runs these.

use crate::mutations::{MESSAGE, changed, changed_inside};
use crate::plant::{Known, Plant, key};
use matchmark::trust::key::SigningKey;
use matchmark::trust::place;
use matchmark::trust::signature::{self, Namespace};
use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

/// Tells whether `ssh-keygen` takes a signature for that of this person for this purpose.
fn verifies(folder: &Path, roster: &[u8], principal: &str, namespace: &str, message: &[u8], armour: &[u8]) -> bool {
    fs::write(folder.join("roster"), roster).expect("writable");
    fs::write(folder.join("sig"), armour).expect("writable");
    let mut child = Command::new("ssh-keygen")
        .args(["-Y", "verify", "-f", "roster", "-I", principal, "-n", namespace, "-s", "sig"])
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("ssh-keygen is here");
    // It may have refused before it read everything.
    let _ = child.stdin.take().expect("a pipe").write_all(message);
    child.wait().expect("it ends").success()
}

/// Writes a private key as OpenSSH wants it, readable by its owner alone.
#[cfg(unix)]
fn write_key(path: &Path, text: &str) {
    use std::os::unix::fs::OpenOptionsExt as _;
    let mut file =
        fs::OpenOptions::new().write(true).create(true).truncate(true).mode(0o600).open(path).expect("writable");
    file.write_all(text.as_bytes()).expect("writable");
}

fn keygen(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("ssh-keygen").args(arguments).current_dir(folder).output().expect("ssh-keygen is here");
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{arguments:?}: {told}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[test]
#[cfg(unix)]
#[ignore = "needs ssh-keygen of OpenSSH 8.2 or later; `.ci/run` has it"]
fn keys_and_signatures_go_both_ways() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let alice = key("alice");
    // Ours, locked, opened by theirs.
    let locked = alice.to_locked_file(b"a long passphrase", &mut Known::of("salt")).expect("written");
    write_key(&folder.join("ours"), &locked);
    let public = keygen(folder, &["-y", "-P", "a long passphrase", "-f", "ours"]);
    assert_eq!(public.trim_end().split(' ').take(2).collect::<Vec<_>>().join(" "), alice.public().to_string());
    write_key(&folder.join("open"), &alice.to_file().expect("written"));
    fs::write(folder.join("message"), MESSAGE).expect("writable");
    keygen(folder, &["-Y", "sign", "-f", "open", "-n", "approve.v1@matchmark", "message"]);
    let theirs = fs::read(folder.join("message.sig")).expect("signed");
    assert_eq!(theirs, signature::sign(Namespace::Approve, MESSAGE, &alice).expect("signed"), "the same bytes");
    // Theirs, opened by ours; the other hash is as good.
    keygen(folder, &["-q", "-t", "ed25519", "-N", "another phrase", "-C", "theirs", "-f", "theirs"]);
    let file = fs::read(folder.join("theirs")).expect("made");
    let own = SigningKey::open(&file, Some(b"another phrase")).expect("opened");
    assert_eq!(own.public_file(), fs::read_to_string(folder.join("theirs.pub")).expect("made"));
    fs::remove_file(folder.join("message.sig")).expect("it was there");
    let sign = ["-Y", "sign", "-O", "hashalg=sha256", "-f", "open", "-n", "approve.v1@matchmark", "message"];
    keygen(folder, &sign);
    let other = fs::read(folder.join("message.sig")).expect("signed");
    assert_ne!(other, theirs);
    assert_eq!(signature::signer(Namespace::Approve, MESSAGE, &other), Ok(alice.public()));
}

/// Every signature of an honest plant, with the roster of its root: and nobody else's name, nor another purpose.
#[test]
#[ignore = "needs ssh-keygen of OpenSSH 8.2 or later; `.ci/run` has it"]
fn every_signature_of_a_plant_is_found_good_by_ssh_keygen() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let mut plant = Plant::new();
    plant.change(&[("MP-PA-101", "P-121", "121 by 1")], "2027-01-01");
    assert_eq!(plant.verdicts(), [""; 0]);
    let roster = plant.bytes(&place::allowed_signers(1));
    let every = [Namespace::Approve, Namespace::Prepare, Namespace::Release, Namespace::Root];
    let mut signatures = 0;
    for (path, armour) in plant.shelf.files() {
        let Some(signed) = path.strip_suffix(".sig") else { continue };
        let (message, own, purpose) = if let Some(holder) = signed.strip_prefix("trust/1.root.") {
            (plant.bytes("trust/1.root"), holder.to_owned(), Namespace::Root)
        } else if signed.starts_with("ledger/") {
            (plant.bytes(signed), "dave".to_owned(), Namespace::Release)
        } else {
            let name = signed.rsplit('/').next().expect("a name");
            let (person, kind) = name.split_once('.').expect("a statement");
            let purpose = if kind == "prepare" { Namespace::Prepare } else { Namespace::Approve };
            (plant.bytes(signed), person.to_owned(), purpose)
        };
        for person in ["alice", "bob", "carol", "dave", "erin", "frank"] {
            for other in every {
                let principal = format!("{person}@plant");
                let good = verifies(folder, &roster, &principal, other.as_str(), &message, armour);
                assert_eq!(good, person == own && other == purpose, "{path} as {principal} for {}", other.as_str());
            }
        }
        signatures += 1;
    }
    assert_eq!(signatures, 2 + 1 + 3 + 1, "two of the root, its record, three statements and the release");
}

/// What `ssh-keygen` refuses is never accepted here; what it accepts in another spelling is refused here all the same.
#[test]
#[ignore = "needs ssh-keygen of OpenSSH 8.2 or later; `.ci/run` has it"]
fn nothing_is_accepted_that_ssh_keygen_refuses() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let (alice, mut chance) = (key("alice"), Known::of("outside"));
    let roster = Plant::new().bytes(&place::allowed_signers(1));
    let armour = signature::sign(Namespace::Approve, MESSAGE, &alice).expect("signed");
    let ask = |message: &[u8], armour: &[u8]| {
        let theirs = verifies(folder, &roster, "alice@plant", "approve.v1@matchmark", message, armour);
        let ours = signature::signer(Namespace::Approve, message, armour) == Ok(alice.public());
        (ours, theirs)
    };
    assert_eq!(ask(MESSAGE, &armour), (true, true));
    let (mut refused_by_both, mut refused_here) = (0, 0);
    for round in 0..600 {
        let (message, other) = match round % 3 {
            0 => (MESSAGE.to_vec(), changed(&armour, &mut chance)),
            1 => (MESSAGE.to_vec(), changed_inside(&armour, &mut chance)),
            _ => (changed(MESSAGE, &mut chance), armour.clone()),
        };
        match ask(&message, &other) {
            (false, false) => refused_by_both += 1,
            (false, true) => refused_here += 1,
            (true, theirs) => panic!(
                "accepted here, by ssh-keygen {theirs}: {}\n{}",
                String::from_utf8_lossy(&message),
                String::from_utf8_lossy(&other)
            ),
        }
    }
    println!("{refused_by_both} refused by both, {refused_here} by this program alone (another spelling)");
    assert!(refused_by_both > 400 && refused_here > 0);
}
