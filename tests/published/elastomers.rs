//! Rubber against fluids and temperature: what is commonly said, each statement with how it is known.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::rubber::elastomer::{Medium, Word, commonly_said, span, statements};
use matchmark::analysis::working::Known;

/// Rubber (ISO 1629), medium, what is said, and how it is known.
///
/// Sources: a sealing manual for process industry (EPDM), a page on silicone and hydrocarbon oils, a guide to hygienic gaskets, a trade
/// article on trials of cleaning in place (FFKM): found. Sealing handbooks: from memory. Grades differ; the maker decides.
#[rustfmt::skip]
const SAID: [(&str, Medium, Word, Known); 33] = [
    ("EPDM", Medium::MineralOil, Word::KeptApart, Known::Found),
    ("EPDM", Medium::Milk, Word::Suits, Known::Found),
    ("EPDM", Medium::HotCaustic, Word::Suits, Known::Found),
    ("EPDM", Medium::DiluteNitric, Word::Suits, Known::Found),
    ("EPDM", Medium::Peracetic, Word::Suits, Known::Found),
    ("EPDM", Medium::Steam, Word::Suits, Known::Found),
    ("EPDM", Medium::Silicone, Word::Suits, Known::Memory),
    ("EPDM", Medium::GlycerineGrease, Word::Suits, Known::Memory),
    ("VMQ", Medium::Silicone, Word::KeptApart, Known::Memory),
    ("VMQ", Medium::MineralOil, Word::KeptApart, Known::Found),
    ("VMQ", Medium::Steam, Word::KeptApart, Known::Memory),
    ("VMQ", Medium::Strong, Word::Ask, Known::Memory),
    ("FKM", Medium::MineralOil, Word::Suits, Known::Memory),
    ("FKM", Medium::HotCaustic, Word::KeptApart, Known::Memory),
    ("FKM", Medium::Steam, Word::Ask, Known::Memory),
    ("FKM", Medium::DiluteNitric, Word::Suits, Known::Memory),
    ("FKM", Medium::Peracetic, Word::Suits, Known::Memory),
    ("FKM", Medium::PolarSolvent, Word::KeptApart, Known::Memory),
    ("NBR", Medium::MineralOil, Word::Suits, Known::Memory),
    ("NBR", Medium::Ozone, Word::KeptApart, Known::Memory),
    ("NBR", Medium::Steam, Word::KeptApart, Known::Found),
    ("NBR", Medium::DiluteNitric, Word::Ask, Known::Memory),
    ("NBR", Medium::Peracetic, Word::Ask, Known::Memory),
    ("NBR", Medium::HotCaustic, Word::Ask, Known::Memory),
    ("HNBR", Medium::MineralOil, Word::Suits, Known::Memory),
    ("HNBR", Medium::Ozone, Word::Suits, Known::Memory),
    ("FFKM", Medium::HotCaustic, Word::Suits, Known::Found),
    ("FFKM", Medium::DiluteNitric, Word::Suits, Known::Found),
    ("FFKM", Medium::Peracetic, Word::Suits, Known::Found),
    ("FFKM", Medium::Steam, Word::Suits, Known::Found),
    ("PTFE", Medium::HotCaustic, Word::Suits, Known::Memory),
    ("PTFE", Medium::DiluteNitric, Word::Suits, Known::Memory),
    ("PTFE", Medium::Peracetic, Word::Suits, Known::Memory),
];

/// Rubber, coldest and hottest in °C. EPDM: the manual gives -50 to 150 for one maker's grades (found); -40 to 140 is kept for any
/// grade. The others from memory.
const TEMPERATURES: [(&str, i32, i32); 5] =
    [("EPDM", -40, 140), ("VMQ", -60, 200), ("FKM", -20, 200), ("NBR", -30, 100), ("HNBR", -30, 150)];

pub(crate) fn agreement() -> Agreement {
    for (rubber, medium, word, known) in SAID {
        let own = commonly_said(rubber, medium).unwrap_or_else(|| panic!("{rubber} {medium:?}"));
        assert_eq!((own.word, own.source.known), (word, known), "{rubber} {medium:?}");
    }
    assert_eq!(statements().len(), SAID.len(), "every statement of the program stands here");
    for (rubber, low, high) in TEMPERATURES {
        assert_eq!(span(rubber).map(|span| (span.low, span.high)), Some((low, high)), "{rubber}");
    }
    Agreement {
        table: "rubber against fluids and temperature",
        rows: SAID.len() + TEMPERATURES.len(),
        worst: Deviation::default(),
        tolerance: "the same verdict",
        source: "a sealing manual, two guides and a trade article, found; sealing handbooks, from memory",
    }
}

#[test]
fn rubbers_agree() {
    agreement();
}
