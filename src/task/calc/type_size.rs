//! `calc type-size`: how high letters are for a reading distance, and how large a code; it sets no type.

use crate::analysis::working::{Constant, Given, Known, Outcome, Refusal, Source, Statement, Working, significant};
use crate::base::letter::{
    BUILT_IN_CAP_HEIGHT, DETAIL_MINUTES, TEXT_FLOOR, TEXT_MINUTES, WARN_FLOOR, by_two_hundredth, cap_height_mm,
    on_a_sign, type_size as points_for,
};
use crate::base::qr::{QUIET_MODULES, Recovery, modules, version_for, width_for, widths};
use crate::base::quantity::{Length, Unit};

/// A question for a size of type.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TypeSizeAsked {
    /// From the eye to the page.
    pub distance: String,
    /// The height of a capital in em.
    pub cap_height: Option<String>,
    /// What a code is to hold.
    pub code: Option<String>,
}

/// Angles that are told besides, in minutes of arc.
const OTHER_MINUTES: [(f64, &str); 2] = [(22.0, "capital at 22 min"), (24.0, "capital at 24 min")];

/// From where to where a page or sign is read, in mm; beyond it a figure would only be a slip of the keys.
const READ_FROM: std::ops::RangeInclusive<f64> = 100.0..=100_000.0;

/// Returns how high letters are for a reading distance.
///
/// # Errors
/// A refusal where the distance is no length above zero, the capital has no height, or a code cannot hold the text.
pub fn type_size(asked: &TypeSizeAsked) -> Result<Working, Refusal> {
    let length = Length::keyed(&asked.distance).and_then(Length::above_zero);
    let length = length.map_err(|fault| Refusal::new(fault.to_string()).hint("write the distance as `700 mm`"))?;
    let unit = Unit::parse("mm").expect("mm is a unit");
    let distance = length.float_in(unit).map_err(|fault| Refusal::new(fault.to_string()))?;
    if !READ_FROM.contains(&distance) {
        let shown = length.quantity();
        let message = format!("nobody reads a page from {} {}", shown.number, shown.unit.symbol());
        return Err(Refusal::new(message).hint("give a distance from 100 mm to 100 m"));
    }
    let capital = asked.cap_height.as_deref().map_or(Ok(BUILT_IN_CAP_HEIGHT), capital)?;
    let shown = length.quantity();
    let mut working = Working {
        title: format!("type that is read from {} {}", shown.number, shown.unit.symbol()),
        formula: "h = 2 · D · tan(θ / 2); points = h / cap height in em · 72 / 25.4 mm",
        given: vec![
            Given { name: "distance", symbol: "D", shown: format!("{} {}", shown.number, shown.unit.symbol()) },
            Given { name: "capital of the font", symbol: "", shown: format!("{} em", significant(capital, 3)) },
        ],
        results: outcomes(distance),
        statements: sizes(distance, capital),
        constants: constants(asked.cap_height.is_none()),
        remarks: vec![
            "Where the youngest reader is over 50, 10 to 15 % more (common practice, no source).".to_owned(),
            "Least sizes hold whatever the formula says: a card is never set smaller.".to_owned(),
        ],
        caution: "light, glare, steam and dirt are not in the formula: hold a print where it will hang",
    };
    if let Some(code) = &asked.code {
        code_for(code, distance, &mut working)?;
    }
    Ok(working)
}

fn outcomes(distance: f64) -> Vec<Outcome> {
    let plain = |name, symbol, figure, unit| Outcome { name, symbol, figure, band: None, unit };
    let mut outcomes = vec![
        plain("capital of running text, 20 min", "h", cap_height_mm(distance, TEXT_MINUTES), "mm"),
        plain("capital of the smallest print, 16 min", "", cap_height_mm(distance, DETAIL_MINUTES), "mm"),
    ];
    outcomes.extend(OTHER_MINUTES.map(|(minutes, name)| plain(name, "", cap_height_mm(distance, minutes), "mm")));
    outcomes.push(plain("letter of a sign, 1/200 of the distance", "", by_two_hundredth(distance), "mm"));
    outcomes.push(plain("letter of a safety sign, by ANSI Z535", "", on_a_sign(distance), "mm"));
    outcomes
}

/// Returns the least sizes of type, rounded up to a twentieth of a point: a size that is rounded down is too small.
fn sizes(distance: f64, capital: f64) -> Vec<Statement> {
    let points =
        |minutes: f64, floor: f64| (points_for(distance, minutes, capital) * 20.0).ceil().max(floor * 20.0) / 20.0;
    let size = |name: &'static str, points: f64| Statement { name: name.into(), shown: format!("{points:.2} pt") };
    vec![
        size("running text, at least", points(TEXT_MINUTES, TEXT_FLOOR)),
        size("cautions and limits, at least", points(TEXT_MINUTES, WARN_FLOOR)),
        size("smallest print, at least", points(DETAIL_MINUTES, 0.0)),
    ]
}

fn constants(built_in: bool) -> Vec<Constant> {
    let constant = |name: &'static str, shown: &str, text, known| Constant {
        name: name.into(),
        shown: shown.to_owned(),
        source: Source::of(text, known),
    };
    let angle = "16 to 24 min: FAA HF-STD-001; 16 min: NUREG-0700; 16, better 20 to 22 min: ISO 9241-3";
    let mut constants = vec![
        constant("angle θ", "20 min for text, 16 min for the smallest print", angle, Known::Found),
        constant("least sizes", "10 pt for text, 12 pt for cautions and limits", "ISO/IEC Guide 37:2012", Known::Found),
        constant(
            "one in two hundred",
            "h = D / 200",
            "sign practice; EN 1838 uses 200 for pictograms lit from within",
            Known::Memory,
        ),
        constant(
            "safety sign",
            "d/150 to 48 in, d/300 above 240 in",
            "ANSI Z535.2 and Z535.4, annex B; doubtful",
            Known::Memory,
        ),
    ];
    if built_in {
        constants.push(constant(
            "capital",
            "1493 of 2048",
            "OS/2 table of the built-in font, DejaVu Sans",
            Known::Found,
        ));
    }
    constants
}

fn code_for(text: &str, distance: f64, working: &mut Working) -> Result<(), Refusal> {
    if text.trim().is_empty() {
        return Err(Refusal::new("the code would hold nothing").hint("write what it is to hold"));
    }
    let version = version_for(text, Recovery::Medium).ok_or_else(|| {
        Refusal::new("a code up to version 10 with medium recovery does not hold this text").hint("shorten it")
    })?;
    let modules = modules(version).expect("versions that were found are known");
    let module = width_for(distance) / f64::from(modules);
    let (width, whole) = widths(modules, module);
    let plain = |name, figure, unit| Outcome { name, symbol: "", figure, band: None, unit };
    working.given.push(Given { name: "code holds", symbol: "", shown: format!("{} bytes", text.len()) });
    let shown = format!("version {version}, {modules} modules a side, medium recovery");
    working.statements.push(Statement { name: "code".into(), shown });
    working.results.push(plain("least width of the code", width, "mm"));
    working.results.push(plain("its width with white space", whole, "mm"));
    working.results.push(plain("module", module, "mm"));
    working.constants.push(Constant {
        name: "distance to width".into(),
        shown: "10 to 1".to_owned(),
        source: Source::of("rule of thumb of the trade, on two pages; not in ISO/IEC 18004", Known::Found),
    });
    working.constants.push(Constant {
        name: "white space".into(),
        shown: format!("{QUIET_MODULES} modules on every side"),
        source: Source::of("ISO/IEC 18004", Known::Found),
    });
    Ok(())
}

fn capital(text: &str) -> Result<f64, Refusal> {
    let text = text.trim();
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let capital = text.parse::<f64>().ok().filter(|capital| is_plain && (0.4..=1.0).contains(capital));
    capital.ok_or_else(|| {
        Refusal::new(format!("the height of a capital is a number from 0.4 to 1 em, and `{text}` is none"))
            .hint("most fonts without serifs have 0.70 to 0.74 em")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(distance: &str) -> TypeSizeAsked {
        TypeSizeAsked { distance: distance.to_owned(), ..TypeSizeAsked::default() }
    }

    /// 700 mm at 20 minutes of arc is a capital of 4.072 mm, 11.54 pt; in a font with capitals of 0.729 em, 15.83 pt.
    #[test]
    fn least_sizes_are_rounded_up_and_hold_whatever_the_formula_says() {
        let points =
            |distance: &str, at: usize| type_size(&asked(distance)).expect(distance).statements[at].shown.clone();
        assert_eq!(points("700 mm", 0), "15.85 pt");
        assert_eq!((points("300 mm", 0), points("300 mm", 1)), ("10.00 pt".to_owned(), "12.00 pt".to_owned()));
        assert_eq!(points("0.7 m", 0), points("700 mm", 0));
    }

    #[test]
    fn bad_input_is_a_refusal_and_never_a_number() {
        for distance in ["", "0 mm", "-700 mm", "700", "700 kg", "inf mm", "1,250 mm", "NaN mm", "99 mm", "101 m"] {
            assert!(type_size(&asked(distance)).is_err(), "{distance}");
        }
        for capital in ["0", "-0.7", "2", "inf", "NaN", "1e-1", ""] {
            let asked = TypeSizeAsked { cap_height: Some(capital.to_owned()), ..asked("700 mm") };
            assert!(type_size(&asked).is_err(), "{capital}");
        }
        assert!(type_size(&TypeSizeAsked { code: Some("x".repeat(1000)), ..asked("300 mm") }).is_err());
    }
}
