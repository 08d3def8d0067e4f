//! Bad input to `calc`: a clear refusal with exit code 2, and never a number.

use std::process::Command;

/// What is typed behind `calc`, parted by `|`, and what the refusal must say.
const CASES: [(&str, &str); 47] = [
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
];

#[test]
fn bad_input_is_refused_and_never_computed_with() {
    for (typed, why) in CASES {
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
        "setting|--torque|60 lbf·ft|--lever|18 in|--extension|3 in|--angle|45°|--range|10 to 100 lbf·ft|--graduation|0.5 lbf·ft",
    ] {
        let words: Vec<&str> = typed.split('|').collect();
        let output = Command::new(env!("CARGO_BIN_EXE_matchmark")).arg("calc").args(&words).output().expect("it runs");
        assert_eq!(output.status.code(), Some(0), "{typed}: {}", String::from_utf8_lossy(&output.stderr));
        assert!(String::from_utf8_lossy(&output.stdout).contains("never a design calculation"), "{typed}");
    }
}
