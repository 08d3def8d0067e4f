//! The small words and the nouns of procedure talk, as lists: all are general, and no word of them is a part of a machine.

use std::collections::HashMap;
use std::sync::LazyLock;

/// What a word may be; a word may be several things.
pub(super) mod role {
    /// `the`, `a`, `this`.
    pub(in crate::language) const DETERMINER: u32 = 1;
    /// `each`, `both`, `all`.
    pub(in crate::language) const QUANTIFIER: u32 = 1 << 1;
    /// `with`, `from`.
    pub(in crate::language) const PREPOSITION: u32 = 1 << 2;
    /// `and`, `or`, `but`.
    pub(in crate::language) const CONJUNCTION: u32 = 1 << 3;
    /// `off`, `on`, `back`.
    pub(in crate::language) const PARTICLE: u32 = 1 << 4;
    /// `it`, `them`.
    pub(in crate::language) const PRONOUN: u32 = 1 << 5;
    /// `is`, `must`.
    pub(in crate::language) const AUXILIARY: u32 = 1 << 6;
    /// `not`, `never`.
    pub(in crate::language) const NEGATION: u32 = 1 << 7;
    /// `slowly`: how, and nothing else.
    pub(in crate::language) const ADVERB: u32 = 1 << 8;
    /// `until`, `if`.
    pub(in crate::language) const SUBORDINATOR: u32 = 1 << 9;
    /// `old`, `clean`: says nothing about which one.
    pub(in crate::language) const ADJECTIVE: u32 = 1 << 10;
    /// `new`.
    pub(in crate::language) const NEW: u32 = 1 << 11;
    /// `remaining`, `other`: some of them, and the words do not say which.
    pub(in crate::language) const SELECTIVE: u32 = 1 << 12;
    /// `mm`, `bar`.
    pub(in crate::language) const UNIT: u32 = 1 << 13;
    /// `then`, `next`: order between clauses.
    pub(in crate::language) const SEQUENCE: u32 = 1 << 14;
    /// `its`, `their`.
    pub(in crate::language) const POSSESSIVE: u32 = 1 << 15;
    /// `half`, `quarter`.
    pub(in crate::language) const SHARE: u32 = 1 << 16;
}

use role::{
    ADJECTIVE, ADVERB, AUXILIARY, CONJUNCTION, DETERMINER, NEGATION, NEW, PARTICLE, POSSESSIVE, PREPOSITION, PRONOUN,
    QUANTIFIER, SELECTIVE, SEQUENCE, SHARE, SUBORDINATOR, UNIT,
};

/// The small words by what they may be.
const ROLES: [(u32, &str); 21] = [
    (DETERMINER, "the a an this that these those your his her my our any some no such whichever"),
    (POSSESSIVE, "its their"),
    (QUANTIFIER, "each every all both"),
    (
        PREPOSITION,
        "with to from on onto in into inside outside out of off at over under underneath below beneath above around round about between \
         behind against through across along near beside by for within without upon towards toward per via using during past \
         alongside like except excluding including besides",
    ),
    (CONJUNCTION, "and or but & plus nor and/or"),
    (
        PARTICLE,
        "off on out in back away up down apart together home aside over through clear free upwards downwards outwards inwards",
    ),
    (
        PRONOUN,
        "it them they both these those this that all each one ones another others everything anything nothing something itself themselves he she",
    ),
    (
        AUXILIARY,
        "is are was were be been being am has have had must shall should will would can could may might cannot does do did need needs ought isn't aren't",
    ),
    (NEGATION, "not never don't cannot mustn't shouldn't shan't won't don’t isn't aren't"),
    (
        SUBORDINATOR,
        "if when once after before until till unless while whilst where wherever that which who whose whenever because since as so although though \
         whether how why what provided lest in-case having till",
    ),
    (
        ADJECTIVE,
        "old existing original used worn damaged dirty clean cleaned dry dried same complete whole entire removed lubricated greased oiled \
         little loose loosened correct hot cold suitable own respective associated corresponding discarded inspected",
    ),
    (NEW, "new replacement fresh spare brand-new unused"),
    (
        SELECTIVE,
        "remaining other last first second third fourth fifth sixth next most several few some opposite alternate adjacent previous single \
         diagonal only another certain more fewer rest half",
    ),
    (
        SEQUENCE,
        "then next now first firstly secondly thirdly finally lastly also afterwards subsequently meanwhile therefore immediately second",
    ),
    (SHARE, "half quarter third eighth"),
    (
        ADVERB,
        "evenly squarely gently carefully slowly fully completely gradually lightly firmly securely straight separately progressively \
         uniformly smoothly thoroughly properly correctly quickly immediately crosswise diagonally alternately sequentially \
         axially radially vertically horizontally steadily freely cleanly exactly precisely accurately simultaneously equally \
         clockwise anticlockwise anti-clockwise counterclockwise counter-clockwise just only again still already now soon \
         here there visually manually positively tightly loosely snugly cautiously directly clearly temporarily briefly well \
         too very quite always further first last please simply partly partially sideways twice slightly safely forward forwards rearwards \
         together individually neatly thinly sparingly generously liberally even thereby throughout upright flat level later upside always barely almost forcibly initially",
    ),
    (
        UNIT,
        "mm cm m µm um in inch inches ft °c °f c f bar mbar kpa mpa pa psi n·m nm n lbf·ft kg g l ml v a kv w kw s sec second seconds \
         min mins minute minutes h hour hours day days rpm r/min % ° degree degrees litre litres liter liters percent turn turns",
    ),
    (ADVERB, "roughly approximately nearly"),
    (PREPOSITION, "after before until till"),
    (PARTICLE, "onto into"),
    (SELECTIVE, "left-hand right-hand"),
];

static WORDS: LazyLock<HashMap<&'static str, u32>> = LazyLock::new(|| {
    let mut words: HashMap<&'static str, u32> = HashMap::new();
    for (flag, list) in ROLES {
        for word in list.split_whitespace() {
            *words.entry(word).or_default() |= flag;
        }
    }
    words
});

/// Returns what a word in lower case may be, as flags of [`role`].
pub(super) fn roles(word: &str) -> u32 {
    WORDS.get(word).copied().unwrap_or_default()
}

/// Returns the number a word stands for.
pub(super) fn number(word: &str) -> Option<u32> {
    const NUMBERS: [&str; 20] = [
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
    ];
    let listed = NUMBERS.iter().position(|own| *own == word).and_then(|at| u32::try_from(at + 1).ok());
    listed.or(match word {
        "twenty-four" => Some(24),
        "a-pair" => Some(2),
        _ => None,
    })
}

/// What a noun of procedure talk is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Talk {
    /// A document, time, reading or thought.
    Paper,
    /// Power, pressure and what else can hurt.
    Energy,
    /// A person.
    Person,
    /// A place where things are laid down.
    Place,
    /// A place where things go to be thrown away.
    Waste,
    /// The stores.
    Stores,
    /// Dirt, water and the like: what can be taken away without a part moving.
    Matter,
    /// A side or surface of a part (`face`, `thread`).
    Feature,
    /// What a part has (`temperature`, `number`).
    Property,
    /// A hand, a cloth, a torch: what is used and not listed.
    Aid,
    /// What is worn.
    Wear,
    /// A lock with its tag, as the fitter carries it.
    Lock,
    /// A button or word that starts.
    StartButton,
    /// A button or word that stops.
    StopButton,
    /// A pattern, order or stage of doing something.
    Manner,
    /// A part, without saying which.
    Anything,
    /// Tools, without saying which.
    Tools,
}

/// Nouns of procedure talk, in the singular, parted by commas.
const TALK: [(Talk, &str); 17] = [
    (
        Talk::Energy,
        "pressure, isolation, power, supply, energy, zero energy, remaining energy, stored energy, current, voltage, flow, tension, load, force, rotation, access, heat, dead, movement, pressure zero, release, main power, air supply, water supply, drive power, residual pressure, system pressure, spring force, spring tension, steam",
    ),
    (
        Talk::Paper,
        "isolation sheet, isolation list, isolation certificate, packet, kit list, kit, check list, checklist, permit, work permit, permit number, \
         isolation sheet number, work order, job, job card, work, task, procedure, instruction, sheet, record sheet, record, log, log book, logbook, \
         drawing, figure, diagram, table, list, page, manual, note, tag plate, name plate, nameplate, rating plate, tag, tag number, \
         reading, measurement, figure, result, value, limit, target, tolerance, count, batch, batch number, serial number, part number, id, tool id, photograph, photo, picture, \
         signature, date, name, time, start time, finish time, stop time, step, sequence number, hold point, hold, check, inspection, test, trial run, trial, \
         run, leak test, leak check, pressure test, shift, maker, handover, cycle, cleaning cycle, leak, leakage, drip, noise, vibration, play, backlash, \
         score, crack, wear, damage, defect, fault, corrosion, pitting, burr, sign, trace, evidence, difference, line, datum, mark, match mark, matchmark, \
         line mark, arrow, scale, zero, dial, indication, display, direction of rotation, \
         area, work area, site, area round, finding, deviation, condition, state, entry, reason, cause, question, decision, answer, clearance record, \
         calibration, calibration date, calibration sticker, certificate, label text, colour, color, stamp, digit, figure number, tool count, torque setting, setting, torque, end of the job, \
         end, beginning, minute, second, hour, day, o'clock, trial-run time, toolbox talk, risk, risk assessment, hazard, weight, \
         sound, smell, light, whole, thing, following, fit, alignment reading, run-out, runout, fault code, alarm, message, screen, hygiene, station, local station, control station, control panel, local panel, panel, switchboard, switchroom, control desk, gauge",
    ),
    (
        Talk::Person,
        "supervisor, fitter, second person, second fitter, operator, verifier, quality, shift lead, technician, electrician, helper, assistant, mate, isolation authority, \
         person, somebody, someone, anybody, anyone, nobody, no one, colleague, control room, stores person, inspector, engineer, team, crew, people, owner, planner, \
         shift leader, quality department, production, maintenance, you, inspector, foreman, slinger, driver, area owner, other person, another person, everyone, everybody",
    ),
    (
        Talk::Place,
        "bench, workbench, table, floor, ground, tray, parts tray, pallet, stand, trolley, rack, shelf, mat, one side, side of the bench, \
         bench top, box, container, bag, plastic bag, bucket, drip tray, wooden block, timber, wood, cardboard, rag, cloth cover, clean surface, safe place, \
         clean place, dry place, clean bench, clean cloth, drum, basket, kit box, parts box, bin box, clean area, blocks, rest, store shelf, soft cover, soft surface, rubber mat, board, parts bin, vice, bath",
    ),
    (Talk::Waste, "waste, waste bin, bin, scrap, scrap bin, skip, scrap box, rubbish, trash, waste oil drum, disposal"),
    (Talk::Stores, "store, stores, storeroom, crib, tool crib, tool store"),
    (
        Talk::Matter,
        "dirt, dust, debris, swarf, rust, burr, residue, old grease, grease, excess grease, excess, surplus, scale, deposit, film, moisture, water, \
         drop, chip, fluff, packaging, wrapping, protective film, product, remains, remainder, foreign matter, contamination, spill, spillage, sediment, sludge, \
         soil, air, trapped air, paint, old paint, adhesive, sealant residue, sealant, filings, oil film, condensate, lint, sharp edge, raised edge, product residue, old sealant, old oil, gasket residue",
    ),
    (
        Talk::Feature,
        "face, thread, bore, groove, surface, edge, end, side, rim, lip, shoulder, journal, flank, top, bottom, head, inside, outside, spigot, recess, slot, hole, land, \
         track, root, seat face, joint, joint face, sealing face, mating face, contact face, mating surface, sealing surface, contact surface, running surface, seating, counterbore, chamfer, keyway, taper, \
         circumference, diameter, outer diameter, inner diameter, inside diameter, outside diameter, length, width, thickness, bolt hole, underside, tip, flat, nut face, seal face, seating face, corner, \
         centre, center, middle, rear, front, neck, barrel, skirt, mouth, port face, inner face, outer face, outer end, inner end, screw thread, tooth, tooth flank, o-ring groove, seal groove, bearing seat, \
         abutment face, free end, point, place, spot, location, position, rest face, register, female thread, male thread, crest, fillet, entry edge, lead-in, both ends, backs, back, whole circumference, wall, tab, lug, ear, flange face, exterior, interior, external surface, internal surface, half",
    ),
    (
        Talk::Property,
        "temperature, number, level, oil level, speed, orientation, alignment, clearance, gap, end float, float, rubber, material, grade, size, type, weight, mass, depth, height, distance, dimension, \
         angle, concentricity, flatness, squareness, parallelism, tightness, security, cleanliness, freedom, hardness, roundness, fit, run-out, runout, torque value, working length, \
         colour, color, quantity, amount, stroke, travel, lift, preload, end play, side play, sag, deflection, shape, markings, marking, stamp, serial, correctness, presence, serviceability",
    ),
    (
        Talk::Aid,
        "hand, bare hand, gloved hand, finger, fingertip, fingernail, thumb, palm, cloth, lint-free cloth, clean cloth, soft cloth, dry cloth, clean rag, rag, wipe, torch, lamp, care, caution, force, \
         water, clean water, cold water, warm water, hot water, mains water, compressed air, air, light, eye, foot, help, steady pressure, even pressure, light pressure, mirror, camera, chalk, pencil, tape, soap, straight edge, \
         rotary motion, twisting motion, light blow, gentle tap, light tap, circular motion, firm pressure, moderate force",
    ),
    (
        Talk::Wear,
        "glove, goggles, goggle, face shield, visor, apron, safety glasses, glasses, boot, safety boot, overall, coverall, ear defender, hearing protection, hard hat, helmet, mask, respirator, eye protection, \
         chemical glove, protective clothing, personal protective equipment, ppe, safety shoe, harness",
    ),
    (
        Talk::Lock,
        "lock, padlock, personal lock, personal padlock, own lock, lock and tag, lock kit, lock-out tag, danger tag, warning tag, own padlock, lockout lock, safety lock, group lock, hasp",
    ),
    (
        Talk::StartButton,
        "start button, start pushbutton, start push-button, start push button, green button, start switch, local start, local start button, start key",
    ),
    (
        Talk::StopButton,
        "stop button, stop pushbutton, stop push-button, red button, emergency stop, emergency stop button, stop switch",
    ),
    (
        Talk::Manner,
        "pattern, cross pattern, star pattern, sequence, order, stage, pass, turn, pair, direction, increment, opposite pairs, rotation, round, small step, half turn, quarter turn, full turn, step, pace, way, manner, time at a time, diagonal, \
         cross, star, even step, small stage, equal stage, number sequence, full revolution, revolution, motion, go, once, clockwise direction, anticlockwise direction, operation, movement, full sequence, full stroke",
    ),
    (
        Talk::Anything,
        "part, component, item, piece, assembly, everything, anything, unit, machine, equipment, element, removed part, loose part, hardware, fastener, fixing",
    ),
    (
        Talk::Tools,
        "tool, instrument, tooling, tools and parts, torque tool, hand tool, lifting gear, tackle, equipment",
    ),
];

/// The nouns of procedure talk by their words run together.
static TALK_WORDS: LazyLock<HashMap<String, Talk>> = LazyLock::new(|| {
    let mut words = HashMap::new();
    for (talk, list) in TALK {
        for noun in list.split(',') {
            let key: String = noun.split_whitespace().map(crate::language::item::key).collect();
            words.entry(key).or_insert(talk);
        }
    }
    words
});

/// Returns what a noun of procedure talk is; `key` is its words in the singular run together.
pub(super) fn talk(key: &str) -> Option<Talk> {
    TALK_WORDS.get(key).copied()
}

/// The most words a noun of procedure talk has.
pub(super) const LONGEST_TALK: usize = 4;

/// Last words of names of tools in general.
const TOOL_HEADS: &str = "spanner wrench key screwdriver driver hammer mallet puller extractor pliers plier drift punch bar lever sling hoist \
    crane socket brush jack stand vice clamp strap gauge gage micrometer calliper caliper indicator thermometer multimeter tester \
    scraper file saw knife cutter tong tweezer pick hook tool block band sleeve mandrel press heater lamp straightedge square \
    rule ruler tape marker pen pencil funnel jug bucket pump tray cloth wipe grip tommy ratchet adapter extension trolley lifter \
    tackle shackle eyebolt tackle chisel spatula needle syringe gun can comparator meter stethoscope prybar crowbar pry-bar";

/// Returns whether a word in the singular is the last word of a tool's name in general.
pub(super) fn is_tool_head(word: &str) -> bool {
    TOOL_HEADS.split_whitespace().any(|head| head == word)
}
