//! The names a sentence may use on one machine, as the registers give them; it knows no register and no grammar.

/// A name and what it stands for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Noun {
    /// The register's name, or a value in braces.
    pub name: String,
    /// What it is.
    pub kind: NounKind,
    /// Declared synonyms.
    pub also: Vec<String>,
    /// How many the machine has; none where that is no question.
    pub count: Option<u32>,
    /// The part it belongs to; empty for none.
    pub of: String,
}

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NounKind {
    /// A part.
    Part,
    /// A drain, vent or cover.
    Opening,
    /// Something put in for the job.
    Temporary,
    /// An isolation point; its synonyms are boundary and kind in words (`product in valve`).
    Point,
    /// A tool, torque tool or instrument.
    Tool,
    /// A fluid.
    Fluid,
    /// A value that is a number, range or text.
    Value,
    /// The machine itself.
    Machine,
    /// A boundary, or one of its synonyms (`cold side`).
    Boundary,
    /// A reading.
    Reading,
    /// A noun that moves nothing.
    Inert,
}

/// Every name a sentence may use on one machine; two machines with equal vocabularies read every sentence alike.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Vocabulary {
    /// The nouns, in the order of the registers.
    pub nouns: Vec<Noun>,
}
