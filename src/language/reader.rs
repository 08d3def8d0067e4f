//! Steps read sentence by sentence: classes, keys, overrides and what a sentence might touch; it knows no tag and applies nothing.

use crate::base::limits::SENTENCE_TOKENS;
use crate::base::text::{Placed, Span};
use crate::language::action::{Act, Action, parse_line};
use crate::language::item::{Item, Kind, items};
use crate::language::matching::{FoundWhat, Lexicon};
use crate::language::memory::{Memory, Said, Thing, Trust, What};
use crate::language::noun::{NounKind, Vocabulary};
use crate::language::parser::Parser;
use crate::language::reading::{Class, Doubt, Obstacle, SentenceRead};
use crate::language::sentence::{Sentence, of_step};
use crate::language::verb::Verbs;
use crate::model::procedure::Step;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

/// How many hexadecimal digits a key has.
const KEY_DIGITS: usize = 12;

/// Reads the sentences of a step for one machine.
#[must_use]
pub fn read_step(step: &Step, vocabulary: &Vocabulary, verbs: &Verbs) -> Vec<SentenceRead> {
    read_step_with(step, &Lexicon::of(vocabulary), verbs)
}

/// Reads the sentences of a step with a vocabulary that was made ready before.
#[must_use]
pub fn read_step_with(step: &Step, lexicon: &Lexicon<'_>, verbs: &Verbs) -> Vec<SentenceRead> {
    let mut memory = Memory::default();
    let sentences = keyed(step);
    let starts: Vec<u32> = sentences.iter().map(|(_, sentence)| sentence.span.start).collect();
    let mut read = Vec::with_capacity(sentences.len());
    for (at, (key, sentence)) in sentences.into_iter().enumerate() {
        let overrides: Vec<&Placed<String>> =
            step.overrides.iter().filter(|own| sentence_of(own.span, &starts) == at).collect();
        read.push(if overrides.is_empty() {
            read_sentence(sentence, key, &mut memory, (lexicon, verbs))
        } else {
            read_override(sentence, key, &mut memory, (lexicon, &overrides))
        });
    }
    read
}

/// Returns the sentences of a step, each under its key: made of the step's words up to and with it, whatever their case.
#[must_use]
pub fn keyed(step: &Step) -> Vec<(String, Sentence)> {
    let mut words = Sha256::new();
    let key = |sentence: Sentence| {
        words.update(sentence.text.to_lowercase().as_bytes());
        words.update(b"\n");
        let mut key = HEXLOWER.encode(&words.clone().finalize());
        key.truncate(KEY_DIGITS);
        (key, sentence)
    };
    of_step(step).into_iter().map(key).collect()
}

/// Returns the sentence in or after which a place stands.
fn sentence_of(span: Span, starts: &[u32]) -> usize {
    starts.partition_point(|start| *start <= span.start).saturating_sub(1)
}

fn read_sentence(
    sentence: Sentence,
    key: String,
    memory: &mut Memory,
    (lexicon, verbs): (&Lexicon<'_>, &Verbs),
) -> SentenceRead {
    if sentence.tokens.len() > SENTENCE_TOKENS {
        memory.trust = Trust::Poisoned;
        return unread(key, Obstacle::Length(sentence.tokens.len()), sentence);
    }
    let mut items = items(&sentence);
    let asides = without_asides(&mut items);
    let is_question = sentence.text.ends_with('?');
    let names: Vec<_> = (0..items.len()).map(|at| lexicon.longest_at(&items, at)).collect();
    let mut parser = Parser {
        items: &items,
        names: &names,
        lexicon,
        verbs,
        memory: memory.clone(),
        actions: Vec::new(),
        doubts: asides.into_iter().map(Doubt::Words).collect(),
        obstacle: is_question.then_some(Obstacle::NoVerb),
        missing_tools: Vec::new(),
        mentions: Vec::new(),
        is_third: false,
        is_subject: false,
        is_phrase: false,
        is_conditional: false,
        deferred: Vec::new(),
    };
    parser.sentence();
    let Parser { mut actions, mut doubts, obstacle, missing_tools, mut mentions, memory: said, .. } = parser;
    // `the screws to be tightened`: an order hangs on a noun, and no clause says so.
    let says = |at: usize, word: &str| items.get(at).is_some_and(|item: &Item| item.text.eq_ignore_ascii_case(word));
    let is_hung = |at: usize| {
        let is_said = at > 0 && ["is", "are", "have", "has"].iter().any(|verb| says(at - 1, verb));
        says(at, "to") && says(at + 1, "be") && !is_said
    };
    if (0..items.len()).any(is_hung) {
        doubts.push(Doubt::Words("to be".to_owned()));
    }
    doubts.sort();
    doubts.dedup();
    let was_touched = std::mem::take(&mut memory.touched);
    let class = match obstacle {
        Some(obstacle) => Class::NotRead(obstacle),
        None if !doubts.is_empty() => Class::Uncertain(doubts),
        None if actions.iter().any(|action| action.act.moves()) => Class::Read,
        None => Class::MovesNothing,
    };
    if matches!(class, Class::NotRead(_)) {
        actions.clear();
    }
    mentions.retain(|name| !actions.iter().any(|action| uses(action, name)));
    let touches = touched(&items, lexicon, (&class, &actions, &was_touched, &said));
    remember(memory, said, &class, (&actions, &touches));
    let place = |(from, to): (usize, usize)| {
        let tokens = &sentence.tokens[items[from].token..=items[to - 1].token];
        let words: Vec<&str> = items[from..to].iter().map(|item| item.text.as_str()).collect();
        let (first, last) = (tokens[0].span, tokens[tokens.len() - 1].span);
        Placed::new(words.join(" "), Span { end: last.end.max(first.end), ..first })
    };
    let missing_tools =
        missing_tools.into_iter().filter(|(from, to)| from < to && *to <= items.len()).map(place).collect();
    SentenceRead { sentence, key, class, actions, touches, missing_tools, mentions }
}

/// Returns a sentence that was not looked into; it might move anything.
fn unread(key: String, obstacle: Obstacle, sentence: Sentence) -> SentenceRead {
    SentenceRead {
        sentence,
        key,
        class: Class::NotRead(obstacle),
        actions: Vec::new(),
        touches: Vec::new(),
        missing_tools: Vec::new(),
        mentions: Vec::new(),
    }
}

fn uses(action: &Action, name: &str) -> bool {
    action.thing == name || action.with.iter().any(|with| with == name)
}

/// Carries what a sentence said on to the next.
fn remember(memory: &mut Memory, said: Memory, class: &Class, (actions, touches): (&[Action], &[String])) {
    let was = memory.trust;
    *memory = said;
    memory.is_after_condition |= actions.iter().any(|action| action.conditional);
    match class {
        Class::NotRead(_) => {
            memory.trust = Trust::Poisoned;
            memory.touched = touches.to_vec();
        }
        Class::Uncertain(_) => {
            if memory.trust == Trust::Known {
                memory.trust = Trust::Doubtful;
            }
            memory.touched = touches.to_vec();
        }
        Class::Read | Class::MovesNothing if was == Trust::Poisoned && memory.trust == Trust::Poisoned => {
            memory.touched = touches.to_vec();
        }
        Class::Read | Class::MovesNothing => {}
    }
}

/// Returns what a sentence might move: what its actions move where it was read, and whatever it names where it was not.
fn touched(
    items: &[Item],
    lexicon: &Lexicon<'_>,
    (class, actions, before, said): (&Class, &[Action], &[String], &Memory),
) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let mut add = |name: &str| {
        if !name.is_empty() && !names.iter().any(|own| own == name) {
            names.push(name.to_owned());
        }
    };
    for action in actions.iter().filter(|action| action.act.moves()) {
        let points = if action.act == Act::Unlock && action.thing.is_empty() {
            Vec::new()
        } else {
            lexicon.points(&action.thing)
        };
        let is_point_act = matches!(action.act, Act::Lock | Act::Unlock | Act::Open | Act::Shut | Act::Halt | Act::Run);
        if is_point_act
            && !points.is_empty()
            && lexicon.exactly(&action.thing).iter().all(|at| lexicon.noun(*at).kind == NounKind::Point)
        {
            for noun in &points {
                add(&noun.name);
            }
        } else if action.act == Act::Unlock && action.thing.is_empty() {
            for noun in lexicon.nouns().iter().filter(|noun| noun.kind == NounKind::Point) {
                add(&noun.name);
            }
        } else if action.act == Act::Apply {
            add(&action.to);
        } else {
            add(&action.thing);
        }
    }
    let unknown = matches!(class, Class::NotRead(Obstacle::Noun(_) | Obstacle::Override(_)));
    if unknown {
        return Vec::new();
    }
    if class.is_open() {
        let is_pronoun = |doubt: &Doubt| matches!(doubt, Doubt::Pronoun(_) | Doubt::NoObject(_));
        let has_pronoun = match class {
            Class::NotRead(Obstacle::Pronoun(_)) => true,
            Class::Uncertain(doubts) => doubts.iter().any(is_pronoun),
            _ => items.iter().any(|item| matches!(item.text.as_str(), "it" | "them" | "they" | "both")),
        };
        let last: Vec<&str> =
            said.last.iter().flat_map(Thing::nouns).map(|at| lexicon.noun(*at).name.as_str()).collect();
        if has_pronoun && before.is_empty() && last.is_empty() {
            return Vec::new();
        }
        if has_pronoun {
            for name in before {
                add(name);
            }
            for name in last {
                add(name);
            }
        }
        if let Class::Uncertain(doubts) = class {
            for doubt in doubts {
                if let Doubt::Name(_, candidates) = doubt {
                    for name in candidates {
                        add(name);
                    }
                }
            }
        }
        for name in &named(items, lexicon) {
            add(name);
        }
    }
    names
}

/// Returns every part, opening, item and point that is named.
pub(super) fn named(items: &[Item], lexicon: &Lexicon<'_>) -> Vec<String> {
    let mut names = Vec::new();
    let kinds = [NounKind::Part, NounKind::Opening, NounKind::Temporary, NounKind::Point];
    let mut at = 0;
    while at < items.len() {
        let found = lexicon.longest_at(items, at);
        let length = found.as_ref().map_or(1, |found| found.length);
        if let Some(FoundWhat::Nouns(nouns)) = found.map(|found| found.what) {
            let movable = nouns.into_iter().map(|noun| lexicon.noun(noun)).filter(|noun| kinds.contains(&noun.kind));
            names.extend(movable.map(|noun| noun.name.clone()));
        } else if items[at].kind == Kind::Word {
            let short = lexicon.shortened(&items[at..=at]).into_iter().map(|noun| lexicon.noun(noun));
            names.extend(short.filter(|noun| kinds.contains(&noun.kind)).map(|noun| noun.name.clone()));
        }
        at += length;
    }
    names
}

/// Takes what stands in parentheses out; returns what of it may matter.
fn without_asides(items: &mut Vec<Item>) -> Vec<String> {
    let mut asides = Vec::new();
    while let Some(open) = items.iter().position(|item| item.is_mark('(') || item.is_mark('[')) {
        let close = items[open..]
            .iter()
            .position(|item| item.is_mark(')') || item.is_mark(']'))
            .map_or(items.len() - 1, |at| open + at);
        let aside: Vec<Item> = items.drain(open..=close).collect();
        let inner = aside.iter().filter(|item| !matches!(item.kind, Kind::Mark('(' | ')' | '[' | ']')));
        let is_plain = |item: &Item| {
            matches!(item.kind, Kind::See | Kind::Value)
                || item.kind == Kind::Word && matches!(item.text.as_str(), "see" | "figure" | "step" | "and")
        };
        let figure = aside.iter().any(|item| item.says("figure"));
        let words: Vec<&Item> = inner.collect();
        if !words.iter().all(|item| is_plain(item) || (figure && item.kind == Kind::Number)) {
            asides.push(words.iter().map(|item| item.text.as_str()).collect::<Vec<_>>().join(" "));
        }
    }
    asides
}

/// Reads what the author wrote in `{do ...}` instead of the sentence.
fn read_override(
    sentence: Sentence,
    key: String,
    memory: &mut Memory,
    (lexicon, overrides): (&Lexicon<'_>, &[&Placed<String>]),
) -> SentenceRead {
    let mut actions = Vec::new();
    let mut obstacle = None;
    for own in overrides {
        match parse_line(&own.value) {
            Ok(parsed) => actions.extend(parsed),
            Err(why) => {
                obstacle.get_or_insert(Obstacle::Override(why.to_string()));
            }
        }
    }
    for action in &mut actions {
        if let Err(unknown) = resolve(action, lexicon) {
            obstacle.get_or_insert(Obstacle::Override(unknown));
        }
    }
    let items = items(&sentence);
    let class = match obstacle {
        Some(obstacle) => Class::NotRead(obstacle),
        None => Class::Read,
    };
    if matches!(class, Class::NotRead(_)) {
        actions.clear();
    }
    let mut said = memory.clone();
    let nouns = actions.iter().filter_map(|action| lexicon.exactly(&action.thing).first().map(|at| (*at, action)));
    let movable = |at: usize| !matches!(lexicon.noun(at).kind, NounKind::Tool | NounKind::Fluid | NounKind::Value);
    said.last = nouns.filter(|(at, _)| movable(*at)).map(|(at, action)| referent(at, action, lexicon)).collect();
    said.trust = if said.last.is_empty() { Trust::Doubtful } else { Trust::Known };
    let touches = touched(&items, lexicon, (&class, &actions, &[], &said));
    remember(memory, said, &class, (&actions, &touches));
    SentenceRead { key, class, actions, touches, missing_tools: Vec::new(), mentions: Vec::new(), sentence }
}

fn referent(at: usize, action: &Action, lexicon: &Lexicon<'_>) -> Thing {
    use crate::language::action::Count;
    let mut thing = Thing::unknown(lexicon.noun(at).name.clone(), (0, 0));
    thing.what = What::Nouns(vec![at]);
    thing.is_new = action.act == Act::New;
    thing.said = match action.count {
        Count::One => Said::Singular,
        Count::All => Said::Each,
        Count::Number(number) => Said::Number(number),
    };
    thing
}

/// Gives every name of an action the register's spelling.
fn resolve(action: &mut Action, lexicon: &Lexicon<'_>) -> Result<(), String> {
    let is_lock = matches!(action.act, Act::Lock | Act::Unlock | Act::Open | Act::Shut | Act::Halt);
    let known = |name: &mut String| -> Result<(), String> {
        if name.is_empty() {
            return Ok(());
        }
        let braced = format!("{{{name}}}");
        let found =
            [name.as_str(), braced.as_str()].into_iter().find_map(|words| lexicon.exactly(words).first().copied());
        if let Some(at) = found {
            name.clone_from(&lexicon.noun(at).name);
            return Ok(());
        }
        let is_figure = name.starts_with(|c: char| c.is_ascii_digit());
        if is_figure || (is_lock && (!lexicon.points(name).is_empty() || name == "locks" || name == "lock")) {
            return Ok(());
        }
        Err(name.clone())
    };
    if is_lock && !lexicon.points(&action.thing).is_empty() && lexicon.exactly(&action.thing).len() != 1 {
        // Words that select points stay as they are.
    } else {
        known(&mut action.thing)?;
    }
    action.with.iter_mut().try_for_each(known)?;
    known(&mut action.to)?;
    known(&mut action.on)
}
