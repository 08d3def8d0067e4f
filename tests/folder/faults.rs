//! What goes wrong around a binder: each fault is named, nothing is half there, and the same command again finishes.

use crate::clones::{Plant, git};
use std::fs;
use std::process::Command;
use std::time::Instant;

/// F05: a lock file that an interrupted git left is named with its age; a young one is waited for.
#[test]
fn a_lock_that_was_left_is_named_and_never_removed() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    carol.write("fleet.yaml", "tags: []\n");
    let lock = carol.binder.join(".git/refs/heads/main.lock");
    fs::write(&lock, "").unwrap();
    let begun = Instant::now();
    let ran = carol.run(&["save"]).ends(3).says("refs/heads/main.lock` is in the way").says("it has been there for");
    ran.says("delete that file");
    assert!(begun.elapsed().as_secs() >= 4, "a young lock is waited for");
    assert!(lock.exists());
    fs::remove_file(&lock).unwrap();
    // One that goes away by itself within that time is only waited for.
    fs::write(&lock, "").unwrap();
    let remover = std::thread::spawn({
        let lock = lock.clone();
        move || {
            std::thread::sleep(std::time::Duration::from_millis(700));
            fs::remove_file(lock).unwrap();
        }
    });
    carol.run(&["save"]).ends(0).says("Saved 1 file");
    remover.join().unwrap();
    // Git's list of the open folder may be locked: it is saved all the same, and said.
    carol.write("fleet.yaml", "tags: [ ]\n");
    fs::write(carol.binder.join(".git/index.lock"), "").unwrap();
    carol.run(&["save"]).ends(0).says("Saved 1 file").says("index.lock");
    fs::remove_file(carol.binder.join(".git/index.lock")).unwrap();
    carol.run(&["save"]).ends(0).says("Nothing has changed");
}

/// F08: a folder that cannot be written is read, and a save says why not. Root is refused nothing by permissions, so the whole
/// folder is put on a read-only mount where that is allowed; where it is not, the test says so and shows nothing.
#[cfg(target_os = "linux")]
#[test]
fn a_read_only_folder_is_read_and_not_written() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save", "-m", "as found"]).ends(0);
    carol.write("fleet.yaml", "tags: []\n");
    let binder = carol.binder.to_str().unwrap();
    let program = env!("CARGO_BIN_EXE_matchmark");
    let script = format!(
        "mount --bind '{binder}' '{binder}' && mount -o remount,bind,ro '{binder}' && cd '{binder}' && \
         '{program}' history && '{program}' who fleet.yaml && '{program}' save -n && '{program}' save; echo \"code $?\""
    );
    let mut command = Command::new("unshare");
    command.args(["--mount", "--map-root-user", "sh", "-c", &script]);
    crate::clones::clean(&mut command, "carol", &carol.home);
    let ran = crate::clones::Ran::of(&command.output().expect("util-linux is installed"));
    if !ran.out.contains("as found")
        && (ran.err.contains("Operation not permitted") || ran.err.contains("permission denied"))
    {
        eprintln!("no read-only mount is allowed here; nothing was shown: {}", ran.err);
        return;
    }
    ran.says("carol: as found").says("changed     fleet.yaml").says("cannot write").says("code 3");
    carol.run(&["save"]).ends(0).says("Saved 1 file");
}

/// F35, F37: what is not an ordinary open folder works or is refused by name.
#[test]
fn odd_folders_work_or_are_refused_by_name() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    let first = carol.tip();
    carol.write("fleet.yaml", "tags: []\n");
    carol.run(&["save"]).ends(0);

    // A detached HEAD.
    carol.git(&["checkout", "--quiet", &first]);
    carol.write("fleet.yaml", "tags: [ ]\n");
    carol.run(&["save"]).ends(3).says("follows no line");
    carol.git(&["checkout", "--quiet", "-f", "main"]);

    // A worktree.
    let beside = plant.folder.path().join("beside");
    carol.git(&["worktree", "add", "--quiet", "-b", "beside", beside.to_str().unwrap()]);
    fs::write(beside.join("fleet.yaml"), "tags: [  ]\n").unwrap();
    carol.run_in(&beside, &["save", "-m", "beside"]).ends(0).says("Saved 1 file");
    assert_eq!(carol.git(&["log", "-1", "--format=%s", "beside"]), "beside\n");
    assert_eq!(git(&beside, "carol", &carol.home, &["status", "--short"]).out, "");

    // A submodule keeps a history of its own.
    let outer = plant.folder.path().join("outer");
    fs::create_dir_all(&outer).unwrap();
    git(&outer, "x", &carol.home, &["init", "--quiet"]).ends(0);
    let add =
        ["-c", "protocol.file.allow=always", "submodule", "--quiet", "add", carol.binder.to_str().unwrap(), "binder"];
    git(&outer, "x", &carol.home, &add).ends(0);
    fs::write(outer.join("binder/fleet.yaml"), "tags: [   ]\n").unwrap();
    carol.run_in(&outer.join("binder"), &["save"]).ends(0).says("Saved 1 file");

    // A binder within a larger repository, and one that this ignores.
    let inner = outer.join("inner");
    crate::clones::copy(&carol.binder, &inner);
    fs::remove_dir_all(inner.join(".git")).unwrap();
    carol.run_in(&inner, &["save"]).ends(2).says("is kept by git as a whole");
    fs::write(outer.join(".gitignore"), "inner/\n").unwrap();
    carol.run_in(&inner, &["save"]).ends(0).says("Saved");

    // A bare repository under the binder's own name.
    let bare = plant.folder.path().join("bare");
    fs::create_dir_all(&bare).unwrap();
    fs::write(bare.join("binder.yaml"), "format: 1\nname: x\n").unwrap();
    git(&bare, "x", &carol.home, &["init", "--quiet", "--bare", ".git"]).ends(0);
    carol.run_in(&bare, &["save"]).ends(3).says("bare repository");

    // A merge of git's own that was not ended, and its marks.
    carol.git(&["checkout", "--quiet", "-f", "main"]);
    carol.write("seals/MP-1.md", "ours\n");
    carol.run(&["save"]).ends(0);
    carol.git(&["checkout", "--quiet", "-b", "other", "HEAD~1"]);
    carol.write("seals/MP-1.md", "theirs\n");
    carol.run(&["save"]).ends(0);
    git(&carol.binder, "c", &carol.home, &["-c", "user.name=x", "-c", "user.email=x@x", "merge", "main"]).ends(1);
    carol.run(&["save"]).ends(3).says("git merge --abort");
    carol.git(&["add", "-A"]);
    fs::remove_file(carol.binder.join(".git/MERGE_HEAD")).unwrap();
    carol.run(&["save"]).ends(1).says("seals/MP-1.md:1").says("<<<<<<<");
}

/// F37: a repository of another user is not opened.
#[cfg(unix)]
#[test]
fn another_users_repository_is_refused() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    let chown =
        |what: &str| Command::new("chown").args(["-R", "12345", what]).output().expect("chown").status.success();
    if !chown(plant.store().to_str().unwrap()) {
        eprintln!("only root can give a folder to another user; nothing was shown");
        return;
    }
    carol.run(&["sync"]).ends(3).says("belongs to another user");
    chown(bob.binder.to_str().unwrap());
    bob.run(&["save"]).ends(3).says("belongs to another user");
}

/// F38: two commands at once in one folder: the second waits, then says who the first is.
#[cfg(unix)]
#[test]
fn a_second_command_says_who_is_at_it() {
    let plant = Plant::new();
    let carol = plant.desk("carol");
    carol.small();
    carol.run(&["save"]).ends(0);
    let held = fs::OpenOptions::new().read(true).write(true).open(carol.binder.join(".git/matchmark.lock")).unwrap();
    held.lock().unwrap();
    fs::write(carol.binder.join(".git/matchmark.lock"), "process 4711 on desk-2").unwrap();
    carol.write("fleet.yaml", "tags: []\n");
    carol.run(&["save"]).ends(3).says("another matchmark (process 4711 on desk-2)").says("wait until it has ended");
    drop(held);
    carol.run(&["save"]).ends(0).says("Saved 1 file");
}

/// Objects that are missing or damaged are told as that, and nothing is put in their place.
#[test]
fn a_history_that_is_not_whole_is_told() {
    let plant = Plant::new();
    let (carol, bob) = plant.two();
    let object = bob.git(&["rev-parse", "HEAD:fleet.yaml"]);
    let path = bob.binder.join(".git/objects").join(&object[..2]).join(object[2..].trim());
    let bytes = fs::read(&path).unwrap();
    fs::remove_file(&path).unwrap();
    bob.write("fleet.yaml", "tags: []\n");
    bob.run(&["undo", "fleet.yaml"]).ends(3).says("not whole");
    assert_eq!(bob.read("fleet.yaml"), "tags: []\n");
    bob.run(&["save"]).ends(0);
    // libgit2 would read it for ever.
    fs::write(&path, &bytes[..bytes.len() / 2]).unwrap();
    for words in [&["undo", "--yes"][..], &["history"], &["who", "fleet.yaml"], &["save"], &["sync"]] {
        bob.run(words).ends(3).says("was cut off").says("copy the binder again");
    }
    assert_eq!(bob.read("fleet.yaml"), "tags: []\n");
    // The shared place lost an object: what is brought in is not taken for whole.
    carol.edit("fleet.yaml", "torque: 10", "torque: 11");
    carol.run(&["save"]).ends(0);
    carol.run(&["sync"]).ends(0);
    let object = carol.git(&["rev-parse", "HEAD:fleet.yaml"]);
    fs::remove_file(plant.store().join("objects").join(&object[..2]).join(object[2..].trim())).unwrap();
    let dave = plant.desk("dave");
    let binder = dave.binder.to_str().unwrap();
    let store = plant.store();
    dave.run_in(&dave.home, &["sync", binder, "--copy-of", store.to_str().unwrap()]).ends(3).says("not whole");
}
