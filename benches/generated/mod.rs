//! A binder made by rule and never by chance, of any size, with procedures as long as those of the example; it measures nothing.
//!
//! Every name and number is made up. Parts, torques, limits and sentences differ from family to family and from procedure
//! to procedure, so that nothing can be remembered from one packet to the next that a plant's own binder would not allow.

use matchmark::workspace::memory::Memory;
use std::fmt::Write as _;
use std::path::Path;

/// How large a binder is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    /// What it is called on the command line and in the tables of figures.
    pub(crate) name: &'static str,
    /// How many families.
    pub(crate) families: usize,
    /// How many procedures each family has; each is for all tags of its family.
    pub(crate) procedures: usize,
    /// How many tags each family has.
    pub(crate) tags: usize,
}

/// The sizes that are measured: documents x tags.
pub(crate) const SIZES: [Size; 2] = [
    Size { name: "30x60", families: 1, procedures: 30, tags: 60 },
    Size { name: "500x24", families: 20, procedures: 25, tags: 24 },
];

impl Size {
    /// Returns the size of this name.
    pub(crate) fn find(name: &str) -> Option<Self> {
        SIZES.into_iter().find(|size| size.name == name)
    }

    /// Returns how many packets it gives.
    pub(crate) const fn packets(self) -> usize {
        self.families * self.procedures * self.tags
    }
}

/// Returns the binder in memory.
pub(crate) fn memory(size: Size) -> Memory {
    Memory::new(files(size))
}

/// Writes the binder into a folder, which is made where it is missing.
#[expect(clippy::disallowed_methods, reason = "the binder to be timed is laid out by hand")]
pub(crate) fn write(size: Size, folder: &Path) -> std::io::Result<()> {
    for (name, text) in files(size) {
        let place = folder.join(name);
        std::fs::create_dir_all(place.parent().unwrap_or(folder))?;
        std::fs::write(place, text)?;
    }
    Ok(())
}

fn files(size: Size) -> Vec<(String, String)> {
    let mut files = vec![
        ("binder.yaml".to_owned(), BINDER.to_owned()),
        ("crib.yaml".to_owned(), CRIB.to_owned()),
        ("fleet.yaml".to_owned(), fleet(size)),
    ];
    for family in 0..size.families {
        let id = family_id(family);
        files.push((format!("families/{id}.yaml"), family_register(family)));
        for at in 0..size.procedures {
            files.push((format!("{id}/{}.md", document(family, at)), procedure(family, at)));
            files.push((format!("figures/{}.svg", document(family, at)), figure(family, at)));
        }
    }
    files
}

fn family_id(family: usize) -> String {
    format!("F{}", char::from(b'A' + u8::try_from(family % 26).expect("less than 26")))
}

fn document(family: usize, at: usize) -> String {
    format!("MP-{}-{}", family_id(family), 101 + at)
}

const BINDER: &str = "format: 1
plant: Generated works, line 1
language: en
print:
  paper: A4
  card: on wall
  isolation-points: off card
limits:
  combinations: 500
";

const CRIB: &str = "tools:
  - {id: HX,    name: hex keys}
  - {id: RS,    name: \"ring spanners, 8 to 50 mm\"}
  - {id: ST-1,  name: strap wrench}
  - {id: SS-20, name: \"fitting sleeve, 20 mm\"}
  - {id: SS-25, name: \"fitting sleeve, 25 mm\"}
  - {id: SS-35, name: \"fitting sleeve, 35 mm\"}
  - {id: SS-45, name: \"fitting sleeve, 45 mm\"}
  - {id: LB-1,  name: \"lifting band, 100 kg\"}
  - {id: PM-1,  name: paint marker, for: [mark]}
  - {id: WP-1,  name: lint-free wipes}
torque-tools:
  - {id: TD-1, name: torque driver, range: 1 to 6 N·m,      drive: 1/4 in hex}
  - {id: TW-2, name: torque wrench, range: 10 to 60 N·m,    drive: 3/8 in square, lever: 300 mm}
  - {id: TW-3, name: torque wrench, range: 20 to 100 N·m,   drive: 1/2 in square, lever: 420 mm}
  - {id: TW-5, name: torque wrench, range: 100 to 500 N·m,  drive: 3/4 in square, lever: 900 mm}
instruments:
  - {id: FG-1, name: feeler set,          range: 0.05 to 2.00 mm, resolution: 0.05 mm}
  - {id: DG-1, name: depth gauge,         range: 0 to 150 mm,     resolution: 0.02 mm}
  - {id: MM-1, name: outside micrometer,  range: 0 to 25 mm,      resolution: 0.01 mm}
  - {id: MM-2, name: outside micrometer,  range: 25 to 75 mm,     resolution: 0.01 mm}
  - {id: PG-1, name: test gauge,          range: 0 to 6 bar,      resolution: 0.1 bar}
  - {id: TH-1, name: contact thermometer, range: 0 to 150 °C,     resolution: 1 °C}
fluids:
  - {id: L-01, name: silicone O-ring grease,         zone: incidental contact,      rubber: {EPDM: yes, FKM: yes, VMQ: no}}
  - {id: L-03, name: \"anti-seize paste, metal-free\", zone: threads outside product, rubber: {EPDM: n/a, FKM: n/a, VMQ: n/a}}
  - {id: L-07, name: alcohol wipe,                   zone: wipe only,               rubber: {EPDM: yes, FKM: yes, VMQ: yes}}
  - {id: L-08, name: \"soapy water, 2 %\",             zone: any,                     rubber: {EPDM: yes, FKM: yes, VMQ: yes}}
locks: {id: LK-1, name: lock kit}
";

const PLACES: [&str; 8] = [
    "Intake hall",
    "Mixing room",
    "Filling hall",
    "Boiler house",
    "Cleaning station",
    "Cold store",
    "Packing hall",
    "Water treatment",
];

fn fleet(size: Size) -> String {
    let mut text = String::from("tags:\n");
    for family in 0..size.families {
        for tag in 0..size.tags {
            let id = family_id(family);
            let number = 101 + tag;
            let place = PLACES[(tag / 4 + family) % PLACES.len()];
            let size = 1 + tag % 4;
            let seal = ["S", "D"][tag / 4 % 2];
            let port = ["top", "left", "right"][tag % 3];
            let rubber = ["EPDM", "FKM", "VMQ"][tag / 8 % 3];
            let frame = [80, 90, 112, 132, 160][tag % 5];
            let _ = write!(
                text,
                "  - tag: {id}-{number}
    family: {id}
    place: {place}, bay {bay}
    options: {{size: {size}, seal: {seal}, port: {port}, rubber: {rubber}, frame: {frame}}}
    isolation:
      - {{point: Q-{number},  boundary: motor,       kind: isolator, position: off and locked}}
      - {{point: V-{number}A, boundary: product in,  kind: valve,    position: closed and locked}}
      - {{point: V-{number}B, boundary: product out, kind: valve,    position: closed and locked}}
",
                bay = 1 + tag % 4,
            );
        }
    }
    text
}

/// Things that come off and go back on; a family has all of them, a procedure takes some.
const PARTS: [&str; 24] = [
    "end cover",
    "bearing ring",
    "wear plate",
    "drive coupling",
    "inner sleeve",
    "spring holder",
    "flow guide",
    "lower housing",
    "clamping flange",
    "thrust washer",
    "guide bush",
    "carrier plate",
    "valve seat",
    "piston head",
    "locking collar",
    "rotor disc",
    "intermediate ring",
    "filter basket",
    "retaining plate",
    "adjusting nut",
    "support bracket",
    "centring pin",
    "spacer tube",
    "cam follower",
];

const FASTENERS: [&str; 6] = ["cover nut", "flange bolt", "collar screw", "plate screw", "guard screw", "shaft nut"];

/// The torque of a fastener by size, so that neither families nor fasteners share all their figures.
fn torque(family: usize, fastener: usize, size: usize) -> usize {
    11 + 9 * size + 3 * fastener + family % 5
}

fn family_register(family: usize) -> String {
    let mut text = format!(
        "family: {id}
name: generated machine, pattern {pattern}
options:
  - {{option: size,   values: [1, 2, 3, 4]}}
  - {{option: seal,   values: {{S: single seal, D: double seal}}}}
  - {{option: port,   values: [top, left, right]}}
  - {{option: rubber, values: {{EPDM: ethylene-propylene rubber, FKM: fluorocarbon rubber, VMQ: silicone rubber}}}}
  - {{option: frame,  values: [80, 90, 112, 132, 160]}}
boundaries:
  - {{boundary: motor,       energy: electrical,                               prove: \"Press START at the local station. The motor does not turn.\"}}
  - {{boundary: product in,  energy: hot product or cleaner under pressure,    prove: \"The drain is open and the flow has stopped.\"}}
  - {{boundary: product out, energy: hot product or cleaner under pressure,    prove: \"The drain is open and the flow has stopped.\"}}
parts:
",
        id = family_id(family),
        pattern = family + 1,
    );
    text.push_str("  - {part: guard half, count: 2, guard: yes, held-by: [guard screw]}\n");
    for (at, fastener) in FASTENERS.iter().enumerate() {
        let _ = writeln!(text, "  - {{part: {fastener}, count: {}}}", [6, 8, 2, 4, 2, 1][at]);
    }
    for part in PARTS {
        let _ = writeln!(text, "  - {{part: {part}, count: 1, contact: product, material: stainless steel}}");
        let _ = writeln!(
            text,
            "  - {{part: {part} O-ring, count: 1, contact: product, single-use: yes, material: \"{{rubber}}\", number: \"OR-{{size}}-{:02}-{{rubber letter}}\", bin: B-{:02}}}",
            part.len() * 3 + family,
            10 + part.len(),
        );
    }
    text.push_str(
        "openings:\n  - {opening: casing drain, of: [product in, product out]}\nmoves-nothing: [shaft, motor]\n",
    );
    text.push_str("tables:\n");
    tables(&mut text, family);
    text.push_str("values:\n  safe temperature: 40 °C\n  leak-test pressure: 2.0 bar\n  leak-test time: 5 min\n  trial-run time: 10 min\njoints:\n");
    for (at, fastener) in FASTENERS.iter().enumerate() {
        let pattern = if at < 2 { "\n    stages: [half, final]\n    pattern: cross" } else { "" };
        let _ = writeln!(
            text,
            "  - joint: {fastener}s\n    fastener: {fastener}\n    thread: {fastener} thread\n    class: A4-70\n    state: L-03 on the threads\n    torque: {fastener} torque\n    wrench: {fastener} wrench{pattern}",
        );
    }
    text
}

fn tables(text: &mut String, family: usize) {
    for half in [0..3, 3..6] {
        let columns: Vec<String> = half
            .clone()
            .flat_map(|at| ["torque", "thread", "wrench"].map(|what| format!("{} {what}", FASTENERS[at])))
            .collect();
        let _ = writeln!(
            text,
            "  - by: [size]\n    source: \"Data sheet {}-{}\"\n    columns: [{}]\n    rows:",
            family_id(family),
            half.start,
            columns.join(", ")
        );
        for size in 1..=4 {
            let cells: Vec<String> = half
                .clone()
                .map(|at| {
                    let torque = torque(family, at, size);
                    let wrench = if torque > 60 { "TW-3" } else { "TW-2" };
                    format!("{torque} N·m, M{}, {wrench}", 6 + 2 * size)
                })
                .collect();
            let _ = writeln!(text, "      - [{size}, {}]", cells.join(", "));
        }
    }
    text.push_str("  - by: [size]\n    source: \"Data sheet, dimensions\"\n    columns: [working length, gap, shaft minimum, shaft micrometer, fitting sleeve, casing mass]\n    rows:\n");
    for size in 1..=4 {
        let length = 20 + 5 * size + family % 4;
        let shaft = 10 + 9 * size;
        let micrometer = if shaft < 25 { "MM-1" } else { "MM-2" };
        let sleeve = ["SS-20", "SS-25", "SS-35", "SS-45"][size - 1];
        let _ = writeln!(
            text,
            "      - [{size}, {length}.2 to {length}.8 mm, 0.{size} to 0.{} mm, {shaft}.95 mm, {micrometer}, {sleeve}, {} kg]",
            size + 3,
            4 * size + family % 3,
        );
    }
    text.push_str("  - by: [rubber]\n    source: \"Fluid list\"\n    columns: [assembly fluid, rubber letter]\n    rows:\n      - [EPDM, L-01, E]\n      - [FKM,  L-01, F]\n      - [VMQ,  L-08, V]\n");
}

/// Returns which part stands at a place of a procedure; eight in a row are different ones.
fn part(family: usize, at: usize, place: usize) -> &'static str {
    PARTS[(family * 7 + at * 5 + place) % PARTS.len()]
}

fn procedure(family: usize, at: usize) -> String {
    let part = |place: usize| part(family, at, place);
    let mut text = front_matter(family, at);
    let mut steps = Steps { text: &mut text, next: 1 };
    steps.stage("Prepare");
    steps.step("Compare the tag plate with this packet. Record the tag. {record tag on the plate}");
    steps.step("Record the permit number and the isolation sheet number. {record permit number} {record isolation sheet number}");
    steps.step("Collect the kit. Compare each tool ID with the kit list.");
    steps.stage("Isolate");
    steps.step("{caution hot liquid} Close and lock every product valve on the isolation sheet.");
    steps.step("{caution unexpected start} Switch off and lock the motor isolator.");
    steps.step("Press START at the local station. Confirm that the motor does not turn. {hold H1}");
    steps.step("{caution hot liquid} Open the casing drain. Wait until the flow stops. {as drain}");
    steps.step("Measure the casing temperature. Record it. {record casing temperature}");
    steps.stage("Strip");
    steps.step("Remove the two guard screws and both guard halves.");
    steps.step(&format!("Mark the {} and the {} with one line across the joint. Record the port orientation. {{record port orientation}}", part(0), part(1)));
    steps.step(&format!("Remove the cover nuts. Support the {} from below. {{only size 2 to 4}}", part(0)));
    steps.step(&format!("{{caution heavy part}} Remove the {}.", part(0)));
    steps.step(&format!("Remove the {} O-ring. Discard it.", part(0)));
    let _ = write!(
        steps.text,
        "\n    ![Section through the machine, taken apart along the shaft: the parts stand in the order they come off, from the {} to the {}.](../figures/{}.svg \"The parts in the order they come off.\")\n\n",
        part(0),
        part(5),
        document(family, at)
    );
    steps.step(&format!(
        "Measure the gap between the {} and the {}. Record it. {{record gap as found}} {{as gap found}}",
        part(1),
        part(2)
    ));
    for place in 1..4 {
        steps.step(&format!("Hold the {} with the strap wrench. Remove the {}.", part(place + 1), part(place)));
        steps.step(&format!("Remove the {} O-ring from its groove. Discard it.", part(place)));
    }
    steps.step(&format!("Remove the {}. {{only seal D}}", part(4)));
    steps.step(&format!("Remove the {} and lay it on the soft cover with its face up.", part(5)));
    steps.stage("Inspect");
    steps.step(&format!("Wipe the {} with L-07.", part(5)));
    steps.step(&format!(
        "Measure the shaft diameter of the {}. Record the shaft diameter. {{record shaft diameter}}",
        part(3)
    ));
    steps.step("Draw a fingernail along the shaft. IF it catches on a score, THEN stop. Tell the supervisor.");
    steps.step(&format!("Compare the number of the new {} O-ring with the kit list. Confirm that its rubber is {{rubber}}. Record the batch. {{record batch}}", part(2)));
    steps.stage("Rebuild");
    steps.step(&format!("{{caution lapped faces}} Wet the new {} O-ring with {{assembly fluid}}. Fit it with {{fitting sleeve}}. {{as seat}}", part(3)));
    steps.step(&format!(
        "Fit the {}. Apply L-03 to the plate screws. Tighten them to {{plate screw torque}}. {{as plate}}",
        part(5)
    ));
    steps.step(&format!("Fit the {}. {{only seal D}}", part(4)));
    steps.step(&format!(
        "Set the working length of the {} to {{working length}}. Measure it. Record it. {{record working length}}",
        part(3)
    ));
    steps.step(&format!("Fit the {}. Tighten the shaft nut to {{shaft nut torque}}. {{as nut}}", part(3)));
    steps.step(&format!("Wet the new {} O-ring with {{assembly fluid}}. Fit it. Fit the {}.", part(2), part(2)));
    steps.step(&format!("Wet the new {} O-ring with {{assembly fluid}}. Fit it.", part(1)));
    steps.step(&format!(
        "Fit the {}. Apply L-03 to the collar screws. Tighten them to {{collar screw torque}}. {{as collar}}",
        part(1)
    ));
    steps.step("Measure the gap at the same place as in {see gap found}. Record it. {record gap as left}");
    steps.step(&format!("Wet the new {} O-ring with {{assembly fluid}}. Fit it.", part(0)));
    steps.step("Turn the shaft by hand one full turn. Confirm that nothing rubs.");
    steps.step(&format!("{{caution heavy part}} Fit the {} with the two halves of the paint line together. Confirm that the port points to the {{port}}. {{hold H2}} {{as port}}", part(0)));
    steps.step("Apply L-03 to the cover nuts. Tighten the cover nuts in a cross pattern, first to half, then to {cover nut torque}. {as closure}");
    steps.step("Close the casing drain. Fit both guard halves. Tighten the two guard screws to {guard screw torque}. {as guard}");
    steps.stage("Hand back");
    steps.step("Count the tools and the parts against the kit list. Account for every removed and discarded part. {record tools and parts counted}");
    steps.step("Remove your locks.");
    steps.step("Fill the machine with water to {leak-test pressure} on PG-1. Record the start time. Wait {leak-test time}. Confirm that nothing drips. {record leak-test start}");
    steps.step("{caution running machine} Record the start time. Run the machine for {trial-run time}. {record trial-run start}");
    steps.step("Hand the machine over for the cleaning cycle. Quality signs after the cycle. {hold H3}");
    text
}

/// The body of a procedure under construction.
struct Steps<'a> {
    text: &'a mut String,
    next: usize,
}

impl Steps<'_> {
    fn stage(&mut self, title: &str) {
        let _ = write!(self.text, "\n## {title}\n\n");
    }

    fn step(&mut self, sentence: &str) {
        let _ = writeln!(self.text, "{}. {sentence}", self.next);
        self.next += 1;
    }
}
#[expect(clippy::too_many_lines, reason = "one long text")]
fn front_matter(family: usize, at: usize) -> String {
    let part = |place: usize| part(family, at, place);
    format!(
        "---
document: {document}
title: Renew the {p3} behind the {p0}
job: job {at}
family: {id}
not-covered:
  - Machines whose {p5} was bored out.
  - Repair of the shaft, the bearings or the motor.
purpose: The machine runs with a new {p3} and does not leak.
use-level: step by step, in hand
people: 1 fitter and 1 verifier
skill: Fitter trained on this family; authorised to apply locks.
time: 3 h
review: 12 months
precautions:
  - If a reading is outside its limit, stop and tell the supervisor.
  - If a step cannot be done as written, stop and tell the supervisor.
  - Keep grease and paste off the {p2} and out of the product side.
prerequisites:
  - The shift lead has released the machine, and its line is empty of product.
  - The work permit and the isolation sheet for this machine are signed.
  - The torque tools and the instruments are inside their calibration dates.
  - A clean bench with a soft cover is ready beside the machine.
protection: [face shield, chemical gloves, chemical apron, safety boots]
tools:
  - ST-1
  - PM-1
  - PG-1
  - {{tool: \"{{fitting sleeve}}\"}}
  - {{tool: LB-1, only: size 4, why: the heavy part hangs on it}}
fluids:
  - L-03
  - L-07
  - {{fluid: \"{{assembly fluid}}\"}}
torques: [cover nuts, collar screws, plate screws, guard screws, shaft nuts]
parts: [{p0} O-ring, {p1} O-ring, {p2} O-ring, {p3} O-ring]
cautions:
  - caution: hot liquid
    level: warning
    sign: corrosive
    hazard: Hot cleaner or hot product under pressure behind the {p0}.
    consequence: It can spray out and burn skin and eyes.
    avoid: \"Loosen nothing before hold H1 is signed and the casing is {{safe temperature}} or less.\"
  - caution: unexpected start
    level: warning
    sign: automatic-start
    hazard: The machine can start without warning.
    consequence: The turning shaft can crush or tear off fingers.
    avoid: Keep hands away until the isolator is locked and hold H1 is signed.
  - caution: running machine
    level: warning
    sign: moving-parts
    hazard: The shaft turns during the trial run.
    consequence: It can catch clothing and crush fingers.
    avoid: Never run the machine without both guard halves.
  - caution: heavy part
    level: caution
    sign: heavy-load
    hazard: \"The {p0} weighs {{casing mass}}.\"
    consequence: It can strain the back or trap a hand.
    avoid: Carry it only on the lifting band LB-1.
    only: size 4
  - caution: lapped faces
    level: notice
    sign: general
    hazard: The faces of the {p3} are lapped.
    consequence: A fingerprint or a scratch makes them leak.
    avoid: Do not touch the faces.
readings:
  - {{reading: tag on the plate, kind: note}}
  - {{reading: permit number, kind: note}}
  - {{reading: isolation sheet number, kind: note}}
  - reading: casing temperature
    limit: \"{{safe temperature}} or less\"
    instrument: TH-1
    outside: \"Wait, then measure again. Loosen nothing.\"
  - {{reading: port orientation, kind: note}}
  - reading: gap
    limit: \"{{gap}}\"
    instrument: FG-1
    moments: [as found, as left]
    outside: \"As found: record it and tell the supervisor. As left: do not fit the {p0}; tell the supervisor.\"
  - reading: shaft diameter
    limit: \"{{shaft minimum}} or more\"
    instrument: \"{{shaft micrometer}}\"
    outside: \"Stop. Do not fit a new {p3} on this shaft. Tell the supervisor.\"
  - {{reading: batch, kind: note}}
  - reading: working length
    limit: \"{{working length}}\"
    instrument: DG-1
    outside: \"Set it again. If it stays outside, stop and tell the supervisor.\"
  - {{reading: leak-test start, kind: time}}
  - {{reading: trial-run start, kind: time}}
  - {{reading: tools and parts counted, kind: note}}
holds:
  - hold: H1
    role: isolation authority
    verify: Every point on the isolation sheet is locked, and the motor does not turn on START.
  - hold: H2
    role: \"second person, not the fitter\"
    verify: \"The port points to the {{port}}, and the two halves of the paint line meet.\"
  - hold: H3
    role: quality
    verify: The trial run passed, and the cleaning cycle is complete.
card:
  preset: on wall
  show: [tools, numbers]
  numbers: [working length, gap, shaft diameter]
  steps: [seat, plate, nut, collar, port, closure, guard]
---
",
        document = document(family, at),
        id = family_id(family),
        p0 = part(0),
        p1 = part(1),
        p2 = part(2),
        p3 = part(3),
        p5 = part(5),
    )
}

/// Returns a drawing of a few dozen lines, each procedure's its own.
fn figure(family: usize, at: usize) -> String {
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 640 240\" fill=\"none\" stroke=\"#000\" stroke-width=\"2\">\n",
    );
    for part in 0..24 {
        let (x, high) = (16 + part * 25, 30 + (family * 13 + at * 29 + part * 17) % 80);
        let _ = writeln!(
            svg,
            "<path d=\"M{x} {top}h18v{tall}h-18z\"/><path d=\"M{x} 120h25\" stroke-dasharray=\"6 3\"/><text x=\"{x}\" y=\"230\" font-family=\"DejaVu Sans\" font-size=\"14\" fill=\"#000\" stroke=\"none\">{number}</text>",
            top = 120 - high,
            tall = 2 * high,
            number = part + 1,
        );
    }
    svg.push_str("</svg>\n");
    svg
}
