//! Nut factors by what is on the threads: a band with its source for each state; words it cannot match it gives no figure for.

use crate::analysis::fastener::class::Material;
use crate::analysis::working::{Known, Source};

/// How far a nut factor that was given as one number may scatter, as a share of it to either side.
pub const SCATTER: f64 = 0.3;

/// Where the scatter is from.
pub const SCATTER_SOURCE: Source =
    Source::of("scatter of a nut factor: 30 % to either side is usual with a torque wrench", Known::Practice);

/// A nut factor with its band.
#[derive(Clone, Debug, PartialEq)]
pub struct NutFactor {
    /// What is on the threads, in words.
    pub state: String,
    /// Lower end.
    pub low: f64,
    /// The figure to compute with.
    pub nominal: f64,
    /// Upper end.
    pub high: f64,
    /// Where it is from.
    pub source: Source,
}

impl NutFactor {
    /// Returns a nut factor that was given as one number, with the usual scatter round it.
    #[must_use]
    pub fn given(nominal: f64, state: impl Into<String>, source: Source) -> Self {
        let (low, high) = (nominal * (1.0 - SCATTER), nominal * (1.0 + SCATTER));
        Self { state: state.into(), low, nominal, high, source }
    }
}

/// A state: its words, what it goes for, its band, the figure to compute with, where it is from.
struct Row {
    state: &'static str,
    material: Material,
    band: (f64, f64),
    nominal: f64,
    source: Source,
}

const fn row(
    state: &'static str,
    material: Material,
    band: (f64, f64),
    nominal: f64,
    source: &'static str,
    known: Known,
) -> Row {
    Row { state, material, band, nominal, source: Source::of(source, known) }
}

const DISTRIBUTOR: &str = "range: a fastener distributor's engineering data";
const SELLER: &str = "range: a bolt seller's guidance; the middle of it is computed with";

/// Published ranges; where a page gives none but a figure, that is the one to compute with, else the middle of the range.
static STATES: [Row; 10] = [
    row(
        "dry steel",
        Material::Steel,
        (0.18, 0.27),
        0.20,
        "range: a fastener distributor's engineering data; 0.20: a newsletter, clean and dry",
        Known::Found,
    ),
    row(
        "oiled steel",
        Material::Steel,
        (0.10, 0.26),
        0.15,
        "range: a fastener distributor's engineering data; 0.15: a newsletter, lubricated",
        Known::Found,
    ),
    row(
        "zinc plated, dry",
        Material::Steel,
        (0.17, 0.35),
        0.20,
        "range: a fastener distributor's engineering data; 0.20: a textbook table, from memory",
        Known::Found,
    ),
    row("zinc plated, oiled", Material::Steel, (0.18, 0.22), 0.20, SELLER, Known::Found),
    row("black oxide, oiled", Material::Steel, (0.15, 0.18), 0.165, SELLER, Known::Found),
    row(
        "cadmium plated",
        Material::Steel,
        (0.15, 0.19),
        0.16,
        "range: a fastener distributor's engineering data; 0.16: a textbook table, from memory",
        Known::Found,
    ),
    row("phosphated, oiled", Material::Steel, (0.15, 0.22), 0.185, DISTRIBUTOR, Known::Found),
    row("wax or PTFE", Material::Steel, (0.10, 0.14), 0.12, SELLER, Known::Found),
    row(
        "dry stainless",
        Material::Stainless,
        (0.30, 0.50),
        0.30,
        "range: a fastener distributor's engineering data; 0.30: a page on hygienic clamps",
        Known::Found,
    ),
    row("stainless with anti-seize paste or oil", Material::Stainless, (0.14, 0.18), 0.16, SELLER, Known::Found),
];

/// Words that leave open what is meant.
const OPEN: [&str; 9] = ["not", "no", "never", "without", "or", "if", "unless", "except", "maybe"];
const DRY: [&str; 3] = ["dry", "unlubricated", "unoiled"];
const OIL: [&str; 4] = ["oil", "oiled", "lubricated", "greased"];
const PASTE: [&str; 4] = ["paste", "antiseize", "anti-seize", "grease"];
const WAX: [&str; 3] = ["wax", "waxed", "ptfe"];

/// What the words of a state say of the threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wetness {
    /// Nothing is on them.
    Dry,
    /// Something is on them.
    Wet,
    /// The words do not say, or say both.
    Unsaid,
}

fn words(state: &str) -> Vec<String> {
    let word = |word: &str| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
    state.split([' ', '\u{a0}', ',', ';', '/']).map(word).filter(|word| !word.is_empty()).collect()
}

/// Returns what the words of a state say of the threads, names of fluids left aside.
#[must_use]
pub fn wetness(state: &str) -> Wetness {
    let words = words(state);
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    match (has(&OPEN), has(&DRY), has(&OIL) || has(&PASTE) || has(&WAX)) {
        (false, true, false) => Wetness::Dry,
        (false, false, true) => Wetness::Wet,
        _ => Wetness::Unsaid,
    }
}

/// Returns the published nut factor for a state in words; none where the words do not match one state alone.
#[must_use]
pub fn of_state(state: &str, material: Material) -> Option<NutFactor> {
    let words = words(state);
    let has = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let wetness = wetness(state);
    let coats = [
        has(&["zinc", "zinc-plated", "galvanised", "galvanized"]).then_some("zinc"),
        has(&["cadmium", "cadmium-plated"]).then_some("cadmium"),
        has(&["phosphate", "phosphated"]).then_some("phosphate"),
        (has(&["black"]) && has(&["oxide"])).then_some("oxide"),
        has(&WAX).then_some("wax"),
    ];
    let mut coats = coats.into_iter().flatten();
    let (coat, second) = (coats.next(), coats.next());
    // Hot-dip zinc is no plating, and two coats are no state of the table.
    if second.is_some() || has(&["hot-dip", "hot-dipped", "galvanised", "galvanized"]) {
        return None;
    }
    let name = match (material, coat, wetness) {
        (Material::Steel, None, Wetness::Dry) => "dry steel",
        (Material::Steel, None, Wetness::Wet) if has(&OIL) && !has(&PASTE) && !has(&["greased"]) => "oiled steel",
        (Material::Steel, Some("zinc"), Wetness::Dry) => "zinc plated, dry",
        (Material::Steel, Some("zinc"), Wetness::Wet) if has(&["oil", "oiled"]) => "zinc plated, oiled",
        (Material::Steel, Some("oxide"), Wetness::Wet) if has(&["oil", "oiled"]) => "black oxide, oiled",
        (Material::Steel, Some("phosphate"), Wetness::Wet) if has(&["oil", "oiled"]) => "phosphated, oiled",
        (Material::Steel, Some("cadmium"), Wetness::Dry) => "cadmium plated",
        (Material::Steel, Some("wax"), Wetness::Wet) => "wax or PTFE",
        (Material::Stainless, None, Wetness::Dry) => "dry stainless",
        (Material::Stainless, None, Wetness::Wet) if has(&["oil", "oiled", "antiseize", "anti-seize"]) => {
            "stainless with anti-seize paste or oil"
        }
        _ => return None,
    };
    let row = STATES.iter().find(|row| row.state == name && row.material == material)?;
    let (low, high) = row.band;
    Some(NutFactor { state: row.state.to_owned(), low, nominal: row.nominal, high, source: row.source.clone() })
}

/// Returns every state that a nut factor is published for, in words.
#[must_use]
pub fn states(material: Material) -> Vec<&'static str> {
    STATES.iter().filter(|row| row.material == material).map(|row| row.state).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(state: &str, material: Material) -> String {
        of_state(state, material).map_or_else(|| "none".to_owned(), |factor| factor.state)
    }

    #[test]
    fn words_match_one_state_or_none() {
        let steel = |state| found(state, Material::Steel);
        let stainless = |state| found(state, Material::Stainless);
        assert_eq!(steel("clean and dry"), "dry steel");
        assert_eq!(steel("dry, zinc plated"), "zinc plated, dry");
        assert_eq!(steel("zinc plated, light oil"), "zinc plated, oiled");
        assert_eq!(steel("lightly oiled"), "oiled steel");
        assert_eq!(steel("phosphated and oiled"), "phosphated, oiled");
        assert_eq!(steel("black oxide, oiled"), "black oxide, oiled");
        assert_eq!(stainless("clean and dry"), "dry stainless");
        assert_eq!(stainless("anti-seize on the threads"), "stainless with anti-seize paste or oil");
        for open in [
            "",
            "as usual",
            "clean",
            "not dry",
            "dry or oiled",
            "oil, wiped dry",
            "hot-dip zinc, dry",
            "zinc plated",
            "anti-seize on the threads",
            "grease",
            "zinc and cadmium plated, dry",
            "L-03 on the studs",
            "copper paste",
        ] {
            assert_eq!(steel(open), "none", "{open}");
        }
        for open in ["L-03 on the studs", "paste", "zinc plated, dry", "grease", "dry unless wet"] {
            assert_eq!(stainless(open), "none", "{open}");
        }
    }

    #[test]
    fn every_state_of_the_table_is_found_by_its_own_words() {
        for row in &STATES {
            let state = row.state.replace("wax or PTFE", "waxed").replace("anti-seize paste or oil", "anti-seize");
            let state = state.replace("cadmium plated", "cadmium plated, dry");
            assert_eq!(found(&state, row.material), row.state);
            assert!(row.band.0 <= row.nominal && row.nominal <= row.band.1, "{}", row.state);
        }
    }
}
