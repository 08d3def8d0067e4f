//! A whole binder of 1,800 packets, and one of 12,000 to see what grows: reading, judging, and every page.
//!
//! `cargo bench --bench whole` measures; `cargo bench --bench whole -- --list` says what.
//! `cargo bench --bench whole -- write 30x60 FOLDER` writes the binder of that size into a folder instead, so that the
//! program itself can be timed on it as a process.

#![expect(clippy::print_stderr, reason = "a benchmark says itself what is wrong with its arguments")]

mod generated;

use divan::{Bencher, counter::ItemsCount};
use generated::{SIZES, Size};
use matchmark::base::paper::Paper;
use matchmark::base::stamp::Stamp;
use matchmark::model::load::load;
use matchmark::packet::identity;
use matchmark::render::Figures;
use matchmark::render::around::Around;
use matchmark::render::html;
use matchmark::render::theme::Theme;
use matchmark::task::check::{Judged, jobs, judge};
use matchmark::task::runs;
use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};
use std::path::Path;
use std::process::ExitCode;

/// The program's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().collect();
    let Some(at) = arguments.iter().position(|argument| argument == "write") else {
        divan::main();
        return ExitCode::SUCCESS;
    };
    let size = arguments.get(at + 1).and_then(|name| Size::find(name));
    let (Some(size), Some(folder)) = (size, arguments.get(at + 2)) else {
        eprintln!("usage: write {} FOLDER", SIZES.map(|size| size.name).join("|"));
        return ExitCode::from(2);
    };
    match generated::write(size, Path::new(folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("`{folder}` cannot be written: {error}");
            ExitCode::FAILURE
        }
    }
}

fn names() -> [&'static str; 2] {
    SIZES.map(|size| size.name)
}

fn size(name: &str) -> Size {
    Size::find(name).expect("it is one of the listed names")
}

/// Returns the judged binder, in which nothing may keep a packet from being made.
fn judged(size: Size) -> Judged {
    let judged = judge(&generated::memory(size)).expect("it is a binder");
    let told: Vec<&str> = judged.findings.iter().map(|finding| finding.message.as_str()).collect();
    let jobs = jobs(&judged.binder);
    assert_eq!(jobs.len(), size.packets());
    let suppressed = |(procedure, machine): &(&_, &_)| suppresses(&judged, procedure, machine);
    assert!(!jobs.iter().any(suppressed), "{told:?}");
    judged
}

fn suppresses(
    judged: &Judged,
    procedure: &matchmark::model::procedure::Procedure,
    machine: &matchmark::model::fleet::Machine,
) -> bool {
    judged.findings.iter().any(|finding| finding.suppresses(&procedure.document.value, &machine.tag.value))
}

#[divan::bench(args = names(), sample_count = 5, sample_size = 1)]
fn load_alone(bencher: Bencher<'_, '_>, name: &str) {
    let size = size(name);
    let memory = generated::memory(size);
    bencher.counter(ItemsCount::new(size.packets())).bench(|| load(&memory));
}

#[divan::bench(args = names(), sample_count = 5, sample_size = 1)]
fn load_and_check(bencher: Bencher<'_, '_>, name: &str) {
    let size = size(name);
    let memory = generated::memory(size);
    bencher.counter(ItemsCount::new(size.packets())).bench(|| judge(&memory));
}

/// One sentence of one procedure is written anew, and the binder is checked again: the program remembers nothing in between.
#[divan::bench(args = names(), sample_count = 5, sample_size = 1)]
fn check_again_after_one_edit(bencher: Bencher<'_, '_>, name: &str) {
    let size = size(name);
    let mut memory = generated::memory(size);
    let path = "FA/MP-FA-101.md";
    let text = String::from_utf8(memory.get(path).expect("it is there").to_vec()).expect("UTF-8");
    judge(&memory).expect("it is a binder");
    memory.put(path, text.replace("Remove your locks.", "Remove each of your locks."));
    bencher.counter(ItemsCount::new(size.packets())).bench(|| judge(&memory));
}

/// Compiles each packet and makes its page on all processors, and forgets it, as a build does.
#[divan::bench(args = names(), sample_count = 3, sample_size = 1)]
fn every_page(bencher: Bencher<'_, '_>, name: &str) {
    let size = size(name);
    let judged = judged(size);
    let figures: Figures =
        judged.binder.figures.iter().map(|(path, bytes)| (path.to_string(), bytes.clone())).collect();
    let theme = Theme::new(&[], Paper::A4).expect("the built-in templates are sound");
    bencher.counter(ItemsCount::new(size.packets())).bench(|| -> usize {
        let page = |(procedure, machine)| {
            let packet =
                runs::packet(&judged.binder, &judged.figures, procedure, machine).expect("the packet is whole");
            let (identity, face) = (identity::of(&packet), identity::of(&packet.card));
            let stamp = Stamp::draft(&identity.digest);
            html::packet(&theme, &packet, &Around::of(&identity, &face, &stamp), &figures)
                .expect("the page is whole")
                .len()
        };
        jobs(&judged.binder).into_par_iter().map(page).sum()
    });
}
