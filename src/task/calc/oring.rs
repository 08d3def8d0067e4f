//! `calc oring`: a ring by size code or dimensions, and how it lies in a groove over all tolerances; it chooses no ring.

use crate::analysis::rubber::groove::{
    self, FILL, Fit, Groove, Guide, STRETCH, Seal, Verdict, fit, hardness_remark, squeeze_guide,
};
use crate::analysis::rubber::ring::{self, Band, Ring};
use crate::analysis::working::{Constant, Given, Known, Outcome, Refusal, Source, Statement, Working, significant};
use crate::base::quantity::{Pressure, Quantity, Range, Unit};

/// A question for a ring.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OringAsked {
    /// The size code.
    pub size: Option<String>,
    /// The inside diameter.
    pub inside: Option<String>,
    /// The section.
    pub section: Option<String>,
    /// How it seals.
    pub seal: Option<Seal>,
    /// The diameter it sits on.
    pub seat: Option<String>,
    /// From the bottom of the groove to the surface it seals against.
    pub depth: Option<String>,
    /// The width of the groove.
    pub width: Option<String>,
    /// Hardness in IRHD or Shore A.
    pub hardness: Option<u32>,
    /// The pressure over ambient.
    pub pressure: Option<String>,
}

const FORMULA: &str = "stretch = (Dg − ID) / ID; (ID + W) · W² = (Dg + W₁) · W₁²; squeeze = (W₁ − h) / W₁; \
     fill = π/4 · W₁² / (h · b)";

const CAUTION: &str = "a plausibility check, no seal design: the maker of the machine and of the ring decide, and swelling, heat and \
     pressure are not in it";

/// Returns a ring and how it lies in its groove.
///
/// # Errors
/// A refusal where a dimension is missing, is no length, or its tolerances are not known.
pub fn oring(asked: &OringAsked) -> Result<Working, Refusal> {
    let ring = ring(asked)?;
    let mut working = described(&ring);
    if let Some(seal) = asked.seal {
        in_groove(&ring, &groove(asked, seal)?, &mut working)?;
    }
    hardness(asked, &mut working)?;
    Ok(working)
}

fn ring(asked: &OringAsked) -> Result<Ring, Refusal> {
    match (&asked.size, &asked.inside, &asked.section) {
        (Some(code), None, None) => Ring::by_code(code),
        (None, Some(inside), Some(section)) => Ring::by_dimensions(band(inside)?, band(section)?),
        _ => Err(Refusal::new("a ring is named once: by its size code, or by inside diameter and section")
            .hint("write `AS568-214`, or `--inside` and `--section`")),
    }
}

fn groove(asked: &OringAsked, seal: Seal) -> Result<Groove, Refusal> {
    let depth = asked.depth.as_deref().ok_or_else(|| Refusal::new("a groove has a depth").hint("add `--depth`"))?;
    Ok(Groove {
        seal,
        seat: asked.seat.as_deref().map(band).transpose()?,
        depth: band(depth)?,
        width: asked.width.as_deref().map(band).transpose()?,
    })
}

fn described(ring: &Ring) -> Working {
    let (inside, section) = (millimetres(ring.inside, ring.nominal.0), millimetres(ring.section, ring.nominal.1));
    let mut working = Working {
        title: format!("O-ring {}", ring.name),
        formula: FORMULA,
        given: vec![Given { name: "ring", symbol: "", shown: ring.name.clone() }],
        results: Vec::new(),
        statements: vec![
            Statement { name: "inside diameter ID".into(), shown: inside },
            Statement { name: "section W".into(), shown: section },
        ],
        constants: vec![
            Constant { name: "size".into(), shown: ring.name.clone(), source: ring.size.clone() },
            Constant { name: "tolerances".into(), shown: tolerances(ring), source: ring.tolerance.clone() },
        ],
        remarks: Vec::new(),
        caution: CAUTION,
    };
    if ring.size.known == Known::Given {
        let codes = ring::codes_like(ring.nominal.0, ring.nominal.1);
        let codes: Vec<String> = codes.iter().map(|code| format!("AS568-{code:03}")).collect();
        let words = if codes.is_empty() { "none".to_owned() } else { codes.join(", ") };
        working.statements.push(Statement { name: "standard sizes that it may be".into(), shown: words });
    }
    working
}

fn in_groove(ring: &Ring, groove: &Groove, working: &mut Working) -> Result<(), Refusal> {
    let whole = fit(ring, groove)?;
    let exact = Ring { inside: Band::at(ring.nominal.0), section: Band::at(ring.nominal.1), ..ring.clone() };
    let nominal = fit(&exact, &groove.nominal())?;
    working.given.extend(given(groove));
    working.results.extend(outcomes(&nominal, &whole));
    for (name, verdict) in whole.verdicts(groove.seal) {
        let words = match verdict {
            Verdict::Within => "within the published limits over all tolerances".to_owned(),
            Verdict::Doubtful(why) => format!("doubtful: {why}"),
            Verdict::Outside(why) => format!("outside: {why}"),
        };
        working.statements.push(Statement { name: format!("verdict on {name}").into(), shown: words });
    }
    let squeeze = squeeze_guide(groove.seal);
    let guides = [groove.seat.map(|_| &STRETCH), Some(&squeeze), groove.width.map(|_| &FILL)];
    working.constants.extend(guides.into_iter().flatten().map(limit));
    if groove.seat.is_some() {
        let source = Source::of("SAE MAP3440, static radial grooves of aerospace", Known::Found);
        working.constants.push(Constant { name: "least stretch there".into(), shown: "2 %".to_owned(), source });
    }
    if groove.depth.low.total_cmp(&groove.depth.high).is_eq() {
        working.remarks.push("The depth was given without tolerance: the band is that of the ring alone.".to_owned());
    }
    if groove.width.is_none() {
        working.remarks.push("Fill is not computed: no width was given.".to_owned());
    }
    Ok(())
}

fn outcomes(nominal: &Fit, whole: &Fit) -> Vec<Outcome> {
    let outcome = |name, symbol, nominal: Band, whole: Band, unit| Outcome {
        name,
        symbol,
        figure: nominal.middle(),
        band: Some((whole.low, whole.high)),
        unit,
    };
    let mut outcomes = vec![outcome("squeeze", "", nominal.squeeze, whole.squeeze, "%")];
    let stretch = nominal.stretch.zip(whole.stretch);
    outcomes.extend(stretch.map(|(nominal, whole)| outcome("stretch", "", nominal, whole, "%")));
    outcomes.push(outcome("section after stretching", "W₁", nominal.section, whole.section, "mm"));
    let fill = nominal.fill.zip(whole.fill);
    outcomes.extend(fill.map(|(nominal, whole)| outcome("fill", "", nominal, whole, "%")));
    outcomes
}

fn given(groove: &Groove) -> Vec<Given> {
    let word = match groove.seal {
        groove::Seal::Static => "static",
        groove::Seal::Face => "face",
        groove::Seal::Moving => "moving",
    };
    let length = |name, symbol, band: Band| Given { name, symbol, shown: millimetres(band, band.middle()) };
    let mut given = vec![Given { name: "seal", symbol: "", shown: word.to_owned() }];
    given.extend(groove.seat.map(|seat| length("seat", "Dg", seat)));
    given.push(length("depth", "h", groove.depth));
    given.extend(groove.width.map(|width| length("width", "b", width)));
    given
}

fn limit(guide: &Guide) -> Constant {
    let least = guide.low.map(|low| format!("{low} % to ")).unwrap_or_default();
    let most = if guide.high < guide.ultimate {
        format!("{} %, at most {} %", guide.high, guide.ultimate)
    } else {
        format!("{} %", guide.high)
    };
    Constant {
        name: format!("limit of {}", guide.name).into(),
        shown: format!("{least}{most}"),
        source: guide.source.clone(),
    }
}

fn hardness(asked: &OringAsked, working: &mut Working) -> Result<(), Refusal> {
    let Some(hardness) = asked.hardness else { return Ok(()) };
    let pressure = asked.pressure.as_deref().map(bar).transpose()?;
    working.given.push(Given { name: "hardness", symbol: "", shown: format!("{hardness} IRHD or Shore A") });
    if let Some(pressure) = &asked.pressure {
        working.given.push(Given { name: "pressure", symbol: "", shown: pressure.trim().to_owned() });
    }
    let remark = hardness_remark(hardness, pressure)?;
    working.remarks.extend(remark.map(|remark| format!("{remark}.")));
    Ok(())
}

fn bar(text: &str) -> Result<f64, Refusal> {
    let pressure = Pressure::keyed(text).map_err(|fault| Refusal::new(fault.to_string()))?;
    let unit = Unit::parse("bar").expect("bar is a unit");
    pressure.float_in(unit).map_err(|fault| Refusal::new(fault.to_string()))
}

/// Returns a length or range of lengths in millimetres; above zero.
fn band(text: &str) -> Result<Band, Refusal> {
    let range = Range::keyed(text).map_err(|fault| Refusal::new(fault.to_string()))?;
    let end = |number| {
        let unit = Unit::parse("mm").expect("mm is a unit");
        let length = Quantity { number, unit: range.unit };
        length.float_in(unit).map_err(|_| Refusal::new(format!("`{}` is no length", text.trim())))
    };
    let band = Band { low: end(range.low)?, high: end(range.high)? };
    if band.low > 0.0 { Ok(band) } else { Err(Refusal::new(format!("`{}` must be above zero", text.trim()))) }
}

fn tolerances(ring: &Ring) -> String {
    let half = |band: Band| significant((band.high - band.low) / 2.0, 2);
    format!("ID ±{} mm, W ±{} mm", half(ring.inside), half(ring.section))
}

fn millimetres(band: Band, nominal: f64) -> String {
    if band.low.total_cmp(&band.high).is_eq() {
        return format!("{} mm", figure(nominal));
    }
    format!("{} mm (from {} to {} mm)", figure(nominal), figure(band.low), figure(band.high))
}

fn figure(number: f64) -> String {
    let text = format!("{number:.3}");
    let text = text.trim_end_matches('0');
    text.strip_suffix('.').unwrap_or(text).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(size: &str, depth: &str) -> OringAsked {
        OringAsked {
            size: Some(size.to_owned()),
            seal: Some(Seal::Static),
            seat: Some("25.4 mm".to_owned()),
            depth: Some(depth.to_owned()),
            width: Some("4.57 mm".to_owned()),
            ..OringAsked::default()
        }
    }

    #[test]
    fn a_ring_in_a_groove_is_told_with_its_band_and_its_limits() {
        let working = oring(&asked("AS568-214", "2.79 to 2.95 mm")).expect("a ring");
        let squeeze = &working.results[0];
        let (low, high) = squeeze.band.expect("a band");
        assert!((squeeze.figure - 18.148).abs() < 0.001 && low < 15.0 && high > 21.0, "{squeeze:?}");
        assert!(
            working.statements.iter().any(|one| one.name == "verdict on squeeze" && one.shown.starts_with("within"))
        );
        assert!(
            working.constants.iter().any(|one| one.name == "limit of squeeze" && one.shown.contains("at most 40 %"))
        );
    }

    #[test]
    fn inches_are_lengths_too() {
        let inches = OringAsked {
            inside: Some("0.974 to 0.994 in".to_owned()),
            section: Some("0.135 to 0.143 in".to_owned()),
            ..OringAsked::default()
        };
        let working = oring(&inches).expect("a ring");
        assert!(working.statements.iter().any(|one| one.shown == "AS568-214"), "{:?}", working.statements);
    }

    #[test]
    fn bad_input_is_a_refusal_and_never_a_number() {
        let bad = [
            OringAsked::default(),
            asked("AS568-101", "2.87 mm"),
            asked("AS568-214", "0 mm"),
            asked("AS568-214", "-2 mm"),
            asked("AS568-214", "2.87 bar"),
            asked("AS568-214", "2.95 to 2.79 mm"),
            OringAsked { depth: None, ..asked("AS568-214", "2.87 mm") },
            OringAsked { inside: Some("25 mm".to_owned()), ..asked("AS568-214", "2.87 mm") },
            OringAsked { hardness: Some(700), ..asked("AS568-214", "2.87 mm") },
            OringAsked { hardness: Some(70), pressure: Some("16 mm".to_owned()), ..asked("AS568-214", "2.87 mm") },
        ];
        for asked in bad {
            assert!(oring(&asked).is_err(), "{asked:?}");
        }
    }
}
