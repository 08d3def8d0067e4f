//! Noun phrases: determiners, numbers, names, `of`, shared heads and pronouns; it knows no verb's meaning.

use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::matching::FoundWhat;
use crate::language::memory::{Limit, Said, Thing, Trust, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::{Doubt, Obstacle};

/// What stands before a name.
#[derive(Default)]
struct Before {
    said: Option<Said>,
    is_new: bool,
    is_old: bool,
    is_indefinite: bool,
    is_determined: bool,
    is_owned: bool,
    /// The first word that picks some out (`remaining`, `upper`).
    picks: Option<String>,
    /// A size before the name (`12 mm`).
    size: Option<String>,
    /// True where a number limits a part of them (`two of the nuts`).
    is_share: bool,
}

impl Parser<'_> {
    /// Reads a list of noun phrases; empty where none begins at `at`.
    pub(super) fn things(&mut self, at: usize) -> (Vec<Thing>, usize) {
        let at_first = at;
        let Some((mut things, mut at)) = self.thing(at) else { return (Vec::new(), at) };
        let mut is_or = false;
        while let Some(next) = self.after_list_mark(at) {
            let Some((more, end)) = self.thing_after(next, &things) else { break };
            is_or |= self.says(next - 1, "or") || self.says(next - 1, "and/or");
            things.extend(more);
            at = end;
        }
        self.share_heads(&mut things);
        if let [first, _] = &mut things[..]
            && first.said == Said::Number(2)
            && self.says(at_first, "both")
            && self.item(first.range.1 - 1).is_some_and(|item| !item.is_plural)
        {
            // `both the rotor and the key`: one of each.
            first.said = Said::Singular;
        }
        if is_or {
            let words = format!("or {}", things.last().map_or("", |thing| thing.words.as_str()));
            if let Some(first) = things.first_mut() {
                first.doubts.push(Doubt::Words(words));
            }
        }
        (things, at)
    }

    /// Returns where the next of a list begins, if the list goes on at `at`.
    fn after_list_mark(&self, at: usize) -> Option<usize> {
        let mut next = at;
        let mut has_mark = false;
        if self.is_mark(next, ',') {
            next += 1;
            has_mark = true;
        }
        let joins = ["and", "or", "&", "plus", "and/or"].into_iter().any(|word| self.says(next, word))
            || self.is_mark(next, '&');
        if joins {
            next += 1;
            has_mark = true;
        } else if self.is_phrase {
            // `on the shaft along with the key`: the key goes with the object, not with the shaft.
        } else if self.says_all(next, "together with")
            || self.says_all(next, "along with")
            || self.says_all(next, "complete with")
        {
            next += 2;
            has_mark = true;
        } else if self.says_all(next, "as well as") {
            next += 3;
            has_mark = true;
        }
        if has_mark && self.says(next, "then") && self.is(next + 1, role::DETERMINER | role::QUANTIFIER) {
            next += 1;
        }
        if has_mark && self.says(next, "also") {
            next += 1;
        }
        let does = self.verb_at(next, &[Form::Gerund]).is_some() && self.found(next).is_none();
        let ends = self.item(next).is_none()
            || (!self.is_subject && self.starts_clause(next))
            || self.is_next_third(next)
            || self.manner_end(next).is_some()
            || does;
        (has_mark && !ends && self.may_name(next)).then_some(next)
    }

    /// Returns whether a noun phrase may begin at `at`.
    pub(super) fn may_name(&self, at: usize) -> bool {
        let Some(item) = self.item(at) else { return false };
        if self.found(at).is_some() {
            return true;
        }
        let begins = role::DETERMINER
            | role::QUANTIFIER
            | role::POSSESSIVE
            | role::PRONOUN
            | role::ADJECTIVE
            | role::NEW
            | role::SELECTIVE;
        let ends = role::PREPOSITION
            | role::CONJUNCTION
            | role::PARTICLE
            | role::AUXILIARY
            | role::NEGATION
            | role::SUBORDINATOR
            | role::ADVERB
            | role::SEQUENCE;
        match item.kind {
            Kind::Value | Kind::Number => true,
            Kind::See | Kind::Mark(_) => false,
            Kind::Word => item.is(begins) || item.number.is_some() || !item.is(ends),
        }
    }

    /// Reads one noun phrase; a pronoun may stand for several things.
    fn thing(&mut self, at: usize) -> Option<(Vec<Thing>, usize)> {
        if !self.may_name(at) {
            return None;
        }
        if let Some(end) = self.pronoun_end(at) {
            return Some((self.pronoun(at, end), end));
        }
        let (before, core) = self.before(at);
        let (mut thing, end) = self.core(core, &before)?;
        thing.range.0 = at;
        if before.is_owned {
            self.owned_by_last(&mut thing);
        }
        Some(self.after(thing, end))
    }

    /// Reads what stands before a name.
    fn before(&self, mut at: usize) -> (Before, usize) {
        let mut before = Before::default();
        loop {
            let Some(item) = self.item(at) else { return (before, at) };
            let found = self.found(at).map_or(0, |found| found.length);
            let is_small = item.roles != 0 || item.number.is_some();
            if found > 1 || (found == 1 && (!is_small || !self.may_be_core(at + 1))) {
                return (before, at);
            }
            let is_word = matches!(item.kind, Kind::Word | Kind::Number);
            if !is_word || !is_small {
                return (before, at);
            }
            if item.is(role::DETERMINER) || item.is(role::POSSESSIVE) {
                before.is_indefinite |= item.says("a") || item.says("an") || item.says("some") || item.says("any");
                before.is_owned |= item.is(role::POSSESSIVE);
                before.is_determined = true;
                if item.says("any") || item.says("some") || item.says("such") {
                    before.picks.get_or_insert_with(|| item.text.clone());
                }
                at += 1;
            } else if item.is(role::QUANTIFIER) {
                before.said = Some(if item.says("both") { Said::Number(2) } else { Said::Each });
                before.is_determined = true;
                at = self.after_of(at + 1);
            } else if item.number.is_some() && self.is(at + 1, role::UNIT) && self.may_be_core(at + 2) {
                before.size = Some(self.written(at, at + 2));
                at += 2;
            } else if let Some(number) = item.number {
                before.said = Some(if number == 1 { Said::One } else { Said::Number(number) });
                before.is_determined = true;
                let after = self.after_of(at + 1);
                before.is_share |= after > at + 1;
                at = after;
            } else if item.is(role::NEW) {
                before.is_new = true;
                at += 1;
            } else if item.is(role::ADJECTIVE) {
                before.is_old |= matches!(item.text.as_str(), "old" | "existing" | "original" | "used" | "same");
                let joins =
                    self.is(at + 1, role::CONJUNCTION) && self.is(at + 2, role::ADJECTIVE) && self.may_be_core(at + 3);
                at += if joins { 2 } else { 1 };
            } else if item.is(role::SELECTIVE) {
                before.picks.get_or_insert_with(|| item.text.clone());
                at = self.after_of(at + 1);
            } else {
                return (before, at);
            }
            for (noun, number) in [("pair", Some(2)), ("set", None)] {
                if self.says(at, noun) && self.says(at + 1, "of") {
                    before.said = number.map(Said::Number).or(before.said);
                    at = self.after_of(at + 1);
                }
            }
        }
    }

    /// Returns `at` moved over `of the`.
    fn after_of(&self, at: usize) -> usize {
        match () {
            () if self.says(at, "of") && self.is(at + 1, role::DETERMINER) => at + 2,
            () if self.says(at, "of") && self.may_name(at + 1) => at + 1,
            () => at,
        }
    }

    /// Returns whether a name may still come at `at`, behind a word that may also be one.
    fn may_be_core(&self, at: usize) -> bool {
        let Some(item) = self.item(at) else { return false };
        let ends = role::PREPOSITION
            | role::CONJUNCTION
            | role::PARTICLE
            | role::AUXILIARY
            | role::NEGATION
            | role::SUBORDINATOR;
        matches!(item.kind, Kind::Word | Kind::Number)
            && !item.is(ends)
            && !(item.is(role::ADVERB) && self.found(at).is_none())
    }

    /// Reads the name itself.
    fn core(&mut self, at: usize, before: &Before) -> Option<(Thing, usize)> {
        if let Some(end) = self.quantity_end(at, before) {
            let mut thing =
                Thing::unknown(self.written(at.saturating_sub(usize::from(before.said.is_some())), end), (at, end));
            thing.what = What::Quantity;
            return Some((thing, end));
        }
        let (mut thing, end) = match self.found(at) {
            Some(found) => self.known(at, at + found.length, &found.what),
            None => self.unknown(at)?,
        };
        let last = self.item(end - 1);
        let is_plural = last.is_some_and(|item| item.is_plural);
        thing.said = match before.said {
            Some(said) => said,
            None if is_plural => Said::Plural,
            None => Said::Singular,
        };
        thing.is_owned = before.is_owned;
        thing.is_new |= before.is_new;
        thing.is_old = before.is_old;
        thing.is_indefinite = before.is_indefinite;
        thing.is_determined = before.is_determined;
        if let Some(picks) = &before.picks {
            thing.doubts.push(Doubt::Words(picks.clone()));
        }
        let is_sized = thing.nouns().iter().any(|at| self.lexicon.noun(*at).kind != NounKind::Tool);
        if let (Some(size), true) = (&before.size, is_sized) {
            thing.doubts.push(Doubt::Words(size.clone()));
        }
        if before.is_share {
            thing.doubts.push(Doubt::Words(self.words(at.saturating_sub(2), end)));
        }
        Some((thing, end))
    }

    /// Returns the end of a number with its unit, where no name follows.
    fn quantity_end(&self, at: usize, before: &Before) -> Option<usize> {
        let has_number = matches!(before.said, Some(Said::Number(_) | Said::One));
        if has_number && !before.is_share {
            if self.is(at, role::UNIT) && !self.may_be_core(at + 1) && !self.is_noun(at) {
                return Some(at + 1);
            }
            if !self.may_be_core(at) && self.item(at).is_none_or(|item| item.kind != Kind::Value) {
                return Some(at);
            }
        }
        let item = self.item(at)?;
        if item.kind == Kind::Number && item.number.is_none() {
            return Some(if self.is(at + 1, role::UNIT) { at + 2 } else { at + 1 });
        }
        None
    }

    /// Reads a name that was found, and the sides and properties behind it.
    fn known(&mut self, at: usize, end: usize, what: &FoundWhat) -> (Thing, usize) {
        let mut thing = Thing::unknown(self.name_words(at, end), (at, end));
        thing.what = match what {
            FoundWhat::Nouns(nouns) => What::Nouns(nouns.clone()),
            FoundWhat::Talk(talk) => What::Talk(*talk),
        };
        let mut end = end;
        while self.may_extend(end) {
            match self.found(end) {
                Some(found) => {
                    let next = end + found.length;
                    if !self.joins(&mut thing, &found.what, (end, next)) {
                        return self.swallow(at, next);
                    }
                    end = next;
                }
                None => return self.swallow(at, end),
            }
        }
        (thing, end)
    }

    /// Joins a name to the one before it; false where the two do not go together.
    fn joins(&self, thing: &mut Thing, next: &FoundWhat, range: (usize, usize)) -> bool {
        let kinds =
            |nouns: &[usize], kinds: &[NounKind]| nouns.iter().all(|at| kinds.contains(&self.lexicon.noun(*at).kind));
        match (&thing.what, next) {
            // `casing joint face`, `casing temperature`.
            (What::Nouns(_), FoundWhat::Talk(Talk::Feature | Talk::Property | Talk::Energy)) => thing.is_feature = true,
            (What::Nouns(nouns), FoundWhat::Talk(_))
                if kinds(nouns, &[NounKind::Inert, NounKind::Reading, NounKind::Boundary, NounKind::Machine]) =>
            {
                thing.what = What::Talk(Talk::Paper);
            }
            (What::Talk(_), FoundWhat::Talk(talk)) => thing.what = What::Talk(*talk),
            (What::Nouns(first), FoundWhat::Nouns(second)) => {
                // `torque wrench TW-2` names one thing twice; `pump shaft` and `shaft key` name a thing by its owner.
                if second.iter().any(|at| first.contains(at)) {
                    thing.what = What::Nouns(second.iter().filter(|at| first.contains(at)).copied().collect());
                } else if kinds(first, &[NounKind::Machine])
                    || self.belongs(second, first)
                    || self.is_value_of(first, second)
                {
                    thing.what = What::Nouns(second.clone());
                } else {
                    return false;
                }
                thing.words = self.name_words(range.0, range.1);
            }
            // `plug V-2`, `sleeve {seal sleeve}`: an identifier after a general word.
            (What::Talk(_), FoundWhat::Nouns(second))
                if kinds(second, &[NounKind::Tool, NounKind::Fluid, NounKind::Value, NounKind::Reading]) =>
            {
                thing.what = What::Nouns(second.clone());
                thing.words = self.name_words(range.0, range.1);
            }
            _ => return false,
        }
        true
    }

    /// Returns whether every one of `nouns` belongs to one of `owners`.
    fn belongs(&self, nouns: &[usize], owners: &[usize]) -> bool {
        let owns = |of: &str| !of.is_empty() && self.lexicon.exactly(of).iter().any(|at| owners.contains(at));
        nouns.iter().all(|at| owns(&self.lexicon.noun(*at).of))
    }

    /// Returns whether a value stands behind a tool's general name.
    fn is_value_of(&self, first: &[usize], second: &[usize]) -> bool {
        let is_value = second.iter().all(|at| self.lexicon.noun(*at).name.starts_with('{'));
        let kind = |nouns: &[usize]| nouns.first().map(|at| self.lexicon.noun(*at).kind);
        is_value && (kind(first) == kind(second) || kind(first) == Some(NounKind::Reading))
    }

    /// Returns whether the item at `at` goes on with a name.
    fn may_extend(&self, at: usize) -> bool {
        let Some(item) = self.item(at) else { return false };
        let ends = role::PREPOSITION
            | role::CONJUNCTION
            | role::PARTICLE
            | role::AUXILIARY
            | role::NEGATION
            | role::SUBORDINATOR
            | role::PRONOUN
            | role::DETERMINER
            | role::QUANTIFIER
            | role::POSSESSIVE
            | role::SEQUENCE;
        match item.kind {
            Kind::Number => self.is_label(at),
            Kind::Value => {
                self.found(at).is_some() && self.item(at - 1).is_some_and(|before| before.kind == Kind::Word)
            }
            Kind::See | Kind::Mark(_) => false,
            Kind::Word if self.says_all(at, "complete with") || self.is_state(at) => false,
            Kind::Word if item.is(ends) || self.manner_end(at).is_some() || self.hand_tight_end(at).is_some() => false,
            Kind::Word if item.is(role::ADVERB) => self.is_noun(at),
            Kind::Word if item.number.is_some() => false,
            Kind::Word => !self.is_participle(at) && !self.is_finite(at) && !self.is_plain_order(at),
        }
    }

    /// Returns whether an order with a determined object stands at `at` (`from the shaft remove the key`).
    fn is_plain_order(&self, at: usize) -> bool {
        let determined = role::DETERMINER | role::QUANTIFIER | role::PRONOUN | role::POSSESSIVE | role::NEW;
        self.found(at).is_none()
            && self.verb_at(at, &[Form::Base]).is_some_and(|found| {
                let next = at + found.length;
                self.is(next, determined) || self.item(next).is_some_and(|item| item.number.is_some())
            })
    }

    /// Returns whether a number stands behind a name as its label (`bolt 3`), with no unit after it.
    fn is_label(&self, at: usize) -> bool {
        !self.is(at + 1, role::UNIT)
    }

    /// Returns whether the word at `at` is the participle of a verb (`the nut fitted before`).
    fn is_participle(&self, at: usize) -> bool {
        self.found(at).is_none()
            && self.verb_at(at, &[Form::Past, Form::Gerund]).is_some_and(|found| found.form != Form::Base)
    }

    /// Returns whether the word at `at` is what the noun before it does (`that the shaft turns`).
    fn is_finite(&self, at: usize) -> bool {
        let is_verb = self.verb_at(at, &[Form::Third]).is_some() && self.found(at).is_none();
        is_verb
            && (self.item(at + 1).is_none_or(|item| {
                item.is(role::ADVERB | role::PREPOSITION | role::CONJUNCTION | role::DETERMINER | role::PARTICLE)
            }))
            && self.lexicon.shortened(&self.items[at..=at]).is_empty()
    }

    /// Reads a name that is longer than what the registers know: it ends where the phrase ends.
    fn swallow(&mut self, from: usize, mut end: usize) -> (Thing, usize) {
        while self.may_extend(end) {
            end += 1;
        }
        let (thing, end) = self.unknown_until(from, end);
        (thing, end)
    }

    fn unknown(&mut self, at: usize) -> Option<(Thing, usize)> {
        let mut end = at;
        while self.item(end).is_some_and(|item| item.kind == Kind::Word) && (end == at || self.may_extend(end)) {
            let is_small = role::CONJUNCTION
                | role::AUXILIARY
                | role::NEGATION
                | role::SUBORDINATOR
                | role::DETERMINER
                | role::QUANTIFIER;
            if self.is(end, is_small | role::PREPOSITION | role::PARTICLE) {
                break;
            }
            end += 1;
        }
        // A value that no register knows stands for something all the same.
        if end == at && self.is_kind(at, Kind::Value) {
            return Some((Thing::unknown(self.words(at, at + 1), (at, at + 1)), at + 1));
        }
        (end > at).then(|| self.unknown_until(at, end))
    }

    /// Reads words that are no name as a whole: a shortened name, a known name with a word before it, or nothing known.
    fn unknown_until(&mut self, from: usize, end: usize) -> (Thing, usize) {
        let words = self.name_words(from, end);
        let mut thing = Thing::unknown(words.clone(), (from, end));
        let items = &self.items[from..end];
        let short = self.lexicon.shortened(items);
        let (points, others): (Vec<usize>, Vec<usize>) =
            short.iter().copied().partition(|at| self.lexicon.noun(*at).kind == NounKind::Point);
        match others[..] {
            [] if !points.is_empty() => {
                thing.what = What::Points;
                return (thing, end);
            }
            [] => {}
            [only] if points.is_empty() => {
                thing.what = What::Nouns(vec![only]);
                if !self.is_sure_short(only, items.len()) {
                    thing.doubts.push(Doubt::Name(words, vec![self.lexicon.noun(only).name.clone()]));
                }
                return (thing, end);
            }
            _ if self.is_one_kind_of_tool(&others) && points.is_empty() => {
                thing.what = What::Nouns(others);
                return (thing, end);
            }
            _ => {
                let names = short.iter().map(|at| self.lexicon.noun(*at).name.clone()).collect();
                thing.doubts.push(Doubt::Name(words, names));
                thing.what = What::Nouns(short);
                return (thing, end);
            }
        }
        // A word before a name may say which one, or that it is another thing altogether.
        let suffix = (from + 1..end).find_map(|start| {
            let found = self.found(start)?;
            let reaches = start + found.length == end || (start + found.length..end).all(|at| self.talk(at).is_some());
            matches!(&found.what, FoundWhat::Nouns(_)).then_some(())?;
            reaches.then_some(found.what)
        });
        if let Some(FoundWhat::Nouns(nouns)) = suffix {
            let names = nouns.iter().map(|at| self.lexicon.noun(*at).name.clone()).collect();
            thing.doubts.push(Doubt::Name(words, names));
            thing.what = What::Nouns(nouns);
            return (thing, end);
        }
        // `cover joint`: a side of what the registers know by a longer name.
        let is_side =
            |at: usize| matches!(self.talk(at), Some((Talk::Feature | Talk::Property, length)) if at + length == end);
        if let Some(side) = (from + 1..end).find(|at| is_side(*at)) {
            let (mut owner, _) = self.unknown_until(from, side);
            if !owner.nouns().is_empty() {
                owner.is_feature = true;
                return (owner, end);
            }
        }
        // Procedure talk may take any word before it (`a diagonal pattern`, `the signed permit`).
        if let Some((talk, _)) = self.talk_that_ends(from, end)
            && !(from..end).any(|at| self.is_noun(at))
        {
            thing.what = What::Talk(talk);
        }
        (thing, end)
    }

    fn talk_that_ends(&self, from: usize, end: usize) -> Option<(Talk, usize)> {
        let talk = (from + 1..end).find_map(|at| self.talk(at).filter(|(_, length)| at + length == end))?;
        matches!(
            talk.0,
            Talk::Paper | Talk::Feature | Talk::Energy | Talk::Manner | Talk::Property | Talk::Person | Talk::Place
        )
        .then_some(talk)
    }

    /// Returns whether a shortened name can only be this noun: it was named in this step, or two of its words are said.
    fn is_sure_short(&self, noun: usize, words: usize) -> bool {
        let kind = self.lexicon.noun(noun).kind;
        words > 1
            || matches!(kind, NounKind::Reading | NounKind::Inert | NounKind::Tool)
            || self.memory.last.iter().any(|thing| thing.nouns() == [noun])
            || [&self.memory.on, &self.memory.off, &self.memory.new].into_iter().any(|set| set.contains(&noun))
    }

    /// Returns whether all are tools that share a name up to their size.
    fn is_one_kind_of_tool(&self, nouns: &[usize]) -> bool {
        nouns.iter().all(|at| self.lexicon.noun(*at).kind == NounKind::Tool)
    }

    /// Returns the words of a name, the last in the singular.
    pub(super) fn name_words(&self, from: usize, end: usize) -> String {
        let items = self.items.get(from..end).unwrap_or_default();
        let mut words: Vec<String> = items.iter().map(|item| item.text.clone()).collect();
        if let Some(last) = words.last_mut() {
            *last = crate::language::inflect::singular(last).into_owned();
        }
        words.join(" ")
    }

    /// Reads what stands behind a name: `of`, and a participle.
    fn after(&mut self, mut thing: Thing, mut end: usize) -> (Vec<Thing>, usize) {
        if self.says(end, "of") {
            let from = end;
            let (of, next) = self.things(end + 1);
            if of.is_empty() {
                thing.doubts.push(Doubt::Words(self.words(from, from + 1)));
                return (vec![thing], end + 1);
            }
            end = next;
            if let Some(moved) = self.of(&mut thing, of, self.words(from, next)) {
                return (moved, end);
            }
        }
        thing.range.1 = end;
        (vec![thing], end)
    }

    /// Joins `thing of others`; returns the others where they are what is meant.
    fn of(&self, thing: &mut Thing, mut others: Vec<Thing>, words: String) -> Option<Vec<Thing>> {
        let is_fluid = |thing: &Thing| thing.nouns().iter().any(|at| self.lexicon.noun(*at).kind == NounKind::Fluid);
        match thing.what {
            What::Unknown | What::Talk(Talk::Matter | Talk::Aid) if others.iter().any(is_fluid) => Some(others),
            What::Unknown | What::Talk(_) if others.iter().all(|other| self.is_figure(other)) => Some(others),
            What::Talk(Talk::Feature) if !others.is_empty() => {
                for other in &mut others {
                    other.is_feature = true;
                    // `the threads of the bolt` are those of one bolt; how many is what the owner says.
                    other.doubts.append(&mut thing.doubts.clone());
                }
                Some(others)
            }
            What::Nouns(_) => {
                let nouns: Vec<usize> = others.iter().flat_map(|other| other.nouns().to_vec()).collect();
                if !self.is_always_of(thing, &nouns) {
                    thing.limit = Some(Limit { words, nouns });
                }
                None
            }
            _ => None,
        }
    }

    /// Returns whether a thing is a number, range or text: a value that is no tool and no fluid, or typed figures.
    pub(super) fn is_figure(&self, thing: &Thing) -> bool {
        let is_value = |at: &usize| self.lexicon.noun(*at).kind == NounKind::Value;
        thing.what == What::Quantity
            || (!thing.nouns().is_empty() && thing.nouns().iter().all(is_value))
            || (thing.what == What::Unknown && thing.words.starts_with('{'))
    }

    /// Returns whether the registers say that the thing is always at, on or of one of these nouns.
    pub(super) fn is_always_of(&self, thing: &Thing, nouns: &[usize]) -> bool {
        let is_machine = |at: &usize| matches!(self.lexicon.noun(*at).kind, NounKind::Machine);
        !nouns.is_empty() && (nouns.iter().all(is_machine) || self.belongs(thing.nouns(), nouns))
    }

    /// Gives things whose head stands behind a later one (`upper and lower bearing`) their names.
    fn share_heads(&self, things: &mut [Thing]) {
        let Some((last, before)) = things.split_last_mut() else { return };
        let (from, to) = last.range;
        let has_own = |thing: &Thing| thing.is_pronoun || matches!(thing.what, What::Quantity);
        if before.is_empty() || last.is_determined || has_own(last) || self.is_kind(from, Kind::Value) {
            return;
        }
        for thing in before.iter_mut().filter(|thing| !has_own(thing)) {
            let core = thing.range.1 - thing.words.split(' ').count().min(thing.range.1)..thing.range.1;
            let mut options: Vec<(Vec<usize>, String)> = Vec::new();
            for head in from + 1..to {
                let joined = self.items[core.clone()].iter().chain(&self.items[head..to]);
                let words = format!("{} {}", self.words(core.start, core.end), self.name_words(head, to));
                let nouns = self.lexicon.exactly_items(joined).to_vec();
                let is_point = nouns.is_empty() && self.is_point_words(&words);
                if (!nouns.is_empty() && nouns != last.nouns()) || is_point {
                    options.push((nouns, words));
                }
            }
            let Some((nouns, words)) = options.pop() else { continue };
            if thing.what != What::Unknown && !matches!(thing.what, What::Talk(_)) {
                // `casing and impeller nut`: the casing, or its nut as well?
                let own = thing.nouns().iter().map(|at| self.lexicon.noun(*at).name.clone());
                let names = own.chain([words.clone()]).collect();
                thing.doubts.push(Doubt::Name(thing.words.clone(), names));
                continue;
            }
            let is_single = |nouns: &[usize]| matches!(nouns, [only] if self.lexicon.noun(*only).count == Some(1));
            if last.said == Said::Plural && is_single(&nouns) && is_single(last.nouns()) {
                // `upper and lower bearings`: one of each.
                last.said = Said::Singular;
            }
            thing.what = if nouns.is_empty() { What::Points } else { What::Nouns(nouns) };
            thing.words = words;
            thing.doubts.retain(|doubt| !matches!(doubt, Doubt::Name(..)));
            if thing.said == Said::Number(2) && last.said == Said::Singular {
                // `both upper and lower bearings` counts them together.
                thing.said = Said::Singular;
            } else if last.said == Said::Plural && thing.said == Said::Singular {
                thing.said = Said::Plural;
            }
            last.said = match (thing.said, last.said) {
                (Said::Each, _) => Said::Each,
                (_, own) => own,
            };
        }
    }

    /// Returns whether words select isolation points and end as one of their names does.
    fn is_point_words(&self, words: &str) -> bool {
        let head = words.rsplit(' ').next().unwrap_or_default();
        !self.lexicon.points(words).is_empty() && !self.lexicon.points(head).is_empty()
    }

    /// Reads a noun phrase of a list; `its` means the thing before it (`the rotor and its key`).
    fn thing_after(&mut self, at: usize, before: &[Thing]) -> Option<(Vec<Thing>, usize)> {
        if !self.is(at, role::POSSESSIVE) {
            return self.thing(at);
        }
        let memory = self.memory.clone();
        self.memory.last = before.last().cloned().into_iter().collect();
        self.memory.trust = Trust::Known;
        let read = self.thing(at);
        self.memory = memory;
        read
    }

    /// Resolves `its X` against what was named last.
    fn owned_by_last(&mut self, thing: &mut Thing) {
        if self.memory.trust == Trust::Poisoned {
            self.obstacle.get_or_insert(Obstacle::Pronoun("its".to_owned()));
            return;
        }
        let owners: Vec<usize> = self.memory.last.iter().flat_map(|last| last.nouns().to_vec()).collect();
        let nouns = thing.nouns().to_vec();
        let has_owner = |at: &usize| {
            let of = &self.lexicon.noun(*at).of;
            !of.is_empty() && self.lexicon.exactly(of).iter().any(|own| owners.contains(own))
        };
        let owned: Vec<usize> = nouns.iter().copied().filter(|at| has_owner(at)).collect();
        if let [one] = owned[..] {
            thing.doubts.retain(|doubt| !matches!(doubt, Doubt::Name(..)));
            thing.what = What::Nouns(vec![one]);
            return;
        }
        let is_unique =
            nouns.len() == 1 && nouns.iter().all(|at| self.lexicon.noun(*at).of.is_empty()) && !owners.is_empty();
        if !is_unique && !matches!(thing.what, What::Talk(_) | What::Unknown | What::Quantity) {
            thing.doubts.push(Doubt::Pronoun("its".to_owned()));
        }
    }

    /// Returns the end of a pronoun that stands for itself at `at`.
    fn pronoun_end(&self, at: usize) -> Option<usize> {
        if let Some(end) = self.new_one_end(at) {
            return Some(end);
        }
        let item = self.item(at)?;
        if !item.is(role::PRONOUN) || self.found(at).is_some_and(|found| found.length > 1) {
            return None;
        }
        if ["both", "all", "each", "one", "some", "any"].contains(&item.text.as_str())
            && self.says(at + 1, "of")
            && self.is(at + 2, role::PRONOUN)
            && !self.may_be_core(at + 3)
        {
            return Some(at + 3);
        }
        if (item.says("all") || item.says("these") || item.says("the"))
            && self.item(at + 1).is_some_and(|next| next.number.is_some())
            && !self.may_be_core(at + 2)
        {
            return Some(at + 2);
        }
        if item.is(role::DETERMINER | role::QUANTIFIER) || item.number.is_some() || item.is(role::SELECTIVE) {
            let stands_alone = (!self.may_be_core(at + 1) || self.is_state(at + 1))
                && !self.is(at + 1, role::DETERMINER | role::POSSESSIVE)
                && !self.says(at + 1, "of");
            let is_value = self.is_kind(at + 1, Kind::Value);
            return (stands_alone && !is_value).then_some(at + 1);
        }
        Some(at + 1)
    }

    /// Returns the end of `a new one`.
    fn new_one_end(&self, at: usize) -> Option<usize> {
        let at = if self.is(at, role::DETERMINER) { at + 1 } else { at };
        let is_one = self.is(at, role::NEW) && (self.says(at + 1, "one") || self.says(at + 1, "ones"));
        (is_one && !self.may_be_core(at + 2)).then_some(at + 2)
    }

    /// Returns whether the last word of what belongs together says how a thing is left (`leave both open`).
    pub(super) fn is_state(&self, at: usize) -> bool {
        const STATES: [&str; 16] = [
            "empty",
            "idle",
            "open",
            "closed",
            "shut",
            "loose",
            "free",
            "clean",
            "dry",
            "tight",
            "together",
            "locked",
            "running",
            "apart",
            "hanging",
            "connected",
        ];
        STATES.iter().any(|state| self.says(at, state)) && !self.may_be_core(at + 1)
    }

    /// Resolves a pronoun.
    fn pronoun(&mut self, at: usize, end: usize) -> Vec<Thing> {
        let words = self.words(at, end);
        let mut unresolved = Thing::unknown(words.clone(), (at, end));
        unresolved.is_pronoun = true;
        if ["nothing", "anything", "something", "itself", "themselves", "everything"].contains(&words.as_str()) {
            unresolved.what = What::Talk(Talk::Anything);
            return vec![unresolved];
        }
        match self.memory.trust {
            Trust::Poisoned => {
                self.obstacle.get_or_insert(Obstacle::Pronoun(words));
                return vec![unresolved];
            }
            Trust::Start => {
                unresolved.doubts.push(Doubt::Pronoun(words));
                return vec![unresolved];
            }
            Trust::Known | Trust::Doubtful => {}
        }
        let mut things = self.memory.last.clone();
        let fits = self.pronoun_fits(&words, &things);
        if things.is_empty() {
            unresolved.doubts.push(Doubt::Pronoun(words));
            return vec![unresolved];
        }
        for thing in &mut things {
            thing.is_pronoun = true;
            thing.is_new |= words.ends_with(" one") || words.ends_with(" ones");
            thing.limit = None;
            thing.is_indefinite = false;
            thing.range = (at, end);
            thing.doubts.clear();
        }
        if !fits || self.memory.trust == Trust::Doubtful {
            things[0].doubts.push(Doubt::Pronoun(words));
        }
        things
    }

    /// Returns whether a pronoun can stand for the things in number.
    fn pronoun_fits(&self, words: &str, things: &[Thing]) -> bool {
        let is_one = |thing: &Thing| matches!(thing.said, Said::Singular | Said::One);
        let number = |thing: &Thing| match thing.said {
            Said::Singular | Said::One => Some(1),
            Said::Number(number) => Some(number),
            Said::Plural | Said::Each => match thing.nouns() {
                [only] => self.lexicon.noun(*only).count,
                _ => None,
            },
        };
        let total = || things.iter().map(number).sum::<Option<u32>>();
        match words {
            "it" => {
                matches!(things, [only] if is_one(only) || (only.said == Said::Each && matches!(only.what, What::Talk(_))))
            }
            "a new one" | "the new one" | "a replacement one" => matches!(things, [only] if is_one(only)),
            "new ones" | "the new ones" => matches!(things, [only] if !is_one(only)),
            "them" | "they" | "these" | "those" | "all" | "all of them" | "each" | "each of them" | "each one" => {
                things.len() > 1 || things.iter().any(|thing| !is_one(thing))
            }
            "both" | "both of them" => total() == Some(2),
            _ => {
                let said = words
                    .split(' ')
                    .find_map(|word| crate::language::listed::number(word).or_else(|| word.parse().ok()));
                words.starts_with("all ") && said.is_some() && total() == said
            }
        }
    }
}
