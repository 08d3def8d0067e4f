//! Effectivity as written (`size 2 to 4 and seal S`); it decides nothing, the analysis does.

use crate::base::finding::Finding;
use crate::base::name::Name;
use crate::base::rule::EFFECTIVITY_SYNTAX;
use crate::base::text::{Placed, Span};

/// The word that stands for the machine's own tag where an option's name may stand.
pub const TAG_OPTION: &str = "tag";

/// What something applies to: every term must hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Only {
    /// The terms; never empty.
    pub terms: Vec<Term>,
    /// Where it is written.
    pub span: Span,
    /// The words as written, for print.
    pub words: String,
}

/// One option and the values it may have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// The option, or [`TAG_OPTION`].
    pub option: Name,
    /// The test of its value.
    pub test: Test,
}

/// A test of an option's value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Test {
    /// One of these.
    Among(Vec<String>),
    /// None of these.
    NotAmong(Vec<String>),
    /// From the first to the second, both included, in the order the family declares.
    FromTo(String, String),
}

impl Test {
    /// Returns the option values the test names.
    pub fn values(&self) -> impl Iterator<Item = &str> {
        let (list, pair) = match self {
            Self::Among(values) | Self::NotAmong(values) => (values.as_slice(), None),
            Self::FromTo(first, last) => (&[][..], Some([first, last])),
        };
        list.iter().chain(pair.into_iter().flatten()).map(String::as_str)
    }
}

/// Reads an effectivity.
///
/// # Errors
/// A finding at its place where a term has no value or no option.
pub fn parse(text: &Placed<String>) -> Result<Only, Box<Finding>> {
    let terms = text.value.split(" and ").map(term).collect::<Option<Vec<_>>>();
    let words = text.value.split_whitespace().collect::<Vec<_>>().join(" ");
    terms.map(|terms| Only { terms, span: text.span, words }).ok_or_else(|| {
        let message = format!("`{}` does not say to what it applies", text.value);
        Box::new(
            Finding::error(EFFECTIVITY_SYNTAX, message)
                .at(text.span)
                .floor("a step might stand on the wrong machine's card")
                .help("write an option and its values: `size 2, 3` or `size not 1` or `size 2 to 4 and seal S`"),
        )
    })
}

fn term(text: &str) -> Option<Term> {
    let (option, rest) = text.trim().split_once(' ')?;
    let (negated, rest) = rest.trim().strip_prefix("not ").map_or((false, rest.trim()), |rest| (true, rest.trim()));
    let values: Vec<String> = rest.split(',').map(|value| value.trim().to_owned()).collect();
    if values.iter().any(String::is_empty) {
        return None;
    }
    let first_and_last = rest.split_once(" to ").filter(|_| values.len() == 1 && !negated);
    Some(Term {
        option: Name::new(option),
        test: match first_and_last {
            Some((first, last)) => Test::FromTo(first.trim().to_owned(), last.trim().to_owned()),
            None if negated => Test::NotAmong(values),
            None => Test::Among(values),
        },
    })
}
