//! The compiled packet and the card face as plain, versioned data: every value resolved for one tag; it knows no revision, date or approval.
//!
//! This is what templates see, what digests are taken of and what an approval will store. Texts are final: numbers stand
//! with their unit (joined by a no-break space), references are step numbers, names carry their register's spelling.
//! Additive changes only; anything else raises [`FORMAT`]. A field that is added is left out of the data where it is empty, so that
//! what was stored before it has the same bytes as ever.

use serde::{Deserialize, Serialize};

/// The number of this data form; a reader refuses a higher one.
pub const FORMAT: u32 = 1;

/// A stretch of text in one manner.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Run {
    /// What the text is, which decides how it is set.
    pub kind: RunKind,
    /// The text itself, final.
    pub text: String,
    /// Where a link goes; only for [`RunKind::Link`] and [`RunKind::Step`] (then `#step-12`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub href: Option<String>,
}

/// What a [`Run`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RunKind {
    /// Plain words.
    Text,
    /// A resolved value of this tag: set it so that the hands find it.
    Value,
    /// Words the author made strong.
    Strong,
    /// Words the author stressed.
    Emphasis,
    /// Words to be taken letter by letter.
    Code,
    /// A link out of the packet; print shows the address.
    Link,
    /// A reference to another step, resolved to its number ("step 12").
    Step,
}

/// One paragraph's worth of runs.
pub type Line = Vec<Run>;

/// Everything the packet of one tag says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Packet {
    /// [`FORMAT`].
    pub format: u32,
    /// The plant's name.
    pub plant: String,
    /// Language of the texts, as in BCP 47 (`en`).
    pub language: String,
    /// Document number, for example `MP-PA-101`.
    pub document: String,
    /// What the procedure does.
    pub title: String,
    /// The installed machine this packet is for.
    pub tag: String,
    /// Where the machine stands.
    pub place: String,
    /// The machine's family.
    pub family: Named,
    /// Every option of the family with this tag's choice.
    pub options: Vec<Choice>,
    /// One sentence: what is true afterwards that was not before.
    pub purpose: Line,
    /// What the procedure applies to, in words (`seal S`), or the family's name.
    pub applies_to: String,
    /// What the procedure does not cover.
    #[serde(default)]
    pub not_covered: Vec<Line>,
    /// How the packet is to be used ("step by step, in hand").
    pub use_level: String,
    /// Who is needed.
    pub people: String,
    /// What they must be able to do.
    #[serde(default)]
    pub skill: String,
    /// How long the job takes.
    pub time: String,
    /// How often the document is reviewed.
    #[serde(default)]
    pub review: String,
    /// Cautions for the whole job, one line each.
    #[serde(default)]
    pub precautions: Vec<Line>,
    /// What must be so before the first step.
    #[serde(default)]
    pub prerequisites: Vec<Line>,
    /// What the packet defers to; stands on every packet and card.
    pub deference: Vec<String>,
    /// Energies and isolation points of this tag.
    pub isolation: Vec<IsolationPoint>,
    /// Each caution of this tag once: by severity, energies first among equals.
    pub cautions: Vec<Caution>,
    /// What to draw before starting.
    pub kit: Kit,
    /// Torques and what they are for.
    pub joints: Vec<Joint>,
    /// The steps under their stages.
    pub stages: Vec<Stage>,
    /// The record sheet: each reading or entry once, with the steps that fill it.
    pub readings: Vec<Reading>,
    /// The hold points in the order of the steps.
    pub holds: Vec<Hold>,
    /// Figures in the order of their first appearance.
    pub figures: Vec<Figure>,
    /// What nobody and nothing has checked yet, in plain words.
    pub not_checked: Vec<String>,
    /// What was found wrong with it and accepted by the plant, so that whoever approves sees it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub accepted_findings: Vec<AcceptedFinding>,
    /// The sentences and forms that stand in every packet, whatever its procedure says.
    #[serde(default)]
    pub standing: Standing,
    /// What goes on the laminated card.
    pub card: Face,
    /// How the card is printed and read; none in a packet that was made before it was kept here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub print: Option<CardPrint>,
}

/// A finding that somebody of the plant answers for until a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AcceptedFinding {
    /// The rule (`torque-without-step`).
    pub rule: String,
    /// What is wrong, as one sentence without its full stop.
    pub finding: String,
    /// Why it is accepted.
    pub reason: String,
    /// Who answers for it.
    pub by: String,
    /// The last day on which it is accepted (`2027-03-14`).
    pub until: String,
}

/// What stands in every packet, so that all its outputs say the same.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Standing {
    /// Heading over [`Packet::deference`].
    pub deference: String,
    /// Said where nobody has approved the packet.
    pub no_approval: String,
    /// Said where the procedure names no hazard.
    pub no_hazard: String,
    /// Said where the machine has no registered isolation point.
    pub no_isolation: String,
    /// Said where the register does not say how a boundary is proved.
    pub no_proof: String,
    /// How to keep one's place on paper.
    pub keep_place: String,
    /// Said at a torque that is a limit.
    pub limit: String,
    /// Said at a left-hand thread.
    pub left_hand: String,
    /// Said before what to do when a reading is outside its limit.
    pub outside: String,
    /// Said at a hold point.
    pub hold: String,
    /// The first mark of a hold point.
    pub hold_done: String,
    /// The second mark of a hold point; the role stands beside it.
    pub hold_verified: String,
    /// Blanks of the job on the cover.
    pub job_blanks: Vec<String>,
    /// The isolation sheet; its blanks are those of each proof.
    pub isolation: Form,
    /// The shift hand-over.
    pub handover: Form,
    /// The count back; its points are rows, its blanks their columns.
    pub count_back: Form,
    /// The hygiene release.
    pub hygiene: Form,
    /// The sheet for what is wrong in the packet; its points are kinds of fault, its blanks columns.
    pub redline: Form,
}

/// A form that stands in every packet.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Form {
    /// The heading.
    pub title: String,
    /// What to do, a sentence or two each.
    pub words: Vec<String>,
    /// What is ticked or counted.
    pub points: Vec<String>,
    /// What is written.
    pub blanks: Vec<String>,
    /// Who signs.
    pub marks: Vec<String>,
}

/// An identifier with its plain name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Named {
    /// The short identifier (`PA`, `TW-2`).
    pub id: String,
    /// The plain name (`close-coupled centrifugal pump`).
    pub name: String,
}

/// An option and the value chosen for this tag.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choice {
    /// The option (`size`).
    pub option: String,
    /// The chosen value (`3`).
    pub value: String,
    /// The value in words where the register has them, else empty (`single seal`).
    #[serde(default)]
    pub meaning: String,
}

/// One place where an energy is cut off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct IsolationPoint {
    /// The point's own tag (`V-121A`).
    pub point: String,
    /// The boundary it isolates (`product in`).
    pub boundary: String,
    /// The energy (`electrical`, `hot product under pressure`).
    pub energy: String,
    /// What it is (`valve`, `isolator`).
    pub kind: String,
    /// The position that isolates (`closed, locked`).
    pub position: String,
    /// How zero energy is proved at this boundary; empty where the register does not say.
    #[serde(default)]
    pub prove: String,
}

/// Severity by ANSI Z535.6; ISO 3864-2 knows the first three.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Will result in death or serious injury if not avoided.
    Danger,
    /// Could result in death or serious injury.
    Warning,
    /// Could result in minor or moderate injury.
    Caution,
    /// Not about people: damage to property.
    Notice,
}

/// A caution as it is printed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Caution {
    /// The author's name for it.
    pub id: String,
    /// Severity, which decides signal word, symbol and colour.
    pub level: Level,
    /// The signal word in capitals (`WARNING`).
    pub word: String,
    /// The pictogram's name (`hot-surface`), one of the program's own drawings.
    pub sign: String,
    /// What the hazard is.
    pub hazard: Line,
    /// What happens if it is not avoided.
    pub consequence: Line,
    /// How to avoid it.
    pub avoid: Line,
}

/// What to draw from stores and crib.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kit {
    /// New parts.
    pub parts: Vec<KitPart>,
    /// Fluids and consumables.
    pub fluids: Vec<KitItem>,
    /// Plain tools.
    pub tools: Vec<KitItem>,
    /// Torque tools with their range.
    pub torque_tools: Vec<KitItem>,
    /// Measuring instruments with range and resolution.
    pub instruments: Vec<KitItem>,
    /// Locks, one per isolation point.
    pub locks: Vec<KitItem>,
    /// Temporary items that are put in and come out again.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub temporary: Vec<KitItem>,
    /// Personal protection.
    pub protection: Vec<String>,
    /// For each line of [`Kit::protection`], the steps that need it; an empty list stands for the whole job.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub protection_steps: Vec<Vec<u32>>,
    /// Steps with a sentence that was not read with certainty: what it needs is not in the kit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unsure: Vec<u32>,
}

/// A part in the kit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KitPart {
    /// The register's name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Stores number for this tag; empty where the register has none.
    pub number: String,
    /// Material for this tag; empty where the register has none.
    #[serde(default)]
    pub material: String,
    /// Where it lies in stores; empty where the register does not say.
    #[serde(default)]
    pub bin: String,
    /// Numbers of the steps that fit it; empty where the author adds it for a reason.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<u32>,
    /// Why it is drawn, where the steps do not say it all; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

/// A tool, instrument or fluid in the kit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KitItem {
    /// Crib identifier; empty for a temporary item.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Range, resolution, drive or zone, in words; may be empty.
    #[serde(default)]
    pub detail: String,
    /// On a kit list, numbers of the steps that use it; empty elsewhere, and where it is for the whole job.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<u32>,
    /// Why it is drawn, where the steps do not say it all; may be empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub why: String,
}

/// A joint with its torque.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Joint {
    /// The register's name (`casing closure`).
    pub name: String,
    /// The fastener (`casing nut`).
    pub fastener: String,
    /// How many fasteners.
    pub count: u32,
    /// Thread and class in words (`M10 A4-70`); may be empty.
    pub thread: String,
    /// Lubrication state (`L-03 on the threads`, `dry`).
    pub state: String,
    /// Torque stages in order; the last is the final one.
    pub stages: Vec<TorqueStage>,
    /// What the torque is.
    pub role: TorqueRole,
    /// The torque tool.
    pub wrench: Option<KitItem>,
    /// Tightening pattern, drawn for this count; none for a single fastener.
    pub pattern: Option<Pattern>,
    /// True for a left-hand thread.
    #[serde(default)]
    pub left_hand: bool,
    /// The adapter between wrench and fastener that changes the lever.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adapter: Option<KitItem>,
    /// What the wrench is set to with that adapter, as one sentence; empty without one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub setting: String,
}

/// One torque of a joint.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TorqueStage {
    /// `snug`, `half`, `final` ...
    pub label: String,
    /// The torque with its unit (`12.5 N·m`).
    pub torque: String,
}

/// Whether a torque is aimed at or must not be passed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TorqueRole {
    /// Tighten to it.
    Target,
    /// Never pass it; it is no target.
    Limit,
}

/// A numbered tightening pattern.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pattern {
    /// Number of fasteners; they are numbered clockwise from the top.
    pub count: u32,
    /// How they stand.
    pub shape: PatternShape,
    /// Fastener numbers in tightening order.
    pub sequence: Vec<u32>,
}

/// How the fasteners of a pattern stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PatternShape {
    /// Evenly on a circle.
    Circle,
    /// In two equal rows, left and right (a plate pack's tie bolts).
    Rows,
}

/// A stage heading with its steps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stage {
    /// The heading.
    pub title: String,
    /// Paragraphs between the heading and the first step.
    #[serde(default)]
    pub notes: Vec<Block>,
    /// The steps that apply to this tag.
    pub steps: Vec<Step>,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// Number in this tag's packet, counted through all stages from 1.
    pub number: u32,
    /// Cautions that stand directly before the step.
    pub cautions: Vec<Caution>,
    /// What to do.
    pub blocks: Vec<Block>,
    /// Torques of the joints this step tightens.
    pub joints: Vec<Joint>,
    /// Blanks to fill in at this step.
    pub entries: Vec<Entry>,
    /// Hold points that must be signed before the next step.
    pub holds: Vec<Hold>,
    /// What the reader puts beside the step.
    pub mark: Mark,
    /// What each of its sentences does, in order, for whoever judges a change; it is not printed, and empty on a card.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub does: Vec<Does>,
}

/// What a sentence does, as far as the program can say.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Does {
    /// These actions, in the text form an author accepts.
    Actions(String),
    /// Nothing to the machine.
    Nothing,
    /// It was not read with certainty.
    Unsure,
}

/// What the reader puts beside a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// A placekeeping box.
    Tick,
    /// A box and initials: torque, measurement, isolation or hold point.
    Initial,
}

/// A block of a step or note.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Block {
    /// A paragraph.
    Paragraph {
        /// Its runs.
        line: Line,
    },
    /// A list: alternatives or sub-points, each with its own box where `boxed`.
    List {
        /// True where each item is one of several ways and gets a box.
        boxed: bool,
        /// The items.
        items: Vec<Vec<Block>>,
    },
    /// A table of the author's.
    Table {
        /// Header cells.
        head: Vec<Line>,
        /// Rows of cells.
        rows: Vec<Vec<Line>>,
    },
    /// A figure, by its place in [`Packet::figures`].
    Figure {
        /// Figure number, from 1.
        number: u32,
    },
}

/// A blank to be filled at a step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// The reading's name.
    pub name: String,
    /// What is written.
    pub kind: EntryKind,
    /// `as found`, `as left` or empty.
    #[serde(default)]
    pub moment: String,
    /// The limit in words and figures (`24.7 to 25.3 mm`), empty where there is none.
    #[serde(default)]
    pub limit: String,
    /// Lower end of the limit as a decimal (`24.7`), in [`Entry::unit`]; none where it has no lower end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<String>,
    /// Upper end of the limit as a decimal, in [`Entry::unit`]; none where it has no upper end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<String>,
    /// Unit of what is written; empty for words and times.
    #[serde(default)]
    pub unit: String,
    /// Instrument, where the register names one.
    #[serde(default)]
    pub instrument: Option<KitItem>,
    /// Said beside the limit where the instrument shows another thing than the limit is of (`total of one turn ...`).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub means: String,
    /// One blank per place (`top left`, ...); a single empty string for one unlabelled blank.
    pub places: Vec<String>,
    /// What to do when the reading is outside its limit; empty where there is no limit.
    #[serde(default)]
    pub outside: Line,
}

/// What is written into a blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum EntryKind {
    /// A measured figure.
    Measurement,
    /// Words or a number copied from somewhere.
    Note,
    /// A time of day.
    Time,
}

/// A row of the record sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// What is written; `moment` is empty here and stands in `moments`.
    pub entry: Entry,
    /// `as found`, `as left`, or one empty string.
    pub moments: Vec<String>,
    /// Numbers of the steps that fill it.
    pub steps: Vec<u32>,
}

/// A hold point: work stops until it is signed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hold {
    /// `H1`.
    pub id: String,
    /// Who signs.
    pub role: String,
    /// What is verified.
    pub verify: Line,
    /// Number of the step it belongs to.
    pub step: u32,
}

/// A figure of the packet; its bytes are handed to the renderer beside the packet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figure {
    /// From 1, in order of appearance.
    pub number: u32,
    /// Path inside the binder, with `/`.
    pub path: String,
    /// SHA-256 of its bytes, in hex.
    pub digest: String,
    /// What it shows, for a reader who cannot see it.
    pub alt: String,
    /// Caption; may be empty.
    #[serde(default)]
    pub caption: String,
}

/// The resolved content of a card: without its stamp, and without how it is printed, so that another format or reading
/// distance recalls no card. Its digest names it; tags with the same face share a card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Face {
    /// [`FORMAT`].
    pub format: u32,
    /// The plant's name.
    pub plant: String,
    /// Language of the texts, as in BCP 47 (`en`).
    pub language: String,
    /// Document number.
    pub document: String,
    /// What the procedure does.
    pub title: String,
    /// The family.
    pub family: Named,
    /// The choices on which this procedure depends for this tag; others are left out.
    pub options: Vec<Choice>,
    /// What the card defers to.
    pub deference: Vec<String>,
    /// The cautions: by severity, energies first among equals.
    pub cautions: Vec<Caution>,
    /// Isolation points, where the print preset puts them on the card; then each tag has its own face.
    #[serde(default)]
    pub isolation: Vec<IsolationPoint>,
    /// What to isolate, in words, where the points are not on the card.
    #[serde(default)]
    pub boundaries: Vec<String>,
    /// Tools and fluids as one short list (`TW-2`, `L-03`); empty where the author did not ask for it.
    #[serde(default)]
    pub tools: Vec<Named>,
    /// Torques.
    pub joints: Vec<Joint>,
    /// Limits and other numbers.
    pub numbers: Vec<Number>,
    /// The stages or steps the author picked, with the numbers they have in the packet.
    pub stages: Vec<Stage>,
    /// Figures that the picked steps show.
    #[serde(default)]
    pub figures: Vec<Figure>,
}

/// A number on the card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Number {
    /// What it is (`gap`).
    pub name: String,
    /// The number with its unit, or the limit (`0.6 to 1.0 mm`).
    pub value: String,
}

/// Format and reading distance of a card; lengths in millimetres.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CardPrint {
    /// The preset's name (`in hand`, `on bench`, `on wall`).
    pub preset: String,
    /// Trim width.
    pub width_mm: u32,
    /// Trim height.
    pub height_mm: u32,
    /// Reading distance.
    pub distance_mm: u32,
    /// Edge kept free for the laminate seal.
    pub edge_mm: u32,
    /// Punch hole, if any: which edge of the front it sits at.
    pub punch: Option<Punch>,
    /// How the sheet is turned over.
    pub flip: Flip,
}

/// A round punch hole centred on an edge.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Punch {
    /// Diameter.
    pub diameter_mm: u32,
    /// Distance of its centre from the edge.
    pub inset_mm: u32,
    /// Square around it in which nothing may be printed, on both faces.
    pub clear_mm: u32,
}

/// How a duplex sheet is turned over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Flip {
    /// About its long edge: the back stands the same way up.
    LongEdge,
    /// About its short edge: the back is printed upside down, as on a ring.
    ShortEdge,
}
