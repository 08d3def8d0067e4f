//! Gives the program a digest of its own sources, so that an output can be told from that of another program.

#![expect(clippy::disallowed_methods, reason = "a build script reads the sources it is part of")]

use sha2::{Digest as _, Sha256};
use std::path::{Path, PathBuf};

fn main() {
    let root = PathBuf::from(std::env::var_os("CARGO_MANIFEST_DIR").expect("cargo says where the package is"));
    let mut files = Vec::new();
    for name in ["src", "templates", "schema", "Cargo.lock"] {
        println!("cargo::rerun-if-changed={name}");
        collect(&root, name, &mut files);
    }
    files.sort();
    let mut digest = Sha256::new();
    for name in &files {
        let bytes = std::fs::read(root.join(name)).unwrap_or_default();
        digest.update(format!("{name}\0{}\0", bytes.len()));
        digest.update(&bytes);
    }
    println!("cargo::rustc-env=MATCHMARK_BUILD={}", &format!("{:x}", digest.finalize())[..16]);
}

/// Adds the files below `name`, with `/` between the parts of their paths.
fn collect(root: &Path, name: &str, files: &mut Vec<String>) {
    let Ok(entries) = std::fs::read_dir(root.join(name)) else {
        files.push(name.to_owned());
        return;
    };
    for entry in entries.filter_map(Result::ok) {
        collect(root, &format!("{name}/{}", entry.file_name().to_string_lossy()), files);
    }
}
