//! The list of licences is held against what the program is really made of.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

const LISTED: &str = include_str!("../../templates/licences.txt");
/// Set it to write the list anew: `MATCHMARK_WRITE_LICENCES=1 cargo test licences`.
const WRITE: &str = "MATCHMARK_WRITE_LICENCES";

/// Above the list.
const HEAD: &str = "\
MATCHMARK
Licensed under either of the MIT licence or the Apache License, version 2.0, at your choice (MIT OR Apache-2.0).
The texts are the files LICENSE-MIT and LICENSE-APACHE of the source. It comes without any warranty.

It prints maintenance procedures. It defers to the maker of the equipment, to local codes, to the site's lockout and
permit rules, and to competent, authorised people.

THE FONTS IN THE PROGRAM AND IN WHAT IT PRINTS
DejaVu Sans, DejaVu Sans Condensed and DejaVu Sans Mono, under this licence:
";

/// Between the fonts and the list.
const CRATES: &str = "\
EVERYTHING ELSE THE PROGRAM IS MADE OF
On any one platform it holds only a part of these. The text of each licence comes with the source of that package.
";

fn package() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Returns what cargo says of the packages, or none where cargo is not there or has not fetched them.
fn metadata(arguments: &[&str]) -> Option<Value> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--all-features"])
        .args(arguments)
        .current_dir(package())
        .output()
        .ok()?;
    output.status.success().then(|| serde_json::from_slice(&output.stdout).expect("cargo writes JSON"))
}

/// Returns name and version with the licence of everything that is linked into the program.
fn linked(metadata: &Value) -> BTreeMap<String, String> {
    let text = |value: &Value| value.as_str().expect("a text").to_owned();
    let list = |value: &Value| value.as_array().expect("a list").clone();
    let nodes: BTreeMap<String, Value> =
        list(&metadata["resolve"]["nodes"]).into_iter().map(|node| (text(&node["id"]), node)).collect();
    let root = text(&metadata["resolve"]["root"]);
    let mut open = vec![root.clone()];
    let mut reached: BTreeSet<String> = BTreeSet::new();
    while let Some(id) = open.pop() {
        if !reached.insert(id.clone()) {
            continue;
        }
        let is_linked = |one: &Value| list(&one["dep_kinds"]).iter().any(|kind| kind["kind"].is_null());
        open.extend(list(&nodes[&id]["deps"]).iter().filter(|one| is_linked(one)).map(|one| text(&one["pkg"])));
    }
    reached.remove(&root);
    let packages = list(&metadata["packages"]);
    let linked = packages.iter().filter(|package| reached.contains(&text(&package["id"])));
    linked
        .map(|package| {
            let name = format!("{} {}", text(&package["name"]), text(&package["version"]));
            (name, package["license"].as_str().expect("every package names its licence").to_owned())
        })
        .collect()
}

/// Returns the list's own entries.
fn listed(text: &str) -> BTreeMap<String, String> {
    let entries = text.split_once(CRATES).expect("the list has its heading").1;
    let entry = |line: &str| {
        let (name, licence) = line.split_once(": ").expect("an entry is `name version: licence`");
        (name.to_owned(), licence.to_owned())
    };
    entries.lines().filter(|line| !line.is_empty()).map(entry).collect()
}

fn written(metadata: &Value) -> String {
    let font = list_font(metadata);
    let mut text = format!("{HEAD}\n{}\n\n{CRATES}\n", font.trim());
    for (name, licence) in linked(metadata) {
        let _ = writeln!(text, "{name}: {licence}");
    }
    text
}

/// Returns the licence that lies beside the font files.
fn list_font(metadata: &Value) -> String {
    let packages = metadata["packages"].as_array().expect("a list");
    let dejavu = packages.iter().find(|one| one["name"] == "dejavu").expect("the fonts come as a package");
    let manifest = Path::new(dejavu["manifest_path"].as_str().expect("a path")).to_owned();
    let folder = manifest.parent().expect("a folder").join("assets/dejavu-fonts-ttf-2.37/LICENSE");
    let text = fs::read_to_string(folder).expect("the fonts come with their licence").replace("\r\n", "\n");
    text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

#[test]
fn every_package_is_listed_with_its_licence() {
    if std::env::var_os(WRITE).is_some() {
        let all = metadata(&[]).expect("all packages, those of other platforms too, can be fetched");
        fs::write(package().join("templates/licences.txt"), written(&all)).expect("the list can be written");
        return;
    }
    let host = Command::new("rustc").arg("-vV").output().ok().and_then(|output| {
        let text = String::from_utf8(output.stdout).ok()?;
        text.lines().find_map(|line| line.strip_prefix("host: ")).map(str::to_owned)
    });
    let here = host.and_then(|host| metadata(&["--offline", "--filter-platform", &host]));
    let here = here.expect("cargo and rustc, which built this test, tell what it was built of");
    let listed = listed(LISTED);
    let wrong: Vec<String> = linked(&here)
        .into_iter()
        .filter(|(name, licence)| listed.get(name) != Some(licence))
        .map(|(name, licence)| format!("{name}: {licence}"))
        .collect();
    assert!(wrong.is_empty(), "not in templates/licences.txt; run {WRITE}=1 cargo test licences\n{}", wrong.join("\n"));
    assert!(LISTED.contains(list_font(&here).trim()), "the licence of the fonts is whole");
}

#[test]
fn nothing_is_listed_that_is_not_locked() {
    let lock = fs::read_to_string(package().join("Cargo.lock")).expect("the lock file is part of the project");
    let is_locked = |name: &str| {
        let (name, version) = name.split_once(' ').expect("name and version");
        lock.contains(&format!("name = \"{name}\"\nversion = \"{version}\"\n"))
    };
    let gone: Vec<String> = listed(LISTED).into_keys().filter(|name| !is_locked(name)).collect();
    assert!(gone.is_empty(), "listed, but no longer part of the program: {gone:?}");
}
