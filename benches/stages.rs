//! Each stage of a build by itself, on the example's packet of P-133: reading, compiling, page, paper, card; all of it warm.
//!
//! `cargo bench --bench stages`

use divan::Bencher;
use matchmark::analysis::job::Job;
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::base::paper::Paper;
use matchmark::base::stamp::Stamp;
use matchmark::model::world::World as _;
use matchmark::packet::compile::compile;
use matchmark::packet::identity::{self, Identity};
use matchmark::packet::view::Packet;
use matchmark::render::Figures;
use matchmark::render::html;
use matchmark::render::theme::Theme;
use matchmark::task::check::{Judged, judge};
use matchmark::workspace::disk::Disk;
use matchmark::workspace::memory::Memory;
use std::path::Path;

/// The program's own.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

const CREAMERY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/procedures/creamery");

fn creamery() -> Memory {
    let disk = Disk::open(Path::new(CREAMERY)).expect("the example is part of the project");
    let files = disk.list().expect("readable").files;
    Memory::new(files.into_iter().map(|path| (path.to_string(), disk.read(&path, u64::MAX).expect("readable"))))
}

/// The judged example with the packet of P-133.
struct Example {
    judged: Judged,
    packet: Packet,
    identity: Identity,
    face: Identity,
    figures: Figures,
}

impl Example {
    fn new() -> Self {
        Self::of("P-133")
    }

    fn of(tag: &str) -> Self {
        let judged = judge(&creamery()).expect("it is a binder");
        let packet = compile(&job(&judged, tag), &judged.figures).expect("the packet is whole");
        let figures = judged.binder.figures.iter().map(|(path, bytes)| (path.to_string(), bytes.clone())).collect();
        Self { identity: identity::of(&packet), face: identity::of(&packet.card), judged, packet, figures }
    }
}

fn job<'b>(judged: &'b Judged, tag: &str) -> Job<'b> {
    let procedure = judged.binder.procedure(&DocumentNumber::new("MP-PA-101")).expect("the document is there");
    let machine = judged.binder.machine(&Tag::new(tag)).expect("the tag is there");
    Job::new(&judged.binder, procedure, machine).expect("its family is there")
}

/// The whole example binder: two procedures, twelve packets.
#[divan::bench]
fn load_and_check_the_binder(bencher: Bencher<'_, '_>) {
    let memory = creamery();
    bencher.bench(|| judge(&memory));
}

#[divan::bench]
fn compile_a_packet(bencher: Bencher<'_, '_>) {
    let example = Example::new();
    bencher.bench(|| compile(&job(&example.judged, "P-133"), &example.judged.figures));
}

#[divan::bench]
fn identify_a_packet(bencher: Bencher<'_, '_>) {
    let example = Example::new();
    bencher.bench(|| (identity::of(&example.packet), identity::of(&example.packet.card)));
}

#[divan::bench]
fn page(bencher: Bencher<'_, '_>) {
    let Example { packet, identity, face, figures, .. } = Example::new();
    let theme = Theme::new(&[], Paper::A4).expect("the built-in templates are sound");
    let stamp = Stamp::draft(&identity.digest);
    bencher.bench(|| html::packet(&theme, &packet, &identity, &face, &stamp, &figures));
}

/// The typesetter remembers what the last few documents had in common. So that P-133 is not simply remembered as a whole,
/// other machines' papers are printed before each run, outside of the measured time, as they are in a build.
#[cfg(feature = "pdf")]
mod paper {
    use super::Example;
    use divan::Bencher;
    use matchmark::base::paper::Paper;
    use matchmark::base::stamp::Stamp;
    use matchmark::packet::face::card_print;
    use matchmark::render::card;
    use matchmark::render::pdf::{self, Press};

    const OTHERS: [&str; 4] = ["P-101", "P-110", "P-113", "P-121"];

    #[divan::bench]
    fn press() -> Press {
        Press::built_in()
    }

    fn packet_of(press: &Press, example: &Example) -> Vec<u8> {
        let Example { packet, identity, face, figures, .. } = example;
        let stamp = Stamp::draft(&identity.digest);
        pdf::packet(press, packet, identity, face, &stamp, figures, Paper::A4).expect("the packet is sound")
    }

    fn card_of(press: &Press, example: &Example) -> Vec<u8> {
        let Example { packet, face, figures, .. } = example;
        let (stamp, tags) = (Stamp::draft(&face.digest), [packet.tag.clone()]);
        let job = super::job(&example.judged, &packet.tag);
        let print = card_print(&job).expect("the preset is there");
        card::card(press, &packet.card, &print, face, &tags, &stamp, figures).expect("the card fits")
    }

    fn among_others(bencher: Bencher<'_, '_>, print: fn(&Press, &Example) -> Vec<u8>) {
        let press = Press::built_in();
        let others = OTHERS.map(Example::of);
        let example = Example::new();
        bencher
            .with_inputs(|| others.iter().map(|other| print(&press, other).len()).sum::<usize>())
            .bench_values(|_| print(&press, &example));
    }

    #[divan::bench(sample_count = 20, sample_size = 1)]
    fn packet(bencher: Bencher<'_, '_>) {
        among_others(bencher, packet_of);
    }

    #[divan::bench(sample_count = 20, sample_size = 1)]
    fn card_fitted(bencher: Bencher<'_, '_>) {
        among_others(bencher, card_of);
    }
}
