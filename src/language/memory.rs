//! What a step has said so far, for pronouns and for `new`; it reaches over no step and knows no machine.

use crate::language::listed::Talk;
use crate::language::reading::Doubt;
use std::collections::BTreeSet;

/// What a noun phrase stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// Nouns of the vocabulary; more than one where the registers share the words.
    Nouns(Vec<usize>),
    /// Words that select isolation points.
    Points,
    /// Procedure talk.
    Talk(Talk),
    /// A figure with its unit, or a number alone.
    Quantity,
    /// Nothing that is known.
    Unknown,
}

/// How many, as the words say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Said {
    /// `the nut`.
    Singular,
    /// `one nut`.
    One,
    /// `the nuts`.
    Plural,
    /// `two nuts`, `both nuts`.
    Number(u32),
    /// `each nut`, `all nuts`.
    Each,
}

/// A noun phrase.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "each is a word that was read, or was not")]
pub(super) struct Thing {
    /// What it stands for.
    pub(super) what: What,
    /// Its words without determiners and adjectives, in the singular.
    pub(super) words: String,
    /// How many.
    pub(super) said: Said,
    /// `new`.
    pub(super) is_new: bool,
    /// `old`, `existing`.
    pub(super) is_old: bool,
    /// `a nut`.
    pub(super) is_indefinite: bool,
    /// A side or property of the part, not the part.
    pub(super) is_feature: bool,
    /// Stands with a determiner of its own.
    pub(super) is_determined: bool,
    /// Stands behind `its` or `their`.
    pub(super) is_owned: bool,
    /// Came in as a pronoun.
    pub(super) is_pronoun: bool,
    /// Words that limit it to some (`of the left cover`), where the registers do not say that they do not.
    pub(super) limit: Option<Limit>,
    /// What makes its reading unsure.
    pub(super) doubts: Vec<Doubt>,
    /// First item, and first item behind it.
    pub(super) range: (usize, usize),
}

/// Words that may limit a thing to some of its kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Limit {
    /// The words.
    pub(super) words: String,
    /// The nouns they name; none where they name nothing.
    pub(super) nouns: Vec<usize>,
}

impl Thing {
    /// Returns a thing of which nothing is known but its place.
    pub(super) fn unknown(words: String, range: (usize, usize)) -> Self {
        Self {
            what: What::Unknown,
            words,
            said: Said::Singular,
            is_new: false,
            is_old: false,
            is_indefinite: false,
            is_feature: false,
            is_determined: false,
            is_owned: false,
            is_pronoun: false,
            limit: None,
            doubts: Vec::new(),
            range,
        }
    }

    /// Returns the nouns it may stand for.
    pub(super) fn nouns(&self) -> &[usize] {
        match &self.what {
            What::Nouns(nouns) => nouns,
            _ => &[],
        }
    }

    /// Returns whether it is procedure talk of this kind.
    pub(super) fn is_talk(&self, talk: Talk) -> bool {
        self.what == What::Talk(talk)
    }
}

/// How far what a pronoun stands for can be trusted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Trust {
    /// Nothing was named in this step.
    #[default]
    Start,
    /// The last object is known.
    Known,
    /// The last object is not sure.
    Doubtful,
    /// A sentence was not read.
    Poisoned,
}

/// What a step has said so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Memory {
    /// The last direct objects.
    pub(super) last: Vec<Thing>,
    /// How far they can be trusted.
    pub(super) trust: Trust,
    /// Nouns that were called new.
    pub(super) new: BTreeSet<usize>,
    /// Nouns that this step took off.
    pub(super) off: BTreeSet<usize>,
    /// Nouns that this step fitted.
    pub(super) on: BTreeSet<usize>,
    /// Nouns that this step threw away.
    pub(super) discarded: BTreeSet<usize>,
    /// True after a sentence under a condition.
    pub(super) is_after_condition: bool,
    /// What the last open sentence might have touched.
    pub(super) touched: Vec<String>,
}
