//! What a fit does when a dimension moves, and where its verdicts turn; the published examples stand in `tests/published`.

use super::*;
use proptest::prelude::*;

fn groove(depth: Band) -> Groove {
    Groove { seal: Seal::Static, seat: Some(Band::at(25.4)), depth, width: Some(Band::at(4.57)) }
}

fn ring() -> Ring {
    Ring::by_code("214").expect("a standard size")
}

#[test]
fn a_nominal_figure_in_order_may_be_out_of_order_within_tolerance() {
    let shallow = fit(&ring(), &groove(Band { low: 3.0, high: 3.2 })).expect("lengths");
    assert!(shallow.squeeze.low < 10.0 && shallow.squeeze.high > 10.0, "{shallow:?}");
    let Verdict::Doubtful(words) = shallow.squeeze_verdict(Seal::Static) else { panic!("{shallow:?}") };
    assert_eq!(words, "within tolerance, squeeze may be below 10 %");
    let deep = fit(&ring(), &groove(Band::at(3.7))).expect("lengths");
    assert_eq!(deep.squeeze_verdict(Seal::Static), Verdict::Outside("the ring does not touch".to_owned()));
}

#[test]
fn the_sources_differ_where_they_differ() {
    let fit = fit(&ring(), &groove(Band { low: 2.79, high: 2.95 })).expect("lengths");
    assert_eq!(squeeze_guide(Seal::Static).verdict(fit.squeeze), Verdict::Within);
    assert!(
        matches!(squeeze_guide(Seal::Moving).verdict(fit.squeeze), Verdict::Doubtful(words) if words.contains("differ"))
    );
    assert!(matches!(squeeze_guide(Seal::Static).verdict(Band { low: 31.0, high: 35.0 }), Verdict::Doubtful(_)));
    assert!(matches!(squeeze_guide(Seal::Static).verdict(Band { low: 41.0, high: 45.0 }), Verdict::Outside(_)));
    assert!(matches!(STRETCH.verdict(Band { low: -3.0, high: -1.0 }), Verdict::Outside(_)));
}

#[test]
fn what_is_no_length_has_no_fit() {
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(fit(&ring(), &groove(Band::at(bad))).is_err(), "{bad}");
        assert!(fit(&ring(), &Groove { width: Some(Band::at(bad)), ..groove(Band::at(2.9)) }).is_err(), "{bad}");
        assert!(fit(&ring(), &Groove { seat: Some(Band::at(bad)), ..groove(Band::at(2.9)) }).is_err(), "{bad}");
    }
    assert!(fit(&ring(), &groove(Band { low: 2.9, high: 2.8 })).is_err());
}

#[test]
fn hardness_speaks_where_pressure_asks_for_it() {
    assert_eq!(hardness_remark(70, Some(16.0)), Ok(None));
    assert_eq!(hardness_remark(70, None), Ok(None));
    assert!(hardness_remark(70, Some(160.0)).expect("known").expect("a remark").contains("back-up ring"));
    assert_eq!(hardness_remark(90, Some(160.0)), Ok(None));
    assert!(hardness_remark(60, Some(5.0)).expect("known").expect("a remark").contains("ask the maker"));
    assert!(hardness_remark(700, None).is_err());
    assert!(hardness_remark(70, Some(-1.0)).is_err());
}

proptest! {
    /// A deeper groove squeezes less; a wider seat stretches more and thins the section.
    #[test]
    fn a_fit_moves_one_way(code in 201_u32..=284, depth in 2.0_f64..3.4, more in 0.01_f64..0.3, stretch in 1.0_f64..1.06) {
        let ring = Ring::by_code(&code.to_string()).expect("a standard size");
        let seat = Band::at(ring.nominal.0 * stretch);
        let groove = Groove { seal: Seal::Static, seat: Some(seat), depth: Band::at(depth), width: Some(Band::at(5.0)) };
        let first = fit(&ring, &groove).expect("lengths");
        let deeper = fit(&ring, &Groove { depth: Band::at(depth + more), ..groove }).expect("lengths");
        prop_assert!(deeper.squeeze.high < first.squeeze.high);
        let wider = fit(&ring, &Groove { seat: Some(Band::at(seat.low + more)), ..groove }).expect("lengths");
        prop_assert!(wider.section.low < first.section.low);
        prop_assert!(wider.stretch.expect("a seat").low > first.stretch.expect("a seat").low);
    }

    /// The nominal fit lies within the band, and the ring keeps its volume.
    #[test]
    fn nominal_lies_within_the_band(code in 201_u32..=284, depth in 2.0_f64..3.4, tolerance in 0.0_f64..0.1, stretch in 1.0_f64..1.06) {
        let ring = Ring::by_code(&code.to_string()).expect("a standard size");
        let seat = Band::around(ring.nominal.0 * stretch, tolerance);
        let width = Some(Band::around(5.0, tolerance));
        let groove = Groove { seal: Seal::Static, seat: Some(seat), depth: Band::around(depth, tolerance), width };
        let all = fit(&ring, &groove).expect("lengths");
        let exact = Ring { inside: Band::at(ring.nominal.0), section: Band::at(ring.nominal.1), ..ring.clone() };
        let nominal = fit(&exact, &groove.nominal()).expect("lengths");
        let holds = |band: Band, figure: f64| band.low <= figure + 1e-9 && figure <= band.high + 1e-9;
        prop_assert!(holds(all.squeeze, nominal.squeeze.low) && holds(all.section, nominal.section.low));
        prop_assert!(holds(all.fill.expect("a width"), nominal.fill.expect("a width").low));
        let volume = (seat.middle() + nominal.section.low) * nominal.section.low * nominal.section.low;
        prop_assert!((volume / ((ring.nominal.0 + ring.nominal.1) * ring.nominal.1 * ring.nominal.1) - 1.0).abs() < 1e-12);
    }
}
