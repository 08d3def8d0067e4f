//! What a technician sees when he types: help, answers, mistakes and how each command ends.

use super::*;
use crate::source::schema::FORMS;
use crate::workspace::home::Home;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// A stream whose bytes are kept.
#[derive(Clone, Default)]
struct Kept(Arc<Mutex<Vec<u8>>>);

impl Write for Kept {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// A stream whose reader has gone.
struct Gone;

impl Write for Gone {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::ErrorKind::BrokenPipe.into())
    }
    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

fn surroundings(folder: &Path, out: Box<dyn Write + Send>, err: Kept) -> Io {
    Io {
        out,
        err: Box::new(err),
        input: Box::new(io::empty()),
        in_stream: Stream::Pipe,
        out_stream: Stream::Pipe,
        err_stream: Stream::Pipe,
        folder: folder.to_owned(),
        process: Process::Shared,
        home: Some(Home { config: folder.join(".home/config"), state: folder.join(".home/state") }),
        user: "carol".to_owned(),
    }
}

/// What a command answered, told and ended with.
#[derive(Debug)]
struct Answer {
    exit: Exit,
    out: String,
    err: String,
}

/// Types words in a folder; quotes hold words together.
fn type_in(folder: &Path, line: &str) -> Answer {
    let mut words = vec![OsString::from("matchmark")];
    for (at, part) in line.split('"').enumerate() {
        if at % 2 == 1 {
            words.push(part.into());
        } else {
            words.extend(part.split_whitespace().map(OsString::from));
        }
    }
    let (out, err) = (Kept::default(), Kept::default());
    let exit = answer(words, &mut surroundings(folder, Box::new(out.clone()), err.clone()));
    let text = |kept: Kept| String::from_utf8(kept.0.lock().unwrap().clone()).unwrap();
    Answer { exit, out: text(out), err: text(err) }
}

/// Returns a folder with the first binder in `b`.
fn first_binder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(type_in(folder.path(), "init b").exit, Exit::Clean);
    folder
}

#[expect(clippy::disallowed_methods, reason = "the stage of a test is set on the disk")]
fn put(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

const COMMANDS: [&str; 12] = [
    "check",
    "build",
    "kit",
    "where-used",
    "unguarded",
    "faces",
    "init",
    "new",
    "explain",
    "schema",
    "licences",
    "completions",
];

#[test]
fn help_begins_with_examples_on_every_level() {
    let folder = tempfile::tempdir().unwrap();
    let whole = type_in(folder.path(), "--help");
    assert_eq!(whole.exit, Exit::Clean);
    for command in COMMANDS {
        assert!(whole.out.contains(&format!("\n  {command} ")), "{command}: {}", whole.out);
        for flag in ["--help", "-h"] {
            let help = type_in(folder.path(), &format!("{command} {flag}"));
            assert_eq!((help.exit, help.err.as_str()), (Exit::Clean, ""));
            assert!(help.out.starts_with("Examples:\n  matchmark "), "{command}: {}", help.out);
            assert!(help.out.contains("--format <human|json|plain|csv|sarif>"), "{command}: {}", help.out);
            assert!(help.out.lines().all(|line| line.chars().count() <= 130), "{command}: {}", help.out);
        }
    }
}

#[test]
fn no_word_of_git_faces_a_technician() {
    let folder = tempfile::tempdir().unwrap();
    for command in COMMANDS {
        let help = type_in(folder.path(), &format!("{command} --help")).out.to_lowercase();
        for word in ["git", "commit", "branch", "merge", "rebase", "repository", "version"] {
            let is_there = help.split(|c: char| !c.is_alphanumeric()).any(|one| one == word);
            assert!(!is_there, "{command} says `{word}`");
        }
    }
}

#[test]
fn the_bare_name_says_what_to_type() {
    let folder = tempfile::tempdir().unwrap();
    let bare = type_in(folder.path(), "");
    assert_eq!((bare.exit, bare.out.as_str()), (Exit::Usage, ""));
    assert!(bare.err.contains("matchmark init my-binder") && bare.err.lines().count() < 15, "{}", bare.err);
}

#[test]
fn a_near_miss_is_answered_with_what_was_meant() {
    let folder = first_binder();
    let said = |line: &str| {
        let answer = type_in(folder.path(), line);
        assert_eq!(answer.exit, Exit::Usage, "{line}: {answer:?}");
        answer.err
    };
    assert!(said("biuld").contains("'build'"));
    assert!(said("explain mising-value").contains("did you mean `missing-value`?"));
    assert!(said("kit b --tag G-30l").contains("did you mean `G-301`?"));
    assert!(said("check b --procedure MP-GB-1O").contains("did you mean `MP-GB-10`?"));
    assert!(said("schema fleets").contains("did you mean `fleet`?"));
    assert!(said("check b --format csv").contains("lists write `csv`"));
    assert!(said("kit b --format sarif").contains("`matchmark check --format sarif`"));
    assert!(said("check b --baseline a --write-baseline a").contains("cannot be used with"));
}

#[test]
fn version_names_what_it_reads_and_writes() {
    let folder = tempfile::tempdir().unwrap();
    let version = type_in(folder.path(), "--version");
    assert!(version.out.starts_with("matchmark 0."), "{}", version.out);
    assert!(version.out.contains("binder format 1"), "{}", version.out);
    assert!(version.out.contains(&format!("\nrule set {};", crate::rules::RULE_SET)), "{}", version.out);
}

#[test]
fn findings_are_the_answer_of_a_check() {
    let folder = first_binder();
    let human = type_in(folder.path(), "check b");
    assert_eq!(human.exit, Exit::Findings);
    assert!(human.out.contains("error[missing-value]") && human.out.contains("= on the floor: "), "{}", human.out);
    assert!(human.err.contains("3 packets can be built"), "{}", human.err);
    let plain = type_in(folder.path(), "check b --format plain");
    assert_eq!(plain.out.lines().count(), 3, "{}", plain.out);
    let json = type_in(folder.path(), "check b --format json");
    let read: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(read["schema"], 1);
    assert_eq!(read["findings"].as_array().unwrap().len(), 3);
    assert!(!type_in(folder.path(), "check b").out.contains('\u{1b}'));
    assert!(type_in(folder.path(), "check b --color always").out.contains('\u{1b}'));
}

#[test]
fn a_check_of_one_machine_shows_what_concerns_it() {
    let folder = first_binder();
    let one = type_in(folder.path(), "check b --tag g-301");
    assert!(!one.out.contains("tags: G-303\n"), "{}", one.out);
    assert!(one.err.contains("1 of 1 packets can be built"), "{}", one.err);
}

#[test]
fn a_binder_is_found_from_inside_and_offered_from_above() {
    let folder = first_binder();
    let inside = type_in(&folder.path().join("b/gearboxes"), "check");
    assert_eq!(inside.exit, Exit::Findings);
    let above = type_in(folder.path(), "check");
    assert_eq!(above.exit, Exit::Undecided);
    assert!(above.err.contains("there is one in `") && above.err.contains("b`"), "{}", above.err);
    assert_eq!(type_in(folder.path(), "check nowhere").exit, Exit::Undecided);
}

#[test]
fn a_register_that_cannot_be_read_leaves_things_undecided_and_the_last_outputs_alone() {
    let folder = first_binder();
    assert_eq!(type_in(folder.path(), "build b --tag G-301").exit, Exit::Clean);
    let index = folder.path().join("out/index.html");
    assert!(index.is_file());
    put(&folder.path().join("b/fleet.yaml"), "tags: [");
    let check = type_in(folder.path(), "check b");
    assert_eq!(check.exit, Exit::Undecided);
    assert!(check.out.contains("error[yaml-syntax]"), "{}", check.out);
    let build = type_in(folder.path(), "build b");
    assert_eq!(build.exit, Exit::Undecided);
    assert!(build.err.contains("what was built before is still there"), "{}", build.err);
    assert!(index.is_file());
}

#[test]
fn a_newer_binder_is_refused_by_its_number() {
    let folder = first_binder();
    put(&folder.path().join("b/binder.yaml"), "format: 9\n");
    let check = type_in(folder.path(), "check b");
    assert_eq!(check.exit, Exit::Undecided);
    assert!(check.err.contains("format 9"), "{}", check.err);
}

#[test]
fn nothing_is_written_over() {
    let folder = first_binder();
    let again = type_in(folder.path(), "init b");
    assert_eq!(again.exit, Exit::Usage);
    assert!(again.err.contains("is there already; nothing was written"), "{}", again.err);
    let new = type_in(folder.path(), "new MP-GB-20 --binder b --title \"Renew the belt\" --family GB --in gearboxes");
    assert_eq!(new.exit, Exit::Clean, "{new:?}");
    assert!(new.out.trim_end().ends_with("MP-GB-20.md") && new.err.contains("matchmark check"), "{new:?}");
    let taken = type_in(folder.path(), "new MP-GB-20 --binder b --title \"Renew the belt\" --family GB");
    assert_eq!(taken.exit, Exit::Usage);
    assert!(taken.err.contains("a number is never used again"), "{}", taken.err);
}

#[test]
fn outputs_go_only_where_they_may() {
    let folder = first_binder();
    put(&folder.path().join("theirs/letter.txt"), "mine");
    let into_theirs = type_in(folder.path(), "build b --out theirs");
    assert_eq!(into_theirs.exit, Exit::Usage);
    assert!(into_theirs.err.contains("was not written by this program"), "{}", into_theirs.err);
    assert_eq!(type_in(folder.path(), "build b --out b").exit, Exit::Usage);
}

#[test]
fn a_kit_is_a_list_for_a_person_and_for_a_spreadsheet() {
    let folder = first_binder();
    let human = type_in(folder.path(), "kit b --tag G-301");
    assert_eq!(human.exit, Exit::Clean, "{human:?}");
    assert!(human.out.starts_with("MP-GB-10 for G-301\n"), "{}", human.out);
    let csv = type_in(folder.path(), "kit b --tag G-301 --format csv").out;
    assert!(csv.starts_with("document,tag,kind,number,name,count,unit,detail,bin,steps,why\r\n"), "{csv}");
    assert!(csv.ends_with("\r\n"));
    let broken = type_in(folder.path(), "kit b --tag G-303");
    assert_eq!(broken.exit, Exit::Findings);
    assert!(broken.out.is_empty() && broken.err.contains("no kit list of MP-GB-10 for G-303"), "{broken:?}");
}

#[test]
fn faces_say_who_shares_a_card() {
    let folder = first_binder();
    let faces = type_in(folder.path(), "faces b");
    assert_eq!(faces.exit, Exit::Findings);
    assert!(faces.out.contains("1 card face for 1 machine"), "{}", faces.out);
    let json: serde_json::Value = serde_json::from_str(&type_in(folder.path(), "faces b --format json").out).unwrap();
    assert_eq!(json["list"][0]["faces"][0]["tags"][0], "G-301");
}

#[test]
fn lists_that_belong_to_the_program_are_printed() {
    let folder = tempfile::tempdir().unwrap();
    let rules = type_in(folder.path(), "explain").out;
    assert_eq!(rules.lines().count(), crate::rules::RULES.len() + 1, "{rules}");
    let page = type_in(folder.path(), "explain error[missing-value]").out;
    assert!(page.contains("## On the floor") && page.ends_with("can never be accepted by a waiver.\n"), "{page}");
    assert!(type_in(folder.path(), "explain idle-option").out.contains("A waiver in `waivers.yaml` can accept"));
    assert_eq!(type_in(folder.path(), "schema").out.lines().count(), FORMS.len());
    assert!(type_in(folder.path(), "schema fleet").out.contains("draft-07"));
    let written = type_in(folder.path(), "schema --out s");
    assert_eq!(written.out.lines().count(), FORMS.len());
    assert!(folder.path().join("s/fleet.schema.json").is_file());
    assert!(type_in(folder.path(), "licences").out.contains("DejaVu"));
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        assert!(type_in(folder.path(), &format!("completions {shell}")).out.contains("explain"), "{shell}");
    }
}

#[test]
fn mistakes_are_not_looked_for_in_a_binder_that_is_not_clean() {
    let folder = first_binder();
    let answer = type_in(folder.path(), "unguarded b");
    assert_eq!(answer.exit, Exit::Findings);
    assert!(
        answer.err.starts_with("nothing is said of ") && answer.err.contains("`matchmark check` tells it"),
        "{answer:?}"
    );
    // What is not clean is told, and the list holds none of it.
    let left_out: Vec<&str> =
        answer.err.lines().filter_map(|line| line.split(" for ").nth(1)?.split(':').next()).collect();
    let steps = || answer.out.lines().filter(|line| line.contains(" step ") && line.contains(".md:"));
    assert!(!left_out.is_empty() && steps().count() > 0, "{answer:?}");
    assert!(!steps().any(|line| left_out.iter().any(|tag| line.contains(tag))), "{answer:?}");
    assert!(answer.out.contains(" mistakes tried, "), "{answer:?}");
    let list = type_in(folder.path(), "unguarded b --format csv");
    assert!(list.out.starts_with("consequence,document,steps,done,unnoticed,fails,rules,guard,sentence,place\r\n"));
    let unknown = type_in(folder.path(), "unguarded b --tag P-9999");
    assert_eq!((unknown.exit, unknown.out.as_str()), (Exit::Usage, ""));
}

#[test]
fn a_reader_who_has_gone_is_no_failure() {
    let folder = first_binder();
    for line in ["check b", "explain", "licences", "--help"] {
        let words = std::iter::once("matchmark").chain(line.split(' ')).map(OsString::from);
        let err = Kept::default();
        let exit = answer(words, &mut surroundings(folder.path(), Box::new(Gone), err.clone()));
        assert_eq!(exit, Exit::Clean, "{line}");
        assert_eq!(err.0.lock().unwrap().len(), 0, "{line}");
    }
}

#[test]
fn a_panic_is_our_fault_and_says_so() {
    let err = Kept::default();
    let mut io = surroundings(Path::new("."), Box::new(Kept::default()), err.clone());
    let exit = guarded(&mut io, |_| panic!("a step without a number"));
    assert_eq!(exit.code(), 70);
    let text = String::from_utf8(err.0.lock().unwrap().clone()).unwrap();
    assert!(text.starts_with("internal fault: a step without a number"), "{text}");
    assert!(text.contains("not in your binder"), "{text}");
}

#[test]
fn each_end_has_its_number() {
    let ends = [Exit::Clean, Exit::Findings, Exit::Usage, Exit::Undecided, Exit::Refused, Exit::Fault];
    assert_eq!(ends.map(Exit::code), [0, 1, 2, 3, 4, 70]);
}

#[test]
fn the_bench_calculator_answers_with_its_sources_and_refuses_with_two() {
    let folder = tempfile::tempdir().unwrap();
    for line in [
        "calc convert \"12,5 Nm\" lbf·in",
        "calc convert \"40 to 50 N·m\" lbf·ft --step 0.5",
        "calc oring AS568-214 --seal static --seat \"25.4 mm\" --depth \"2.79 to 2.95 mm\" --width \"4.57 mm\"",
        "calc shelf-life --rubber EPDM --cured 2019-03 --standard iso2230",
        "calc type-size --distance 700mm --code P-121",
    ] {
        let human = type_in(folder.path(), line);
        assert_eq!(human.exit, Exit::Clean, "{line}: {}", human.err);
        for wanted in ["given", "result", "constants", "Caution: "] {
            assert!(human.out.contains(wanted), "{line}: {}", human.out);
        }
        let json = type_in(folder.path(), &format!("{line} --format json"));
        let json: serde_json::Value = serde_json::from_str(&json.out).expect(line);
        let working = &json;
        let sources = working["constants"].as_array().expect(line);
        assert!(sources.iter().all(|one| one["source"]["known"].is_string()), "{line}: {working}");
        assert!(working["caution"].is_string() && working["formula"].is_string(), "{line}: {working}");
    }
    for line in [
        "calc convert \"1,250 N·m\" lbf·ft",
        "calc convert \"44 N·m\" mm",
        "calc convert \"-44 kg\" lb",
        "calc oring AS568-101",
        "calc oring AS568-214 --seal static --depth \"-2 mm\"",
        "calc oring AS568-214 --inside \"25 mm\" --section \"3 mm\"",
        "calc shelf-life --rubber EPDM --cured 2019-13 --standard iso2230",
        "calc shelf-life --rubber EPDM --cured 2019-03",
        "calc type-size --distance \"0 mm\"",
        "calc type-size --distance \"700 N\"",
    ] {
        let refused = type_in(folder.path(), line);
        assert_eq!((refused.exit, refused.out.as_str()), (Exit::Usage, ""), "{line}: {}", refused.err);
        assert!(refused.err.starts_with("error: "), "{line}: {}", refused.err);
    }
}

#[test]
fn a_file_of_conversions_is_answered_line_by_line() {
    let folder = tempfile::tempdir().unwrap();
    put(&folder.path().join("pairs.txt"), "1 in in mm\n2,5 bar in kPa\n");
    let answer = type_in(folder.path(), "calc convert --batch pairs.txt");
    assert_eq!((answer.exit, answer.out.as_str()), (Exit::Clean, "25.4\n250\n"));
    put(&folder.path().join("pairs.txt"), "1 in in mm\n5 gal in L\n");
    let answer = type_in(folder.path(), "calc convert --batch pairs.txt");
    assert_eq!(answer.exit, Exit::Usage);
    assert!(answer.out.starts_with("25.4\nrefused: `gal` names more than one unit"), "{}", answer.out);
    assert_eq!(type_in(folder.path(), "calc convert --batch absent.txt").exit, Exit::Undecided);
}
