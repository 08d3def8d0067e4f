//! What comes out of a build, judged by programs that nobody here wrote; `.ci/run` installs them and runs these tests.

use crate::program::{Built, below};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

/// Runs an outside program and returns what it printed; it must be there and succeed.
#[track_caller]
fn outside(program: &str, arguments: &[&str], paths: &[&Path]) -> String {
    let output =
        Command::new(program).args(arguments).args(paths).output().unwrap_or_else(|error| panic!("{program}: {error}"));
    let text = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert!(output.status.success(), "{program} {arguments:?} {paths:?}\n{text}");
    text
}

/// Returns the folder with the packages that `.ci/run` installed.
fn packages() -> PathBuf {
    PathBuf::from(std::env::var("MATCHMARK_OUTSIDE").expect("`.ci/run` names the folder"))
}

/// Returns the example, built once for all that look at it.
fn built() -> &'static Built {
    static BUILT: LazyLock<Built> = LazyLock::new(|| Built::creamery(&[], &[]));
    &BUILT
}

/// Returns every file below a folder with this extension, sorted.
fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let mut found: Vec<PathBuf> =
        below(folder).into_iter().filter(|path| path.extension().is_some_and(|own| own == extension)).collect();
    found.sort();
    found
}

/// Returns the text of a PDF with single plain spaces.
fn text_of(pdf: &Path) -> String {
    let text = outside("pdftotext", &["-layout"], &[pdf, Path::new("-")]);
    text.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
#[ignore = "needs qpdf and poppler-utils; `.ci/run` installs them"]
fn every_pdf_is_sound_and_carries_its_fonts() {
    let built = built();
    let pdfs = files(&built.out(), "pdf");
    assert_eq!(
        pdfs.len(),
        19 + 8 + 3 + 4 + 3,
        "nineteen packets; cards of pumps, plate packs, agitators and homogenisers"
    );
    for pdf in &pdfs {
        outside("qpdf", &["--check"], &[pdf]);
        let fonts = outside("pdffonts", &[], &[pdf]);
        let rows: Vec<&str> = fonts.lines().skip(2).collect();
        assert!(!rows.is_empty(), "{}", pdf.display());
        for row in rows {
            // The columns from the right: object, generation, unicode map, subset, embedded.
            let columns: Vec<&str> = row.split_whitespace().rev().collect();
            assert_eq!((columns[4], columns[2]), ("yes", "yes"), "embedded and readable: {row}");
        }
        let info = outside("pdfinfo", &[], &[pdf]);
        assert!(info.contains("Tagged:          yes"), "{info}");
        assert!(
            ["MP-PA-101", "MP-PX-210", "MP-AG-320", "MP-HG-430"].iter().any(|document| info.contains(document)),
            "the document number is in the metadata: {info}"
        );
    }
}

/// The figures are those of the invented plant's tables, typed by hand.
#[test]
#[ignore = "needs poppler-utils; `.ci/run` installs them"]
fn every_value_of_the_tag_is_on_its_pages() {
    let built = built();
    let wanted: [(&str, &[&str]); 5] = [
        (
            "packets/MP-PA-101/P-121.pdf",
            &[
                "30.2 to 30.8 mm",
                "0.6 to 1.0 mm",
                "34.94 mm or more",
                "12.5 N·m",
                "25 N·m",
                "95 N·m",
                "V-121C",
                "left",
                "DRAFT - not for use",
            ],
        ),
        (
            "packets/MP-PA-101/P-133.pdf",
            &["35.7 to 36.3 mm", "0.8 to 1.2 mm", "44.94 mm or more", "22 N·m", "44 N·m", "150 N·m", "L-08", "27 kg"],
        ),
        ("packets/MP-PX-210/X-201.pdf", &["192.2 mm", "196.9 mm", "201.6 mm", "200 N·m"]),
        ("packets/MP-PX-210/X-202.pdf", &["447.7 mm", "458.6 mm", "469.4 mm", "350 N·m"]),
        ("packets/MP-PX-210/X-203.pdf", &["776.1 mm", "794.8 mm", "813.4 mm", "600 N·m"]),
    ];
    for (path, values) in wanted {
        let text = text_of(&built.out().join(path));
        for value in values {
            assert!(text.contains(value), "{path} does not show `{value}`");
        }
    }
    let p133 = text_of(&built.out().join("packets/MP-PA-101/P-133.pdf"));
    assert!(!p133.contains("clamp ring") && !p133.contains("24.7"), "another pump's values are not on it");
}

#[test]
#[ignore = "needs Node.js, Java and Chromium; `.ci/run` installs them"]
fn every_page_is_valid_accessible_and_asks_for_nothing() {
    let built = built();
    let pages = files(&built.out(), "html");
    assert_eq!(pages.len(), 19 + 1);
    let packages = packages();
    let jar = packages.join("node_modules/vnu-jar/build/dist/vnu.jar");
    let jar = jar.to_str().expect("UTF-8");
    let paths: Vec<&Path> = pages.iter().map(PathBuf::as_path).collect();
    // Its warnings say that the policy blocks the page's own style: it does not compute the hashes that allow it.
    outside("java", &["-jar", jar, "--errors-only", "--format", "gnu"], &paths);
    let validate = packages.join("node_modules/html-validate/bin/html-validate.mjs");
    outside("node", &[validate.to_str().expect("UTF-8"), "--preset", "standard"], &paths);
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/pages.mjs");
    let output = Command::new("node")
        .arg(script)
        .arg(built.out())
        .env("NODE_MODULES", packages.join("node_modules"))
        .output()
        .expect("node is there");
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{text}{}", String::from_utf8_lossy(&output.stderr));
}

/// The log of a binder with new, known and accepted findings, by the standard's schema and by a validator of what no schema
/// can say. That validator ends well whatever it finds, so what it prints is read.
#[test]
#[ignore = "needs packages of npm and pip; `.ci/run` installs them"]
fn every_log_of_findings_is_sound_sarif() {
    let stage = crate::waivers::Stage::with_findings_of_every_kind();
    let (plain, compared) = (stage.at("plain.sarif"), stage.at("compared.sarif"));
    std::fs::write(&plain, stage.sarif(&[])).expect("writable");
    std::fs::write(&compared, stage.sarif(&["--baseline", &stage.path("known.json")])).expect("writable");
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/findings.sarif");
    let logs = [plain.as_path(), compared.as_path(), sample.as_path()];
    let packages = packages();
    let multitool = packages.join("node_modules/@microsoft/sarif-multitool-linux");
    let python = packages.join("venv/bin/python");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/check_sarif.py");
    let schema = multitool.join("sarif-2.1.0.json");
    let judged = outside(
        python.to_str().expect("UTF-8"),
        &[script.to_str().expect("UTF-8"), schema.to_str().expect("UTF-8")],
        &logs,
    );
    assert!(judged.contains("3 logs, 0 faults"), "{judged}");
    let spoilt = stage.at("spoilt.sarif");
    std::fs::write(&spoilt, stage.sarif(&[]).replace("\"startLine\": ", "\"startLine\": -")).expect("writable");
    let validate = |log: &Path| {
        let output = Command::new(multitool.join("Sarif.Multitool"))
            .args(["validate", "--log", "ForceOverwrite", "--output"])
            .arg(stage.at("report.sarif"))
            .arg(log)
            .env("DOTNET_SYSTEM_GLOBALIZATION_INVARIANT", "1")
            .output()
            .expect("the validator is there");
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    assert!(validate(&spoilt).contains(": error JSON1008"), "it finds what is spoilt");
    for log in [plain, compared] {
        let text = validate(&log);
        let told: Vec<&str> =
            text.lines().filter(|line| line.contains(": error ") || line.contains(": warning ")).collect();
        // The program has no page in the network that could be named.
        assert!(told.len() == 1 && told[0].contains("warning SARIF2005"), "{text}");
    }
}
