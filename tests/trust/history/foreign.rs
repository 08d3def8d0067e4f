//! A repository that came as an archive: whatever its settings name to be run, nothing is.

use crate::history::binder::Binder;
use std::fs;

const HOOKS: [&str; 12] = [
    "applypatch-msg",
    "commit-msg",
    "fsmonitor-watchman",
    "post-checkout",
    "post-commit",
    "post-index-change",
    "post-merge",
    "pre-auto-gc",
    "pre-commit",
    "pre-push",
    "prepare-commit-msg",
    "reference-transaction",
];

const COMMANDS: [&[&str]; 5] =
    [&["audit"], &["in-force"], &["verify", "MP-PA-101"], &["trust"], &["check", "--format", "plain"]];

#[test]
fn nothing_that_a_foreign_repository_names_is_run() {
    let binder = Binder::with_two_releases();
    let marker = binder.beside("ran");
    let program = binder.beside("program");
    let text = format!("#!/bin/sh\ntouch {}\nexit 0\n", marker.display());
    fs::create_dir_all(binder.own("hooks")).expect("writable");
    let elsewhere = binder.beside("hooks");
    fs::create_dir_all(&elsewhere).expect("writable");
    let mut programs = vec![program.clone()];
    programs.extend(HOOKS.iter().flat_map(|hook| [binder.own("hooks").join(hook), elsewhere.join(hook)]));
    for path in &programs {
        fs::write(path, &text).expect("writable");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            fs::set_permissions(path, fs::Permissions::from_mode(0o755)).expect("ours");
        }
    }
    let run = program.display();
    fs::write(binder.beside("more.config"), format!("[core]\n\tfsmonitor = {run}\n")).expect("writable");
    binder.set(&format!(
        "[core]\n\tfsmonitor = {run}\n\thooksPath = {}\n\teditor = {run}\n\tpager = {run}\n\tsshCommand = {run}\n\
         \taskPass = {run}\n\tgitProxy = {run}\n\talternateRefsCommand = {run}\n\tattributesFile = ../attributes\n\
         [include]\n\tpath = {}\n[gpg]\n\tprogram = {run}\n\tformat = ssh\n[gpg \"ssh\"]\n\tprogram = {run}\n\
         \tdefaultKeyCommand = {run}\n[commit]\n\tgpgSign = true\n[credential]\n\thelper = {run}\n\
         [filter \"evil\"]\n\tprocess = {run}\n\tclean = {run}\n\tsmudge = {run}\n\trequired = true\n\
         [diff]\n\texternal = {run}\n[diff \"evil\"]\n\ttextconv = {run}\n\tcommand = {run}\n\
         [merge \"evil\"]\n\tdriver = {run}\n[remote \"origin\"]\n\turl = ext::{run}\n\tuploadpack = {run}\n\tvcs = evil\n\
         [uploadpack]\n\tpackObjectsHook = {run}\n[trailer \"x\"]\n\tcommand = {run}\n[alias]\n\tstatus = !{run}\n",
        elsewhere.display(),
        binder.beside("more.config").display(),
    ));
    let attributes = "* filter=evil diff=evil merge=evil text eol=crlf ident\n";
    fs::write(binder.folder().join(".gitattributes"), attributes).expect("writable");
    fs::write(binder.beside("attributes"), attributes).expect("writable");
    for arguments in COMMANDS {
        let ran = binder.run(arguments);
        assert!(ran.code != 70 && ran.code != -1, "{arguments:?}: {}{}", ran.out, ran.err);
        assert!(!marker.exists(), "{arguments:?} ran something");
    }
    assert_eq!(binder.audit(), (0, vec![]));
    // What is planted does run, if it is let: the test can fail.
    let _ = std::process::Command::new("git").args(["status"]).current_dir(binder.folder()).output();
    assert!(marker.exists(), "stock git runs it");
}

#[test]
fn settings_that_name_another_open_folder_are_refused() {
    let binder = Binder::with_two_releases();
    let elsewhere = binder.beside("elsewhere");
    fs::create_dir(&elsewhere).expect("writable");
    binder.set(&format!("[core]\n\tworktree = {}\n", elsewhere.display()));
    for arguments in COMMANDS.iter().take(4) {
        let ran = binder.run(arguments);
        assert_eq!(ran.code, 3, "{arguments:?}: {}", ran.out);
        assert!(ran.err.contains("core.worktree"), "{}", ran.err);
    }
    assert_eq!(fs::read_dir(elsewhere).expect("readable").count(), 0);
}

#[test]
fn settings_that_are_no_settings_are_told() {
    let binder = Binder::with_two_releases();
    binder.set("[include]\n\tpath = /etc/passwd\n");
    let ran = binder.run(&["audit"]);
    assert!(ran.code == 3 || ran.code == 0, "{}{}", ran.out, ran.err);
    assert!(!ran.err.contains("root:"), "what another file holds is not shown: {}", ran.err);
    fs::write(binder.own("config"), "[core\n").expect("writable");
    let ran = binder.run(&["audit"]);
    assert_eq!(ran.code, 3, "{}{}", ran.out, ran.err);
}
