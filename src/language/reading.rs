//! What became of a sentence: its class, its actions, and what it might touch where that is not sure; it applies nothing.

use crate::base::text::Placed;
use crate::language::action::Action;
use crate::language::sentence::Sentence;
use std::fmt;

/// A sentence as it was read for one vocabulary.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SentenceRead {
    /// The sentence.
    pub sentence: Sentence,
    /// Made of the step's words up to and with this sentence, and stable over programs.
    pub key: String,
    /// How sure the reading is.
    pub class: Class,
    /// What it does; where it is uncertain, the likeliest, and nothing where it is not read.
    pub actions: Vec<Action>,
    /// Names of parts, openings, points and items it might move, whatever its class.
    pub touches: Vec<String>,
    /// Tools it asks for that no register knows.
    pub missing_tools: Vec<Placed<String>>,
    /// Names of tools and fluids it only mentions (`do not use L-02 here`).
    pub mentions: Vec<String>,
}

/// How sure a reading is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Class {
    /// Every verb and noun was found, and in one way.
    Read,
    /// Only listed verbs that move nothing, over listed nouns.
    MovesNothing,
    /// It can be read in more than one way; the author is asked once.
    Uncertain(Vec<Doubt>),
    /// It was not read.
    NotRead(Obstacle),
}

/// Why a reading is not sure.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Doubt {
    /// A pronoun that could stand for more than one thing, or reaches over a step.
    Pronoun(String),
    /// A name that fits several things of the registers.
    Name(String, Vec<String>),
    /// A verb with more than one meaning.
    Verb(String),
    /// A number that is not the number the machine has.
    Count(String, u32, u32),
    /// Words that may belong to the name before them, or change what is done or when.
    Words(String),
    /// An action with nothing it could be done to.
    NoObject(String),
}

/// What stopped the reader.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Obstacle {
    /// A verb that is not in the table.
    Verb(String),
    /// A noun that no register knows.
    Noun(String),
    /// No verb at all.
    NoVerb,
    /// A pronoun whose sentence was not read.
    Pronoun(String),
    /// More words and marks than a sentence has.
    Length(usize),
    /// A `{do ...}` that is no action, or names what is not there.
    Override(String),
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pronoun(word) => write!(f, "`{word}` may stand for more than one thing"),
            Self::Name(word, names) if names.is_empty() => write!(f, "it is not sure what `{word}` stands for"),
            Self::Name(word, names) if names == std::slice::from_ref(word) => {
                write!(f, "it is not sure that this is done to the `{word}` of the registers")
            }
            Self::Name(word, names) => write!(f, "`{word}` may be {}", names.join(" or ")),
            Self::Verb(verb) => write!(f, "`{verb}` has more than one meaning"),
            Self::Count(name, said, has) => write!(f, "it says {said} of `{name}`, the machine has {has}"),
            Self::Words(words) => write!(f, "`{words}` may change what is done, or to what"),
            Self::NoObject(verb) => write!(f, "it does not say what to {verb}"),
        }
    }
}

impl fmt::Display for Obstacle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Verb(verb) => write!(f, "the verb `{verb}` is not in the table of verbs"),
            Self::Noun(noun) => write!(f, "no register knows `{noun}`"),
            Self::NoVerb => f.write_str("it has no verb"),
            Self::Pronoun(word) => write!(f, "`{word}` stands for something in a sentence that was not read"),
            Self::Length(tokens) => write!(f, "it has {tokens} words and marks, more than any sentence"),
            Self::Override(why) => write!(f, "its `{{do ...}}` cannot be used: {why}"),
        }
    }
}

impl Class {
    /// Returns in plain words why a reading is not sure; nothing where it is.
    #[must_use]
    pub fn why(&self) -> Vec<String> {
        match self {
            Self::Read | Self::MovesNothing => Vec::new(),
            Self::Uncertain(doubts) => doubts.iter().map(ToString::to_string).collect(),
            Self::NotRead(obstacle) => vec![obstacle.to_string()],
        }
    }

    /// Returns whether what it might touch cannot be told without asking the author.
    #[must_use]
    pub fn is_open(&self) -> bool {
        matches!(self, Self::Uncertain(_) | Self::NotRead(_))
    }
}
