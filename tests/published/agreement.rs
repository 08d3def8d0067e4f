//! The table of agreement: for each published table how many rows, the worst deviation, the tolerance and the source.

use matchmark::analysis::fastener::class::Class;
use matchmark::analysis::fastener::hexagon;
use matchmark::analysis::fastener::preload::{self, Friction};
use matchmark::analysis::fastener::thread::Thread;
use std::fmt::Write as _;
use std::path::Path;

/// How a published table was agreed with.
pub(crate) struct Agreement {
    pub(crate) table: &'static str,
    pub(crate) rows: usize,
    pub(crate) worst: Deviation,
    pub(crate) tolerance: &'static str,
    pub(crate) source: &'static str,
}

/// The worst deviation so far, as a share of the published figure, and where.
#[derive(Default)]
pub(crate) struct Deviation {
    share: f64,
    place: String,
}

impl Deviation {
    /// Holds a figure against a published one; `most` is the share it may be off by.
    #[track_caller]
    pub(crate) fn hold(&mut self, place: &str, own: f64, published: f64, most: f64) {
        let share = (own - published).abs() / published.abs();
        assert!(share <= most + 1e-12, "{place}: {own} and {published} differ by {:.3} %", share * 100.0);
        if share > self.share {
            self.share = share;
            place.clone_into(&mut self.place);
        }
    }

    /// Holds a figure against one as it is printed: it may be off by half of the last digit, and by a share.
    #[track_caller]
    pub(crate) fn hold_printed(&mut self, place: &str, own: f64, printed: &str, most: f64) {
        let decimals = printed.split_once('.').map_or(0, |(_, part)| part.len());
        let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals).expect("few"));
        let published: f64 = printed.parse().expect("a number");
        self.hold(place, own, published, most + half / published);
    }

    fn shown(&self) -> String {
        // What is rounding of the last bits is no deviation.
        if self.share < 1e-9 { "none".to_owned() } else { format!("{:.2} % ({})", self.share * 100.0, self.place) }
    }
}

/// Returns preload (kN) and torque (N·m) at 90 % of the yield, head of ISO 4014 on a medium hole.
pub(crate) fn assembly(size: &str, class: &str, friction: f64) -> (f64, f64) {
    let thread = Thread::parse(size).expect(size);
    let strength = Class::parse(class).expect(class).strength(&thread).expect(class);
    let preload = preload::assembly_preload(&thread, strength.yielding, 0.9, friction);
    let bearing = hexagon::bearing_diameter(&thread).expect(size);
    let both = Friction { thread: friction, head: friction };
    (preload / 1000.0, preload::torque_by_friction(&thread, bearing, both, preload))
}

const HEAD: &str = "# Agreement with published tables

Every row below is typed in the files beside this one, with its source and how it is known. The tests hold the program
against each of them; this page is what they measured. A figure from memory says so: hold it against the standard before you
rely on it. `MATCHMARK_WRITE_AGREEMENT=1 cargo test --test published` writes the page anew.

| table | rows | worst deviation | tolerance | source |
|---|---:|---|---|---|
";

#[test]
fn the_page_says_what_was_measured() {
    let tables = [
        crate::metric_threads::agreement(),
        crate::inch_threads::agreement(),
        crate::classes::agreement(),
        crate::proof_loads::agreement(),
        crate::assembly_coarse::agreement(),
        crate::assembly_fine::agreement(),
        crate::nut_factors::published(),
        crate::nut_factors::equivalents(),
        crate::worked_examples::agreement(),
        crate::settings::agreement(),
        crate::tools::agreement(),
        crate::widths::agreement(),
        crate::sequences::agreement(),
        crate::sequences::passes(),
        crate::units::agreement(),
        crate::oring_sizes::agreement(),
        crate::oring_sizes::boss_seals(),
        crate::oring_sizes::class_b(),
        crate::orings::agreement(),
        crate::orings::grooves(),
        crate::shelf_lives::agreement(),
        crate::elastomers::agreement(),
        crate::letters::agreement(),
        crate::qr_codes::agreement(),
        crate::qr_codes::print_rules(),
        crate::sheets::agreement(),
    ];
    let mut page = HEAD.to_owned();
    for one in tables {
        let _ = writeln!(
            page,
            "| {} | {} | {} | {} | {} |",
            one.table,
            one.rows,
            one.worst.shown(),
            one.tolerance,
            one.source
        );
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/README.md");
    if std::env::var_os("MATCHMARK_WRITE_AGREEMENT").is_some() {
        std::fs::write(&path, &page).expect("writable");
    }
    assert_eq!(std::fs::read_to_string(&path).expect("it is part of the project"), page);
}
