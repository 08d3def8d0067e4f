//! A thousand releases, ten approved at a time: all of them are looked at, and each is clean.

use crate::history::binder::git;
use crate::history::large::{Large, author};
use matchmark::history::point::Files;
use matchmark::task::audit::Audit;
use matchmark::task::book::Book;
use matchmark::trust::word::Moment;

#[test]
fn a_thousand_releases_are_audited() {
    let started = std::time::Instant::now();
    let large = Large::of(1_000, 10);
    let made = started.elapsed();
    let repo = large.repo();
    let book = Book::read(&repo, &large.home()).expect("a book");
    let now = Moment::parse("2027-10-01T00:00:00Z").expect("a moment");
    let audit = Audit::of(&book, repo.folder(), now, None).expect("an audit");
    println!("made in {made:?}, audited in {:?}", started.elapsed().saturating_sub(made));
    let told: Vec<&str> = audit.verdicts.iter().map(|entry| entry.code).collect();
    assert_eq!(told, ["W-OPEN-FOLDER"], "the files are not laid out: {:#?}", audit.verdicts.first());
    assert_eq!((audit.outcome, audit.reach.releases, audit.reach.records), ("clean", 1_000, 1_001));
    assert_eq!(audit.reach.states, 1_102);
    assert!(audit.headline.contains("ledger 001001"), "{}", audit.headline);
}

#[test]
fn one_bad_release_among_many_is_found() {
    let large = Large::of(50, 1);
    let repo = large.repo();
    let paths = git(&large.folder(), &["ls-tree", "-r", "--name-only", "HEAD", "resolved/"]);
    let path = paths.lines().nth(20).expect("so many").to_owned();
    let files = Files::from([(path, Some(b"by hand".to_vec()))]);
    repo.put(repo.tip().expect("a state"), &files, "x", &author(0)).expect("saved");
    let book = Book::read(&repo, &large.home()).expect("a book");
    let now = Moment::parse("2027-10-01T00:00:00Z").expect("a moment");
    let audit = Audit::of(&book, repo.folder(), now, None).expect("an audit");
    let codes: Vec<&str> = audit.verdicts.iter().map(|entry| entry.code).collect();
    assert_eq!(codes, ["E-APPEND-ONLY", "E-DIGEST", "W-OPEN-FOLDER"], "{:#?}", audit.verdicts);
}
