//! Thousands of random questions, answered by the program and computed again by libraries that nobody here wrote.

use matchmark::analysis::fastener::class::Class;
use matchmark::analysis::fastener::friction::NutFactor;
use matchmark::analysis::fastener::hexagon::bearing_diameter;
use matchmark::analysis::fastener::lever::Lever;
use matchmark::analysis::fastener::load::Load;
use matchmark::analysis::fastener::preload::{Friction, assembly_preload, preload, torque, torque_by_friction};
use matchmark::analysis::fastener::thread::Thread;
use matchmark::analysis::fastener::tool::Deviation;
use matchmark::analysis::readability::{Text, syllables};
use matchmark::analysis::working::Source;
use matchmark::base::quantity::{Dimension, Quantity, Unit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// How many questions of each kind.
const EACH: usize = 500;

/// Numbers that are the same on every machine: a congruential generator with the constants of Knuth's MMIX.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }

    /// Returns a number with three decimals.
    fn number(&mut self, least: u32, most: u32) -> f64 {
        let thousandths = u32::try_from(self.roll(u64::from(most - least) * 1000)).expect("small");
        f64::from(least) + f64::from(thousandths) / 1000.0
    }

    fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        let count = u64::try_from(of.len()).expect("few");
        &of[usize::try_from(self.roll(count)).expect("few")]
    }
}

/// What is converted, and the unit it is converted to.
const DIMENSIONS: [(Dimension, &str, &str); 7] = [
    (Dimension::Torque, "torque", "N·m"),
    (Dimension::Length, "length", "mm"),
    (Dimension::Force, "force", "N"),
    (Dimension::Pressure, "pressure", "bar"),
    (Dimension::Mass, "mass", "kg"),
    (Dimension::Volume, "volume", "L"),
    (Dimension::Flow, "flow", "L/min"),
];

fn conversions(dice: &mut Dice) -> Vec<Value> {
    let mut cases = Vec::new();
    for (dimension, name, target) in DIMENSIONS {
        let target = Unit::parse(target).expect("listed");
        for unit in Unit::all().filter(|unit| unit.dimension() == dimension) {
            for _ in 0..40 {
                let number = Decimal::new(i64::try_from(dice.roll(999_999)).expect("small") + 1, 3);
                let answer = Quantity { number, unit }.float_in(target).expect("the same dimension");
                let number = number.to_f64().expect("small");
                let case = json!({"dimension": name, "unit": unit.symbol(), "number": number, "answer": answer});
                cases.push(with(&case, json!({"kind": "converted"})));
            }
        }
    }
    cases
}

fn temperatures(dice: &mut Dice) -> Vec<Value> {
    let one = |dice: &mut Dice| {
        let (unit, to) = *dice.pick(&[("°C", "°F"), ("°F", "°C")]);
        let number = Decimal::new(i64::try_from(dice.roll(400_000)).expect("small") - 100_000, 3);
        let quantity = Quantity { number, unit: Unit::parse(unit).expect("listed") };
        let answer = quantity.float_in(Unit::parse(to).expect("listed")).expect("the same dimension");
        let number = number.to_f64().expect("small");
        json!({"kind": "warmth", "unit": unit, "to": to, "number": number, "answer": answer})
    };
    (0..EACH).map(|_| one(dice)).collect()
}

/// The threads that the thread library has.
fn areas() -> Vec<Value> {
    let inch = ["10-24", "10-32", "1/4-20", "1/4-28", "1/2-13", "1/2-20", "3/4-10", "3/4-16", "1-8", "1-12"];
    let own = |name: &str| if name.starts_with("10-") { format!("#{name}") } else { name.to_owned() };
    let inch = inch.map(|name| ("inch-area", name, own(name)));
    let metric = ["M8-1.25", "M12-1.75", "M20-2.5", "M24-3"].map(|name| ("metric-area", name, name.replace('-', "x")));
    let area = |(kind, name, own): (&str, &str, String)| json!({"kind": kind, "designation": name, "answer": Thread::parse(&own).expect(&own).stress_area()});
    inch.into_iter().chain(metric).map(area).collect()
}

fn joints(dice: &mut Dice) -> Vec<Value> {
    let threads: Vec<Thread> =
        Thread::all().filter(|thread| thread.is_metric() && bearing_diameter(thread).is_some()).collect();
    let mut cases = Vec::new();
    for _ in 0..EACH {
        let thread = dice.pick(&threads).clone();
        let (diameter, pitch) = (thread.diameter, thread.pitch);
        let (factor, force, newton_metres) =
            (0.05 + dice.number(0, 500) / 1000.0, dice.number(10, 900_000), dice.number(1, 2000));
        cases.push(json!({"kind": "short-torque", "factor": factor, "diameter": diameter, "force": force, "answer": torque(factor, diameter, force)}));
        cases.push(json!({"kind": "short-preload", "factor": factor, "diameter": diameter, "torque": newton_metres, "answer": preload(factor, diameter, newton_metres)}));
        let both = Friction { thread: 0.02 + dice.number(0, 400) / 1000.0, head: 0.02 + dice.number(0, 400) / 1000.0 };
        let bearing = bearing_diameter(&thread).expect("filtered");
        let geometry = json!({"diameter": diameter, "pitch": pitch, "thread_friction": both.thread, "head_friction": both.head, "bearing": bearing, "force": force});
        cases.push(with(
            &geometry,
            json!({"kind": "friction-torque", "answer": torque_by_friction(&thread, bearing, both, force)}),
        ));
        let yielding = dice.number(200, 1100);
        let utilisation = 0.5 + dice.number(0, 500) / 1000.0;
        let answer = assembly_preload(&thread, yielding, utilisation, both.thread);
        cases.push(with(
            &geometry,
            json!({"kind": "assembly-preload", "yield": yielding, "utilisation": utilisation, "answer": answer}),
        ));
        let class = Class::parse(dice.pick::<&str>(&["4.6", "8.8", "10.9", "12.9", "A2-50", "A4-70", "A4-80"]))
            .expect("listed");
        let Ok(strength) = class.strength(&thread) else { continue };
        let reference = strength.reference().1;
        let load = Load::new(thread, class, strength, NutFactor::given(factor, "", Source::given("")), newton_metres);
        let answer = load.share().nominal;
        let off = dice.number(0, 250) / 1000.0;
        let with_tool = load.clone().with_tool(Some(Deviation { share: off, source: Source::given("") })).preload;
        let (low, high) = (load.factor.low, load.factor.high);
        for (sign, factor, answer) in [(-1.0, high, with_tool.low), (1.0, low, with_tool.high)] {
            cases.push(json!({"kind": "band-end", "factor": factor, "diameter": diameter, "torque": newton_metres, "off": sign * off, "answer": answer}));
        }
        cases.push(json!({"kind": "stress-share", "factor": factor, "diameter": diameter, "pitch": pitch, "torque": newton_metres, "reference": reference, "answer": answer}));
    }
    cases
}

fn with(one: &Value, other: Value) -> Value {
    let (Value::Object(mut all), Value::Object(more)) = (one.clone(), other) else { panic!("both are objects") };
    all.extend(more);
    Value::Object(all)
}

fn settings(dice: &mut Dice) -> Vec<Value> {
    let one = |dice: &mut Dice| {
        let (torque, length, reach) = (dice.number(1, 2000), dice.number(50, 2000), dice.number(0, 49));
        let angle = dice.number(0, 180);
        let answer = Lever::new(length, reach, angle).expect("the adapter is shorter").setting(torque);
        json!({"kind": "setting", "torque": torque, "length": length, "reach": reach, "angle": angle, "answer": answer})
    };
    (0..EACH).map(|_| one(dice)).collect()
}

/// Scores of texts of which only the counts are known.
fn scores(dice: &mut Dice) -> Vec<Value> {
    let mut cases = Vec::new();
    for _ in 0..EACH {
        let mut count =
            |least: u32, most: u32| least + u32::try_from(dice.roll(u64::from(most - least))).expect("small");
        let words = count(1, 3000);
        let (sentences, syllables, characters) = (count(1, words + 1), count(1, 5 * words), count(1, 15 * words));
        let text = Text { sentences, words, syllables, characters };
        for (score, answer) in [("ease", text.ease()), ("grade", text.grade()), ("index", text.index())] {
            cases.push(json!({"kind": "score", "score": score, "sentences": sentences, "words": words, "syllables": syllables, "characters": characters, "answer": answer}));
        }
    }
    cases
}

/// The words of the example's procedures, each once, with the syllables that the rule gives them.
fn words() -> Vec<Value> {
    let mut words = BTreeSet::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("it is there") {
            let path = entry.expect("it can be read").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|own| own == "md" || own == "yaml") {
                let text = std::fs::read_to_string(path).expect("a text").to_lowercase();
                let own = text.split(|c: char| !c.is_alphabetic()).filter(|word| word.len() > 2 && word.is_ascii());
                words.extend(own.map(str::to_owned));
            }
        }
    }
    words.into_iter().map(|word| json!({"kind": "syllables", "word": word, "answer": syllables(&word)})).collect()
}

#[test]
#[ignore = "needs pint, GNU units, screw_thread_lib and textstat; `.ci/run` installs them"]
fn other_libraries_compute_the_same() {
    let mut dice = Dice(20_261_125);
    let mut cases = conversions(&mut dice);
    cases.extend(temperatures(&mut dice));
    cases.extend(areas());
    cases.extend(joints(&mut dice));
    cases.extend(settings(&mut dice));
    cases.extend(scores(&mut dice));
    cases.extend(words());
    let mut text = String::new();
    for case in &cases {
        let _ = writeln!(text, "{case}");
    }
    let packages = PathBuf::from(std::env::var("MATCHMARK_OUTSIDE").expect("`.ci/run` names the folder"));
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/check_numbers.py");
    let mut python = Command::new(packages.join("venv/bin/python"))
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python is there");
    python.stdin.take().expect("piped").write_all(text.as_bytes()).expect("it listens");
    let output = python.wait_with_output().expect("it ends");
    let said = String::from_utf8_lossy(&output.stdout);
    println!("{said}");
    assert!(output.status.success() && said.trim_end().ends_with(" passed, 0 failed"), "{said}");
    assert!(cases.len() > 7000, "{}", cases.len());
}

/// What the command line prints is what the library computed: the same question to both.
#[test]
fn the_command_line_prints_what_was_computed() {
    let mut dice = Dice(7);
    for _ in 0..20 {
        let (newton_metres, hundredths) = (dice.roll(200) + 1, dice.roll(50) + 8);
        let (typed, factor) = (format!("{newton_metres} N·m"), format!("0.{hundredths:02}"));
        let output = Command::new(env!("CARGO_BIN_EXE_matchmark"))
            .args([
                "calc",
                "preload",
                "M12",
                "--class",
                "8.8",
                "--format",
                "json",
                "--torque",
                &typed,
                "--nut-factor",
                &factor,
            ])
            .output()
            .expect("it runs");
        let answer: Value = serde_json::from_slice(&output.stdout).expect("a document");
        let number: f64 = factor.parse().expect("a number");
        let whole = f64::from(u32::try_from(newton_metres).expect("small"));
        let kilonewtons = preload(number, 12.0, whole) * 1e-3;
        let printed = answer["results"][0]["figure"].as_f64().expect("a number");
        assert!((printed - kilonewtons).abs() < 1e-9 * kilonewtons, "{typed} {factor}: {printed} and {kilonewtons}");
        assert_eq!((answer["schema"].as_u64(), answer["calculation"].as_str()), (Some(1), Some("preload")));
        assert_eq!(answer["results"][0]["name"], "preload");
        let band: Vec<f64> =
            answer["results"][0]["band"].as_array().expect("two ends").iter().filter_map(Value::as_f64).collect();
        assert!(band.len() == 2 && band[0] < printed && printed < band[1], "{band:?}");
        let sources = answer["constants"].as_array().expect("a list");
        assert!(sources.iter().all(|constant| !constant["source"]["text"].as_str().unwrap_or_default().is_empty()));
    }
}
