//! A procedure as written: front matter and steps with their braces told apart; nothing in it is resolved for a tag.

use crate::base::name::{DocumentNumber, FamilyId, Name};
use crate::base::text::{FileId, Placed, Span};
use crate::model::draw::{Draw, draws};
use crate::model::fields::{Fields, is_yes, text_at, texts_at};
use crate::model::only::Only;
use crate::model::prose::Prose;
use crate::model::sorter;
use crate::model::value::Values;
use crate::source::body;
pub use crate::source::body::Manner;
use crate::source::yaml::Node;

/// What a brace reads as where a sentence is looked at before anything is filled in.
pub const FILLED_IN: &str = "{}";

/// A procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Procedure {
    /// The file it is written in.
    pub file: FileId,
    /// Its number.
    pub document: Placed<DocumentNumber>,
    /// What it does.
    pub title: Placed<String>,
    /// Which job it is, in words that two procedures for the same job share; may be empty.
    pub job: String,
    /// The family it is for.
    pub family: Placed<FamilyId>,
    /// Which machines of the family; none for all.
    pub applies_to: Option<Only>,
    /// What it does not cover.
    pub not_covered: Vec<Prose>,
    /// What is true afterwards.
    pub purpose: Prose,
    /// How it is to be used.
    pub use_level: String,
    /// Who is needed.
    pub people: String,
    /// What they must be able to do.
    pub skill: String,
    /// How long it takes.
    pub time: String,
    /// How often it is reviewed.
    pub review: String,
    /// Language, where it differs from the binder's.
    pub language: String,
    /// Cautions for the whole job in one line each.
    pub precautions: Vec<Prose>,
    /// What must be so before the first step.
    pub prerequisites: Vec<Prose>,
    /// Personal protection.
    pub protection: Vec<Placed<String>>,
    /// Tools and instruments.
    pub tools: Vec<Draw>,
    /// Fluids.
    pub fluids: Vec<Draw>,
    /// Joints it tightens.
    pub torques: Vec<Draw>,
    /// New parts.
    pub parts: Vec<Draw>,
    /// Parts whose number differs before or after the job from what the family says.
    pub configuration: Vec<Configured>,
    /// Cautions by name.
    pub cautions: Vec<Caution>,
    /// Readings by name.
    pub readings: Vec<Reading>,
    /// Hold points by name.
    pub holds: Vec<Hold>,
    /// Values of this procedure alone.
    pub values: Values,
    /// What goes on the card.
    pub card: CardChoice,
    /// The stages.
    pub stages: Vec<Stage>,
}

/// A caution as declared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// The author's name for it.
    pub name: Placed<Name>,
    /// `danger`, `warning`, `caution` or `notice`.
    pub level: Placed<String>,
    /// The pictogram.
    pub sign: Placed<String>,
    /// The hazard.
    pub hazard: Prose,
    /// The consequence.
    pub consequence: Prose,
    /// How to avoid it.
    pub avoid: Prose,
    /// For which machines; none for all.
    pub only: Option<Only>,
    /// True where it holds for the whole job and stands before the first step.
    pub whole_job: bool,
    /// The boundaries and parts whose hazard it tells of, or [`RUNNING`].
    pub covers: Vec<Placed<Name>>,
    /// What protects the person from it.
    pub protection: Vec<Placed<String>>,
}

/// What a caution covers that tells of the running machine.
pub const RUNNING: &str = "running";

/// A part whose number on the machine differs, before or after the job, from what the family says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Configured {
    /// The part.
    pub part: Placed<Name>,
    /// How many are on before the first step.
    pub before: u32,
    /// How many are on after the last step.
    pub after: u32,
    /// For which machines; none for all.
    pub only: Option<Only>,
}

/// A reading or entry as declared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Its name.
    pub name: Placed<Name>,
    /// What is written.
    pub kind: ReadingKind,
    /// The limit.
    pub limit: Option<Prose>,
    /// Which of the two the limit is, where the instrument shows the total of a turn.
    pub measures: Option<Measures>,
    /// Unit, where no limit gives it.
    pub unit: String,
    /// The instrument.
    pub instrument: Option<Prose>,
    /// What to do outside the limit.
    pub outside: Option<Prose>,
    /// True where passing the limit cannot be undone.
    pub irreversible: bool,
    /// Places measured; none for one.
    pub places: Vec<Placed<String>>,
    /// When it is measured (`as found`, `as left`); none for once.
    pub moments: Vec<Placed<String>>,
    /// For which machines; none for all.
    pub only: Option<Only>,
}

/// What a limit is said of, where an instrument shows twice of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measures {
    /// How far one thing lies beside the other.
    Offset,
    /// What the pointer goes through in a turn.
    Total,
}

/// What is written into a blank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadingKind {
    /// A measured figure.
    Measurement,
    /// Words or a number copied from somewhere.
    Note,
    /// A time of day.
    Time,
}

/// A hold point as declared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    /// `H1`.
    pub name: Placed<Name>,
    /// Who signs.
    pub role: Placed<String>,
    /// What is verified.
    pub verify: Prose,
    /// For which machines; none for all.
    pub only: Option<Only>,
}

/// What the author picked for the card.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CardChoice {
    /// Preset, where it differs from the binder's.
    pub preset: Option<Placed<String>>,
    /// Extras: `tools`, `numbers`.
    pub show: Vec<Placed<String>>,
    /// Readings and values whose numbers stand on the card; none for every limit.
    pub numbers: Vec<Placed<Name>>,
    /// Whole stages.
    pub stages: Vec<Placed<Name>>,
    /// Labelled steps.
    pub steps: Vec<Placed<Name>>,
    /// Labelled steps inside picked stages that stay off the card.
    pub leave_out: Vec<Placed<Name>>,
}

/// A stage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// Its heading.
    pub title: Placed<String>,
    /// What stands before its first step.
    pub notes: Vec<Block>,
    /// Its steps.
    pub steps: Vec<Step>,
}

/// A step with its braces told apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Where it is written.
    pub span: Span,
    /// What to do.
    pub blocks: Vec<Block>,
    /// What it applies to; none for all.
    pub only: Option<Only>,
    /// Cautions that stand before it.
    pub cautions: Vec<Placed<Name>>,
    /// Hold points after it.
    pub holds: Vec<Placed<Name>>,
    /// Readings taken at it, as written after `record`.
    pub records: Vec<Placed<Name>>,
    /// Names other steps refer to it by.
    pub labels: Vec<Placed<Name>>,
    /// `{do ...}`: readings of the sentence given by hand, kept for the reader of sentences.
    pub overrides: Vec<Placed<String>>,
}

/// A block of a step or note whose braces are told apart.
pub type Block = body::Block<Inline>;

/// A stretch of a paragraph.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inline {
    /// Words.
    Words {
        /// The words.
        text: String,
        /// How they are set.
        manner: Manner,
        /// Where they stand.
        span: Span,
        /// Where words were joined over a brace that was taken out: the byte in the text, and where it stands.
        joins: Vec<(usize, Span)>,
    },
    /// A value.
    Value(Placed<Name>),
    /// A reference to a labelled step.
    See(Placed<Name>),
    /// A link.
    Link {
        /// Its words.
        text: String,
        /// Its target.
        target: Placed<String>,
    },
}

impl Procedure {
    /// Returns every figure that a note or step shows, in reading order.
    pub fn figures(&self) -> impl Iterator<Item = FigureShown<'_>> {
        let notes = self.stages.iter().flat_map(|stage| &stage.notes);
        notes.chain(self.steps().flat_map(|step| &step.blocks)).filter_map(|block| match block {
            Block::Figure { path, alt, caption } => Some(FigureShown { path, alt, caption }),
            Block::Paragraph(_) | Block::List(_) | Block::Table { .. } => None,
        })
    }

    /// Returns every sentence a reader meets as plain words with its place: front matter, notes and steps.
    ///
    /// A brace reads as [`FILLED_IN`]: what it stands for is not typed by hand.
    #[must_use]
    pub fn sentences(&self) -> Vec<(String, Span)> {
        let mut sentences: Vec<(String, Span)> =
            self.proses().map(|prose| (prose.plain(FILLED_IN), prose.span)).collect();
        self.each_line(&mut |line| {
            let place = line.iter().find_map(Inline::span);
            sentences.extend(place.map(|place| (line.iter().map(Inline::plain).collect(), place)));
        });
        sentences
    }

    /// Returns every run of words in notes and steps.
    #[must_use]
    pub fn words(&self) -> Vec<&str> {
        let mut words = Vec::new();
        self.each_line(&mut |line| words.extend(line.iter().filter_map(Inline::words)));
        words
    }

    /// Returns the target of every link in notes and steps.
    #[must_use]
    pub fn links(&self) -> Vec<&Placed<String>> {
        let mut links = Vec::new();
        self.each_line(&mut |line| links.extend(line.iter().filter_map(Inline::target)));
        links
    }

    /// Returns the sentences of the front matter.
    pub fn proses(&self) -> impl Iterator<Item = &Prose> {
        let lists = [&self.not_covered, &self.precautions, &self.prerequisites].into_iter().flatten();
        let cautions = self.cautions.iter().flat_map(|own| [&own.hazard, &own.consequence, &own.avoid]);
        let readings = self.readings.iter().flat_map(|own| [&own.limit, &own.outside]).flatten();
        let holds = self.holds.iter().map(|own| &own.verify);
        std::iter::once(&self.purpose).chain(lists).chain(cautions).chain(readings).chain(holds)
    }

    fn each_line<'a>(&'a self, take: &mut dyn FnMut(&'a [Inline])) {
        for stage in &self.stages {
            each_line(&stage.notes, take);
            for step in &stage.steps {
                each_line(&step.blocks, take);
            }
        }
    }

    /// Returns every label that a step or note refers to.
    #[must_use]
    pub fn references(&self) -> Vec<&Placed<Name>> {
        let mut names = Vec::new();
        let notes = self.stages.iter().map(|stage| &stage.notes);
        for blocks in notes.chain(self.steps().map(|step| &step.blocks)) {
            each_line(blocks, &mut |line| names.extend(line.iter().filter_map(Inline::reference)));
        }
        names
    }

    /// Returns every effectivity written in the procedure.
    #[must_use]
    pub fn effectivities(&self) -> Vec<&Only> {
        let things = self.limited_things().into_iter().map(|(_, only)| only);
        self.applies_to.iter().chain(things).collect()
    }

    /// Returns everything that is only for some machines, each with a word for what it is.
    #[must_use]
    pub fn limited_things(&self) -> Vec<(&'static str, &Only)> {
        let lists = [("tool", &self.tools), ("fluid", &self.fluids), ("torque", &self.torques), ("part", &self.parts)];
        let draws = lists.into_iter().flat_map(|(what, draws)| draws.iter().map(move |draw| (what, &draw.only)));
        let cautions = self.cautions.iter().map(|caution| ("caution", &caution.only));
        let readings = self.readings.iter().map(|reading| ("reading", &reading.only));
        let holds = self.holds.iter().map(|hold| ("hold", &hold.only));
        let steps = self.steps().map(|step| ("step", &step.only));
        let configuration = self.configuration.iter().map(|part| ("configuration", &part.only));
        let all = draws.chain(cautions).chain(readings).chain(holds).chain(configuration).chain(steps);
        all.filter_map(|(what, only)| only.as_ref().map(|only| (what, only))).collect()
    }

    /// Returns every step in order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.stages.iter().flat_map(|stage| &stage.steps)
    }

    /// Reads a procedure from its front matter and body.
    pub fn read(file: FileId, front: &Node, body: &body::Body, fields: &mut Fields<'_>) -> Option<Self> {
        let document = front.get("document")?.placed()?;
        let family = front.get("family")?.placed()?;
        let list = |key: &str| front.get(key).map(Node::items).unwrap_or_default();
        let stages = sorter::sorted(&body.stages, &mut fields.findings);
        Some(Self {
            file,
            document: Placed::new(DocumentNumber::new(document.value.trim()), document.span),
            title: front.get("title")?.placed()?,
            job: text_at(front, "job"),
            family: Placed::new(FamilyId::new(family.value.trim()), family.span),
            applies_to: fields.only_at(front, "applies-to"),
            not_covered: fields.proses_at(front, "not-covered"),
            purpose: fields.prose_at(front, "purpose")?,
            use_level: text_at(front, "use-level"),
            people: text_at(front, "people"),
            skill: text_at(front, "skill"),
            time: text_at(front, "time"),
            review: text_at(front, "review"),
            language: text_at(front, "language"),
            precautions: fields.proses_at(front, "precautions"),
            prerequisites: fields.proses_at(front, "prerequisites"),
            protection: texts_at(front, "protection"),
            tools: draws(list("tools"), "tool", fields),
            fluids: draws(list("fluids"), "fluid", fields),
            torques: draws(list("torques"), "torque", fields),
            parts: draws(list("parts"), "part", fields),
            configuration: list("configuration").iter().filter_map(|node| configured(node, fields)).collect(),
            cautions: list("cautions").iter().filter_map(|node| caution(node, fields)).collect(),
            readings: list("readings").iter().filter_map(|node| reading(node, fields)).collect(),
            holds: list("holds").iter().filter_map(|node| hold(node, fields)).collect(),
            values: fields.values(front),
            card: front.get("card").map(|node| card(node, fields)).unwrap_or_default(),
            stages,
        })
    }
}

fn configured(node: &Node, fields: &mut Fields<'_>) -> Option<Configured> {
    Some(Configured {
        part: fields.name_at(node, "part")?,
        before: text_at(node, "before").parse().ok()?,
        after: text_at(node, "after").parse().ok()?,
        only: fields.only(node),
    })
}

fn caution(node: &Node, fields: &mut Fields<'_>) -> Option<Caution> {
    Some(Caution {
        name: fields.name_at(node, "caution")?,
        level: node.get("level")?.placed()?,
        sign: node.get("sign")?.placed()?,
        hazard: fields.prose_at(node, "hazard")?,
        consequence: fields.prose_at(node, "consequence")?,
        avoid: fields.prose_at(node, "avoid")?,
        only: fields.only(node),
        whole_job: is_yes(node, "whole-job"),
        covers: fields.names_at(node, "covers"),
        protection: texts_at(node, "protection"),
    })
}

fn reading(node: &Node, fields: &mut Fields<'_>) -> Option<Reading> {
    Some(Reading {
        name: fields.name_at(node, "reading")?,
        kind: match text_at(node, "kind").as_str() {
            "note" => ReadingKind::Note,
            "time" => ReadingKind::Time,
            _ => ReadingKind::Measurement,
        },
        limit: fields.prose_at(node, "limit"),
        measures: match text_at(node, "measures").as_str() {
            "offset" => Some(Measures::Offset),
            "total" => Some(Measures::Total),
            _ => None,
        },
        unit: text_at(node, "unit"),
        instrument: fields.prose_at(node, "instrument"),
        outside: fields.prose_at(node, "outside"),
        irreversible: is_yes(node, "irreversible"),
        places: texts_at(node, "places"),
        moments: texts_at(node, "moments"),
        only: fields.only(node),
    })
}

fn hold(node: &Node, fields: &mut Fields<'_>) -> Option<Hold> {
    Some(Hold {
        name: fields.name_at(node, "hold")?,
        role: node.get("role")?.placed()?,
        verify: fields.prose_at(node, "verify")?,
        only: fields.only(node),
    })
}

fn card(node: &Node, fields: &mut Fields<'_>) -> CardChoice {
    CardChoice {
        preset: node.get("preset").and_then(Node::placed),
        show: texts_at(node, "show"),
        numbers: fields.names_at(node, "numbers"),
        stages: fields.names_at(node, "stages"),
        steps: fields.names_at(node, "steps"),
        leave_out: fields.names_at(node, "leave-out"),
    }
}

/// Returns every value that the notes of a stage name, in reading order.
#[must_use]
pub fn values_of_notes(stage: &Stage) -> Vec<&Placed<Name>> {
    values(&stage.notes)
}

/// A figure as a procedure shows it.
#[derive(Clone, Copy, Debug)]
pub struct FigureShown<'a> {
    /// Its path as written.
    pub path: &'a Placed<String>,
    /// What it shows.
    pub alt: &'a str,
    /// Caption; may be empty.
    pub caption: &'a str,
}

/// Returns every value that some blocks name, in reading order.
fn values(blocks: &[Block]) -> Vec<&Placed<Name>> {
    let mut names = Vec::new();
    each_line(blocks, &mut |line| names.extend(line.iter().filter_map(Inline::value)));
    names
}

/// Calls `take` with every line of some blocks, in reading order.
fn each_line<'a>(blocks: &'a [Block], take: &mut dyn FnMut(&'a [Inline])) {
    for block in blocks {
        match block {
            Block::Paragraph(line) => take(line),
            Block::List(items) => items.iter().for_each(|item| each_line(item, take)),
            Block::Table { head, rows } => head.iter().chain(rows.iter().flatten()).for_each(|cell| take(cell)),
            Block::Figure { .. } => {}
        }
    }
}

impl Inline {
    fn words(&self) -> Option<&str> {
        match self {
            Self::Words { text, .. } => Some(text),
            Self::Value(_) | Self::See(_) | Self::Link { .. } => None,
        }
    }

    /// Returns how this reads without its manner.
    fn plain(&self) -> &str {
        match self {
            Self::Words { text, .. } | Self::Link { text, .. } => text,
            Self::Value(_) | Self::See(_) => FILLED_IN,
        }
    }

    fn span(&self) -> Option<Span> {
        match self {
            Self::Words { span, .. } => Some(*span),
            Self::Link { target, .. } => Some(target.span),
            Self::Value(_) | Self::See(_) => None,
        }
    }

    fn target(&self) -> Option<&Placed<String>> {
        match self {
            Self::Link { target, .. } => Some(target),
            Self::Words { .. } | Self::Value(_) | Self::See(_) => None,
        }
    }

    /// Returns the value this names, if it names one.
    #[must_use]
    pub fn value(&self) -> Option<&Placed<Name>> {
        match self {
            Self::Value(name) => Some(name),
            Self::Words { .. } | Self::See(_) | Self::Link { .. } => None,
        }
    }
}

impl Inline {
    /// Returns the label this refers to, if it refers to one.
    #[must_use]
    pub fn reference(&self) -> Option<&Placed<Name>> {
        match self {
            Self::See(name) => Some(name),
            Self::Words { .. } | Self::Value(_) | Self::Link { .. } => None,
        }
    }
}

impl Step {
    /// Returns every value the step's sentences name, in reading order.
    #[must_use]
    pub fn values(&self) -> Vec<&Placed<Name>> {
        values(&self.blocks)
    }
}
