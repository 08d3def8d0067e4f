//! Addresses that only the user's own git reaches. There is no network in a test: a program called `ssh` stands in for it and
//! runs what it is asked for on this computer, as a server would.

use crate::clones::{Desk, Plant, Ran};
use std::fs;
use std::path::{Path, PathBuf};

#[cfg(unix)]
fn program(folder: &Path, name: &str, text: &str) -> PathBuf {
    use std::os::unix::fs::PermissionsExt as _;
    fs::create_dir_all(folder).expect("the stage is set");
    let path = folder.join(name);
    fs::write(&path, text).expect("the stage is set");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).expect("the stage is set");
    path
}

#[cfg(unix)]
fn by_ssh(plant: &Plant, desk: &Desk, words: &[&str]) -> Ran {
    let tools = plant.folder.path().join("tools");
    program(&tools, "ssh", "#!/bin/sh\nfor last; do :; done\nexec /bin/sh -c \"$last\"\n");
    let mut command = desk.command(&desk.binder, words);
    command.env("PATH", format!("{}:/usr/local/bin:/usr/bin:/bin", tools.display()));
    // What the surroundings of a hook or an alias leave behind must not count.
    command.env("GIT_DIR", "/nowhere").env("GIT_SSH_COMMAND", "false").env("GIT_WORK_TREE", "/nowhere");
    Ran::of(&command.output().expect("the stage is set"))
}

#[cfg(unix)]
#[test]
fn states_go_out_and_come_in_by_ssh() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    let address = format!("git@plant:{}", plant.store().display());
    carol.edit("seals/MP-1.md", "Remove the nuts", "Remove all nuts");
    carol.run(&["save"]).ends(0);
    by_ssh(&plant, &carol, &["sync", "--with", &address]).ends(0).says("Sent 1 save.");
    by_ssh(&plant, &carol, &["sync"]).ends(0).says("Nothing new on either side.");
    bob.edit("seals/MP-1.md", "Fit the casing", "Set the casing on");
    bob.run(&["save"]).ends(0);
    let ran = by_ssh(&plant, &bob, &["sync", "--with", &address]);
    ran.says("Brought in 1 save").says("Sent 2 saves.");
    carol.run(&["sync", "--with", plant.store().to_str().unwrap()]).says("Brought in");
    assert_eq!(carol.tip(), bob.tip());
    carol.is_sound();
    bob.is_sound();
    by_ssh(&plant, &bob, &["sync", "--with", "git@plant:/nowhere.git"]).ends(3).says("cannot be reached");
}

/// F13: a place that refuses says so in its own words, which drive no terminal; what was saved is still saved.
#[cfg(unix)]
#[test]
fn a_place_that_refuses_is_quoted_and_harmless() {
    let plant = Plant::new();
    let (carol, _) = plant.two();
    program(
        &plant.store().join("hooks"),
        "pre-receive",
        "#!/bin/sh\nprintf 'not on \\033[2J\\033[32mapproved\\033[0m Fridays\\n' >&2\nexit 1\n",
    );
    carol.edit("fleet.yaml", "torque: 10", "torque: 11");
    carol.run(&["save"]).ends(0);
    let address = format!("ssh://git@plant{}", plant.store().display());
    let ran = by_ssh(&plant, &carol, &["sync", "--with", &address]).ends(1);
    let ran = ran.says("the shared place refused what you saved; it is still saved here").says("Fridays");
    assert!(!ran.err.contains('\u{1b}') && !ran.out.contains("Sent"), "{}", ran.err);
    // By path nothing of the place is run: no rule can live there.
    carol.run(&["sync", "--with", plant.store().to_str().unwrap()]).ends(0).says("Sent 1 save.");
}

/// What a mailed binder is set to run is not run, neither by us nor by the git we call.
#[cfg(unix)]
#[test]
fn nothing_that_a_binder_is_set_to_run_is_run() {
    let plant = Plant::new();
    let (carol, _) = plant.two();
    let mark = plant.folder.path().join("ran");
    let evil = program(&plant.folder.path().join("evil"), "evil", &format!("#!/bin/sh\ntouch '{}'\n", mark.display()));
    let evil = evil.to_str().unwrap();
    let settings = [
        ("core.fsmonitor", evil.to_owned()),
        ("core.sshCommand", evil.to_owned()),
        ("core.hooksPath", plant.folder.path().join("evil").display().to_string()),
        ("core.gitProxy", evil.to_owned()),
        ("credential.helper", format!("!{evil}")),
        ("gpg.ssh.program", evil.to_owned()),
        ("filter.x.clean", evil.to_owned()),
        ("filter.x.smudge", evil.to_owned()),
        ("remote.origin.uploadpack", evil.to_owned()),
        ("remote.origin.receivepack", evil.to_owned()),
        ("url.ext::sh -c touch%20ran.insteadOf", "git@plant:".to_owned()),
        ("core.alternateRefsCommand", evil.to_owned()),
        ("uploadpack.packObjectsHook", evil.to_owned()),
    ];
    for (key, value) in &settings {
        carol.git(&["config", key, value]);
    }
    for hook in ["pre-push", "post-merge", "post-checkout", "reference-transaction", "post-index-change", "pre-commit"]
    {
        program(&carol.binder.join(".git/hooks"), hook, &format!("#!/bin/sh\ntouch '{}'\n", mark.display()));
    }
    carol.write(".gitattributes", "* filter=x\n");
    // A git in the open folder is never taken for the user's own.
    program(&carol.binder, "git", &format!("#!/bin/sh\ntouch '{}'\n", mark.display()));
    carol.edit("fleet.yaml", "torque: 10", "torque: 11");
    carol.run(&["save"]).ends(0);
    let address = format!("git@plant:{}", plant.store().display());
    by_ssh(&plant, &carol, &["sync", "--with", &address]).ends(0).says("Sent 1 save.");
    carol.run(&["history"]).ends(0);
    carol.run(&["undo", "--yes"]).ends(0);
    assert!(!mark.exists(), "something was run");
}

/// F34: without git, a folder works and an address is refused by name.
#[cfg(unix)]
#[test]
fn without_git_an_address_is_refused_by_name() {
    let plant = Plant::new();
    let (carol, _) = plant.two();
    let mut command = carol.command(&carol.binder, &["sync"]);
    command.env("PATH", ".:");
    Ran::of(&command.output().unwrap()).ends(0);
    let mut command = carol.command(&carol.binder, &["sync", "--with", "git@plant:x.git"]);
    command.env("PATH", ".:");
    Ran::of(&command.output().unwrap()).ends(3).says("no `git` was found");
}
