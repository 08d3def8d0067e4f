//! The sentences of a procedure as they are read for their wording, each with its kind and its machines; it judges none.

use crate::analysis::effectivity;
use crate::base::finding::Finding;
use crate::base::name::{Name, Tag};
use crate::base::quantity::Unit;
use crate::base::text::{Placed, Span};
use crate::language::sentence::{self, Sentence, TokenKind};
use crate::model::binder::Binder;
use crate::model::family::Family;
use crate::model::fleet::Machine;
use crate::model::only::Only;
use crate::model::procedure::{Block, Inline, Procedure, Step};
use crate::model::prose::Prose;
use std::ops::Range;

/// A procedure as its sentences.
#[derive(Debug)]
pub struct Writing<'b> {
    /// The binder.
    pub binder: &'b Binder,
    /// The procedure.
    pub procedure: &'b Procedure,
    /// Its family; none where the binder does not have it.
    pub family: Option<&'b Family>,
    /// The machines it is for.
    pub machines: Vec<&'b Machine>,
    /// Its sentences: the front matter first, then notes and steps in reading order.
    pub sayings: Vec<Saying<'b>>,
}

/// A sentence of a procedure.
#[derive(Clone, Debug)]
pub struct Saying<'b> {
    /// What it is part of.
    pub place: Place,
    /// The step it stands in; none for notes and the front matter.
    pub step: Option<&'b Step>,
    /// The name of the reading or hold it belongs to; none for others.
    pub about: Option<&'b Placed<Name>>,
    /// For which machines it is said; none for all.
    pub only: Option<&'b Only>,
    /// The sentence.
    pub sentence: Sentence,
    /// One word for each token, in small letters; a value reads [`VALUE`], a reference [`REFERENCE`].
    pub words: Vec<String>,
}

/// What a value reads as among the words of a sentence.
pub const VALUE: &str = "{}";
/// What a reference to a step reads as among the words of a sentence.
pub const REFERENCE: &str = "{see}";

/// What a sentence is part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// A paragraph of a step.
    Step,
    /// An item of a list in a step.
    Item,
    /// A cell of a table in a step or note.
    Cell,
    /// A note before the first step of a stage.
    Note,
    /// What is true afterwards.
    Purpose,
    /// What is not covered.
    NotCovered,
    /// A precaution.
    Precaution,
    /// What must be so before the first step.
    Prerequisite,
    /// The hazard of a caution.
    Hazard,
    /// The consequence of a caution.
    Consequence,
    /// How a caution is avoided.
    Avoid,
    /// The limit of a reading.
    Limit,
    /// What to do outside the limit of a reading.
    Outside,
    /// What is verified at a hold.
    Verify,
}

impl Place {
    /// Returns whether its sentences tell somebody what to do, rather than how something is.
    #[must_use]
    pub fn instructs(self) -> bool {
        matches!(self, Self::Step | Self::Item | Self::Avoid | Self::Outside)
    }

    /// Returns whether a figure, limit or condition in it is worked to.
    #[must_use]
    pub fn is_worked_to(self) -> bool {
        matches!(
            self,
            Self::Step
                | Self::Item
                | Self::Cell
                | Self::Note
                | Self::Avoid
                | Self::Limit
                | Self::Outside
                | Self::Verify
        )
    }
}

/// Returns a procedure as its sentences.
#[must_use]
pub fn of<'b>(binder: &'b Binder, procedure: &'b Procedure) -> Writing<'b> {
    let mut sayings = Vec::new();
    front_matter(procedure, &mut sayings);
    for stage in &procedure.stages {
        blocks(&stage.notes, Place::Note, None, &mut sayings);
        for step in &stage.steps {
            blocks(&step.blocks, Place::Step, Some(step), &mut sayings);
        }
    }
    Writing {
        binder,
        procedure,
        family: binder.family(&procedure.family.value),
        machines: effectivity::scope(binder, procedure),
        sayings,
    }
}

/// Returns whether the procedure is written in English.
#[must_use]
pub fn is_english(binder: &Binder, procedure: &Procedure) -> bool {
    let language = language(binder, procedure).to_lowercase();
    language.split(['-', '_']).next() == Some("en")
}

/// Returns the language a procedure is written in.
#[must_use]
pub fn language<'b>(binder: &'b Binder, procedure: &'b Procedure) -> &'b str {
    let own = procedure.language.trim();
    if own.is_empty() { binder.settings.language.trim() } else { own }
}

fn front_matter<'b>(procedure: &'b Procedure, sayings: &mut Vec<Saying<'b>>) {
    let mut say = |place, prose: &Prose, about, only| {
        sayings.extend(sentence::of_prose(prose).into_iter().map(|own| Saying::new(place, None, about, only, own)));
    };
    say(Place::Purpose, &procedure.purpose, None, None);
    let lists = [
        (Place::NotCovered, &procedure.not_covered),
        (Place::Precaution, &procedure.precautions),
        (Place::Prerequisite, &procedure.prerequisites),
    ];
    for (place, proses) in lists {
        for prose in proses {
            say(place, prose, None, None);
        }
    }
    for caution in &procedure.cautions {
        let only = caution.only.as_ref();
        say(Place::Hazard, &caution.hazard, None, only);
        say(Place::Consequence, &caution.consequence, None, only);
        say(Place::Avoid, &caution.avoid, None, only);
    }
    for reading in &procedure.readings {
        let (about, only) = (Some(&reading.name), reading.only.as_ref());
        reading.limit.iter().for_each(|limit| say(Place::Limit, limit, about, only));
        reading.outside.iter().for_each(|outside| say(Place::Outside, outside, about, only));
    }
    for hold in &procedure.holds {
        say(Place::Verify, &hold.verify, None, hold.only.as_ref());
    }
}

fn blocks<'b>(blocks_here: &'b [Block], place: Place, step: Option<&'b Step>, sayings: &mut Vec<Saying<'b>>) {
    for block in blocks_here {
        match block {
            Block::Paragraph(own) => line(own, place, step, sayings),
            Block::List(items) => {
                let place = if place == Place::Step { Place::Item } else { place };
                for item in items {
                    blocks(item, place, step, sayings);
                }
            }
            Block::Table { head, rows } => {
                let cells = head.iter().chain(rows.iter().flatten());
                cells.for_each(|cell| line(cell, Place::Cell, step, sayings));
            }
            Block::Figure { .. } => {}
        }
    }
}

fn line<'b>(inlines: &[Inline], place: Place, step: Option<&'b Step>, sayings: &mut Vec<Saying<'b>>) {
    let only = step.and_then(|step| step.only.as_ref());
    sayings.extend(sentence::of_line(inlines).into_iter().map(|own| Saying::new(place, step, None, only, own)));
}

impl Writing<'_> {
    /// Returns the tags a sentence is said to.
    #[must_use]
    pub fn tags(&self, saying: &Saying<'_>) -> Vec<Tag> {
        self.machines_of(saying.only).iter().map(|machine| machine.tag.value.clone()).collect()
    }

    /// Returns the machines of the procedure for which `only` holds.
    #[must_use]
    pub fn machines_of(&self, only: Option<&Only>) -> Vec<&Machine> {
        let Some(family) = self.family else { return Vec::new() };
        self.machines.iter().copied().filter(|machine| effectivity::applies(only, family, machine)).collect()
    }

    /// Returns a finding with the document and the tags its sentence is said to.
    #[must_use]
    pub fn told(&self, saying: &Saying<'_>, finding: Finding) -> Finding {
        finding.document(&self.procedure.document.value).tags(self.tags(saying))
    }
}

impl<'b> Saying<'b> {
    fn new(
        place: Place,
        step: Option<&'b Step>,
        about: Option<&'b Placed<Name>>,
        only: Option<&'b Only>,
        sentence: Sentence,
    ) -> Self {
        let words = sentence.tokens.iter().map(|token| folded(&token.kind)).collect();
        Self { place, step, about, only, sentence, words }
    }

    /// Returns the first of some phrases that the sentence holds word for word, and where.
    #[must_use]
    pub fn find(&self, phrases: &[&'static str]) -> Option<(&'static str, Range<usize>)> {
        (0..self.words.len()).find_map(|at| {
            let longest = phrases.iter().filter_map(|phrase| self.stands_at(at, phrase).map(|end| (*phrase, at..end)));
            longest.max_by_key(|(_, range)| range.end)
        })
    }

    /// Returns the end of a phrase that begins at token `at`.
    #[must_use]
    pub fn stands_at(&self, at: usize, phrase: &str) -> Option<usize> {
        let mut end = at;
        for word in phrase.split(' ') {
            if self.words.get(end).is_none_or(|own| own != word) {
                return None;
            }
            end += 1;
        }
        Some(end)
    }

    /// Returns the word of the token at `at`; empty beyond the end.
    #[must_use]
    pub fn word(&self, at: usize) -> &str {
        self.words.get(at).map_or("", String::as_str)
    }

    /// Returns whether the sentence holds one of some words.
    #[must_use]
    pub fn has(&self, words: &[&str]) -> bool {
        self.words.iter().any(|word| words.contains(&word.as_str()))
    }

    /// Returns the number at a token, as written.
    #[must_use]
    pub fn number(&self, at: usize) -> Option<&str> {
        match &self.sentence.tokens.get(at)?.kind {
            TokenKind::Number(number) => Some(number),
            _ => None,
        }
    }

    /// Returns whether a mark or nothing stands at a token.
    #[must_use]
    pub fn is_mark(&self, at: usize) -> bool {
        self.sentence.tokens.get(at).is_none_or(|token| matches!(token.kind, TokenKind::Mark(_)))
    }

    /// Returns whether the token at `at` touches the one before it.
    #[must_use]
    pub fn touches_before(&self, at: usize) -> bool {
        let tokens = &self.sentence.tokens;
        at > 0 && tokens.get(at).is_some_and(|token| tokens[at - 1].span.end == token.span.start)
    }

    /// Returns the unit that stands at a token behind a number.
    ///
    /// `in` is a unit only where no noun comes after it: `2 in the bore` are two of something.
    #[must_use]
    pub fn unit(&self, at: usize) -> Option<Unit> {
        let TokenKind::Word(word) = &self.sentence.tokens.get(at)?.kind else { return None };
        let unit = Unit::parse(word)?;
        let is_preposition = matches!(word.as_str(), "in" | "a") && !self.is_mark(at + 1);
        (!is_preposition).then_some(unit)
    }

    /// Returns where some tokens stand.
    #[must_use]
    pub fn span(&self, range: Range<usize>) -> Span {
        let tokens = self.sentence.tokens.get(range).unwrap_or_default();
        match (tokens.first(), tokens.last()) {
            (Some(first), Some(last)) => Span { end: last.span.end.max(first.span.end), ..first.span },
            _ => self.sentence.span,
        }
    }

    /// Returns some tokens as they are written.
    #[must_use]
    pub fn shown(&self, range: Range<usize>) -> String {
        let mut text = String::new();
        for at in range {
            let Some(token) = self.sentence.tokens.get(at) else { break };
            if !text.is_empty() && !self.touches_before(at) {
                text.push(' ');
            }
            text.push_str(&written(&token.kind));
        }
        text
    }
}

fn written(kind: &TokenKind) -> String {
    match kind {
        TokenKind::Word(text) | TokenKind::Number(text) => text.clone(),
        TokenKind::Value(name) => format!("{{{name}}}"),
        TokenKind::See(name) => format!("{{see {name}}}"),
        TokenKind::Mark(mark) => mark.to_string(),
    }
}

fn folded(kind: &TokenKind) -> String {
    match kind {
        TokenKind::Word(text) => text.to_lowercase(),
        TokenKind::Number(text) => text.clone(),
        TokenKind::Value(_) => VALUE.to_owned(),
        TokenKind::See(_) => REFERENCE.to_owned(),
        TokenKind::Mark(mark) => mark.to_string(),
    }
}

/// Returns the first sentence of a text as one of a step, for the tests of the rules.
#[cfg(test)]
pub(crate) fn said(text: &str) -> Saying<'static> {
    use crate::base::path::BinderPath;
    use crate::base::text::Texts;
    let file = Texts::default().add(BinderPath::parse("a.md").expect("a plain name"), text.to_owned());
    let (prose, _) = Prose::read(&Placed::new(text.to_owned(), Span::new(file, 0, text.len())));
    let sentence = sentence::of_prose(&prose).into_iter().next().expect("a sentence");
    Saying::new(Place::Step, None, None, None, sentence)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_phrase_of_the_first_place_is_found() {
        let saying = said("Fit it as good as it is in good condition.");
        let (phrase, range) = saying.find(&["good", "in good", "in good condition"]).expect("it is there");
        assert_eq!((phrase, saying.shown(range)), ("good", "good".to_owned()));
        let (phrase, range) = saying.find(&["in good", "in good condition"]).expect("it is there");
        assert_eq!((phrase, saying.shown(range)), ("in good condition", "in good condition".to_owned()));
        assert_eq!(saying.find(&["bad"]), None);
    }

    #[test]
    fn in_is_a_unit_where_nothing_is_inside_of_anything() {
        let symbol = |text, at| said(text).unit(at).map(Unit::symbol);
        assert_eq!(symbol("Set it to 0.5 in.", 4), Some("in"));
        assert_eq!(symbol("Fit 2 in the bore.", 2), None);
        assert_eq!(symbol("Set it to 5 Nm now.", 4), Some("N·m"));
    }
}
