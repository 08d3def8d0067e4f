//! The checker made of stock tools and the program, asked about the same real repositories, honest and attacked at git's layer.

use crate::history::binder::{Binder, NEXT, PACKETS};
use matchmark::trust::digest::Digest;
use matchmark::trust::place;
use std::fs;
use std::path::Path;
use std::process::Command;

fn script(binder: &Binder) -> (Option<i32>, String) {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/verify.sh");
    let output = Command::new("bash").arg(script).arg(binder.folder()).output().expect("the script is here");
    let told = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    (output.status.code(), told)
}

const SECOND: &str = "ledger/000/000002.record";

/// What an attacker does, and how both must end.
type Attack = (&'static str, fn(&mut Binder), i32);

const ATTACKS: [Attack; 13] = [
    ("nothing", |_| {}, 0),
    ("a tag that was moved", |binder| drop(binder.git(&["tag", "rel/MP-PA-101/9", "HEAD~3"])), 0),
    (
        "a hidden file of the open folder",
        |binder| fs::write(binder.folder().join(SECOND), "another").expect("writable"),
        0,
    ),
    ("a record taken out", |binder| drop(binder.forge("0", "", SECOND)), 1),
    (
        "a record taken out and put back",
        |binder| {
            let real = binder.git(&["rev-parse", &format!("HEAD:{SECOND}")]);
            binder.forge("0", "", SECOND);
            binder.forge("100644", &real, SECOND);
        },
        1,
    ),
    (
        "a packet changed",
        |binder| {
            let path = place::packet(&Digest::of(b"122 by 1"));
            binder.forge("100644", &binder.blob("122 by hand"), &path);
        },
        1,
    ),
    (
        "a merge that drops a record",
        |binder| {
            let start = binder.git(&["rev-parse", "HEAD"]);
            binder.change(&[("MP-PA-101", "P-121", "121 by 3")], "2026-10-03");
            let released = binder.git(&["rev-parse", "HEAD"]);
            binder.git(&["checkout", "-q", "-B", "main", &start]);
            binder.git(&["commit", "-q", "--allow-empty", "-m", "harmless"]);
            binder.git(&["merge", "-q", "-s", "ours", "-m", "a merge", &released]);
        },
        1,
    ),
    ("a link", |binder| drop(binder.forge("120000", &binder.blob("elsewhere"), "trust/2.root")), 1),
    ("a program", |binder| drop(binder.forge("100755", &binder.blob("x"), "trust/2.root")), 1),
    (
        "another repository",
        |binder| {
            let id = binder.git(&["rev-parse", "HEAD"]);
            binder.forge("160000", &id, "register/more");
        },
        1,
    ),
    ("a name in capitals", |binder| drop(binder.forge("100644", &binder.blob("x"), "ledger/000/000002.RECORD")), 1),
    (
        "a replaced object",
        |binder| {
            let path = place::packet(&Digest::of(b"121 by 2"));
            let (real, other) = (binder.git(&["rev-parse", &format!("HEAD:{path}")]), binder.blob("121 by hand"));
            binder.git(&["replace", &real, &other]);
        },
        1,
    ),
    (
        "a cut history",
        |binder| {
            let id = binder.git(&["rev-parse", "HEAD~1"]);
            fs::write(binder.own("shallow"), format!("{id}\n")).expect("writable");
        },
        3,
    ),
];

#[test]
#[ignore = "needs git, bash and ssh-keygen; `.ci/run` has them"]
fn the_script_and_the_program_agree_on_real_repositories() {
    for (name, attack, code) in ATTACKS {
        let mut binder = Binder::new();
        binder.change(&PACKETS, "2026-10-01");
        binder.change(&NEXT, "2026-10-02");
        attack(&mut binder);
        let (own, told) = binder.audit();
        let (theirs, said) = script(&binder);
        assert_eq!((own, theirs), (code, Some(code)), "{name}: {told:#?}\n{said}");
        println!("{name}: {own} {theirs:?} {}", said.lines().next().unwrap_or_default());
    }
}
