//! Noun phrases: determiners, numbers, names, `of`, shared heads and pronouns; it knows no verb's meaning.

use crate::language::inflect::Form;
use crate::language::item::Kind;
use crate::language::listed::{Talk, role};
use crate::language::memory::{Limit, Said, Thing, What};
use crate::language::noun::NounKind;
use crate::language::parser::Parser;
use crate::language::reading::Doubt;

/// What stands before a name.
#[derive(Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a word that was read, or was not")]
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
    pub(super) fn after_list_mark(&self, at: usize) -> Option<usize> {
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
    pub(super) fn thing(&mut self, at: usize) -> Option<(Vec<Thing>, usize)> {
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
    pub(super) fn after_of(&self, at: usize) -> usize {
        match () {
            () if self.says(at, "of") && self.is(at + 1, role::DETERMINER) => at + 2,
            () if self.says(at, "of") && self.may_name(at + 1) => at + 1,
            () => at,
        }
    }

    /// Returns whether a name may still come at `at`, behind a word that may also be one.
    pub(super) fn may_be_core(&self, at: usize) -> bool {
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

    /// Reads what stands behind a name: `of`, and a participle.
    pub(super) fn after(&mut self, mut thing: Thing, mut end: usize) -> (Vec<Thing>, usize) {
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
    pub(super) fn of(&self, thing: &mut Thing, mut others: Vec<Thing>, words: String) -> Option<Vec<Thing>> {
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

    /// Gives things whose head stands behind a later one (`upper and lower bearing`) their names.
    pub(super) fn share_heads(&self, things: &mut [Thing]) {
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
    pub(super) fn is_point_words(&self, words: &str) -> bool {
        let head = words.rsplit(' ').next().unwrap_or_default();
        !self.lexicon.points(words).is_empty() && !self.lexicon.points(head).is_empty()
    }
}
