//! The program run as a person would run it, in an empty environment.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// What a run left behind.
pub(crate) struct Ran {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program with these arguments and variables in an environment that holds nothing else.
pub(crate) fn run_with(arguments: &[&str], variables: &[(&str, &str)]) -> Ran {
    let mut command = Command::new(env!("CARGO_BIN_EXE_matchmark"));
    command.args(arguments).env_clear().envs(variables.iter().copied()).current_dir(std::env::temp_dir());
    let output = command.output().expect("the program was built for this test");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Ran { code: output.status.code().unwrap_or(-1), out: text(&output.stdout), err: text(&output.stderr) }
}

/// Runs the program in an empty environment.
pub(crate) fn run(arguments: &[&str]) -> Ran {
    run_with(arguments, &[])
}

/// Copies a folder with everything in it.
pub(crate) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a temporary folder");
    for entry in fs::read_dir(from).expect("readable") {
        let entry = entry.expect("readable");
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("a temporary folder");
        }
    }
}

/// A binder that was built into a folder of its own.
pub(crate) struct Built {
    folder: TempDir,
}

impl Built {
    /// Copies the example to a new place and builds it there.
    #[track_caller]
    pub(crate) fn creamery(more: &[&str], variables: &[(&str, &str)]) -> Self {
        let folder = TempDir::new().expect("a temporary folder");
        let binder = folder.path().join("binder");
        copy(Path::new(crate::binder::CREAMERY), &binder);
        let built = Self { folder };
        let out = built.out();
        let arguments = ["build", binder.to_str().expect("UTF-8"), "--out", out.to_str().expect("UTF-8")];
        let ran = run_with(&[&arguments, more].concat(), variables);
        assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
        built
    }

    /// Returns the folder with the outputs.
    pub(crate) fn out(&self) -> PathBuf {
        self.folder.path().join("out")
    }

    /// Returns every output with its bytes, sorted by path.
    pub(crate) fn files(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let out = self.out();
        let mut found = below(&out);
        found.sort();
        found
            .into_iter()
            .map(|path| (path.strip_prefix(&out).expect("below").to_owned(), fs::read(&path).expect("readable")))
            .collect()
    }
}

/// Returns every file below a folder.
pub(crate) fn below(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("readable").map(|entry| entry.expect("readable").path());
    entries.flat_map(|path| if path.is_dir() { below(&path) } else { vec![path] }).collect()
}

#[test]
fn exit_codes_say_what_happened() {
    let folder = TempDir::new().expect("a temporary folder");
    let path = |name: &str| folder.path().join(name).to_str().expect("UTF-8").to_owned();
    copy(Path::new(crate::binder::CREAMERY), &folder.path().join("good"));
    assert_eq!(run(&["check", &path("good")]).code, 0);
    assert_eq!(run(&["init", &path("begun")]).code, 0);
    assert_eq!(run(&["check", &path("begun")]).code, 1);
    assert_eq!(run(&["chekc"]).code, 2);
    assert_eq!(run(&["check", &path("good"), "--tag", "P-999"]).code, 2);
    assert_eq!(run(&["check", folder.path().to_str().expect("UTF-8")]).code, 3);
    let nothing = run(&["build", &path("good"), "--out", &path("out"), "--procedure", "MP-PX-210", "--tag", "P-101"]);
    assert_eq!(nothing.code, 3, "{}", nothing.err);
    assert!(nothing.err.contains("no procedure that was asked for is for P-101"), "{}", nothing.err);
    assert!(!folder.path().join("out").exists());
    let settings = folder.path().join("good/binder.yaml");
    let text = fs::read_to_string(&settings).expect("readable");
    fs::write(&settings, text.replace("format: 1", "format: 9")).expect("writable");
    let newer = run(&["check", &path("good")]);
    assert_eq!(newer.code, 3);
    assert!(newer.err.contains("this binder has format 9"), "{}", newer.err);
}

/// A card that cannot be read from where it hangs is refused with the cheapest remedy; everything else is built.
#[cfg(feature = "pdf")]
#[test]
fn a_card_that_does_not_fit_is_refused_and_the_rest_is_built() {
    let folder = TempDir::new().expect("a temporary folder");
    copy(Path::new(crate::binder::CREAMERY), &folder.path().join("binder"));
    let settings = folder.path().join("binder/binder.yaml");
    let text = fs::read_to_string(&settings).expect("readable");
    let small = "  cards:\n    on wall: {size: A5, orientation: portrait, distance: 700 mm, edge: 6 mm, flip: short edge}\nlimits:";
    fs::write(&settings, text.replace("limits:", small)).expect("writable");
    let at = |name: &str| folder.path().join(name).to_str().expect("UTF-8").to_owned();
    let ran = run(&["build", &at("binder"), "--tag", "P-133", "--out", &at("out")]);
    assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("it fits if"), "{}", ran.err);
    let out = folder.path().join("out");
    assert!(out.join("packets/MP-PA-101/P-133.pdf").exists() && out.join("packets/MP-PA-101/P-133.html").exists());
    assert!(!out.join("cards").exists());
}

#[test]
fn the_same_binder_gives_the_same_bytes_anywhere() {
    same_bytes(&["--tag", "P-121", "--tag", "X-203"]);
}

#[test]
#[ignore = "builds every packet twice; `.ci/run` runs it"]
fn every_output_of_the_example_is_the_same_bytes_anywhere() {
    same_bytes(&[]);
}

/// Two builds, on two paths, in two time zones, in two languages: the same files, byte for byte.
fn same_bytes(more: &[&str]) {
    let here =
        Built::creamery(more, &[("TZ", "Pacific/Auckland"), ("LANG", "de_DE.UTF-8"), ("RAYON_NUM_THREADS", "1")]);
    let there = Built::creamery(more, &[("TZ", "America/St_Johns"), ("LC_ALL", "C"), ("SOURCE_DATE_EPOCH", "1")]);
    let (here, there) = (here.files(), there.files());
    let names =
        |files: &[(PathBuf, Vec<u8>)]| files.iter().map(|(path, _)| path.display().to_string()).collect::<Vec<_>>();
    assert_eq!(names(&here), names(&there));
    assert!(here.len() >= 5, "{:?}", names(&here));
    for ((path, one), (_, other)) in here.iter().zip(&there) {
        assert!(one == other, "{} differs", path.display());
    }
}
