//! What a verb does and what its object, `with` and `to` are to it; it refuses a verb with two meanings in force.

use crate::language::action::Act;
use crate::language::inflect::{Form, forms};
use crate::language::verb_table::TABLE;
use crate::model::verbs::PlantVerb;
use std::collections::HashMap;

/// What a verb does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// One act, done to its object; a tool or a companion stands after `with`, a value or a place after `to`.
    Act(Act),
    /// A fluid goes onto a part: `apply FLUID to PART`, or `coat PART with FLUID`.
    Fluid,
    /// Off or on, as a word of direction says (`slide it off`, `slide it onto the shaft`).
    Directional,
    /// Put somewhere: the place decides whether a thing is fitted, or only laid down.
    Rest,
    /// What stands after `with` is put in, and the object is the place (`plug the port with a bung`).
    PlaceWith,
    /// What stands after `with` holds the object (`secure the lid with two clips`).
    FastenWith,
    /// Old off and new on.
    Renew,
    /// More than one meaning in the trade; the act is the likeliest.
    Ambiguous(Act),
    /// Moves nothing, and is not worth a word.
    Neutral,
    /// Lets another thing happen (`let it run`).
    Causative,
    /// Back to stores, or back to its place, as what follows says.
    Return,
    /// `turn`: turned, or switched with `on` and `off`.
    Spin,
    /// `set`: set to a value, or put somewhere.
    Put,
    /// Tried (`try to start the motor`).
    Try,
}

impl Sense {
    /// Returns the act it comes to in most sentences; none where the rest of the sentence decides.
    #[must_use]
    pub fn act(self) -> Option<Act> {
        match self {
            Self::Act(act) | Self::Ambiguous(act) => Some(act),
            Self::Fluid => Some(Act::Apply),
            Self::PlaceWith => Some(Act::Place),
            Self::Spin => Some(Act::Turn),
            Self::Put => Some(Act::Set),
            Self::Try => Some(Act::Try),
            Self::Directional | Self::Rest | Self::FastenWith | Self::Renew | Self::Neutral | Self::Causative | Self::Return => None,
        }
    }

    /// Returns whether doing it may change what is on, open, locked, in or running.
    #[must_use]
    pub fn may_move(self) -> bool {
        match self {
            Self::Act(act) => act.moves(),
            Self::Ambiguous(act) => act.moves() || act == Act::Turn,
            Self::Neutral | Self::Try | Self::Spin => false,
            _ => true,
        }
    }
}

/// A verb in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verb {
    /// Its words in the form of an order (`take off`).
    pub words: String,
    /// What it does.
    pub sense: Sense,
    /// What else it does where the plant and the table disagree; such a verb is asked about.
    pub disputed: Option<Act>,
}

/// A verb of the plant that gives a verb of the table, which has one meaning, another one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The verb.
    pub verb: String,
    /// What the table says.
    pub built_in: Sense,
    /// What the plant says.
    pub plant: Act,
}

/// The verbs a sentence may use.
#[derive(Clone, Debug)]
pub struct Verbs {
    table: Vec<Verb>,
    /// By first word as written: the form, and the verbs that begin so, longest first.
    first: HashMap<String, Vec<(Form, usize)>>,
    /// By all words in the form of an order.
    whole: HashMap<String, usize>,
    conflicts: Vec<Conflict>,
}

impl Default for Verbs {
    fn default() -> Self {
        Self::new()
    }
}

impl Verbs {
    /// Returns the verbs of the trade.
    #[must_use]
    pub fn new() -> Self {
        Self::with(&[])
    }

    /// Returns the verbs of the trade and of the plant.
    ///
    /// A verb of the plant may settle one that the trade uses in more than one way. Where it gives another meaning to a verb
    /// that has one, both are kept and the sentence is asked about.
    #[must_use]
    pub fn with(plant: &[PlantVerb]) -> Self {
        let entries = TABLE.iter().flat_map(|(sense, words)| words.split(',').map(move |words| (words.trim(), *sense)));
        let mut conflicts = Vec::new();
        let mut table: Vec<Verb> = Vec::new();
        let mut whole: HashMap<String, usize> = HashMap::new();
        for (words, sense) in entries {
            whole.entry(words.to_owned()).or_insert(table.len());
            table.push(Verb { words: words.to_owned(), sense, disputed: None });
        }
        for own in plant {
            let (Some(act), words) = (Act::from_word(own.means.value.trim()), own.verb.value.folded()) else {
                continue;
            };
            if let Some(at) = whole.get(words) {
                conflicts.extend(settle(&mut table[*at], act));
                continue;
            }
            whole.insert(words.to_owned(), table.len());
            table.push(Verb { words: words.to_owned(), sense: Sense::Act(act), disputed: None });
        }
        Self::indexed(table, conflicts)
    }

    /// Returns verbs in an order in which the longest of those that begin alike comes first.
    fn indexed(mut table: Vec<Verb>, conflicts: Vec<Conflict>) -> Self {
        table.sort_by_key(|verb| std::cmp::Reverse(verb.words.split(' ').count()));
        let mut verbs = Self { table, first: HashMap::new(), whole: HashMap::new(), conflicts };
        for (at, verb) in verbs.table.iter().enumerate() {
            verbs.whole.insert(verb.words.clone(), at);
            for (form, spelled) in forms(verb.words.split(' ').next().unwrap_or_default()) {
                verbs.first.entry(spelled).or_default().push((form, at));
            }
        }
        verbs
    }

    /// Returns the verbs of the plant that contradict the table.
    #[must_use]
    pub fn conflicts(&self) -> &[Conflict] {
        &self.conflicts
    }

    /// Returns how many verbs there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.table.len()
    }

    /// Returns whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.table.is_empty()
    }

    /// Returns the verb of these words in the form of an order.
    #[must_use]
    pub fn named(&self, words: &str) -> Option<&Verb> {
        self.whole.get(words).map(|at| &self.table[*at])
    }

    /// Returns the verbs that begin with this word as written, longest first, with the form the word is in.
    pub(super) fn beginning(&self, word: &str) -> impl Iterator<Item = (Form, &Verb)> {
        self.first.get(word).into_iter().flatten().map(|(form, at)| (*form, &self.table[*at]))
    }
}

/// Gives a verb of the table the plant's meaning where it had more than one; else tells the conflict.
fn settle(verb: &mut Verb, act: Act) -> Option<Conflict> {
    match verb.sense {
        Sense::Act(own) if own == act => None,
        Sense::Ambiguous(_) | Sense::Renew | Sense::Directional | Sense::FastenWith => {
            verb.sense = Sense::Act(act);
            None
        }
        built_in => {
            verb.disputed = Some(act);
            Some(Conflict { verb: verb.words.clone(), built_in, plant: act })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::name::Name;
    use crate::base::path::BinderPath;
    use crate::base::text::{Placed, Span, Texts};

    fn plant(verb: &str, means: &str) -> PlantVerb {
        let mut texts = Texts::default();
        let span = Span::new(texts.add(BinderPath::parse("verbs.yaml").expect("a plain name"), String::new()), 0, 0);
        PlantVerb { verb: Placed::new(Name::new(verb), span), means: Placed::new(means.to_owned(), span) }
    }

    #[test]
    fn no_verb_stands_in_the_table_twice() {
        let mut seen = std::collections::BTreeSet::new();
        for words in TABLE.iter().flat_map(|(_, words)| words.split(',')) {
            assert!(seen.insert(words.trim()), "`{}` has two meanings", words.trim());
        }
        assert!(seen.len() > 400);
    }

    #[test]
    fn a_plant_adds_verbs_and_settles_ambiguous_ones() {
        let verbs = Verbs::with(&[plant("Ship", "on"), plant("replace", "new")]);
        assert_eq!(verbs.named("ship").expect("added").sense, Sense::Act(Act::On));
        assert_eq!(verbs.named("replace").expect("built in").sense, Sense::Act(Act::New));
        assert!(verbs.conflicts().is_empty());
    }

    #[test]
    fn a_plant_that_contradicts_the_table_is_told() {
        let verbs = Verbs::with(&[plant("remove", "on"), plant("fit", "on")]);
        let conflict = Conflict { verb: "remove".to_owned(), built_in: Sense::Act(Act::Off), plant: Act::On };
        assert_eq!(verbs.conflicts(), [conflict]);
        assert_eq!(verbs.named("remove").expect("built in").disputed, Some(Act::On));
    }
}
