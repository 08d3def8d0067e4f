//! What a build leaves on the disk: all of it or nothing, and never anybody else's files touched.

use super::*;

fn path(text: &str) -> BinderPath {
    BinderPath::parse(text).unwrap()
}

/// Returns a manifest of these outputs, as far as this room reads it.
fn manifest(outputs: &[(&str, &str, &str)]) -> Vec<u8> {
    let outputs: Vec<_> = outputs
        .iter()
        .map(|(path, sha256, key)| serde_json::json!({"path": path, "sha256": sha256, "key": key}))
        .collect();
    format!("{{\n  {MARKER},\n  \"outputs\": {}\n}}\n", serde_json::Value::from(outputs)).into_bytes()
}

/// Writes a build of these outputs, each made out of the key `key-` and its text.
fn build(out: &Path, outputs: &[(&str, &str)]) -> Result<Committed, OutputError> {
    let writer = Outputs::begin(out, Path::new("nowhere/binder"))?;
    let mut listed = Vec::new();
    for (name, text) in outputs {
        let key = format!("key-{text}");
        let sha256 = match writer.keep(&path(name), &key)? {
            Some(sha256) => sha256,
            None => writer.write(&path(name), text.as_bytes())?,
        };
        listed.push((*name, sha256, key));
    }
    let listed: Vec<_> = listed.iter().map(|(name, sha256, key)| (*name, sha256.as_str(), key.as_str())).collect();
    writer.commit(&manifest(&listed))
}

/// Returns every name below `folder` with the file's text, hidden ones included.
fn tree(folder: &Path) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(one) = folders.pop() {
        for entry in fs::read_dir(&one).unwrap() {
            let place = entry.unwrap().path();
            if place.is_dir() {
                folders.push(place.clone());
            }
            let name = place.strip_prefix(folder).unwrap().display().to_string().replace('\\', "/");
            found.insert(name, fs::read_to_string(&place).unwrap_or_default());
        }
    }
    found
}

fn names(folder: &Path) -> Vec<String> {
    tree(folder).into_keys().collect()
}

#[test]
fn a_second_build_keeps_what_is_the_same_and_removes_what_is_stale() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("a/out");
    let first = build(&out, &[("index.html", "i"), ("packets/M/P.html", "p"), ("cards/M/x.pdf", "c")]).unwrap();
    assert_eq!(first, Committed { written: 3, kept: 0, removed: vec![] });
    fs::write(out.join("cards/M/mine.txt"), "mine").unwrap();
    let modified = fs::metadata(out.join("index.html")).unwrap().modified().unwrap();
    let second = build(&out, &[("index.html", "i"), ("packets/M/P.html", "new")]).unwrap();
    assert_eq!(second, Committed { written: 1, kept: 1, removed: vec![path("cards/M/x.pdf")] });
    assert_eq!(
        names(&out),
        [
            ".lock",
            "cards",
            "cards/M",
            "cards/M/mine.txt",
            "index.html",
            "manifest.json",
            "packets",
            "packets/M",
            "packets/M/P.html"
        ]
    );
    assert_eq!(fs::read_to_string(out.join("packets/M/P.html")).unwrap(), "new");
    assert_eq!(fs::metadata(out.join("index.html")).unwrap().modified().unwrap(), modified);
    let third = build(&out, &[("index.html", "i")]).unwrap();
    assert_eq!(third.removed, [path("packets/M/P.html")]);
    assert!(!out.join("packets").exists(), "an empty folder was left");
}

#[test]
fn an_output_that_somebody_changed_is_written_again() {
    let folder = tempfile::tempdir().unwrap();
    build(folder.path(), &[("index.html", "i")]).unwrap();
    fs::write(folder.path().join("index.html"), "scribbled on").unwrap();
    assert_eq!(build(folder.path(), &[("index.html", "i")]).unwrap().written, 1);
    assert_eq!(fs::read_to_string(folder.path().join("index.html")).unwrap(), "i");
}

#[test]
fn a_build_that_dies_leaves_the_last_good_one() {
    let folder = tempfile::tempdir().unwrap();
    build(folder.path(), &[("index.html", "good")]).unwrap();
    let before = tree(folder.path());
    let writer = Outputs::begin(folder.path(), Path::new("nowhere")).unwrap();
    writer.write(&path("index.html"), b"half").unwrap();
    drop(writer);
    assert_eq!(tree(folder.path()), before);
    // A killed process cannot even do that much; the next build clears what it left.
    fs::create_dir_all(folder.path().join(".staging-1/packets")).unwrap();
    build(folder.path(), &[("index.html", "good")]).unwrap();
    assert_eq!(tree(folder.path()), before);
}

#[test]
fn a_first_build_that_dies_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let writer = Outputs::begin(&out, Path::new("nowhere")).unwrap();
    writer.write(&path("index.html"), b"half").unwrap();
    drop(writer);
    assert!(!out.exists());
}

#[test]
fn a_build_killed_while_moving_is_mended_by_the_next() {
    let folder = tempfile::tempdir().unwrap();
    build(folder.path(), &[("a.html", "a"), ("b.html", "b")]).unwrap();
    // Killed after `c.html` had been moved into place and before the manifest was.
    fs::rename(folder.path().join(MANIFEST), folder.path().join(BEFORE)).unwrap();
    fs::write(folder.path().join("c.html"), "c").unwrap();
    fs::write(folder.path().join(NEXT), manifest(&[("c.html", "?", "key-c")])).unwrap();
    assert!(is_ours(folder.path()));
    let mended = build(folder.path(), &[("a.html", "a")]).unwrap();
    assert_eq!(mended, Committed { written: 0, kept: 1, removed: vec![path("b.html"), path("c.html")] });
    assert_eq!(names(folder.path()), [".lock", "a.html", "manifest.json"]);
}

#[test]
fn a_move_that_is_refused_is_taken_back_whole() {
    let folder = tempfile::tempdir().unwrap();
    build(folder.path(), &[("a.html", "old"), ("b.html", "old")]).unwrap();
    // A folder where the staged file has vanished stands for any move the platform refuses half way.
    let before = tree(folder.path());
    let writer = Outputs::begin(folder.path(), Path::new("nowhere")).unwrap();
    for name in ["a.html", "b.html", "c/d.html"] {
        writer.write(&path(name), b"new").unwrap();
    }
    fs::remove_file(writer.staging.join("c/d.html")).unwrap();
    let error = writer.commit(&manifest(&[])).unwrap_err();
    assert!(error.to_string().starts_with("cannot replace `"), "{error}");
    assert!(error.to_string().contains("d.html"), "{error}");
    assert_eq!(tree(folder.path()), before);
}

#[test]
fn folders_of_others_and_the_binder_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let binder = folder.path().join("plant/binder");
    fs::create_dir_all(&binder).unwrap();
    fs::write(binder.join("binder.yaml"), "").unwrap();
    let refused = |out: &Path| Outputs::begin(out, &binder).unwrap_err();
    assert_eq!(refused(&binder), OutputError::HoldsBinder(binder.clone()));
    assert!(matches!(refused(&folder.path().join("plant")), OutputError::HoldsBinder(_)));
    assert!(matches!(refused(&binder.join("../binder")), OutputError::HoldsBinder(_)));
    let theirs = folder.path().join("theirs");
    fs::create_dir(&theirs).unwrap();
    fs::write(theirs.join("manifest.json"), "{\"outputs\": []}").unwrap();
    assert_eq!(refused(&theirs), OutputError::Foreign(theirs.clone()));
    assert_eq!(names(&theirs), ["manifest.json"]);
    assert!(Outputs::begin(&binder.join("out"), &binder).is_ok());
}

#[test]
fn two_builds_do_not_write_into_one_folder_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let first = Outputs::begin(folder.path(), Path::new("nowhere")).unwrap();
    let second = Outputs::begin(folder.path(), Path::new("nowhere")).unwrap_err();
    assert_eq!(second, OutputError::Busy(folder.path().to_owned()));
    drop(first);
    assert!(Outputs::begin(folder.path(), Path::new("nowhere")).is_ok());
}

#[test]
fn two_outputs_of_one_name_are_refused_on_every_platform() {
    let folder = tempfile::tempdir().unwrap();
    let writer = Outputs::begin(folder.path(), Path::new("nowhere")).unwrap();
    writer.write(&path("packets/M/p-1.html"), b"").unwrap();
    let error = writer.write(&path("packets/M/P-1.html"), b"").unwrap_err();
    assert_eq!(error, OutputError::Twice("packets/M/P-1.html".to_owned()));
    assert!(writer.write(&path("manifest.json"), b"").is_err());
}

#[test]
fn many_threads_may_write_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let writer = Outputs::begin(folder.path(), Path::new("nowhere")).unwrap();
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let writer = &writer;
            scope.spawn(move || {
                for n in 0..50 {
                    writer.write(&path(&format!("packets/{n}/{thread}.html")), b"x").unwrap();
                }
            });
        }
    });
    assert_eq!(writer.commit(&manifest(&[])).unwrap().written, 200);
}

#[test]
fn a_place_where_no_folder_can_be_is_named() {
    // Permissions would not stop a superuser, under whom the tests of a server run; a file in the way stops everybody.
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    File::create(&file).unwrap();
    let error = Outputs::begin(&file.join("out"), Path::new("nowhere")).unwrap_err();
    assert!(error.to_string().contains("file"), "{error}");
    assert!(file.is_file(), "what stood there is untouched");
}
