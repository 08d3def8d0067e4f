//! Tightening sequences: the legacy cross patterns of ASME PCC-1.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::pattern::{PASSES, order, passes_in_words};
use matchmark::model::family::JointPattern;

/// Bolts and the order, numbered clockwise round the circle.
///
/// Source: ASME PCC-1 tables 3 and 4, legacy cross pattern: from memory, but the order for 12 was found in a web page, and so was the
/// clockwise numbering.
const ROWS: [(u32, &[u32]); 6] = [
    (4, &[1, 3, 2, 4]),
    (8, &[1, 5, 3, 7, 2, 6, 4, 8]),
    (12, &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
    (16, &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16]),
    (20, &[1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19]),
    (24, &[1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24]),
];

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (bolts, sequence) in ROWS {
        let own = order(JointPattern::Cross, bolts).expect("more than one bolt").sequence;
        assert_eq!(own, sequence, "{bolts}");
        for (own, published) in own.iter().zip(sequence) {
            worst.hold("bolt", f64::from(*own), f64::from(*published), 0.0);
        }
    }
    Agreement {
        table: "tightening sequences",
        rows: ROWS.len(),
        worst,
        tolerance: "exact",
        source: "ASME PCC-1 legacy cross pattern: 12 bolts found, the others from memory",
    }
}

/// The passes of a flange: name, from, to, in per cent of the torque.
///
/// Source: ASME PCC-1 table 2 (2013, 2019), legacy cross pattern: from memory. Snug is not above 20 %. Three pages of the gasket and
/// valve trade have 30, 60 and 100 % with a pass once round (found).
const FLANGE: [(&str, u32, u32); 4] =
    [("snug", 0, 20), ("first pass", 20, 30), ("second pass", 50, 70), ("last pass", 100, 100)];

/// The passes of the gasket and valve trade, in per cent (found on three pages); a pass once round follows.
const SHOP: [u32; 3] = [30, 60, 100];

pub(crate) fn passes() -> Agreement {
    let mut worst = Deviation::default();
    for ((name, from, to), (own, low, high)) in FLANGE.into_iter().zip(PASSES) {
        assert_eq!((own, low == 0), (name, from == 0));
        for (own, published) in [(low, from), (high, to)].into_iter().filter(|(_, published)| *published > 0) {
            worst.hold(name, f64::from(own), f64::from(published), 0.0);
        }
    }
    for (share, (name, from, to)) in SHOP.iter().zip(&PASSES[1..]) {
        assert!((from..=to).contains(&share), "{share} % is a {name}");
    }
    Agreement {
        table: "tightening passes",
        rows: FLANGE.len() + 1,
        worst,
        tolerance: "exact; the passes of the trade inside them",
        source: "ASME PCC-1 table 2, legacy cross pattern, from memory; 30, 60 and 100 % on three pages of the gasket and valve trade, found",
    }
}

#[test]
fn passes_agree() {
    passes();
    assert_eq!(PASSES, FLANGE);
    assert_eq!(passes_in_words(), "snug; first pass 20 to 30 %; second pass 50 to 70 %; last pass 100 %");
    for shares in [[30, 70, 100], [30, 60, 100], [20, 50, 100]] {
        for (share, (name, from, to)) in shares.iter().zip(&PASSES[1..]) {
            assert!((from..=to).contains(&share), "{share} % is a {name}");
        }
    }
}

/// For six bolts the tables differ from memory to memory; any order will do in which the second of each pair is opposite the first.
#[test]
fn sequences_agree() {
    agreement();
    let six = order(JointPattern::Cross, 6).expect("more than one bolt").sequence;
    assert!(six.chunks(2).all(|pair| pair[0].abs_diff(pair[1]) == 3), "{six:?}");
}
