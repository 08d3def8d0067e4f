//! What fluids and heat commonly do to a rubber, each with how it is known; the maker of the fluid decides, this only doubts.

use crate::analysis::working::{Known, Source};

/// Fluids by what they do to rubber.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Medium {
    /// Mineral oil, petroleum grease and jelly.
    MineralOil,
    /// Silicone oil and grease.
    Silicone,
    /// Food grease on glycerine, or rated for EPDM.
    GlycerineGrease,
    /// Milk and cream.
    Milk,
    /// Sodium hydroxide of some per cent at 60 to 80 °C, as in cleaning.
    HotCaustic,
    /// Nitric acid of about one per cent.
    DiluteNitric,
    /// Peracetic acid as diluted for cleaning.
    Peracetic,
    /// Steam and water above 100 °C.
    Steam,
    /// Ozone and weather.
    Ozone,
    /// Ketones, esters and other polar solvents.
    PolarSolvent,
    /// Strong alkalis and acids, undiluted.
    Strong,
}

/// What is said of a rubber and a fluid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    /// Commonly used together.
    Suits,
    /// By grade, dilution or temperature: ask.
    Ask,
    /// Commonly kept apart.
    KeptApart,
}

/// One statement about a rubber and a fluid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Symbol of ISO 1629.
    pub rubber: &'static str,
    /// The fluid.
    pub medium: Medium,
    /// What is said.
    pub word: Word,
    /// Why, in plain words.
    pub why: &'static str,
    /// How it is known.
    pub source: Source,
}

/// Between which temperatures a rubber is commonly used, in °C.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// Symbol of ISO 1629.
    pub rubber: &'static str,
    /// Coldest.
    pub low: i32,
    /// Hottest.
    pub high: i32,
    /// How it is known.
    pub source: Source,
}

const MANUAL: Source = Source::of("a sealing manual for process industry", Known::Found);
const HANDBOOKS: Source = Source::of("sealing handbooks", Known::Memory);
const TRIALS: Source = Source::of("a trade article on trials of cleaning in place", Known::Found);

const fn said(rubber: &'static str, medium: Medium, word: Word, why: &'static str, source: Source) -> Statement {
    Statement { rubber, medium, word, why, source }
}

/// What is commonly said of rubbers and fluids. Grades differ; the maker of the fluid decides.
static STATEMENTS: &[Statement] = &[
    said("EPDM", Medium::MineralOil, Word::KeptApart, "mineral oil swells EPDM", MANUAL),
    said("EPDM", Medium::Milk, Word::Suits, "usable in milk and cream while cold", MANUAL),
    said("EPDM", Medium::HotCaustic, Word::Suits, "stands hot dilute caustic", MANUAL),
    said("EPDM", Medium::DiluteNitric, Word::Suits, "stands nitric acid, dilute and warm", MANUAL),
    said(
        "EPDM",
        Medium::Peracetic,
        Word::Suits,
        "good if cured with peroxide; cured with sulphur it cracks earlier",
        MANUAL,
    ),
    said("EPDM", Medium::Steam, Word::Suits, "stands steam and hot water", MANUAL),
    said("EPDM", Medium::Silicone, Word::Suits, "silicone grease does it no harm", HANDBOOKS),
    said("EPDM", Medium::GlycerineGrease, Word::Suits, "grease on glycerine does it no harm", HANDBOOKS),
    said("VMQ", Medium::Silicone, Word::KeptApart, "silicone grease swells silicone rubber", HANDBOOKS),
    said(
        "VMQ",
        Medium::MineralOil,
        Word::KeptApart,
        "mineral oil swells silicone rubber",
        Source::of("a page on silicone and hydrocarbon oils", Known::Found),
    ),
    said("VMQ", Medium::Steam, Word::KeptApart, "steam above about 120 °C breaks silicone rubber down", HANDBOOKS),
    said("VMQ", Medium::Strong, Word::Ask, "poor in strong alkali and acid; in dilute ones by grade", HANDBOOKS),
    said("FKM", Medium::MineralOil, Word::Suits, "excellent in mineral oil and fat", HANDBOOKS),
    said(
        "FKM",
        Medium::HotCaustic,
        Word::KeptApart,
        "hot caustic attacks common FKM; grades that resist bases exist and are named on the bag",
        HANDBOOKS,
    ),
    said("FKM", Medium::Steam, Word::Ask, "poor in steam unless cured with peroxide", HANDBOOKS),
    said("FKM", Medium::DiluteNitric, Word::Suits, "stands dilute nitric acid", HANDBOOKS),
    said("FKM", Medium::Peracetic, Word::Suits, "stands peracetic acid as diluted", HANDBOOKS),
    said("FKM", Medium::PolarSolvent, Word::KeptApart, "ketones and esters swell FKM", HANDBOOKS),
    said("NBR", Medium::MineralOil, Word::Suits, "excellent in mineral oil", HANDBOOKS),
    said("NBR", Medium::Ozone, Word::KeptApart, "cracks in ozone and weather where it is strained", HANDBOOKS),
    said(
        "NBR",
        Medium::Steam,
        Word::KeptApart,
        "steam and water above 80 to 100 °C harden NBR",
        Source::of("a guide to hygienic gaskets", Known::Found),
    ),
    said("NBR", Medium::DiluteNitric, Word::Ask, "poor in acids that oxidise", HANDBOOKS),
    said("NBR", Medium::Peracetic, Word::Ask, "poor in peracetic acid", HANDBOOKS),
    said("NBR", Medium::HotCaustic, Word::Ask, "fair to good in 2 % caustic up to 80 °C", HANDBOOKS),
    said("HNBR", Medium::MineralOil, Word::Suits, "very good in mineral oil", HANDBOOKS),
    said("HNBR", Medium::Ozone, Word::Suits, "good in ozone", HANDBOOKS),
    said("FFKM", Medium::HotCaustic, Word::Suits, "good in hot cleaning fluids", TRIALS),
    said("FFKM", Medium::DiluteNitric, Word::Suits, "good in hot cleaning fluids", TRIALS),
    said("FFKM", Medium::Peracetic, Word::Suits, "good in hot cleaning fluids", TRIALS),
    said("FFKM", Medium::Steam, Word::Suits, "good in steam as used for cleaning", TRIALS),
    said("PTFE", Medium::HotCaustic, Word::Suits, "inert; it creeps and does not spring back", HANDBOOKS),
    said("PTFE", Medium::DiluteNitric, Word::Suits, "inert; it creeps and does not spring back", HANDBOOKS),
    said("PTFE", Medium::Peracetic, Word::Suits, "inert; it creeps and does not spring back", HANDBOOKS),
];

/// Temperatures at which rubbers are commonly used.
static SPANS: [Span; 5] = [
    Span { rubber: "EPDM", low: -40, high: 140, source: MANUAL },
    Span { rubber: "VMQ", low: -60, high: 200, source: HANDBOOKS },
    Span { rubber: "FKM", low: -20, high: 200, source: HANDBOOKS },
    Span { rubber: "NBR", low: -30, high: 100, source: HANDBOOKS },
    Span { rubber: "HNBR", low: -30, high: 150, source: HANDBOOKS },
];

/// Words in a fluid's name that tell its medium. What no word tells is not guessed.
const TELLING: [(&str, Medium); 25] = [
    ("mineral", Medium::MineralOil),
    ("mineral-oil", Medium::MineralOil),
    ("petroleum", Medium::MineralOil),
    ("paraffin", Medium::MineralOil),
    ("vaseline", Medium::MineralOil),
    ("silicone", Medium::Silicone),
    ("glycerine", Medium::GlycerineGrease),
    ("glycerin", Medium::GlycerineGrease),
    ("milk", Medium::Milk),
    ("cream", Medium::Milk),
    ("caustic", Medium::HotCaustic),
    ("lye", Medium::HotCaustic),
    ("naoh", Medium::HotCaustic),
    ("hydroxide", Medium::HotCaustic),
    ("nitric", Medium::DiluteNitric),
    ("peracetic", Medium::Peracetic),
    ("steam", Medium::Steam),
    ("ozone", Medium::Ozone),
    ("acetone", Medium::PolarSolvent),
    ("ketone", Medium::PolarSolvent),
    ("ethyl-acetate", Medium::PolarSolvent),
    ("acetate", Medium::PolarSolvent),
    ("ester", Medium::PolarSolvent),
    ("concentrated", Medium::Strong),
    ("undiluted", Medium::Strong),
];

/// Returns the media that the words of a fluid's name tell; none where no word does.
#[must_use]
pub fn media_in(name: &str) -> Vec<Medium> {
    let name = name.to_lowercase();
    let words: Vec<&str> =
        name.split(|c: char| !c.is_alphanumeric() && c != '-').filter(|word| !word.is_empty()).collect();
    let mut media: Vec<Medium> =
        TELLING.iter().filter(|(word, _)| words.contains(word)).map(|(_, medium)| *medium).collect();
    media.sort_unstable();
    media.dedup();
    media
}

/// Returns what is commonly said of a rubber and a medium; none where nothing is.
#[must_use]
pub fn commonly_said(rubber: &str, medium: Medium) -> Option<&'static Statement> {
    STATEMENTS
        .iter()
        .find(|statement| statement.rubber.eq_ignore_ascii_case(rubber.trim()) && statement.medium == medium)
}

/// Returns what speaks against a fluid on a rubber, by the fluid's name: statements that it is kept apart, or to be asked.
#[must_use]
pub fn doubts(rubber: &str, fluid: &str) -> Vec<&'static Statement> {
    let statements = media_in(fluid).into_iter().filter_map(|medium| commonly_said(rubber, medium));
    statements.filter(|statement| statement.word != Word::Suits).collect()
}

/// Returns the temperatures at which a rubber is commonly used; none where they are not known here.
#[must_use]
pub fn span(rubber: &str) -> Option<&'static Span> {
    SPANS.iter().find(|span| span.rubber.eq_ignore_ascii_case(rubber.trim()))
}

/// Returns every statement, for tables and tests.
#[must_use]
pub fn statements() -> &'static [Statement] {
    STATEMENTS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_four_that_fail_on_the_floor_are_known() {
        for (rubber, fluid) in [
            ("VMQ", "silicone O-ring grease"),
            ("EPDM", "white mineral-oil grease"),
            ("FKM", "hot caustic 2 %"),
            ("NBR", "steam"),
            ("VMQ", "steam"),
        ] {
            let doubts = doubts(rubber, fluid);
            assert_eq!(doubts.len(), 1, "{rubber} in {fluid}");
            assert_eq!(doubts[0].word, Word::KeptApart, "{rubber} in {fluid}");
        }
    }

    #[test]
    fn what_no_word_tells_is_not_guessed() {
        assert!(media_in("soapy water 2 %").is_empty());
        assert!(media_in("alcohol wipe").is_empty());
        assert!(media_in("creamy paste, polyester").is_empty());
        assert!(doubts("EPDM", "silicone grease").is_empty());
        assert!(doubts("XYZ", "mineral oil").is_empty());
        assert_eq!(span("epdm").map(|span| (span.low, span.high)), Some((-40, 140)));
        assert_eq!(span("IIR"), None);
    }

    #[test]
    fn nothing_is_said_twice() {
        for (at, one) in STATEMENTS.iter().enumerate() {
            let again = STATEMENTS[at + 1..].iter().find(|two| (two.rubber, two.medium) == (one.rubber, one.medium));
            assert_eq!(again, None);
        }
    }
}
