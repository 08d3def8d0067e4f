//! A spanner or key that fits no head with the thread of its joint.
//!
//! ## What is found
//! The crib says across which flats a tool grips (`spanner:`) or fits in (`key:`), and it is drawn for a fastener of a joint
//! (`tools:` of the part), or a step turns the fastener with it. None of its sizes is the width across flats of a head with the
//! joint's thread: ISO 272, ISO 4014, ISO 4017, ISO 4032 and ISO 4762 and their like, ASME B18 for inch threads. A size that the
//! step names beside the tool (`with the 19 mm ring spanner`) counts instead of those of the set.
//!
//! Hexagons of the older DIN series differ from ISO at M10 (17, not 16 mm), M12 (19, not 18), M14 (22, not 21) and M22 (32, not
//! 34). A tool that fits by the older series alone is found too, until the joint says `head: older hexagon`. A `head:` is always
//! taken at its word. A joint without a thread, or with one that no table lists, is not looked at.
//!
//! ## On the floor
//! The fitter walks back, or takes what nearly fits and rounds the corners off.
//!
//! ## How to mend it
//! Measure the head on the machine. Then name the tool that fits it, or say at the joint what is turned: `head: socket`.

use crate::analysis::fastener::hexagon::{Head, Width, heads_of};
use crate::analysis::fastener::load::thread_of;
use crate::analysis::fastener::thread::Thread;
use crate::analysis::held::{crib_item, names_of};
use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::TOOL_DOES_NOT_FIT;
use crate::base::text::Span;
use crate::language::action::Act;
use crate::language::sentence::{Token, TokenKind};
use crate::model::crib::{Item, Kind};
use crate::model::opening::{Grip, Opening};
use crate::rules::{Found, Rule};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: TOOL_DOES_NOT_FIT,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("tool_does_not_fit.rs"),
};

/// Sizes that are nearly the same and are not: 13 mm and 1/2 in are three tenths apart.
const APART: f64 = 0.1;

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    joints
        .iter()
        .filter_map(|here| Some((here, thread_of(here)?)))
        .flat_map(|(here, on)| of_joint(run, here, &on))
        .collect()
}

fn of_joint(run: &Run<'_, '_>, here: &JointHere<'_>, thread: &Thread) -> Vec<Finding> {
    let turned: Vec<&Deed> = run.deeds.iter().filter(|deed| turns(deed, here)).collect();
    if turned.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<Finding> = Vec::new();
    for (item, openings, span) in drawn(run, here).into_iter().chain(turned.iter().flat_map(|deed| named(run, deed))) {
        let finding = judged(here, thread, item, &openings).map(|(message, help)| {
            Finding::warning(TOOL_DOES_NOT_FIT, message)
                .at(span)
                .also(here.joint.name.span, "the joint")
                .document(&run.job.procedure.document.value)
                .floor("the fitter walks back, or takes what nearly fits and rounds the corners off")
                .help(help)
        });
        found.extend(finding.filter(|own| !found.contains(own)));
    }
    found
}

fn turns(deed: &Deed, here: &JointHere<'_>) -> bool {
    let acts = [Act::Off, Act::Discard, Act::On, Act::New, Act::Loosen, Act::Tighten];
    acts.contains(&deed.action.act) && here.is_fastened_by(&deed.action.thing)
}

/// Returns the tools that the register draws for the fastener.
fn drawn<'b>(run: &Run<'_, 'b>, here: &JointHere<'_>) -> Vec<(&'b Item, Vec<Opening>, Span)> {
    let Some(part) = run.job.family.part(&here.joint.fastener.value) else { return Vec::new() };
    // What cannot be decided or is not held is told where the kit is made.
    let tools = part.tools.iter().filter(|draw| run.job.applies(draw.only.as_ref()));
    let tools = tools.filter_map(|draw| Some((run.job.crib_item(draw).ok()?, draw.what.span)));
    tools.map(|(item, span)| (item, openings(item), span)).collect()
}

/// Returns the tools that a step turns the fastener with; a size named beside one is all it has there.
fn named<'b>(run: &Run<'_, 'b>, deed: &Deed) -> Vec<(&'b Item, Vec<Opening>, Span)> {
    let binder = run.job.binder;
    let tools = deed.action.with.iter().filter_map(|word| crib_item(&binder.crib, word));
    let tokens = &run.sentence(deed).read.sentence.tokens;
    let of = |item: &'b Item| {
        let own = openings(item);
        let grip = own.first()?.grip;
        let stated = stated(tokens, item).and_then(|size| Opening::parse(&size, grip));
        Some((item, stated.map_or(own, |size| vec![size]), deed.span))
    };
    tools.filter_map(of).collect()
}

fn openings(item: &Item) -> Vec<Opening> {
    match &item.kind {
        Kind::Tool { openings, .. } => openings.clone(),
        _ => Vec::new(),
    }
}

/// Returns the size that stands directly before or behind a word of a tool's name (`19 mm ring spanner`, `RS, 19 mm`).
fn stated(tokens: &[Token], item: &Item) -> Option<String> {
    let folded = |word: &str| word.to_lowercase().trim_end_matches('s').to_owned();
    let words: Vec<String> =
        names_of(item).chain([item.id.value.as_str()]).flat_map(str::split_whitespace).map(folded).collect();
    let is_of_tool = |token: Option<&Token>| matches!(token.map(|own| &own.kind), Some(TokenKind::Word(word)) if words.contains(&folded(word)));
    let before = |at: usize| {
        let comma = matches!(tokens.get(at.checked_sub(1)?)?.kind, TokenKind::Mark(',' | '('));
        tokens.get(at.checked_sub(1 + usize::from(comma))?)
    };
    let mut sizes = tokens.windows(2).enumerate().filter_map(|(at, pair)| match (&pair[0].kind, &pair[1].kind) {
        (TokenKind::Number(number), TokenKind::Word(unit)) if matches!(unit.as_str(), "mm" | "in") => {
            let beside = is_of_tool(tokens.get(at + 2)) || is_of_tool(before(at));
            beside.then(|| format!("{number} {unit}"))
        }
        _ => None,
    });
    sizes.next()
}

/// Says why none of some sizes fits, and what to do; none where one does, or there is nothing to hold them against.
fn judged(here: &JointHere<'_>, thread: &Thread, item: &Item, openings: &[Opening]) -> Option<(String, String)> {
    let size = thread.size();
    let shown: Vec<&str> = openings.iter().map(|own| own.shown.as_str()).collect();
    let tool = format!("`{}` ({})", item.id.value, shown.join(", "));
    if let Some(missing) = not_in_the_set(item, openings) {
        return Some((
            format!("`{}` has no size {missing}", item.id.value),
            "name a tool that the crib holds in this size".to_owned(),
        ));
    }
    let grips = |grip: Grip| openings.iter().any(|own| own.grip == grip);
    let heads: Vec<Head> = heads_of(&here.joint.head, thread)
        .into_iter()
        .filter(|head| grips(if head.takes_a_key() { Grip::Key } else { Grip::Spanner }))
        .collect();
    let fitted: Vec<Head> = heads.iter().copied().filter(|head| fits(*head, thread, openings)).collect();
    if fitted.is_empty() {
        let all = heads_of(&here.joint.head, thread);
        let known = if heads.is_empty() { &all } else { &heads };
        if openings.is_empty() || known.is_empty() {
            return None;
        }
        let message =
            format!("{tool} fits no head of `{}`: {size} has {}", here.joint.name.value, listed(known, thread));
        return Some((message, "measure the head, and name the tool that fits it".to_owned()));
    }
    // A set with both sizes has the right one.
    if here.joint.head.is_empty() && fitted == [Head::HexagonDin] {
        let iso = Head::HexagonIso.width(thread)?.shown();
        let message = format!(
            "{tool} fits the {size} heads of `{}` by the older series only, {iso} by ISO",
            here.joint.name.value
        );
        return Some((
            message,
            "measure the head, then write `head: older hexagon` or `head: hexagon` at the joint".to_owned(),
        ));
    }
    None
}

/// Returns a size that a step names and the tool of the crib does not have.
fn not_in_the_set<'o>(item: &Item, openings: &'o [Opening]) -> Option<&'o str> {
    let Kind::Tool { openings: own, .. } = &item.kind else { return None };
    openings
        .iter()
        .find(|size| !own.iter().any(|set| set.has(size.low) && set.has(size.high)))
        .map(|size| size.shown.as_str())
}

fn fits(head: Head, thread: &Thread, openings: &[Opening]) -> bool {
    let Some(width) = head.width(thread).map(Width::millimetres) else { return false };
    let number = |number: Decimal| number.to_f64().unwrap_or(f64::NAN);
    let grip = if head.takes_a_key() { Grip::Key } else { Grip::Spanner };
    let has = |own: &&Opening| own.grip == grip && width > number(own.low) - APART && width < number(own.high) + APART;
    openings.iter().any(|own| has(&own))
}

/// Lists what the heads of a thread have across flats: `16 mm by ISO 4014`.
fn listed(heads: &[Head], thread: &Thread) -> String {
    let mut by_width: Vec<(String, Vec<&str>)> = Vec::new();
    for head in heads {
        let Some(width) = head.width(thread).map(Width::shown) else { continue };
        match by_width.iter_mut().find(|(own, _)| *own == width) {
            Some((_, standards)) => standards.push(head.standard()),
            None => by_width.push((width, vec![head.standard()])),
        }
    }
    let shown: Vec<String> =
        by_width.iter().map(|(width, standards)| format!("{width} by {}", standards.join(", "))).collect();
    shown.join("; ")
}
