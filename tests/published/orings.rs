//! O-rings in grooves: worked examples, and the limits that verdicts rest on.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::rubber::groove::{FILL, Groove, STRETCH, Seal, Verdict, fit, squeeze_guide};
use matchmark::analysis::rubber::ring::{Band, Ring};

/// Case; inside diameter, section, seat, depth and width of the groove (mm); stretch (%), section after stretching (mm), squeeze
/// without and with stretch (%), fill without and with stretch (%).
///
/// Source: geometry alone, computed by another hand: stretch = (Dg − ID) / ID; (ID + W) · W² = (Dg + W₁) · W₁²; squeeze =
/// (W − h) / W; fill = π/4 · W² / (h · b).
#[rustfmt::skip]
const CASES: [(&str, [f64; 5], [&str; 6]); 3] = [
    ("214 static piston, mid gland", [24.99, 3.53, 25.4, 2.87, 4.57], ["1.641", "3.506", "18.697", "18.148", "74.618", "73.620"]),
    ("214 stretched 8 % (reject)", [24.99, 3.53, 26.9892, 2.87, 4.57], ["8.000", "3.419", "18.697", "16.049", "74.618", "69.985"]),
    ("325 static", [37.47, 5.33, 38.2, 4.395, 7.11], ["1.948", "5.288", "17.542", "16.882", "71.403", "70.274"]),
];

fn exact(inside: f64, section: f64) -> Ring {
    let ring = Ring::by_dimensions(Band::at(inside), Band::at(section)).expect("a ring");
    Ring { inside: Band::at(inside), section: Band::at(section), ..ring }
}

pub(crate) fn agreement() -> Agreement {
    let mut worst = Deviation::default();
    for (case, [inside, section, seat, depth, width], expected) in CASES {
        let ring = exact(inside, section);
        let free = Groove { seal: Seal::Static, seat: None, depth: Band::at(depth), width: Some(Band::at(width)) };
        let seated = Groove { seat: Some(Band::at(seat)), ..free };
        let (free, seated) = (fit(&ring, &free).expect(case), fit(&ring, &seated).expect(case));
        let stretch = seated.stretch.expect("a seat");
        let (free_fill, seated_fill) = (free.fill.expect("a width"), seated.fill.expect("a width"));
        let own = [stretch, seated.section, free.squeeze, seated.squeeze, free_fill, seated_fill];
        for (own, printed) in own.into_iter().zip(expected) {
            worst.hold_printed(case, own.low, printed, 0.0);
            worst.hold_printed(case, own.high, printed, 0.0);
        }
    }
    Agreement {
        table: "O-rings in grooves",
        rows: CASES.len(),
        worst,
        tolerance: "half of the last digit printed",
        source: "geometry, computed by another hand",
    }
}

/// Of a table of static grooves, radial and face: section, least and greatest depth, least and greatest squeeze in per cent.
///
/// Source: found in an open table of standard parts. Its squeeze takes the section's tolerance in.
#[rustfmt::skip]
const GROOVES: [(&str, f64, [f64; 4], [f64; 4]); 4] = [
    ("010", 1.78, [1.27, 1.40, 18.0, 32.0], [1.24, 1.37, 19.0, 33.0]),
    ("214", 3.53, [2.79, 2.95, 14.0, 23.0], [2.54, 2.74, 20.0, 30.0]),
    ("325", 5.33, [4.32, 4.47, 14.0, 21.0], [3.94, 4.19, 20.0, 28.0]),
    ("450", 6.99, [5.72, 5.97, 13.0, 20.0], [5.21, 5.42, 20.0, 27.0]),
];

/// What a published table of grooves gives is squeeze over all tolerances: a nominal figure would not be found in it.
pub(crate) fn grooves() -> Agreement {
    let mut worst = Deviation::default();
    for (code, section, radial, face) in GROOVES {
        let ring = Ring::by_code(code).expect(code);
        assert!((ring.nominal.1 - section).abs() < 1e-9, "{code}");
        for [shallow, deep, least, most] in [radial, face] {
            let depth = Band { low: shallow, high: deep };
            let fit = fit(&ring, &Groove { seal: Seal::Static, seat: None, depth, width: None }).expect(code);
            worst.hold(&format!("-{code}, least"), fit.squeeze.low, least, 1.0 / least);
            worst.hold(&format!("-{code}, most"), fit.squeeze.high, most, 1.0 / most);
        }
    }
    Agreement {
        table: "squeeze over all tolerances in static grooves",
        rows: GROOVES.len() * 2,
        worst,
        tolerance: "1 % of squeeze: the table gives whole per cent, worked out in inches",
        source: "ISO 3601-2 grooves in an open table of standard parts, found",
    }
}

#[test]
fn rings_in_grooves_agree() {
    agreement();
    grooves();
}

/// The limits, each with its source: installed stretch at most 5 % (a seal design guide and an article, found); squeeze 10 to
/// 40 % where nothing moves and at most 30 % where parts move (the guide, found), at most 30 and 16 % in a mechanical engineers'
/// handbook (found); fill 85 %, at most 90 % (from memory).
#[test]
fn verdicts_turn_at_the_published_limits() {
    let still = squeeze_guide(Seal::Static);
    let moving = squeeze_guide(Seal::Moving);
    let at = |guide: &matchmark::analysis::rubber::groove::Guide, figure: f64| guide.verdict(Band::at(figure));
    for (guide, within, doubtful, outside) in [
        (&STRETCH, vec![0.0, 2.0, 5.0], vec![], vec![-0.1, 5.1, 8.0]),
        (&still, vec![10.0, 18.0, 30.0], vec![30.1, 40.0], vec![9.9, 40.1]),
        (&moving, vec![8.0, 16.0], vec![16.1, 30.0], vec![30.1]),
        (&FILL, vec![60.0, 85.0], vec![85.1, 90.0], vec![90.1]),
    ] {
        for figure in within {
            assert_eq!(at(guide, figure), Verdict::Within, "{} {figure}", guide.name);
        }
        for figure in doubtful {
            assert!(matches!(at(guide, figure), Verdict::Doubtful(_)), "{} {figure}", guide.name);
        }
        for figure in outside {
            assert!(matches!(at(guide, figure), Verdict::Outside(_)), "{} {figure}", guide.name);
        }
    }
}
