//! Probe.
use matchmark::{
    analysis::job::*,
    base::{name::*, stamp::Stamp},
    packet::{compile, identity},
    render,
    task::check::judge,
    workspace::disk::Disk,
};
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let disk = Disk::open(std::path::Path::new(&a[1])).unwrap();
    let j = judge(&disk).unwrap();
    let b = &j.binder;
    let p = b.procedure(&DocumentNumber::new(&a[2])).unwrap();
    let m = b.machine(&Tag::new(&a[3])).unwrap();
    let packet = compile::compile(&Job::new(b, p, m).unwrap(), &j.figures).unwrap();
    let id = identity::of(&packet);
    let face = identity::of(&packet.card);
    let stamp = Stamp::draft(&id.digest);
    let figures: render::html::Figures = b.figures.iter().map(|(p, b)| (p.to_string(), b.clone())).collect();
    let theme = render::theme::Theme::new(&[], render::theme::Paper::A4).unwrap();
    std::fs::write(
        format!("{}/p.html", a[4]),
        render::html::packet(&theme, &packet, &id, &face, &stamp, &figures).unwrap(),
    )
    .unwrap();
    let press = render::typeset::Press::built_in();
    let t = std::time::Instant::now();
    std::fs::write(
        format!("{}/p.pdf", a[4]),
        render::pdf::packet(&press, &packet, &id, &face, &stamp, &figures, render::pdf::Paper::A4).unwrap(),
    )
    .unwrap();
    eprintln!("pdf {:?}", t.elapsed());
    let t = std::time::Instant::now();
    match render::card::card(&press, &packet.card, &face, &[a[3].clone()], &stamp, &figures) {
        Ok(c) => std::fs::write(format!("{}/c.pdf", a[4]), c).unwrap(),
        Err(e) => eprintln!("{e}"),
    }
    eprintln!("card {:?}", t.elapsed());
}
