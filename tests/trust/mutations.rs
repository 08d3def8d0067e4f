//! Signatures and signed bytes, changed a little at ten thousand places: none is taken for what was signed.

use crate::plant::{Known, Plant, key};
use matchmark::trust::signature::{self, Namespace};

/// What was signed.
pub(crate) const MESSAGE: &[u8] =
    b"approval v1\nrepository: r-5a5a\nmanifest: 00\nperson: alice\nmeaning: approved for use\n";

/// Returns bytes with one to three small changes, which are not those that were given.
pub(crate) fn changed(bytes: &[u8], chance: &mut Known) -> Vec<u8> {
    loop {
        let mut other = bytes.to_vec();
        for _ in 0..=chance.below(3) {
            let at = chance.below(other.len());
            match chance.below(7) {
                0 => other[at] ^= 1 << chance.below(8),
                1 => drop(other.remove(at)),
                2 => other.insert(at, b"\n\r =A/+0-"[chance.below(9)]),
                3 => other[at] = b"ABCDEFGHabcdefgh01234567+/=\n"[chance.below(28)],
                4 => {
                    let to = chance.below(other.len());
                    other.swap(at, to);
                }
                5 => other.truncate(at.max(1)),
                _ => other.extend_from_slice([&b"\n"[..], b"junk\n", b" ", b"=\n"][chance.below(4)]),
            }
            if other.is_empty() {
                other.push(b'A');
            }
        }
        if other != bytes {
            return other;
        }
    }
}

/// Returns a signature file in its form whose decoded bytes were changed at one place.
pub(crate) fn changed_inside(armour: &[u8], chance: &mut Known) -> Vec<u8> {
    let text = str::from_utf8(armour).expect("ASCII");
    let body: String = text.lines().filter(|line| !line.starts_with('-')).collect();
    let mut bytes = data_encoding::BASE64.decode(body.as_bytes()).expect("base64");
    let at = chance.below(bytes.len());
    bytes[at] ^= 1 << chance.below(8);
    let encoded = data_encoding::BASE64.encode(&bytes);
    let lines: Vec<&str> = encoded.as_bytes().chunks(70).map(|line| str::from_utf8(line).expect("ASCII")).collect();
    format!("-----BEGIN SSH SIGNATURE-----\n{}\n-----END SSH SIGNATURE-----\n", lines.join("\n")).into_bytes()
}

#[test]
fn no_changed_signature_or_message_is_accepted() {
    let (alice, mut chance) = (key("alice"), Known::of("mutations"));
    let armour = signature::sign(Namespace::Approve, MESSAGE, &alice).expect("signed");
    assert_eq!(signature::signer(Namespace::Approve, MESSAGE, &armour), Ok(alice.public()));
    for _ in 0..9400 {
        let other = changed(&armour, &mut chance);
        let found = signature::signer(Namespace::Approve, MESSAGE, &other);
        assert!(found.is_err(), "{}", String::from_utf8_lossy(&other));
    }
    for _ in 0..300 {
        let other = changed_inside(&armour, &mut chance);
        assert!(signature::signer(Namespace::Approve, MESSAGE, &other).is_err(), "{}", String::from_utf8_lossy(&other));
    }
    for _ in 0..300 {
        let other = changed(MESSAGE, &mut chance);
        assert!(signature::signer(Namespace::Approve, &other, &armour).is_err(), "{}", String::from_utf8_lossy(&other));
    }
}

/// What was not signed is accepted by nobody, so that nothing is left to ask `ssh-keygen` about: of whatever it refuses, all of
/// this is refused here.
#[test]
#[ignore = "takes a while; `.ci/run` runs it"]
fn of_a_million_changed_signatures_and_statements_none_is_accepted() {
    const HANDS: u64 = 4;
    const EACH: usize = 250_000;
    let hand = |hand: u64| {
        let alice = key("alice");
        let mut chance = Known::of(&format!("a million, {hand}"));
        let armour = signature::sign(Namespace::Approve, MESSAGE, &alice).expect("signed");
        for round in 0..EACH {
            let (message, signed) = match round % 5 {
                0 => (changed(MESSAGE, &mut chance), armour.clone()),
                1 => (MESSAGE.to_vec(), changed_inside(&armour, &mut chance)),
                _ => (MESSAGE.to_vec(), changed(&armour, &mut chance)),
            };
            let found = signature::signer(Namespace::Approve, &message, &signed);
            assert!(found.is_err(), "{}\n{}", String::from_utf8_lossy(&message), String::from_utf8_lossy(&signed));
        }
        EACH
    };
    let done: usize = std::thread::scope(|scope| {
        let hands: Vec<_> = (0..HANDS).map(|own| scope.spawn(move || hand(own))).collect();
        hands.into_iter().map(|own| own.join().expect("it ends")).sum()
    });
    assert_eq!(done, 1_000_000);
}

/// The files of a plant with two releases; each of them is needed.
fn plant() -> Plant {
    let mut plant = Plant::new();
    plant.change(&[("MP-PA-101", "P-121", "121 by 1"), ("MP-PA-101", "P-122", "122 by 1")], "2027-01-01");
    plant.change(&[("MP-PA-101", "P-121", "121 by 2")], "2027-02-01");
    assert!(plant.is_clean());
    plant
}

#[test]
fn a_change_of_any_protected_file_is_noticed() {
    let honest = plant();
    let files: Vec<(String, Vec<u8>)> =
        honest.shelf.files().map(|(path, bytes)| (path.to_owned(), bytes.to_vec())).collect();
    let mut chance = Known::of("files");
    for round in 0..80 {
        let (path, bytes) = &files[if round < files.len() { round } else { chance.below(files.len()) }];
        let mut plant = honest.clone();
        let other = changed(bytes, &mut chance);
        plant.shelf.change(path, other.clone());
        assert!(!plant.is_clean(), "{path}\n{}", String::from_utf8_lossy(&other));
    }
}

/// Where the last record and its signature are gone together the ledger ends early, which only a memory shows.
#[test]
fn a_protected_file_that_is_taken_out_is_noticed() {
    let honest = plant();
    let paths: Vec<String> = honest.shelf.files().map(|(path, _)| path.to_owned()).collect();
    for path in paths {
        let mut plant = honest.clone();
        plant.shelf.take(&path);
        assert!(!plant.is_clean(), "{path}");
    }
}
