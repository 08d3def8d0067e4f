use matchmark::{
    analysis::{effectivity, job::*},
    model::load::load,
    packet::{compile, identity},
    workspace::disk::Disk,
};
fn main() {
    let root = std::env::args().nth(1).unwrap();
    let disk = Disk::open(std::path::Path::new(&root)).unwrap();
    let (binder, findings) = load(&disk).unwrap();
    let show = |f: &matchmark::base::finding::Finding| {
        let at = f
            .span
            .map(|s| {
                let (p, q) = binder.texts.locate(s);
                format!("{p}:{}:{}", q.line, q.column)
            })
            .unwrap_or_default();
        println!("{} {at} {} [{}] {}", f.severity.word(), f.message, f.rule.0, f.help)
    };
    for f in &findings {
        show(f);
    }
    let digests = compile::figure_digests(&binder.figures);
    for p in &binder.procedures {
        for m in effectivity::scope(&binder, p) {
            let job = Job::new(&binder, p, m).unwrap();
            match compile::compile(&job, &digests) {
                Ok(packet) => {
                    println!(
                        "{} {} face {} options {:?}",
                        p.document.value,
                        m.tag.value,
                        identity::of(&packet.card).words,
                        packet.card.options.iter().map(|c| format!("{} {}", c.option, c.value)).collect::<Vec<_>>()
                    );
                    if let Some(want) = std::env::args().nth(2) {
                        if want == packet.tag {
                            println!("{}", serde_json::to_string_pretty(&packet).unwrap());
                        }
                    }
                }
                Err(found) => {
                    for f in found {
                        print!("{} ", m.tag.value);
                        show(&f)
                    }
                }
            }
        }
    }
}
