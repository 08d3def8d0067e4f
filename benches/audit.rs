//! The audit of a binder with many releases: everything is read, every signature checked, every state held against the ones before.
//!
//! `cargo bench --bench audit` measures 1,000 releases, warm. `cargo bench --bench audit -- write 10000 FOLDER 10` writes a
//! binder of that size into a folder instead, ten changes approved at a time, so that the program itself can be timed on it as a
//! process.

#![expect(clippy::print_stderr, reason = "a benchmark says itself what is wrong with its arguments")]
#![expect(clippy::disallowed_methods, reason = "a benchmark writes what it measures")]

#[path = "../tests/trust/history/large.rs"]
mod large;
#[allow(dead_code, reason = "the attacks that the plant knows are those of the tests")]
#[path = "../tests/trust/plant.rs"]
mod plant;

use divan::{Bencher, counter::ItemsCount};
use large::Large;
use matchmark::history::protected::Protected;
use matchmark::task::audit::Audit;
use matchmark::task::book::Book;
use matchmark::trust::chain::Anchor;
use matchmark::trust::ledger::{Ledger, Outcome};
use matchmark::trust::word::Moment;
use std::path::Path;
use std::process::ExitCode;
use std::sync::LazyLock;

/// The program's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const RELEASES: usize = 1_000;

static LARGE: LazyLock<Large> = LazyLock::new(|| Large::of(RELEASES, 1));

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().collect();
    let Some(at) = arguments.iter().position(|argument| argument == "write") else {
        divan::main();
        return ExitCode::SUCCESS;
    };
    let releases = arguments.get(at + 1).and_then(|number| number.parse().ok());
    let (Some(releases), Some(folder)) = (releases, arguments.get(at + 2)) else {
        eprintln!("usage: write RELEASES FOLDER [APPROVED-TOGETHER]");
        return ExitCode::from(2);
    };
    let together = arguments.get(at + 3).and_then(|number| number.parse().ok()).unwrap_or(1);
    large::write(Path::new(folder), releases, together);
    ExitCode::SUCCESS
}

/// Everything that `matchmark audit` does before it prints.
#[divan::bench]
fn whole(bencher: Bencher<'_, '_>) {
    let (repo, home) = (LARGE.repo(), LARGE.home());
    let now = Moment::parse("2027-10-01T00:00:00Z").expect("a moment");
    bencher.counter(ItemsCount::new(RELEASES)).bench_local(|| {
        let book = Book::read(&repo, &home).expect("a book");
        let audit = Audit::of(&book, repo.folder(), now, None).expect("an audit");
        assert_eq!((audit.outcome(), audit.reach.releases), (Outcome::Clean, RELEASES));
    });
}

/// The way through the states alone.
#[divan::bench]
fn history(bencher: Bencher<'_, '_>) {
    let repo = LARGE.repo();
    bencher.counter(ItemsCount::new(RELEASES)).bench_local(|| {
        let files = Protected::at(&repo, repo.last().expect("a state"), None).expect("files");
        assert!(files.passage().is_whole());
    });
}

/// The ledger alone.
#[divan::bench]
fn ledger(bencher: Bencher<'_, '_>) {
    let repo = LARGE.repo();
    let files = Protected::at(&repo, repo.last().expect("a state"), None).expect("files");
    bencher.counter(ItemsCount::new(RELEASES)).bench_local(|| {
        assert!(Ledger::read(&files, Anchor::FirstUse).is_whole());
    });
}
