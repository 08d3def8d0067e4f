//! The samples of the registers' forms, judged as the program judges them: what is valid is silent, what is not is told.

use matchmark::base::path::BinderPath;
use matchmark::base::text::Texts;
use matchmark::source::schema::{self, FORMS};
use matchmark::source::yaml;
use std::path::{Path, PathBuf};

/// Returns the samples of a kind with their texts, in the order of their names.
fn samples(kind: &str) -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/samples").join(kind);
    let entries = std::fs::read_dir(folder).expect("the samples are part of the project");
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.expect("readable").path()).collect();
    paths.sort();
    let named = |path: PathBuf| {
        let name = path.file_name().expect("a file").to_string_lossy().into_owned();
        (name, std::fs::read_to_string(path).expect("UTF-8"))
    };
    paths.into_iter().map(named).collect()
}

/// Returns what the program says of a sample, a line each; the part of its name before the first point is its form.
fn told(name: &str, text: &str) -> Vec<String> {
    let form = name.split('.').next().unwrap_or_default();
    let (form, _, _) = FORMS.iter().find(|(_, own, _)| *own == form).expect(name);
    let mut texts = Texts::default();
    let file = texts.add(BinderPath::parse(name).expect("a plain name"), text.to_owned());
    let (node, mut findings) = yaml::parse(file, text, 0);
    findings.extend(node.iter().flat_map(|node| schema::violations(*form, node)));
    findings.iter().map(|finding| format!("{}: {}", finding.rule.0, finding.message)).collect()
}

#[test]
fn what_is_valid_is_silent_and_what_is_not_is_told() {
    let (valid, invalid) = (samples("valid"), samples("invalid"));
    assert!(valid.len() > 10 && invalid.len() > 90, "{} and {}", valid.len(), invalid.len());
    for (name, text) in &valid {
        assert_eq!(told(name, text), Vec::<String>::new(), "{name}");
    }
    let silent: Vec<&str> =
        invalid.iter().filter(|(name, text)| told(name, text).is_empty()).map(|(name, _)| name.as_str()).collect();
    assert_eq!(silent, Vec::<&str>::new());
}
