//! Bad input to `calc`: a clear refusal with exit code 2, and never a number.

use std::process::Command;

/// What is typed behind `calc`, parted by `|`, and what the refusal must say.
const CASES: &[(&str, &str)] = &[
    ("torque|M12|--class|8.8|--share|70 %", "what is on the threads is given twice, or not at all"),
    ("torque|M12|--class|8.8|--share|70 %|--nut-factor|0.2|--state|dry", "what is on the threads is given twice"),
    ("torque|M12|--class|8.8|--nut-factor|0.2", "the preload is given twice, or not at all"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|70 %|--force|10 kN", "the preload is given twice"),
    ("torque|M12|--nut-factor|0.2|--share|70 %", "a share needs the class"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|0 %", "a percentage must be above zero"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|-70 %", "a percentage must be above zero"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|130 %", "would stretch the bolt for good"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|70", "`70` has no unit"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|70 mm", "a percentage is needed, and `70 mm` is none"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--share|NaN %", "does not begin with a number"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--force|0 kN", "a force must be above zero"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--force|-1 kN", "a force must be above zero"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--force|inf kN", "does not begin with a number"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--force|20 N·m", "a force is needed"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--force|1e3 N", "`e3 N` is not a unit"),
    ("torque|M12|--class|8.8|--nut-factor|0.2|--utilisation|90 %", "needs a coefficient of friction"),
    ("torque|M12|--class|8.8|--friction|0.14|--utilisation|110 %", "would stretch the bolt for good"),
    ("torque|M12|--class|8.8|--friction|0.14|--bearing|5 mm|--utilisation|90 %", "lies inside the thread"),
    ("torque|M64|--friction|0.14|--force|20 kN", "is in no table here"),
    ("torque|1/4-20|--friction|0.14|--force|20 kN", "is in no table here"),
    ("preload|M11|--torque|5 N·m|--nut-factor|0.2", "`M11` is no thread this program knows"),
    ("preload|M10x1.1|--torque|5 N·m|--nut-factor|0.2", "`M10x1.1` is no thread this program knows"),
    ("preload||--torque|5 N·m|--nut-factor|0.2", "`` is no thread this program knows"),
    ("preload|M12|--class|8.9|--torque|5 N·m|--nut-factor|0.2", "`8.9` is no property class"),
    ("preload|M27|--class|A4-70|--torque|5 N·m|--nut-factor|0.2", "M27 is outside"),
    ("preload|M42|--class|8.8|--torque|5 N·m|--nut-factor|0.2", "M42 is outside"),
    ("preload|1/4-20|--class|8.8|--torque|5 N·m|--nut-factor|0.2", "is for metric threads"),
    (
        "preload|M12|--class|8.8|--torque|5 N·m|--state|as usual",
        "no nut factor is published here for `as usual` on steel",
    ),
    ("preload|M12|--class|A4-70|--torque|5 N·m|--state|dry or oiled", "no nut factor is published here"),
    ("preload|M12|--torque|5 N·m|--state|dry", "a state needs the class"),
    ("preload|M12|--torque|5 N·m|--nut-factor|0", "a nut factor is a number from 0.05 to 0.6"),
    ("preload|M12|--torque|5 N·m|--nut-factor|-0.2", "a nut factor is a number from 0.05 to 0.6"),
    ("preload|M12|--torque|5 N·m|--nut-factor|NaN", "a nut factor is a number from 0.05 to 0.6"),
    ("preload|M12|--torque|5 N·m|--nut-factor|inf", "a nut factor is a number from 0.05 to 0.6"),
    ("preload|M12|--torque|5 N·m|--nut-factor|0,2,0", "a nut factor is a number from 0.05 to 0.6"),
    ("preload|M12|--torque|5|--nut-factor|0.2", "`5` has no unit"),
    ("preload|M12|--torque|0 N·m|--nut-factor|0.2", "a torque must be above zero"),
    ("preload|M12|--torque|-5 N·m|--nut-factor|0.2", "a torque must be above zero"),
    ("preload|M12|--torque|5 mm|--nut-factor|0.2", "a torque is needed, and `5 mm` is none"),
    ("preload|M12|--torque|1,250 N·m|--nut-factor|0.2", "1,250"),
    ("setting|--torque|80 N·m|--lever|0 mm|--extension|50 mm|--angle|0°", "the wrench has no length"),
    ("setting|--torque|80 N·m|--lever|-400 mm|--extension|50 mm|--angle|0°", "a length is not below zero"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|200°", "from 0° to 180°"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|0 mm", "an angle is needed"),
    (
        "setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|0°|--range|100 to 500 N·m",
        "the wrench goes from 100 to 500 N·m",
    ),
    (
        "setting|--torque|60 lbf·ft|--lever|18 in|--extension|3 in|--angle|45°|--range|20 to 100 N·m",
        "the torque is in lbf·ft, and the wrench shows N·m",
    ),
    ("torque|M12|--friction|0|--force|20 kN", "a coefficient of friction is a number from 0.02 to 0.5"),
    ("torque|M12|--friction|-0.1|--force|20 kN", "a coefficient of friction is a number from 0.02 to 0.5"),
    ("torque|M12|--friction|inf|--force|20 kN", "a coefficient of friction is a number from 0.02 to 0.5"),
    ("torque|M12|--friction|0.14|--head-friction|0|--force|20 kN", "a coefficient of friction is a number"),
    ("torque|M12|--friction|0.14|--bearing|0 mm|--force|20 kN", "lies inside the thread"),
    ("torque|M12|--friction|0.14|--bearing|9999 mm|--force|20 kN", "more than five times the thread"),
    ("preload|M20LH|--torque|5 N·m|--nut-factor|0.2", "`M20LH` is no thread this program knows"),
    ("setting|--torque|0 N·m|--lever|400 mm|--extension|50 mm|--angle|0°", "a torque must be above zero"),
    ("setting|--torque|80 N·m|--lever|inf mm|--extension|50 mm|--angle|0°", "does not begin with a number"),
    ("setting|--torque|80 N·m|--lever|400 N|--extension|50 mm|--angle|0°", "a length is needed"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|-50 mm|--angle|0°", "a length is not below zero"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|-10°", "from 0° to 180°"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|90", "`90` has no unit"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|400 mm|--angle|180°", "at the hand or behind it"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|0°|--graduation|0 N·m", "must be above zero"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|0°|--graduation|1 lbf·ft", "and in N·m"),
    ("setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|0°|--graduation|inf N·m", "does not begin"),
    (
        "setting|--torque|80 N·m|--lever|400 mm|--extension|50 mm|--angle|0°|--range|100 to 20 N·m",
        "above the upper end",
    ),
    ("convert|44 N·m|mm", "`N·m` is a torque, `mm` is a length"),
    ("convert|44|N·m", "`44` has no unit"),
    ("convert|inf N·m|lbf·ft", "does not begin with a number"),
    ("convert|NaN mm|in", "does not begin with a number"),
    ("convert||in", "does not begin with a number"),
    ("convert|5 mm|", "`` is not a unit this program knows"),
    ("convert|5 mm|furlong", "`furlong` is not a unit this program knows"),
    ("convert|-300 °C|°F", "below absolute zero"),
    ("convert|-5 K|°C", "below absolute zero"),
    ("convert|10 °C|Δ°F", "one is never the other"),
    ("convert|1e400 mm|in", "is not a unit"),
    ("convert|999999999999 mm|in", "more than 9 digits"),
    ("convert|5 gal|L", "names more than one unit"),
    ("convert|1,250 mm|in", "can be read as thousands and as decimals"),
    ("convert|40 to 30 °C|°F", "the lower end of `40 to 30 °C` is above the upper end"),
    ("convert|5 mm to 9 in|in", "is not a unit"),
    ("convert|5 months|years", "has no fixed length"),
    ("convert|5 mm|in|--step|0", "a step is a number above zero"),
    ("convert|5 mm|in|--step|inf", "a step is a number above zero"),
    ("convert|0.4 to 0.6 mm|in|--step|1", "no step of `1 in` lies within"),
    ("oring|AS568-999|--seal|static|--depth|3 mm", "no standard O-ring has the size code `999`"),
    ("oring|AS568-214|--seal|static|--depth|0 mm", "`0 mm` must be above zero"),
    ("oring|AS568-214|--seal|static|--depth|-3 mm", "`-3 mm` must be above zero"),
    ("oring|AS568-214|--seal|static|--depth|3 bar", "`3 bar` is no length"),
    ("oring|AS568-214|--seal|static|--depth|inf mm", "does not begin with a number"),
    ("oring|AS568-214|--seal|static|--depth|10 to 2 mm", "is above the upper end"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--width|0 mm", "`0 mm` must be above zero"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--width|4 s", "`4 s` is no length"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--seat|-5 mm", "`-5 mm` must be above zero"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--hardness|0", "a hardness of 40 to 95"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--hardness|200", "a hardness of 40 to 95"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--hardness|70|--pressure|inf bar", "does not begin with a number"),
    ("oring|AS568-214|--seal|static|--depth|3 mm|--hardness|70|--pressure|5 mm", "pressure"),
    ("oring|--seal|static|--inside|0 mm|--section|3 mm|--depth|2 mm", "`0 mm` must be above zero"),
    ("oring|--seal|static|--inside|24 mm|--section|-3 mm|--depth|2 mm", "`-3 mm` must be above zero"),
    ("oring|--seal|static|--inside|24 mm|--section|3 N|--depth|2 mm", "`3 N` is no length"),
    ("oring|--seal|static|--depth|2 mm", "a ring is named once"),
    ("oring|AS568-214|--seal|static|--inside|24 mm|--section|3 mm|--depth|2 mm", "cannot be used with"),
    ("shelf-life|--standard|iso2230|--rubber|XYZ|--cured|2019-03-14", "has no rubber `XYZ`"),
    ("shelf-life|--standard|iso2230|--rubber||--cured|2019-03-14", "has no rubber ``"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|2019-02-30", "the calendar has no such day"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|2019-Q5", "`2019-Q5` is no cure date"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|2019", "`2019` is no cure date"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|14/03/2019", "`14/03/2019` is no cure date"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|0000-01-01", "no ring on a shelf is that old"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|9999-12-31", "the calendar ends before"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|2019-03-14|--on|2018-01-01", "it was not yet cured"),
    ("shelf-life|--standard|iso2230|--rubber|EPDM|--cured|2019-03-14|--on|soon", "`soon` is no day"),
    ("shelf-life|--standard|both|--rubber|EPDM|--cured|2019-03-14", "invalid value 'both'"),
    ("type-size|--distance|0 mm", "`0 mm` must be above zero"),
    ("type-size|--distance|-700 mm", "`-700 mm` must be above zero"),
    ("type-size|--distance|700", "`700` has no unit"),
    ("type-size|--distance|700 bar", "`700 bar` is no length"),
    ("type-size|--distance|inf mm", "does not begin with a number"),
    ("type-size|--distance|0.001 mm", "nobody reads a page from 0.001 mm"),
    ("type-size|--distance|999999999 m", "nobody reads a page from"),
    ("type-size|--distance|700 mm|--cap-height|0", "from 0.4 to 1 em"),
    ("type-size|--distance|700 mm|--cap-height|-0.7", "from 0.4 to 1 em"),
    ("type-size|--distance|700 mm|--cap-height|99", "from 0.4 to 1 em"),
    ("type-size|--distance|700 mm|--code|", "the code would hold nothing"),
];

#[test]
fn bad_input_is_refused_and_never_computed_with() {
    for (typed, why) in CASES.iter().copied() {
        let words: Vec<&str> = typed.split('|').collect();
        let output = Command::new(env!("CARGO_BIN_EXE_matchmark")).arg("calc").args(&words).output().expect("it runs");
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{typed}: {said}");
        assert!(output.stdout.is_empty(), "{typed}");
        assert!(said.starts_with("error: ") && said.contains(why), "{typed}: {said}");
    }
}

/// The same words with what was wrong put right are answered: the refusals above are about what they say.
#[test]
fn good_input_is_answered() {
    for typed in [
        "torque|M12|--class|8.8|--nut-factor|0.2|--share|70 %",
        "torque|M12|--class|8.8|--nut-factor|0.2|--force|20 kN",
        "torque|M12|--class|8.8|--friction|0.14|--utilisation|90 %",
        "torque|1/4-20|--friction|0.14|--bearing|9 mm|--force|2 kN",
        "preload|M12|--class|8.8|--torque|5 N·m|--state|dry",
        "preload|M12|--torque|5,5 Nm|--nut-factor|0,2",
        "preload|1/4-20|--class|grade 5|--torque|8 lbf·ft|--nut-factor|0.2",
        "torque|M12|--friction|0.14|--bearing|15 mm|--force|20 kN",
        "preload|M20-LH|--torque|5 N·m|--nut-factor|0.2",
        "setting|--torque|60 lbf·ft|--lever|18 in|--extension|3 in|--angle|45°|--range|10 to 100 lbf·ft|--graduation|0.5 lbf·ft",
    ] {
        let words: Vec<&str> = typed.split('|').collect();
        let output = Command::new(env!("CARGO_BIN_EXE_matchmark")).arg("calc").args(&words).output().expect("it runs");
        assert_eq!(output.status.code(), Some(0), "{typed}: {}", String::from_utf8_lossy(&output.stderr));
        assert!(String::from_utf8_lossy(&output.stdout).contains("never a design calculation"), "{typed}");
    }
}
