//! `save`, `history` and `who`.

use crate::clones::{Plant, Ran, git};
use std::fs;

#[test]
fn the_first_save_makes_an_ordinary_repository() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.creamery();
    carol.run(&["save", "-n"]).ends(0).says("nothing was written");
    assert!(!carol.binder.join(".git").exists());
    carol.run(&["save", "-m", "as found"]).ends(0).says("Saved 21 files as").says(": as found");
    carol.is_sound();
    assert_eq!(carol.git(&["log", "--format=%an|%s"]), "carol|as found\n");
    assert_eq!(carol.git(&["symbolic-ref", "HEAD"]), "refs/heads/main\n");
    assert!(carol.read(".gitattributes").contains("ledger/** -text -diff"));
    assert_eq!(carol.git(&["check-ignore", "out/x"]), "out/x\n");
    let again = carol.run(&["save"]).ends(0).says("Nothing has changed since");
    assert!(!again.out.contains("Saved"));
    assert_eq!(carol.git(&["rev-list", "--count", "HEAD"]), "1\n");
}

/// What is saved is what stands on the disk, whatever git was told to make of it.
#[test]
fn bytes_are_kept_as_they_are() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    fs::write(carol.home.join(".gitconfig"), "[core]\n\tautocrlf = true\n[filter \"x\"]\n\tclean = sed s/25/250/\n")
        .unwrap();
    carol.write(".gitattributes", "*.md filter=x\n*.yaml text eol=crlf\n");
    let odd = "tags:\r\n  - {tag: P-1, torque: 25 N·m}\n\u{feff}x\r\n";
    carol.write("fleet.yaml", odd);
    carol.run(&["save"]).ends(0);
    let kept = git(&carol.binder, "carol", &carol.home, &["cat-file", "blob", "HEAD:fleet.yaml"]).ends(0).out;
    assert_eq!(kept, odd);
    assert!(carol.git(&["cat-file", "blob", "HEAD:seals/MP-1.md"]).contains("25 N·m"));
    carol.run(&["save"]).ends(0).says("Nothing has changed");
}

#[test]
fn who_saved_is_as_named_or_as_git_knows_or_as_the_computer_does() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.write("fleet.yaml", "tags: []\n");
    carol.run(&["save", "--as", "Carol Invented"]).ends(0).says("fleet.yaml changed");
    fs::write(carol.home.join(".gitconfig"), "[user]\n\tname = C. I.\n\temail = ci@plant.invalid\n").unwrap();
    carol.write("fleet.yaml", "tags: []\n\n");
    carol.run(&["save"]).ends(0);
    let authors = carol.git(&["log", "--format=%an <%ae>"]);
    assert_eq!(
        authors,
        "C. I. <ci@plant.invalid>\nCarol Invented <carol-invented@binder.invalid>\ncarol <carol@binder.invalid>\n"
    );
    let mut nobody = carol.command(&carol.binder, &["save"]);
    nobody.env_remove("USER").env("HOME", "/nowhere");
    carol.write("fleet.yaml", "tags: [ ]\n");
    Ran::of(&nobody.output().unwrap()).ends(2).says("it is not known who saves").says("--as");
}

/// What was signed and what is hidden stays; what git ignores and what was built is left out; what cannot be kept is named.
#[test]
fn what_is_not_saved_is_told() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.sign(&[("ledger/000/000001.record", "record v1\n"), (".hidden", "kept\n")], "a record");
    carol.write("ledger/000/000001.record", "forged\n");
    carol.write("ledger/000/000002.record", "dropped here\n");
    carol.write(".hidden", "other\n");
    carol.write("out/x.md", "ignored\n");
    carol.write("fleet.yaml", "tags: [ ]\n");
    carol.write("aux.md", "a name that Windows refuses\n");
    #[cfg(unix)]
    std::os::unix::fs::symlink("fleet.yaml", carol.binder.join("link.yaml")).unwrap();
    let ran = carol.run(&["save"]).ends(1).says("Saved 1 file").says("ledger/000/000001.record: it was signed");
    ran.says("link.yaml: it is a link").says("aux.md: Windows");
    assert_eq!(carol.git(&["show", "--name-only", "--format=", "HEAD"]), "fleet.yaml\n");
    assert_eq!(carol.git(&["cat-file", "blob", "HEAD:ledger/000/000001.record"]), "record v1\n");
    assert_eq!(carol.git(&["cat-file", "blob", "HEAD:.hidden"]), "kept\n");
    // A signed file that is missing in the open folder comes back by itself.
    fs::remove_file(carol.binder.join("ledger/000/000001.record")).unwrap();
    carol.run(&["save"]);
    assert_eq!(carol.read("ledger/000/000001.record"), "record v1\n");
    let large = vec![b' '; (16 << 20) + 1];
    fs::write(carol.binder.join("figures/large.svg"), large).unwrap();
    carol.run(&["save"]).ends(1).says("figures/large.svg").says("larger than the limit");
}

#[cfg(unix)]
#[test]
fn what_could_be_run_can_be_run_afterwards_and_a_folder_may_take_the_place_of_a_file() {
    use std::os::unix::fs::PermissionsExt as _;
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.write("tools/print.txt", "one\n");
    carol.write("notes", "a file\n");
    carol.run(&["save"]).ends(0);
    let tool = carol.binder.join("tools/print.txt");
    fs::set_permissions(&tool, fs::Permissions::from_mode(0o755)).unwrap();
    carol.git(&["add", "tools"]);
    carol.git(&["-c", "user.name=x", "-c", "user.email=x@x", "commit", "--quiet", "-m", "may be run"]);
    carol.write("tools/print.txt", "two\n");
    fs::remove_file(carol.binder.join("notes")).unwrap();
    carol.write("notes/a.md", "a folder now\n");
    carol.run(&["save"]).ends(0);
    assert!(carol.git(&["ls-tree", "HEAD", "tools/print.txt"]).starts_with("100755"));
    assert_eq!(carol.git(&["ls-tree", "-r", "--name-only", "HEAD", "notes"]), "notes/a.md\n");
    carol.run(&["undo", "--yes"]).ends(0);
    assert_eq!(carol.read("tools/print.txt"), "one\n");
    carol.run(&["undo", "--yes"]).ends(0);
    assert_eq!(fs::metadata(&tool).unwrap().permissions().mode() & 0o111, 0o111);
    carol.is_sound();
}

#[test]
fn the_past_is_told_by_state_and_by_line() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.creamery();
    carol.run(&["save", "--as", "alice", "-m", "as found"]).ends(0);
    carol.edit("seals/MP-PA-101.md", "18. Remove the impeller.", "18. Pull the impeller.");
    carol.run(&["save", "--as", "bob", "-m", "it was \u{1b}[31mpulled"]).ends(0);
    carol.edit("fleet.yaml", "Intake hall, bay 1", "Intake hall, bay 9");
    carol.run(&["save", "--as", "carol"]).ends(0);
    let all = carol.run(&["history"]).ends(0).says("bob: it was").says("MP-PA-101 (seals/MP-PA-101.md)");
    assert!(!all.out.contains('\u{1b}'), "nothing that a person wrote drives the terminal");
    assert_eq!(all.out.lines().filter(|line| !line.starts_with(' ')).count(), 3);
    let one = carol.run(&["history", "MP-PA-101", "--format", "csv"]).ends(0);
    assert_eq!(one.out.lines().count(), 3, "a header and two states: {}", one.out);
    let by_path = carol.run_in(&carol.binder.join("seals"), &["history", "MP-PA-101.md", "--format", "plain"]).ends(0);
    assert_eq!(by_path.out.lines().filter(|line| line.contains("bob")).count(), 1, "{}", by_path.out);
    let who = carol.run(&["who", "MP-PA-101"]).ends(0);
    let pulled = who.out.lines().position(|line| line.contains("18. Pull the impeller.")).expect("the line is shown");
    assert!(who.out.lines().nth(pulled - 1).unwrap().contains("bob"), "{}", who.out);
    carol.run(&["who", "fleet.yaml", "5", "--format", "json"]).ends(0).says("\"line\": 5");
    carol.run(&["history", "none.md"]).ends(2).says("neither in the open folder nor");
    carol.run(&["who", "none.md"]).ends(2);
    carol.run(&["who", "fleet.yaml", "x"]).ends(2);
}
