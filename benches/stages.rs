//! Each stage of a build by itself, on the example's packet of P-133: reading, compiling, page, paper, card; all of it warm.
//!
//! `cargo bench --bench stages`

use divan::Bencher;
use matchmark::base::name::{DocumentNumber, Tag};
use matchmark::base::paper::Paper;
use matchmark::base::stamp::Stamp;
use matchmark::model::fleet::Machine;
use matchmark::model::procedure::Procedure;
use matchmark::model::world::World as _;
use matchmark::packet::identity::{self, Identity};
use matchmark::packet::view::Packet;
use matchmark::render::Figures;
use matchmark::render::around::Around;
use matchmark::render::html;
use matchmark::render::theme::Theme;
use matchmark::task::check::{Judged, judge};
use matchmark::task::runs;
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
        let judged = judge(&creamery()).expect("it is a binder");
        let packet = packet(&judged);
        let figures = judged.binder.figures.iter().map(|(path, bytes)| (path.to_string(), bytes.clone())).collect();
        Self { identity: identity::of(&packet), face: identity::of(&packet.card), judged, packet, figures }
    }
}

/// Returns the procedure and the machine that are measured.
fn place(judged: &Judged) -> (&Procedure, &Machine) {
    let procedure = judged.binder.procedure(&DocumentNumber::new("MP-PA-101")).expect("the document is there");
    let machine = judged.binder.machine(&Tag::new("P-133")).expect("the tag is there");
    (procedure, machine)
}

fn packet(judged: &Judged) -> Packet {
    let (procedure, machine) = place(judged);
    runs::packet(&judged.binder, &judged.figures, procedure, machine).expect("the packet is whole")
}

/// The whole example binder: four procedures, nineteen packets.
#[divan::bench]
fn load_and_check_the_binder(bencher: Bencher<'_, '_>) {
    let memory = creamery();
    bencher.bench(|| judge(&memory));
}

#[divan::bench]
fn compile_a_packet(bencher: Bencher<'_, '_>) {
    let example = Example::new();
    bencher.bench(|| packet(&example.judged));
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
    bencher.bench(|| html::packet(&theme, &packet, &Around::of(&identity, &face, &stamp), &figures));
}

#[cfg(feature = "pdf")]
mod paper {
    use super::Example;
    use divan::Bencher;
    use matchmark::base::paper::Paper;
    use matchmark::base::stamp::Stamp;
    use matchmark::render::around::Around;
    use matchmark::render::card;
    use matchmark::render::pdf::{self, Press};

    #[divan::bench]
    fn press() -> Press {
        Press::built_in()
    }

    #[divan::bench(sample_count = 30, sample_size = 1)]
    fn packet(bencher: Bencher<'_, '_>) {
        let Example { packet, identity, face, figures, .. } = Example::new();
        let press = Press::built_in();
        let stamp = Stamp::draft(&identity.digest);
        let print = || pdf::packet(&press, &packet, &Around::of(&identity, &face, &stamp), &figures, Paper::A4);
        print().expect("the packet is sound");
        bencher.bench(print);
    }

    #[divan::bench(sample_count = 30, sample_size = 1)]
    fn card_fitted(bencher: Bencher<'_, '_>) {
        let Example { packet, face, figures, .. } = Example::new();
        let press = Press::built_in();
        let paper = packet.print.clone().expect("a packet that was just compiled says how its card is printed");
        let (stamp, tags) = (Stamp::draft(&face.digest), [packet.tag.clone()]);
        let print = || card::card(&press, &packet.card, &paper, &face, &tags, &stamp, &figures);
        print().expect("the card fits");
        bencher.bench(print);
    }
}
